package ringtrue.fitting;

/**
 * Normal equations of a linear least-squares problem, summed row by row. Unknowns are scaled to a
 * unit diagonal before solving.
 */
final class NormalEquations {
  private final double[][] lower;
  private final double[] right;

  NormalEquations(int unknowns) {
    lower = new double[unknowns][];
    for (int r = 0; r < unknowns; r++) {
      lower[r] = new double[r + 1];
    }
    right = new double[unknowns];
  }

  /** Adds the equations {@code a·x = p} and {@code b·x = q}. */
  void add(double[] a, double p, double[] b, double q) {
    for (int r = 0; r < right.length; r++) {
      double u = a[r];
      double v = b[r];
      right[r] += u * p + v * q;
      double[] row = lower[r];
      for (int c = 0; c <= r; c++) {
        row[c] += u * a[c] + v * b[c];
      }
    }
  }

  /**
   * Adds the equations of a part of the unknowns.
   *
   * @param places for each unknown of the part, its place among all
   */
  void add(NormalEquations part, int[] places) {
    for (int r = 0; r < places.length; r++) {
      right[places[r]] += part.right[r];
      for (int c = 0; c <= r; c++) {
        lower[Math.max(places[r], places[c])][Math.min(places[r], places[c])] += part.lower[r][c];
      }
    }
  }

  double diagonal(int unknown) {
    return lower[unknown][unknown];
  }

  /** The whole symmetric matrix. */
  double[][] matrix() {
    int n = right.length;
    double[][] all = new double[n][n];
    for (int r = 0; r < n; r++) {
      for (int c = 0; c <= r; c++) {
        all[r][c] = lower[r][c];
        all[c][r] = lower[r][c];
      }
    }
    return all;
  }

  /**
   * The solution by Cholesky's method.
   *
   * @param damping added to the unit diagonal (Marquardt's λ); 0 for none
   * @param least smallest square of a pivot, against 1, that is not a singular matrix
   * @return the unknowns, 0 for one that nothing depends on; null if the matrix is singular
   */
  double[] solve(double damping, double least) {
    double[] scale = scale();
    double[][] l = cholesky(scale, damping, least);
    if (l == null) {
      return null;
    }
    int n = right.length;
    double[] x = new double[n];
    for (int r = 0; r < n; r++) {
      x[r] = right[r] * scale[r];
    }
    substitute(l, x);
    for (int r = 0; r < n; r++) {
      x[r] *= scale[r];
    }
    return x;
  }

  /** Inverse of the matrix; null if it is singular. */
  double[][] inverse(double least) {
    double[] scale = scale();
    double[][] l = cholesky(scale, 0, least);
    if (l == null) {
      return null;
    }
    int n = right.length;
    double[][] inverse = new double[n][n];
    for (int c = 0; c < n; c++) {
      inverse[c][c] = scale[c];
      substitute(l, inverse[c]);
      for (int r = 0; r < n; r++) {
        inverse[c][r] *= scale[r];
      }
    }
    return inverse;
  }

  private double[] scale() {
    double[] scale = new double[right.length];
    for (int r = 0; r < scale.length; r++) {
      scale[r] = lower[r][r] > 0 ? 1 / Math.sqrt(lower[r][r]) : 0;
    }
    return scale;
  }

  private double[][] cholesky(double[] scale, double damping, double least) {
    int n = right.length;
    double[][] l = new double[n][];
    for (int r = 0; r < n; r++) {
      double[] row = new double[r + 1];
      for (int c = 0; c < r; c++) {
        double sum = lower[r][c] * scale[r] * scale[c];
        double[] other = l[c];
        for (int k = 0; k < c; k++) {
          sum -= row[k] * other[k];
        }
        row[c] = sum / other[c];
      }
      double pivot = 1 + damping;
      for (int k = 0; k < r; k++) {
        pivot -= row[k] * row[k];
      }
      if (!(pivot > least)) {
        return null;
      }
      row[r] = Math.sqrt(pivot);
      l[r] = row;
    }
    return l;
  }

  /** Solves L Lᵀ x = x in place. */
  private static void substitute(double[][] l, double[] x) {
    int n = x.length;
    for (int r = 0; r < n; r++) {
      double sum = x[r];
      double[] row = l[r];
      for (int k = 0; k < r; k++) {
        sum -= row[k] * x[k];
      }
      x[r] = sum / row[r];
    }
    for (int r = n - 1; r >= 0; r--) {
      double[] row = l[r];
      x[r] /= row[r];
      for (int k = 0; k < r; k++) {
        x[k] -= row[k] * x[r];
      }
    }
  }
}
