package ringtrue.library;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.units.BadInputException;

class FrequencyResponseCsvTest {
  @TempDir Path folder;

  private static FrequencyResponse random(long seed) {
    Random random = new Random(seed);
    int n = 400;
    double[][] columns = new double[5][n];
    double hz = 0;
    for (int i = 0; i < n; i++) {
      hz += 0.1 + random.nextDouble();
      columns[0][i] = hz;
      columns[1][i] = random.nextGaussian() * Math.pow(10, -random.nextInt(12));
      columns[2][i] = random.nextGaussian() * 1e-7;
      columns[3][i] = i % 7 == 0 ? Double.NaN : random.nextDouble();
      columns[4][i] = i % 7 == 0 ? Double.NaN : random.nextDouble();
    }
    return new FrequencyResponse(
        columns[0],
        columns[1],
        columns[2],
        columns[3],
        columns[4],
        new FrequencyResponse.Origin(
            "y",
            "tool tip",
            7,
            0.0217147,
            12.5,
            311.25,
            "a tool, 22 mm out",
            List.of("one", "two: 3")));
  }

  @Test
  void whatIsWrittenIsReadToTheLastBit() throws IOException {
    FrequencyResponse before = random(1);
    Path file = folder.resolve("a.csv");
    Files.writeString(file, FrequencyResponseCsv.toText(before));
    FrequencyResponse after = FrequencyResponseCsv.read(file);
    assertThat(after.origin()).isEqualTo(before.origin());
    assertThat(after.lines()).isEqualTo(before.lines());
    for (int i = 0; i < before.lines(); i++) {
      assertThat(Double.valueOf(after.frequencyHz(i)))
          .isEqualTo(Double.valueOf(before.frequencyHz(i)));
      assertThat(Double.valueOf(after.real(i))).isEqualTo(Double.valueOf(before.real(i)));
      assertThat(Double.valueOf(after.imag(i))).isEqualTo(Double.valueOf(before.imag(i)));
      assertThat(Double.valueOf(after.coherence(i))).isEqualTo(Double.valueOf(before.coherence(i)));
      assertThat(Double.valueOf(after.relativeError(i)))
          .isEqualTo(Double.valueOf(before.relativeError(i)));
    }
    assertThat(FrequencyResponseCsv.toText(after)).isEqualTo(FrequencyResponseCsv.toText(before));
  }

  private static final String HEAD =
      "# format: ringtrue-frf/1\nfrequency_hz,real_m_per_n,imag_m_per_n,coherence,relative_error\n";

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "'' | is empty",
        "'frequency_hz,real_m_per_n,imag_m_per_n\n1,2,3\n2,3,4\n' | line 1: must be",
        "'# format: other/1\nx\n' | \"ringtrue-frf/1\" is needed",
        "'# format: ringtrue-frf/2\nx\n' | newer than this program",
        "'# format: ringtrue-frf/1\n' | is empty",
        "'# format: ringtrue-frf/1\nhz,re,im\n1,2,3\n' | line 2: the columns must be",
        "'HEAD1,2,3,1,0\n' | has one line of values",
        "'HEAD1,2,3,1,0\n1,2,3,1,0\n' | line 4: frequencies must be positive and rise",
        "'HEAD0,2,3,1,0\n1,2,3,1,0\n' | line 3: frequencies must be positive and rise",
        "'HEAD1,2,3,1,0\n2,x,3,1,0\n' | line 4, real_m_per_n: \"x\" is not a finite number",
        "'HEAD1,2,3,1,0\n2,NaN,3,1,0\n' | line 4, real_m_per_n",
        "'HEAD1,2,3,1,0\n2,1e300,3,1,0\n' | line 4, real_m_per_n: 1e300 is no measured value",
        "'HEAD1,2,3,1,0\n2,,3,1,0\n' | line 4, real_m_per_n",
        "'HEAD1,2,3,1,0\n2,3,1,0\n' | line 4: has 4 values, the header has 5",
        "'HEAD1,2,3,1.5,0\n2,3,3,1,0\n' | line 3: coherence must lie between 0 and 1",
        "'HEAD1,2,3,1,-1\n2,3,3,1,0\n' | line 3: relative error must not be negative",
        "'# averages: none\nHEAD1,2,3,1,0\n2,3,3,1,0\n' | averages: \"none\" must be a whole number",
        "'# window: soft\nHEAD1,2,3,1,0\n2,3,3,1,0\n' | window: \"soft\" must be",
        "'# window: exponential 3 mm\nHEAD1,2,3,1,0\n2,3,3,1,0\n' | window: \"3 mm\" is not a time",
        "'# band_hz: 3\nHEAD1,2,3,1,0\n2,3,3,1,0\n' | band_hz: \"3\" must be two rising"
      })
  void badFilesGetOneLine(String text, String why) throws IOException {
    Path file = folder.resolve("b.csv");
    Files.writeString(file, text.replace("HEAD", HEAD));
    assertThatThrownBy(() -> FrequencyResponseCsv.read(file))
        .isInstanceOf(BadInputException.class)
        .hasMessageStartingWith("b.csv: ")
        .hasMessageContaining(why);
  }

  @Test
  void nothingIsOverwrittenUnlessAskedAndNothingLeftBehind() throws IOException {
    Path file = folder.resolve("c.csv");
    SafeFile.writeText(file, false, "first");
    assertThatThrownBy(() -> SafeFile.writeText(file, false, "second"))
        .isInstanceOf(BadInputException.class)
        .hasMessageContaining("--overwrite");
    assertThat(file).hasContent("first");
    SafeFile.writeText(file, true, "third");
    assertThat(file).hasContent("third");
    assertThatThrownBy(
            () ->
                SafeFile.write(
                    file,
                    true,
                    out -> {
                      out.write(1);
                      throw new IOException("disk full");
                    }))
        .isInstanceOf(BadInputException.class)
        .hasMessageContaining("disk full");
    assertThat(file).hasContent("third");
    try (var left = Files.list(folder)) {
      assertThat(left).containsExactly(file);
    }
  }
}
