package ringtrue.stability;

import java.util.Arrays;

/**
 * Which multiplier of a period map is the largest, by repeated squaring: {@code ‖M^(2^k)‖ < 1}
 * proves that all are inside the unit circle, {@code |trace M^(2^k)| > n} that one is outside. What
 * a high power leaves is spanned by the vectors of the largest multipliers, so that a few of its
 * columns give them by projection (Rayleigh–Ritz).
 *
 * <p>One object serves one thread.
 */
final class Multipliers {
  private static final int MOST_SQUARINGS = 16;
  private static final int VECTORS = 6;

  /** Squarings before the projection is looked at: enough to tell rough growth. */
  private static final int ROUGH = 2;

  /** Growth so near to nothing that its size is worth a projection. */
  private static final double NEAR = 0.15;

  /** Below this size a squaring costs less than a projection (measured). */
  private static final int SMALL = 30;

  private static final double CONVERGED = 1e-9;

  /** Growth so far outside that its size need not be known any better. */
  private static final double CLEAR = 0.7;

  private double[] a = new double[0];
  private double[] b = new double[0];
  private double[] basis = new double[0];
  private double[] image = new double[0];

  /**
   * The largest multiplier.
   *
   * @param logSize natural logarithm of its magnitude
   * @param angle its angle, 0 to π
   * @param sure whether the sign of {@code logSize} is proved or the multiplier converged
   */
  record Largest(double logSize, double angle, boolean sure) {

    boolean stable() {
      return logSize < 0;
    }
  }

  /** Grows in a period by more than a number can hold. */
  private static final Largest BEYOND_NUMBERS =
      new Largest(Math.log(Double.MAX_VALUE), Math.PI, true);

  /** Nothing moves. */
  static final Largest REST = new Largest(Double.NEGATIVE_INFINITY, 0, true);

  /**
   * Stable or not, with a rough size: stops as soon as the sign is proved. The size is what the
   * last squaring did to the norm.
   *
   * @param m matrix with rows of {@code stride}, padded with zeros
   * @param n its size
   */
  Largest rough(double[] m, int n, int stride) {
    if (n == 0) {
      return REST;
    }
    room(n * stride);
    double log = 0;
    double before = Double.NaN;
    double[] from = m;
    for (int k = 0; ; k++) {
      double norm = norm(from, n, stride);
      if (norm == 0) {
        return REST;
      }
      if (!(norm <= Double.MAX_VALUE)) {
        return BEYOND_NUMBERS;
      }
      double power = Math.scalb(1.0, k);
      double now = log + Math.log(norm);
      double least = log + Math.log(Math.abs(trace(from, n, stride)) / n);
      double size = k == 0 ? now : 2 * (now - before) / power;
      boolean outside = least > 0 && (k >= ROUGH || least > CLEAR * power);
      if (outside || now < 0 && k >= ROUGH) {
        if (Math.abs(size) < NEAR) {
          Largest found = projected(m, from, n, stride, true);
          size = found.logSize;
        }
        double sure = outside ? least / power : now / power;
        return new Largest(size > 0 == outside ? size : sure, Double.NaN, true);
      }
      if (k >= (n < SMALL ? 7 : 5)) {
        Largest found = projected(m, from, n, stride, true);
        if (found.sure && Math.abs(found.logSize) > 1e-8 || k >= MOST_SQUARINGS) {
          return found;
        }
      }
      from = squared(from, n, stride, norm);
      log = 2 * now;
      before = now;
    }
  }

  /** The largest multiplier to nine digits or so. */
  Largest exact(double[] m, int n, int stride) {
    if (n == 0) {
      return REST;
    }
    room(n * stride);
    int first = n < SMALL ? 8 : 6;
    double[] from = m;
    for (int k = 0; ; k++) {
      double norm = norm(from, n, stride);
      if (norm == 0) {
        return REST;
      }
      if (!(norm <= Double.MAX_VALUE)) {
        return BEYOND_NUMBERS;
      }
      if (k >= first) {
        Largest found = projected(m, from, n, stride, false);
        if (found.sure) {
          return found;
        }
        if (k >= MOST_SQUARINGS) {
          return KrylovSpace.all(m, n, stride);
        }
      }
      from = squared(from, n, stride, norm);
    }
  }

  private void room(int size) {
    if (a.length < size) {
      a = new double[size];
      b = new double[size];
    }
  }

  /** The square of a matrix over its norm. */
  private double[] squared(double[] from, int n, int stride, double norm) {
    double[] to = from == a ? b : a;
    Kernels.square(from, n, stride, to);
    double scale = 1 / norm;
    double twice = scale * scale;
    for (int i = 0; i < n * stride; i++) {
      to[i] *= twice;
    }
    return to;
  }

