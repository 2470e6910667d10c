package ringtrue.report;

import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import ringtrue.stability.CuttingProcess.Operation;
import ringtrue.stability.StabilityMap;
import ringtrue.stability.StabilityMap.Interval;
import ringtrue.stability.StabilityMap.Line;

/** What pictures and window say of a stability map, and how much of it they show. */
public final class LobesWords {
  private LobesWords() {}

  /** What is held against the limit: axial depth, chip width in turning, or radial width. */
  public static String length(StabilityMap.Over over, Operation operation) {
    return over == StabilityMap.Over.WIDTH
        ? "radial width"
        : operation == Operation.TURNING ? "chip width" : "axial depth";
  }

  /** The method of a map, in words. */
  public static String method(StabilityMap map) {
    return switch (map.method()) {
      case "zero-order" -> "averaging the cutting forces, a quick look (zero-order)";
      case "periodic" -> "following each tooth through the cut (periodic)";
      case "multi-frequency" ->
          "following each tooth through the cut, on responses as measured (multi-frequency)";
      case "single delay" -> "the closed form for one delay";
      case "simulation" -> "cutting in the time domain";
      default -> "the " + map.method() + " method";
    };
  }

  /** At how many speeds, how far apart, and what that leaves out; as a sentence. */
  public static String steps(StabilityMap map) {
    List<Line> lines =
        map.lines().stream().sorted(Comparator.comparingDouble(Line::speedRpm)).toList();
    if (lines.size() < 2) {
      return "Computed at one speed.";
    }
    double widest = 0;
    double narrowest = Double.POSITIVE_INFINITY;
    for (int i = 1; i < lines.size(); i++) {
      double step = lines.get(i).speedRpm() - lines.get(i - 1).speedRpm();
      widest = Math.max(widest, step);
      narrowest = Math.min(narrowest, step);
    }
    return String.format(
        Locale.ROOT,
        "Computed at %d speeds, %s%s rpm apart; an island narrower than that may be missing or"
            + " look broken.",
        lines.size(),
        widest > 1.001 * narrowest ? "up to " : "",
        String.format(Locale.ROOT, widest < 10 ? "%.2g" : "%.0f", widest));
  }

  /**
   * How high a picture should reach: limits and cut, and islands that are not far above both.
   *
   * @param cutLengthM depth or width of the cut, m; NaN if it is not shown
   * @param outcomes cuts that were made
   * @return m
   */
  public static double topM(StabilityMap map, double cutLengthM, List<OutcomeMark> outcomes) {
    double highest = Double.isNaN(cutLengthM) ? 0 : cutLengthM;
    for (OutcomeMark each : outcomes) {
      highest = Math.max(highest, each.lengthM());
    }
    for (Line line : map.lines()) {
      double shown = Double.isNaN(line.limitHighM()) ? line.limitM() : line.limitHighM();
      highest = Math.max(highest, Math.min(shown, map.maxM()));
    }
    double reach = 2.5 * highest;
    for (Line line : map.lines()) {
      for (Interval s : line.stable()) {
        if (s.fromM() > 0 && s.fromM() < reach) {
          highest = Math.max(highest, Math.min(s.toM(), Math.min(map.maxM(), reach)));
        }
      }
    }
    double room = 1.05 * (highest > 0 ? highest : map.maxM());
    boolean above =
        cutLengthM > map.maxM() || outcomes.stream().anyMatch(o -> o.lengthM() > map.maxM());
    return above ? room : Math.min(room, map.maxM());
  }
}
