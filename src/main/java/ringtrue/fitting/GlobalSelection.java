package ringtrue.fitting;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.OptionalInt;
import ringtrue.dynamics.Progress;
import ringtrue.fitting.GlobalRefinement.Fit;
import ringtrue.fitting.GlobalRefinement.Shared;
import ringtrue.fitting.ModalParameters.Term;
import ringtrue.fitting.VectorFitting.Pole;

/**
 * Decides which modes several responses support together. Candidates are the poles that every
 * response has by itself; those of different responses that are alike are one. A mode stays if
 * taking it out, with everything else fitted anew, raises the joint chi-square enough, so that one
 * that hardly shows in any response can be seen in all of them.
 */
final class GlobalSelection {
  /** Chi-square that a mode must be worth, as in {@link ModeSelection}. */
  private static final double GAIN = 45;

  /** The same for each further response, which brings one more unknown. */
  private static final double MORE_GAIN = 5;

  /** Poles of two responses that are nearer than this may be the same. */
  private static final double SAME = 0.35;

  /** Nearer than this, the second of two modes only mends the shape of the first. */
  private static final double DOUBLE = 0.12;

  private static final double VISIBLE = 0.01;
  private static final double SUPPORT = 2.2;
  private static final double LEAST_ZETA = 5e-5;
  private static final double MOST_ZETA = 0.3;

  /** How far beyond its band, as a factor, a response still has a mode. */
  private static final double BEYOND = 1.25;

  /** Part of the needed gain that a candidate must show in one response to be tried in all. */
  private static final double PROMISING = 0.3;

  private static final int MOST_TRIED = 4;
  private static final int MOST_ROUNDS = 12;

  private final List<FitLines> responses;
  private final boolean[] driving;
  private final double[][] weight;
  private final GlobalRefinement refinement;

  /**
   * @param driving for each response, whether all its compliances are to be positive
   * @param weight factors to 1/σ of each line
   */
  GlobalSelection(List<FitLines> responses, boolean[] driving, double[][] weight) {
    this.responses = responses;
    this.driving = driving;
    this.weight = weight;
    this.refinement = new GlobalRefinement(responses, weight);
  }

  /** A pole in one response, and by how much its peak stands out there. */
  private record Candidate(Pole pole, int response, double clear) {}

  /**
   * The modes that the responses support together.
   *
   * @param poles of each response
   * @param count number of modes wanted, at most; empty to let the data say
   * @param picksHz frequencies near which modes are wanted and nowhere else; empty for anywhere
   */
  Fit select(List<List<Pole>> poles, OptionalInt count, List<Double> picksHz, Progress progress) {
    List<Pole> pool = pooled(candidates(poles));
    if (!picksHz.isEmpty()) {
      pool = picked(pool, picksHz);
    }
    Fit fit = refinement.from(refinement.linear(withPoles(pool)), 15, 1e-5);
    progress.at(0.6, "choosing modes");
    fit = withoutNegative(fit);
    if (picksHz.isEmpty()) {
      fit = grown(pruned(fit, needed(), 0), progress);
    }
    if (count.isPresent()) {
      fit = pruned(fit, Double.POSITIVE_INFINITY, count.getAsInt());
    }
    return fit;
  }

  private List<Candidate> candidates(List<List<Pole>> poles) {
    List<Candidate> candidates = new ArrayList<>();
    for (int r = 0; r < responses.size(); r++) {
      FitLines lines = responses.get(r);
      List<Term> terms = new ArrayList<>();
      for (Pole pole : poles.get(r)) {
        if (pole.zeta() < MOST_ZETA && hasRoom(r, pole.omega())) {
          terms.add(new Term(pole.omega(), Math.max(LEAST_ZETA, pole.zeta()), 0, 0));
        }
      }
      ModalParameters fitted = new ModalRefinement(lines).linear(new ModalParameters(terms, 0, 0));
      for (Term t : fitted.terms()) {
        int at = nearestLine(lines, t.omega());
        double clear = t.peak(lines.shift) / lines.sigma[at];
        double re = -t.zeta() * t.omega();
        double im = t.omega() * Math.sqrt(1 - t.zeta() * t.zeta());
        candidates.add(new Candidate(new Pole(re, im), r, clear));
      }
    }
    candidates.sort(Comparator.comparingDouble(Candidate::clear).reversed());
    return candidates;
  }

