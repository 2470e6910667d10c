package ringtrue.planning;

import java.util.ArrayList;
import java.util.Collections;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.function.DoubleFunction;
import java.util.stream.IntStream;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.ModeTable;
import ringtrue.dynamics.OppositeMode;
import ringtrue.dynamics.Progress;
import ringtrue.dynamics.Receptance;
import ringtrue.stability.CuttingCoefficients;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.Lobes;
import ringtrue.stability.LobesRequest;
import ringtrue.stability.QuickLook;
import ringtrue.stability.StabilityMap;

/**
 * Holds what cuts did against what the map says, and where they disagree looks for the change of
 * one input that brings the map into line with all cuts together.
 *
 * <p>Tried are: another natural frequency of each mode by itself (its stiffness and damping ratio
 * kept), of all modes together, and other cutting coefficients (all times one factor). Each change
 * is scattered normally with the sigma that the input leaves open, and bounded by what is plausible
 * at all. Explanations are ranked by how much of that scatter brings the map into line: the
 * integral of the prior times the likelihood of all cuts, which is the Bayesian evidence of one
 * input at a time (H. Jeffreys, Theory of Probability, 3rd ed., 1961, ch. 5; from memory). It
 * favours neither the input that may move farthest nor the one that explains by a narrow chance. A
 * cut that contradicts a changed map counts with one hundredth (exp −9/2), a frequency with exp
 * −4/2.
 */
public final class OutcomeCheck {
  /** Relative sigma of a natural frequency that nobody gave one: judgement. */
  private static final double FREQUENCY_SIGMA = 0.02;

  /** No fit knows of the spindle turning, its warmth and the next clamping: judgement. */
  private static final double LEAST_FREQUENCY_SIGMA = 0.005;

  private static final double MOST_FREQUENCY_SIGMA = 0.05;

  /** Farther than this a mode is another one. */
  private static final double MOST_SHIFT = 0.15;

  /** Sigma of the logarithm of coefficients without a range: sources differ by that. */
  private static final double COEFFICIENT_SIGMA = 0.25;

  private static final double MOST_FACTOR = 3;

  /** How near a heard frequency must be to the predicted one to be the same chatter. */
  private static final double SAME_CHATTER = 0.03;

  private static final double MOST_SIGMAS = 6;
  private static final double COST_OF_CUT = 9;
  private static final double COST_OF_FREQUENCY = 4;
  private static final int STEPS = 24;

  /** Explanations whose evidence differs by less are named together. */
  private static final double AS_GOOD = 3;

  private static final int REFINEMENTS = 6;
  private static final int BISECTIONS = 10;
  private static final int MOST_TRIALS = 24;

  private OutcomeCheck() {}

  /**
   * A cut that was made.
   *
   * @param name what to call it
   * @param process the cut with its engagement and speed; its dynamics and coefficients count as
   *     the map's
   * @param chattered whether it did
   * @param chatterHz frequency heard, Hz; NaN where unknown
   */
  public record Trial(String name, CuttingProcess process, boolean chattered, double chatterHz) {}

  /**
   * What the map says of a cut.
   *
   * @param trial the cut
   * @param predictedStable what the map says
   * @param growth growth over a period; NaN where the method does not give it
   * @param limitM first limit of the depth at its speed, m
   * @param predictedHz chatter frequency at that limit, Hz; NaN where there is none
   * @param agrees whether quiet or not is as predicted
   * @param frequencyAgrees whether the heard frequency is near the predicted one; true where there
   *     is nothing to compare
   */
  public record Judged(
      Trial trial,
      boolean predictedStable,
      double growth,
      double limitM,
      double predictedHz,
      boolean agrees,
      boolean frequencyAgrees) {}

  /** What could be otherwise than assumed. */
  public enum Kind {
    MODE_FREQUENCY("mode frequency"),
    ALL_FREQUENCIES("all mode frequencies"),
    COEFFICIENTS("cutting coefficients");

    private final String word;

    Kind(String word) {
      this.word = word;
    }

    /** For people and files. */
    public String word() {
      return word;
    }
  }

