package ringtrue.signal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Path;
import java.util.Comparator;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import ringtrue.acquisition.MemoryRecording;
import ringtrue.acquisition.WavRecording;
import ringtrue.dynamics.Progress;

/** Sounds made by NumPy and SciPy ({@code fixtures/sound/make_sounds.py}). */
class CutSoundFixtureTest {
  private static final Path FOLDER = Path.of("fixtures", "sound");
  private static final double RATE = 8000;

  private static double[] samples(String name) throws IOException {
    return MemoryRecording.copyOf(WavRecording.open(FOLDER.resolve(name))).channel(1);
  }

  /** The chance of a line of noise to stand out is the one that the threshold was made for. */
  @ParameterizedTest
  @ValueSource(strings = {"noise.wav", "coloured.wav"})
  void noiseStandsOutAsSeldomAsDerived(String name) throws IOException {
    double[] all = samples(name);
    int size = 1024;
    // ten stretches of two seconds, each averaged over 59 overlapping frames
    for (double chance : new double[] {1e-1, 1e-2, 1e-3}) {
      int above = 0;
      int lines = 0;
      for (int s = 0; s < 10; s++) {
        SoundFrames frames = SoundFrames.of(all, s * 16_000, (s + 1) * 16_000, RATE, size);
        double independent = SoundFrames.independent(frames.count(), size);
        double[] mean = new double[frames.bins()];
        for (int t = 0; t < frames.count(); t++) {
          for (int k = 0; k < mean.length; k++) {
            mean[k] += frames.frame(t)[k] / frames.count();
          }
        }
        double[] floor = LineFloor.of(mean, independent);
        double threshold = LineFloor.threshold(independent, chance);
        for (int k = 12; k < mean.length - 12; k++) {
          lines++;
          above += mean[k] > threshold * floor[k] ? 1 : 0;
        }
      }
      // lines beside each other are not independent: some four of them vary together
      double expected = chance * lines;
      double sigma = 2 * Math.sqrt(expected);
      assertThat((double) above)
          .as("%s at %g: %d of %d", name, chance, above, lines)
          .isBetween(0.6 * expected - 3 * sigma, 1.25 * expected + 3 * sigma);
      assertThat(above).isPositive();
    }
  }

  @ParameterizedTest
  @ValueSource(strings = {"noise.wav", "coloured.wav"})
  void noiseAloneIsNoCut(String name) throws IOException {
    double[] all = samples(name);
    for (int s = 0; s < 5; s++) {
      double[] some = java.util.Arrays.copyOfRange(all, s * 32_000, (s + 1) * 32_000);
      HeardCut heard =
          new CutSoundReader(StatedCut.even(12_000, 2 + s % 3), HeardStructure.UNKNOWN)
              .read(some, RATE, Progress.NONE);
      assertThat(heard.verdict()).isEqualTo(HeardCut.Verdict.NOTHING_HEARD);
      assertThat(heard.peaks()).isEmpty();
    }
  }

  @Test
  void linesHaveTheirFrequenciesAndLevels() throws IOException {
    JsonNode truth = new ObjectMapper().readTree(FOLDER.resolve("lines.json").toFile());
    HeardCut heard =
        new CutSoundReader(StatedCut.even(12_500, 3), HeardStructure.UNKNOWN)
            .read(samples("lines.wav"), RATE, Progress.NONE);
    double turns = truth.get("turnsHz").asDouble();
    assertThat(heard.spindleHz()).isCloseTo(turns, within(2e-5 * turns));
    assertThat(heard.toothPassHz()).isCloseTo(3 * turns, within(6e-5 * turns));
    for (JsonNode line : truth.get("lines")) {
      double hz = line.get("frequencyHz").asDouble();
      SoundLine found =
          heard.peaks().stream()
              .min(Comparator.comparingDouble(p -> Math.abs(p.frequencyHz() - hz)))
              .orElseThrow();
      assertThat(found.frequencyHz()).isCloseTo(hz, within(0.1));
      assertThat(found.levelDb())
          .as("at %.2f Hz", hz)
          .isCloseTo(line.get("levelDb").asDouble(), within(0.5));
      long order = Math.round(hz / turns);
      boolean onComb = Math.abs(hz - order * turns) < 0.01;
      assertThat(found.is())
          .isEqualTo(
              !onComb
                  ? SoundLine.Kind.OTHER
                  : order % 3 == 0 ? SoundLine.Kind.TOOTH_PASSING : SoundLine.Kind.RUNOUT);
    }
    // a strong line that nothing explains: nobody can say what it is from this sound alone
    assertThat(heard.verdict()).isEqualTo(HeardCut.Verdict.CANNOT_TELL);
    assertThat(heard.because()).contains("731.37 Hz", "recording in air");
  }
}
