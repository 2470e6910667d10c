package ringtrue.cli;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import picocli.CommandLine;
import ringtrue.library.Cut;
import ringtrue.planning.CutPlan;
import ringtrue.report.LengthUnit;
import ringtrue.units.BadInputException;

/** {@code plan}: every limit that a cut meets, and better cuts. */
@CommandLine.Command(
    name = "plan",
    sortOptions = false,
    description = "Every limit that the cut meets, and better cuts.",
    footer = {"", "Example: ringtrue plan cut.json --units in"})
final class PlanCommand extends CutCommand {

  @Override
  public Integer call() {
    LengthUnit unit = unit();
    if (files().size() > 1) {
      return many(unit);
    }
    Cut cut;
    CutPlan plan;
    try (TerminalProgress progress = new TerminalProgress(err())) {
      cut = readCut(progress);
      plan = Plans.of(cut, unit, progress);
    } catch (BadInputException e) {
      throw Places.named(file, e);
    }
    List<String> remarks = new ArrayList<>(cut.remarks());
    remarks.addAll(plan.remarks());
    if (json) {
      JsonOut.write(out(), o -> toJson(o, plan, remarks));
    } else {
      print(plan, cut, unit);
    }
    remarks(remarks);
    return Ringtrue.DONE;
  }

  /** Each file by itself. */
  private Integer many(LengthUnit unit) {
    record Planned(CutPlan plan, List<String> remarks) {}
    Batch<Planned> batch =
        Batch.run(
            files(),
            err(),
            (each, number, progress) -> {
              Cut cut = readCut(each, progress);
              CutPlan plan = Plans.of(cut, unit, progress);
              List<String> remarks = new ArrayList<>(cut.remarks());
              remarks.addAll(plan.remarks());
              return new Planned(plan, remarks);
            });
    if (json) {
      batch.json(out(), "cuts", (o, p) -> toJson(o, p.plan, p.remarks));
    } else {
      batch.summary(this, "cut", "verdict", p -> sentence(p.plan), Planned::remarks);
    }
    return batch.finish(err());
  }

  private void print(CutPlan plan, Cut cut, LengthUnit unit) {
    say("%s: %s", cut.name(), sentence(plan));
    say("material %s (%s)", cut.material(), cut.materialSource());
    say("");
    say("%-15s %18s %18s  %s", "limit", "this cut", "allowed", "");
    for (CutPlan.Limit limit : plan.limits()) {
      say(
          "%-15s %18s %18s  %s  %s",
          limit.name(),
          shown(limit.value(), limit.unit(), unit),
          shown(limit.limit(), limit.unit(), unit),
          limit.ok() ? "ok " : "NO ",
          limit.because());
    }
    if (!plan.suggestions().isEmpty()) {
      say("");
      say("Better cuts");
      say("%8s %12s %12s %12s %14s  %s", "rpm", "radial", "axial", "per tooth", "removal", "why");
      for (CutPlan.Suggestion s : plan.suggestions()) {
        say(
            "%8.0f %12s %12s %12s %14s  %s",
            s.speedRpm(),
            Double.isNaN(s.radialM()) ? "" : unit.length(s.radialM()),
            unit.length(s.axialM()),
            unit.length(s.feedPerToothM()),
            unit.removal(s.removalM3PerS()),
            s.because());
      }
    }
    say("");
    say("Cautions");
    plan.cautions().forEach(c -> say("  - %s", c));
  }

  static String sentence(CutPlan plan) {
    return switch (plan.verdict()) {
      case GO -> "GO, inside every limit that could be judged";
      case CHANGE -> "CHANGE, outside a limit; better cuts are below";
      case STOP -> "STOP, outside a limit, and no better cut was found";
    };
  }

  /** A limit's number in the unit people use for it. */
  static String shown(double value, String si, LengthUnit unit) {
    if (Double.isNaN(value)) {
      return "";
    }
    return switch (si) {
      case "m" -> Math.abs(value) < 2e-4 ? unit.small(value) : unit.length(value);
      case "m/s" -> unit.feed(value);
      case "Pa" -> String.format(Locale.ROOT, "%.4g MPa", value / 1e6);
      case "W" ->
          value >= 1000
              ? String.format(Locale.ROOT, "%.3g kW", value / 1e3)
              : String.format(Locale.ROOT, "%.3g W", value);
      default -> String.format(Locale.ROOT, "%.3g %s", value, si).trim();
    };
  }

  static void toJson(JsonOut o, CutPlan plan, List<String> remarks) {
    o.put("verdict", plan.verdict().word());
    o.objects(
        "limits",
        plan.limits(),
        (l, limit) ->
            l.put("name", limit.name())
                .put("value", limit.value())
                .put("limit", limit.limit())
                .put("unit", limit.unit())
                .put("ok", limit.ok())
                .put("because", limit.because()));
    o.objects(
        "suggestions",
        plan.suggestions(),
        (p, s) ->
            p.put("speedRpm", s.speedRpm())
                .put("radialM", s.radialM())
                .put("axialM", s.axialM())
                .put("feedPerToothM", s.feedPerToothM())
                .put("removalM3PerS", s.removalM3PerS())
                .put("margin", s.margin())
                .put("because", s.because()));
    o.texts("cautions", plan.cautions());
    o.texts("remarks", remarks);
  }
}