  /**
   * A change that brings the map nearer to what cuts did.
   *
   * @param kind which input
   * @param what the input in words
   * @param frequencyHz natural frequency as it is in the model, Hz; NaN for other inputs
   * @param factor the smallest change that does, as a factor on the input
   * @param farthestFactor how far the change may go and still do
   * @param sigmas the smallest change in sigmas
   * @param explained number of contradictions that it ends
   * @param left number of contradictions that it leaves or makes
   * @param frequenciesLeft heard frequencies that it leaves unexplained
   * @param share how much of the evidence of all causes it has; they add up to 1
   * @param sentence all that in words
   */
  public record Cause(
      Kind kind,
      String what,
      double frequencyHz,
      double factor,
      double farthestFactor,
      double sigmas,
      int explained,
      int left,
      int frequenciesLeft,
      double share,
      String sentence) {

    private Cause withShare(double of) {
      return new Cause(
          kind,
          what,
          frequencyHz,
          factor,
          farthestFactor,
          sigmas,
          explained,
          left,
          frequenciesLeft,
          of,
          sentence);
    }
  }

  /**
   * @param judged each cut against the map, in the order given
   * @param causes changes that help, the most likely first; empty where nothing contradicts, or
   *     nothing plausible helps
   * @param sentences what it comes to
   */
  public record Result(List<Judged> judged, List<Cause> causes, List<String> sentences) {
    public Result {
      judged = List.copyOf(judged);
      causes = List.copyOf(causes);
      sentences = List.copyOf(sentences);
    }

    /** Number of cuts that the map contradicts. */
    public int contradictions() {
      return (int) judged.stream().filter(j -> !j.agrees()).count();
    }
  }

  /**
   * @param process the cut whose map it is: dynamics, coefficients, tool
   * @param trials what was cut; of very many the latest count
   * @param progress told how far it is, may cancel
   */
  public static Result of(CuttingProcess process, List<Trial> trials, Progress progress) {
    List<Trial> counted =
        trials.size() > MOST_TRIALS
            ? trials.subList(trials.size() - MOST_TRIALS, trials.size())
            : trials;
    List<Judged> judged = counted.parallelStream().map(t -> judge(process, t)).toList();
    int wrong = (int) judged.stream().filter(j -> !j.agrees()).count();
    int off = (int) judged.stream().filter(j -> !j.frequencyAgrees()).count();
    List<String> sentences = new ArrayList<>();
    if (counted.size() < trials.size()) {
      sentences.add(
          "only the latest " + counted.size() + " of " + trials.size() + " cuts were counted");
    }
    if (wrong == 0 && off == 0) {
      if (!judged.isEmpty()) {
        sentences.add(
            judged.size() == 1
                ? "the cut that was made agrees with the map"
                : "all " + judged.size() + " cuts that were made agree with the map");
      }
      return new Result(judged, List.of(), sentences);
    }
    double distance =
        judged.stream()
            .filter(j -> !j.predictedStable())
            .filter(j -> Double.isFinite(j.trial().chatterHz() + j.predictedHz()))
            .mapToDouble(
                j -> cost(away(j.trial().chatterHz(), j.predictedHz(), as(process, j.trial()))))
            .sum();
    Misfit start = new Misfit(wrong, off, distance);
    List<Judged> order = new ArrayList<>(judged);
    order.sort(Comparator.comparing(j -> j.agrees() && j.frequencyAgrees()));
    List<Trial> hardestFirst = order.stream().map(Judged::trial).toList();
    List<Hypothesis> hypotheses = hypotheses(process);
    AtomicInteger done = new AtomicInteger();
    List<Cause> causes =
        new ArrayList<>(
            hypotheses.parallelStream()
                .map(
                    h -> {
                      progress.at(
                          done.getAndIncrement() / (double) hypotheses.size(),
                          "looking for what would explain the cuts");
                      return cause(h, hardestFirst, start);
                    })
                .flatMap(Optional::stream)
                .toList());
    double all = causes.stream().mapToDouble(Cause::share).sum();
    causes.replaceAll(c -> c.withShare(all > 0 ? c.share() / all : 1.0 / causes.size()));
    causes.sort(Comparator.comparingDouble(Cause::share).reversed());
    sentences.addAll(sentences(judged, causes));
    progress.at(1, "done");
    return new Result(judged, causes, sentences);
  }

  // Judging ---------------------------------------------------------------------------------------

  /**
   * @param cuts number of contradictions
   * @param frequencies number of heard frequencies that are not near the predicted ones
   * @param distance what all heard frequencies cost: the square of each one's distance in sigmas,
   *     bounded
   */
  private record Misfit(int cuts, int frequencies, double distance) {
    double cost() {
      return COST_OF_CUT * cuts + distance;
    }

