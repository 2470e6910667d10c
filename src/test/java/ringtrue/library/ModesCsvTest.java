package ringtrue.library;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Residual;
import ringtrue.units.BadInputException;

class ModesCsvTest {
  @TempDir Path folder;

  private static ModalModel random(long seed) {
    Random r = new Random(seed);
    List<Mode> modes = new ArrayList<>();
    for (int i = 0; i < 7; i++) {
      boolean known = i % 3 != 0;
      modes.add(
          new Mode(
              100 + 3000 * r.nextDouble(),
              r.nextDouble() * 0.1 + 1e-4,
              1e7 * (r.nextDouble() + 0.1),
              known ? r.nextDouble() : Double.NaN,
              known ? r.nextDouble() * 1e-5 : Double.NaN,
              known ? 1e4 * r.nextDouble() : Double.NaN,
              known ? -90 + r.nextGaussian() : Double.NaN));
    }
    return new ModalModel(modes, new Residual(1e-8 * r.nextGaussian(), r.nextDouble()));
  }

  private Path file(String name, String text) throws IOException {
    Path file = folder.resolve(name);
    Files.writeString(file, text);
    return file;
  }

  @Test
  void whatIsWrittenIsReadToTheLastBit() throws IOException {
    for (long seed = 0; seed < 20; seed++) {
      ModalModel before = random(seed);
      ModalModel after = ModesFile.read(file("a.csv", ModesCsv.toText(before)));
      assertThat(after).isEqualTo(before);
    }
  }

  @Test
  void oldFilesWithoutResidualTermsAndOtherOrders() throws IOException {
    ModalModel read =
        ModesCsv.read(
            file(
                "a.csv",
                "\uFEFFstiffness_n_per_m, frequency_hz, damping_ratio\r\n2.1e6, 1240, 0.016\r\n\r\n"));
    assertThat(read).isEqualTo(ModalModel.of(Mode.of(1240, 0.016, 2.1e6)));
  }

  private static final String HEAD = "frequency_hz,damping_ratio,stiffness_n_per_m\n";

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "'' | is empty",
        "'x\n' | line 1: column \"x\" is not known",
        "'frequency_hz,dampin_ratio\n' | did you mean \"damping_ratio\"",
        "'frequency_hz,frequency_hz\n' | is there twice",
        "'frequency_hz,damping_ratio\n' | column stiffness_n_per_m is missing",
        "'HEAD1,2\n' | line 2: has 2 values, the header has 3",
        "'HEAD1240,0.016,\n' | stiffness is unknown",
        "'HEAD,0.016,1e6\n' | frequency_hz is empty",
        "'HEAD1240,1.6,1e6\n' | damping_ratio: 1.6 makes no sense",
        "'HEAD1240,0.016,-1e6\n' | stiffness_n_per_m: -1000000.0 makes no sense",
        "'HEAD1240,0.016,1e999\n' | is not a finite number",
        "'HEAD1240,0.016,0x1p20\n' | is not a finite number",
        "'HEAD1240,0.016,NaN\n' | is not a finite number"
      })
  void badFilesGetOneLine(String text, String why) throws IOException {
    Path file = file("b.csv", text.replace("HEAD", HEAD));
    assertThatThrownBy(() -> ModesCsv.read(file))
        .isInstanceOf(BadInputException.class)
        .hasMessageStartingWith("b.csv: ")
        .hasMessageContaining(why);
  }

  @Test
  void residualTermsAndSigmasAreChecked() throws IOException {
    String two =
        "frequency_hz,damping_ratio,stiffness_n_per_m,residual_upper_m_per_n,frequency_hz_sigma\n"
            + "100,0.01,1e6,1e-9,1\n200,0.01,1e6,%s,%s\n";
    assertThatThrownBy(() -> ModesCsv.read(file("c.csv", String.format(two, "1e-9", ""))))
        .hasMessageContaining("line 3: residual terms belong to all modes");
    assertThatThrownBy(() -> ModesCsv.read(file("c.csv", String.format(two, "", "-1"))))
        .hasMessageContaining("must not be negative");
  }

  @Test
  void whatModesPrintsAsJson() throws IOException {
    String json =
        """
        {"modes": [{"frequencyHz": 1240.5, "frequencyHzSigma": 0.1, "dampingRatio": 0.016,
          "dampingRatioSigma": null, "stiffnessNPerM": 2.1e6, "stiffnessNPerMSigma": 1e4,
          "massKg": 0.03, "phaseDeg": -91.5, "somethingNew": [1]}],
         "residual": {"upperMPerN": 1e-9, "lowerPerKg": 0.5}, "bandHz": [1, 2], "remarks": []}
        """;
    ModalModel read = ModesFile.read(file("a.json", json));
    assertThat(read.residual()).isEqualTo(new Residual(1e-9, 0.5));
    assertThat(read.modes())
        .containsExactly(new Mode(1240.5, 0.016, 2.1e6, 0.1, Double.NaN, 1e4, -91.5));
    assertThatThrownBy(() -> ModesFile.read(file("b.json", json.replace("2.1e6", "null"))))
        .hasMessageStartingWith("b.json: modes[0].stiffnessNPerM: is unknown");
    assertThatThrownBy(() -> ModesFile.read(file("b.json", "{\"measurements\": []}")))
        .hasMessageContaining("one for each file");
    assertThatThrownBy(() -> ModesFile.read(file("b.json", "{}"))).hasMessageContaining("missing");
    assertThatThrownBy(() -> ModesFile.read(file("b.json", "[]")))
        .hasMessageContaining("one JSON object");
  }
}
