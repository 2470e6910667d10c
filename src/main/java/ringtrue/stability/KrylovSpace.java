package ringtrue.stability;

import java.util.Random;
import java.util.function.BiConsumer;
import org.ejml.data.Complex_F64;
import org.ejml.data.DMatrixRMaj;
import org.ejml.dense.row.factory.DecompositionFactory_DDRM;
import org.ejml.interfaces.decomposition.EigenDecomposition_F64;

/**
 * The largest multiplier of a large period map by Arnoldi's method: the map is projected on the
 * space of a start vector and its images, orthonormalised twice where it matters. The start is
 * drawn with a fixed seed, so that the answer is always the same.
 */
final class KrylovSpace {
  private static final int FIRST = 8;

  /** Logarithm of a growth in a period that nothing stable can show for a moment. */
  private static final double BEYOND = 20;

  private static final int MOST = 400;

  /**
   * An image that keeps so much of its length is orthogonal enough after one round (Daniel, Gragg,
   * Kaufman & Stewart 1976, with their usual factor).
   */
  private static final double LITTLE_LOST = 0.7071;

  private final BiConsumer<double[], double[]> map;
  private final int n;
  private final double[][] basis;
  private final double[][] h;

  private KrylovSpace(BiConsumer<double[], double[]> map, int n) {
    this.map = map;
    this.n = n;
    int most = Math.min(n, MOST);
    this.basis = new double[most + 1][];
    this.h = new double[most][];
  }

  /**
   * What was found.
   *
   * @param largest the largest multiplier; not sure where it did not settle
   * @param vector the state that belongs to it, real and imaginary parts in turn
   */
  record Found(Multipliers.Largest largest, double[] vector) {}

  /**
   * The largest multiplier.
   *
   * @param map takes a state (first) through a period (into the second)
   * @param n length of a state
   * @param signOnly whether it is enough to know on which side of the unit circle it lies
   */
  static Found largest(BiConsumer<double[], double[]> map, int n, boolean signOnly) {
    return new KrylovSpace(map, n).largest(signOnly);
  }

  private Found largest(boolean signOnly) {
    Random random = new Random(20_040_601);
    double[] start = new double[n];
    for (int i = 0; i < n; i++) {
      start[i] = random.nextGaussian();
    }
    scale(start, 1 / Math.sqrt(dot(start, start)));
    basis[0] = start;
    int most = h.length;
    int look = Math.min(FIRST, most);
    for (int k = 0; k < most; k++) {
      double left = step(k);
      boolean closed = left < 1e-14;
      if (k + 1 == look || closed || k + 1 == most) {
        double[] mu = new double[2];
        double[] packed = packed(k + 1);
        if (!eigenvalue(packed, k + 1, mu)) {
          return new Found(beyondNumbers(packed), null);
        }
        double size = Math.hypot(mu[0], mu[1]);
        if (size == 0) {
          return new Found(Multipliers.REST, new double[2 * n]);
        }
        double[] vector = ComplexVectors.nullVector(packed, k + 1, k + 1, mu[0], mu[1]);
        double residual = left * Math.hypot(vector[2 * k], vector[2 * k + 1]);
        double log = Math.log(size);
        double enough = signOnly ? Math.max(1e-9, 0.005 * Math.abs(log)) : 1e-9;
        boolean sure = closed || residual < enough * size || k + 1 == n;
        if (sure || k + 1 == most) {
          return new Found(
              new Multipliers.Largest(log, Math.abs(Math.atan2(mu[1], mu[0])), sure),
              signOnly ? null : state(vector, k + 1));
        }
        look = Math.min(most, look + Math.max(8, look / 3));
      }
      scale(basis[k + 1], 1 / left);
    }
    throw new IllegalStateException("unreachable");
  }

  /** Takes the space one vector further; returns what is new in it. */
  private double step(int k) {
    double[] image = new double[n];
    map.accept(basis[k], image);
    h[k] = new double[k + 2];
    double before = Math.sqrt(dot(image, image));
    double left = orthogonalise(image, k);
    if (!(left > LITTLE_LOST * before)) {
      left = orthogonalise(image, k);
    }
    h[k][k + 1] = left;
    basis[k + 1] = image;
    return left;
  }

  /** Takes the first vectors out of one; returns what is left of it. */
  private double orthogonalise(double[] image, int k) {
    for (int v = 0; v <= k; v++) {
      double[] b = basis[v];
      double part = dot(b, image);
      h[k][v] += part;
      for (int i = 0; i < n; i++) {
        image[i] -= part * b[i];
      }
    }
    return Math.sqrt(dot(image, image));
  }

