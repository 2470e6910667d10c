package ringtrue.signal;

import java.util.Arrays;
import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;
import org.apache.commons.math3.distribution.GammaDistribution;

/**
 * The noise among which lines stand, and how far one must stand out of it.
 *
 * <p>The power of noise at a line, averaged over n independent frames, is distributed as a Gamma
 * variable of shape n and mean 1 (times the noise); what exceeds the quantile 1 − p of that has a
 * chance of p to be noise. The noise itself is the median of the lines around, which lines do not
 * lift as long as they are fewer than half.
 */
final class LineFloor {
  /** Half the lines over which the median is taken. */
  static final int REACH = 48;

  private static final Map<Long, Double> QUANTILES = new ConcurrentHashMap<>();
  private static final int STEP = 16;

  private LineFloor() {}

  /**
   * Mean noise at each line.
   *
   * @param power lines; NaN for those that do not count
   * @param independent frames that were averaged
   * @return mean noise at each line; finite and more than 0
   */
  static double[] of(double[] power, double independent) {
    int n = power.length;
    int knots = Math.max(1, (n + STEP - 1) / STEP);
    double[] knot = new double[knots];
    double[] some = new double[2 * REACH + 1];
    double toMean = 1 / medianOfMean(independent);
    double last = Double.MIN_NORMAL;
    for (int j = 0; j < knots; j++) {
      int middle = Math.min(n - 1, j * STEP + STEP / 2);
      int used = 0;
      // as many lines to each side as count, however far they lie
      for (int reach = REACH; used < REACH / 2 && reach <= 16 * REACH; reach *= 2) {
        used = 0;
        int from = Math.max(1, middle - reach);
        int to = Math.min(n - 1, middle + reach);
        int stride = Math.max(1, (to - from) / (2 * REACH));
        for (int k = from; k <= to && used < some.length; k += stride) {
          if (!Double.isNaN(power[k])) {
            some[used++] = power[k];
          }
        }
      }
      if (used > 0) {
        Arrays.sort(some, 0, used);
        last = Math.max(Double.MIN_NORMAL, toMean * median(some, used));
      }
      knot[j] = last;
    }
    double[] floor = new double[n];
    for (int k = 0; k < n; k++) {
      double at = (k - STEP / 2.0) / STEP;
      int j = (int) Math.max(0, Math.min(knots - 2.0, Math.floor(at)));
      double part = Math.max(0, Math.min(1, at - j));
      double next = knot[Math.min(knots - 1, Math.max(0, j + 1))];
      floor[k] =
          Math.max(
              Double.MIN_NORMAL,
              Math.exp((1 - part) * Math.log(knot[Math.max(0, j)]) + part * Math.log(next)));
    }
    return floor;
  }

  private static double median(double[] sorted, int n) {
    return n % 2 == 1 ? sorted[n / 2] : 0.5 * (sorted[n / 2 - 1] + sorted[n / 2]);
  }

  /** Median of a Gamma variable of that shape and mean 1. */
  static double medianOfMean(double shape) {
    return threshold(shape, 0.5);
  }

  /**
   * How many times the noise a line must be so that noise alone is above it with a given chance.
   *
   * @param independent frames that were averaged, 0.3 or more
   * @param chance chance for a single line, above 0
   */
  static double threshold(double independent, double chance) {
    double shape = Math.max(0.3, Math.rint(independent * 20) / 20);
    double tail = Math.max(1e-13, chance);
    long key = Math.round(shape * 20) << 32 | Float.floatToIntBits((float) tail);
    return QUANTILES.computeIfAbsent(
        key, k -> new GammaDistribution(shape, 1 / shape).inverseCumulativeProbability(1 - tail));
  }
}
