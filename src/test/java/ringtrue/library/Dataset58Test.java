package ringtrue.library;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.ResponseForm;
import ringtrue.library.Dataset58.Wanted;
import ringtrue.units.BadInputException;

class Dataset58Test {
  private static final Path FIXTURES = Path.of("fixtures", "exchange");

  @TempDir Path folder;

  private static double[] accelerance(FrequencyResponse r, int line) {
    double[] value = {r.real(line), r.imag(line)};
    ResponseForm.ACCELERANCE.fromReceptance(r.frequencyHz(line), Double.POSITIVE_INFINITY, value);
    return value;
  }

  // Files of other programs, see fixtures/exchange/README.md -------------------------------------

  @Test
  void aFileByAnIndependentPackageIsReadRight() {
    FrequencyResponse r = Dataset58.read(FIXTURES.resolve("even-double.uff"), Wanted.ONLY);
    assertThat(r.lines()).isEqualTo(23); // 0 Hz left out
    assertThat(r.frequencyHz(0)).isEqualTo(1);
    assertThat(r.frequencyHz(22)).isEqualTo(23);
    assertThat(r.origin().axis()).isEqualTo("x");
    // printed in the file: accelerance; no units are named, so SI
    assertThat(accelerance(r, 0)[0]).isCloseTo(-1.75151154918e-01, within(1e-15));
    assertThat(accelerance(r, 0)[1]).isCloseTo(-1.20423720701e-01, within(1e-15));
    assertThat(accelerance(r, 22)[0]).isCloseTo(-1.30710946544e-01, within(1e-15));
    assertThat(accelerance(r, 22)[1]).isCloseTo(1.51201858834e-02, within(1e-15));
    assertThat(r.origin().remarks()).anyMatch(m -> m.contains("names no units"));
  }

  @ParameterizedTest
  @CsvSource({"uneven-double.unv, 1e-15", "uneven-single.unv, 6e-11"})
  void unevenLinesInMillimetresAndMillinewtons(String name, double tolerance) {
    FrequencyResponse r = Dataset58.read(FIXTURES.resolve(name), Wanted.ONLY);
    assertThat(r.lines()).isEqualTo(12);
    assertThat(r.frequencyHz(0)).isEqualTo(10.0);
    assertThat(r.frequencyHz(11)).isEqualTo(10.6537);
    // 1 (mm/s^2)/mN is 1 (m/s^2)/N
    assertThat(accelerance(r, 0)[0]).isCloseTo(1.733310054988e-04, within(tolerance));
    assertThat(accelerance(r, 0)[1]).isCloseTo(0, within(1e-18));
    assertThat(accelerance(r, 11)[0]).isCloseTo(2.311830030521e-06, within(tolerance));
    assertThat(accelerance(r, 11)[1]).isCloseTo(3.344540004946e-07, within(tolerance));
    assertThat(r.origin().remarks()).anyMatch(m -> m.contains("node 1") && m.contains("node 22"));
  }

  @Test
  void theKindOfMotionMayBeInTheLabelOfTheUnitOnly() {
    FrequencyResponse r = Dataset58.read(FIXTURES.resolve("mobility-by-label.unv"), Wanted.ONLY);
    double[] value = {r.real(0), r.imag(0)};
    ResponseForm.MOBILITY.fromReceptance(0.5, Double.POSITIVE_INFINITY, value);
    assertThat(value[0]).isCloseTo(-1.29302, within(1e-14));
    assertThat(value[1]).isCloseTo(-0.927769, within(1e-14));
    assertThat(r.origin().axis()).isEmpty();
  }

  // Round trips -----------------------------------------------------------------------------------

