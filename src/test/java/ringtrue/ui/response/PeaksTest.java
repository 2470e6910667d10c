package ringtrue.ui.response;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Arrays;
import org.junit.jupiter.api.Test;

class PeaksTest {
  private static final double[] X = new double[2000];
  private static final double[] Y = new double[2000];

  static {
    Arrays.setAll(X, i -> i + 1.0);
    Arrays.setAll(Y, i -> resonance(X[i], 240) + resonance(X[i], 1600));
  }

  private static double resonance(double hz, double natural) {
    double r = hz / natural;
    return 1 / Math.hypot(1 - r * r, 0.04 * r);
  }

  @Test
  void peaksThatStandOutAreFound() {
    double[] peaks = Peaks.of(X, Y, 0, 2000);
    assertThat(peaks).hasSize(2);
    assertThat(peaks[0]).isBetween(238.0, 242.0);
    assertThat(peaks[1]).isBetween(1595.0, 1605.0);
    assertThat(Peaks.of(X, Y, 500, 2000)).hasSize(1);
  }

  @Test
  void noiseIsNoPeak() {
    double[] y = new double[X.length];
    Arrays.setAll(y, i -> 1 + 0.3 * Math.sin(i));
    assertThat(Peaks.of(X, y, 0, 2000)).isEmpty();
  }

  @Test
  void theNextOneComesAndThenTheFirstAgain() {
    double[] peaks = {240, 1600};
    assertThat(Peaks.next(peaks, Double.NaN)).isEqualTo(240);
    assertThat(Peaks.next(peaks, 240)).isEqualTo(1600);
    assertThat(Peaks.next(peaks, 1700)).isEqualTo(240);
    assertThat(Peaks.next(new double[0], 1)).isNaN();
  }
}
