package ringtrue.fitting;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import org.ejml.data.Complex_F64;
import org.ejml.data.DMatrixRMaj;
import org.ejml.dense.row.MatrixFeatures_DDRM;
import org.ejml.dense.row.factory.DecompositionFactory_DDRM;
import org.ejml.interfaces.decomposition.EigenDecomposition_F64;

/**
 * Poles of a rational function through weighted data, found by moving a set of trial poles: {@code
 * σ(s) G(s) = Σ c/(s − a) + d + e/s + g/s²} with {@code σ(s) = σ0 + Σ c̃/(s − a)} is linear in its
 * coefficients, and σ's zeros are better poles (Gustavsen and Semlyen 1999, IEEE Trans. Power
 * Delivery 14, 1052-1061; the free σ0 after Gustavsen 2006, IEEE Trans. Power Delivery 21,
 * 1587-1592). The terms in 1/s and 1/s² hold the modes below the band.
 */
final class VectorFitting {
  private static final double SMALLEST_SIGMA0 = 1e-6;

  /** Square of a pivot, of unit columns, below which rounding has eaten it. */
  private static final double LEAST_PIVOT = 1e-14;

  private final FitLines lines;
  private final double unit;
  private final double[] weight;

  /**
   * A pole p of the structure with its conjugate, or a real one.
   *
   * @param re real part, rad/s, negative for a stable pole
   * @param im imaginary part, rad/s, positive; 0 for a real pole
   */
  record Pole(double re, double im) {

    double omega() {
      return Math.hypot(re, im);
    }

    double zeta() {
      return -re / omega();
    }
  }

  VectorFitting(FitLines lines) {
    this.lines = lines;
    this.unit = lines.omega[lines.size() - 1];
    this.weight = new double[lines.size()];
    double mean = 0;
    for (int i = 0; i < weight.length; i++) {
      mean += 1 / lines.sigma[i] / weight.length;
    }
    for (int i = 0; i < weight.length; i++) {
      weight[i] = 1 / lines.sigma[i] / mean;
    }
  }

  /**
   * Moves the poles.
   *
   * @param rounds how often
   * @return the new poles, all stable; the ones of the last round that worked
   */
  List<Pole> relocate(List<Pole> start, int rounds) {
    List<Pole> poles = start;
    for (int round = 0; round < rounds; round++) {
      Optional<List<Pole>> moved = relocated(poles);
      if (moved.isEmpty()) {
        return poles;
      }
      poles = moved.get();
    }
    return poles;
  }

  /**
   * What the best rational function with given poles leaves over.
   *
   * @param chiSquare Σ|misfit|²/σ²
   * @param places trial poles where most of it lies, most first
   */
  record Misfit(double chiSquare, List<Pole> places) {

    List<Pole> worstPlaces(int most) {
      return places.subList(0, Math.min(most, places.size()));
    }
  }

  /** Fits residues to given poles and says what is left over, and where. */
  Misfit misfit(List<Pole> poles) {
    int order = order(poles);
    int rows = lines.size();
    double[][] top = new double[rows][order + 3];
    double[][] low = new double[rows][order + 3];
    double[] br = new double[order];
    double[] bi = new double[order];
    NormalEquations equations = new NormalEquations(order + 3);
    for (int i = 0; i < rows; i++) {
      basis(poles, i, br, bi);
      numerator(top[i], low[i], i, br, bi);
      equations.add(top[i], weight[i] * lines.re[i], low[i], weight[i] * lines.im[i]);
    }
    double[] x = equations.solve(0, LEAST_PIVOT);
    if (x == null) {
      // two poles alike: hardly more than nothing on the diagonal tells them apart
      x = equations.solve(1e-10, 0);
    }
    if (x == null) {
      return new Misfit(Double.POSITIVE_INFINITY, List.of());
    }
    double[] left = new double[rows];
    double sum = 0;
    for (int i = 0; i < rows; i++) {
      double re = weight[i] * lines.re[i];
      double im = weight[i] * lines.im[i];
      for (int k = 0; k < x.length; k++) {
        re -= top[i][k] * x[k];
        im -= low[i][k] * x[k];
      }
      double unweigh = 1 / (weight[i] * lines.sigma[i]);
      left[i] = (re * re + im * im) * unweigh * unweigh;
      sum += left[i];
    }
    return new Misfit(sum, places(left));
  }

  /** Trial poles at the largest local means of the misfit, wide apart. */
  private List<Pole> places(double[] left) {
    int rows = left.length;
    double[] smooth = new double[rows];
    for (int i = 0; i < rows; i++) {
      for (int j = Math.max(0, i - 3); j <= Math.min(rows - 1, i + 3); j++) {
        // a single line of any size must not draw a pole
        smooth[i] += Math.sqrt(left[j]);
      }
    }
    List<Pole> places = new ArrayList<>();
    boolean[] taken = new boolean[rows];
    for (int found = 0; found < 4; found++) {
      int best = -1;
      for (int i = 0; i < rows; i++) {
        if (!taken[i] && (best < 0 || smooth[i] > smooth[best])) {
          best = i;
        }
      }
      if (best < 0) {
        break;
      }
      double omega = lines.omega[best];
      places.add(new Pole(-0.01 * omega, omega));
      for (int i = 0; i < rows; i++) {
        taken[i] |= Math.abs(lines.omega[i] - omega) < 0.03 * omega;
      }
    }
    return places;
  }

  private static int order(List<Pole> poles) {
    int order = 0;
    for (Pole pole : poles) {
      order += pole.im > 0 ? 2 : 1;
    }
    return order;
  }

