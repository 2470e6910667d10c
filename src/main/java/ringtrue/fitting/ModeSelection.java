package ringtrue.fitting;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.Set;
import java.util.TreeSet;
import ringtrue.dynamics.Progress;
import ringtrue.fitting.ModalParameters.Term;
import ringtrue.fitting.ModalRefinement.Fit;
import ringtrue.fitting.VectorFitting.Pole;

/**
 * Decides which modes the data support. Starts from the stable poles of {@link PoleSearch}, drops
 * every mode without which the data are described as well, then looks in the misfit for modes that
 * are missing, until nothing changes.
 *
 * <p>A mode stays if taking it out, with everything else fitted anew, raises chi-square by more
 * than {@link #GAIN} times its reduced value (a likelihood ratio test on three unknowns, with room
 * for the many places where chance could have put a mode), if it is a visible part of the response
 * at its own frequency, if its stiffness is positive and if several lines speak for it.
 */
final class ModeSelection {
  /** Chi-square that a mode must be worth. Chance alone reaches about 25 over 10,000 lines. */
  private static final double GAIN = 45;

  /** Part of the response at its own frequency that a mode must contribute. */
  private static final double VISIBLE = 0.01;

  /** Half-power bandwidths that two modes must be apart. */
  private static final double DOUBLE = 0.25;

  /** Height of a peak, as a part of the highest one, below which no mode is taken seriously. */
  private static final double FAINT = 3e-5;

  /** Part of the needed gain that a candidate must show before anything else is fitted anew. */
  private static final double PROMISING = 0.5;

  /** Reduced chi-square about a mode that may be two. */
  private static final double MISFIT = 1.5;

  /** A mode's gain must come from more lines than this (inverse participation ratio). */
  private static final double SUPPORT = 2.2;

  /** Damping ratios outside these are no structure's. */
  private static final double LEAST_ZETA = 5e-5;

  private static final double MOST_ZETA = 0.3;

  /** How far outside the band a mode may lie that bends the response within. */
  private static final double BEYOND = 2;

  /** A phase that is more than the imperfections of a good measurement. */
  private static final double CLEAR_TURN_DEG = 1;

  private static final double MUCH_BETTER = 0.5;

  /** A pole that moves by this part of its decay rate is no longer where lines were grouped for. */
  private static final double MOVED = 0.1;

  private static final int MOST_GROUPINGS = 3;

  private static final int MOST_ROUNDS = 24;

  private final FitLines original;
  private final List<Pole> poles;
  private FitLines lines;
  private final TreeSet<Integer> outliers = new TreeSet<>();
  private final boolean complexResidues;
  private final Progress progress;

  /**
   * @param poles poles to start from
   * @param complexResidues whether each mode may have a phase of its own
   */
  ModeSelection(FitLines lines, List<Pole> poles, boolean complexResidues, Progress progress) {
    this.poles = poles;
    this.complexResidues = complexResidues;
    this.original = lines;
    this.lines = lines;
    this.progress = progress;
  }

  /**
   * The modes that the data support.
   *
   * @param count number of modes wanted inside the band; empty to let the data say
   */
  Selected select(OptionalInt count) {
    progress.at(0.5, "choosing modes");
    List<Term> terms = new ArrayList<>();
    for (Pole pole : poles) {
      if (isPlausible(pole.omega(), pole.zeta())) {
        terms.add(new Term(pole.omega(), Math.max(pole.zeta(), LEAST_ZETA), 0, 0));
      }
    }
    ModalParameters start = withoutNegative(new ModalParameters(terms, 0, 0));
    Fit fit = refined(start, 20);
    fit = pruned(fit);
    for (int round = 0; round < MOST_ROUNDS; round++) {
      progress.at(0.5 + 0.4 * round / MOST_ROUNDS, "looking for further modes");
      Optional<Fit> more = grown(fit);
      if (more.isEmpty()) {
        break;
      }
      Fit next = pruned(more.get());
      if (next.parameters().terms().size() <= fit.parameters().terms().size()
          && next.chiSquare() > 0.98 * fit.chiSquare()) {
        break;
      }
      fit = next;
    }
    if (count.isPresent()) {
      fit = forced(fit, count.getAsInt());
    }
    return new Selected(
        fit.parameters().sorted(),
        fit.chiSquare(),
        inside(fit),
        complexResidues,
        Set.copyOf(outliers));
  }

