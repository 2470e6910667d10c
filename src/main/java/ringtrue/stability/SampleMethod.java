package ringtrue.stability;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.function.BiFunction;
import java.util.stream.DoubleStream;
import ringtrue.dynamics.Progress;
import ringtrue.stability.LobesRequest.AtPoint;
import ringtrue.stability.StabilityMap.Interval;

/** How one drawn cut of a probability map is judged, on one thread. */
interface SampleMethod {

  /**
   * What was found for one cut.
   *
   * @param limitM first loss of stability at each speed, m; the upper end of the search if none
   * @param stable every stable stretch at each speed; empty if only limits are known
   * @param at whether each single point is stable
   */
  record Judged(double[] limitM, List<List<Interval>> stable, boolean[] at) {}

  /**
   * @param process the cut, without tables of modes
   * @param speedsRpm spindle speeds, rpm
   * @param at single points
   * @param maxM upper end of the search, m
   */
  Judged judge(CuttingProcess process, double[] speedsRpm, List<AtPoint> at, double maxM);

  /**
   * The quickest way that gives what a map shows.
   *
   * @param request what was asked for
   * @param method what the deterministic map was made by ({@link StabilityMap#method})
   */
  static SampleMethod of(LobesRequest request, String method) {
    boolean depth = request.over() == StabilityMap.Over.DEPTH;
    if (depth && method.equals(TurningLobes.WORD)) {
      return searching(TurningLobes::search);
    }
    if (depth && method.equals(ZeroOrderLobes.WORD)) {
      return searching(ZeroOrderLobes::search);
    }
    if (method.equals(Method.PERIODIC.word())) {
      return limits(
          request,
          (process, speedsRpm, maxM) ->
              PeriodicLobes.firstLimits(process, request, speedsRpm, maxM));
    }
    return mapping(request);
  }

  /** One search over frequency for all speeds and points of a cut. */
  private static SampleMethod searching(BiFunction<CuttingProcess, Double, LobeSearch> method) {
    return (process, speedsRpm, at, maxM) -> {
      double largest = at.stream().mapToDouble(AtPoint::lengthM).reduce(maxM, Math::max);
      LobeSearch search = method.apply(process, largest);
      return judged(
          DoubleStream.of(speedsRpm).mapToObj(rpm -> search.line(rpm, maxM)).toList(),
          at.stream().map(p -> search.stable(p.speedRpm(), p.lengthM())).toList());
    };
  }

  /** Any method at all, by a map of each cut. */
  static SampleMethod mapping(LobesRequest request) {
    return (process, speedsRpm, at, maxM) -> {
      StabilityMap map = map(request, process, speedsRpm, at, maxM);
      return judged(map.lines(), map.at().stream().map(StabilityMap.Point::stable).toList());
    };
  }

  /** First limits by a quicker way; single points as any method judges them. */
  static SampleMethod limits(LobesRequest request, LimitsOnly quick) {
    return (process, speedsRpm, at, maxM) -> {
      boolean[] points = new boolean[at.size()];
      if (points.length > 0) {
        StabilityMap map = map(request, process, new double[0], at, maxM);
        for (int i = 0; i < points.length; i++) {
          points[i] = map.at().get(i).stable();
        }
      }
      return new Judged(quick.limits(process, speedsRpm, maxM), List.of(), points);
    };
  }

  private static StabilityMap map(
      LobesRequest request,
      CuttingProcess process,
      double[] speedsRpm,
      List<AtPoint> at,
      double maxM) {
    List<Double> speeds = Arrays.stream(speedsRpm).boxed().toList();
    return Lobes.compute(
        process,
        new LobesRequest(request.over(), request.method(), speeds, maxM, at),
        Progress.NONE);
  }

  private static Judged judged(List<StabilityMap.Line> lines, List<Boolean> at) {
    double[] limits = new double[lines.size()];
    List<List<Interval>> stable = new ArrayList<>();
    for (int i = 0; i < limits.length; i++) {
      limits[i] = lines.get(i).limitM();
      stable.add(lines.get(i).stable());
    }
    boolean[] points = new boolean[at.size()];
    for (int i = 0; i < points.length; i++) {
      points[i] = at.get(i);
    }
    return new Judged(limits, stable, points);
  }
}