  /** Columns of the numerator's coefficients: those of the poles, then 1, 1/s, 1/s². */
  private void numerator(double[] top, double[] low, int line, double[] br, double[] bi) {
    int order = br.length;
    double w = weight[line];
    for (int k = 0; k < order; k++) {
      top[k] = w * br[k];
      low[k] = w * bi[k];
    }
    double sr = lines.shift / unit;
    double si = lines.omega[line] / unit;
    double q = sr * sr + si * si;
    double ir = sr / q;
    double ii = -si / q;
    top[order] = w;
    top[order + 1] = w * ir;
    low[order + 1] = w * ii;
    top[order + 2] = w * (ir * ir - ii * ii);
    low[order + 2] = w * 2 * ir * ii;
  }

  /** Empty if the data do not say where the poles are to go. */
  private Optional<List<Pole>> relocated(List<Pole> poles) {
    int order = order(poles);
    int rows = lines.size();
    int columns = 2 * order + 4;
    double[] sums = new double[order];
    double power = 0;
    double largest = 0;
    for (int i = 0; i < rows; i++) {
      largest = Math.max(largest, lines.magnitude(i));
    }
    double[] br = new double[order];
    double[] bi = new double[order];
    double[] top = new double[columns];
    double[] low = new double[columns];
    NormalEquations equations = new NormalEquations(columns);
    for (int i = 0; i < rows; i++) {
      basis(poles, i, br, bi);
      double w = weight[i];
      double gr = lines.re[i] / largest;
      double gi = lines.im[i] / largest;
      numerator(top, low, i, br, bi);
      for (int k = 0; k < order; k++) {
        top[order + 3 + k] = -w * (br[k] * gr - bi[k] * gi);
        low[order + 3 + k] = -w * (br[k] * gi + bi[k] * gr);
        sums[k] += br[k];
      }
      top[columns - 1] = -w * gr;
      low[columns - 1] = -w * gi;
      power += w * w * (gr * gr + gi * gi);
      equations.add(top, 0, low, 0);
    }
    // One more equation keeps σ from vanishing: its mean real part is 1.
    double strength = Math.sqrt(power) / rows;
    Arrays.fill(top, 0);
    Arrays.fill(low, 0);
    for (int k = 0; k < order; k++) {
      top[order + 3 + k] = strength * sums[k];
    }
    top[columns - 1] = strength * rows;
    equations.add(top, strength * rows, low, 0);
    double[] coefficients = equations.solve(0, LEAST_PIVOT);
    if (coefficients == null) {
      coefficients = equations.solve(1e-12, 0);
    }
    if (coefficients == null) {
      return Optional.empty();
    }
    double sigma0 = coefficients[columns - 1];
    if (Math.abs(sigma0) < SMALLEST_SIGMA0) {
      sigma0 = Math.copySign(SMALLEST_SIGMA0, sigma0);
    }
    return zeros(poles, coefficients, order + 3, order, sigma0);
  }

  private void basis(List<Pole> poles, int line, double[] br, double[] bi) {
    double sr = lines.shift / unit;
    double si = lines.omega[line] / unit;
    int k = 0;
    for (Pole pole : poles) {
      double pr = pole.re / unit;
      double pi = pole.im / unit;
      double xr = sr - pr;
      double xi = si - pi;
      double d = xr * xr + xi * xi;
      if (pole.im == 0) {
        br[k] = xr / d;
        bi[k] = -xi / d;
        k++;
        continue;
      }
      double yi = si + pi;
      double e = xr * xr + yi * yi;
      double ar = xr / d;
      double ai = -xi / d;
      double cr = xr / e;
      double ci = -yi / e;
      br[k] = ar + cr;
      bi[k] = ai + ci;
      // i/(s − p) − i/(s − p*)
      br[k + 1] = -ai + ci;
      bi[k + 1] = ar - cr;
      k += 2;
    }
  }

  /** Zeros of σ: eigenvalues of A − b cᵀ/σ0 (Gustavsen and Semlyen 1999, appendix B). */
  private Optional<List<Pole>> zeros(
      List<Pole> poles, double[] coefficients, int offset, int order, double sigma0) {
    DMatrixRMaj a = new DMatrixRMaj(order, order);
    int k = 0;
    for (Pole pole : poles) {
      double pr = pole.re / unit;
      double pi = pole.im / unit;
      int width = pole.im > 0 ? 2 : 1;
      a.set(k, k, pr);
      if (width == 2) {
        a.set(k, k + 1, pi);
        a.set(k + 1, k, -pi);
        a.set(k + 1, k + 1, pr);
      }
      for (int c = 0; c < order; c++) {
        // b is 2, 0 for a pair and 1 for a real pole
        a.add(k, c, -width * coefficients[offset + c] / sigma0);
      }
      k += width;
    }
    EigenDecomposition_F64<DMatrixRMaj> eigen = DecompositionFactory_DDRM.eig(order, false);
    if (MatrixFeatures_DDRM.hasUncountable(a) || !eigen.decompose(a)) {
      return Optional.empty();
    }
    List<Pole> moved = new ArrayList<>();
    for (int i = 0; i < order; i++) {
      Complex_F64 zero = eigen.getEigenvalue(i);
      if (zero.imaginary >= 0) {
        // unstable ones are turned over; none may lie on the axis
        double real = -Math.max(Math.abs(zero.real), 1e-9);
        moved.add(new Pole(real * unit, zero.imaginary * unit));
      }
    }
    return Optional.of(moved);
  }
}
