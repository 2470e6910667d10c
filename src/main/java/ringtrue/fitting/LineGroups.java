package ringtrue.fitting;

import ringtrue.fitting.ModalParameters.Term;

/**
 * Fewer lines that tell as much about a model as all of them do. Over a stretch that is short
 * against the distance from every pole, all models with poles near these differ from each other by
 * little more than a polynomial of low degree. So all that the stretch can say is its misfit's best
 * such polynomial, and that is held by its values at the zeros of the next orthogonal polynomial:
 * with the stretch's own weights, sums of products over the lines become Gauss's quadrature over
 * these few points (Golub and Welsch 1969, Math. Comp. 23, 221-230, for any weights).
 *
 * <p>What is left over within the stretches is kept as {@link FitLines#scatter}, so that chi-square
 * is that of all lines.
 */
final class LineGroups {
  /** Points for each stretch: polynomials of degree 4. */
  private static final int POINTS = 5;

  /**
   * Half length of a stretch over its middle's distance from the nearest pole. What polynomials
   * miss of a mode is about 2 (0.33/2)⁵ = 2e-4 of it.
   */
  private static final double REACH = 0.33;

  /** A stretch of fewer lines is not worth it. */
  private static final int FEWEST = 9;

  private static final int ITERATIONS = 40;

  private final FitLines lines;
  private final double[] weight;
  private final double[] re;
  private final double[] im;
  private final double[] omega;
  private final double[] outRe;
  private final double[] outIm;
  private final double[] sigma;
  private int count;
  private double scatter;

  // of one stretch: recurrence of its orthonormal polynomials, values, and coefficients
  private final double[] alpha = new double[POINTS];
  private final double[] beta = new double[POINTS + 1];
  private double[] before = new double[64];
  private double[] now = new double[64];
  private final double[] coefficientRe = new double[POINTS];
  private final double[] coefficientIm = new double[POINTS];
  private final double[] node = new double[POINTS];

  private LineGroups(FitLines lines, double[] weight, ModalParameters model) {
    this.lines = lines;
    this.weight = weight;
    int n = lines.size();
    re = new double[n];
    im = new double[n];
    model.misfit(lines, re, im);
    omega = new double[n];
    outRe = new double[n];
    outIm = new double[n];
    sigma = new double[n];
  }

  /**
   * Groups lines for refining a model, or models near it.
   *
   * @param lines all lines
   * @param weight factor to each line's 1/σ; null for 1 everywhere
   * @param model whose poles matter; the closer to the data, the more exact the result
   */
  static FitLines of(FitLines lines, double[] weight, ModalParameters model) {
    LineGroups groups = new LineGroups(lines, weight, model);
    double[] poleRe = new double[model.terms().size()];
    double[] poleIm = new double[poleRe.length];
    for (int j = 0; j < poleRe.length; j++) {
      Term t = model.terms().get(j);
      poleRe[j] = t.zeta() * t.omega() + lines.shift;
      poleIm[j] = t.omega() * Math.sqrt(Math.max(0, 1 - t.zeta() * t.zeta()));
    }
    int from = 0;
    while (from < lines.size()) {
      int size = groups.length(from, poleRe, poleIm);
      if (size < FEWEST || !groups.merge(from, from + size)) {
        for (int i = from; i < from + size; i++) {
          groups.keep(i);
        }
      }
      from += size;
    }
    return groups.result(model);
  }

  private FitLines result(ModalParameters model) {
    double[] w = java.util.Arrays.copyOf(omega, count);
    double[] none = new double[count];
    double[] valueRe = java.util.Arrays.copyOf(outRe, count);
    double[] valueIm = java.util.Arrays.copyOf(outIm, count);
    double[] s = java.util.Arrays.copyOf(sigma, count);
    // the points' values are the model's there and what the stretch says of the misfit
    double[] modelRe = new double[count];
    double[] modelIm = new double[count];
    model.misfit(new FitLines(w, none, none, s, lines.shift, lines.spacing, 0), modelRe, modelIm);
    for (int i = 0; i < count; i++) {
      valueRe[i] -= modelRe[i];
      valueIm[i] -= modelIm[i];
    }
    return new FitLines(w, valueRe, valueIm, s, lines.shift, lines.spacing, scatter);
  }

  private static double distance(double at, double shift, double[] poleRe, double[] poleIm) {
    // the residual terms have their pole at 0
    double least = at * at + shift * shift;
    for (int j = 0; j < poleRe.length; j++) {
      double x = at - poleIm[j];
      least = Math.min(least, x * x + poleRe[j] * poleRe[j]);
    }
    return Math.sqrt(least);
  }

  /** How many lines from one on may be taken together. */
  private int length(int from, double[] poleRe, double[] poleIm) {
    double at = lines.omega[from];
    double half = REACH / (1 - REACH) * distance(at, lines.shift, poleRe, poleIm);
    for (int i = 0; i < 3; i++) {
      half = Math.min(half, REACH * distance(at + half, lines.shift, poleRe, poleIm));
    }
    return (int) Math.min(lines.size() - from, Math.max(1, 1 + 2 * half / lines.spacing));
  }

