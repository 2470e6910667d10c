package ringtrue.cli;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import picocli.CommandLine;
import picocli.CommandLine.Option;
import ringtrue.dynamics.Progress;
import ringtrue.library.Cut;
import ringtrue.library.SafeFile;
import ringtrue.planning.CutPlan;
import ringtrue.planning.Reserve;
import ringtrue.planning.Sweep;
import ringtrue.report.Drawings;
import ringtrue.report.LengthUnit;
import ringtrue.report.Picture;
import ringtrue.report.PlanWords;
import ringtrue.units.BadInputException;
import ringtrue.units.Dimension;

/** {@code plan}: every limit that a cut meets, and better cuts. */
@CommandLine.Command(
    name = "plan",
    sortOptions = false,
    description = "Every limit that the cut meets, better cuts, and what if.",
    footer = {
      "",
      "Example: ringtrue plan cut.json --units in --png plan.png",
      "         ringtrue plan cut.json --sweep speed=8000:24000:250 --png speeds.png",
      "         ringtrue plan cut.json --sweep \"axial=1:6:0.25 mm\" --csv depths.csv"
    })
final class PlanCommand extends CutCommand {

  private static final double MOST_SIGMAS = 6;
  private static final double WIDEST_BAND = 0.2;
  private static final double LARGEST_SCALE = 4;

  @Option(
      names = "--sweep",
      paramLabel = "NAME=LO:HI:STEP",
      description =
          "vary one thing and show every limit against it: speed, axial, radial, feedPerTooth,"
              + " helix, runout, edgeRadius, ktc, krc, kte, kre, forces (all four times a factor)")
  private String sweep;

  @Option(
      names = "--sigmas",
      paramLabel = "N",
      description =
          "cuts offered stay stable with every mode off by N of its own sigmas (default: 2)")
  private String sigmas;

  @Option(
      names = "--speed-band",
      paramLabel = "PERCENT",
      description =
          "cuts offered stay stable with the speed off by so much, like \"3 %%\" (default: 3 %%)")
  private String speedBand;

  @Option(
      names = "--csv",
      paramLabel = "FILE.csv",
      description = "write limits and better cuts, or the sweep, as CSV (SI units)")
  private Path csv;

  @Option(
      names = "--png",
      paramLabel = "FILE.png",
      description = "draw limits and better cuts, or the sweep")
  private Path png;

  @Option(
      names = "--scale",
      paramLabel = "N",
      description = "pixels of the picture for each usual one, 1 to 4 (default: 1)")
  private String scale;

  @Override
  public Integer call() {
    LengthUnit unit = unit();
    double pixels = scale == null ? 1 : within("--scale", scale, "", 1, LARGEST_SCALE);
    if (files().size() > 1) {
      return many(unit, pixels);
    }
    requireEnding("--csv", csv, ".csv", ".txt");
    requireEnding("--png", png, Picture.endings());
    requireOthers(file, csv, png);
    mayWrite(csv, png);
    Reserve reserve = reserve();
    Optional<SweepText.Asked> asked = Optional.ofNullable(sweep).map(SweepText::asked);
    Planned done;
    try (TerminalProgress progress = new TerminalProgress(err())) {
      done = planned(file, asked, reserve, unit, progress);
    } catch (BadInputException e) {
      throw Places.named(file, e);
    }
    write(done, csv, png, unit, pixels);
    if (json) {
      JsonOut.write(out(), o -> toJson(o, done));
    } else if (done.swept != null) {
      say(
          "%s: what if %s? Share of each limit that is used",
          done.cut.name(), done.swept.parameter().word());
      SweepText.lines(done.swept, unit).forEach(out()::println);
      say("");
      say("These are estimates; nothing here says that a cut is safe. First cut in air, then in");
      say("small steps, guards closed, eyes protected, a hand at the stop.");
    } else {
      print(done.plan, done.cut, unit);
    }
    remarks(done.remarks);
    return Ringtrue.DONE;
  }

  /** One cut: its plan where that is shown, and the sweep where one was asked for. */
  private record Planned(Cut cut, CutPlan plan, Sweep swept, List<String> remarks) {}

