package ringtrue.planning;

import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;
import ringtrue.dynamics.Progress;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.Engagement.Direction;
import ringtrue.stability.InputSpread;
import ringtrue.stability.MovedModes;
import ringtrue.stability.StabilityMap;
import ringtrue.stability.Tool;

/**
 * Judges a cut by every limit that it meets (chatter, power, torque, feed rate, chip thickness,
 * tool bending, deflection, error of the wall, force on the work) and looks for better ones inside
 * all of them.
 *
 * <p>Engagement is advice: fewer than one tooth in the cut is usual in light milling, so its limit
 * is 0 and it never spoils a verdict. So are peaks of power and torque where nobody says what the
 * inertia of the spindle is.
 */
public final class CutPlanner {

  /** Below this margin to the chatter limit the plan says that there is little room. */
  private static final double SMALL_MARGIN = 0.15;

  /** How the lobes say that their numbers are as exact as they should be. */
  private static final String SETTLED = "more nodes moved no border";

  /** Cuts drawn for the chance of being stable. */
  private static final int SAMPLES = 100;

  private static final long SEED = 1;

  /** Speeds in the band at which the wall is looked at. */
  private static final int WALL_SPEEDS = 13;

  /** A quieter speed for the wall is looked for so far away. */
  private static final double WALL_REACH = 0.15;

  private CutPlanner() {}

  /**
   * Judges by the stability lobes.
   *
   * @param cut the cut
   * @param machine what the machine can do
   * @param settings cutter material, tolerances, reserve, units of the sentences
   * @param progress told how far it is, may cancel
   * @return limits, better cuts, cautions and remarks
   */
  public static CutPlan plan(
      CuttingProcess cut, Machine machine, PlanSettings settings, Progress progress) {
    return plan(cut, machine, settings, StabilityJudge.lobes(), progress);
  }

  /**
   * Judges by another judge of stability.
   *
   * @param judge who says up to which depth a cut is stable
   */
  public static CutPlan plan(
      CuttingProcess cut,
      Machine machine,
      PlanSettings settings,
      StabilityJudge judge,
      Progress progress) {
    Words words = new Words(settings.inches());
    Reserve reserve = settings.reserve();
    CutLimits rules = new CutLimits(machine, settings);
    Optional<CuttingForces> forces = CutLimits.forces(cut, 720);
    List<CutPlan.Limit> limits = new ArrayList<>();
    Set<String> remarks = new LinkedHashSet<>();
    boolean judged = judgeable(cut);
    double deepest = judged ? deepestM(cut) : cut.engagement().axialM();
    boolean thin = false;
    double ownLimit = Double.NaN;
    double chance = Double.NaN;
    InputSpread spread = spread(cut, machine, settings);
    if (judged) {
      Chatter chatter = new Chatter(cut, judge, deepest, words, reserve, progress);
      chance = chance(cut, judge, spread);
      limits.add(chatter.withChance(chance, spread));
      thin = chatter.thin;
      ownLimit = chatter.limit.limit();
      chatter.remarks.stream().filter(r -> !r.startsWith(SETTLED)).forEach(remarks::add);
    } else {
      remarks.add(
          "chatter was not judged: nothing gives in \"dynamics\"; tap the tool and give its modes"
              + " or its frequency response");
    }
    rules.checks(cut, forces).forEach(check -> limits.add(check.shown()));
    remarks.addAll(rules.remarks(cut));
    if (Double.isNaN(settings.holdingForceN())) {
      forces.ifPresent(
          f ->
              remarks.add(
                  "the work is pushed sideways with up to "
                      + Words.force(f.peakResultantN())
                      + "; give \"holdingForce\" to have that judged"));
    }
    Optional<CutPlan.Wall> wall = wall(cut, machine, settings, judge, forces, judged);
    wall.ifPresent(w -> remark(w, words, reserve).ifPresent(remarks::add));
    boolean inside =
        limits.stream().allMatch(l -> l.ok() || l.advice()) && machine.reaches(cut.speedRpm());
    Progress rest = (done, what) -> progress.at(0.1 + 0.85 * done, what);
    CutSearch.Result found =
        new CutSearch(cut, machine, rules, judge, reserve, words, deepest, judged, spread, rest)
            .look(inside, thin || chance < CutPlan.LEAST_CHANCE);
    List<CutPlan.Suggestion> suggestions = found.suggestions();
    if (suggestions.isEmpty() && !inside && judged) {
      Optional<CuttingProcess> light = lightCut(cut, machine, settings);
      if (light.isPresent()) {
        suggestions =
            new CutSearch(
                    light.get(),
                    machine,
                    rules,
                    judge,
                    reserve,
                    words,
                    deepest,
                    true,
                    spread,
                    (done, what) -> progress.at(0.95, what))
                .look(false, false)
                .suggestions();
        if (!suggestions.isEmpty()) {
          remarks.add(
              "no small change mends this cut: the cuts offered were looked for around a light one of"
                  + " a tenth of the diameter in width");
        }
      }
    }
    if (!suggestions.isEmpty()) {
      remarks.add(offered(reserve, judged, !Double.isNaN(chance)));
    }
    progress.at(0.97, "the gentlest change");
    CutPlan.Gentlest gentlest =
        judged
            ? gentlest(cut, rules, judge, words, found, deepest, ownLimit)
            : CutPlan.Gentlest.NONE;
    CutPlan.Verdict verdict =
        inside
            ? chance < CutPlan.LEAST_CHANCE ? CutPlan.Verdict.CARE : CutPlan.Verdict.GO
            : suggestions.isEmpty() ? CutPlan.Verdict.STOP : CutPlan.Verdict.CHANGE;
    progress.at(1, "planned");
    return new CutPlan(
        verdict,
        limits,
        suggestions,
        Cautions.of(cut, limits, suggestions, settings),
        List.copyOf(remarks),
        gentlest,
        wall,
        reserve,
        List.of());
  }

