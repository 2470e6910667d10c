package ringtrue.fitting;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Set;
import ringtrue.fitting.ModalParameters.Term;
import ringtrue.fitting.ModalRefinement.Fit;
import ringtrue.fitting.VectorFitting.Pole;
import ringtrue.units.BadInputException;

/**
 * One mode near each frequency that was picked by hand, and none elsewhere in the band. A mode
 * starts from the group of poles nearest to its pick, from the best-matching mode in the
 * neighbourhood, or from the pick itself; what fits best and stays near the pick is kept.
 */
final class PickedModes {
  /** How far from its pick a mode may end, as a part of the pick, at most. */
  private static final double NEAR = 0.1;

  /** Damping ratios to try where no poles say any. */
  private static final double[] ZETAS = {0.01, 0.002, 0.05};

  /** A chi-square this much lower with a phase for each mode shows that phases are real. */
  private static final double MUCH_BETTER = 0.5;

  private static final double CLEAR_TURN_DEG = 1;
  private static final double MOST_ZETA = 0.3;
  private static final double BEYOND = 2;

  private final FitLines lines;
  private final double[] picks;
  private final PoleGroups.Grouped poles;
  private final List<Term> helpers = new ArrayList<>();

  private PickedModes(FitLines lines, List<Double> picksHz, PoleGroups.Grouped poles) {
    this.lines = lines;
    this.picks = picksHz.stream().mapToDouble(hz -> 2 * Math.PI * hz).toArray();
    this.poles = poles;
    for (Pole pole : poles.starts()) {
      boolean beyond = pole.omega() < lines.omega[0] || pole.omega() > top();
      boolean near = pole.omega() > lines.omega[0] / BEYOND && pole.omega() < top() * BEYOND;
      if (beyond && near && pole.zeta() < MOST_ZETA) {
        helpers.add(new Term(pole.omega(), pole.zeta(), 0, 0));
      }
    }
  }

  /**
   * @throws BadInputException if a pick lies outside the band
   */
  static void check(FitLines lines, List<Double> picksHz) {
    for (double hz : picksHz) {
      if (hz < lines.lowHz() || hz > lines.highHz()) {
        throw new BadInputException(
            "pick: "
                + Sentence.hertz(hz)
                + " lies outside the band of "
                + Sentence.hertz(lines.lowHz())
                + " to "
                + Sentence.hertz(lines.highHz())
                + "; pick a frequency inside, or widen the band");
      }
    }
  }

  /**
   * Modes near the picks, where any with positive stiffness can be had.
   *
   * @param picksHz rising frequencies inside the band, Hz
   * @param poles what the search for poles found
   */
  static ModeSelection.Selected of(FitLines lines, List<Double> picksHz, PoleGroups.Grouped poles) {
    return new PickedModes(lines, picksHz, poles).select();
  }

  /** Whether a mode is near enough to the pick with this index to be meant by it. */
  static boolean isNear(List<Double> picksHz, int index, double hz) {
    double pick = picksHz.get(index);
    double below = index == 0 ? pick * NEAR : (pick - picksHz.get(index - 1)) / 2;
    double above = index == picksHz.size() - 1 ? pick * NEAR : (picksHz.get(index + 1) - pick) / 2;
    return hz >= pick - Math.min(pick * NEAR, below) && hz <= pick + Math.min(pick * NEAR, above);
  }

  /** Sentences on picks without a mode. */
  static List<String> remarks(List<Double> picksHz, List<Double> modesHz) {
    List<String> remarks = new ArrayList<>();
    for (int i = 0; i < picksHz.size(); i++) {
      int index = i;
      if (modesHz.stream().noneMatch(hz -> isNear(picksHz, index, hz))) {
        remarks.add(
            "No mode with positive stiffness can be fitted near the picked "
                + Sentence.hertz(picksHz.get(i))
                + ".");
      }
    }
    return remarks;
  }

  private ModeSelection.Selected select() {
    List<Term> chosen = new ArrayList<>();
    List<Pole> taken = new ArrayList<>();
    for (int i = 0; i < picks.length; i++) {
      chosen.add(null);
    }
    // nearest pairs of pick and group first, so that two picks never share one
    for (int round = 0; round < picks.length; round++) {
      int best = -1;
      Pole at = null;
      for (int i = 0; i < picks.length; i++) {
        for (Pole pole : groups()) {
          boolean free = chosen.get(i) == null && !taken.contains(pole) && isNear(i, pole.omega());
          if (free && (at == null || apart(i, pole) < apart(best, at))) {
            best = i;
            at = pole;
          }
        }
      }
      if (at != null) {
        chosen.set(best, new Term(at.omega(), at.zeta(), 0, 0));
        taken.add(at);
      }
    }
    return selected(withLost(refined(chosen), chosen));
  }

