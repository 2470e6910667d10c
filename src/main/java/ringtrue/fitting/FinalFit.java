package ringtrue.fitting;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.apache.commons.math3.distribution.TDistribution;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Residual;
import ringtrue.fitting.ModalParameters.Term;
import ringtrue.fitting.ModalRefinement.Fit;

/**
 * The chosen modes fitted to all lines of the band, with uncertainties and phases.
 *
 * @param lines what was fitted
 * @param parameters modes by rising frequency, those just outside the band included, and residual
 * @param complexResidues whether each mode was fitted with a phase of its own
 * @param covariance of ln ωn, ln ζ, 1/k of each mode, then the residual terms; null if unknown
 * @param phaseDeg phase of each mode's contribution at its natural frequency, degrees
 * @param gainSigma for each mode, relative one-sigma error that all its lines share
 * @param perRadian change of the unknowns for one radian of phase error that all lines share
 * @param inflation for each mode, by how much its variances are larger than the lines' noise says
 * @param reducedChiSquare chi-square over its degrees of freedom, outliers left out
 * @param outliers number of lines that stand alone and were left out
 * @param convergence how the refinement ended
 */
record FinalFit(
    FitLines lines,
    ModalParameters parameters,
    boolean complexResidues,
    double[][] covariance,
    double[] phaseDeg,
    double[] gainSigma,
    double[] perRadian,
    double[] inflation,
    double reducedChiSquare,
    int outliers,
    Convergence convergence) {

  /** A line this many times farther off than its neighbours are is no part of the response. */
  private static final double STANDS_ALONE = 6;

  private static final int NEIGHBOURS = 10;

  /** What is below this many sigmas is taken as 0. */
  private static final double SURE = 2;

  private static final int STEPS = 40;
  private static final double TOLERANCE = 1e-10;

  static FinalFit of(FrequencyResponse response, FitLines lines, ModeSelection.Selected chosen) {
    double[] weight = new double[lines.size()];
    Arrays.fill(weight, 1);
    for (int outlier : chosen.outliers()) {
      weight[outlier] = 0;
    }
    boolean turned = chosen.complexResidues();
    boolean upper = true;
    boolean lower = true;
    Fit fit = refined(lines, weight, turned, true, true, chosen.parameters(), 1e-6);
    reweigh(lines, fit.parameters(), weight);
    ModalRefinement refinement = new ModalRefinement(lines, weight, turned, true, true);
    fit = refined(lines, weight, turned, true, true, fit.parameters(), TOLERANCE);
    double[][] covariance = refinement.covariance(fit.parameters());
    if (covariance != null) {
      int n = covariance.length;
      double scale = Math.max(1, reduced(lines, weight, fit, n));
      ModalParameters p = fit.parameters();
      lower = Math.abs(p.lower()) > SURE * Math.sqrt(covariance[n - 1][n - 1] * scale);
      upper = Math.abs(p.upper()) > SURE * Math.sqrt(covariance[n - 2][n - 2] * scale);
      if (!upper || !lower) {
        refinement = new ModalRefinement(lines, weight, turned, upper, lower);
        fit = refined(lines, weight, turned, upper, lower, p, TOLERANCE);
        covariance = refinement.covariance(fit.parameters());
      }
    }
    int unknowns =
        (turned ? 4 : 3) * fit.parameters().terms().size() + (upper ? 1 : 0) + (lower ? 1 : 0);
    double reduced = reduced(lines, weight, fit, unknowns);
    int left = 0;
    for (double w : weight) {
      left += w < 0.5 ? 1 : 0;
    }
    return new FinalFit(
        lines,
        fit.parameters(),
        turned,
        covariance,
        phases(lines, weight, fit.parameters(), upper, lower),
        gainSigma(response, lines, fit.parameters()),
        perRadian(lines, weight, turned, upper, lower, fit.parameters()),
        inflation(lines, weight, fit.parameters()),
        reduced,
        left,
        new Convergence(fit.steps(), fit.lastChange(), fit.converged(), reduced));
  }

  /**
   * Refines until nothing moves, on grouped lines; they are grouped twice, so that the second time
   * it is about a model that hardly changes any more.
   */
  private static Fit refined(
      FitLines lines,
      double[] weight,
      boolean turned,
      boolean upper,
      boolean lower,
      ModalParameters start,
      double tolerance) {
    Fit first = refinedOnce(lines, weight, turned, upper, lower, start, STEPS, tolerance);
    int left = STEPS - first.steps();
    Fit second =
        refinedOnce(lines, weight, turned, upper, lower, first.parameters(), left, tolerance);
    return new Fit(
        second.parameters(),
        second.chiSquare(),
        first.steps() + second.steps(),
        second.lastChange(),
        second.converged());
  }

  private static Fit refinedOnce(
      FitLines lines,
      double[] weight,
      boolean turned,
      boolean upper,
      boolean lower,
      ModalParameters start,
      int steps,
      double tolerance) {
    FitLines few = LineGroups.of(lines, weight, start);
    return new ModalRefinement(few, null, turned, upper, lower).from(start, steps, tolerance);
  }

  private static double[] perRadian(
      FitLines lines,
      double[] weight,
      boolean turned,
      boolean upper,
      boolean lower,
      ModalParameters p) {
    FitLines few = LineGroups.of(lines, weight, p);
    double[] change = new ModalRefinement(few, null, turned, upper, lower).perRadian(p);
    return change != null ? change : new double[(turned ? 4 : 3) * p.terms().size() + 2];
  }

  private static double reduced(FitLines lines, double[] weight, Fit fit, int unknowns) {
    double counted = 0;
    for (double w : weight) {
      counted += 2 * w;
    }
    return fit.chiSquare() / Math.max(1, counted - unknowns);
  }

  /**
   * Huber's weights (Huber 1964, Ann. Math. Stat. 35, 73-101), with the scale taken from each
   * line's neighbours: a single hum line loses its weight, a stretch that the model misses does
   * not.
   */
  static void reweigh(FitLines lines, ModalParameters parameters, double[] weight) {
    int n = lines.size();
    double[] re = new double[n];
    double[] im = new double[n];
    parameters.misfit(lines, re, im);
    double[] off = new double[n];
    for (int i = 0; i < n; i++) {
      off[i] = Math.hypot(re[i], im[i]) / lines.sigma[i];
    }
    for (int i = 0; i < n; i++) {
      if (off[i] <= 0.5 * STANDS_ALONE) {
        continue;
      }
      int a = Math.max(0, i - NEIGHBOURS);
      int b = Math.min(n, i + NEIGHBOURS + 1);
      double[] near = Arrays.copyOfRange(off, a, b);
      Arrays.sort(near);
      double limit = STANDS_ALONE * Math.max(0.5, near[near.length / 2]);
      if (off[i] > limit) {
        weight[i] *= Math.sqrt(limit / off[i]) * Math.min(1, 2 * limit / off[i]);
      }
    }
  }

  private static double[] phases(
      FitLines lines, double[] weight, ModalParameters p, boolean upper, boolean lower) {
    FitLines few = LineGroups.of(lines, weight, p);
    ModalRefinement free = new ModalRefinement(few, null, true, upper, lower);
    ModalParameters rotated = free.from(p, 8, 1e-5).parameters();
    double[] phase = new double[p.terms().size()];
    for (int j = 0; j < phase.length; j++) {
      phase[j] = rotated.terms().get(j).phaseDeg();
    }
    return phase;
  }

  /**
   * Error that all lines of a mode share, as from taps that hit at slightly different angles: the
   * coherence shows it, but the lines do not scatter about the fit. Averaging over lines does not
   * lower it. With a tap's gain varying by v, n taps have 1 − γ² = v(n − 1)/n, hence a relative
   * error e² = v/(2n) · (n − 1)/n, while the mean gain's variance is v/n: twice as much. A variance
   * from n taps is uncertain; Student's factor makes two sigmas 95 % all the same. A hammer held
   * askew and the force's own noise act on all modes; where a weak mode's lines cannot show it, the
   * others' can, so that no mode has less than their mean, weighed by how well each shows it.
   */
  static double[] gainSigma(
      FrequencyResponse response, FitLines lines, ModalParameters parameters) {
    double[] gain = new double[parameters.terms().size()];
    int n = response.origin().averages();
    if (n < 2) {
      return gain;
    }
    double student = new TDistribution(n - 1).inverseCumulativeProbability(0.975) / 1.96;
    double[] re = new double[lines.size()];
    double[] im = new double[lines.size()];
    parameters.misfit(lines, re, im);
    int first = response.firstLineAtOrAbove(lines.lowHz() * (1 - 1e-9));
    // a window makes the noise of so many neighbouring lines alike
    double related = Math.max(1, 2 * Math.PI / lines.spacing * lines.shift);
    double[] excess = new double[gain.length];
    double pooled = 0;
    double weights = 0;
    for (int j = 0; j < gain.length; j++) {
      Term t = parameters.terms().get(j);
      double reach = Math.max(t.seenBandwidth(lines.shift), 1.5 * lines.spacing);
      double shown = 0;
      double scattered = 0;
      int count = 0;
      for (int i = lines.firstAtOrAbove(t.omega() - reach);
          i < lines.size() && lines.omega[i] < t.omega() + reach;
          i++) {
        double error = response.relativeError(first + i);
        if (Double.isFinite(error)) {
          double g = lines.magnitude(i);
          shown += error * error * n / (n - 1);
          scattered += (re[i] * re[i] + im[i] * im[i]) / (2 * g * g);
          count++;
        }
      }
      if (count > 0) {
        excess[j] = (shown - scattered) / count;
        double sigma = (shown + scattered) / count * Math.sqrt(related / count);
        double weight = sigma > 0 ? 1 / (sigma * sigma) : 0;
        pooled += weight * excess[j];
        weights += weight;
      }
    }
    // chance makes the mean positive every other time
    double common = pooled > SURE * Math.sqrt(weights) ? pooled / weights : 0;
    for (int j = 0; j < gain.length; j++) {
      gain[j] = student * Math.sqrt(2 * Math.max(0, Math.max(excess[j], common)));
    }
    return gain;
  }

  /**
   * Variance of a mode's values over what the lines' noise says: reduced chi-square in its
   * neighbourhood, if above 1, times (1 + ρ)/(1 − ρ) where the misfit of neighbouring lines is
   * correlated by ρ more than the window makes it. A correlated misfit is the model's or the
   * measurement's, and averages out over fewer lines than there are (variance of the mean of a
   * first-order autoregressive series).
   */
  static double[] inflation(FitLines lines, double[] weight, ModalParameters parameters) {
    int n = lines.size();
    double[] re = new double[n];
    double[] im = new double[n];
    parameters.misfit(lines, re, im);
    for (int i = 0; i < n; i++) {
      re[i] *= weight[i] / lines.sigma[i];
      im[i] *= weight[i] / lines.sigma[i];
    }
    // mean of e^(−2t/τ) e^(−2πi t/T) over that of e^(−2t/τ), real part
    double turns = lines.shift == 0 ? Double.POSITIVE_INFINITY : 0.5 * lines.spacing / lines.shift;
    double byWindow = 1 / (1 + turns * turns);
    double[] inflation = new double[parameters.terms().size()];
    for (int j = 0; j < inflation.length; j++) {
      Term t = parameters.terms().get(j);
      double reach = Math.max(3 * t.seenBandwidth(lines.shift), 12 * lines.spacing);
      double power = 0;
      double related = 0;
      double count = 0;
      for (int i = 0; i + 1 < n; i++) {
        if (Math.abs(lines.omega[i] - t.omega()) < reach) {
          power += re[i] * re[i] + im[i] * im[i];
          related += re[i] * re[i + 1] + im[i] * im[i + 1];
          count += 2 * weight[i];
        }
      }
      double freedom = Math.max(count - 3, 4);
      // chance alone gives a correlation of about 1/√(number of lines)
      double rho = power > 0 ? related / power - 1 / Math.sqrt(Math.max(count / 2, 2)) : 0;
      double excess = Math.min(0.95, Math.max(0, rho));
      double both = (1 + excess) / (1 - excess) * (1 - byWindow) / (1 + byWindow);
      inflation[j] = Math.max(1, power / freedom) * Math.max(1, both);
    }
    return inflation;
  }

  /** Whether a mode's natural frequency lies in the band. */
  boolean isInside(Term term) {
    return term.hz() >= lines.lowHz() && term.hz() <= lines.highHz();
  }

  /**
   * The modes inside the band. Those just outside, which only bend the response within, go into the
   * residual terms.
   */
  ModalModel model() {
    List<Mode> modes = new ArrayList<>();
    List<Term> outside = new ArrayList<>();
    for (int j = 0; j < parameters.terms().size(); j++) {
      Term t = parameters.terms().get(j);
      double scale = inflation[j];
      double size = Math.hypot(t.compliance(), t.quadrature());
      int first = (complexResidues ? 4 : 3) * j;
      // At most half of the shared error's power is phase. With real residues it moves fn by ζ
      // times the angle, and more of close modes.
      double turn = gainSigma[j] / Math.sqrt(2);
      if (!isInside(t)) {
        outside.add(t);
      } else if (t.compliance() > 0) {
        modes.add(
            new Mode(
                t.hz(),
                t.zeta(),
                1 / size,
                t.hz() * Math.hypot(sigma(first, scale), turn * perRadian[first]),
                t.zeta() * Math.hypot(sigma(first + 1, scale), turn * perRadian[first + 1]),
                Math.hypot(
                        Math.hypot(sizeSigma(t, first + 2, scale), turn * perRadian[first + 2])
                            / size,
                        gainSigma[j])
                    / size,
                phaseDeg[j]));
      }
    }
    return new ModalModel(modes, residual(lines, parameters.upper(), parameters.lower(), outside));
  }

  /**
   * Sigma of the size of a compliance with or without a phase, whose unknowns begin at an index.
   */
  private double sizeSigma(Term t, int index, double scale) {
    if (covariance == null || !complexResidues) {
      return sigma(index, scale);
    }
    double a = t.compliance();
    double b = t.quadrature();
    double variance =
        a * a * covariance[index][index]
            + 2 * a * b * covariance[index][index + 1]
            + b * b * covariance[index + 1][index + 1];
    return Math.sqrt(Math.max(0, variance) * scale / (a * a + b * b));
  }

  private double sigma(int unknown, double scale) {
    return covariance == null
        ? Double.NaN
        : Math.sqrt(Math.max(0, covariance[unknown][unknown]) * scale);
  }

  /**
   * The residual terms with a mode above the band as compliance and one below as inverse mass, each
   * as it shows in the band in relation to the response (least squares of the relative error).
   */
  static Residual residual(FitLines lines, double upperOwn, double lowerOwn, List<Term> outside) {
    double upper = upperOwn;
    double lower = lowerOwn;
    double[] unit = new double[2];
    double a = lines.shift;
    for (Term term : outside) {
      boolean above = term.hz() > lines.highHz();
      double match = 0;
      double energy = 0;
      for (int i = 0; i < lines.size(); i++) {
        double w = lines.omega[i];
        double q = a * a + w * w;
        double shapeRe = above ? 1 : (a * a - w * w) / (q * q);
        double shapeIm = above ? 0 : -2 * a * w / (q * q);
        term.unit(a, w, unit);
        double size = lines.re[i] * lines.re[i] + lines.im[i] * lines.im[i];
        if (size > 0) {
          match += term.compliance() * (shapeRe * unit[0] + shapeIm * unit[1]) / size;
          energy += (shapeRe * shapeRe + shapeIm * shapeIm) / size;
        }
      }
      if (above) {
        upper += match / energy;
      } else {
        lower += match / energy;
      }
    }
    return new Residual(upper, lower);
  }
}
