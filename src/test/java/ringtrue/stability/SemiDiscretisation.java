package ringtrue.stability;

import org.apache.commons.math3.complex.Complex;

/**
 * A judge of stability: semi-discretisation of first order (Insperger & Stépán 2004, Int. J. Numer.
 * Meth. Engng 61, 117–141; 2011, Semi-Discretization for Time-Delay Systems, ch. 3). In each of m
 * equal steps of a period the directional factors are their mean over the step, the displacement of
 * the cut before is the straight line between its values at the two ends of the step, each the
 * weighted sum of the two neighbours in the history, and the resulting equation with constant
 * coefficients is solved exactly by a matrix exponential. The error shrinks with the square of the
 * step.
 */
final class SemiDiscretisation {
  private final CutEquation cut;
  private final int size;
  private final int steps;
  private final double[][] exponential;
  private final int[] firstTerm;
  private final double[][] matrix;
  private final double[] back;

  /**
   * @param stepsPerPeriod equal time steps in a tooth passing (one delay) or a spindle turn
   * @param slicesPerFlute axial slices where helices differ
   */
  SemiDiscretisation(
      CuttingProcess process,
      double speedRpm,
      double depthM,
      int stepsPerPeriod,
      int slicesPerFlute) {
    cut = new CutEquation(process, speedRpm, depthM, slicesPerFlute);
    steps = stepsPerPeriod;
    size = 2 * cut.oscillators.size();
    double h = cut.periodS / steps;
    if (cut.shortestDelayS() < h) {
      throw new IllegalArgumentException("a step must not be longer than the shortest delay");
    }
    int slices = cut.slices.size();
    exponential = new double[steps][];
    firstTerm = new int[steps + 1];
    double[][] allMatrices = new double[steps * slices][];
    double[] allBack = new double[steps * slices];
    double[] sum = new double[8];
    double[] free = null;
    int terms = 0;
    for (int i = 0; i < steps; i++) {
      firstTerm[i] = terms;
      java.util.Arrays.fill(sum, 0);
      boolean any = false;
      for (int k = 0; k < slices; k++) {
        double[] mean = new double[8];
        if (cut.mean(k, i * h, h, mean)) {
          any = true;
          for (int l = 0; l < 8; l++) {
            sum[l] += mean[l];
          }
          allMatrices[terms] = mean;
          double delay = cut.slices.get(k).delayS();
          allBack[terms++] = delay == cut.periodS ? steps : delay / h;
        }
      }
      if (!any && free == null) {
        free = step(sum, h);
      }
      exponential[i] = any ? step(sum, h) : free;
    }
    firstTerm[steps] = terms;
    matrix = java.util.Arrays.copyOf(allMatrices, terms);
    back = java.util.Arrays.copyOf(allBack, terms);
  }

  /**
   * Solution of z′ = (A + B W C) z − B d over one step, with the delayed force d a straight line
   * from d0 to d1: rows of [Φ, Γ0, Γ1], z = (q, q′/ω).
   */
  private double[] step(double[] w, double h) {
    int n = size / 2;
    int wide = size + 4;
    double[][] a = new double[wide][wide];
    for (int k = 0; k < n; k++) {
      CutEquation.Oscillator o = cut.oscillators.get(k);
      a[k][n + k] = o.omega() * h;
      a[n + k][k] = -o.omega() * h;
      a[n + k][n + k] = -2 * o.zeta() * o.omega() * h;
      double gain = o.gain() / o.omega() * h;
      for (int l = 0; l < n; l++) {
        CutEquation.Oscillator other = cut.oscillators.get(l);
        a[n + k][l] += gain * w[2 * o.in() + other.out()];
        a[n + k][n + l] += gain * w[4 + 2 * o.in() + other.out()] * other.omega();
      }
      a[n + k][size + o.in()] = -gain;
    }
    a[size][size + 2] = 1;
    a[size + 1][size + 3] = 1;
    double[][] e = exponential(a);
    double[] rows = new double[size * wide];
    for (int i = 0; i < size; i++) {
      System.arraycopy(e[i], 0, rows, i * wide, size);
      for (int c = 0; c < 2; c++) {
        // d = d0 + (d1 − d0) t/h
        rows[i * wide + size + c] = e[i][size + c] - e[i][size + 2 + c];
        rows[i * wide + size + 2 + c] = e[i][size + 2 + c];
      }
    }
    return rows;
  }