    boolean isAsGoodAs(Misfit other) {
      return cuts <= other.cuts && frequencies <= other.frequencies;
    }
  }

  /** Cost of a heard frequency: at the distance that is no longer the same it reaches its bound. */
  private static double cost(double away) {
    double sigmas = Math.sqrt(COST_OF_FREQUENCY) * away / SAME_CHATTER;
    return Math.min(COST_OF_FREQUENCY, sigmas * sigmas);
  }

  private static CuttingProcess as(CuttingProcess process, Trial trial) {
    return trial
        .process()
        .withDynamics(process.x(), process.y(), process.xy())
        .with(process.coefficients())
        .withProcessDamping(process.processDampingNPerM());
  }

  private static Judged judge(CuttingProcess process, Trial trial) {
    CuttingProcess cut = as(process, trial);
    double rpm = trial.process().speedRpm();
    double depth = trial.process().engagement().axialM();
    StabilityMap map =
        Lobes.firstLimits(
            cut,
            new LobesRequest(
                StabilityMap.Over.DEPTH,
                Optional.empty(),
                List.of(rpm),
                Math.max(1.5 * depth, Lobes.defaultMaxM(cut, StabilityMap.Over.DEPTH)),
                List.of(new LobesRequest.AtPoint(rpm, depth))),
            Progress.NONE);
    StabilityMap.Point judged = map.at().get(0);
    double limitM = map.lines().isEmpty() ? Double.NaN : map.lines().get(0).limitM();
    double expectedHz = map.lines().isEmpty() ? Double.NaN : map.lines().get(0).chatterHz();
    boolean agrees = judged.stable() != trial.chattered();
    double heard = trial.chatterHz();
    boolean comparable = Double.isFinite(heard) && Double.isFinite(expectedHz) && !judged.stable();
    return new Judged(
        trial,
        judged.stable(),
        judged.growth(),
        limitM,
        expectedHz,
        agrees,
        !comparable || away(heard, expectedHz, cut) <= SAME_CHATTER);
  }

  /**
   * How far a heard frequency is from a predicted one, relatively: a sound shows a chatter
   * frequency with its side lines a tooth passing apart.
   */
  private static double away(double heardHz, double predictedHz, CuttingProcess cut) {
    double teeth = cut.tool().map(t -> t.pitchRad().size()).orElse(1);
    double passing = teeth * cut.speedRpm() / 60;
    double nearest = Double.POSITIVE_INFINITY;
    for (int k = -2; k <= 2; k++) {
      if (k == 0 || passing > 6 * SAME_CHATTER * heardHz) {
        double line = Math.abs(predictedHz + k * passing);
        nearest = Math.min(nearest, Math.abs(heardHz - line) / heardHz);
      }
    }
    return nearest;
  }

  /**
   * Misfit of a changed cut. Only single points are judged; heard frequencies cost far more and are
   * looked at only where the cuts leave that change a chance.
   *
   * @param enough cost from which on nobody wants to know more
   */
  private static Misfit misfit(
      CuttingProcess process, List<Trial> trials, Misfit start, double enough) {
    int cuts = 0;
    List<Trial> audible = new ArrayList<>();
    for (Trial trial : trials) {
      boolean stable = looked(process, trial).stable(rpm(trial), depthM(trial))[0];
      cuts += stable != trial.chattered() ? 0 : 1;
      if (!stable && Double.isFinite(trial.chatterHz())) {
        audible.add(trial);
      }
    }
    if (COST_OF_CUT * cuts >= enough) {
      return new Misfit(cuts, start.frequencies, start.distance);
    }
    int frequencies = 0;
    double distance = 0;
    for (Trial trial : audible) {
      double expectedHz = looked(process, trial).chatterHz(rpm(trial)[0]);
      if (Double.isFinite(expectedHz)) {
        double away = away(trial.chatterHz(), expectedHz, as(process, trial));
        frequencies += away <= SAME_CHATTER ? 0 : 1;
        distance += cost(away);
      }
    }
    return new Misfit(cuts, frequencies, distance);
  }

  private static QuickLook looked(CuttingProcess process, Trial trial) {
    return new QuickLook(as(process, trial), depthM(trial));
  }

  private static double[] rpm(Trial trial) {
    return new double[] {trial.process().speedRpm()};
  }

  private static double depthM(Trial trial) {
    return trial.process().engagement().axialM();
  }

  // Hypotheses ------------------------------------------------------------------------------------