  /**
   * Every limit but chatter, for a cut that is being moved about: much quicker than a plan, with
   * the same numbers.
   *
   * @param cut the cut
   * @param machine what the machine can do
   * @param settings cutter material, tolerances, units of the sentences
   * @return limits in the order of the plan
   */
  public static List<CutPlan.Limit> limitsBesideChatter(
      CuttingProcess cut, Machine machine, PlanSettings settings) {
    return new CutLimits(machine, settings)
        .checks(cut, CutLimits.forces(cut, 720)).stream().map(CutLimits.Check::shown).toList();
  }

  /** Whether anything gives, so that chatter can be judged. */
  static boolean judgeable(CuttingProcess cut) {
    return !(cut.x().isEmpty() && cut.y().isEmpty());
  }

  private static String offered(Reserve reserve, boolean judged, boolean drawn) {
    String others = " to 90 % of every other limit (the same cut at another speed: 100 %)";
    if (!judged) {
      return "the cuts offered keep" + others;
    }
    return String.format(
        Locale.ROOT,
        "the cuts offered keep to %.0f %% of the least chatter limit within %s of their speed,"
            + " stay stable there with every mode off by %s of its own sigmas (corners tried, not"
            + " all of them),%s and%s",
        100 * CutSearch.DEPTH_SHARE,
        Words.finePercent(reserve.speedBand()),
        Words.few(reserve.sigmas()),
        drawn
            ? String.format(
                Locale.ROOT,
                " are stable in %.0f of 100 draws inside the stated uncertainties or more,",
                100 * CutPlan.LEAST_CHANCE)
            : "",
        others);
  }

  private static InputSpread spread(CuttingProcess cut, Machine machine, PlanSettings settings) {
    InputSpread spread = InputSpread.of(cut);
    return settings.speedShiftSigma() > 0 && machine.maxSpeedRpm() > 0
        ? spread.withShift(settings.speedShiftSigma(), machine.maxSpeedRpm())
        : spread;
  }

  /** The chance is said where a mode or the shift with speed has a sigma. */
  static double chance(CuttingProcess cut, StabilityJudge judge, InputSpread spread) {
    CuttingProcess searched = judge.searched(cut);
    boolean known = spread.shiftSigma() > 0 || !new MovedModes(searched).quantities().isEmpty();
    return known ? judge.chance(searched, spread, SAMPLES, SEED) : Double.NaN;
  }

  // ---- the wall -----------------------------------------------------------------------------

