package ringtrue.stability;

import java.util.ArrayList;
import java.util.List;
import ringtrue.dynamics.Progress;
import ringtrue.stability.LobesRequest.AtPoint;

/**
 * Milling by the full periodic equation, engaged-arc collocation ({@link PeriodOperator}): any
 * modes of tool and workpiece, helix, several teeth in the cut, uneven pitch, unequal helices.
 *
 * <p>The number of nodes follows a rule and is then put to the test at speeds spread over the map:
 * with more nodes for each stretch no border may move by more than a thousandth.
 */
final class PeriodicLobes implements LobesMethod {
  /** A first look, as a sample of a probability map, is solved for to this, relatively. */
  static final double ROUGH = 1e-3;

  /** How many of the stable stretches are looked for. */
  enum Reach {
    /** Every stable stretch. */
    WHOLE,
    /** The first one only, from nothing to the first loss of stability. */
    FIRST_LIMIT,
    /** The same as a first look shows it. */
    ROUGH_LIMIT
  }

  private final Reach reach;

  PeriodicLobes(Reach reach) {
    this.reach = reach;
  }

  @Override
  public StabilityMap compute(CuttingProcess process, LobesRequest request, Progress progress) {
    PeriodicMap map = new PeriodicMap(process, request, reach);
    int steps = reach == Reach.WHOLE ? PeriodicMap.FINE : PeriodicMap.FIRST;
    List<Double> speeds = new ArrayList<>(request.speedsRpm());
    request.at().forEach(point -> speeds.add(point.speedRpm()));
    if (reach != Reach.ROUGH_LIMIT) {
      map.settle(speeds, steps, progress);
    }
    return finished(map, process, request, steps, progress);
  }

  /** The lines and points of a request, as finely as wanted. */
  static StabilityMap finished(
      PeriodicMap map, CuttingProcess process, LobesRequest request, int steps, Progress progress) {
    List<StabilityMap.Line> lines = map.lines(request.speedsRpm(), steps, progress);
    List<StabilityMap.Point> points = new ArrayList<>();
    for (AtPoint point : request.at()) {
      progress.at(1, "single points");
      points.add(map.point(point));
    }
    return new StabilityMap(
        request.over(),
        Method.PERIODIC.word(),
        lines,
        points,
        ZeroOrderLobes.growthPeriod(process.tool().orElseThrow()),
        map.maxM(),
        map.remarks(steps));
  }

  /** First limits of a drawn cut, with the nodes of the rule. */
  static double[] firstLimits(
      CuttingProcess process, LobesRequest request, double[] speedsRpm, double maxM) {
    LobesRequest plain =
        new LobesRequest(request.over(), request.method(), List.of(), maxM, List.of());
    PeriodicMap map = new PeriodicMap(process, plain, Reach.FIRST_LIMIT);
    double[] limits = new double[speedsRpm.length];
    for (int i = 0; i < limits.length; i++) {
      limits[i] = map.firstLimitM(speedsRpm[i], ROUGH);
    }
    return limits;
  }
}
