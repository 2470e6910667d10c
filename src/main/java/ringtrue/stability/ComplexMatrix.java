package ringtrue.stability;

import java.util.Arrays;

/**
 * A small square complex matrix: eigenvalues, determinant, and one eigenvalue followed by inverse
 * iteration.
 *
 * <p>Commons Math has real eigenvalues only; a complex matrix as a real one of twice the size costs
 * eight times the work and gives every eigenvalue twice.
 */
final class ComplexMatrix {
  private static final int MOST_STEPS = 60; // for each eigenvalue; two or three are usual
  private static final double ROUNDING = 0x1p-52;

  final int n;
  final double[] re;
  final double[] im;

  ComplexMatrix(int n) {
    this.n = n;
    this.re = new double[n * n];
    this.im = new double[n * n];
  }

  private ComplexMatrix(int n, double[] re, double[] im) {
    this.n = n;
    this.re = re;
    this.im = im;
  }

  ComplexMatrix copy() {
    return new ComplexMatrix(n, re.clone(), im.clone());
  }

  // Eigenvalues -----------------------------------------------------------------------------------

  /**
   * All eigenvalues: reduction to Hessenberg form by pivoted elimination, then QR steps with
   * Wilkinson's shift (Wilkinson & Reinsch 1971, contributions II/13 and II/15).
   *
   * @return real parts and imaginary parts
   */
  double[][] eigenvalues() {
    ComplexMatrix h = copy();
    h.toHessenberg();
    return h.hessenbergEigenvalues();
  }

  private void toHessenberg() {
    double[] yRe = new double[n];
    double[] yIm = new double[n];
    for (int m = 1; m < n - 1; m++) {
      int pivot = m;
      double most = 0;
      for (int i = m; i < n; i++) {
        double size = Math.abs(re[i * n + m - 1]) + Math.abs(im[i * n + m - 1]);
        if (size > most) {
          most = size;
          pivot = i;
        }
      }
      if (most == 0) {
        continue;
      }
      if (pivot != m) {
        swapRows(pivot, m);
        swapColumns(pivot, m);
      }
      double pr = re[m * n + m - 1];
      double pi = im[m * n + m - 1];
      double size = pr * pr + pi * pi;
      for (int i = m + 1; i < n; i++) {
        int at = i * n + m - 1;
        double yr = (re[at] * pr + im[at] * pi) / size;
        double yi = (im[at] * pr - re[at] * pi) / size;
        yRe[i] = yr;
        yIm[i] = yi;
        re[at] = 0;
        im[at] = 0;
        for (int j = m; j < n; j++) {
          double br = re[m * n + j];
          double bi = im[m * n + j];
          re[i * n + j] -= yr * br - yi * bi;
          im[i * n + j] -= yr * bi + yi * br;
        }
      }
      for (int k = 0; k < n; k++) {
        double sumRe = 0;
        double sumIm = 0;
        for (int i = m + 1; i < n; i++) {
          double br = re[k * n + i];
          double bi = im[k * n + i];
          sumRe += yRe[i] * br - yIm[i] * bi;
          sumIm += yRe[i] * bi + yIm[i] * br;
        }
        re[k * n + m] += sumRe;
        im[k * n + m] += sumIm;
      }
    }
  }

  private void swapRows(int a, int b) {
    for (int j = 0; j < n; j++) {
      swap(a * n + j, b * n + j);
    }
  }

  private void swapColumns(int a, int b) {
    for (int i = 0; i < n; i++) {
      swap(i * n + a, i * n + b);
    }
  }

  private void swap(int a, int b) {
    double keep = re[a];
    re[a] = re[b];
    re[b] = keep;
    keep = im[a];
    im[a] = im[b];
    im[b] = keep;
  }