  /**
   * What was chosen.
   *
   * @param parameters the modes, by rising frequency
   * @param chiSquare of the fit, outliers left out
   * @param inside number of modes inside the band
   * @param complexResidues whether each mode has a phase of its own
   * @param outliers lines that stand alone and belong to no mode
   */
  record Selected(
      ModalParameters parameters,
      double chiSquare,
      int inside,
      boolean complexResidues,
      Set<Integer> outliers) {}

  /**
   * The modes that the data support, with real residues unless the data speak against them.
   *
   * <p>A time shift between the channels turns every mode's circle; with real residues alone the
   * turned circle would look like two modes. So where phases would improve the fit by more than a
   * mode has to, the choice is made again with a phase for each mode, and taken if it needs fewer
   * modes for the same, or shows a clear phase and fits much better.
   */
  static Selected of(FitLines lines, List<Pole> poles, OptionalInt count, Progress progress) {
    Selected real = new ModeSelection(lines, poles, false, progress).select(count);
    if (real.parameters.terms().isEmpty()) {
      return real;
    }
    double[] weight = new double[lines.size()];
    for (int i = 0; i < weight.length; i++) {
      weight[i] = real.outliers.contains(i) ? 0 : 1;
    }
    Fit turned =
        new ModalRefinement(LineGroups.of(lines, weight, real.parameters), null, true, true, true)
            .from(real.parameters, 8, 1e-3);
    double scale = Math.max(1, turned.chiSquare() / (2 * lines.size()));
    if (real.chiSquare - turned.chiSquare() < GAIN * scale || !isTurned(turned.parameters())) {
      return real;
    }
    Selected complex = new ModeSelection(lines, poles, true, progress).select(count);
    boolean simpler =
        complex.inside < real.inside && complex.chiSquare < real.chiSquare + GAIN * scale;
    boolean better =
        complex.inside == real.inside
            && complex.chiSquare < MUCH_BETTER * real.chiSquare
            && isTurned(complex.parameters);
    return simpler || better ? complex : real;
  }

  private static boolean isTurned(ModalParameters parameters) {
    return parameters.terms().stream().anyMatch(t -> Math.abs(t.phaseDeg() + 90) > CLEAR_TURN_DEG);
  }

  private boolean isPlausible(double omega, double zeta) {
    return omega > lines.omega[0] / BEYOND
        && omega < lines.omega[lines.size() - 1] * BEYOND
        && zeta < MOST_ZETA;
  }

  /** Linear fit of the amplitudes, the most negative mode dropped until none is negative. */
  private ModalParameters withoutNegative(ModalParameters start) {
    ModalRefinement refinement = refinement(start);
    ModalParameters now = refinement.linear(start);
    while (true) {
      int worst = -1;
      double least = 0;
      for (int j = 0; j < now.terms().size(); j++) {
        double peak = now.terms().get(j).compliance() / now.terms().get(j).zeta();
        if (peak <= least) {
          least = peak;
          worst = j;
        }
      }
      if (worst < 0) {
        return now;
      }
      now = refinement.linear(now.without(worst));
    }
  }

  /** On lines grouped for models near one. */
  private ModalRefinement refinement(ModalParameters near) {
    return new ModalRefinement(LineGroups.of(lines, null, near), null, complexResidues, true, true);
  }

  private Fit refined(ModalParameters start, int steps) {
    return refined(start, steps, 1e-5);
  }

  /** Refines; where poles move far, the lines are grouped anew. */
  private Fit refined(ModalParameters start, int steps, double tolerance) {
    Fit fit = refinement(start).from(start, steps, tolerance);
    ModalParameters before = start;
    for (int i = 0; i < MOST_GROUPINGS && hasMoved(before, fit.parameters()); i++) {
      before = fit.parameters();
      fit = refinement(before).from(before, steps, tolerance);
    }
    return fit;
  }

  /** Whether a pole is no longer where it was, seen from as far as it is damped. */
  private boolean hasMoved(ModalParameters before, ModalParameters after) {
    for (int j = 0; j < before.terms().size(); j++) {
      Term a = before.terms().get(j);
      Term b = after.terms().get(j);
      double apart = Math.hypot(b.omega() - a.omega(), b.zeta() * b.omega() - a.zeta() * a.omega());
      if (apart > MOVED * a.seenBandwidth(lines.shift) / 2) {
        return true;
      }
    }
    return false;
  }