  private static FrequencyResponse measured(boolean even, boolean coherence, double tau) {
    ModalModel model = ModalModel.of(Mode.of(310, 0.03, 9e6), Mode.of(1240, 0.016, 2.1e6));
    Random random = new Random(3);
    int n = 301;
    double[][] c = new double[5][n];
    double[] value = new double[2];
    for (int i = 0; i < n; i++) {
      c[0][i] =
          even ? (i + 2) * 12_000 / 700.0 : 20 * Math.pow(1.01, i) + random.nextDouble() * 0.1;
      model.throughWindow(tau).at(c[0][i], value);
      c[1][i] = value[0] * (1 + 0.01 * random.nextGaussian());
      c[2][i] = value[1] * (1 + 0.01 * random.nextGaussian());
      c[3][i] = coherence ? 1 - 0.1 * random.nextDouble() : Double.NaN;
      c[4][i] = coherence ? Math.sqrt(1 - c[3][i]) / Math.sqrt(c[3][i] * 2 * 8) : Double.NaN;
    }
    return new FrequencyResponse(
        c[0],
        c[1],
        c[2],
        c[3],
        c[4],
        new FrequencyResponse.Origin(
            "y", "tool tip", 8, tau, c[0][3], c[0][n - 5], "a tool, 22 mm out", List.of()));
  }

  private FrequencyResponse again(String text, Wanted wanted) throws IOException {
    Path file = folder.resolve("a.unv");
    Files.writeString(file, text);
    return Dataset58.read(file, wanted);
  }

  @ParameterizedTest
  @EnumSource(ResponseForm.class)
  void whatIsWrittenIsReadToTheWrittenDigits(ResponseForm form) throws IOException {
    for (boolean even : new boolean[] {true, false}) {
      for (double tau : new double[] {Double.POSITIVE_INFINITY, 0.0217147}) {
        FrequencyResponse before = measured(even, true, tau);
        String text = Dataset58Text.of(before, form);
        FrequencyResponse after = again(text, Wanted.ONLY);
        assertThat(Dataset58Text.of(after, form)).isEqualTo(text);
        assertThat(after.lines()).isEqualTo(before.lines());
        assertThat(after.origin().axis()).isEqualTo("y");
        assertThat(after.origin().point()).isEqualTo("tool tip");
        assertThat(after.origin().averages()).isEqualTo(8);
        assertThat(after.windowTimeConstantS()).isEqualTo(tau);
        assertThat(after.origin().source()).isEqualTo("a tool, 22 mm out");
        assertThat(after.origin().remarks()).isEmpty();
        for (int i = 0; i < before.lines(); i++) {
          double size = before.magnitude(i);
          assertThat(after.frequencyHz(i))
              .isCloseTo(before.frequencyHz(i), within(1e-9 * before.frequencyHz(i)));
          assertThat(after.real(i)).isCloseTo(before.real(i), within(1e-10 * size));
          assertThat(after.imag(i)).isCloseTo(before.imag(i), within(1e-10 * size));
          assertThat(after.coherence(i)).isCloseTo(before.coherence(i), within(1e-12));
          assertThat(after.relativeError(i)).isCloseTo(before.relativeError(i), within(1e-9));
        }
        for (String line : text.lines().toList()) {
          assertThat(line.length()).isLessThanOrEqualTo(80);
        }
      }
    }
  }

  @Test
  void anUnknownCoherenceStaysUnknown() throws IOException {
    FrequencyResponse after =
        again(
            Dataset58Text.of(
                measured(true, false, Double.POSITIVE_INFINITY), ResponseForm.RECEPTANCE),
            Wanted.ONLY);
    assertThat(after.coherence(5)).isNaN();
    assertThat(after.relativeError(5)).isNaN();
  }

  // What other files may look like ----------------------------------------------------------------

  private static String function(
      String identity, String form, String abscissa, String top, String bottom, String values) {
    return String.join(
            "\n",
            "    -1",
            "    58",
            "NONE",
            "NONE",
            "NONE",
            "NONE",
            "NONE",
            identity,
            form,
            abscissa,
            top,
            bottom,
            "         0    0    0    0 NONE                 NONE",
            values,
            "    -1")
        + "\n";
  }

  private static String place(int kind, int node, int way, int atNode, int atWay) {
    return String.format(
        "%5d%10d%5d%10d %-10s%10d%4d %-10s%10d%4d",
        kind, 1, 0, 0, "NONE", node, way, "NONE", atNode, atWay);
  }

  private static final String HZ = "        18    0    0    0 NONE                 NONE";
  private static final String FORM =
      "         5         2         1  1.00000E+02  5.00000E+01  0.00000E+00";
  private static final String VALUES = "  1.00000E+00  0.00000E+00  2.00000E+00  3.00000E+00";

