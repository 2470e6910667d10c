package ringtrue.stability;

/** Eigenvectors of real matrices to complex eigenvalues. */
final class ComplexVectors {
  private ComplexVectors() {}

  /**
   * The vector that {@code m − μ} all but annihilates, of length one, by two steps of inverse
   * iteration.
   *
   * @param m real matrix with rows of stride
   * @param n its size
   * @param re real part of μ
   * @param im its imaginary part
   * @return real and imaginary parts in turn
   */
  static double[] nullVector(double[] m, int n, int stride, double re, double im) {
    double[] lu = new double[2 * n * n];
    double scale = 0;
    for (int i = 0; i < n; i++) {
      for (int j = 0; j < n; j++) {
        lu[2 * (i * n + j)] = m[i * stride + j];
        scale = Math.max(scale, Math.abs(m[i * stride + j]));
      }
      lu[2 * (i * n + i)] -= re;
      lu[2 * (i * n + i) + 1] -= im;
    }
    int[] rows = decompose(lu, n, 1e-15 * Math.max(scale, 1e-300));
    double[] v = new double[2 * n];
    for (int i = 0; i < n; i++) {
      v[2 * i] = 1 + 0.1 * Math.sin(1.7 * i);
      v[2 * i + 1] = 0.1 * Math.cos(2.3 * i);
    }
    for (int step = 0; step < 3; step++) {
      v = solve(lu, rows, n, v);
      double sum = 0;
      for (double x : v) {
        sum += x * x;
      }
      double over = 1 / Math.sqrt(sum);
      for (int i = 0; i < v.length; i++) {
        v[i] *= over;
      }
    }
    return v;
  }

  private static int[] decompose(double[] lu, int n, double least) {
    int[] rows = new int[n];
    for (int i = 0; i < n; i++) {
      rows[i] = i;
    }
    for (int k = 0; k < n; k++) {
      int pivot = k;
      double best = -1;
      for (int i = k; i < n; i++) {
        int at = 2 * (i * n + k);
        double size = lu[at] * lu[at] + lu[at + 1] * lu[at + 1];
        if (size > best) {
          best = size;
          pivot = i;
        }
      }
      if (pivot != k) {
        int keep = rows[k];
        rows[k] = rows[pivot];
        rows[pivot] = keep;
        for (int j = 0; j < 2 * n; j++) {
          double x = lu[2 * k * n + j];
          lu[2 * k * n + j] = lu[2 * pivot * n + j];
          lu[2 * pivot * n + j] = x;
        }
      }
      int d = 2 * (k * n + k);
      if (best < least * least) {
        lu[d] = least;
        lu[d + 1] = 0;
        best = least * least;
      }
      double dr = lu[d] / best;
      double di = -lu[d + 1] / best;
      for (int i = k + 1; i < n; i++) {
        int at = 2 * (i * n + k);
        double fr = lu[at] * dr - lu[at + 1] * di;
        double fi = lu[at] * di + lu[at + 1] * dr;
        lu[at] = fr;
        lu[at + 1] = fi;
        for (int j = k + 1; j < n; j++) {
          int to = 2 * (i * n + j);
          int from = 2 * (k * n + j);
          lu[to] -= fr * lu[from] - fi * lu[from + 1];
          lu[to + 1] -= fr * lu[from + 1] + fi * lu[from];
        }
      }
    }
    return rows;
  }

  private static double[] solve(double[] lu, int[] rows, int n, double[] right) {
    double[] v = new double[2 * n];
    for (int i = 0; i < n; i++) {
      double re = right[2 * rows[i]];
      double im = right[2 * rows[i] + 1];
      for (int j = 0; j < i; j++) {
        int at = 2 * (i * n + j);
        re -= lu[at] * v[2 * j] - lu[at + 1] * v[2 * j + 1];
        im -= lu[at] * v[2 * j + 1] + lu[at + 1] * v[2 * j];
      }
      v[2 * i] = re;
      v[2 * i + 1] = im;
    }
    for (int i = n - 1; i >= 0; i--) {
      double re = v[2 * i];
      double im = v[2 * i + 1];
      for (int j = i + 1; j < n; j++) {
        int at = 2 * (i * n + j);
        re -= lu[at] * v[2 * j] - lu[at + 1] * v[2 * j + 1];
        im -= lu[at] * v[2 * j + 1] + lu[at + 1] * v[2 * j];
      }
      int d = 2 * (i * n + i);
      double size = lu[d] * lu[d] + lu[d + 1] * lu[d + 1];
      v[2 * i] = (re * lu[d] + im * lu[d + 1]) / size;
      v[2 * i + 1] = (im * lu[d] - re * lu[d + 1]) / size;
    }
    return v;
  }
}