  /** Drops modes until every one that is left earns its place. */
  private Fit pruned(Fit start) {
    Fit fit = start;
    while (!fit.parameters().terms().isEmpty()) {
      int worst = -1;
      double least = Double.POSITIVE_INFINITY;
      Fit without = null;
      ModalRefinement refinement = refinement(fit.parameters());
      Leftover leftover = new Leftover(lines, fit.parameters());
      for (int j = 0; j < fit.parameters().terms().size(); j++) {
        FitLines before = lines;
        Trial trial = trial(fit, j, refinement, leftover);
        if (trial.worth < least) {
          least = trial.worth;
          worst = j;
          without = trial.without;
        }
        if (lines != before) {
          refinement = refinement(fit.parameters());
          leftover = new Leftover(lines, fit.parameters());
        }
      }
      if (least >= GAIN) {
        return fit;
      }
      fit = without != null ? without : refined(fit.parameters().without(worst), 10);
    }
    return fit;
  }

  /**
   * What a mode is worth.
   *
   * @param worth rise of chi-square without it over reduced chi-square; 0 if it cannot be a mode
   * @param without the fit without it, where it was needed
   */
  private record Trial(double worth, Fit without) {}

  private Trial trial(Fit fit, int index, ModalRefinement refinement, Leftover leftover) {
    ModalParameters parameters = fit.parameters();
    Term term = parameters.terms().get(index);
    if (!term.isPassive()
        || !isPlausible(term.omega(), term.zeta())
        || term.zeta() < LEAST_ZETA
        || term.seenBandwidth(lines.shift) < 0.25 * lines.spacing
        || isDouble(parameters, index)) {
      return new Trial(0, null);
    }
    double scale = leftover.scale(term) * relation(term);
    ModalParameters rest = refinement.linear(parameters.without(index));
    double rise = refinement.chiSquare(rest) - fit.chiSquare();
    if (rise < 30 * GAIN * scale) {
      Fit without = refinement.from(rest, 8, 1e-4);
      rise = without.chiSquare() - fit.chiSquare();
      if (rise > GAIN * scale && !isSupported(leftover, without.parameters())) {
        return new Trial(0, refined(parameters.without(index), 10));
      }
      if (!isVisible(parameters, term)) {
        return new Trial(0, without);
      }
      return new Trial(rise / scale, without);
    }
    if (!isSupported(leftover, rest) || !isVisible(parameters, term)) {
      return new Trial(0, null);
    }
    return new Trial(rise / scale, null);
  }

  /**
   * Whether a mode is the weaker of two that nearly coincide: what a single mode looks like where
   * the measurement is not quite linear or a block a little too short.
   */
  private boolean isDouble(ModalParameters parameters, int index) {
    Term term = parameters.terms().get(index);
    for (Term other : parameters.terms()) {
      double bandwidth =
          Math.min(term.seenBandwidth(lines.shift), other.seenBandwidth(lines.shift));
      if (other != term
          && Math.abs(other.omega() - term.omega()) < DOUBLE * bandwidth
          && term.peak(lines.shift) <= other.peak(lines.shift)) {
        return true;
      }
    }
    return false;
  }

  /**
   * By how much noise of related lines mimics a mode more easily than white noise. The exponential
   * window shapes the noise's time signal as e^(−t/τ); against a mode that decays with α = ζωn +
   * 1/τ in the block of length T, the variance of its amplitude grows by 2T/τ · α/(α + 1/τ).
   */
  private double relation(Term term) {
    double decay = term.zeta() * term.omega() + lines.shift;
    return lines.shift == 0 ? 1 : Math.max(1, windowRelation() * 2 * decay / (decay + lines.shift));
  }

  /** T/τ, what {@link #relation} is for a mode without damping; 1 without a window. */
  private double windowRelation() {
    return Math.max(1, 2 * Math.PI / lines.spacing * lines.shift);
  }

  private boolean isVisible(ModalParameters parameters, Term term) {
    double at = Math.max(lines.omega[0], Math.min(term.omega(), lines.omega[lines.size() - 1]));
    double[] unit = new double[2];
    double[] sum = new double[2];
    for (Term other : parameters.terms()) {
      other.unit(lines.shift, at, unit);
      sum[0] += other.compliance() * unit[0];
      sum[1] += other.compliance() * unit[1];
    }
    sum[0] += parameters.upper() - parameters.lower() / (at * at);
    term.unit(lines.shift, at, unit);
    double own = term.compliance() * Math.hypot(unit[0], unit[1]);
    double highest = 0;
    for (Term other : parameters.terms()) {
      highest = Math.max(highest, other.peak(lines.shift));
    }
    if (term.peak(lines.shift) < FAINT * highest) {
      return false;
    }
    return own >= VISIBLE * Math.hypot(sum[0], sum[1]);
  }