  /**
   * One input that may be off.
   *
   * @param sigma one sigma of the logarithm of its factor
   * @param of where that sigma comes from
   * @param most largest logarithm of its factor that is plausible
   * @param changed the cut with the factor's logarithm
   */
  private record Hypothesis(
      Kind kind,
      String what,
      double frequencyHz,
      double sigma,
      String of,
      double most,
      DoubleFunction<CuttingProcess> changed) {}

  private static List<Hypothesis> hypotheses(CuttingProcess process) {
    List<Hypothesis> all = new ArrayList<>();
    List<Mode> modes = new ArrayList<>();
    addModes(process, process.x(), "x", all, modes);
    addModes(process, process.y(), "y", all, modes);
    if (modes.size() > 1) {
      // what moves all alike is no surer than what moves one
      double own =
          all.stream()
              .mapToDouble(h -> Math.log(h.sigma))
              .average()
              .orElse(Math.log(FREQUENCY_SIGMA));
      all.add(
          new Hypothesis(
              Kind.ALL_FREQUENCIES,
              "the natural frequencies of all modes",
              Double.NaN,
              Math.exp(own),
              "as for one mode by itself",
              Math.log1p(MOST_SHIFT),
              log -> shifted(process, null, "", Math.exp(log))));
    }
    CuttingCoefficients c = process.coefficients();
    double range = c.relativeRange();
    double sigma = range > 0 ? Math.log1p(range) / Math.sqrt(3) : COEFFICIENT_SIGMA;
    all.add(
        new Hypothesis(
            Kind.COEFFICIENTS,
            "the cutting coefficients",
            Double.NaN,
            Math.max(0.02, sigma),
            range > 0
                ? "from the range stated for the material"
                : String.format(
                    Locale.ROOT,
                    "%.0f %%, by which sources differ, since no range is stated",
                    100 * COEFFICIENT_SIGMA),
            Math.log(MOST_FACTOR),
            log -> process.with(times(c, Math.exp(log)))));
    return all;
  }

  private static CuttingCoefficients times(CuttingCoefficients c, double factor) {
    return new CuttingCoefficients(
        factor * c.ktcPa(),
        factor * c.krcPa(),
        factor * c.kteNPerM(),
        factor * c.kreNPerM(),
        c.relativeRange());
  }

  private static void addModes(
      CuttingProcess process,
      List<Receptance> direction,
      String axis,
      List<Hypothesis> all,
      List<Mode> modes) {
    for (Receptance one : direction) {
      for (Mode mode : modes(one)) {
        modes.add(mode);
        double own = mode.frequencyHzSigma() / mode.frequencyHz();
        double sigma =
            Double.isNaN(own)
                ? FREQUENCY_SIGMA
                : Math.min(MOST_FREQUENCY_SIGMA, Math.max(LEAST_FREQUENCY_SIGMA, own));
        all.add(
            new Hypothesis(
                Kind.MODE_FREQUENCY,
                String.format(
                    Locale.ROOT,
                    "the natural frequency of the mode at %.4g Hz in %s",
                    mode.frequencyHz(),
                    axis),
                mode.frequencyHz(),
                sigma,
                ofMode(own, sigma),
                Math.log1p(MOST_SHIFT),
                log -> shifted(process, mode, axis, Math.exp(log))));
      }
    }
  }

  private static String ofMode(double own, double sigma) {
    if (Double.isNaN(own)) {
      return String.format(Locale.ROOT, "%.2g %%, assumed where none is given", 100 * sigma);
    }
    return own < sigma
        ? String.format(
            Locale.ROOT,
            "%.2g %%, the least that counts for a mode, since no fit knows of warmth, turning and"
                + " the next clamping",
            100 * sigma)
        : own > sigma
            ? String.format(Locale.ROOT, "%.2g %%, the most that counts for a mode", 100 * sigma)
            : "the mode's own";
  }

  private static List<Mode> modes(Receptance one) {
    if (one instanceof Mode mode) {
      return List.of(mode);
    } else if (one instanceof ModalModel model) {
      return model.modes();
    } else if (one instanceof ModeTable table) {
      return table.rows().get(0).model().modes();
    }
    return List.of();
  }

