package ringtrue.stability;

/**
 * Eigenvalues, without vectors, of a matrix that is zero below its first subdiagonal: double steps
 * of the shifted QR method in place (Francis 1961; Golub &amp; Van Loan, Matrix Computations,
 * section 7.5, from memory). A Krylov space gives such a matrix, so that nothing has to be reduced
 * first.
 */
final class HessenbergValues {
  private static final double SMALL = 0x1p-52;
  private static final int PATIENCE = 60;

  /** After so many steps without success the shifts are thrown off the beaten track. */
  private static final int STUCK = 10;

  private final double[] a;
  private final int n;
  private final double[] re;
  private final double[] im;
  private double norm;
  private double p;
  private double q;
  private double r;

  /**
   * @param a the matrix by rows without padding, finite; lost
   * @param n its size
   */
  HessenbergValues(double[] a, int n) {
    this.a = a;
    this.n = n;
    this.re = new double[n];
    this.im = new double[n];
  }

  double re(int i) {
    return re[i];
  }

  double im(int i) {
    return im[i];
  }

  /** Whether everything below the first subdiagonal is zero. */
  static boolean fits(double[] a, int n) {
    for (int i = 2; i < n; i++) {
      for (int j = 0; j < i - 1; j++) {
        if (a[i * n + j] != 0) {
          return false;
        }
      }
    }
    return true;
  }

  /** Finds them; false where the method got stuck. */
  boolean find() {
    for (double v : a) {
      norm += Math.abs(v);
    }
    int last = n - 1;
    int steps = 0;
    while (last >= 0) {
      int first = top(last);
      if (first == last) {
        re[last] = a[last * n + last];
        im[last] = 0;
        last--;
        steps = 0;
      } else if (first == last - 1) {
        pair(last);
        last -= 2;
        steps = 0;
      } else if (++steps > PATIENCE) {
        return false;
      } else {
        doubleStep(first, last, steps % STUCK == 0);
      }
    }
    return true;
  }

  /** First row of the block that ends at a row and hangs together. */
  private int top(int last) {
    int i = last;
    while (i > 0) {
      double around = Math.abs(a[(i - 1) * n + i - 1]) + Math.abs(a[i * n + i]);
      if (Math.abs(a[i * n + i - 1]) <= SMALL * (around == 0 ? norm : around)) {
        a[i * n + i - 1] = 0;
        return i;
      }
      i--;
    }
    return 0;
  }

  /** The two values of the block of two that ends at a row. */
  private void pair(int last) {
    double x = a[last * n + last];
    double half = 0.5 * (a[(last - 1) * n + last - 1] - x);
    double product = a[last * n + last - 1] * a[(last - 1) * n + last];
    double under = half * half + product;
    double root = Math.sqrt(Math.abs(under));
    if (under >= 0) {
      double far = half + Math.copySign(root, half);
      re[last - 1] = x + far;
      re[last] = far == 0 ? x : x - product / far;
      im[last - 1] = 0;
      im[last] = 0;
    } else {
      re[last - 1] = x + half;
      re[last] = x + half;
      im[last - 1] = root;
      im[last] = -root;
    }
  }

  private void doubleStep(int first, int last, boolean stuck) {
    double sum;
    double product;
    if (stuck) {
      double off = Math.abs(a[last * n + last - 1]) + Math.abs(a[(last - 1) * n + last - 2]);
      sum = 1.5 * off;
      product = off * off;
    } else {
      double x = a[last * n + last];
      double y = a[(last - 1) * n + last - 1];
      sum = x + y;
      product = x * y - a[last * n + last - 1] * a[(last - 1) * n + last];
    }
    int begin = begin(first, last, sum, product);
    for (int i = begin + 2; i <= last; i++) {
      a[i * n + i - 2] = 0;
      if (i > begin + 2) {
        a[i * n + i - 3] = 0;
      }
    }
    for (int k = begin; k < last; k++) {
      reflect(k, begin, first, last);
    }
  }

  /** Where to begin, and the first column of the shifted square there in p, q, r. */
  private int begin(int first, int last, double sum, double product) {
    for (int m = last - 2; ; m--) {
      double here = a[m * n + m];
      double below = a[(m + 1) * n + m + 1];
      p = (here * (here - sum) + product) / a[(m + 1) * n + m] + a[m * n + m + 1];
      q = here + below - sum;
      r = a[(m + 2) * n + m + 1];
      double size = Math.abs(p) + Math.abs(q) + Math.abs(r);
      p /= size;
      q /= size;
      r /= size;
      if (m == first) {
        return m;
      }
      double left = Math.abs(a[m * n + m - 1]) * (Math.abs(q) + Math.abs(r));
      double right =
          Math.abs(p) * (Math.abs(a[(m - 1) * n + m - 1]) + Math.abs(here) + Math.abs(below));
      if (left <= SMALL * right) {
        return m;
      }
    }
  }

  /** One reflection of three rows and columns (two at the end), which chases the bulge on. */
  private void reflect(int k, int begin, int first, int last) {
    boolean three = k < last - 1;
    double size = 1;
    if (k > begin) {
      p = a[k * n + k - 1];
      q = a[(k + 1) * n + k - 1];
      r = three ? a[(k + 2) * n + k - 1] : 0;
      size = Math.abs(p) + Math.abs(q) + Math.abs(r);
      if (size == 0) {
        return;
      }
      p /= size;
      q /= size;
      r /= size;
    }
    double length = Math.copySign(Math.sqrt(p * p + q * q + r * r), p);
    if (length == 0) {
      return;
    }
    if (k > begin) {
      a[k * n + k - 1] = -length * size;
    } else if (begin > first) {
      a[k * n + k - 1] = -a[k * n + k - 1];
    }
    double x = (p + length) / length;
    double y = q / length;
    double z = r / length;
    double qq = q / (p + length);
    double rr = r / (p + length);
    int row = k * n;
    int next = row + n;
    if (three) {
      int third = next + n;
      for (int j = k; j <= last; j++) {
        double t = a[row + j] + qq * a[next + j] + rr * a[third + j];
        a[row + j] -= t * x;
        a[next + j] -= t * y;
        a[third + j] -= t * z;
      }
      int end = Math.min(last, k + 3);
      for (int i = first; i <= end; i++) {
        int at = i * n + k;
        double t = x * a[at] + y * a[at + 1] + z * a[at + 2];
        a[at] -= t;
        a[at + 1] -= t * qq;
        a[at + 2] -= t * rr;
      }
    } else {
      for (int j = k; j <= last; j++) {
        double t = a[row + j] + qq * a[next + j];
        a[row + j] -= t * x;
        a[next + j] -= t * y;
      }
      for (int i = first; i <= last; i++) {
        int at = i * n + k;
        double t = x * a[at] + y * a[at + 1];
        a[at] -= t;
        a[at + 1] -= t * qq;
      }
    }
  }
}