  private Planned planned(
      Path from,
      Optional<SweepText.Asked> asked,
      Reserve reserve,
      LengthUnit unit,
      Progress progress) {
    Cut cut = readCut(from, progress);
    Sweep swept = null;
    if (asked.isPresent()) {
      swept = asked.get().of(cut, cut.planSettings().withInches(unit == LengthUnit.INCH), progress);
    }
    List<String> remarks = new ArrayList<>(cut.remarks());
    CutPlan plan = null;
    if (swept == null || json || files().size() > 1) {
      plan = Plans.of(cut, unit, reserve, progress);
      remarks.addAll(plan.remarks());
    }
    return new Planned(cut, plan, swept, remarks);
  }

  private static void toJson(JsonOut o, Planned done) {
    toJson(o, done.plan, done.remarks);
    if (done.swept != null) {
      o.object("sweep", f -> SweepText.toJson(f, done.swept));
    }
  }

  /** Each file by itself. */
  private Integer many(LengthUnit unit, double pixels) {
    Batch.requireFolder("--csv", csv);
    Batch.requireFolder("--png", png);
    List<Path> tables = Batch.outputs(csv, files(), "-plan.csv");
    List<Path> pictures = Batch.outputs(png, files(), "-plan.png");
    Reserve reserve = reserve();
    Optional<SweepText.Asked> asked = Optional.ofNullable(sweep).map(SweepText::asked);
    Batch<Planned> batch =
        Batch.run(
            files(),
            err(),
            (each, number, progress) -> {
              requireOthers(each, tables.get(number), pictures.get(number));
              mayWrite(tables.get(number), pictures.get(number));
              Planned done = planned(each, asked, reserve, unit, progress);
              write(done, tables.get(number), pictures.get(number), unit, pixels);
              return done;
            });
    if (json) {
      batch.json(out(), "cuts", PlanCommand::toJson);
    } else {
      batch.summary(this, "cut", "verdict", p -> PlanWords.verdict(p.plan), p -> p.remarks);
    }
    return batch.finish(err());
  }

  private Reserve reserve() {
    return new Reserve(
        sigmas == null ? Reserve.USUAL.sigmas() : within("--sigmas", sigmas, "", 0, MOST_SIGMAS),
        speedBand == null
            ? Reserve.USUAL.speedBand()
            : within("--speed-band", speedBand, "%", 0, WIDEST_BAND));
  }

  private static double within(
      String option, String text, String bareUnit, double least, double most) {
    double value = Options.number(option, text, Dimension.RATIO, bareUnit);
    if (!(value >= least && value <= most)) {
      double factor = bareUnit.equals("%") ? 100 : 1;
      throw new BadInputException(
          String.format(
              Locale.ROOT,
              "%s: \"%s\" must lie between %.0f and %.0f%s",
              option,
              text,
              factor * least,
              factor * most,
              factor == 1 ? "" : " %"));
    }
    return value;
  }

  private void write(Planned done, Path csvFile, Path pngFile, LengthUnit unit, double pixels) {
    if (csvFile != null) {
      SafeFile.writeText(
          csvFile, overwrite, done.swept == null ? toCsv(done.plan) : SweepText.toCsv(done.swept));
      wrote(csvFile);
    }
    draw(
        pngFile,
        () ->
            done.swept == null
                ? Drawings.plan(done.plan, done.cut, unit, (v, si) -> PlanWords.number(v, si, unit))
                : Drawings.sweep(done.swept, done.cut, unit),
        pixels);
  }

  /** Limits first, then the cuts offered; what does not belong to a row is empty. */
  static String toCsv(CutPlan plan) {
    StringBuilder text =
        new StringBuilder(
            "kind,name,value,limit,unit,share,ok,probability,speed_rpm,radial_m,axial_m,"
                + "feed_per_tooth_m,removal_m3_per_s,margin,wall_error_m,because\n");
    for (CutPlan.Limit l : plan.limits()) {
      text.append(
          String.join(
              ",",
              l.advice() ? "advice" : "limit",
              l.name(),
              SweepText.cell(l.value()),
              SweepText.cell(l.limit()),
              l.unit(),
              SweepText.cell(l.share()),
              Boolean.toString(l.ok()),
              SweepText.cell(l.probability()),
              ",,,,,,",
              quoted(l.because())));
      text.append('\n');
    }
    for (CutPlan.Suggestion s : plan.suggestions()) {
      text.append(
          String.join(
              ",",
              "better cut",
              s.limitedBy(),
              ",,",
              SweepText.cell(s.share()),
              "",
              "",
              SweepText.cell(s.speedRpm()),
              SweepText.cell(s.radialM()),
              SweepText.cell(s.axialM()),
              SweepText.cell(s.feedPerToothM()),
              SweepText.cell(s.removalM3PerS()),
              SweepText.cell(s.margin()),
              SweepText.cell(s.wallErrorM()),
              quoted(s.because())));
      text.append('\n');
    }
    return text.toString();
  }

