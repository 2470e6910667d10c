package ringtrue.fitting;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.apache.commons.math3.linear.Array2DRowRealMatrix;
import org.apache.commons.math3.linear.ArrayRealVector;
import org.apache.commons.math3.linear.CholeskyDecomposition;
import org.apache.commons.math3.linear.NonPositiveDefiniteMatrixException;
import org.apache.commons.math3.linear.RealMatrix;
import org.jtransforms.fft.DoubleFFT_1D;
import ringtrue.fitting.ModalParameters.Term;

/**
 * Weighted non-linear least squares on all modes and residual terms at once, by Levenberg's and
 * Marquardt's method with analytic derivatives (Marquardt 1963, J. SIAM 11, 431-441). Unknowns are
 * ln ωn, ln ζ and the compliance 1/k of each mode, and the two residual terms; normal equations are
 * scaled to a unit diagonal.
 */
final class ModalRefinement {
  private static final double LEAST_ZETA = 1e-6;
  private static final double MOST_ZETA = 0.6;
  private static final double LARGEST_STEP_FREQUENCY = 0.05;
  private static final double LARGEST_STEP_DAMPING = 1.0;

  private final FitLines lines;
  private final double[] weight;
  private final boolean complexResidues;
  private final boolean withUpper;
  private final boolean withLower;

  /**
   * Where a refinement ended.
   *
   * @param parameters the model
   * @param chiSquare Σ|G − model|²/σ², with the lines' weights
   * @param steps steps taken
   * @param lastChange relative change of chi-square in the last successful one
   * @param converged whether it stopped because nothing changed any more
   */
  record Fit(
      ModalParameters parameters,
      double chiSquare,
      int steps,
      double lastChange,
      boolean converged) {}

  ModalRefinement(FitLines lines) {
    this(lines, null, false, true, true);
  }

  /**
   * @param weight factor to each line's 1/σ, for outliers; null for 1 everywhere
   * @param complexResidues whether each mode has its own phase
   * @param withUpper whether the upper residual is fitted; otherwise it is 0
   * @param withLower whether the lower residual is fitted; otherwise it is 0
   */
  ModalRefinement(
      FitLines lines,
      double[] weight,
      boolean complexResidues,
      boolean withUpper,
      boolean withLower) {
    this.lines = lines;
    this.weight = weight;
    this.complexResidues = complexResidues;
    this.withUpper = withUpper;
    this.withLower = withLower;
  }

  private int perMode() {
    return complexResidues ? 4 : 3;
  }

  private int unknowns(int modes) {
    return perMode() * modes + (withUpper ? 1 : 0) + (withLower ? 1 : 0);
  }

  /**
   * Goes downhill from a start.
   *
   * @param steps most steps to take
   * @param tolerance relative change of chi-square at which to stop
   */
  Fit from(ModalParameters start, int steps, double tolerance) {
    ModalParameters now = cleaned(start);
    int n = unknowns(now.terms().size());
    double[][] normal = new double[n][n];
    double[] gradient = new double[n];
    double[][] nextNormal = new double[n][n];
    double[] nextGradient = new double[n];
    double chiSquare = normalEquations(now, normal, gradient);
    double lambda = 1e-4;
    int calm = 0;
    int step = 0;
    double change = 0;
    for (; step < steps && n > 0 && calm < (lambda < 1e-4 ? 1 : 2) && lambda <= 1e8; step++) {
      double[] move = solve(normal, gradient, lambda);
      if (move == null) {
        lambda = Math.max(1e-6, lambda * 10);
        continue;
      }
      ModalParameters next = moved(now, move);
      // nearly every step goes down, so that the next normal equations are made at once
      double then = normalEquations(next, nextNormal, nextGradient);
      if (then <= chiSquare) {
        calm = chiSquare - then <= tolerance * chiSquare ? calm + 1 : 0;
        change = chiSquare > 0 ? (chiSquare - then) / chiSquare : 0;
        now = next;
        chiSquare = then;
        double[][] spareNormal = normal;
        double[] spareGradient = gradient;
        normal = nextNormal;
        gradient = nextGradient;
        nextNormal = spareNormal;
        nextGradient = spareGradient;
        lambda = Math.max(1e-12, lambda / 10);
      } else {
        lambda = Math.max(1e-9, lambda * 8);
      }
    }
    return new Fit(now, chiSquare, step, change, n == 0 || step < steps);
  }

  /** Chi-square of a model. */
  double chiSquare(ModalParameters parameters) {
    double[] re = new double[lines.size()];
    double[] im = new double[lines.size()];
    parameters.misfit(lines, re, im);
    double sum = lines.scatter;
    for (int i = 0; i < re.length; i++) {
      double w = weightAt(i);
      sum += (re[i] * re[i] + im[i] * im[i]) * w * w;
    }
    return sum;
  }

