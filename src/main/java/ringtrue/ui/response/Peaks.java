package ringtrue.ui.response;

import java.util.ArrayList;
import java.util.List;

/** Peaks of a curve that stand out, for a cursor that jumps from one to the next. */
final class Peaks {
  /** A peak stands this many times above the lowest point on either side of it. */
  private static final double STANDS_OUT = 2;

  private Peaks() {}

  /**
   * The places of the peaks, rising.
   *
   * @param x places, rising
   * @param y sizes, not negative; gaps are left out
   * @param from lowest place that counts
   * @param to highest place that counts
   */
  static double[] of(double[] x, double[] y, double from, double to) {
    List<Double> found = new ArrayList<>();
    double low = Double.POSITIVE_INFINITY;
    double high = 0;
    double at = Double.NaN;
    boolean climbing = true;
    for (int i = 0; i < x.length; i++) {
      if (!(x[i] >= from && x[i] <= to) || Double.isNaN(y[i])) {
        continue;
      }
      if (climbing) {
        if (y[i] > high) {
          high = y[i];
          at = x[i];
        } else if (y[i] * STANDS_OUT < high) {
          if (low * STANDS_OUT < high) {
            found.add(at);
          }
          low = y[i];
          climbing = false;
        }
        if (Double.isNaN(at) || low == Double.POSITIVE_INFINITY) {
          low = y[i];
        }
      } else if (y[i] < low) {
        low = y[i];
      } else if (y[i] > low * STANDS_OUT) {
        climbing = true;
        high = y[i];
        at = x[i];
      }
    }
    return found.stream().mapToDouble(d -> d).toArray();
  }

  /** The first place beyond another one, or the first of all; NaN where there is none. */
  static double next(double[] places, double after) {
    for (double place : places) {
      if (Double.isNaN(after) || place > after * (1 + 1e-9)) {
        return place;
      }
    }
    return places.length == 0 ? Double.NaN : places[0];
  }
}