  private static String axis(int type, String unit) {
    return String.format("%10d    0    0    0 %-20s %-20s", type, "NONE", unit);
  }

  @ParameterizedTest
  @CsvSource({
    // unit labels: motion, force, SI of one unit; exact by definition of inch, pound and g
    "8, m, N, 1",
    "8, um, N, 1e-6",
    "8, in, lbf, 0.005710147154732944",
    "8, mm/N, NONE, 1e-3",
    "11, mm/s, N, 1e-3",
    "12, g, N, 9.80665",
    "12, m/s^2, N, 1",
    "12, m/s2, N, 1",
    "12, m/sec**2, N, 1",
    "12, g/N, NONE, 9.80665",
    "12, mm/s^2, kN, 1e-6",
    "12, in/s^2, lbf, 0.005710147154732944"
  })
  void unitsByLabel(int type, String top, String bottom, double factor) throws IOException {
    ResponseForm form =
        type == 8
            ? ResponseForm.RECEPTANCE
            : type == 11 ? ResponseForm.MOBILITY : ResponseForm.ACCELERANCE;
    String text =
        function(
            place(4, 1, 1, 1, 1),
            FORM,
            HZ,
            axis(type, top),
            axis(13, bottom),
            VALUES.replace("2.0", "4.0"));
    // small enough values for a receptance in metres
    FrequencyResponse r = again(text, Wanted.ONLY);
    double[] value = {r.real(1), r.imag(1)};
    form.fromReceptance(150, Double.POSITIVE_INFINITY, value);
    assertThat(value[0] / factor).isCloseTo(4, within(1e-12));
    assertThat(value[1] / factor).isCloseTo(3, within(1e-12));
  }

  @Test
  void unitsByDataset164() throws IOException {
    // foot and pound-force: a foot is 1/3.28083989501312334 m, a pound 1/0.22480894309971048 N
    String units =
        """
            -1
           164
                 2Foot (pound f)               2
          3.28083989501312334D+00  2.24808943099710480D-01  1.80000000000000004D+00
          4.59670000000000016D+02
            -1
        """
            .indent(4)
            .replaceAll("(?m)^    ", "    ")
            .replace("        -1", "    -1")
            .replace("       164", "   164");
    String text =
        units
            + function(place(4, 1, 1, 1, 1), FORM, HZ, axis(12, "NONE"), axis(13, "NONE"), VALUES);
    FrequencyResponse r = again(text, Wanted.ONLY);
    assertThat(accelerance(r, 1)[0]).isCloseTo(2 * 0.3048 / 4.4482216152605, within(1e-12));
    assertThat(r.origin().remarks()).noneMatch(m -> m.contains("names no units"));

    FrequencyResponse last =
        again(
            function(place(4, 1, 1, 1, 1), FORM, HZ, axis(12, "NONE"), axis(13, "NONE"), VALUES)
                + units,
            Wanted.ONLY);
    assertThat(accelerance(last, 1)).containsExactly(accelerance(r, 1));
    assertThat(last.origin().remarks()).isEqualTo(r.origin().remarks());

    FrequencyResponse labelled =
        again(
            text.replace(axis(12, "NONE"), axis(12, "m/s^2"))
                .replace(axis(13, "NONE"), axis(13, "N")),
            Wanted.ONLY);
    assertThat(accelerance(labelled, 1)[0]).isCloseTo(2, within(1e-12));
    assertThat(labelled.origin().remarks()).anyMatch(m -> m.contains("dataset 164"));
  }

  @Test
  void aDirectionTheOtherWayTurnsTheSign() throws IOException {
    for (int[] way : new int[][] {{-2, 2, -1}, {2, -2, -1}, {-2, -2, 1}, {2, 2, 1}}) {
      FrequencyResponse r =
          again(
              function(
                  place(4, 3, way[0], 3, way[1]),
                  FORM,
                  HZ,
                  axis(12, "m/s^2"),
                  axis(13, "N"),
                  VALUES),
              Wanted.ONLY);
      assertThat(accelerance(r, 1)[0]).isCloseTo(2.0 * way[2], within(1e-12));
      assertThat(r.origin().axis()).isEqualTo("y");
    }
  }