  /**
   * Best compliances and residual terms for the frequencies and damping ratios given: linear least
   * squares.
   */
  ModalParameters linear(ModalParameters parameters) {
    List<Term> terms = parameters.terms();
    int modes = terms.size();
    int each = complexResidues ? 2 : 1;
    int n = each * modes + (withUpper ? 1 : 0) + (withLower ? 1 : 0);
    if (n == 0) {
      return parameters;
    }
    double[][] normal = new double[n][n];
    double[] gradient = new double[n];
    double[] re = new double[n];
    double[] im = new double[n];
    double[] unit = new double[2];
    double a = lines.shift;
    for (int i = 0; i < lines.size(); i++) {
      double w = lines.omega[i];
      for (int j = 0; j < modes; j++) {
        terms.get(j).unit(a, w, unit);
        re[each * j] = unit[0];
        im[each * j] = unit[1];
        if (complexResidues) {
          double x = a / terms.get(j).omega();
          double y = w / terms.get(j).omega();
          re[2 * j + 1] = unit[0] * x - unit[1] * y;
          im[2 * j + 1] = unit[0] * y + unit[1] * x;
        }
      }
      residualDerivatives(w, re, im, each * modes);
      accumulate(weightAt(i), lines.re[i], lines.im[i], re, im, normal, gradient);
    }
    mirror(normal);
    double[] x = solve(normal, gradient, 1e-12);
    if (x == null) {
      return parameters;
    }
    List<Term> fitted = new ArrayList<>();
    for (int j = 0; j < modes; j++) {
      double quadrature = complexResidues ? x[2 * j + 1] : 0;
      fitted.add(new Term(terms.get(j).omega(), terms.get(j).zeta(), x[each * j], quadrature));
    }
    return new ModalParameters(fitted, withUpper ? x[each * modes] : 0, withLower ? x[n - 1] : 0);
  }

  private double weightAt(int i) {
    return (weight == null ? 1 : weight[i]) / lines.sigma[i];
  }

  private ModalParameters cleaned(ModalParameters p) {
    List<Term> terms = new ArrayList<>();
    for (Term t : p.terms()) {
      double zeta = Math.min(MOST_ZETA, Math.max(LEAST_ZETA, t.zeta()));
      terms.add(new Term(t.omega(), zeta, t.compliance(), complexResidues ? t.quadrature() : 0));
    }
    return new ModalParameters(terms, withUpper ? p.upper() : 0, withLower ? p.lower() : 0);
  }

  private ModalParameters moved(ModalParameters p, double[] move) {
    List<Term> terms = new ArrayList<>();
    int k = 0;
    for (Term t : p.terms()) {
      double omega = t.omega() * Math.exp(clip(move[k], LARGEST_STEP_FREQUENCY));
      double zeta = t.zeta() * Math.exp(clip(move[k + 1], LARGEST_STEP_DAMPING));
      zeta = Math.min(MOST_ZETA, Math.max(LEAST_ZETA, zeta));
      double quadrature = complexResidues ? t.quadrature() + move[k + 3] : 0;
      terms.add(new Term(omega, zeta, t.compliance() + move[k + 2], quadrature));
      k += perMode();
    }
    double upper = withUpper ? p.upper() + move[k++] : 0;
    double lower = withLower ? p.lower() + move[k] : 0;
    return new ModalParameters(terms, upper, lower);
  }

  private static double clip(double value, double limit) {
    return Math.max(-limit, Math.min(limit, value));
  }

  /**
   * Derivatives of the model at one line, complex, unweighted.
   *
   * <p>With H = ωn²/(s² + 2ζωn s + ωn²): ∂H/∂ln ωn = 2H − H²(2ζs/ωn + 2), ∂H/∂ln ζ = −H² 2ζ s/ωn.
   */
  void derivatives(ModalParameters p, double w, double[] re, double[] im, double[] unit) {
    double a = lines.shift;
    int k = 0;
    for (Term t : p.terms()) {
      t.unit(a, w, unit);
      double hr = unit[0];
      double hi = unit[1];
      double h2r = hr * hr - hi * hi;
      double h2i = 2 * hr * hi;
      double x = a / t.omega();
      double y = w / t.omega();
      double cr = 2 * t.zeta() * x;
      double ci = 2 * t.zeta() * y;
      // −H² 2ζ s/ωn
      double zr = -(h2r * cr - h2i * ci);
      double zi = -(h2r * ci + h2i * cr);
      double fr = 2 * hr + zr - 2 * h2r;
      double fi = 2 * hi + zi - 2 * h2i;
      double ar = t.compliance() + t.quadrature() * x;
      double ai = t.quadrature() * y;
      re[k] = ar * fr - ai * fi;
      im[k] = ar * fi + ai * fr;
      re[k + 1] = ar * zr - ai * zi;
      im[k + 1] = ar * zi + ai * zr;
      re[k + 2] = hr;
      im[k + 2] = hi;
      if (complexResidues) {
        double sr = hr * x - hi * y;
        double si = hr * y + hi * x;
        re[k + 3] = sr;
        im[k + 3] = si;
        re[k] -= t.quadrature() * sr;
        im[k] -= t.quadrature() * si;
      }
      k += perMode();
    }
    residualDerivatives(w, re, im, k);
  }

