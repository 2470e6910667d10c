package ringtrue.fitting;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;

/** Remarks on pairs of modes: each where it belongs, and nowhere else. */
class FitRemarksTest {

  @Test
  void pairsWithinABandwidthGetTheirCorrelation() {
    SyntheticTaps taps = taps(Mode.of(400, 0.02, 5e6), Mode.of(412, 0.02, 5e6));
    assertThat(fit(taps.measure(1), FitSettings.AUTOMATIC).remarks())
        .anyMatch(
            r ->
                r.contains("closer than one half-power bandwidth")
                    && r.matches(".*a correlation of -?0?\\.?[0-9.]+\\.$"))
        .noneMatch(r -> r.contains("cannot be told from a single one"));
  }

  /** A tenth of a bandwidth apart in noise, two asked for: one would do, and that is said. */
  @Test
  void aPairThatCostsNothingIsNoPair() {
    int said = 0;
    for (int seed = 1; seed <= 3; seed++) {
      for (double apart : new double[] {1, 2}) {
        said += saysOne(apart, apart == 1 ? 45 : 35, seed) ? 1 : 0;
      }
    }
    assertThat(said).isPositive();
  }

  /** A third of a bandwidth apart with little noise: the data tell two, and nothing is said. */
  @Test
  void aPairThatTheDataTellIsAPair() {
    for (int seed = 1; seed <= 3; seed++) {
      assertThat(saysOne(5, 55, seed)).isFalse();
      assertThat(saysOne(5, 45, seed)).isFalse();
    }
  }

  private static boolean saysOne(double apartHz, double snrDb, int seed) {
    SyntheticTaps taps = taps(Mode.of(400, 0.02, 5e6), Mode.of(400 + apartHz, 0.02, 5e6));
    taps.snrDb = snrDb;
    return fit(taps.measure(seed), FitSettings.AUTOMATIC.withCount(2)).remarks().stream()
        .anyMatch(r -> r.contains("cannot be told from a single one"));
  }

  @Test
  void modesWellApartAreNoPair() {
    SyntheticTaps taps = taps(Mode.of(400, 0.02, 5e6), Mode.of(440, 0.02, 5e6));
    assertThat(fit(taps.measure(1), FitSettings.AUTOMATIC).remarks())
        .noneMatch(r -> r.contains("bandwidth") && r.contains("closer"))
        .noneMatch(r -> r.contains("cannot be told"));
  }

  private static SyntheticTaps taps(Mode... modes) {
    SyntheticTaps taps = new SyntheticTaps(modes);
    taps.sampleRateHz = 4096;
    taps.blockLength = 4096;
    taps.contactS = 0.8e-3;
    return taps;
  }

  private static FittedModes fit(FrequencyResponse response, FitSettings settings) {
    return ModeFitter.fit(response, settings.withBand(150, 900), Progress.NONE);
  }
}
