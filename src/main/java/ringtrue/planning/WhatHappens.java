package ringtrue.planning;

import java.util.List;
import java.util.Locale;
import java.util.Optional;
import ringtrue.dynamics.Progress;
import ringtrue.planning.SoundAdvice.NearestMode;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.CuttingProcess.Operation;
import ringtrue.stability.Lobes;
import ringtrue.stability.LobesRequest;
import ringtrue.stability.Method;
import ringtrue.stability.StabilityMap;
import ringtrue.stability.StabilityMap.Interval;
import ringtrue.stability.StabilityMap.Line;
import ringtrue.stability.StabilityMap.Loss;
import ringtrue.stability.StabilityMap.Over;
import ringtrue.stability.StabilityMap.Point;

/**
 * What happens at one point of the map, and why.
 *
 * @param stable whether the cut is stable there
 * @param margin limit at this speed divided by the depth or width, less 1; negative above it
 * @param limitM first limit at this speed, m; the end of the search if there is none
 * @param chatterHz how it sings if it chatters, otherwise how it would above the limit, Hz; NaN
 *     where unknown
 * @param loss how stability is lost at the limit
 * @param mode the mode that the chatter comes from, where one can be meant
 * @param brief in a few words, like "stable, depth 34 % below the limit"
 * @param words one or two plain sentences
 */
public record WhatHappens(
    boolean stable,
    double margin,
    double limitM,
    double chatterHz,
    Loss loss,
    Optional<NearestMode> mode,
    String brief,
    String words) {

  /**
   * Looks at the cut's own speed, depth and width.
   *
   * @param cut the cut; something in it must give
   * @param over whether its depth or its width is held against the limit
   * @param method how; empty for the best there is
   * @param maxM how far limits are looked for, m; NaN for as far as makes sense
   * @param inches whether lengths are said in inches
   * @param progress told how far it is, may cancel
   * @throws ringtrue.units.BadInputException if the method does not do for this cut
   */
  public static WhatHappens at(
      CuttingProcess cut,
      Over over,
      Optional<Method> method,
      double maxM,
      boolean inches,
      Progress progress) {
    double length = over == Over.DEPTH ? cut.engagement().axialM() : CutLimits.widthM(cut);
    double rpm = cut.speedRpm();
    double farthest = Math.max(length, Double.isNaN(maxM) ? Lobes.defaultMaxM(cut, over) : maxM);
    LobesRequest request =
        new LobesRequest(
            over, method, List.of(rpm), farthest, List.of(new LobesRequest.AtPoint(rpm, length)));
    StabilityMap map = Lobes.compute(cut, request, progress);
    return of(cut, map.over(), map.lines().get(0), map.at().get(0), map, new Words(inches));
  }

  private static WhatHappens of(
      CuttingProcess cut, Over over, Line line, Point point, StabilityMap map, Words words) {
    double length = point.lengthM();
    double hz = Double.isNaN(point.chatterHz()) ? line.chatterHz() : point.chatterHz();
    Optional<NearestMode> mode =
        Double.isNaN(hz) ? Optional.empty() : ChatterMode.nearest(cut, point.speedRpm(), hz);
    double margin = line.limitM() / length - 1;
    String what =
        over == Over.WIDTH
            ? "width"
            : cut.operation() == Operation.TURNING ? "chip width" : "depth";
    Optional<Interval> island =
        line.stable().stream()
            .filter(s -> s.fromM() > line.limitM() && s.fromM() <= length && length <= s.toM())
            .findFirst();
    boolean none = line.loss() == Loss.NONE;
    String limit = words.length(line.limitM());
    String brief;
    String said;
    if (!point.stable()) {
      brief = Double.isNaN(hz) ? "chatters" : String.format(Locale.ROOT, "chatters at %.0f Hz", hz);
      said =
          "Chatters"
              + tone(hz, line.loss(), mode, point.stable())
              + ". The "
              + what
              + " of "
              + words.length(length)
              + (margin < 0 ? over(1 / (1 + margin)) + limit : " lies in an unstable stretch")
              + there(cut, over)
              + (point.growth() > 1
                  ? String.format(
                      Locale.ROOT,
                      "; a small vibration grows by %.0f %% with each %s.",
                      100 * (point.growth() - 1),
                      map.growthPeriod())
                  : ".");
    } else if (island.isPresent()) {
      brief = "stable island";
      said =
          "Stable, but on an island: the "
              + what
              + " may only lie between "
              + words.length(island.get().fromM())
              + " and "
              + words.length(island.get().toM())
              + " at this speed, and the way there from a lighter cut leads through chatter above "
              + limit
              + ".";
    } else if (none) {
      brief = "stable, no limit found";
      said =
          "Stable: no chatter was found up to a "
              + what
              + " of "
              + words.length(map.maxM())
              + there(cut, over)
              + ".";
    } else {
      brief =
          "stable, " + what + " " + Words.percent(1 - length / line.limitM()) + " below the limit";
      said =
          "Stable: the "
              + what
              + " of "
              + words.length(length)
              + " is "
              + Words.percent(1 - length / line.limitM())
              + " below the limit of "
              + limit
              + there(cut, over)
              + ". Above it the cut would chatter"
              + tone(hz, line.loss(), mode, point.stable())
              + ".";
    }
    return new WhatHappens(
        point.stable(), margin, line.limitM(), hz, line.loss(), mode, brief, said);
  }

  /** How far above its limit something is, as what stands before the limit. */
  private static String over(double ratio) {
    return ratio < 2
        ? " is " + Words.percent(ratio - 1) + " above the limit of "
        : " is " + Words.few(ratio) + " times the limit of ";
  }

  /** Under which circumstances a limit holds: the same cut has another one over the other axis. */
  private static String there(CuttingProcess cut, Over over) {
    return cut.operation() == Operation.TURNING
        ? " at this speed"
        : over == Over.WIDTH ? " at this speed and depth" : " at this speed and width";
  }

  /** Where it sings, in which way, and which mode lets it. */
  private static String tone(double hz, Loss loss, Optional<NearestMode> mode, boolean stable) {
    if (Double.isNaN(hz)) {
      return "";
    }
    String kind =
        loss == Loss.FLIP
            ? ", every second tooth alike (flip)"
            : loss == Loss.HOPF ? ", vibrating at its own frequency (Hopf)" : "";
    return String.format(Locale.ROOT, " near %.0f Hz", hz)
        + kind
        + mode.map(
                m ->
                    String.format(
                        Locale.ROOT,
                        ", because the mode in %s at %.0f Hz %s",
                        m.axis(),
                        m.frequencyHz(),
                        stable ? "gives way" : "gives way to the waves that the last tooth left"))
            .orElse("");
  }
}