  private void residualDerivatives(double w, double[] re, double[] im, int from) {
    int k = from;
    double a = lines.shift;
    if (withUpper) {
      re[k] = 1;
      im[k] = 0;
      k++;
    }
    if (withLower) {
      double q = a * a + w * w;
      re[k] = (a * a - w * w) / (q * q);
      im[k] = -2 * a * w / (q * q);
    }
  }

  /** Adds one line, weighted, to the normal matrix's lower half and the gradient. */
  private static void accumulate(
      double w,
      double misfitRe,
      double misfitIm,
      double[] re,
      double[] im,
      double[][] normal,
      double[] gradient) {
    double square = w * w;
    for (int r = 0; r < gradient.length; r++) {
      double jr = re[r] * square;
      double ji = im[r] * square;
      gradient[r] += jr * misfitRe + ji * misfitIm;
      double[] row = normal[r];
      for (int c = 0; c <= r; c++) {
        row[c] += jr * re[c] + ji * im[c];
      }
    }
  }

  private static void mirror(double[][] normal) {
    for (int r = 0; r < normal.length; r++) {
      for (int c = 0; c < r; c++) {
        normal[c][r] = normal[r][c];
      }
    }
  }

  private double normalEquations(ModalParameters p, double[][] normal, double[] gradient) {
    int n = gradient.length;
    double[] misfitRe = new double[lines.size()];
    double[] misfitIm = new double[lines.size()];
    p.misfit(lines, misfitRe, misfitIm);
    double[] re = new double[n];
    double[] im = new double[n];
    double[] unit = new double[2];
    for (int r = 0; r < n; r++) {
      Arrays.fill(normal[r], 0);
      gradient[r] = 0;
    }
    double chiSquare = lines.scatter;
    for (int i = 0; i < lines.size(); i++) {
      double w = weightAt(i);
      if (w == 0) {
        continue;
      }
      derivatives(p, lines.omega[i], re, im, unit);
      chiSquare += (misfitRe[i] * misfitRe[i] + misfitIm[i] * misfitIm[i]) * w * w;
      accumulate(w, misfitRe[i], misfitIm[i], re, im, normal, gradient);
    }
    mirror(normal);
    return chiSquare;
  }

  /**
   * By how much the unknowns change, each for one radian, if all values of a response that the
   * model describes are turned by a small angle; null if the unknowns cannot be told apart.
   */
  double[] perRadian(ModalParameters p) {
    int n = unknowns(p.terms().size());
    if (n == 0) {
      return new double[0];
    }
    double[] misfitRe = new double[lines.size()];
    double[] misfitIm = new double[lines.size()];
    p.misfit(lines, misfitRe, misfitIm);
    double[][] normal = new double[n][n];
    double[] gradient = new double[n];
    double[] re = new double[n];
    double[] im = new double[n];
    double[] unit = new double[2];
    for (int i = 0; i < lines.size(); i++) {
      derivatives(p, lines.omega[i], re, im, unit);
      double modelRe = lines.re[i] - misfitRe[i];
      double modelIm = lines.im[i] - misfitIm[i];
      accumulate(weightAt(i), -modelIm, modelRe, re, im, normal, gradient);
    }
    mirror(normal);
    return solve(normal, gradient, 0);
  }

  /** Solution of the scaled, damped normal equations; 0 for an unknown that nothing depends on. */
  private static double[] solve(double[][] normal, double[] gradient, double lambda) {
    int n = gradient.length;
    double[] scale = new double[n];
    for (int r = 0; r < n; r++) {
      scale[r] = normal[r][r] > 0 ? 1 / Math.sqrt(normal[r][r]) : 0;
    }
    double[][] scaled = new double[n][n];
    double[] right = new double[n];
    for (int r = 0; r < n; r++) {
      for (int c = 0; c < n; c++) {
        scaled[r][c] = normal[r][c] * scale[r] * scale[c];
      }
      scaled[r][r] = 1 + lambda;
      right[r] = gradient[r] * scale[r];
    }
    try {
      CholeskyDecomposition cholesky =
          new CholeskyDecomposition(new Array2DRowRealMatrix(scaled, false), 1e-10, 1e-14);
      double[] move = cholesky.getSolver().solve(new ArrayRealVector(right, false)).toArray();
      for (int r = 0; r < n; r++) {
        move[r] *= scale[r];
      }
      return move;
    } catch (NonPositiveDefiniteMatrixException tooClose) {
      return null;
    }
  }

