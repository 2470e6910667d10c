package ringtrue.fitting;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.function.DoubleUnaryOperator;
import org.apache.commons.math3.linear.RealMatrix;
import ringtrue.dynamics.FreeDecays;
import ringtrue.fitting.DecayRefinement.Fit;
import ringtrue.fitting.DecayRefinement.Term;

/**
 * Whether a mode's frequency or damping changes while it dies out, as a joint that slips at large
 * amplitudes makes it do: the early part of the decays is fitted apart from the late one.
 */
final class AmplitudeDependence {
  /** The early part lasts so many time constants of the mode. */
  private static final double EARLY = 1.2;

  private static final double CLEAR = 4;
  private static final double LEAST_FREQUENCY = 1e-4;
  private static final double LEAST_DAMPING = 0.05;
  private static final double FEWEST_PERIODS = 5;

  private AmplitudeDependence() {}

  /** Value and sigma of frequency and damping ratio. */
  private record Seen(double fn, double fnSigma, double zeta, double zetaSigma) {}

  /**
   * @param terms all terms of the fit
   * @param index the mode
   * @param skipS where the fit begins after the onset, s
   * @return a sentence if early and late differ by more than chance and by enough to matter
   */
  static Optional<String> of(
      FreeDecays decays,
      DecayNoise noise,
      List<Term> terms,
      int index,
      double skipS,
      DoubleUnaryOperator level,
      double highHz) {
    Term term = terms.get(index);
    double split = skipS + EARLY / term.alpha();
    double longest =
        decays.taps().stream().mapToInt(FreeDecays.Stretch::size).min().orElse(0)
            / decays.sampleRateHz();
    double least = FEWEST_PERIODS / term.hz();
    if (split - skipS < least || longest - split < Math.max(least, EARLY / term.alpha())) {
      return Optional.empty();
    }
    Optional<Seen> early =
        seen(new DecaySpectra(decays, skipS, split, noise), terms, index, level, highHz);
    Optional<Seen> late =
        seen(
            new DecaySpectra(decays, split, Double.POSITIVE_INFINITY, noise),
            terms,
            index,
            level,
            highHz);
    if (early.isEmpty() || late.isEmpty()) {
      return Optional.empty();
    }
    Seen a = early.get();
    Seen b = late.get();
    boolean frequency =
        Math.abs(a.fn - b.fn) > CLEAR * Math.hypot(a.fnSigma, b.fnSigma)
            && Math.abs(a.fn - b.fn) > LEAST_FREQUENCY * term.fn();
    boolean damping =
        Math.abs(a.zeta - b.zeta) > CLEAR * Math.hypot(a.zetaSigma, b.zetaSigma)
            && Math.abs(a.zeta - b.zeta) > LEAST_DAMPING * term.zeta();
    if (!frequency && !damping) {
      return Optional.empty();
    }
    return Optional.of(
        String.format(
            Locale.ROOT,
            "the mode at %s changes while it dies out: in the first %.3g ms %s with %s damping,"
                + " later %s with %s, as where a joint slips at larger amplitudes; the"
                + " table's values lie between and their sigmas do not cover that",
            Sentence.hertz(term.fn()),
            1e3 * (split - skipS),
            Sentence.hertz(a.fn),
            Sentence.percent(a.zeta),
            Sentence.hertz(b.fn),
            Sentence.percent(b.zeta)));
  }

  private static Optional<Seen> seen(
      DecaySpectra part, List<Term> terms, int index, DoubleUnaryOperator level, double highHz) {
    Term term = terms.get(index);
    double reach = Math.max(6 * term.bandwidthHz(), 12 * part.spacingHz());
    List<double[]> bands = new ArrayList<>();
    bands.add(new double[] {0, Math.min(highHz, term.hz() + reach)});
    if (term.hz() - reach > 0) {
      bands.set(0, new double[] {term.hz() - reach, Math.min(highHz, term.hz() + reach)});
    }
    DecayRefinement refinement = new DecayRefinement(part, bands, level);
    boolean[] free = new boolean[terms.size()];
    Arrays.fill(free, false);
    free[index] = true;
    Fit fit = refinement.from(terms, free, 25, 1e-6);
    int at = fit.place(index);
    RealMatrix own = fit.normal().getSubMatrix(at, at + 1, at, at + 1);
    RealMatrix inverse = DecaySelection.inverse(own);
    if (inverse == null || fit.freedom() < 6) {
      return Optional.empty();
    }
    Term found = fit.terms.get(index);
    double scale = Math.sqrt(Math.max(1, fit.reduced()));
    double omega = 2 * Math.PI * found.fn();
    return Optional.of(
        new Seen(
            found.fn(),
            scale * Math.sqrt(inverse.getEntry(1, 1)) / (2 * Math.PI),
            found.zeta(),
            scale * Math.sqrt(inverse.getEntry(0, 0)) / omega));
  }
}
