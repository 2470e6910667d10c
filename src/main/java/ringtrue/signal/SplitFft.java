package ringtrue.signal;

import org.jtransforms.fft.DoubleFFT_1D;

/**
 * Fourier transform of complex values whose real and imaginary parts stand in arrays of their own:
 * {@code Z(k) = Σ z(j) exp(−2πi jk/n)}.
 *
 * <p>A length n = n1 n2 of factors 2, 3 and 5 is transformed in four steps (Bailey, FFTs in
 * external or hierarchical memory, 1990): n2 transforms of length n1, rotation, transposition, n1
 * transforms of length n2. A strip of {@value #STRIP} of the short transforms runs side by side, so
 * that the inner loops are plain loops over a few rows and the strip stays in the cache. That takes
 * half the time of JTransforms, which does the lengths with other factors.
 */
final class SplitFft {
  private static final int STRIP = 64;

  /** Values in a cache line. */
  private static final int LINE = 8;

  private static final double SIN_60 = Math.sqrt(3) / 2;
  private static final double COS_72 = (Math.sqrt(5) - 1) / 4;
  private static final double COS_144 = (-Math.sqrt(5) - 1) / 4;
  private static final double SIN_72 = Math.sqrt(10 + 2 * Math.sqrt(5)) / 4;
  private static final double SIN_144 = Math.sqrt(10 - 2 * Math.sqrt(5)) / 4;

  /** Tables for one length; shared between threads. */
  static final class Plan {
    private final int n;
    private final Short first;
    private final Short second;
    private final int bits;
    private final double[] coarse;
    private final double[] fine;
    private final DoubleFFT_1D other;

    /**
     * @param n number of values, 2 or more
     */
    Plan(int n) {
      this.n = n;
      int left = n;
      for (int factor : new int[] {2, 3, 5}) {
        while (left % factor == 0) {
          left /= factor;
        }
      }
      int n1 = (int) Math.sqrt(n);
      while (n % n1 != 0) {
        n1--;
      }
      if (left > 1 || n1 == 1) {
        other = new DoubleFFT_1D(n);
        first = null;
        second = null;
        bits = 0;
        coarse = null;
        fine = null;
        return;
      }
      other = null;
      first = new Short(n1);
      second = new Short(n / n1);
      bits = (32 - Integer.numberOfLeadingZeros(n)) / 2;
      coarse = turns(n, 1 << bits, (n >> bits) + 1);
      fine = turns(n, 1, 1 << bits);
    }
  }

  /** A short length: its factors, where its inputs go, and its roots of unity. */
  private static final class Short {
    final int length;
    final int[] factors = new int[32];
    final int[] sizes = new int[33];
    final int levels;
    final int[] place;
    final double[] turns;

    Short(int length) {
      this.length = length;
      int count = 0;
      int left = length;
      sizes[0] = 1;
      for (int factor : new int[] {5, 3, 2}) {
        for (; left % factor == 0; left /= factor) {
          factors[count] = factor;
          sizes[count + 1] = sizes[count] * factor;
          count++;
        }
      }
      levels = count;
      place = new int[length];
      for (int j = 0; j < length; j++) {
        int rest = j;
        for (int level = count - 1; level >= 0; level--) {
          place[j] += rest % factors[level] * sizes[level];
          rest /= factors[level];
        }
      }
      turns = turns(length, 1, length);
    }
  }

  private final Plan plan;
  private double[][] re;
  private double[][] im;
  private double[] betweenRe;
  private double[] betweenIm;

  /**
   * @param plan tables; this object adds the work space of one thread
   */
  SplitFft(Plan plan) {
    this.plan = plan;
    if (plan.other == null) {
      int rows = Math.max(plan.first.length, plan.second.length);
      re = new double[rows][STRIP];
      im = new double[rows][STRIP];
      betweenRe = new double[plan.n];
      betweenIm = new double[plan.n];
    } else {
      betweenRe = new double[2 * plan.n];
    }
  }