  /** Taylor's series of a matrix halved until it is small, then squared back. */
  static double[][] exponential(double[][] a) {
    int n = a.length;
    double norm = 0;
    for (double[] row : a) {
      double sum = 0;
      for (double v : row) {
        sum += Math.abs(v);
      }
      norm = Math.max(norm, sum);
    }
    int halvings = Math.max(0, (int) Math.ceil(Math.log(norm / 0.5) / Math.log(2)));
    double[][] part = new double[n][n];
    for (int i = 0; i < n; i++) {
      for (int j = 0; j < n; j++) {
        part[i][j] = Math.scalb(a[i][j], -halvings);
      }
    }
    double[][] sum = new double[n][n];
    double[][] power = new double[n][n];
    for (int i = 0; i < n; i++) {
      sum[i][i] = 1;
      power[i][i] = 1;
    }
    for (int k = 1; k <= 12; k++) {
      power = product(power, part);
      for (int i = 0; i < n; i++) {
        for (int j = 0; j < n; j++) {
          power[i][j] /= k;
          sum[i][j] += power[i][j];
        }
      }
    }
    for (int k = 0; k < halvings; k++) {
      sum = product(sum, sum);
    }
    return sum;
  }

  private static double[][] product(double[][] a, double[][] b) {
    int n = a.length;
    double[][] c = new double[n][n];
    for (int i = 0; i < n; i++) {
      for (int k = 0; k < n; k++) {
        double v = a[i][k];
        if (v != 0) {
          for (int j = 0; j < n; j++) {
            c[i][j] += v * b[k][j];
          }
        }
      }
    }
    return c;
  }

  int dimension() {
    return 2 * steps + size;
  }

  /** What (x, y) at the steps of the period before and the state now become after one period. */
  void period(double[] from, double[] into) {
    double[] path = new double[2 * (2 * steps + 1)];
    System.arraycopy(from, 0, path, 0, 2 * steps);
    double[] z = java.util.Arrays.copyOfRange(from, 2 * steps, 2 * steps + size);
    double[] next = new double[size];
    double[] d = new double[4];
    int wide = size + 4;
    write(z, path, steps);
    for (int i = 0; i < steps; i++) {
      java.util.Arrays.fill(d, 0);
      for (int t = firstTerm[i]; t < firstTerm[i + 1]; t++) {
        double[] w = matrix[t];
        for (int end = 0; end < 2; end++) {
          double place = steps + i + end - back[t];
          int low = Math.min((int) place, 2 * steps - 1);
          double part = place - low;
          double x = path[2 * low] + part * (path[2 * low + 2] - path[2 * low]);
          double y = path[2 * low + 1] + part * (path[2 * low + 3] - path[2 * low + 1]);
          d[2 * end] += w[0] * x + w[1] * y;
          d[2 * end + 1] += w[2] * x + w[3] * y;
        }
      }
      double[] e = exponential[i];
      for (int r = 0; r < size; r++) {
        double sum = 0;
        for (int c = 0; c < size; c++) {
          sum += e[r * wide + c] * z[c];
        }
        for (int c = 0; c < 4; c++) {
          sum += e[r * wide + size + c] * d[c];
        }
        next[r] = sum;
      }
      System.arraycopy(next, 0, z, 0, size);
      write(z, path, steps + i + 1);
    }
    System.arraycopy(path, 2 * steps, into, 0, 2 * steps);
    System.arraycopy(z, 0, into, 2 * steps, size);
  }

  private void write(double[] z, double[] path, int at) {
    path[2 * at] = 0;
    path[2 * at + 1] = 0;
    for (int k = 0; k < size / 2; k++) {
      path[2 * at + cut.oscillators.get(k).out()] += z[k];
    }
  }

  /** Largest multiplier of one growth period. */
  Complex multiplier() {
    double[] start = new double[dimension()];
    System.arraycopy(DominantMultiplier.random(size, 1), 0, start, 2 * steps, size);
    double[] first = new double[dimension()];
    period(start, first);
    return DominantMultiplier.of(this::period, first, 1e-7);
  }

  /** Spectral radius over one growth period. */
  double growth() {
    return multiplier().abs();
  }
}
