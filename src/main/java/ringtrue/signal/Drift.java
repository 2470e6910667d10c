package ringtrue.signal;

/**
 * Slow drift of a response, as displacement and velocity sensors have: no ringing, which a decay
 * would be taken from.
 */
final class Drift {

  /** Part of the later half's power that a parabola has to explain to be called drift. */
  private static final double MOST_OF_IT = 0.5;

  private Drift() {}

  /**
   * Takes off the parabola through the later half of a response where it is most of what is there.
   *
   * @param x response from the onset on, resting value 0
   * @return whether it was
   */
  static boolean takeOff(double[] x) {
    int from = x.length / 2;
    int n = x.length - from;
    // Legendre polynomials are orthogonal but for the sampling, which n samples make small
    double[] c = new double[3];
    for (int i = 0; i < n; i++) {
      double[] p = legendre(i, n);
      for (int k = 0; k < c.length; k++) {
        c[k] += (2 * k + 1) * p[k] * x[from + i] / n;
      }
    }
    double all = 0;
    double left = 0;
    for (int i = 0; i < n; i++) {
      double off = x[from + i] - value(c, legendre(i, n));
      all += x[from + i] * x[from + i];
      left += off * off;
    }
    if (left > (1 - MOST_OF_IT) * all) {
      return false;
    }
    for (int i = 0; i < x.length; i++) {
      x[i] -= value(c, legendre(i - from, n));
    }
    return true;
  }

  private static double[] legendre(int i, int n) {
    double u = (2 * i + 1.0) / n - 1;
    return new double[] {1, u, 1.5 * u * u - 0.5};
  }

  private static double value(double[] c, double[] p) {
    return c[0] * p[0] + c[1] * p[1] + c[2] * p[2];
  }
}
