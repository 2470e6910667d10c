package ringtrue.stability;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeSet;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import ringtrue.dynamics.ModeTable;
import ringtrue.dynamics.Progress;
import ringtrue.stability.LobesRequest.AtPoint;

/**
 * Any method on modes that change with the spindle speed: each speed of the map is a map of its own
 * from the modes at that speed, and all of them are joined.
 */
final class SpeedTables implements LobesMethod {
  private static final int SPEEDS_AT_ONCE = 16;
  private static final int PARTS = 4;
  private static final String REMARK =
      "the modes change with the spindle speed: each speed is judged with the modes that the table"
          + " gives for it";

  private final LobesMethod method;

  /**
   * @param method what judges one speed
   */
  SpeedTables(LobesMethod method) {
    this.method = method;
  }

  /** Speeds of all rows of the tables of a cut and three between each two, rpm, rising. */
  static List<Double> speedsRpm(CuttingProcess process) {
    List<Double> rows =
        Stream.of(process.x(), process.y(), process.xy())
            .flatMap(List::stream)
            .filter(ModeTable.class::isInstance)
            .flatMap(table -> ((ModeTable) table).rows().stream())
            .map(ModeTable.Row::speedRpm)
            .collect(Collectors.toCollection(TreeSet::new))
            .stream()
            .toList();
    List<Double> all = new ArrayList<>(rows.subList(0, 1));
    for (int i = 1; i < rows.size(); i++) {
      for (int part = 1; part <= PARTS; part++) {
        all.add(rows.get(i - 1) + part * (rows.get(i) - rows.get(i - 1)) / PARTS);
      }
    }
    return all;
  }

  @Override
  public StabilityMap compute(CuttingProcess process, LobesRequest request, Progress progress) {
    Map<Double, List<AtPoint>> points = new LinkedHashMap<>();
    request.speedsRpm().forEach(rpm -> points.put(rpm, new ArrayList<>()));
    request.at().forEach(p -> points.computeIfAbsent(p.speedRpm(), k -> new ArrayList<>()).add(p));
    if (points.isEmpty()) {
      return method.compute(process.resolvedAt(0), request, progress);
    }
    List<Double> speeds = points.keySet().stream().sorted(Comparator.reverseOrder()).toList();
    Map<Double, StabilityMap> maps = new HashMap<>();
    for (int from = 0; from < speeds.size(); from += SPEEDS_AT_ONCE) {
      progress.at((double) from / speeds.size(), "stability over speed");
      List<Double> some = speeds.subList(from, Math.min(speeds.size(), from + SPEEDS_AT_ONCE));
      List<StabilityMap> found =
          some.parallelStream().map(rpm -> one(process, request, rpm, points.get(rpm))).toList();
      IntStream.range(0, some.size()).forEach(i -> maps.put(some.get(i), found.get(i)));
    }
    progress.at(1, "stability over speed");
    return joined(request, speeds, maps);
  }

  private StabilityMap one(
      CuttingProcess process, LobesRequest request, double rpm, List<AtPoint> at) {
    LobesRequest only =
        new LobesRequest(request.over(), request.method(), List.of(rpm), request.maxM(), at);
    return method.compute(process.resolvedAt(rpm), only, Progress.NONE);
  }

  private static StabilityMap joined(
      LobesRequest request, List<Double> speeds, Map<Double, StabilityMap> maps) {
    List<StabilityMap.Line> lines =
        request.speedsRpm().stream().map(rpm -> maps.get(rpm).lines().get(0)).toList();
    List<StabilityMap.Point> at =
        request.at().stream()
            .map(
                p ->
                    maps.get(p.speedRpm()).at().stream()
                        .filter(found -> found.lengthM() == p.lengthM())
                        .findFirst()
                        .orElseThrow())
            .toList();
    StabilityMap first = maps.get(speeds.get(0));
    List<String> remarks = new ArrayList<>(List.of(REMARK));
    remarks.addAll(remarks(speeds.stream().map(maps::get).toList()));
    return new StabilityMap(
        first.over(), first.method(), lines, at, first.growthPeriod(), first.maxM(), remarks);
  }

  /**
   * Each remark once. Of remarks that differ in their numbers only, the one of the highest speed
   * stands for all, and says so.
   */
  private static List<String> remarks(List<StabilityMap> fastestFirst) {
    Map<String, String> kept = new LinkedHashMap<>();
    for (StabilityMap map : fastestFirst) {
      for (String remark : map.remarks()) {
        String pattern = remark.replaceAll("[0-9][0-9.]*", "#");
        String before = kept.putIfAbsent(pattern, remark);
        String other = " (numbers differ with the speed)";
        if (before != null && !before.equals(remark) && !before.endsWith(other)) {
          kept.put(pattern, before + other);
        }
      }
    }
    return List.copyOf(kept.values());
  }
}