  private static Optional<CutPlan.Wall> wall(
      CuttingProcess cut,
      Machine machine,
      PlanSettings settings,
      StabilityJudge judge,
      Optional<CuttingForces> forces,
      boolean judged) {
    if (forces.isEmpty() || !CutLimits.gives(cut)) {
      return Optional.empty();
    }
    WallError error = forces.get().wall();
    Optional<WallError.Wall> here = error.at(cut);
    if (here.isEmpty()) {
      return Optional.empty();
    }
    double rpm = cut.speedRpm();
    double band = settings.reserve().speedBand();
    double[] swing = swing(error, cut, rpm, band);
    double most = Math.max(Math.abs(swing[0]), Math.abs(swing[1]));
    double quiet = Double.NaN;
    if (most > 0.5 * settings.wallToleranceM()
        || swing[1] - swing[0] > 0.2 * settings.wallToleranceM()) {
      quiet = quiet(error, cut, machine, judge, band, most, judged);
    }
    WallError.Wall w = here.get();
    return Optional.of(
        new CutPlan.Wall(w.errorM(), w.lowM(), w.highM(), w.side(), swing[0], swing[1], quiet));
  }

  /** Least and most of the wall's error around a speed. */
  private static double[] swing(WallError error, CuttingProcess cut, double rpm, double band) {
    double low = Double.POSITIVE_INFINITY;
    double high = Double.NEGATIVE_INFINITY;
    for (int i = 0; i < WALL_SPEEDS; i++) {
      double part = 2.0 * i / (WALL_SPEEDS - 1) - 1;
      WallError.Wall w = error.at(cut.atSpeed(rpm * (1 + band * part))).orElseThrow();
      low = Math.min(low, w.errorM());
      high = Math.max(high, w.errorM());
    }
    return new double[] {low, high};
  }

  /** The nearest stable speed at which the error stays below half of what it is here. */
  private static double quiet(
      WallError error,
      CuttingProcess cut,
      Machine machine,
      StabilityJudge judge,
      double band,
      double most,
      boolean judged) {
    double rpm = cut.speedRpm();
    double step = rpm < 5000 ? 10 : 50;
    for (int k = 1; k * 0.005 <= WALL_REACH; k++) {
      for (int sign : new int[] {1, -1}) {
        double other = step * Math.round(rpm * (1 + sign * k * 0.005) / step);
        if (!(other > 0) || !machine.reaches(other)) {
          continue;
        }
        double[] swing = swing(error, cut, other, band);
        if (Math.max(Math.abs(swing[0]), Math.abs(swing[1])) > 0.5 * most) {
          continue;
        }
        double[] speeds = {other};
        double axial = cut.engagement().axialM();
        if (!judged || judge.firstLimitsM(judge.searched(cut), speeds, axial)[0] >= axial) {
          return other;
        }
      }
    }
    return Double.NaN;
  }

  private static Optional<String> remark(CutPlan.Wall w, Words words, Reserve reserve) {
    double most = Math.max(Math.abs(w.swingLowM()), Math.abs(w.swingHighM()));
    boolean swings = w.swingHighM() - w.swingLowM() > Math.max(2e-6, 0.5 * most);
    if (Double.isNaN(w.quietRpm()) && !swings) {
      return Optional.empty();
    }
    return Optional.of(
        (swings
                ? "a tooth passes near a resonance: within "
                    + Words.finePercent(reserve.speedBand())
                    + " of this speed the wall swings from "
                    + words.signed(w.swingLowM())
                    + " to "
                    + words.signed(w.swingHighM())
                    + " (plus is too thick)"
                : "the wall is off by up to " + words.small(most))
            + (Double.isNaN(w.quietRpm())
                ? "; a finishing cut belongs at another speed"
                : "; for finishing, "
                    + Words.speed(w.quietRpm())
                    + " leaves less than half of that"));
  }

  // ---- the gentlest change ------------------------------------------------------------------