  @Test
  void theAxisChoosesAmongSeveral() throws IOException {
    String x = function(place(4, 1, 1, 1, 1), FORM, HZ, axis(12, "m/s^2"), axis(13, "N"), VALUES);
    String y = x.replace(place(4, 1, 1, 1, 1), place(4, 1, -2, 1, 2));
    String far = x.replace(place(4, 1, 1, 1, 1), place(4, 7, 1, 1, 1));
    String xy = x.replace(place(4, 1, 1, 1, 1), place(4, 1, 1, 1, 2));
    String time = x.replace(place(4, 1, 1, 1, 1), place(1, 1, 1, 1, 1));
    String all = time + x + y + far + xy;
    assertThat(accelerance(again(all, Wanted.along("y")), 1)[0]).isCloseTo(-2, within(1e-12));
    assertThat(accelerance(again(all, Wanted.along("x")), 1)[0]).isCloseTo(2, within(1e-12));
    assertThat(again(all, Wanted.along("xy")).origin().axis()).isEqualTo("xy");
    assertThat(again(all, Wanted.number(4)).origin().remarks()).anyMatch(r -> r.contains("node 7"));
    assertThatThrownBy(() -> again(all, Wanted.ONLY))
        .isInstanceOf(BadInputException.class)
        .hasMessageContaining(
            "a.unv: holds 4 frequency responses: 2 (response 1 +x, force 1 +x), 3")
        .hasMessageContaining("\"function\"");
    assertThatThrownBy(() -> again(all, Wanted.along("z")))
        .hasMessageContaining("none along z: 2 (response 1 +x");
    assertThatThrownBy(
            () ->
                again(
                    all + far.replace("  7   1", "  8   1") + far.replace("  7   1", "  9   1"),
                    Wanted.number(1)))
        .hasMessageContaining("function 1 is a time response");
    assertThatThrownBy(() -> again(all, Wanted.number(9)))
        .hasMessageContaining("is not in the file");
    assertThatThrownBy(() -> again(time + "    -1\n    55\nx\n    -1\n", Wanted.ONLY))
        .hasMessageContaining("function 1 is a time response")
        .hasMessageContaining("1 dataset 55");
  }

  @Test
  void numbersMayTouchOrHaveFortransExponents() throws IOException {
    for (String values :
        List.of(
            "  1.00000E+00  0.00000E+00  2.00000E+00  3.00000E+00",
            " -1.00000E+00-0.00000E+00  2.00000E+00  3.00000E+00",
            " -1.00000E+00 -0.00000E+00  2.00000D+00  3.00000D+00",
            "1 0 2 3",
            "  1.00000E+00  0.00000E+00\n\n  2.00000+000  3.00000E+00")) {
      FrequencyResponse r =
          again(
              function(place(4, 1, 1, 1, 1), FORM, HZ, axis(12, "m/s^2"), axis(13, "N"), values),
              Wanted.ONLY);
      assertThat(accelerance(r, 1)[0]).as(values).isCloseTo(2, within(1e-12));
      assertThat(accelerance(r, 1)[1]).as(values).isCloseTo(3, within(1e-12));
    }
  }

  @Test
  void otherLineEnds() throws IOException {
    String text =
        function(place(4, 1, 1, 1, 1), FORM, HZ, axis(12, "m/s^2"), axis(13, "N"), VALUES);
    for (String end : List.of("\r\n", "\r")) {
      assertThat(accelerance(again(text.replace("\n", end), Wanted.ONLY), 1)[1])
          .isCloseTo(3, within(1e-12));
    }
  }