  /**
   * The cut with a mode, or all, at another frequency.
   *
   * @param only the mode; null for all
   * @param axis its direction
   */
  private static CuttingProcess shifted(
      CuttingProcess process, Mode only, String axis, double factor) {
    return process.withDynamics(
        only == null || axis.equals("x") ? shifted(process.x(), only, factor) : process.x(),
        only == null || axis.equals("y") ? shifted(process.y(), only, factor) : process.y(),
        shifted(process.xy(), only, factor));
  }

  private static List<Receptance> shifted(List<Receptance> direction, Mode only, double factor) {
    return direction.stream().map(r -> shifted(r, only, factor)).toList();
  }

  private static Receptance shifted(Receptance one, Mode only, double factor) {
    if (one instanceof Mode mode) {
      return shifted(mode, only, factor);
    } else if (one instanceof OppositeMode opposite) {
      return new OppositeMode(shifted(opposite.mode(), only, factor));
    } else if (one instanceof ModalModel model) {
      return shifted(model, only, factor);
    } else if (one instanceof ModeTable table) {
      List<Mode> first = table.rows().get(0).model().modes();
      int which = only == null ? -1 : first.indexOf(only);
      List<ModeTable.Row> rows = new ArrayList<>();
      for (ModeTable.Row row : table.rows()) {
        Mode here = only == null ? null : which < 0 ? only : row.model().modes().get(which);
        rows.add(new ModeTable.Row(row.speedRpm(), shifted(row.model(), here, factor)));
      }
      return new ModeTable(rows);
    }
    return one;
  }

  private static ModalModel shifted(ModalModel model, Mode only, double factor) {
    return new ModalModel(
        model.modes().stream().map(m -> shifted(m, only, factor)).toList(), model.residual());
  }

  private static Mode shifted(Mode mode, Mode only, double factor) {
    if (only != null && !same(mode, only)) {
      return mode;
    }
    return new Mode(
        factor * mode.frequencyHz(),
        mode.dampingRatio(),
        mode.stiffnessNPerM(),
        mode.frequencyHzSigma(),
        mode.dampingRatioSigma(),
        mode.stiffnessNPerMSigma(),
        mode.phaseDeg());
  }

  /** In a cross receptance a mode has another stiffness, but is the same mode. */
  private static boolean same(Mode a, Mode b) {
    return Math.abs(a.frequencyHz() - b.frequencyHz()) <= 1e-9 * b.frequencyHz()
        && Math.abs(a.dampingRatio() - b.dampingRatio()) <= 1e-9 * b.dampingRatio();
  }

  // Search ----------------------------------------------------------------------------------------

  /** The cheapest change of an input, if it is cheaper than leaving things unexplained. */
  private static Optional<Cause> cause(Hypothesis h, List<Trial> trials, Misfit start) {
    double most = Math.min(h.most, MOST_SIGMAS * h.sigma);
    double step = most / STEPS;
    Misfit[] misfits = new Misfit[2 * STEPS + 1];
    misfits[STEPS] = start;
    int best = STEPS;
    double cheapest = start.cost();
    double evidence = 0;
    for (int k = 0; k <= 2 * STEPS; k++) {
      double sigmas = (k - STEPS) * step / h.sigma;
      double own = sigmas * sigmas;
      if (misfits[k] == null) {
        misfits[k] = misfit(h.changed.apply((k - STEPS) * step), trials, start, start.cost());
      }
      double cost = own + misfits[k].cost();
      // of changes of the same cost the smaller one
      if (cost < cheapest) {
        cheapest = cost;
        best = k;
      }
      evidence += step / h.sigma * Math.exp(-cost / 2);
    }
    // between two steps there may be changes that suit more cuts than both
    Window narrow = null;
    List<boolean[]> stable = new ArrayList<>();
    for (int k = 0; k <= 2 * STEPS; k++) {
      stable.add(stable(h.changed.apply((k - STEPS) * step), trials));
    }
    for (int k = 0; k < 2 * STEPS; k++) {
      double from = (k - STEPS) * step;
      List<Window> windows =
          windows(h, trials, start, from, from + step, stable.get(k), stable.get(k + 1));
      for (Window w : windows) {
        double sigmas = w.nearest() / h.sigma;
        double cost = sigmas * sigmas + w.misfit.cost();
        evidence += (w.to - w.from) / h.sigma * Math.exp(-cost / 2);
        boolean better = w.misfit.cuts < Math.min(misfits[k].cuts, misfits[k + 1].cuts);
        if (better && cost < cheapest) {
          cheapest = cost;
          narrow = w;
        }
      }
      if (!windows.isEmpty()) {
        for (int end = k; end <= k + 1; end++) {
          double sigmas = (end - STEPS) * step / h.sigma;
          double cost = sigmas * sigmas + misfits[end].cost();
          // the part of the step that the windows stand for
          evidence -= share(windows, from, step) * step / h.sigma / 2 * Math.exp(-cost / 2);
        }
      }
    }
    if (best == STEPS && narrow == null) {
      return Optional.empty();
    }
    Misfit reached = misfits[best];
    if (narrow != null) {
      return Optional.of(narrow.cause(h, start, evidence));
    }
    double sign = Math.signum(best - STEPS);
    double high = Math.abs(best - STEPS) * step;
    double low = high - step;
    for (int i = 0; i < REFINEMENTS; i++) {
      double middle = (low + high) / 2;
      Misfit m = misfit(h.changed.apply(sign * middle), trials, start, start.cost());
      if (m.isAsGoodAs(reached)) {
        high = middle;
      } else {
        low = middle;
      }
    }
    int end = best;
    while (end + (int) sign >= 0
        && end + (int) sign <= 2 * STEPS
        && misfits[end + (int) sign].isAsGoodAs(reached)) {
      end += (int) sign;
    }
    double farthest = Math.max(high, Math.abs(end - STEPS) * step);
    double sigmas = high / h.sigma;
    int explained = start.cuts - reached.cuts;
    double factor = Math.exp(sign * high);
    double to = Math.exp(sign * farthest);
    return Optional.of(
        new Cause(
            h.kind,
            h.what,
            h.frequencyHz,
            factor,
            to,
            sigmas,
            explained,
            reached.cuts,
            reached.frequencies,
            evidence / Math.sqrt(2 * Math.PI),
            sentence(h, factor, to, farthest >= most * (1 - 1e-9), sigmas, explained, reached)));
  }

