package ringtrue.stability;

import java.util.Random;
import org.apache.commons.math3.complex.Complex;
import org.apache.commons.math3.linear.Array2DRowRealMatrix;
import org.apache.commons.math3.linear.EigenDecomposition;
import org.apache.commons.math3.linear.RealMatrix;

/**
 * Largest eigenvalue of a linear map that can only be applied, by Arnoldi's method (Arnoldi 1951;
 * Saad 2011, Numerical Methods for Large Eigenvalue Problems, ch. 6): the map projected on the
 * space of a vector and its images.
 */
final class DominantMultiplier {
  private static final int LARGEST = 120;
  private static final int BETWEEN = 6;

  /** A linear map of vectors of one length. */
  interface LinearMap {
    void apply(double[] from, double[] into);
  }

  private DominantMultiplier() {}

  /**
   * @param map the map
   * @param start any vector that has a part along the eigenvector
   * @param tolerance relative residual at which to stop
   * @throws IllegalStateException if that is not reached
   */
  static Complex of(LinearMap map, double[] start, double tolerance) {
    double[][] basis = new double[LARGEST + 1][];
    double[][] h = new double[LARGEST + 1][LARGEST];
    basis[0] = start.clone();
    scale(basis[0], 1 / Math.sqrt(dot(start, start)));
    for (int k = 0; k < LARGEST; k++) {
      double[] next = new double[start.length];
      map.apply(basis[k], next);
      double before = Math.sqrt(dot(next, next));
      for (int round = 0; round < 2; round++) {
        for (int i = 0; i <= k; i++) {
          double part = dot(basis[i], next);
          h[i][k] += part;
          for (int l = 0; l < next.length; l++) {
            next[l] -= part * basis[i][l];
          }
        }
      }
      double rest = Math.sqrt(dot(next, next));
      int size = k + 1;
      boolean all = rest <= 1e-14 * before;
      if (all || size == LARGEST || size == start.length || size % BETWEEN == 0) {
        Complex found = converged(h, size, rest, all ? 1 : tolerance);
        if (found != null) {
          return found;
        }
      }
      h[k + 1][k] = rest;
      scale(next, 1 / rest);
      basis[k + 1] = next;
    }
    throw new IllegalStateException("no convergence to " + tolerance + " in " + LARGEST);
  }

  /** The largest eigenvalue of the projected map if its residual is small, else null. */
  private static Complex converged(double[][] h, int size, double rest, double tolerance) {
    RealMatrix small = new Array2DRowRealMatrix(h, false).getSubMatrix(0, size - 1, 0, size - 1);
    EigenDecomposition eigen = new EigenDecomposition(small);
    double[] re = eigen.getRealEigenvalues();
    double[] im = eigen.getImagEigenvalues();
    int best = 0;
    for (int i = 1; i < size; i++) {
      if (Math.hypot(re[i], im[i]) > Math.hypot(re[best], im[best])) {
        best = i;
      }
    }
    int first = best > 0 && im[best] != 0 && im[best] == -im[best - 1] ? best - 1 : best;
    RealMatrix v = eigen.getV();
    double norm = 0;
    for (int i = 0; i < size; i++) {
      norm += square(v.getEntry(i, first)) + (im[best] == 0 ? 0 : square(v.getEntry(i, first + 1)));
    }
    double last =
        Math.hypot(
            v.getEntry(size - 1, first), im[best] == 0 ? 0 : v.getEntry(size - 1, first + 1));
    double modulus = Math.hypot(re[best], im[best]);
    return rest * last / Math.sqrt(norm) <= tolerance * modulus
        ? new Complex(re[best], Math.abs(im[best]))
        : null;
  }

  static double[] random(int length, long seed) {
    Random random = new Random(seed);
    double[] vector = new double[length];
    for (int i = 0; i < length; i++) {
      vector[i] = random.nextGaussian();
    }
    return vector;
  }

  private static double square(double v) {
    return v * v;
  }

  private static double dot(double[] a, double[] b) {
    double sum = 0;
    for (int i = 0; i < a.length; i++) {
      sum += a[i] * b[i];
    }
    return sum;
  }

  private static void scale(double[] a, double by) {
    for (int i = 0; i < a.length; i++) {
      a[i] *= by;
    }
  }
}
