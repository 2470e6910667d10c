package ringtrue.fitting;

import java.util.ArrayList;
import java.util.List;
import ringtrue.fitting.ModalParameters.Term;

/**
 * Weighted non-linear least squares over several responses whose modes share natural frequency and
 * damping ratio; compliance of each mode and residual terms are each response's own. Levenberg's
 * and Marquardt's method on the joint normal equations, which are put together from those of the
 * single responses: an unknown of one response meets those of another only by way of the shared
 * ones.
 *
 * <p>Order of the unknowns: ln ωn and ln ζ of each mode, then for each response the compliances of
 * the modes it has, upper, lower.
 */
final class GlobalRefinement {
  private static final double LEAST_ZETA = 1e-6;
  private static final double MOST_ZETA = 0.6;
  private static final double LARGEST_STEP_FREQUENCY = 0.05;
  private static final double LEAST_PIVOT = 1e-14;

  private final List<FitLines> responses;
  private final double[][] weight;

  /**
   * Modes of several responses. Arrays are not changed by anyone.
   *
   * @param omega shared natural angular frequencies, rad/s
   * @param zeta shared damping ratios
   * @param compliance of each response and mode, m/N, any sign; NaN where the response has not that
   *     mode
   * @param upper of each response, m/N
   * @param lower of each response, 1/kg
   */
  record Shared(
      double[] omega, double[] zeta, double[][] compliance, double[] upper, double[] lower) {

    int modes() {
      return omega.length;
    }

    boolean has(int response, int mode) {
      return !Double.isNaN(compliance[response][mode]);
    }

    /** The modes of one response. */
    ModalParameters of(int response) {
      List<Term> terms = new ArrayList<>();
      for (int j = 0; j < modes(); j++) {
        if (has(response, j)) {
          terms.add(new Term(omega[j], zeta[j], compliance[response][j], 0));
        }
      }
      return new ModalParameters(terms, upper[response], lower[response]);
    }

    Shared without(int mode) {
      double[][] rest = new double[compliance.length][];
      for (int r = 0; r < rest.length; r++) {
        rest[r] = without(compliance[r], mode);
      }
      return new Shared(without(omega, mode), without(zeta, mode), rest, upper, lower);
    }

    /** The same with a mode left out of one response. */
    Shared unseen(int response, int mode) {
      double[][] other = compliance.clone();
      other[response] = compliance[response].clone();
      other[response][mode] = Double.NaN;
      return new Shared(omega, zeta, other, upper, lower);
    }

    /** The modes of one response by themselves. */
    Shared alone(int response) {
      ModalParameters p = of(response);
      double[] w = p.terms().stream().mapToDouble(Term::omega).toArray();
      double[] z = p.terms().stream().mapToDouble(Term::zeta).toArray();
      double[] a = p.terms().stream().mapToDouble(Term::compliance).toArray();
      return new Shared(
          w, z, new double[][] {a}, new double[] {p.upper()}, new double[] {p.lower()});
    }

    private static double[] without(double[] values, int index) {
      double[] rest = new double[values.length - 1];
      for (int i = 0; i < rest.length; i++) {
        rest[i] = values[i < index ? i : i + 1];
      }
      return rest;
    }
  }

  /**
   * Where a refinement ended.
   *
   * @param shared the modes
   * @param chiSquare of each response
   */
  record Fit(Shared shared, double[] chiSquare, int steps, double lastChange, boolean converged) {

    double total() {
      double sum = 0;
      for (double c : chiSquare) {
        sum += c;
      }
      return sum;
    }
  }

  /**
   * @param responses lines of each response
   * @param weight factors to each line's 1/σ of each response
   */
  GlobalRefinement(List<FitLines> responses, double[][] weight) {
    this.responses = responses;
    this.weight = weight;
  }

  /** Compliances and residual terms of each response for the given poles. */
  Shared linear(Shared shared) {
    double[][] compliance = new double[responses.size()][];
    double[] upper = new double[responses.size()];
    double[] lower = new double[responses.size()];
    for (int r = 0; r < responses.size(); r++) {
      ModalParameters best = single(r).linear(shared.of(r));
      compliance[r] = shared.compliance[r].clone();
      int k = 0;
      for (int j = 0; j < shared.modes(); j++) {
        if (shared.has(r, j)) {
          compliance[r][j] = best.terms().get(k++).compliance();
        }
      }
      upper[r] = best.upper();
      lower[r] = best.lower();
    }
    return new Shared(shared.omega, shared.zeta, compliance, upper, lower);
  }