  /** One pole for each that the responses have in common, from the response that shows it best. */
  private List<Pole> pooled(List<Candidate> candidates) {
    List<Candidate> pool = new ArrayList<>();
    for (Candidate candidate : candidates) {
      PoleGroups measure = new PoleGroups(responses.get(candidate.response));
      boolean isNew =
          pool.stream()
              .noneMatch(
                  p ->
                      p.response != candidate.response
                          && measure.distance(p.pole, candidate.pole) < SAME);
      if (isNew) {
        pool.add(candidate);
      }
    }
    return pool.stream()
        .map(Candidate::pole)
        .sorted(Comparator.comparingDouble(Pole::omega))
        .toList();
  }

  /** For each pick the nearest pole, or one made there. */
  private static List<Pole> picked(List<Pole> pool, List<Double> picksHz) {
    List<Pole> picked = new ArrayList<>();
    for (int i = 0; i < picksHz.size(); i++) {
      int index = i;
      double omega = 2 * Math.PI * picksHz.get(i);
      picked.add(
          pool.stream()
              .filter(p -> PickedModes.isNear(picksHz, index, p.omega() / (2 * Math.PI)))
              .min(Comparator.comparingDouble(p -> Math.abs(p.omega() - omega)))
              .orElse(new Pole(-0.01 * omega, omega)));
    }
    return picked;
  }

  private boolean hasRoom(int response, double omega) {
    FitLines lines = responses.get(response);
    return omega > lines.omega[0] / BEYOND && omega < lines.omega[lines.size() - 1] * BEYOND;
  }

  private Shared withPoles(List<Pole> poles) {
    double[] omega = poles.stream().mapToDouble(Pole::omega).toArray();
    double[] zeta = poles.stream().mapToDouble(p -> Math.max(LEAST_ZETA, p.zeta())).toArray();
    double[][] compliance = new double[responses.size()][omega.length];
    for (int r = 0; r < responses.size(); r++) {
      for (int j = 0; j < omega.length; j++) {
        compliance[r][j] = hasRoom(r, omega[j]) ? 0 : Double.NaN;
      }
    }
    int n = responses.size();
    return new Shared(omega, zeta, compliance, new double[n], new double[n]);
  }

  /** At a driving point a negative mode is none; it is left out of that response. */
  private Fit withoutNegative(Fit start) {
    Fit fit = start;
    while (true) {
      int response = -1;
      int mode = -1;
      double least = 0;
      Shared s = fit.shared();
      for (int r = 0; r < responses.size(); r++) {
        for (int j = 0; j < s.modes(); j++) {
          if (driving[r] && s.has(r, j)) {
            double peak =
                s.compliance()[r][j]
                    / s.zeta()[j]
                    / responses.get(r).sigma[nearestLine(responses.get(r), s.omega()[j])];
            if (peak < least) {
              least = peak;
              response = r;
              mode = j;
            }
          }
        }
      }
      if (mode < 0) {
        return fit;
      }
      Shared rest = s.unseen(response, mode);
      boolean anyLeft = false;
      for (int r = 0; r < responses.size(); r++) {
        anyLeft |= rest.has(r, mode);
      }
      if (!anyLeft) {
        rest = rest.without(mode);
      }
      fit = refinement.from(refinement.linear(rest), 10, 1e-5);
    }
  }

  private double needed() {
    return GAIN + MORE_GAIN * (responses.size() - 1);
  }