  private double[] packed(int size) {
    double[] all = new double[size * size];
    for (int c = 0; c < size; c++) {
      for (int r = 0; r < Math.min(size, c + 2); r++) {
        all[r * size + c] = h[c][r];
      }
    }
    return all;
  }

  /**
   * The largest eigenvalue of a small matrix.
   *
   * @param h by rows without padding
   * @param mu gets its real and imaginary part
   * @return whether it was found
   */
  private static boolean eigenvalue(double[] h, int s, double[] mu) {
    double scale = 0;
    for (double v : h) {
      scale = Math.max(scale, Math.abs(v));
    }
    if (!(scale > 0) || Double.isInfinite(scale)) {
      mu[0] = 0;
      mu[1] = 0;
      return scale == 0;
    }
    if (s > 1 && HessenbergValues.fits(h, s) && hessenberg(h, s, scale, mu)) {
      return true;
    }
    DMatrixRMaj matrix = new DMatrixRMaj(s, s);
    for (int i = 0; i < s * s; i++) {
      matrix.data[i] = h[i] / scale;
    }
    EigenDecomposition_F64<DMatrixRMaj> eigen = DecompositionFactory_DDRM.eig(s, false);
    if (!eigen.decompose(matrix)) {
      return false;
    }
    double best = -1;
    for (int i = 0; i < s; i++) {
      Complex_F64 value = eigen.getEigenvalue(i);
      if (value.getMagnitude2() > best) {
        best = value.getMagnitude2();
        mu[0] = scale * value.real;
        mu[1] = scale * value.imaginary;
      }
    }
    return best >= 0;
  }

  /** The same for the matrix that a Krylov space gives, in a fraction of the time. */
  private static boolean hessenberg(double[] h, int s, double scale, double[] mu) {
    double[] scaled = new double[s * s];
    for (int i = 0; i < s * s; i++) {
      scaled[i] = h[i] / scale;
    }
    HessenbergValues values = new HessenbergValues(scaled, s);
    if (!values.find()) {
      return false;
    }
    double best = -1;
    for (int i = 0; i < s; i++) {
      double size = values.re(i) * values.re(i) + values.im(i) * values.im(i);
      if (size > best) {
        best = size;
        mu[0] = scale * values.re(i);
        mu[1] = scale * values.im(i);
      }
    }
    return best >= 0;
  }

  /** Growth of a period that is too large for its eigenvalues to be told: by its size alone. */
  private static Multipliers.Largest beyondNumbers(double[] matrix) {
    double most = 0;
    for (double v : matrix) {
      most = Math.max(most, Double.isNaN(v) ? Double.MAX_VALUE : Math.abs(v));
    }
    double log = Math.log(Math.min(most, Double.MAX_VALUE));
    return new Multipliers.Largest(log, Math.PI, log > BEYOND);
  }

  /** The state that a vector of the space stands for. */
  private double[] state(double[] vector, int size) {
    double[] sum = new double[2 * n];
    for (int k = 0; k < size; k++) {
      for (int i = 0; i < n; i++) {
        sum[2 * i] += vector[2 * k] * basis[k][i];
        sum[2 * i + 1] += vector[2 * k + 1] * basis[k][i];
      }
    }
    return sum;
  }

  private static double dot(double[] a, double[] b) {
    return Kernels.dot(a, 0, b, a.length);
  }

  private static void scale(double[] v, double factor) {
    for (int i = 0; i < v.length; i++) {
      v[i] *= factor;
    }
  }

  /** The largest multiplier by all eigenvalues. */
  static Multipliers.Largest all(double[] m, int n, int stride) {
    double[] packed = new double[n * n];
    for (int i = 0; i < n; i++) {
      System.arraycopy(m, i * stride, packed, i * n, n);
    }
    double[] mu = new double[2];
    if (!eigenvalue(packed, n, mu)) {
      return beyondNumbers(packed);
    }
    return new Multipliers.Largest(
        Math.log(Math.hypot(mu[0], mu[1])), Math.abs(Math.atan2(mu[1], mu[0])), true);
  }

  /** The largest eigenvalue of a small matrix by rows without padding: real and imaginary part. */
  static void largest(double[] small, int size, double[] mu) {
    eigenvalue(small, size, mu);
  }
}