  /**
   * Changes between two steps for which every cut is judged alike.
   *
   * @param from lower end of the logarithm of the factor
   * @param to upper end
   * @param misfit what is left there
   */
  private record Window(double from, double to, Misfit misfit) {

    /** The smallest change well inside. */
    double nearest() {
      double inside = 0.02 * (to - from);
      return from >= 0 ? from + inside : to - inside;
    }

    double farthest() {
      double inside = 0.02 * (to - from);
      return from >= 0 ? to - inside : from + inside;
    }

    Cause cause(Hypothesis h, Misfit start, double evidence) {
      double sigmas = Math.abs(nearest()) / h.sigma;
      double factor = Math.exp(nearest());
      double farthest = Math.exp(farthest());
      int explained = start.cuts - misfit.cuts;
      return new Cause(
          h.kind,
          h.what,
          h.frequencyHz,
          factor,
          farthest,
          sigmas,
          explained,
          misfit.cuts,
          misfit.frequencies,
          Math.max(0, evidence) / Math.sqrt(2 * Math.PI),
          sentence(h, factor, farthest, false, sigmas, explained, misfit));
    }
  }

  private static double share(List<Window> windows, double from, double step) {
    double all = 0;
    for (Window w : windows) {
      all += Math.min(w.to, from + step) - Math.max(w.from, from);
    }
    return all / step;
  }

  /**
   * Where two or more cuts change sides between two steps: the stretches between their borders,
   * each border by bisection.
   */
  private static List<Window> windows(
      Hypothesis h,
      List<Trial> trials,
      Misfit start,
      double from,
      double to,
      boolean[] low,
      boolean[] high) {
    List<Integer> changing =
        IntStream.range(0, trials.size()).filter(i -> low[i] != high[i]).boxed().toList();
    if (changing.size() < 2) {
      return List.of();
    }
    List<Double> borders = new ArrayList<>();
    for (int changes : changing) {
      Trial trial = trials.get(changes);
      boolean there = low[changes];
      double left = from;
      double right = to;
      for (int i = 0; i < BISECTIONS; i++) {
        double middle = (left + right) / 2;
        if (isStable(h.changed.apply(middle), trial) == there) {
          left = middle;
        } else {
          right = middle;
        }
      }
      borders.add((left + right) / 2);
    }
    Collections.sort(borders);
    List<Window> windows = new ArrayList<>();
    for (int i = 1; i < borders.size(); i++) {
      double a = borders.get(i - 1);
      double b = borders.get(i);
      // what is narrower than the borders are known is none
      if (b - a > 8 * Math.scalb(to - from, -BISECTIONS)) {
        windows.add(
            new Window(a, b, misfit(h.changed.apply((a + b) / 2), trials, start, start.cost())));
      }
    }
    return windows;
  }