  /** Goes downhill from a start, in so many steps at most. */
  Fit from(Shared start, int steps, double tolerance) {
    Shared now = start;
    double[] chiSquare = new double[responses.size()];
    NormalEquations normal = equations(now, chiSquare);
    double lambda = 1e-4;
    int calm = 0;
    double change = 0;
    int step = 0;
    for (; step < steps && calm < 2 && lambda <= 1e8; step++) {
      double[] move = normal.solve(lambda, LEAST_PIVOT);
      if (move == null) {
        lambda = Math.max(1e-6, 10 * lambda);
        continue;
      }
      Shared next = moved(now, move);
      double[] then = new double[responses.size()];
      NormalEquations nextNormal = equations(next, then);
      double before = sum(chiSquare);
      double after = sum(then);
      if (after <= before) {
        change = before > 0 ? (before - after) / before : 0;
        calm = change <= tolerance ? calm + 1 : 0;
        now = next;
        normal = nextNormal;
        chiSquare = then;
        lambda = Math.max(1e-12, lambda / 10);
      } else {
        lambda = Math.max(1e-9, 8 * lambda);
      }
    }
    return new Fit(now, chiSquare, step, change, step < steps);
  }

  double chiSquare(Shared shared) {
    double sum = 0;
    for (int r = 0; r < responses.size(); r++) {
      sum += single(r).chiSquare(shared.of(r));
    }
    return sum;
  }

  private static double sum(double[] values) {
    double sum = 0;
    for (double v : values) {
      sum += v;
    }
    return sum;
  }

  private ModalRefinement single(int response) {
    return new ModalRefinement(responses.get(response), weight[response], false, true, true);
  }

  private int unknowns(Shared shared) {
    int n = 2 * shared.modes();
    for (int r = 0; r < responses.size(); r++) {
      n += shared.of(r).terms().size() + 2;
    }
    return n;
  }

  /** For each unknown of a single response, its place among all. */
  private int[] places(Shared shared, int response) {
    int first = 2 * shared.modes();
    for (int r = 0; r < response; r++) {
      first += shared.of(r).terms().size() + 2;
    }
    int has = shared.of(response).terms().size();
    int[] places = new int[3 * has + 2];
    int k = 0;
    for (int j = 0; j < shared.modes(); j++) {
      if (shared.has(response, j)) {
        places[3 * k] = 2 * j;
        places[3 * k + 1] = 2 * j + 1;
        places[3 * k + 2] = first + k;
        k++;
      }
    }
    places[3 * has] = first + has;
    places[3 * has + 1] = first + has + 1;
    return places;
  }

  private NormalEquations equations(Shared shared, double[] chiSquare) {
    NormalEquations all = new NormalEquations(unknowns(shared));
    for (int r = 0; r < responses.size(); r++) {
      NormalEquations own = own(shared.of(r), r, chiSquare);
      all.add(own, places(shared, r));
    }
    return all;
  }

  private NormalEquations own(ModalParameters p, int response, double[] chiSquare) {
    FitLines lines = responses.get(response);
    ModalRefinement single = single(response);
    int n = 3 * p.terms().size() + 2;
    double[] misfitRe = new double[lines.size()];
    double[] misfitIm = new double[lines.size()];
    p.misfit(lines, misfitRe, misfitIm);
    double[] re = new double[n];
    double[] im = new double[n];
    double[] unit = new double[2];
    NormalEquations equations = new NormalEquations(n);
    double sum = 0;
    for (int i = 0; i < lines.size(); i++) {
      double w = weight[response][i] / lines.sigma[i];
      if (w == 0) {
        continue;
      }
      single.derivatives(p, lines.omega[i], re, im, unit);
      for (int k = 0; k < n; k++) {
        re[k] *= w;
        im[k] *= w;
      }
      double a = misfitRe[i] * w;
      double b = misfitIm[i] * w;
      sum += a * a + b * b;
      equations.add(re, a, im, b);
    }
    chiSquare[response] = sum;
    return equations;
  }