  /** Tries other starts for the picks that have no mode near them. */
  private Fit withLost(Fit start, List<Term> chosen) {
    Fit fit = start;
    for (int i = 0; i < picks.length; i++) {
      if (chosen.get(i) != null && isKept(fit, i)) {
        continue;
      }
      Fit best = null;
      Term from = null;
      for (Term term : others(fit, i)) {
        List<Term> tried = new ArrayList<>(chosen);
        tried.set(i, term);
        Fit next = refined(tried);
        if (isKept(next, i) && (best == null || next.chiSquare() < best.chiSquare())) {
          best = next;
          from = term;
        }
      }
      chosen.set(i, from);
      fit = best != null ? best : refined(chosen);
    }
    return fit;
  }

  private List<Pole> groups() {
    List<Pole> all = new ArrayList<>();
    for (Stabilisation.Group group : poles.stabilisation().groups()) {
      double omega = 2 * Math.PI * group.frequencyHz();
      double zeta = group.dampingRatio();
      if (zeta < MOST_ZETA) {
        all.add(new Pole(-zeta * omega, omega * Math.sqrt(1 - zeta * zeta)));
      }
    }
    return all;
  }

  private double apart(int pick, Pole pole) {
    return Math.abs(Math.log(pole.omega() / picks[pick]));
  }

  private boolean isNear(int pick, double omega) {
    List<Double> hz = new ArrayList<>();
    for (double w : picks) {
      hz.add(w / (2 * Math.PI));
    }
    return isNear(hz, pick, omega / (2 * Math.PI)) && omega >= lines.omega[0] && omega <= top();
  }

  private double top() {
    return lines.omega[lines.size() - 1];
  }

  /** Starts near a pick that no group gives. */
  private List<Term> others(Fit fit, int pick) {
    List<Term> terms = new ArrayList<>();
    double reach = NEAR * picks[pick];
    for (ModeSearch.Candidate candidate :
        new ModeSearch(lines)
            .candidates(fit.parameters(), picks[pick] - reach, picks[pick] + reach, 4)) {
      if (isNear(pick, candidate.term().omega())) {
        terms.add(new Term(candidate.term().omega(), candidate.term().zeta(), 0, 0));
      }
    }
    for (double zeta : ZETAS) {
      terms.add(new Term(picks[pick], zeta, 0, 0));
    }
    return terms;
  }

  /** All chosen modes and the helpers beyond the band, without those that turn out negative. */
  private Fit refined(List<Term> chosen) {
    List<Term> terms = new ArrayList<>(helpers);
    chosen.stream().filter(t -> t != null).forEach(terms::add);
    ModalRefinement refinement = new ModalRefinement(lines);
    ModalParameters start = refinement.linear(new ModalParameters(terms, 0, 0));
    Fit fit = refinement.from(start, 25, 1e-6);
    List<Term> good = fit.parameters().terms().stream().filter(this::isGood).toList();
    while (good.size() < fit.parameters().terms().size()) {
      ModalParameters p = fit.parameters();
      fit = refinement.from(new ModalParameters(good, p.upper(), p.lower()), 25, 1e-6);
      good = fit.parameters().terms().stream().filter(this::isGood).toList();
    }
    return fit;
  }

  /** Passive, and near a pick or beyond the band. */
  private boolean isGood(Term term) {
    boolean beyond = term.omega() < lines.omega[0] || term.omega() > top();
    boolean near = beyond;
    for (int i = 0; i < picks.length && !near; i++) {
      near = isNear(i, term.omega());
    }
    return near && term.isPassive() && term.zeta() < MOST_ZETA;
  }

  private boolean isKept(Fit fit, int pick) {
    return fit.parameters().terms().stream().filter(t -> isNear(pick, t.omega())).count() == 1;
  }

  private ModeSelection.Selected selected(Fit fit) {
    // two modes at one pick: the larger is meant
    ModalParameters p = fit.parameters();
    List<Term> kept = new ArrayList<>(p.terms());
    for (int i = 0; i < picks.length; i++) {
      int pick = i;
      List<Term> here = kept.stream().filter(t -> isNear(pick, t.omega())).toList();
      if (here.size() > 1) {
        Term largest =
            here.stream().max(Comparator.comparingDouble(t -> t.peak(lines.shift))).orElseThrow();
        kept.removeIf(t -> t != largest && here.contains(t));
      }
    }
    Fit real = fit;
    if (kept.size() < p.terms().size()) {
      ModalRefinement refinement = new ModalRefinement(lines);
      real = refinement.from(new ModalParameters(kept, p.upper(), p.lower()), 25, 1e-6);
    }
    Fit turned =
        new ModalRefinement(lines, null, true, true, true).from(real.parameters(), 15, 1e-5);
    boolean better =
        turned.chiSquare() < MUCH_BETTER * real.chiSquare()
            && turned.parameters().terms().stream().allMatch(this::isGood)
            && turned.parameters().terms().stream()
                .anyMatch(t -> Math.abs(t.phaseDeg() + 90) > CLEAR_TURN_DEG);
    Fit best = better ? turned : real;
    int inside =
        (int)
            best.parameters().terms().stream()
                .filter(t -> t.omega() >= lines.omega[0] && t.omega() <= top())
                .count();
    return new ModeSelection.Selected(
        best.parameters().sorted(), best.chiSquare(), inside, better, Set.of());
  }
}
