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

  private final FitLines lines;
  private final double[] weight;
  private final boolean turned;
  private final ModalParameters start;

  /**
   * @param fitted modes of the average
   * @param average response that they were fitted to, or the part of it in the fitted band
   */
  TapRefit(FittedModes fitted, FrequencyResponse average) {
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
        refinement(lines).from(parameters(fitted), STEPS, TOLERANCE).parameters();
    weighOutliers(first);
    this.start = refinement(lines).from(first, STEPS, TOLERANCE).parameters();
  }

  private ModalRefinement refinement(FitLines of) {
    return new ModalRefinement(of, weight, turned, true, true);
  }

  private static ModalParameters parameters(FittedModes fitted) {
    List<Term> terms = new ArrayList<>();
    for (Mode m : fitted.model().modes()) {
      terms.add(
          new Term(2 * Math.PI * m.frequencyHz(), m.dampingRatio(), 1 / m.stiffnessNPerM(), 0));
    }
    Residual residual = fitted.model().residual();
    return new ModalParameters(terms, residual.upperMPerN(), residual.lowerPerKg());
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

  /**
   * The modes of other taps, in the order of the average's.
   *
   * @param other response of the same lines
   * @return empty if a mode was lost
   */
  List<Mode> of(FrequencyResponse other) {
    FitLines values = values(other);
    ModalParameters fitted = refinement(values).from(start, STEPS, TOLERANCE).parameters();
    for (int j = 0; j < fitted.terms().size(); j++) {
      Term before = start.terms().get(j);
      Term now = fitted.terms().get(j);
      double moved = Math.abs(now.omega() - before.omega());
      if (!(now.compliance() > 0) || moved > LOST * before.seenBandwidth(lines.shift)) {
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