  private static CutPlan.Gentlest gentlest(
      CuttingProcess cut,
      CutLimits rules,
      StabilityJudge judge,
      Words words,
      CutSearch.Result found,
      double deepest,
      double ownLimit) {
    double flutes = cut.tool().map(Tool::fluteLengthM).orElse(Double.NaN);
    double end = deepest / CutSearch.DEPTH_SHARE;
    List<CutPlan.Change> changes =
        new OtherChanges(cut, rules, judge, words, flutes < end ? flutes : end, ownLimit).all();
    List<String> said = new ArrayList<>();
    if (found.carries()) {
      said.add("no change is needed: this speed carries the cut with its reserve");
    } else {
      said.add(speed(found.slower(), "slower"));
      said.add(speed(found.faster(), "faster"));
    }
    width(changes, CutLimits.widthM(cut)).ifPresent(said::add);
    changes.stream()
        .filter(c -> !c.change().equals("width") && c.helps())
        .forEach(c -> said.add("it helps: " + c.because()));
    return new CutPlan.Gentlest(found.slower(), found.faster(), changes, said);
  }

  private static String speed(Optional<CutPlan.SpeedStep> step, String which) {
    return step.map(
            s ->
                "the nearest "
                    + which
                    + " speed that carries this cut with its reserve is "
                    + Words.speed(s.speedRpm())
                    + (Double.isNaN(s.margin())
                        ? ""
                        : s.margin() == 0
                            ? ", no chatter down to its depth"
                            : ", its limit there " + Words.percent(s.margin()) + " above the depth")
                    + (s.because().contains("narrow")
                        ? " (keep it within " + Words.finePercent(s.speedBand()) + ")"
                        : ""))
        .orElse("no " + which + " speed near by carries this cut with its reserve");
  }

  private static Optional<String> width(List<CutPlan.Change> changes, double own) {
    List<CutPlan.Change> wider =
        changes.stream().filter(c -> c.change().equals("width") && c.to() > own).toList();
    if (wider.isEmpty()) {
      return Optional.empty();
    }
    return wider.stream()
        .filter(CutPlan.Change::helps)
        .findFirst()
        .map(c -> Optional.of("more width helps: " + c.because()))
        .orElse(Optional.of("more width does not help: " + wider.get(0).because()));
  }

  /**
   * Where to look when nothing near the cut itself is inside all limits: a light climb or up cut.
   */
  private static Optional<CuttingProcess> lightCut(
      CuttingProcess cut, Machine machine, PlanSettings settings) {
    if (cut.tool().isEmpty() || cut.engagement().direction() == Direction.ANGLES) {
      return Optional.empty();
    }
    double diameter = cut.tool().get().diameterM();
    double chip = settings.largestChipM(diameter, cut.coefficients().ktcPa());
    double rpm = cut.speedRpm();
    if (rpm > machine.maxSpeedRpm()) {
      rpm = machine.maxSpeedRpm();
    } else if (rpm < machine.minSpeedRpm()) {
      rpm = machine.minSpeedRpm();
    }
    double radial = Math.min(CutLimits.widthM(cut), 0.1 * diameter);
    double axial = Math.min(cut.engagement().axialM(), 0.5 * diameter);
    return Optional.of(
        cut.with(cut.engagement().withRadial(radial, diameter).withAxial(axial))
            .atSpeed(rpm)
            .withFeedPerTooth(Math.min(cut.feedPerToothM(), 0.5 * chip)));
  }

  /**
   * Deepest cut to offer: a share of the flutes' length, so that the margin to it is as wide as to
   * chatter, else twice the diameter; the cut's own depth may be kept if the flutes reach.
   */
  static double deepestM(CuttingProcess cut) {
    double axial = cut.engagement().axialM();
    if (cut.tool().isEmpty()) {
      return 4 * axial;
    }
    Tool tool = cut.tool().get();
    double flutes = tool.fluteLengthM();
    return Double.isNaN(flutes)
        ? Math.max(axial, 2 * tool.diameterM())
        : Math.max(CutSearch.DEPTH_SHARE * flutes, Math.min(axial, flutes));
  }

  /** The chatter limit of the cut as it is. */
  private static final class Chatter {
    final CutPlan.Limit limit;
    final boolean thin;
    final List<String> remarks;

