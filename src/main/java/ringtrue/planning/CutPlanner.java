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
import ringtrue.stability.StabilityMap;
import ringtrue.stability.Tool;

/**
 * Judges a cut by every limit that it meets (chatter, power, torque, feed rate, chip thickness,
 * tool bending, deflection) and looks for better ones inside all of them.
 *
 * <p>Engagement is advice: fewer than one tooth in the cut is usual in light milling, so its limit
 * is 0 and it never spoils a verdict.
 */
public final class CutPlanner {

  /** Below this margin to the chatter limit the plan says that there is little room. */
  private static final double SMALL_MARGIN = 0.15;

  private CutPlanner() {}

  /**
   * Judges by the stability lobes.
   *
   * @param cut the cut
   * @param machine what the machine can do
   * @param settings cutter material, tolerances, units of the sentences
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
    CutLimits rules = new CutLimits(machine, settings);
    Optional<CuttingForces> forces = CutLimits.forces(cut, 720);
    List<CutPlan.Limit> limits = new ArrayList<>();
    Set<String> remarks = new LinkedHashSet<>();
    boolean judged = !(cut.x().isEmpty() && cut.y().isEmpty());
    double deepest = judged ? deepestM(cut) : cut.engagement().axialM();
    boolean thin = false;
    if (judged) {
      Chatter chatter = new Chatter(cut, judge, deepest, words, progress);
      limits.add(chatter.limit);
      thin = chatter.thin;
      remarks.addAll(chatter.remarks);
    } else {
      remarks.add(
          "chatter was not judged: nothing gives in \"dynamics\"; tap the tool and give its modes"
              + " or its frequency response");
    }
    rules.checks(cut, forces).forEach(check -> limits.add(check.shown()));
    remarks.addAll(rules.remarks(cut));
    boolean inside = limits.stream().allMatch(CutPlan.Limit::ok) && machine.reaches(cut.speedRpm());
    Progress rest = (done, what) -> progress.at(0.1 + 0.9 * done, what);
    List<CutPlan.Suggestion> suggestions =
        new CutSearch(cut, machine, rules, judge, words, deepest, judged, rest)
            .suggestions(inside, thin);
    if (suggestions.isEmpty() && !inside && judged) {
      Optional<CuttingProcess> light = lightCut(cut, machine, settings);
      if (light.isPresent()) {
        suggestions =
            new CutSearch(light.get(), machine, rules, judge, words, deepest, true, rest)
                .suggestions(false, false);
        if (!suggestions.isEmpty()) {
          remarks.add(
              "no small change mends this cut: the cuts offered were looked for around a light one of"
                  + " a tenth of the diameter in width");
        }
      }
    }
    if (!suggestions.isEmpty()) {
      remarks.add(
          "the cuts offered keep to 80 % of the least chatter limit within 3 % of their speed and"
              + " to 90 % of every other limit (the same cut at another speed: 100 %)");
    }
    CutPlan.Verdict verdict =
        inside
            ? CutPlan.Verdict.GO
            : suggestions.isEmpty() ? CutPlan.Verdict.STOP : CutPlan.Verdict.CHANGE;
    progress.at(1, "planned");
    return new CutPlan(
        verdict,
        limits,
        suggestions,
        Cautions.of(cut, limits, suggestions, settings),
        List.copyOf(remarks));
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
  private static double deepestM(CuttingProcess cut) {
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
        CuttingProcess cut, StabilityJudge judge, double deepestM, Words words, Progress progress) {
      double rpm = cut.speedRpm();
      double axial = cut.engagement().axialM();
      double band = CutSearch.SPEED_BAND;
      List<Double> speeds = List.of(rpm * (1 - band), rpm, rpm * (1 + band));
      double to = Math.max(2 * axial, deepestM / CutSearch.DEPTH_SHARE);
      StabilityMap map =
          judge.limits(cut, speeds, to, (done, what) -> progress.at(0.1 * done, what));
      StabilityMap.Line line = map.lines().get(1);
      double margin = line.limitM() / axial - 1;
      boolean ok = axial <= line.limitM();
      boolean edge =
          ok && (axial > map.lines().get(0).limitM() || axial > map.lines().get(2).limitM());
      thin = ok && (margin < SMALL_MARGIN || edge);
      remarks = map.remarks();
      limit =
          new CutPlan.Limit(
              "chatter", axial, line.limitM(), "m", ok, because(line, map, axial, words, edge));
    }

    private static String because(
        StabilityMap.Line line, StabilityMap map, double axial, Words words, boolean edge) {
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
            + (edge ? ", but a speed 3 % off would chatter" : "");
      }
      double margin = line.limitM() / axial - 1;
      String room =
          margin < SMALL_MARGIN
              ? ", only " + Words.percent(margin) + " above it: little room for error"
              : ", " + Words.percent(margin) + " above it";
      return "the chatter limit is "
          + limit
          + room
          + (edge ? "; a speed 3 % off would chatter" : "");
    }
  }
}