  /**
   * Adds modes whose shape is in what is left over, while the responses together speak for them.
   */
  private Fit grown(Fit start, Progress progress) {
    Fit fit = start;
    for (int round = 0; round < MOST_ROUNDS; round++) {
      progress.at(0.65 + 0.1 * round / MOST_ROUNDS, "looking for further modes");
      Fit best = null;
      for (Term term : leftOver(fit.shared())) {
        Shared more = with(fit.shared(), term);
        Fit tried = withoutNegative(refinement.from(refinement.linear(more), 10, 1e-4));
        if (best == null || tried.total() < best.total()) {
          best = tried;
        }
      }
      if (best == null) {
        return fit;
      }
      Fit next = pruned(best, needed(), 0);
      if (next.shared().modes() <= fit.shared().modes()) {
        return fit;
      }
      fit = next;
    }
    return fit;
  }

  /** Shapes of modes in the misfit of each response; in a cross response of either sign. */
  private List<Term> leftOver(Shared shared) {
    List<ModeSearch.Candidate> all = new ArrayList<>();
    for (int r = 0; r < responses.size(); r++) {
      FitLines lines = responses.get(r);
      ModalParameters model = shared.of(r);
      all.addAll(promising(lines, model));
      if (!driving[r]) {
        all.addAll(promising(lines.mirrored(), model.mirrored()));
      }
    }
    return all.stream()
        .sorted(Comparator.comparingDouble(ModeSearch.Candidate::gain).reversed())
        .map(ModeSearch.Candidate::term)
        .limit(MOST_TRIED)
        .toList();
  }

  private static List<ModeSearch.Candidate> promising(FitLines lines, ModalParameters model) {
    double[] ones = new double[lines.size()];
    Arrays.fill(ones, 1);
    double[] misfit = misfit(lines, ones, model);
    return new ModeSearch(lines)
        .candidates(model, lines.omega[0], lines.omega[lines.size() - 1], 2).stream()
            .filter(
                c ->
                    c.gain()
                        > PROMISING
                            * GAIN
                            * localScale(lines, misfit, c.term())
                            * relation(lines, c.term()))
            .toList();
  }

  private Shared with(Shared s, Term term) {
    int n = s.modes();
    double[] omega = Arrays.copyOf(s.omega(), n + 1);
    double[] zeta = Arrays.copyOf(s.zeta(), n + 1);
    omega[n] = term.omega();
    zeta[n] = term.zeta();
    double[][] compliance = new double[responses.size()][];
    for (int r = 0; r < compliance.length; r++) {
      compliance[r] = Arrays.copyOf(s.compliance()[r], n + 1);
      compliance[r][n] = hasRoom(r, term.omega()) ? 0 : Double.NaN;
    }
    return new Shared(omega, zeta, compliance, s.upper(), s.lower());
  }

  /** Drops modes until each is worth enough, or only so many are left. */
  private Fit pruned(Fit start, double needed, int atLeast) {
    Fit fit = start;
    while (fit.shared().modes() > atLeast) {
      int worst = -1;
      double least = Double.POSITIVE_INFINITY;
      for (int j = 0; j < fit.shared().modes(); j++) {
        double worth = worth(fit, j);
        if (worth < least) {
          least = worth;
          worst = j;
        }
      }
      if (worst < 0 || least >= needed) {
        return fit;
      }
      fit =
          withoutNegative(
              refinement.from(refinement.linear(fit.shared().without(worst)), 12, 1e-5));
    }
    return fit;
  }

  /** Rise of chi-square without a mode, each response's in its own measure; 0 for no mode. */
  private double worth(Fit fit, int mode) {
    Shared with = fit.shared();
    double zeta = with.zeta()[mode];
    if (zeta > MOST_ZETA || zeta < LEAST_ZETA || isDouble(with, mode) || !isVisible(with, mode)) {
      return 0;
    }
    Shared without = refinement.linear(with.without(mode));
    double quick = rise(with, without, mode);
    if (quick < 30 * GAIN) {
      without = refinement.from(without, 6, 1e-4).shared();
      quick = rise(with, without, mode);
    }
    return quick;
  }