  private static boolean[] stable(CuttingProcess process, List<Trial> trials) {
    boolean[] stable = new boolean[trials.size()];
    for (int i = 0; i < stable.length; i++) {
      stable[i] = isStable(process, trials.get(i));
    }
    return stable;
  }

  private static boolean isStable(CuttingProcess process, Trial trial) {
    return looked(process, trial).stable(rpm(trial), depthM(trial))[0];
  }

  private static String sentence(
      Hypothesis h,
      double factor,
      double to,
      boolean atEnd,
      double sigmas,
      int explained,
      Misfit reached) {
    String change;
    if (h.kind == Kind.COEFFICIENTS) {
      change =
          String.format(
              Locale.ROOT,
              "%.2f times as large%s",
              factor,
              range("%.2f times", factor, to, 0.02, atEnd));
    } else {
      change =
          String.format(
              Locale.ROOT,
              "%.2g %% %s%s%s",
              100 * Math.abs(factor - 1),
              factor > 1 ? "higher" : "lower",
              Double.isNaN(h.frequencyHz)
                  ? ""
                  : String.format(Locale.ROOT, " (%.4g Hz)", factor * h.frequencyHz),
              range("%+.2g %%", 100 * (factor - 1), 100 * (to - 1), 0.2, atEnd));
    }
    String does =
        reached.cuts == 0
            ? reached.frequencies == 0
                ? "would bring the map into line with all cuts"
                : "would bring the map into line with what chattered, not with the frequency heard"
            : explained > 0
                ? "would explain "
                    + explained
                    + " of the "
                    + (explained + reached.cuts)
                    + " contradictions"
                : "would explain the frequency heard";
    return h.what
        + " "
        + change
        + " "
        + does
        + String.format(Locale.ROOT, "; that is %.1f sigma (one sigma: %s)", sigmas, h.of)
        + (sigmas < 2
            ? ""
            : sigmas < 4
                ? ", which is unlikely by itself"
                : ", which is hardly possible by itself");
  }

  private static String range(String format, double from, double to, double least, boolean atEnd) {
    if (Math.abs(to - from) < least) {
      return "";
    }
    return atEnd
        ? String.format(
            Locale.ROOT,
            ", and anything %s to " + format + ", the end of the search,",
            to < from ? "down" : "up",
            to)
        : String.format(Locale.ROOT, ", or as far as " + format + ",", to);
  }

  private static List<String> sentences(List<Judged> judged, List<Cause> causes) {
    List<String> all = new ArrayList<>();
    for (Judged j : judged) {
      if (!j.agrees()) {
        all.add(
            j.trial().name()
                + (j.trial().chattered()
                    ? " chattered, but the map calls it stable"
                    : " was quiet, but the map calls it unstable"));
      } else if (!j.frequencyAgrees()) {
        all.add(
            String.format(
                Locale.ROOT,
                "%s chattered at %.4g Hz, but the map expects %.4g Hz",
                j.trial().name(),
                j.trial().chatterHz(),
                j.predictedHz()));
      }
    }
    if (causes.isEmpty()) {
      all.add(
          "no plausible change of one mode's frequency or of the cutting coefficients explains"
              + " that; look at the clamping, the edge, the speed and the depth that was really cut");
      return Collections.unmodifiableList(all);
    }
    List<Cause> good =
        causes.stream().filter(c -> AS_GOOD * c.share() > causes.get(0).share()).toList();
    if (good.size() == 1) {
      all.add("most likely: " + causes.get(0).sentence());
      if (causes.size() > 1) {
        all.add("or else: " + causes.get(1).sentence());
      }
    } else {
      for (int i = 0; i < good.size(); i++) {
        all.add(
            String.format(
                Locale.ROOT,
                "%s (%.0f of 100): %s",
                i == 0 ? "these explain it about equally well" : "or",
                100 * good.get(i).share(),
                good.get(i).sentence()));
      }
      all.add("a cut where these explanations differ would tell them apart");
    }
    if (causes.get(0).sigmas() > 3 || causes.get(0).left() > 0) {
      all.add(
          "no single change explains it well: look at the clamping, the edge, the speed and the"
              + " depth that was really cut");
    }
    return Collections.unmodifiableList(all);
  }
}