  private static String quoted(String text) {
    return '"' + text.replace("\"", "\"\"") + '"';
  }

  private void print(CutPlan plan, Cut cut, LengthUnit unit) {
    say("%s: %s", cut.name(), PlanWords.verdict(plan));
    say("material %s (%s)", cut.material(), cut.materialSource());
    say("");
    say("%-22s %14s %14s  %s", "limit", "this cut", "allowed", "");
    for (CutPlan.Limit limit : plan.limits()) {
      say(
          "%-22s %14s %14s  %s  %s",
          limit.name(),
          PlanWords.number(limit.value(), limit.unit(), unit),
          PlanWords.allowed(limit, unit),
          limit.advice() ? "-  " : limit.ok() ? "ok " : "NO ",
          limit.because());
    }
    say("(ok: inside the limit, NO: outside, -: worth knowing, never against the cut)");
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
    if (!plan.gentlest().words().isEmpty()) {
      say("");
      say("The gentlest changes");
      plan.gentlest().words().forEach(w -> say("  - %s", w));
    }
    say("");
    say("Cautions");
    plan.cautions().forEach(c -> say("  - %s", c));
  }

  static void toJson(JsonOut o, CutPlan plan, List<String> remarks) {
    o.put("verdict", plan.verdict().word());
    o.put("withCare", plan.verdict() == CutPlan.Verdict.CARE);
    o.objects(
        "limits",
        plan.limits(),
        (l, limit) ->
            l.put("name", limit.name())
                .put("value", limit.value())
                .put("limit", limit.limit())
                .put("unit", limit.unit())
                .put("ok", limit.ok())
                .put("because", limit.because())
                .put("share", limit.share())
                .put("advice", limit.advice())
                .put("probability", limit.probability()));
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
                .put("because", s.because())
                .put("limitedBy", s.limitedBy())
                .put("share", s.share())
                .put("wallErrorM", s.wallErrorM()));
    o.object("reserve", r -> toJson(r, plan.reserve()));
    o.object("gentlest", g -> toJson(g, plan.gentlest()));
    plan.wall().ifPresent(w -> o.object("wall", f -> toJson(f, w)));
    o.texts("cautions", plan.cautions());
    o.texts("remarks", remarks);
  }

  private static void toJson(JsonOut o, Reserve reserve) {
    o.put("sigmas", reserve.sigmas()).put("speedBand", reserve.speedBand());
  }

  private static void toJson(JsonOut o, CutPlan.Wall w) {
    o.put("errorM", w.errorM())
        .put("lowM", w.lowM())
        .put("highM", w.highM())
        .put("side", w.side())
        .put("swingLowM", w.swingLowM())
        .put("swingHighM", w.swingHighM())
        .put("quietRpm", w.quietRpm());
  }

  private static void toJson(JsonOut o, CutPlan.Gentlest gentlest) {
    o.put("slowerRpm", gentlest.slower().map(CutPlan.SpeedStep::speedRpm).orElse(Double.NaN));
    o.put("fasterRpm", gentlest.faster().map(CutPlan.SpeedStep::speedRpm).orElse(Double.NaN));
    o.put("slowerMargin", gentlest.slower().map(CutPlan.SpeedStep::margin).orElse(Double.NaN));
    o.put("fasterMargin", gentlest.faster().map(CutPlan.SpeedStep::margin).orElse(Double.NaN));
    o.objects(
        "changes",
        gentlest.changes(),
        (c, change) -> {
          c.put("change", change.change());
          switch (change.change()) {
            case "width" -> c.put("radialM", change.to());
            case "depth" -> c.put("axialM", change.to());
            case "helix" -> c.put("helixRad", change.to());
            default -> c.put("direction", change.direction());
          }
          c.put("limitM", change.limitM())
              .put("helps", change.helps())
              .put("because", change.because());
        });
    o.texts("words", gentlest.words());
  }
}
