package ringtrue.acquisition;

import java.util.ArrayList;
import java.util.List;
import org.apache.commons.math3.complex.Complex;
import org.apache.commons.math3.linear.Array2DRowRealMatrix;
import org.apache.commons.math3.linear.EigenDecomposition;
import ringtrue.dynamics.Mode;

/**
 * A transfer function as a sum of poles, {@code T(s) = d + Σ r/(s − p)}. Of a conjugate pair only
 * the pole above the real axis is kept.
 *
 * @param direct d
 * @param poles p, in 1/s, with imaginary parts ≥ 0 and negative real parts
 * @param residues r
 */
record TransferFunction(double direct, List<Complex> poles, List<Complex> residues) {

  /** What comes out is what goes in. */
  static final TransferFunction ONE = new TransferFunction(1, List.of(), List.of());

  TransferFunction {
    poles = List.copyOf(poles);
    residues = List.copyOf(residues);
  }

  Complex at(Complex s) {
    Complex sum = new Complex(direct);
    for (int i = 0; i < poles.size(); i++) {
      Complex p = poles.get(i);
      Complex r = residues.get(i);
      sum = sum.add(r.divide(s.subtract(p)));
      if (p.getImaginary() > 0) {
        sum = sum.add(r.conjugate().divide(s.subtract(p.conjugate())));
      }
    }
    return sum;
  }

  /**
   * Receptance at the driving point of a structure that carries a sensor there: with the modes'
   * masses and dampers M, C, K and the sensor's mass m at the point where all mode shapes are 1,
   * the structure obeys {@code (M + m 1 1ᵀ) q̈ + C q̇ + K q = 1 F}. Eigenvalues of its state matrix
   * are polished by Newton steps on {@code 1 + m s² G(s) = 0}, where G is the receptance without
   * the sensor; residues follow from {@code H = G/(1 + m s² G)}.
   *
   * @param modes modes without the sensor
   * @param sensorMassKg its mass, 0 for none
   */
  static TransferFunction receptance(List<Mode> modes, double sensorMassKg) {
    List<Mode> distinct = merged(modes);
    List<Complex> poles = new ArrayList<>();
    List<Complex> residues = new ArrayList<>();
    if (sensorMassKg == 0) {
      for (Mode mode : distinct) {
        double omega = omega(mode);
        double zeta = mode.dampingRatio();
        double damped = omega * Math.sqrt((1 - zeta) * (1 + zeta));
        poles.add(new Complex(-zeta * omega, damped));
        residues.add(new Complex(0, -1 / (2 * damped * mode.massKg())));
      }
      return new TransferFunction(0, poles, residues);
    }
    double unit = distinct.stream().mapToDouble(TransferFunction::omega).max().orElseThrow();
    for (Complex start : eigenvalues(distinct, sensorMassKg, unit)) {
      Complex p = start;
      double before = 1e-6;
      Polynomials at = new Polynomials(p, distinct, sensorMassKg, unit);
      for (int i = 0; i < 6; i++) {
        Complex step = at.loaded.divide(at.loadedSlope);
        double size = step.abs() / p.abs();
        if (!(size < before)) {
          break;
        }
        p = p.subtract(step);
        before = size;
        at = new Polynomials(p, distinct, sensorMassKg, unit);
      }
      poles.add(p.multiply(unit));
      residues.add(at.numerator.divide(at.loadedSlope).divide(unit));
    }
    return new TransferFunction(0, poles, residues);
  }

  /**
   * Receptance N/P without the sensor and N/Q, Q = P + m s² N, with it, over s in the given unit.
   * Products of the modes' own polynomials have no small differences in denominators, however light
   * the sensor.
   */
  private static final class Polynomials {
    final Complex numerator;
    final Complex loaded;
    final Complex loadedSlope;

    Polynomials(Complex s, List<Mode> modes, double sensorMassKg, double unit) {
      int n = modes.size();
      Complex[] d = new Complex[n];
      Complex[] slope = new Complex[n];
      for (int i = 0; i < n; i++) {
        double omega = omega(modes.get(i)) / unit;
        double damping = 2 * modes.get(i).dampingRatio() * omega;
        d[i] = s.multiply(s).add(s.multiply(damping)).add(omega * omega);
        slope[i] = s.multiply(2).add(damping);
      }
      Complex numeratorSum = Complex.ZERO;
      Complex numeratorSlope = Complex.ZERO;
      Complex denominatorSlope = Complex.ZERO;
      for (int j = 0; j < n; j++) {
        double inverseMass = 1 / modes.get(j).massKg();
        Complex others = product(d, j, -1);
        numeratorSum = numeratorSum.add(others.multiply(inverseMass));
        denominatorSlope = denominatorSlope.add(others.multiply(slope[j]));
        for (int i = 0; i < n; i++) {
          if (i != j) {
            Complex term = product(d, i, j).multiply(slope[i]).multiply(inverseMass);
            numeratorSlope = numeratorSlope.add(term);
          }
        }
      }
      Complex s2 = s.multiply(s);
      numerator = numeratorSum;
      loaded = product(d, -1, -1).add(s2.multiply(numeratorSum).multiply(sensorMassKg));
      loadedSlope =
          denominatorSlope.add(
              s.multiply(2)
                  .multiply(numeratorSum)
                  .add(s2.multiply(numeratorSlope))
                  .multiply(sensorMassKg));
    }