  private double[][] hessenbergEigenvalues() {
    double[] valueRe = new double[n];
    double[] valueIm = new double[n];
    double[] cos = new double[n];
    double[] sinRe = new double[n];
    double[] sinIm = new double[n];
    double norm = 0;
    for (int i = 0; i < n * n; i++) {
      norm = Math.max(norm, Math.abs(re[i]) + Math.abs(im[i]));
    }
    int high = n - 1;
    int steps = 0;
    while (high >= 0) {
      int low = high;
      while (low > 0 && !negligible(low, norm)) {
        low--;
      }
      if (low == high || steps >= MOST_STEPS) {
        valueRe[high] = re[high * n + high];
        valueIm[high] = im[high * n + high];
        high--;
        steps = 0;
        continue;
      }
      steps++;
      double[] shift = shift(high, steps % 10 == 0);
      step(low, high, shift[0], shift[1], cos, sinRe, sinIm);
    }
    return new double[][] {valueRe, valueIm};
  }

  private boolean negligible(int row, double norm) {
    int at = row * n + row - 1;
    double size = Math.abs(re[at]) + Math.abs(im[at]);
    double beside =
        Math.abs(re[at + 1])
            + Math.abs(im[at + 1])
            + Math.abs(re[(row - 1) * n + row - 1])
            + Math.abs(im[(row - 1) * n + row - 1]);
    return size <= ROUNDING * beside || size <= ROUNDING * 1e-3 * norm;
  }

  /**
   * Eigenvalue of the last two rows nearer to the corner; now and then another, to break cycles.
   */
  private double[] shift(int high, boolean exceptional) {
    int d = high * n + high;
    int a = d - n - 1;
    if (exceptional) {
      return new double[] {re[d] + Math.abs(re[d - 1]) + Math.abs(im[d - 1]), im[d]};
    }
    double halfRe = 0.5 * (re[a] - re[d]);
    double halfIm = 0.5 * (im[a] - im[d]);
    double bcRe = re[a + 1] * re[d - 1] - im[a + 1] * im[d - 1];
    double bcIm = re[a + 1] * im[d - 1] + im[a + 1] * re[d - 1];
    double discRe = halfRe * halfRe - halfIm * halfIm + bcRe;
    double discIm = 2 * halfRe * halfIm + bcIm;
    double size = Math.hypot(discRe, discIm);
    double rootRe = Math.sqrt(0.5 * Math.max(0, size + discRe));
    double rootIm = Math.copySign(Math.sqrt(0.5 * Math.max(0, size - discRe)), discIm);
    if (halfRe * rootRe + halfIm * rootIm < 0) {
      rootRe = -rootRe;
      rootIm = -rootIm;
    }
    double sumRe = halfRe + rootRe;
    double sumIm = halfIm + rootIm;
    double square = sumRe * sumRe + sumIm * sumIm;
    if (square == 0) {
      return new double[] {re[d], im[d]};
    }
    return new double[] {
      re[d] - (bcRe * sumRe + bcIm * sumIm) / square, im[d] - (bcIm * sumRe - bcRe * sumIm) / square
    };
  }

  /** One QR step on rows low to high by plane rotations. */
  private void step(
      int low, int high, double shiftRe, double shiftIm, double[] c, double[] sr, double[] si) {
    for (int i = low; i <= high; i++) {
      re[i * n + i] -= shiftRe;
      im[i * n + i] -= shiftIm;
    }
    for (int k = low; k < high; k++) {
      int top = k * n;
      int below = top + n;
      double ar = re[top + k];
      double ai = im[top + k];
      double br = re[below + k];
      double bi = im[below + k];
      double a = Math.sqrt(ar * ar + ai * ai);
      double length = Math.sqrt(a * a + br * br + bi * bi);
      if (length == 0) {
        c[k] = 1;
        sr[k] = 0;
        si[k] = 0;
        continue;
      }
      // [c s; −conj(s) c] with c real turns (a, b) into (a/|a| length, 0)
      double ur = a == 0 ? 1 : ar / a;
      double ui = a == 0 ? 0 : ai / a;
      c[k] = a / length;
      sr[k] = (ur * br + ui * bi) / length;
      si[k] = (ui * br - ur * bi) / length;
      re[top + k] = ur * length;
      im[top + k] = ui * length;
      re[below + k] = 0;
      im[below + k] = 0;
      for (int j = k + 1; j <= high; j++) {
        double xr = re[top + j];
        double xi = im[top + j];
        double yr = re[below + j];
        double yi = im[below + j];
        re[top + j] = c[k] * xr + sr[k] * yr - si[k] * yi;
        im[top + j] = c[k] * xi + sr[k] * yi + si[k] * yr;
        re[below + j] = c[k] * yr - sr[k] * xr - si[k] * xi;
        im[below + j] = c[k] * yi - sr[k] * xi + si[k] * xr;
      }
    }
    for (int k = low; k < high; k++) {
      for (int i = low; i <= k + 1; i++) {
        int at = i * n + k;
        double xr = re[at];
        double xi = im[at];
        double yr = re[at + 1];
        double yi = im[at + 1];
        re[at] = c[k] * xr + sr[k] * yr + si[k] * yi;
        im[at] = c[k] * xi + sr[k] * yi - si[k] * yr;
        re[at + 1] = c[k] * yr - sr[k] * xr + si[k] * xi;
        im[at + 1] = c[k] * yi - sr[k] * xi - si[k] * xr;
      }
    }
    for (int i = low; i <= high; i++) {
      re[i * n + i] += shiftRe;
      im[i * n + i] += shiftIm;
    }
  }