  private static double trace(double[] m, int n, int stride) {
    double sum = 0;
    for (int i = 0; i < n; i++) {
      sum += m[i * stride + i];
    }
    return sum;
  }

  private static double norm(double[] m, int n, int stride) {
    double sum = 0;
    for (int i = 0; i < n * stride; i++) {
      sum += m[i] * m[i];
    }
    return Math.sqrt(sum);
  }

  /** Largest multiplier of m on the space of the largest columns of a power of it. */
  private Largest projected(double[] m, double[] power, int n, int stride, boolean signOnly) {
    int s = Math.min(VECTORS, n);
    if (basis.length < s * n) {
      basis = new double[VECTORS * n];
      image = new double[VECTORS * n];
    }
    s = span(power, n, stride, s);
    for (int v = 0; v < s; v++) {
      for (int i = 0; i < n; i++) {
        double sum = 0;
        for (int j = 0; j < n; j++) {
          sum += m[i * stride + j] * basis[v * n + j];
        }
        image[v * n + i] = sum;
      }
    }
    double[] h = new double[s * s];
    for (int r = 0; r < s; r++) {
      for (int c = 0; c < s; c++) {
        double sum = 0;
        for (int i = 0; i < n; i++) {
          sum += basis[r * n + i] * image[c * n + i];
        }
        h[r * s + c] = sum;
      }
    }
    double[] mu = new double[2];
    KrylovSpace.largest(h, s, mu);
    double left = residual(h, s, mu, n);
    double magnitude = Math.hypot(mu[0], mu[1]);
    return new Largest(
        Math.log(magnitude),
        Math.abs(Math.atan2(mu[1], mu[0])),
        left
            < Math.max(CONVERGED, signOnly ? 0.01 * Math.abs(Math.log(magnitude)) : 0) * magnitude);
  }

  /** Orthonormal columns of a power, the largest ones first; how many there are. */
  private int span(double[] power, int n, int stride, int most) {
    double[] left = new double[n];
    for (int j = 0; j < n; j++) {
      for (int i = 0; i < n; i++) {
        left[j] += power[i * stride + j] * power[i * stride + j];
      }
    }
    double first = Arrays.stream(left).max().orElse(0);
    int kept = 0;
    boolean[] used = new boolean[n];
    while (kept < most) {
      int best = -1;
      for (int j = 0; j < n; j++) {
        if (!used[j] && (best < 0 || left[j] > left[best])) {
          best = j;
        }
      }
      if (best < 0 || left[best] <= 1e-26 * first) {
        break;
      }
      used[best] = true;
      int at = kept * n;
      for (int i = 0; i < n; i++) {
        basis[at + i] = power[i * stride + best];
      }
      for (int round = 0; round < 2; round++) {
        for (int v = 0; v < kept; v++) {
          double dot = 0;
          for (int i = 0; i < n; i++) {
            dot += basis[v * n + i] * basis[at + i];
          }
          for (int i = 0; i < n; i++) {
            basis[at + i] -= dot * basis[v * n + i];
          }
        }
      }
      double length = 0;
      for (int i = 0; i < n; i++) {
        length += basis[at + i] * basis[at + i];
      }
      if (length <= 1e-26 * first) {
        left[best] = 0;
        continue;
      }
      double over = 1 / Math.sqrt(length);
      for (int i = 0; i < n; i++) {
        basis[at + i] *= over;
      }
      for (int j = 0; j < n; j++) {
        if (!used[j]) {
          double dot = 0;
          for (int i = 0; i < n; i++) {
            dot += basis[at + i] * power[i * stride + j];
          }
          left[j] = Math.max(0, left[j] - dot * dot);
        }
      }
      kept++;
    }
    return kept;
  }

  /** How far the projected vector is from being one of m itself. */
  private double residual(double[] h, int s, double[] mu, int n) {
    double[] w = ComplexVectors.nullVector(h, s, s, mu[0], mu[1]);
    double sum = 0;
    for (int i = 0; i < n; i++) {
      double re = 0;
      double im = 0;
      for (int v = 0; v < s; v++) {
        double x = basis[v * n + i];
        double y = image[v * n + i];
        double wr = w[2 * v];
        double wi = w[2 * v + 1];
        re += y * wr - x * (mu[0] * wr - mu[1] * wi);
        im += y * wi - x * (mu[0] * wi + mu[1] * wr);
      }
      sum += re * re + im * im;
    }
    return Math.sqrt(sum);
  }
}
