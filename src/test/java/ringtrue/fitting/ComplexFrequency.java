package ringtrue.fitting;

import java.util.ArrayList;
import java.util.List;
import org.apache.commons.math3.complex.Complex;
import org.ejml.data.Complex_F64;
import org.ejml.data.DMatrixRMaj;
import org.ejml.dense.row.factory.DecompositionFactory_DDRM;
import org.ejml.interfaces.decomposition.EigenDecomposition_F64;
import ringtrue.fitting.VectorFitting.Pole;

/**
 * Least-squares complex-frequency estimator, the judge of another kind beside {@link
 * VectorFitting}: {@code Σ w² |A(z) G − B(z)|²} over polynomials with a common degree on the unit
 * circle, whose normal matrix consists of Toeplitz blocks; lower orders are its leading parts
 * (Guillaume, Verboven, Vanlanduit, Van der Auweraer and Peeters 2003, IMAC XXI; Van der Auweraer,
 * Guillaume, Verboven and Vanlanduit 2001, J. Dyn. Sys. Meas. Control 123, 651-658; from memory).
 * A's lowest coefficient is 1, which throws poles of noise out of the stable half plane (Cauberghe,
 * Guillaume, Verboven, Vanlanduit and Parloo 2005, Mech. Syst. Signal Process. 19; from memory).
 *
 * <p>The circle is {@code z = (a + s)/(a − s)} instead of the usual {@code e^(sT)}: a rational
 * function of s is one of z, so that nothing is left for extra poles to make up, and with a in the
 * geometric middle of the band low frequencies have as much of the circle as high ones. Each order
 * is solved again with weights 1/|A|² of the round before (Sanathanan and Koerner 1963, IEEE Trans.
 * Autom. Control 8, 56-58).
 */
final class ComplexFrequency {
  private static final double RIDGE = 1e-14;
  private static final int ROUNDS = 3;

  private final FitLines lines;
  private final double a;
  private final double[] cos;
  private final double[] sin;
  private final double[] weight;

  ComplexFrequency(FitLines lines) {
    this.lines = lines;
    int n = lines.size();
    a = Math.sqrt(lines.omega[0] * lines.omega[n - 1]);
    cos = new double[n];
    sin = new double[n];
    weight = new double[n];
    for (int i = 0; i < n; i++) {
      double x = lines.omega[i] / a;
      cos[i] = (1 - x * x) / (1 + x * x);
      sin[i] = 2 * x / (1 + x * x);
      weight[i] = 1 / (lines.sigma[i] * lines.sigma[i]);
    }
  }

  /** Grouped poles of all even orders up to the highest. */
  static PoleGroups.Grouped grouped(FitLines lines, int highest) {
    ComplexFrequency estimator = new ComplexFrequency(lines);
    PoleGroups groups = new PoleGroups(lines);
    Sums all = estimator.new Sums(highest, estimator.weight);
    int top = Math.min(highest, lines.size() / 3);
    for (int order = 2; order <= top; order += 2) {
      groups.add(order, estimator.poles(all, order));
    }
    return groups.grouped(top / 2);
  }

  /** Sums over the lines for orders up to the highest, the numerator eliminated. */
  private final class Sums {
    final double[] t;
    final double[][] y;

