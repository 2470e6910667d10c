package ringtrue.fitting;

import ringtrue.fitting.ModalParameters.Term;

/** What a model leaves over of each line, in units of the line's noise, and sums of it. */
final class Leftover {
  private final FitLines lines;
  private final double[] re;
  private final double[] im;

  /** Σ|misfit|²/σ² of all lines before a line. */
  private final double[] sums;

  Leftover(FitLines lines, ModalParameters model) {
    this.lines = lines;
    int n = lines.size();
    re = new double[n];
    im = new double[n];
    model.misfit(lines, re, im);
    sums = new double[n + 1];
    for (int i = 0; i < n; i++) {
      sums[i + 1] = sums[i] + at(i);
    }
  }

  /** |misfit|²/σ² of a line. */
  double at(int i) {
    return (re[i] * re[i] + im[i] * im[i]) / (lines.sigma[i] * lines.sigma[i]);
  }

  double chiSquare() {
    return sums[lines.size()];
  }

  /** Reduced chi-square in a mode's neighbourhood, at least that of the whole and at least 1. */
  double scale(Term term) {
    double reach = Math.max(5 * term.seenBandwidth(lines.shift), 10 * lines.spacing);
    int from = lines.firstAtOrAbove(term.omega() - reach);
    int to = lines.firstAtOrAbove(term.omega() + reach);
    double all = chiSquare() / (2 * lines.size());
    double local = to - from < 5 ? all : (sums[to] - sums[from]) / (2 * (to - from));
    return Math.max(1, Math.max(local, 0.3 * all));
  }
}
