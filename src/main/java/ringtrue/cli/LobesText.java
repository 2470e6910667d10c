package ringtrue.cli;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import ringtrue.library.Cut;
import ringtrue.report.LengthUnit;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.StabilityMap;
import ringtrue.stability.StabilityProbability;

/** A stability map as a table to read; columns that have nothing to say are left out. */
final class LobesText {
  private static final int ROWS = 40;
  private static final int STRONGEST = 6;
  private static final double WORTH_SAYING = 0.01;

  private final StabilityMap map;
  private final Cut cut;
  private final LengthUnit unit;
  private final List<String> text = new ArrayList<>();

  private LobesText(StabilityMap map, Cut cut, LengthUnit unit) {
    this.map = map;
    this.cut = cut;
    this.unit = unit;
  }

  /** The lines of the text. */
  static List<String> of(StabilityMap map, Cut cut, LengthUnit unit) {
    LobesText made = new LobesText(map, cut, unit);
    made.heading();
    made.points();
    made.limits();
    made.sensitivities();
    return made.text;
  }

  private void say(String format, Object... values) {
    text.add(String.format(Locale.ROOT, format, values).stripTrailing());
  }

  private void heading() {
    boolean depth = map.over() == StabilityMap.Over.DEPTH;
    boolean turning = cut.process().operation() == CuttingProcess.Operation.TURNING;
    say(
        "%s: limit of the %s by the %s method",
        cut.name(), depth ? turning ? "chip width" : "axial depth" : "radial width", map.method());
    say("material %s (%s)", cut.material(), cut.materialSource());
    map.probability()
        .ifPresent(
            p ->
                say(
                    "chances from %d draws of the uncertain inputs (seed %d)",
                    p.samples(), p.seed()));
    say("");
  }

  private void points() {
    if (map.at().isEmpty()) {
      return;
    }
    boolean chances = map.at().stream().anyMatch(p -> !Double.isNaN(p.probabilityStable()));
    String growth = "growth per " + (map.growthPeriod().isEmpty() ? "period" : map.growthPeriod());
    say(
        "%10s %12s  %-9s %s%s",
        "rpm", unit.symbol(), "", chances ? "chance of being stable  " : "", growth);
    for (StabilityMap.Point point : map.at()) {
      say(
          "%10.0f %12s  %-9s %s%s",
          point.speedRpm(),
          length(point.lengthM()),
          point.stable() ? "stable" : "chatters",
          chances ? String.format(Locale.ROOT, "%-24s", percent(point.probabilityStable())) : "",
          known("%.4f", point.growth(), "not known"));
    }
    say("");
  }

  private void limits() {
    List<StabilityMap.Line> lines = map.lines();
    Optional<StabilityProbability> probability = map.probability();
    boolean bands = lines.stream().anyMatch(l -> !Double.isNaN(l.limitLowM() + l.limitHighM()));
    boolean islands = lines.stream().anyMatch(l -> islands(l) > 0);
    boolean lobes = lines.stream().anyMatch(l -> l.lobe() >= 0);
    StringBuilder head = new StringBuilder();
    column(head, 10, "rpm");
    column(head, 12, "limit " + unit.symbol());
    column(head, 6, "loss");
    column(head, 11, "chatter Hz");
    if (lobes) {
      column(head, 5, "lobe");
    }
    if (bands) {
      column(head, 20, "95 % band " + unit.symbol());
    }
    if (probability.isPresent()) {
      column(head, 14, "95 % sure " + unit.symbol());
    }
    if (islands) {
      column(head, 13, "stable above");
    }
    text.add(head.toString());
    int step = Math.max(1, lines.size() / ROWS);
    for (int i = 0; i < lines.size(); i += step) {
      StabilityMap.Line line = lines.get(i);
      boolean none = line.loss() == StabilityMap.Loss.NONE;
      StringBuilder row = new StringBuilder();
      column(row, 10, String.format(Locale.ROOT, "%.0f", line.speedRpm()));
      column(row, 12, (none ? "> " : "") + length(line.limitM()));
      column(row, 6, line.loss().word());
      column(row, 11, none ? "" : known("%.1f", line.chatterHz(), ""));
      if (lobes) {
        column(row, 5, line.lobe() < 0 ? "" : Integer.toString(line.lobe()));
      }
      if (bands) {
        boolean here = !Double.isNaN(line.limitLowM() + line.limitHighM());
        column(row, 20, here ? length(line.limitLowM()) + " to " + length(line.limitHighM()) : "");
      }
      if (probability.isPresent()) {
        column(row, 14, length(probability.get().limit95M().get(i)));
      }
      if (islands) {
        int count = islands(line);
        column(row, 13, count == 0 ? "" : Integer.toString(count));
      }
      text.add(row.toString().stripTrailing());
    }
    if (step > 1) {
      say("(one in %d of %d speeds; --csv or --json gives all)", step, lines.size());
    }
    if (islands) {
      say("(stable above: stable stretches above the first limit; --csv, --json, --png show them)");
    }
  }

  private void sensitivities() {
    List<StabilityProbability.Sensitivity> all =
        map.probability().map(StabilityProbability::sensitivities).orElse(List.of());
    if (all.isEmpty()) {
      return;
    }
    say("");
    say("What moves the limit most (share of its scatter; change of the limit by one sigma)");
    all.stream()
        .limit(STRONGEST)
        .filter(s -> s == all.get(0) || s.share() >= WORTH_SAYING)
        .forEach(s -> say("%6s  %+6.1f %%  %s", percent(s.share()), 100 * s.slope(), s.input()));
  }

  /** Number of stable stretches above the first limit. */
  private static int islands(StabilityMap.Line line) {
    return line.loss() == StabilityMap.Loss.NONE
        ? 0
        : (int) line.stable().stream().filter(s -> s.fromM() >= line.limitM()).count();
  }

  private static void column(StringBuilder row, int width, String value) {
    row.append(row.isEmpty() ? "" : " ").append(" ".repeat(Math.max(0, width - value.length())));
    row.append(value);
  }

  private String length(double metres) {
    return known("%.4f", unit.of(metres), "");
  }

  private static String percent(double share) {
    return known("%.0f %%", 100 * share, "not known");
  }

  private static String known(String format, double value, String otherwise) {
    return Double.isNaN(value) ? otherwise : String.format(Locale.ROOT, format, value);
  }
}