    Chatter(
        CuttingProcess cut,
        StabilityJudge judge,
        double deepestM,
        Words words,
        Reserve reserve,
        Progress progress) {
      double rpm = cut.speedRpm();
      double axial = cut.engagement().axialM();
      double band = reserve.speedBand();
      List<Double> speeds =
          band == 0 ? List.of(rpm) : List.of(rpm * (1 - band), rpm, rpm * (1 + band));
      double to = Math.max(2 * axial, deepestM / CutSearch.DEPTH_SHARE);
      StabilityMap map =
          judge.firstLimits(cut, speeds, to, (done, what) -> progress.at(0.06 * done, what));
      StabilityMap.Line line = map.lines().get(speeds.size() / 2);
      if (axial > line.limitM()) {
        // a stable stretch above the first limit is worth a name
        StabilityMap all =
            judge.limits(
                cut, List.of(rpm), to, (done, what) -> progress.at(0.06 + 0.02 * done, what));
        line = all.lines().get(0);
      }
      double margin = line.limitM() / axial - 1;
      boolean ok = axial <= line.limitM();
      boolean edge = ok && map.lines().stream().anyMatch(l -> axial > l.limitM());
      thin = ok && (margin < SMALL_MARGIN || edge);
      remarks = map.remarks();
      limit = limit(line, map, axial, words, edge, band);
    }

    /** The limit with the chance of being stable. */
    CutPlan.Limit withChance(double chance, InputSpread spread) {
      if (Double.isNaN(chance)) {
        return limit;
      }
      String with =
          String.format(
              Locale.ROOT,
              "; drawn inside the stated uncertainties%s, %.0f of 100 such cuts are stable",
              spread.coefficientRange() > 0 ? " of modes and cutting forces" : " of the modes",
              100 * chance);
      return new CutPlan.Limit(
          limit.name(),
          limit.value(),
          limit.limit(),
          limit.unit(),
          limit.ok(),
          limit.because() + with,
          limit.share(),
          limit.advice(),
          chance);
    }

    static CutPlan.Limit limit(
        StabilityMap.Line line,
        StabilityMap map,
        double axial,
        Words words,
        boolean edge,
        double band) {
      return new CutPlan.Limit(
          "chatter",
          axial,
          line.limitM(),
          "m",
          axial <= line.limitM(),
          because(line, map, axial, words, edge, Words.finePercent(band)));
    }

    private static String because(
        StabilityMap.Line line,
        StabilityMap map,
        double axial,
        Words words,
        boolean edge,
        String band) {
      boolean none = line.loss() == StabilityMap.Loss.NONE;
      String depth = "the depth of " + words.length(axial);
      String limit = words.length(line.limitM()) + " at " + Words.speed(line.speedRpm());
      if (axial > line.limitM()) {
        if (none) {
          return depth
              + " is more than "
              + words.length(map.maxM())
              + ", the end of the search (the flutes are no longer)";
        }
        Optional<StabilityMap.Interval> island =
            line.stable().stream()
                .filter(s -> s.fromM() > line.limitM() && s.fromM() <= axial && axial <= s.toM())
                .findFirst();
        String tone =
            line.chatterHz() > 0
                ? String.format(Locale.ROOT, ", expect a tone near %.0f Hz", line.chatterHz())
                : "";
        return island
            .map(
                s ->
                    depth
                        + " lies in a stable stretch from "
                        + words.length(s.fromM())
                        + " to "
                        + words.length(s.toM())
                        + ", but the way there leads through chatter above "
                        + limit)
            .orElse(depth + " is above the chatter limit of " + limit + tone);
      }
      if (none) {
        return "no chatter found down to "
            + limit
            + (edge ? ", but a speed " + band + " off would chatter" : "");
      }
      double margin = line.limitM() / axial - 1;
      double below = 1 - axial / line.limitM();
      String room =
          margin < SMALL_MARGIN
              ? ", only " + Words.percent(below) + " below the limit: little room for error"
              : ", " + Words.percent(below) + " below the limit";
      return "the depth is "
          + words.length(axial)
          + room
          + " of "
          + limit
          + (edge ? "; a speed " + band + " off would chatter" : "");
    }
  }

  /**
   * The chatter limit alone, for cuts that are judged by the hundred.
   *
   * @param limitM what a quick look found, m
   * @param endM where it stopped looking, m
   */
  static CutPlan.Limit quickChatter(CuttingProcess cut, double limitM, double endM, Words words) {
    double axial = cut.engagement().axialM();
    boolean none = limitM >= endM * (1 - 1e-9);
    return new CutPlan.Limit(
        "chatter",
        axial,
        limitM,
        "m",
        axial <= limitM,
        none
            ? "no chatter found down to " + words.length(limitM)
            : "the chatter limit is " + words.length(limitM));
  }
}