  /**
   * Covariance of the unknowns, in their order (ln ωn, ln ζ, 1/k of each mode, upper, lower), for
   * noise of the lines' sigma; null if the unknowns cannot be told apart.
   *
   * <p>An exponential window multiplies the noise's time signal too, so that the noise of
   * neighbouring lines is related: its time signal falls as e^(−t/τ). The covariance is N⁻¹ M N⁻¹
   * with the normal matrix N and M = Re(Jᴴ ρ J) in which ρ holds those relations (the "sandwich" of
   * generalised least squares).
   */
  double[][] covariance(ModalParameters p) {
    int n = unknowns(p.terms().size());
    if (n == 0) {
      return new double[0][0];
    }
    double[][] normal = new double[n][n];
    normalEquations(p, normal, new double[n]);
    double[] scale = new double[n];
    double[][] scaled = new double[n][n];
    for (int r = 0; r < n; r++) {
      scale[r] = normal[r][r] > 0 ? 1 / Math.sqrt(normal[r][r]) : 0;
    }
    for (int r = 0; r < n; r++) {
      for (int c = 0; c < n; c++) {
        scaled[r][c] = r == c ? 1 : normal[r][c] * scale[r] * scale[c];
      }
    }
    RealMatrix inverse;
    try {
      inverse =
          new CholeskyDecomposition(new Array2DRowRealMatrix(scaled, false), 1e-10, 1e-14)
              .getSolver()
              .getInverse();
    } catch (NonPositiveDefiniteMatrixException tooClose) {
      return null;
    }
    if (lines.shift > 0) {
      double[][] middle = relatedNoise(p, n);
      for (int r = 0; r < n; r++) {
        for (int c = 0; c < n; c++) {
          middle[r][c] *= scale[r] * scale[c];
        }
      }
      inverse = inverse.multiply(new Array2DRowRealMatrix(middle, false)).multiply(inverse);
    }
    double[][] covariance = inverse.getData();
    for (int r = 0; r < n; r++) {
      for (int c = 0; c < n; c++) {
        covariance[r][c] *= scale[r] * scale[c];
      }
    }
    return covariance;
  }

  /** Re(Jᴴ ρ J), by way of the time signals of J's columns. */
  double[][] relatedNoise(ModalParameters p, int n) {
    // a quarter more points than lines, so that the ends of the band hardly touch
    int size = 2 * Integer.highestOneBit(lines.size() + lines.size() / 4);
    double[][] columns = new double[n][2 * size];
    double[] re = new double[n];
    double[] im = new double[n];
    double[] unit = new double[2];
    for (int i = 0; i < lines.size(); i++) {
      derivatives(p, lines.omega[i], re, im, unit);
      double w = weightAt(i);
      for (int r = 0; r < n; r++) {
        columns[r][2 * i] = re[r] * w;
        columns[r][2 * i + 1] = im[r] * w;
      }
    }
    DoubleFFT_1D transform = new DoubleFFT_1D(size);
    for (double[] column : columns) {
      transform.complexInverse(column, true);
    }
    // Block length T = 2π/Δω; mean of e^(−2t/τ) over the block is scaled to 1.
    double decay = 2 * lines.shift * 2 * Math.PI / lines.spacing;
    double[] power = new double[size];
    double mean = 0;
    for (int i = 0; i < size; i++) {
      // the first point is the mean of both sides of the block's joint
      power[i] = i == 0 ? (1 + Math.exp(-decay)) / 2 : Math.exp(-decay * i / size);
      mean += power[i] / size;
    }
    for (double[] column : columns) {
      for (int i = 0; i < size; i++) {
        double root = Math.sqrt(power[i]);
        column[2 * i] *= root;
        column[2 * i + 1] *= root;
      }
    }
    double[][] all = new double[n][n];
    for (int r = 0; r < n; r++) {
      double[] a = columns[r];
      for (int c = 0; c <= r; c++) {
        double[] b = columns[c];
        double sum = 0;
        for (int i = 0; i < size; i++) {
          sum += a[2 * i] * b[2 * i] + a[2 * i + 1] * b[2 * i + 1];
        }
        all[r][c] = sum * size / mean;
        all[c][r] = all[r][c];
      }
    }
    return all;
  }
}