  private Shared moved(Shared s, double[] move) {
    int modes = s.modes();
    double[] omega = new double[modes];
    double[] zeta = new double[modes];
    for (int j = 0; j < modes; j++) {
      omega[j] = s.omega[j] * Math.exp(clip(move[2 * j], LARGEST_STEP_FREQUENCY));
      double z = s.zeta[j] * Math.exp(clip(move[2 * j + 1], 1));
      zeta[j] = Math.min(MOST_ZETA, Math.max(LEAST_ZETA, z));
    }
    double[][] compliance = new double[responses.size()][modes];
    double[] upper = new double[responses.size()];
    double[] lower = new double[responses.size()];
    int k = 2 * modes;
    for (int r = 0; r < responses.size(); r++) {
      for (int j = 0; j < modes; j++) {
        compliance[r][j] = s.has(r, j) ? s.compliance[r][j] + move[k++] : Double.NaN;
      }
      upper[r] = s.upper[r] + move[k++];
      lower[r] = s.lower[r] + move[k++];
    }
    return new Shared(omega, zeta, compliance, upper, lower);
  }

  private static double clip(double value, double limit) {
    return Math.max(-limit, Math.min(limit, value));
  }

  /**
   * One-sigma errors of a fit.
   *
   * @param omega relative error of each shared frequency
   * @param zeta relative error of each shared damping ratio
   * @param compliance error of each response's compliances, m/N; NaN where it has not that mode
   * @param part for each response and mode, its part in what is known about the frequency; they add
   *     up to 1 over the responses
   */
  record Errors(double[] omega, double[] zeta, double[][] compliance, double[][] part) {}

  /**
   * Errors from the joint covariance N⁻¹ M N⁻¹, where M allows for noise that an exponential window
   * relates between lines (see {@link ModalRefinement#covariance}) and the normal equations N are
   * those of all responses.
   *
   * @param inflation for each response and mode, by how much variances are larger than the lines'
   *     noise says
   * @return the errors; null if the unknowns cannot be told apart
   */
  Errors errors(Shared shared, double[][] inflation) {
    int n = unknowns(shared);
    int modes = shared.modes();
    NormalEquations all = new NormalEquations(n);
    double[][] middle = new double[n][n];
    double[][] information = new double[responses.size()][modes];
    double[] total = new double[modes];
    for (int r = 0; r < responses.size(); r++) {
      ModalParameters p = shared.of(r);
      int[] places = places(shared, r);
      NormalEquations own = own(p, r, new double[responses.size()]);
      all.add(own, places);
      double[][] related =
          responses.get(r).shift > 0 ? single(r).relatedNoise(p, places.length) : own.matrix();
      for (int a = 0; a < places.length; a++) {
        for (int b = 0; b < places.length; b++) {
          middle[places[a]][places[b]] += related[a][b];
        }
      }
      int k = 0;
      for (int j = 0; j < modes; j++) {
        if (shared.has(r, j)) {
          information[r][j] = own.diagonal(3 * k++);
          total[j] += information[r][j];
        }
      }
    }
    double[][] inverse = all.inverse(LEAST_PIVOT);
    if (inverse == null) {
      return null;
    }
    double[] variance = new double[n];
    for (int u = 0; u < n; u++) {
      for (int a = 0; a < n; a++) {
        double sum = 0;
        for (int b = 0; b < n; b++) {
          sum += middle[a][b] * inverse[u][b];
        }
        variance[u] += inverse[u][a] * sum;
      }
    }
    double[] omega = new double[modes];
    double[] zeta = new double[modes];
    double[][] compliance = new double[responses.size()][modes];
    for (int j = 0; j < modes; j++) {
      double scale = 0;
      for (int r = 0; r < responses.size(); r++) {
        information[r][j] = total[j] > 0 ? information[r][j] / total[j] : 0;
        scale += information[r][j] * inflation[r][j];
      }
      omega[j] = Math.sqrt(Math.max(0, variance[2 * j]) * scale);
      zeta[j] = Math.sqrt(Math.max(0, variance[2 * j + 1]) * scale);
    }
    for (int r = 0; r < responses.size(); r++) {
      int[] places = places(shared, r);
      int k = 0;
      for (int j = 0; j < modes; j++) {
        compliance[r][j] =
            shared.has(r, j)
                ? Math.sqrt(Math.max(0, variance[places[3 * k++ + 2]]) * inflation[r][j])
                : Double.NaN;
      }
    }
    return new Errors(omega, zeta, compliance, information);
  }
}