  // Elimination -----------------------------------------------------------------------------------

  /**
   * Determinant of {@code I − factor · this} as direction (cos, sin) and natural log of its size.
   */
  double[] determinantOfOneMinus(double factor) {
    ComplexMatrix lu = copy();
    for (int i = 0; i < n * n; i++) {
      lu.re[i] *= -factor;
      lu.im[i] *= -factor;
    }
    for (int i = 0; i < n; i++) {
      lu.re[i * n + i] += 1;
    }
    int[] order = new int[n];
    boolean odd = lu.eliminate(order);
    double dirRe = odd ? -1 : 1;
    double dirIm = 0;
    double log = 0;
    for (int i = 0; i < n; i++) {
      double dr = lu.re[i * n + i];
      double di = lu.im[i * n + i];
      double size = Math.hypot(dr, di);
      log += Math.log(size);
      double nextRe = (dirRe * dr - dirIm * di) / size;
      dirIm = (dirRe * di + dirIm * dr) / size;
      dirRe = nextRe;
    }
    return new double[] {dirRe, dirIm, log};
  }

  /** An eigenvalue with its right and left vectors: {@code R y = μ y}, {@code z^H R = μ z^H}. */
  record Eigen(
      double re, double im, double[] rightRe, double[] rightIm, double[] leftRe, double[] leftIm) {}

  /**
   * The eigenvalue nearest to a guess, by inverse iteration.
   *
   * @param withLeft whether the left vector is wanted too; otherwise null
   * @return null if the iteration does not settle
   */
  Eigen near(double guessRe, double guessIm, boolean withLeft) {
    double scale = Math.hypot(guessRe, guessIm);
    ComplexMatrix lu = copy();
    for (int i = 0; i < n; i++) {
      // A guess that is exactly an eigenvalue would leave nothing to divide by.
      lu.re[i * n + i] -= guessRe * (1 + 1e-12);
      lu.im[i * n + i] -= guessIm + 1e-12 * scale;
    }
    int[] order = new int[n];
    lu.eliminate(order);
    double shiftRe = guessRe * (1 + 1e-12);
    double shiftIm = guessIm + 1e-12 * scale;
    double[] yr = start();
    double[] yi = new double[n];
    double[] value = lu.iterate(order, false, yr, yi, scale);
    if (value == null) {
      return null;
    }
    double[] zr = null;
    double[] zi = null;
    if (withLeft) {
      zr = start();
      zi = new double[n];
      if (lu.iterate(order, true, zr, zi, scale) == null) {
        return null;
      }
    }
    return new Eigen(shiftRe + value[0], shiftIm + value[1], yr, yi, zr, zi);
  }

  /** A start that is unlikely to lack any direction; the same every time. */
  private double[] start() {
    double[] v = new double[n];
    for (int i = 0; i < n; i++) {
      v[i] = 1 + 0.3 * Math.sin(1 + 2.399963 * i);
    }
    return v;
  }

