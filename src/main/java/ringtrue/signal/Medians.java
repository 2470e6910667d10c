package ringtrue.signal;

import java.util.Arrays;

/** Medians of numbers of which some may be unknown. */
final class Medians {

  private Medians() {}

  /** Median of the values that are numbers; NaN if none is. */
  static double of(double... values) {
    double[] sorted = Arrays.stream(values).filter(v -> !Double.isNaN(v)).sorted().toArray();
    int n = sorted.length;
    if (n == 0) {
      return Double.NaN;
    }
    return n % 2 == 1 ? sorted[n / 2] : (sorted[n / 2 - 1] + sorted[n / 2]) / 2;
  }
}