    Sums(int order, double[] w) {
      double[] s = new double[order + 1];
      double[] r = new double[2 * order + 1];
      t = new double[order + 1];
      for (int i = 0; i < lines.size(); i++) {
        double gr = lines.re[i];
        double gi = lines.im[i];
        double power = w[i] * (gr * gr + gi * gi);
        double zr = 1;
        double zi = 0;
        for (int k = 0; k <= order; k++) {
          s[k] += w[i] * zr;
          t[k] += power * zr;
          r[order - k] -= k == 0 ? 0 : w[i] * (gr * zr + gi * zi);
          r[order + k] -= w[i] * (gr * zr - gi * zi);
          double next = zr * cos[i] - zi * sin[i];
          zi = zr * sin[i] + zi * cos[i];
          zr = next;
        }
      }
      int n = order + 1;
      double[][] l = new double[n][n];
      y = new double[n][n];
      for (int i = 0; i < n; i++) {
        for (int j = 0; j < i; j++) {
          l[i][j] = (s[i - j] - dot(l[i], l[j], j)) / l[j][j];
        }
        double pivot = s[0] * (1 + RIDGE) - dot(l[i], l[i], i);
        l[i][i] = Math.sqrt(Math.max(pivot, 1e-3 * RIDGE * s[0]));
        for (int k = 0; k < n; k++) {
          double sum = r[order + k - i];
          for (int j = 0; j < i; j++) {
            sum -= l[i][j] * y[j][k];
          }
          y[i][k] = sum / l[i][i];
        }
      }
    }

    /** Coefficients of A from the lowest, which is 1. */
    double[] denominator(int order) {
      double[][] l = new double[order + 1][order + 1];
      double[] x = new double[order + 1];
      x[0] = 1;
      for (int i = 1; i <= order; i++) {
        for (int j = 1; j < i; j++) {
          l[i][j] = (element(order, i, j) - dot(l[i], l[j], j)) / l[j][j];
        }
        double pivot = element(order, i, i) + RIDGE * t[0] - dot(l[i], l[i], i);
        l[i][i] = Math.sqrt(Math.max(pivot, 1e-3 * RIDGE * t[0]));
        double right = -element(order, i, 0);
        for (int j = 1; j < i; j++) {
          right -= l[i][j] * x[j];
        }
        x[i] = right / l[i][i];
      }
      for (int i = order; i >= 1; i--) {
        for (int j = i + 1; j <= order; j++) {
          x[i] -= l[j][i] * x[j];
        }
        x[i] /= l[i][i];
      }
      return x;
    }

    private double element(int order, int i, int k) {
      double sum = t[Math.abs(i - k)];
      for (int j = 0; j <= order; j++) {
        sum -= y[j][i] * y[j][k];
      }
      return sum;
    }

    private static double dot(double[] p, double[] q, int count) {
      double sum = 0;
      for (int k = 0; k < count; k++) {
        sum += p[k] * q[k];
      }
      return sum;
    }
  }

  private List<Pole> poles(Sums all, int order) {
    double[] denominator = all.denominator(order);
    for (int round = 0; round < ROUNDS; round++) {
      double[] w = new double[lines.size()];
      for (int i = 0; i < w.length; i++) {
        Complex z = new Complex(cos[i], sin[i]);
        Complex value = Complex.ZERO;
        for (int k = order; k >= 0; k--) {
          value = value.multiply(z).add(denominator[k]);
        }
        w[i] = weight[i] / Math.pow(value.abs(), 2);
      }
      denominator = new Sums(order, w).denominator(order);
    }
    return zeros(denominator);
  }

  private List<Pole> zeros(double[] denominator) {
    int order = denominator.length - 1;
    DMatrixRMaj companion = new DMatrixRMaj(order, order);
    for (int k = 0; k < order; k++) {
      // of the reversed polynomial, whose highest coefficient is 1
      companion.set(0, k, -denominator[k + 1]);
      if (k > 0) {
        companion.set(k, k - 1, 1);
      }
    }
    List<Pole> found = new ArrayList<>();
    EigenDecomposition_F64<DMatrixRMaj> eigen = DecompositionFactory_DDRM.eig(order, false);
    if (!eigen.decompose(companion)) {
      return found;
    }
    for (int i = 0; i < order; i++) {
      Complex_F64 value = eigen.getEigenvalue(i);
      Complex z = new Complex(value.real, value.imaginary).reciprocal();
      Complex s = z.subtract(1).divide(z.add(1)).multiply(a).add(lines.shift);
      if (s.getImaginary() > 0 && s.getReal() < 0) {
        found.add(new Pole(s.getReal(), s.getImaginary()));
      }
    }
    return found;
  }
}
