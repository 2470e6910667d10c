package ringtrue.fitting;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Residual;
import ringtrue.fitting.ModalParameters.Term;

/**
 * Fits the modes of an averaged response once more to a response of other taps of the same
 * measurement: same number of modes, same lines, same weights, started at the average's modes. Only
 * so do the results differ by what the taps differ.
 */
final class TapRefit {
  private static final double FAR_FROM_90_DEG = 3;
  private static final double STANDS_OUT = 6;
  private static final double TOLERANCE = 1e-9;
  private static final int STEPS = 25;

  /** A mode that has moved by more than this many bandwidths is not the same any more. */
  private static final double LOST = 3;

  /** Modes closer than this many bandwidths may be one that moves. */
  private static final double CLOSE = 3;

  /** How far such a mode may be from the average's, as a part of its frequency. */
  private static final double FARTHEST = 0.15;

  private static final int STARTS = 5;

  private final FitLines lines;
  private final double[] weight;
  private final boolean turned;
  private final ModalParameters start;
  private final boolean searching;

  /**
   * @param fitted modes of the average
   * @param average response that they were fitted to, or the part of it in the fitted band
   */
  TapRefit(FittedModes fitted, FrequencyResponse average) {
    this(fitted, average, false);
  }

  /**
   * @param merged whether close modes are taken as one, which each tap may have elsewhere: so a
   *     mode looks that moves from tap to tap
   */
  TapRefit(FittedModes fitted, FrequencyResponse average, boolean merged) {
    this.searching = merged;
    FitSettings band =
        FitSettings.AUTOMATIC.withBand(
            fitted.bandLowHz() * (1 - 1e-9), fitted.bandHighHz() * (1 + 1e-9));
    FitLines own = FitLines.of(average, band);
    LineNoise noise = fitted.noise();
    if (noise.lines() != own.size()) {
      throw new IllegalArgumentException(
          own.size() + " lines in the band, but the fit used " + noise.lines());
    }
    double[] sigma = new double[own.size()];
    for (int i = 0; i < sigma.length; i++) {
      sigma[i] = noise.noiseMPerN(i);
    }
    this.lines = own.withSigma(sigma);
    List<Mode> modes = fitted.model().modes();
    this.turned = modes.stream().anyMatch(m -> Math.abs(m.phaseDeg() + 90) > FAR_FROM_90_DEG);
    this.weight = new double[own.size()];
    Arrays.fill(weight, 1);
    ModalParameters first =
        refinement(lines).from(parameters(fitted, merged), STEPS, TOLERANCE).parameters();
    weighOutliers(first);
    this.start = refinement(lines).from(first, STEPS, TOLERANCE).parameters();
  }

  private ModalRefinement refinement(FitLines of) {
    return new ModalRefinement(of, weight, turned, true, true);
  }

  private static ModalParameters parameters(FittedModes fitted, boolean merged) {
    List<Term> terms = new ArrayList<>();
    for (Mode m : fitted.model().modes()) {
      Term next =
          new Term(2 * Math.PI * m.frequencyHz(), m.dampingRatio(), 1 / m.stiffnessNPerM(), 0);
      Term last = terms.isEmpty() ? null : terms.get(terms.size() - 1);
      if (merged && last != null && areClose(last, next)) {
        double all = last.compliance() + next.compliance();
        double part = last.compliance() / all;
        terms.set(
            terms.size() - 1,
            new Term(
                part * last.omega() + (1 - part) * next.omega(),
                part * last.zeta() + (1 - part) * next.zeta(),
                all,
                0));
      } else {
        terms.add(next);
      }
    }
    Residual residual = fitted.model().residual();
    return new ModalParameters(terms, residual.upperMPerN(), residual.lowerPerKg());
  }

  private static boolean areClose(Term a, Term b) {
    return b.omega() - a.omega() < CLOSE * Math.max(a.seenBandwidth(0), b.seenBandwidth(0));
  }

  /** Whether taking close modes as one changes anything. */
  static boolean canMerge(FittedModes fitted) {
    return parameters(fitted, true).terms().size() < fitted.model().modes().size();
  }

  /** Huber's weights: single lines that stand far off, as hum does, hardly count. */
  private void weighOutliers(ModalParameters model) {
    int n = lines.size();
    double[] re = new double[n];
    double[] im = new double[n];
    model.misfit(lines, re, im);
    double[] off = new double[n];
    for (int i = 0; i < n; i++) {
      off[i] = Math.hypot(re[i], im[i]) / lines.sigma[i];
    }
    double[] sorted = off.clone();
    Arrays.sort(sorted);
    double limit = STANDS_OUT * Math.max(0.5, sorted[n / 2]);
    for (int i = 0; i < n; i++) {
      weight[i] = off[i] > limit ? Math.sqrt(limit / off[i]) : 1;
    }
  }

  /** The average's modes as this fits them. */
  List<Mode> average() {
    return modes(start);
  }

  /** The best fit from starts to both sides, mode after mode. */
  private ModalParameters search(FitLines values) {
    ModalRefinement refinement = refinement(values);
    ModalRefinement.Fit best = refinement.from(start, STEPS, TOLERANCE);
    for (int j = 0; j < start.terms().size(); j++) {
      for (int step = -STARTS; step <= STARTS; step++) {
        List<Term> terms = new ArrayList<>(best.parameters().terms());
        Term t = start.terms().get(j);
        double factor = 1 + FARTHEST * step / STARTS;
        terms.set(j, new Term(factor * t.omega(), t.zeta(), t.compliance(), t.quadrature()));
        ModalRefinement.Fit other =
            refinement.from(
                new ModalParameters(terms, best.parameters().upper(), best.parameters().lower()),
                STEPS,
                TOLERANCE);
        if (other.chiSquare() < best.chiSquare()) {
          best = other;
        }
      }
    }
    return best.parameters().sorted();
  }

  /**
   * The modes of other taps, in the order of the average's.
   *
   * @param other response of the same lines
   * @return empty if a mode was lost
   */
  List<Mode> of(FrequencyResponse other) {
    FitLines values = values(other);
    ModalParameters fitted =
        searching ? search(values) : refinement(values).from(start, STEPS, TOLERANCE).parameters();
    for (int j = 0; j < fitted.terms().size(); j++) {
      Term before = start.terms().get(j);
      Term now = fitted.terms().get(j);
      double moved = Math.abs(now.omega() - before.omega());
      double most =
          searching ? FARTHEST * before.omega() : LOST * before.seenBandwidth(lines.shift);
      if (!(now.compliance() > 0) || moved > most) {
        return List.of();
      }
    }
    return modes(fitted);
  }

  private FitLines values(FrequencyResponse other) {
    int n = lines.size();
    int first = other.firstLineAtOrAbove(lines.lowHz() * (1 - 1e-9));
    if (first + n > other.lines()
        || Math.abs(other.frequencyHz(first + n - 1) - lines.highHz()) > 1e-6 * lines.highHz()) {
      throw new IllegalArgumentException("the taps' lines are not those of the average");
    }
    double[] re = new double[n];
    double[] im = new double[n];
    for (int i = 0; i < n; i++) {
      re[i] = other.real(first + i);
      im[i] = other.imag(first + i);
    }
    return new FitLines(lines.omega, re, im, lines.sigma, lines.shift, lines.spacing);
  }

  private static List<Mode> modes(ModalParameters of) {
    List<Mode> modes = new ArrayList<>();
    for (Term t : of.terms()) {
      modes.add(Mode.of(t.hz(), t.zeta(), 1 / Math.hypot(t.compliance(), t.quadrature())));
    }
    return modes;
  }
}
