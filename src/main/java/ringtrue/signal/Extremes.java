package ringtrue.signal;

/** Largest and smallest values, four comparisons side by side since one alone would wait. */
final class Extremes {

  private Extremes() {}

  /** Largest of the first n values; negative infinity for none. */
  static double largest(double[] values, int n) {
    double a = Double.NEGATIVE_INFINITY;
    double b = a;
    double c = a;
    double d = a;
    int i = 0;
    for (; i + 3 < n; i += 4) {
      a = values[i] > a ? values[i] : a;
      b = values[i + 1] > b ? values[i + 1] : b;
      c = values[i + 2] > c ? values[i + 2] : c;
      d = values[i + 3] > d ? values[i + 3] : d;
    }
    for (; i < n; i++) {
      a = values[i] > a ? values[i] : a;
    }
    return Math.max(Math.max(a, b), Math.max(c, d));
  }

  /** Smallest of the first n values; positive infinity for none. */
  static double smallest(double[] values, int n) {
    double a = Double.POSITIVE_INFINITY;
    double b = a;
    double c = a;
    double d = a;
    int i = 0;
    for (; i + 3 < n; i += 4) {
      a = values[i] < a ? values[i] : a;
      b = values[i + 1] < b ? values[i + 1] : b;
      c = values[i + 2] < c ? values[i + 2] : c;
      d = values[i + 3] < d ? values[i + 3] : d;
    }
    for (; i < n; i++) {
      a = values[i] < a ? values[i] : a;
    }
    return Math.min(Math.min(a, b), Math.min(c, d));
  }
}