  /** Inverse iteration on factors: distance of the eigenvalue from the shift. */
  private double[] iterate(int[] order, boolean adjoint, double[] vr, double[] vi, double scale) {
    double[] wr = new double[n];
    double[] wi = new double[n];
    double lastRe = Double.NaN;
    double lastIm = Double.NaN;
    normalise(vr, vi);
    for (int round = 0; round < 60; round++) {
      System.arraycopy(vr, 0, wr, 0, n);
      System.arraycopy(vi, 0, wi, 0, n);
      if (adjoint) {
        solveAdjoint(order, wr, wi);
      } else {
        solve(order, wr, wi);
      }
      double gr = 0; // v^H w, the inverse of the distance
      double gi = 0;
      for (int i = 0; i < n; i++) {
        gr += vr[i] * wr[i] + vi[i] * wi[i];
        gi += vr[i] * wi[i] - vi[i] * wr[i];
      }
      double size = gr * gr + gi * gi;
      if (!(size > 0) || Double.isInfinite(size)) {
        return null;
      }
      double nowRe = gr / size;
      double nowIm = -gi / size;
      System.arraycopy(wr, 0, vr, 0, n);
      System.arraycopy(wi, 0, vi, 0, n);
      normalise(vr, vi);
      if (Math.hypot(nowRe - lastRe, nowIm - lastIm) < 1e-12 * scale) {
        return new double[] {nowRe, nowIm};
      }
      lastRe = nowRe;
      lastIm = nowIm;
    }
    return null;
  }

  private static void normalise(double[] vr, double[] vi) {
    double sum = 0;
    for (int i = 0; i < vr.length; i++) {
      sum += vr[i] * vr[i] + vi[i] * vi[i];
    }
    double scale = 1 / Math.sqrt(sum);
    for (int i = 0; i < vr.length; i++) {
      vr[i] *= scale;
      vi[i] *= scale;
    }
  }

  /** LU factors in place with row exchanges; whether their number is odd. */
  private boolean eliminate(int[] order) {
    boolean odd = false;
    for (int k = 0; k < n; k++) {
      int pivot = k;
      double most = -1;
      for (int i = k; i < n; i++) {
        double size = Math.abs(re[i * n + k]) + Math.abs(im[i * n + k]);
        if (size > most) {
          most = size;
          pivot = i;
        }
      }
      order[k] = pivot;
      if (pivot != k) {
        swapRows(pivot, k);
        odd = !odd;
      }
      double pr = re[k * n + k];
      double pi = im[k * n + k];
      double size = pr * pr + pi * pi;
      if (size == 0) {
        re[k * n + k] = Double.MIN_NORMAL;
        continue;
      }
      for (int i = k + 1; i < n; i++) {
        int at = i * n + k;
        double fr = (re[at] * pr + im[at] * pi) / size;
        double fi = (im[at] * pr - re[at] * pi) / size;
        re[at] = fr;
        im[at] = fi;
        for (int j = k + 1; j < n; j++) {
          double br = re[k * n + j];
          double bi = im[k * n + j];
          re[i * n + j] -= fr * br - fi * bi;
          im[i * n + j] -= fr * bi + fi * br;
        }
      }
    }
    return odd;
  }

  private void solve(int[] order, double[] vr, double[] vi) {
    for (int k = 0; k < n; k++) {
      exchange(vr, vi, k, order[k]);
    }
    for (int i = 0; i < n; i++) {
      double sr = vr[i];
      double si = vi[i];
      for (int j = 0; j < i; j++) {
        sr -= re[i * n + j] * vr[j] - im[i * n + j] * vi[j];
        si -= re[i * n + j] * vi[j] + im[i * n + j] * vr[j];
      }
      vr[i] = sr;
      vi[i] = si;
    }
    for (int i = n - 1; i >= 0; i--) {
      double sr = vr[i];
      double si = vi[i];
      for (int j = i + 1; j < n; j++) {
        sr -= re[i * n + j] * vr[j] - im[i * n + j] * vi[j];
        si -= re[i * n + j] * vi[j] + im[i * n + j] * vr[j];
      }
      divide(vr, vi, i, sr, si, re[i * n + i], im[i * n + i]);
    }
  }