  /** Replaces the first n values, in natural order, by their transform, in natural order. */
  void transform(double[] real, double[] imag) {
    if (plan.other != null) {
      double[] both = betweenRe;
      for (int j = 0; j < plan.n; j++) {
        both[2 * j] = real[j];
        both[2 * j + 1] = imag[j];
      }
      plan.other.complexForward(both);
      for (int k = 0; k < plan.n; k++) {
        real[k] = both[2 * k];
        imag[k] = both[2 * k + 1];
      }
      return;
    }
    int n1 = plan.first.length;
    int n2 = plan.second.length;
    for (int from = 0; from < n2; from += STRIP) {
      int width = Math.min(STRIP, n2 - from);
      columns(plan.first, real, imag, n2, from, width);
      for (int k = 0; k < n1; k += LINE) {
        rotate(k, Math.min(n1, k + LINE), from, width);
      }
    }
    for (int from = 0; from < n1; from += STRIP) {
      int width = Math.min(STRIP, n1 - from);
      columns(plan.second, betweenRe, betweenIm, n1, from, width);
      for (int k = 0; k < n2; k++) {
        System.arraycopy(re[k], 0, real, k * n1 + from, width);
        System.arraycopy(im[k], 0, imag, k * n1 + from, width);
      }
    }
  }

  /**
   * Rows k of a strip, multiplied by exp(−2πi k(from + j)/n), become columns; a cache line's worth
   * of rows at a time. The exponential is the product of a coarse and a fine one, out of two short
   * tables.
   */
  private void rotate(int firstRow, int endRow, int from, int width) {
    int n1 = plan.first.length;
    int bits = plan.bits;
    int mask = (1 << bits) - 1;
    double[] coarse = plan.coarse;
    double[] fine = plan.fine;
    for (int j = 0; j < width; j++) {
      int to = (from + j) * n1;
      for (int k = firstRow; k < endRow; k++) {
        int angle = k * (from + j);
        int a = angle >> bits << 1;
        int b = (angle & mask) << 1;
        double c = coarse[a] * fine[b] - coarse[a + 1] * fine[b + 1];
        double s = coarse[a] * fine[b + 1] + coarse[a + 1] * fine[b];
        double x = re[k][j];
        double y = im[k][j];
        betweenRe[to + k] = x * c - y * s;
        betweenIm[to + k] = x * s + y * c;
      }
    }
  }

  /** Transforms some columns of a matrix with rows of a given length, into the work rows. */
  private void columns(
      Short part, double[] real, double[] imag, int rowLength, int from, int width) {
    for (int j = 0; j < part.length; j++) {
      System.arraycopy(real, j * rowLength + from, re[part.place[j]], 0, width);
      System.arraycopy(imag, j * rowLength + from, im[part.place[j]], 0, width);
    }
    combine(part, part.levels, 0, width);
  }

  private void combine(Short part, int level, int base, int width) {
    if (level == 0) {
      return;
    }
    int factor = part.factors[level - 1];
    int size = part.sizes[level - 1];
    for (int t = 0; t < factor; t++) {
      combine(part, level - 1, base + t * size, width);
    }
    int step = part.length / part.sizes[level];
    for (int q = 0; q < size; q++) {
      int at = base + q;
      switch (factor) {
        case 2 -> two(at, at + size, part.turns, q * step, width);
        case 3 -> three(at, size, part.turns, q * step, width);
        default -> five(at, size, part.turns, q * step, width);
      }
    }
  }

  private void two(int a, int b, double[] turns, int turn, int width) {
    two(re[a], im[a], re[b], im[b], turns[2 * turn], turns[2 * turn + 1], width);
  }

  private static void two(
      double[] r0, double[] i0, double[] r1, double[] i1, double c, double s, int width) {
    for (int j = 0; j < width; j++) {
      double r = r1[j] * c - i1[j] * s;
      double i = r1[j] * s + i1[j] * c;
      double p = r0[j];
      double q = i0[j];
      r0[j] = p + r;
      i0[j] = q + i;
      r1[j] = p - r;
      i1[j] = q - i;
    }
  }