  private double weightAt(int i) {
    double w = (weight == null ? 1 : weight[i]) / lines.sigma[i];
    return w * w;
  }

  private void keep(int i) {
    double w = weightAt(i);
    if (w > 0) {
      add(lines.omega[i], re[i], im[i], w);
    }
  }

  private void add(double at, double valueRe, double valueIm, double w) {
    omega[count] = at;
    outRe[count] = valueRe;
    outIm[count] = valueIm;
    sigma[count] = 1 / Math.sqrt(w);
    count++;
  }

  /** Replaces a stretch by its points; false if too few of its lines count. */
  private boolean merge(int from, int to) {
    int n = to - from;
    if (now.length < n) {
      now = new double[2 * n];
      before = new double[2 * n];
    }
    double middle = (lines.omega[from] + lines.omega[to - 1]) / 2;
    double half = (lines.omega[to - 1] - lines.omega[from]) / 2;
    double total = 0;
    double power = 0;
    int counted = 0;
    for (int i = from; i < to; i++) {
      double w = weightAt(i);
      total += w;
      power += w * (re[i] * re[i] + im[i] * im[i]);
      counted += w > 0 ? 1 : 0;
    }
    if (counted < FEWEST || !(total > 0)) {
      return false;
    }
    polynomials(from, n, middle, half, total);
    if (!zeros()) {
      return false;
    }
    double explained = 0;
    for (int k = 0; k < POINTS; k++) {
      explained += coefficientRe[k] * coefficientRe[k] + coefficientIm[k] * coefficientIm[k];
    }
    scatter += Math.max(0, power - explained);
    for (int k = 0; k < POINTS; k++) {
      double last = 0;
      double value = 1 / Math.sqrt(total);
      double valueRe = 0;
      double valueIm = 0;
      double squares = 0;
      for (int d = 0; d < POINTS; d++) {
        valueRe += coefficientRe[d] * value;
        valueIm += coefficientIm[d] * value;
        squares += value * value;
        double next = ((node[k] - alpha[d]) * value - beta[d] * last) / beta[d + 1];
        last = value;
        value = next;
      }
      add(middle + half * node[k], valueRe, valueIm, 1 / squares);
    }
    return true;
  }

  /**
   * Orthonormal polynomials over the stretch by their three-term recurrence (Stieltjes), and the
   * misfit's part along each.
   */
  private void polynomials(int from, int n, double middle, double half, double total) {
    double first = 1 / Math.sqrt(total);
    for (int i = 0; i < n; i++) {
      before[i] = 0;
      now[i] = first;
    }
    beta[0] = 0;
    for (int d = 0; d < POINTS; d++) {
      double a = 0;
      double r = 0;
      double m = 0;
      for (int i = 0; i < n; i++) {
        double wp = weightAt(from + i) * now[i];
        a += wp * now[i] * ((lines.omega[from + i] - middle) / half);
        r += wp * re[from + i];
        m += wp * im[from + i];
      }
      alpha[d] = a;
      coefficientRe[d] = r;
      coefficientIm[d] = m;
      double norm = 0;
      for (int i = 0; i < n; i++) {
        double x = (lines.omega[from + i] - middle) / half;
        double next = (x - a) * now[i] - beta[d] * before[i];
        before[i] = now[i];
        now[i] = next;
        norm += weightAt(from + i) * next * next;
      }
      beta[d + 1] = Math.sqrt(norm);
      for (int i = 0; i < n; i++) {
        now[i] /= beta[d + 1];
      }
    }
  }

  /**
   * Zeros of the next polynomial, all at once (Ehrlich 1967, Comm. ACM 10, 107-108), from where
   * even weights have them nearly.
   */
  private boolean zeros() {
    for (int k = 0; k < POINTS; k++) {
      node[k] = -0.95 * Math.cos(Math.PI * (k + 0.5) / POINTS);
    }
    for (int round = 0; round < ITERATIONS; round++) {
      double largest = 0;
      for (int k = 0; k < POINTS; k++) {
        double last = 0;
        double value = 1;
        double lastSlope = 0;
        double slope = 0;
        for (int d = 0; d < POINTS; d++) {
          double x = node[k] - alpha[d];
          double square = beta[d] * beta[d];
          double next = x * value - square * last;
          double nextSlope = value + x * slope - square * lastSlope;
          last = value;
          lastSlope = slope;
          value = next;
          slope = nextSlope;
        }
        double newton = slope / value;
        if (value == 0) {
          continue;
        }
        for (int j = 0; j < POINTS; j++) {
          newton -= j == k ? 0 : 1 / (node[k] - node[j]);
        }
        double step = 1 / newton;
        if (!Double.isFinite(step)) {
          return false;
        }
        node[k] -= step;
        largest = Math.max(largest, Math.abs(step));
      }
      if (largest < 1e-13) {
        return true;
      }
    }
    return false;
  }
}