  @ParameterizedTest
  @CsvSource({"5, 1, 1, 4", "6, 1, 2, 8", "5, 0, 2, 4", "6, 0, 1, 4", "6, 0, 2, 8"})
  void binary(int ordinate, int even, int order, int abscissaBytes) throws IOException {
    ByteArrayOutputStream all = new ByteArrayOutputStream();
    int real = ordinate == 6 ? 8 : 4;
    int length = 2 * (2 * real + (even == 1 ? 0 : abscissaBytes));
    String text =
        function(
            place(4, 1, 1, 1, 1),
            FORM.replace(
                "         5         2         1",
                "         " + ordinate + "         2         " + even),
            HZ,
            axis(12, "m/s^2"),
            axis(13, "N"),
            "");
    String head =
        text.substring(0, text.lastIndexOf("\n    -1"))
            .replace("    58\n", String.format("    58b%6d%6d%12d%12d%n", order, 2, 11, length));
    all.write(head.getBytes(StandardCharsets.ISO_8859_1));
    ByteBuffer bytes =
        ByteBuffer.allocate(length)
            .order(order == 1 ? ByteOrder.LITTLE_ENDIAN : ByteOrder.BIG_ENDIAN);
    double[][] rows = {{100, 1, 0}, {150, 2, 3}};
    for (double[] row : rows) {
      for (int i = even; i < 3; i++) {
        if (i == 0 ? abscissaBytes == 8 : real == 8) {
          bytes.putDouble(row[i]);
        } else {
          bytes.putFloat((float) row[i]);
        }
      }
    }
    all.write(bytes.array());
    all.write("    -1\n".getBytes(StandardCharsets.ISO_8859_1));
    Path file = folder.resolve("b.uff");
    Files.write(file, all.toByteArray());
    FrequencyResponse r = Dataset58.read(file, Wanted.ONLY);
    assertThat(r.frequencyHz(1)).isEqualTo(150);
    assertThat(accelerance(r, 1)[0]).isCloseTo(2, within(1e-12));
    assertThat(accelerance(r, 1)[1]).isCloseTo(3, within(1e-12));

    Files.write(file, java.util.Arrays.copyOf(all.toByteArray(), all.size() - 12));
    assertThatThrownBy(() -> Dataset58.read(file, Wanted.ONLY))
        .isInstanceOf(BadInputException.class)
        .hasMessageStartingWith("b.uff: line 13: no closing");
  }

  // What is refused -------------------------------------------------------------------------------

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "'' | '' | is empty",
        "'    -1' | 'x' | line 1: is no universal file",
        "'    58\n' | '   abc\n' | must begin with its number",
        "'    4         1' | '    x         1' | line 8: does not say kind, node and direction",
        "'         5         2         1' | '         9         2         1' | line 9: values of type 9",
        "'         5         2         1' | '         5         0         1' | line 9: says 0 values",
        "'         5         2         1' | '         5 999999999         1' | line 9: says 999999999 values",
        "'         5         2         1' | '         5         2         7' | spacing of abscissas",
        "'         5         2         1' | '         5         3         1' | only 2 of 3 values of function 1",
        "'         5         2         1' | '         2         4         1' | holds real values only",
        "'1.00000E+02  5.00000E+01' | '1.00000E+02  0.00000E+00' | frequencies must be positive and rise",
        "'1.00000E+02  5.00000E+01' | '-1.0000E+02  5.00000E+01' | frequencies must be positive and rise",
        "'  2.00000E+00' | '  2.00000E+99' | value 2 is a receptance of more than",
        "'  2.00000E+00' | '          NaN' | line 14: \"1.00000E+00",
        "'        12    0' | '         1    0' | does not say whether",
        "'        13    0' | '        12    0' | is not per force",
        "'        18    0' | '        17    0' | is not over frequency",
        "'   1 NONE' | '   5 NONE' | is of a rotation",
        "'   1 NONE' | '  99 NONE' | direction 99 is none",
      })
  void damageGetsOneLine(String from, String to, String why) throws IOException {
    String good =
        function(place(4, 1, 1, 1, 1), FORM, HZ, axis(12, "NONE"), axis(13, "NONE"), VALUES);
    assertThat(good).contains(from);
    String bad = from.isEmpty() ? "" : good.replaceFirst(java.util.regex.Pattern.quote(from), to);
    assertThatThrownBy(() -> again(bad, Wanted.ONLY))
        .isInstanceOf(BadInputException.class)
        .hasMessageStartingWith("a.unv: ")
        .hasMessageContaining(why);
  }
}
