package ringtrue.fitting;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.offset;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import ringtrue.dynamics.Mode;

class ClampingSpreadTest {
  private static Mode mode(double hz, double damping, double stiffness) {
    return new Mode(hz, damping, stiffness, 1e-4 * hz, 1e-3 * damping, 1e-3 * stiffness, -90);
  }

  /**
   * Factor of a 95 % prediction interval over 1.96: Student's t for 1, 2, 4, 9 degrees of freedom
   * is 12.706, 4.303, 2.776, 2.262 in every table.
   */
  @ParameterizedTest
  @CsvSource({"2, 12.706", "3, 4.303", "5, 2.776", "10, 2.262"})
  void theFactorIsThatOfAPredictionInterval(int n, double t) {
    assertThat(ClampingSpread.factor(n)).isCloseTo(t / 1.96 * Math.sqrt(1 + 1.0 / n), offset(2e-3));
  }

  @Test
  void twoClampingsByHand() {
    List<List<Mode>> two = List.of(List.of(mode(1000, 0.02, 1e6)), List.of(mode(1010, 0.02, 1e6)));
    ClampingSpread.Spread spread = ClampingSpread.of(two).spreads().get(0);
    double scatter = Math.log(1.01) / Math.sqrt(2);
    assertThat(spread.frequency()).isCloseTo(scatter, offset(1e-12));
    assertThat(spread.mode().frequencyHz()).isCloseTo(Math.sqrt(1000 * 1010), offset(1e-9));
    assertThat(spread.mode().frequencyHzSigma() / spread.mode().frequencyHz())
        .isCloseTo(12.7062 / 1.96 * Math.sqrt(1.5) * scatter, offset(1e-5));
    // values that agree by chance do not count as exact: each is as uncertain as it was measured
    assertThat(spread.mode().stiffnessNPerMSigma()).isCloseTo(1e3 / Math.sqrt(2), offset(1e-6));
  }

  /**
   * The next clamping's true value lies within 1.96 sigma in 95 of 100 cases: 4,000 drawn set-ups
   * for each number of clampings, values scattered from clamping to clamping and each measured with
   * an error. Where the measuring errors count, the share is a little larger.
   */
  @ParameterizedTest
  @ValueSource(ints = {2, 3, 5, 10})
  void theNextClampingLiesWithinTheSigmas(int n) {
    Random random = new Random(40 + n);
    double[] scatter = {0.003, 0.02, 0.03};
    double own = 0.25;
    int draws = 4_000;
    int[] inside = new int[3];
    for (int d = 0; d < draws; d++) {
      List<List<Mode>> clampings = new ArrayList<>();
      for (int i = 0; i < n; i++) {
        double[] v = values(random, scatter, own);
        clampings.add(
            List.of(
                new Mode(
                    1000 * v[0],
                    0.02 * v[1],
                    1e6 * v[2],
                    1000 * own * scatter[0],
                    0.02 * own * scatter[1],
                    1e6 * own * scatter[2],
                    -90)));
      }
      Mode next = ClampingSpread.of(clampings).modes().get(0);
      double[] truth = values(random, scatter, 0);
      inside[0] +=
          Math.abs(1000 * truth[0] - next.frequencyHz()) < 1.96 * next.frequencyHzSigma() ? 1 : 0;
      // sigma of a lognormal value back to that of its logarithm
      inside[1] += within(truth[1] * 0.02, next.dampingRatio(), next.dampingRatioSigma()) ? 1 : 0;
      inside[2] +=
          within(truth[2] * 1e6, next.stiffnessNPerM(), next.stiffnessNPerMSigma()) ? 1 : 0;
    }
    for (int v = 0; v < 3; v++) {
      // three sigmas of the count are one per cent
      assertThat(inside[v] / (double) draws).as("value %d", v).isBetween(0.94, 0.98);
    }
  }

  private static boolean within(double truth, double median, double sigma) {
    double part = sigma / median;
    double log = Math.sqrt(Math.log1p(0.5 * (Math.sqrt(1 + 4 * part * part) - 1)));
    return Math.abs(Math.log(truth / median)) < 1.96 * log;
  }

  private static double[] values(Random random, double[] scatter, double own) {
    double[] v = new double[3];
    for (int k = 0; k < 3; k++) {
      v[k] = Math.exp(scatter[k] * (random.nextGaussian() + own * random.nextGaussian()));
    }
    return v;
  }

  @Test
  void modesKeepTheirPartnersAndRareOnesAreNamed() {
    List<List<Mode>> three =
        List.of(
            List.of(mode(500, 0.02, 1e6), mode(900, 0.02, 2e6)),
            List.of(mode(505, 0.02, 1e6), mode(905, 0.02, 2e6), mode(2000, 0.01, 5e6)),
            List.of(mode(503, 0.02, 1e6)));
    ClampingSpread.Result result = ClampingSpread.of(three);
    assertThat(result.spreads().stream().map(ClampingSpread.Spread::clampings))
        .containsExactly(3, 2);
    assertThat(result.remarks())
        .anySatisfy(
            r -> assertThat(r).contains("905.0 Hz was found in 2 of 3").contains("it is kept"))
        .anySatisfy(
            r -> assertThat(r).contains("2000 Hz was found in 1 of 3").contains("left out"));
  }

  @Test
  void aSteadyDriftIsATrendAndScatterIsNot() {
    Random random = new Random(5);
    List<List<Mode>> drifting = new ArrayList<>();
    List<List<Mode>> steady = new ArrayList<>();
    List<Double> days = new ArrayList<>();
    for (int i = 0; i < 8; i++) {
      double scatter = 1 + 0.001 * random.nextGaussian();
      drifting.add(List.of(mode(1000 * (1 - 0.002 * i) * scatter, 0.02, 1e6)));
      steady.add(List.of(mode(1000 * scatter, 0.02, 1e6)));
      days.add(30.0 * i);
    }
    ModeDrift down = ModeDrift.of(ModeTracks.of(drifting).get(0), days);
    assertThat(down.frequency().isTrend()).isTrue();
    assertThat(30 * down.frequency().perDay()).isCloseTo(-0.002, offset(3e-4));
    assertThat(ModeDrift.of(ModeTracks.of(steady).get(0), days).frequency().isTrend()).isFalse();
  }
}