  /** Whether several lines speak for a mode; those that speak alone are put aside. */
  private boolean isSupported(Leftover with, ModalParameters without) {
    int n = lines.size();
    double[] gain = new double[n];
    Leftover other = new Leftover(lines, without);
    double sum = 0;
    double squares = 0;
    for (int i = 0; i < n; i++) {
      gain[i] = other.at(i) - with.at(i);
      if (gain[i] > 0) {
        sum += gain[i];
        squares += gain[i] * gain[i];
      }
    }
    if (sum * sum >= SUPPORT * squares) {
      return true;
    }
    double[] sigma = lines.sigma.clone();
    for (int i = 0; i < n; i++) {
      if (gain[i] > 0.2 * sum) {
        outliers.add(i);
        sigma[i] = 1e6 * original.sigma[i];
      }
    }
    lines = original.withSigma(sigma);
    return false;
  }

  /** The best model with one mode more, if one earns its place. */
  private Optional<Fit> grown(Fit fit) {
    Fit base = refined(fit.parameters(), 10, 1e-4);
    Fit best = null;
    for (ModalParameters start : starts(base.parameters(), 3, PROMISING * GAIN)) {
      Fit tried = refinement(start).from(start, 12, 1e-3);
      if (tried.parameters().terms().stream().allMatch(Term::isPassive)
          && (best == null || tried.chiSquare() < best.chiSquare())) {
        best = tried;
      }
    }
    if (best == null) {
      return Optional.empty();
    }
    best = refined(best.parameters(), 20);
    Term newest = best.parameters().terms().get(best.parameters().terms().size() - 1);
    double scale = new Leftover(lines, best.parameters()).scale(newest) * relation(newest);
    if (base.chiSquare() - best.chiSquare() < GAIN * scale) {
      return Optional.empty();
    }
    return Optional.of(best);
  }

  /** Models with one mode more: where the misfit looks like one, or one split into two. */
  private List<ModalParameters> starts(ModalParameters base, int most, double least) {
    ModeSearch search = new ModeSearch(lines);
    double low = lines.omega[0] / BEYOND;
    double high = lines.omega[lines.size() - 1] * BEYOND;
    Leftover leftover = new Leftover(lines, base);
    List<ModalParameters> starts = new ArrayList<>();
    for (ModeSearch.Candidate candidate : search.candidates(base, low, high, most)) {
      Term term = candidate.term();
      if (candidate.gain() > least * leftover.scale(term) * relation(term)) {
        starts.add(base.with(term));
      }
    }
    base.terms().stream()
        .max(Comparator.comparingDouble(leftover::scale))
        .filter(t -> least == 0 || leftover.scale(t) > MISFIT)
        .ifPresent(
            t -> {
              double half = 0.6 * t.zeta();
              ModalParameters rest = base.without(base.terms().indexOf(t));
              starts.add(
                  rest.with(new Term(t.omega() * (1 - half), 0.7 * t.zeta(), t.compliance() / 2, 0))
                      .with(
                          new Term(t.omega() * (1 + half), 0.7 * t.zeta(), t.compliance() / 2, 0)));
            });
    return starts;
  }

  private boolean isInside(Term term) {
    return term.omega() >= lines.omega[0] && term.omega() <= lines.omega[lines.size() - 1];
  }

  private int inside(Fit fit) {
    return (int) fit.parameters().terms().stream().filter(this::isInside).count();
  }

  /** Exactly so many modes inside the band, if there is any way. */
  private Fit forced(Fit start, int count) {
    Fit fit = start;
    while (inside(fit) > count) {
      Fit best = null;
      for (int j = 0; j < fit.parameters().terms().size(); j++) {
        if (isInside(fit.parameters().terms().get(j))) {
          Fit without = refined(fit.parameters().without(j), 15);
          if (best == null || without.chiSquare() < best.chiSquare()) {
            best = without;
          }
        }
      }
      fit = best;
    }
    while (inside(fit) < count) {
      Fit best = null;
      for (ModalParameters tried : starts(fit.parameters(), 8, 0)) {
        Fit more = refined(tried, 25);
        boolean valid =
            more.parameters().terms().stream()
                .allMatch(t -> t.isPassive() && t.zeta() < MOST_ZETA && t.zeta() > LEAST_ZETA);
        if (valid
            && inside(more) == inside(fit) + 1
            && (best == null || more.chiSquare() < best.chiSquare())) {
          best = more;
        }
      }
      if (best == null) {
        return fit;
      }
      fit = best;
    }
    return fit;
  }
}