  private void turn(int row, double[] turns, int turn, int width) {
    turn(re[row], im[row], turns[2 * turn], turns[2 * turn + 1], width);
  }

  private static void turn(double[] re, double[] im, double c, double s, int width) {
    for (int j = 0; j < width; j++) {
      double r = re[j];
      double i = im[j];
      re[j] = r * c - i * s;
      im[j] = r * s + i * c;
    }
  }

  private void three(int at, int size, double[] turns, int turn, int width) {
    if (turn > 0) {
      turn(at + size, turns, turn, width);
      turn(at + 2 * size, turns, 2 * turn, width);
    }
    double[] r0 = re[at];
    double[] i0 = im[at];
    double[] r1 = re[at + size];
    double[] i1 = im[at + size];
    double[] r2 = re[at + 2 * size];
    double[] i2 = im[at + 2 * size];
    for (int j = 0; j < width; j++) {
      double sr = r1[j] + r2[j];
      double si = i1[j] + i2[j];
      double dr = SIN_60 * (r1[j] - r2[j]);
      double di = SIN_60 * (i1[j] - i2[j]);
      double mr = r0[j] - 0.5 * sr;
      double mi = i0[j] - 0.5 * si;
      r0[j] += sr;
      i0[j] += si;
      r1[j] = mr + di;
      i1[j] = mi - dr;
      r2[j] = mr - di;
      i2[j] = mi + dr;
    }
  }

  private void five(int at, int size, double[] turns, int turn, int width) {
    if (turn > 0) {
      for (int t = 1; t < 5; t++) {
        turn(at + t * size, turns, t * turn, width);
      }
    }
    int b = at + size;
    int c = b + size;
    int d = c + size;
    int e = d + size;
    // Sums and differences of the pairs, then the cosine part, the sine part, and both together.
    two(re[b], im[b], re[e], im[e], 1, 0, width);
    two(re[c], im[c], re[d], im[d], 1, 0, width);
    cosines(re[at], re[b], re[c], width);
    cosines(im[at], im[b], im[c], width);
    sines(re[e], re[d], width);
    sines(im[e], im[d], width);
    join(re[b], im[b], re[e], im[e], width);
    join(re[c], im[c], re[d], im[d], width);
  }

  private static void cosines(double[] a, double[] b, double[] c, int width) {
    for (int j = 0; j < width; j++) {
      double p = a[j];
      double q = b[j];
      double r = c[j];
      a[j] = p + q + r;
      b[j] = p + COS_72 * q + COS_144 * r;
      c[j] = p + COS_144 * q + COS_72 * r;
    }
  }

  private static void sines(double[] a, double[] b, int width) {
    for (int j = 0; j < width; j++) {
      double p = a[j];
      double q = b[j];
      a[j] = SIN_72 * p + SIN_144 * q;
      b[j] = SIN_144 * p - SIN_72 * q;
    }
  }

  /** The values m − i d and m + i d, of m in the first two rows and d in the others. */
  private static void join(double[] r0, double[] i0, double[] r1, double[] i1, int width) {
    for (int j = 0; j < width; j++) {
      double mr = r0[j];
      double mi = i0[j];
      double dr = r1[j];
      double di = i1[j];
      r0[j] = mr + di;
      i0[j] = mi - dr;
      r1[j] = mr - di;
      i1[j] = mi + dr;
    }
  }

  /** Cosine and sine of −2π j every/n for j = 0 to count − 1, one after the other. */
  private static double[] turns(int n, int every, int count) {
    double[] both = new double[2 * count];
    for (int j = 0; j < count; j++) {
      double angle = -2 * Math.PI * ((double) j * every) / n;
      both[2 * j] = Math.cos(angle);
      both[2 * j + 1] = Math.sin(angle);
    }
    return both;
  }
}
