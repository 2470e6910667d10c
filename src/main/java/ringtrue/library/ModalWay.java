package ringtrue.library;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.Progress;
import ringtrue.dynamics.Receptance;
import ringtrue.fitting.FitSettings;
import ringtrue.fitting.ModeFitter;
import ringtrue.planning.StabilityJudge;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.Lobes;
import ringtrue.stability.LobesRequest;
import ringtrue.stability.MeasuredAgainstModes;
import ringtrue.stability.Method;
import ringtrue.stability.StabilityMap;
import ringtrue.units.BadInputException;

/**
 * The other way to a map that was made from responses as measured: modes are fitted to them, the
 * limits computed from the modes, and the two compared. Where they agree, fit and map confirm each
 * other.
 */
public final class ModalWay {
  private static final int MOST_SPEEDS = 100;

  private ModalWay() {}

  /** Whether some direction of a cut is a response as measured. */
  public static boolean measured(CuttingProcess process) {
    return Stream.of(process.x(), process.y(), process.xy())
        .flatMap(List::stream)
        .anyMatch(FrequencyResponse.class::isInstance);
  }

  /**
   * What a reader of the map should know about the modal way.
   *
   * @param process the cut, some of its directions measured
   * @param map its map over depth
   * @param progress told how far it is, may cancel
   * @return sentences; empty over width, where there is no comparison
   */
  public static List<String> compare(CuttingProcess process, StabilityMap map, Progress progress) {
    if (map.over() != StabilityMap.Over.DEPTH || map.lines().isEmpty()) {
      return List.of();
    }
    if (process.xy().stream().anyMatch(FrequencyResponse.class::isInstance)) {
      return List.of(
          "not compared with the modal way: modes are not fitted to measured cross receptances");
    }
    try {
      CuttingProcess modal = modal(process, progress);
      StabilityMap some = thinned(map);
      boolean averaged = map.method().equals(Method.ZERO_ORDER.word());
      StabilityMap other =
          Lobes.compute(
              modal,
              new LobesRequest(
                  map.over(),
                  averaged ? Optional.of(Method.ZERO_ORDER) : Optional.empty(),
                  some.lines().stream().map(StabilityMap.Line::speedRpm).toList(),
                  map.maxM(),
                  List.of()),
              progress);
      return MeasuredAgainstModes.compare(some, process, other, modal);
    } catch (BadInputException e) {
      return List.of("not compared with the modal way: " + e.getMessage());
    }
  }

  /**
   * Whether only the modal way can give the limits of a cut with measured directions: the
   * multi-frequency method knows neither different helices nor process damping, and averaged
   * factors promise too much there.
   */
  public static boolean needed(CuttingProcess process) {
    boolean cross = process.xy().stream().anyMatch(FrequencyResponse.class::isInstance);
    boolean beyond =
        process.processDampingNPerM() > 0
            || process.tool().map(tool -> !tool.equalHelix()).orElse(false);
    return process.operation() == CuttingProcess.Operation.MILLING
        && measured(process)
        && beyond
        && !cross;
  }

  /**
   * The cut with modes fitted to its measured directions.
   *
   * @throws BadInputException if no modes can be had
   */
  public static CuttingProcess modal(CuttingProcess process, Progress progress) {
    return process.withDynamics(
        fitted(process.x(), progress), fitted(process.y(), progress), process.xy());
  }

  /**
   * A judge for plans of a cut with measured directions: the cut itself is judged on the responses
   * as measured, the thousand others of the search on modes fitted to them. Where no modes can be
   * had, or none are needed, the usual judge.
   */
  public static StabilityJudge judge(CuttingProcess process, Progress progress) {
    StabilityJudge usual = StabilityJudge.lobes();
    boolean cross = process.xy().stream().anyMatch(FrequencyResponse.class::isInstance);
    if (cross || !measured(process)) {
      return usual;
    }
    List<Receptance> x;
    List<Receptance> y;
    try {
      x = fitted(process.x(), progress);
      y = fitted(process.y(), progress);
    } catch (BadInputException e) {
      return usual;
    }
    return new StabilityJudge.LobesJudge() {
      @Override
      public StabilityMap limits(
          CuttingProcess cut, List<Double> speedsRpm, double maxM, Progress watching) {
        return super.limits(needed(cut) ? searched(cut) : cut, speedsRpm, maxM, watching);
      }

      @Override
      public StabilityMap firstLimits(
          CuttingProcess cut, List<Double> speedsRpm, double maxM, Progress watching) {
        return super.firstLimits(searched(cut), speedsRpm, maxM, watching);
      }

      @Override
      public CuttingProcess searched(CuttingProcess cut) {
        return cut.withDynamics(x, y, cut.xy());
      }
    };
  }

  private static List<Receptance> fitted(List<Receptance> direction, Progress progress) {
    List<Receptance> all = new ArrayList<>();
    for (Receptance one : direction) {
      all.add(
          one instanceof FrequencyResponse response
              ? ModeFitter.fit(response, FitSettings.AUTOMATIC, progress).model()
              : one);
    }
    return all;
  }

  /** A hundred of the speeds or so. */
  private static StabilityMap thinned(StabilityMap map) {
    int step = 1 + (map.lines().size() - 1) / MOST_SPEEDS;
    List<StabilityMap.Line> lines =
        IntStream.range(0, map.lines().size())
            .filter(i -> i % step == 0)
            .mapToObj(map.lines()::get)
            .toList();
    return new StabilityMap(
        map.over(), map.method(), lines, List.of(), map.growthPeriod(), map.maxM(), List.of());
  }
}