    private static Complex product(Complex[] of, int without, int norThis) {
      Complex all = Complex.ONE;
      for (int i = 0; i < of.length; i++) {
        all = i == without || i == norThis ? all : all.multiply(of[i]);
      }
      return all;
    }
  }

  private static double omega(Mode mode) {
    return 2 * Math.PI * mode.frequencyHz();
  }

  /** Modes of the very same frequency and damping act as one. */
  private static List<Mode> merged(List<Mode> modes) {
    List<Mode> distinct = new ArrayList<>();
    for (Mode mode : modes) {
      boolean found = false;
      for (int i = 0; i < distinct.size() && !found; i++) {
        Mode other = distinct.get(i);
        if (other.frequencyHz() == mode.frequencyHz()
            && other.dampingRatio() == mode.dampingRatio()) {
          double k = 1 / (1 / other.stiffnessNPerM() + 1 / mode.stiffnessNPerM());
          distinct.set(i, Mode.of(mode.frequencyHz(), mode.dampingRatio(), k));
          found = true;
        }
      }
      if (!found) {
        distinct.add(mode);
      }
    }
    return distinct;
  }

  private static List<Complex> eigenvalues(List<Mode> modes, double sensorMassKg, double unit) {
    int n = modes.size();
    double inverseMass = 0;
    for (Mode mode : modes) {
      inverseMass += 1 / mode.massKg();
    }
    double[][] a = new double[2 * n][2 * n];
    for (int row = 0; row < n; row++) {
      a[row][n + row] = 1;
      for (int column = 0; column < n; column++) {
        Mode mode = modes.get(column);
        double omega = omega(mode) / unit;
        // inverse of M + m 1 1ᵀ by Sherman & Morrison (1950), times M of this column
        double inverse =
            (row == column ? 1 : 0)
                - sensorMassKg / modes.get(row).massKg() / (1 + sensorMassKg * inverseMass);
        a[n + row][column] = -inverse * omega * omega;
        a[n + row][n + column] = -inverse * 2 * mode.dampingRatio() * omega;
      }
    }
    EigenDecomposition eigen = new EigenDecomposition(new Array2DRowRealMatrix(a, false));
    List<Complex> upper = new ArrayList<>();
    for (int i = 0; i < 2 * n; i++) {
      double imaginary = eigen.getImagEigenvalue(i);
      if (imaginary >= 0) {
        upper.add(new Complex(eigen.getRealEigenvalue(i), imaginary));
      }
    }
    return upper;
  }

  /**
   * This times s: the derivative with time of what comes out. Needs no direct part.
   *
   * @param limit value of s T(s) at infinity: 0 for receptance to mobility, the sum of the inverse
   *     masses for mobility to accelerance
   */
  TransferFunction differentiated(double limit) {
    if (direct != 0) {
      throw new IllegalStateException("the derivative of a direct part is no function of time");
    }
    List<Complex> times = new ArrayList<>();
    for (int i = 0; i < poles.size(); i++) {
      times.add(residues.get(i).multiply(poles.get(i)));
    }
    return new TransferFunction(limit, poles, times);
  }

  /** This behind a first-order high-pass s/(s + a). */
  TransferFunction highPassed(double cornerHz) {
    if (cornerHz == 0) {
      return this;
    }
    double a = 2 * Math.PI * cornerHz;
    List<Complex> morePoles = new ArrayList<>(poles);
    List<Complex> moreResidues = new ArrayList<>();
    for (int i = 0; i < poles.size(); i++) {
      Complex p = poles.get(i);
      moreResidues.add(residues.get(i).multiply(p).divide(p.add(a)));
    }
    morePoles.add(new Complex(-a));
    moreResidues.add(at(new Complex(-a)).multiply(-a));
    return new TransferFunction(direct, morePoles, moreResidues);
  }
}
