package ringtrue.cli;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import picocli.CommandLine;
import picocli.CommandLine.Option;
import ringtrue.library.Cut;
import ringtrue.library.SafeFile;
import ringtrue.report.LengthUnit;
import ringtrue.report.Pictures;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.Lobes;
import ringtrue.stability.LobesRequest;
import ringtrue.stability.Method;
import ringtrue.stability.StabilityMap;
import ringtrue.units.BadInputException;
import ringtrue.units.Names;

/** {@code lobes}: where a cut is free of chatter. */
@CommandLine.Command(
    name = "lobes",
    sortOptions = false,
    description = "Stability lobes: the depth or width up to which a cut is free of chatter.",
    footer = {
      "",
      "Example: ringtrue lobes cut.json --speeds 6000:24000:50 --png lobes.png",
      "         ringtrue lobes cut.json --at \"18000 rpm,2.5 mm\""
    })
final class LobesCommand extends CutCommand {
  @Option(
      names = "--over",
      paramLabel = "depth|width",
      description = "limit of the axial depth (default) or of the radial width")
  private String over = "depth";

  @Option(
      names = "--method",
      paramLabel = "METHOD",
      description =
          "zero-order (averaged directional factors); periodic and simulation where built in")
  private String method;

  @Option(
      names = "--speeds",
      paramLabel = "LO:HI:STEP|a,b,c",
      description = "spindle speeds, rpm (default: the machine's range)")
  private String speeds;

  @Option(
      names = "--max",
      paramLabel = "LENGTH",
      description = "search up to this depth or width, with its unit")
  private String max;

  @Option(
      names = "--at",
      paramLabel = "SPEED,LENGTH",
      description = "judge a single point; repeatable")
  private List<String> at = new ArrayList<>();

  @Option(names = "--csv", paramLabel = "FILE.csv", description = "write the lobes as CSV")
  private Path csv;

  @Option(
      names = "--png",
      paramLabel = "FILE.png",
      description = "draw the lobes with the cut marked")
  private Path png;

  @Override
  public Integer call() {
    mayWrite(csv, png);
    LengthUnit unit = unit();
    List<LobesRequest.AtPoint> points = at.stream().map(LobesCommand::point).toList();
    StabilityMap.Over what = over();
    Optional<Method> how = Optional.ofNullable(method).map(LobesCommand::method);
    double maxM = max == null ? Double.NaN : Options.length("--max", max);
    Optional<List<Double>> asked =
        Optional.ofNullable(speeds).map(s -> Options.speeds("--speeds", s));
    Cut cut;
    StabilityMap map;
    try (TerminalProgress progress = new TerminalProgress(err())) {
      cut = readCut(progress);
      map =
          Lobes.compute(
              cut.process(),
              new LobesRequest(what, how, asked.orElseGet(() -> range(cut)), maxM, points),
              progress);
    } catch (BadInputException e) {
      throw Places.named(file, e);
    }
    List<String> remarks = new ArrayList<>(cut.remarks());
    remarks.addAll(map.remarks());
    if (csv != null) {
      SafeFile.writeText(csv, overwrite, toCsv(map));
      wrote(csv);
    }
    if (png != null) {
      SafeFile.write(png, overwrite, o -> Pictures.writePng(Pictures.lobes(map, cut, unit), o));
      wrote(png);
    }
    if (json) {
      JsonOut.write(out(), o -> toJson(o, map, remarks));
    } else {
      print(map, cut, unit);
    }
    remarks(remarks);
    return Ringtrue.DONE;
  }

  private StabilityMap.Over over() {
    for (StabilityMap.Over each : StabilityMap.Over.values()) {
      if (each.word().equals(over)) {
        return each;
      }
    }
    throw new BadInputException("--over: \"" + over + "\" must be depth or width");
  }

  private static Method method(String word) {
    List<String> words = new ArrayList<>();
    for (Method each : Method.values()) {
      if (each.word().equals(word)) {
        return each;
      }
      words.add(each.word());
    }
    throw new BadInputException(
        "--method: \""
            + word
            + "\" is not known; "
            + Names.closest(word, words).map(n -> "did you mean " + n + "? ").orElse("")
            + "one of: "
            + String.join(", ", words));
  }

  private static LobesRequest.AtPoint point(String text) {
    String[] parts = text.split(",", -1);
    if (parts.length != 2) {
      throw new BadInputException(
          "--at: \"" + text + "\" must be a speed and a length like \"12000 rpm,2 mm\"");
    }
    return new LobesRequest.AtPoint(
        Options.speed("--at", parts[0]), Options.length("--at", parts[1]));
  }