  private double rise(Shared with, Shared without, int mode) {
    double sum = 0;
    double gains = 0;
    double squares = 0;
    for (int r = 0; r < responses.size(); r++) {
      FitLines lines = responses.get(r);
      double[] more = misfit(lines, weight[r], without.of(r));
      double[] less = misfit(lines, weight[r], with.of(r));
      Term term = new Term(with.omega()[mode], with.zeta()[mode], 1, 0);
      double scale = localScale(lines, less, term) * relation(lines, term);
      for (int i = 0; i < more.length; i++) {
        double gain = (more[i] - less[i]) / scale;
        sum += gain;
        if (gain > 0) {
          gains += gain;
          squares += gain * gain;
        }
      }
    }
    // a single line, as of hum, is no mode
    return gains * gains < SUPPORT * squares ? 0 : sum;
  }

  private static double[] misfit(FitLines lines, double[] weight, ModalParameters p) {
    double[] re = new double[lines.size()];
    double[] im = new double[lines.size()];
    p.misfit(lines, re, im);
    for (int i = 0; i < re.length; i++) {
      double w = weight[i] / lines.sigma[i];
      re[i] = w * w * (re[i] * re[i] + im[i] * im[i]);
    }
    return re;
  }

  /** Reduced chi-square about a mode, at least that of the whole to a part, and at least 1. */
  private static double localScale(FitLines lines, double[] misfit, Term term) {
    double reach = Math.max(5 * term.seenBandwidth(lines.shift), 10 * lines.spacing);
    double near = 0;
    int count = 0;
    double all = Arrays.stream(misfit).sum() / (2.0 * misfit.length);
    for (int i = 0; i < misfit.length; i++) {
      if (Math.abs(lines.omega[i] - term.omega()) < reach) {
        near += misfit[i] / 2;
        count++;
      }
    }
    return Math.max(1, Math.max(count < 5 ? all : near / count, 0.3 * all));
  }

  /** By how much noise under the window mimics a mode more easily than white noise. */
  private static double relation(FitLines lines, Term term) {
    if (lines.shift == 0) {
      return 1;
    }
    double decay = term.zeta() * term.omega() + lines.shift;
    double window = 2 * Math.PI / lines.spacing * lines.shift;
    return Math.max(1, window * 2 * decay / (decay + lines.shift));
  }

  private boolean isDouble(Shared s, int mode) {
    Pole own = pole(s, mode);
    PoleGroups measure = new PoleGroups(responses.get(0));
    for (int j = 0; j < s.modes(); j++) {
      if (j != mode
          && measure.distance(own, pole(s, j)) < DOUBLE
          && clear(s, mode) <= clear(s, j)) {
        return true;
      }
    }
    return false;
  }

  private static Pole pole(Shared s, int mode) {
    double omega = s.omega()[mode];
    double zeta = s.zeta()[mode];
    return new Pole(-zeta * omega, omega * Math.sqrt(1 - zeta * zeta));
  }

  private double clear(Shared s, int mode) {
    double most = 0;
    for (int r = 0; r < responses.size(); r++) {
      if (s.has(r, mode)) {
        FitLines lines = responses.get(r);
        Term t = new Term(s.omega()[mode], s.zeta()[mode], s.compliance()[r][mode], 0);
        most = Math.max(most, t.peak(lines.shift) / lines.sigma[nearestLine(lines, t.omega())]);
      }
    }
    return most;
  }

  /** Whether a mode is a visible part of at least one response at its own frequency. */
  private boolean isVisible(Shared s, int mode) {
    for (int r = 0; r < responses.size(); r++) {
      if (s.has(r, mode)) {
        FitLines lines = responses.get(r);
        Term t = new Term(s.omega()[mode], s.zeta()[mode], s.compliance()[r][mode], 0);
        int at = nearestLine(lines, t.omega());
        if (t.peak(lines.shift) > VISIBLE * lines.magnitude(at)) {
          return true;
        }
      }
    }
    return false;
  }

  static int nearestLine(FitLines lines, double omega) {
    int at = Arrays.binarySearch(lines.omega, omega);
    return Math.min(lines.size() - 1, at >= 0 ? at : -at - 1);
  }
}