  /** Solves with the conjugate transpose of the factored matrix. */
  private void solveAdjoint(int[] order, double[] vr, double[] vi) {
    for (int i = 0; i < n; i++) {
      double sr = vr[i];
      double si = vi[i];
      for (int j = 0; j < i; j++) {
        sr -= re[j * n + i] * vr[j] + im[j * n + i] * vi[j];
        si -= re[j * n + i] * vi[j] - im[j * n + i] * vr[j];
      }
      divide(vr, vi, i, sr, si, re[i * n + i], -im[i * n + i]);
    }
    for (int i = n - 1; i >= 0; i--) {
      double sr = vr[i];
      double si = vi[i];
      for (int j = i + 1; j < n; j++) {
        sr -= re[j * n + i] * vr[j] + im[j * n + i] * vi[j];
        si -= re[j * n + i] * vi[j] - im[j * n + i] * vr[j];
      }
      vr[i] = sr;
      vi[i] = si;
    }
    for (int k = n - 1; k >= 0; k--) {
      exchange(vr, vi, k, order[k]);
    }
  }

  private static void exchange(double[] vr, double[] vi, int a, int b) {
    double keep = vr[a];
    vr[a] = vr[b];
    vr[b] = keep;
    keep = vi[a];
    vi[a] = vi[b];
    vi[b] = keep;
  }

  private static void divide(
      double[] vr, double[] vi, int i, double sr, double si, double dr, double di) {
    double size = dr * dr + di * di;
    vr[i] = (sr * dr + si * di) / size;
    vi[i] = (si * dr - sr * di) / size;
  }

  // Low rank --------------------------------------------------------------------------------------

  /** A matrix as a product {@code U W} of n × rank and rank × n, both row by row. */
  record Factors(int rank, double[] uRe, double[] uIm, double[] wRe, double[] wIm) {}

  /**
   * Cross approximation with full pivoting: the residual is below the tolerance, relative to the
   * largest entry, in every entry.
   */
  Factors factors(double tolerance) {
    ComplexMatrix rest = copy();
    double[] columnsRe = new double[n * n]; // column r of U in row r
    double[] columnsIm = new double[n * n];
    double[] rowsRe = new double[n * n];
    double[] rowsIm = new double[n * n];
    double largest = 0;
    int rank = 0;
    for (; rank < n; rank++) {
      int pivot = 0;
      double most = -1;
      for (int i = 0; i < n * n; i++) {
        double size = rest.re[i] * rest.re[i] + rest.im[i] * rest.im[i];
        if (size > most) {
          most = size;
          pivot = i;
        }
      }
      largest = Math.max(largest, most);
      if (most <= tolerance * tolerance * largest) {
        break;
      }
      int row = pivot / n;
      int column = pivot % n;
      double pr = rest.re[pivot] / most;
      double pi = -rest.im[pivot] / most;
      int at = rank * n;
      for (int i = 0; i < n; i++) {
        double cr = rest.re[i * n + column];
        double ci = rest.im[i * n + column];
        columnsRe[at + i] = cr * pr - ci * pi;
        columnsIm[at + i] = cr * pi + ci * pr;
      }
      System.arraycopy(rest.re, row * n, rowsRe, at, n);
      System.arraycopy(rest.im, row * n, rowsIm, at, n);
      for (int i = 0; i < n; i++) {
        double cr = columnsRe[at + i];
        double ci = columnsIm[at + i];
        for (int j = 0; j < n; j++) {
          rest.re[i * n + j] -= cr * rowsRe[at + j] - ci * rowsIm[at + j];
          rest.im[i * n + j] -= cr * rowsIm[at + j] + ci * rowsRe[at + j];
        }
      }
    }
    double[] uRe = new double[n * rank];
    double[] uIm = new double[n * rank];
    for (int r = 0; r < rank; r++) {
      for (int i = 0; i < n; i++) {
        uRe[i * rank + r] = columnsRe[r * n + i];
        uIm[i * rank + r] = columnsIm[r * n + i];
      }
    }
    return new Factors(
        rank, uRe, uIm, Arrays.copyOf(rowsRe, rank * n), Arrays.copyOf(rowsIm, rank * n));
  }
}