  /** The machine's speeds, or half to twice the cut's where the machine does not say. */
  static List<Double> range(Cut cut) {
    double speed = cut.process().speedRpm();
    double low = cut.machine().minSpeedRpm();
    double high = cut.machine().maxSpeedRpm();
    low = Double.isNaN(low) ? Math.min(speed, Double.isNaN(high) ? speed : high) / 2 : low;
    high = Double.isNaN(high) ? Math.max(speed, low) * 2 : high;
    List<Double> all = new ArrayList<>();
    int steps = high > low ? 600 : 0;
    for (int i = 0; i <= steps; i++) {
      all.add(steps == 0 ? low : low + (high - low) * i / steps);
    }
    return all;
  }

  private void print(StabilityMap map, Cut cut, LengthUnit unit) {
    boolean depth = map.over() == StabilityMap.Over.DEPTH;
    say("%s: limit of the %s by the %s method", cut.name(), what(cut, depth), map.method());
    say("material %s (%s)", cut.material(), cut.materialSource());
    say("");
    if (!map.at().isEmpty()) {
      say(
          "%10s %12s  %-9s %s",
          "rpm",
          unit.symbol(),
          "",
          "growth per " + (map.growthPeriod().isEmpty() ? "period" : map.growthPeriod()));
      for (StabilityMap.Point point : map.at()) {
        say(
            "%10.0f %12s  %-9s %s",
            point.speedRpm(),
            String.format(Locale.ROOT, "%.4f", unit.of(point.lengthM())),
            point.stable() ? "stable" : "chatters",
            Double.isNaN(point.growth())
                ? "not known"
                : String.format(Locale.ROOT, "%.4f", point.growth()));
      }
      say("");
    }
    say("%10s %12s %12s %6s", "rpm", "limit " + unit.symbol(), "chatter Hz", "lobe");
    int step = Math.max(1, map.lines().size() / 40);
    for (int i = 0; i < map.lines().size(); i += step) {
      StabilityMap.Line line = map.lines().get(i);
      boolean none = line.loss() == StabilityMap.Loss.NONE;
      say(
          "%10.0f %12s %12s %6s",
          line.speedRpm(),
          (none ? "> " : "") + String.format(Locale.ROOT, "%.4f", unit.of(line.limitM())),
          none ? "none" : String.format(Locale.ROOT, "%.1f", line.chatterHz()),
          line.lobe() < 0 ? "" : Integer.toString(line.lobe()));
    }
    if (step > 1) {
      say("(every %dth of %d speeds; --csv or --json gives all)", step, map.lines().size());
    }
  }

  private static String what(Cut cut, boolean depth) {
    boolean turning = cut.process().operation() == CuttingProcess.Operation.TURNING;
    return depth ? turning ? "chip width" : "axial depth" : "radial width";
  }

  static String toCsv(StabilityMap map) {
    StringBuilder text = new StringBuilder("speed_rpm,limit_m,loss,chatter_hz,lobe,stable_m\n");
    for (StabilityMap.Line line : map.lines()) {
      text.append(line.speedRpm()).append(',').append(line.limitM()).append(',');
      text.append(line.loss().word()).append(',');
      text.append(Double.isNaN(line.chatterHz()) ? "" : line.chatterHz()).append(',');
      text.append(line.lobe() < 0 ? "" : line.lobe()).append(',');
      StringBuilder stable = new StringBuilder();
      for (StabilityMap.Interval s : line.stable()) {
        stable.append(stable.isEmpty() ? "" : " ").append(s.fromM()).append(':').append(s.toM());
      }
      text.append(stable).append('\n');
    }
    return text.toString();
  }

  static void toJson(JsonOut o, StabilityMap map, List<String> remarks) {
    List<StabilityMap.Line> lines = map.lines();
    o.put("over", map.over().word());
    o.put("method", map.method());
    o.put("maxM", map.maxM());
    o.numbers("speedRpm", lines.size(), i -> lines.get(i).speedRpm());
    o.numbers("limitM", lines.size(), i -> lines.get(i).limitM());
    o.pairLists(
        "stableM",
        lines,
        line -> line.stable().stream().map(s -> new double[] {s.fromM(), s.toM()}).toList());
    o.texts("loss", lines.stream().map(l -> l.loss().word()).toList());
    o.numbers("chatterHz", lines.size(), i -> lines.get(i).chatterHz());
    o.numbers(
        "lobe", lines.size(), i -> lines.get(i).lobe() < 0 ? Double.NaN : lines.get(i).lobe());
    o.put("growthPeriod", map.growthPeriod());
    o.objects(
        "at",
        map.at(),
        (p, point) ->
            p.put("speedRpm", point.speedRpm())
                .put("lengthM", point.lengthM())
                .put("stable", point.stable())
                .put("growth", point.growth())
                .put("probabilityStable", point.probabilityStable()));
    o.texts("remarks", remarks);
  }
}
