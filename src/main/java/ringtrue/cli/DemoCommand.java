package ringtrue.cli;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.ZonedDateTime;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import picocli.CommandLine;
import picocli.CommandLine.Option;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.ResponseForm;
import ringtrue.fitting.FittedModes;
import ringtrue.library.Catalogue;
import ringtrue.library.Cut;
import ringtrue.library.FrequencyResponseCsv;
import ringtrue.library.SafeFile;
import ringtrue.planning.CutPlan;
import ringtrue.report.Drawings;
import ringtrue.report.LengthUnit;
import ringtrue.report.Paper;
import ringtrue.report.Picture;
import ringtrue.report.PlanWords;
import ringtrue.report.Report;
import ringtrue.report.ReportFile;
import ringtrue.report.ReportItem;
import ringtrue.signal.AveragedResponse;
import ringtrue.stability.StabilityMap;

/** {@code demo}: the whole job on the bundled measurements of an invented workshop. */
@CommandLine.Command(
    name = "demo",
    sortOptions = false,
    description = "Runs the whole job on the bundled demo measurements and writes every result.",
    footer = {"", "The measurements are invented: a simulated rig made them."})
final class DemoCommand extends Command {
  private static final List<String> MEASUREMENTS =
      List.of("tool-8mm-x", "tool-8mm-y", "tool-10mm-x", "tool-10mm-y", "bracket-y", "turning-bar");
  private static final List<String> CUTS =
      List.of("cut-pocket-8mm", "cut-bracket-10mm", "cut-turning");
  private static final List<String> FIRST_CAUTIONS =
      List.of(
          "Tap only with the spindle stopped and locked out, the machine isolated, nobody able to"
              + " start it. Remove hammer, cable, sensor and wax before any spindle start.",
          "Cutting edges are sharp: cover them, tap a land, never an edge. Carbide is brittle and"
              + " splinters fly: tap lightly and wear eye protection.",
          "All numbers are estimates from a standstill measurement at one point. Local codes and"
              + " licensed practice come first.");

  @Option(
      names = "--out",
      paramLabel = "DIR",
      description = "folder for the results (default: ringtrue-demo, or the next free such name)")
  private Path folder;

  @Option(
      names = "--units",
      paramLabel = "mm|in",
      description = "lengths in what is printed and drawn")
  private String units = "mm";

  @Override
  public Integer call() {
    LengthUnit unit = lengthUnit(units);
    Path out = folder == null ? nextFree() : folder;
    Path inputs = out.resolve("measurements");
    List<String> written = new ArrayList<>();
    List<ReportItem> items = new ArrayList<>();
    copyInputs(inputs);
    try (TerminalProgress progress = new TerminalProgress(err())) {
      ReportItems read =
          new ReportItems(
              Catalogue.bundled(), List.of(), LibraryPart.library(null), unit, Optional.empty());
      say("%-14s %5s %16s  %s", "measurement", "taps", "usable Hz", "modes");
      for (String name : MEASUREMENTS) {
        ReportItem.Taps item = (ReportItem.Taps) read.of(inputs.resolve(name + ".json"), progress);
        measurement(name, item, out, written);
        items.add(item);
      }
      say("");
      for (String name : CUTS) {
        ReportItem.Planned item =
            (ReportItem.Planned) read.of(inputs.resolve(name + ".json"), progress);
        cut(name, item, out, written, unit);
        items.add(item);
      }
    }
    Report report =
        new Report(
            "Ringtrue demo: a two-person workshop",
            "the demo",
            "A light gantry mill and a small lathe make parts for telescope mounts. Workshop and"
                + " measurements are invented; a simulated rig made the recordings. Everything below was"
                + " computed from those recordings.",
            ZonedDateTime.now().truncatedTo(ChronoUnit.MINUTES),
            unit,
            items,
            Ringtrue.version(),
            ReportFile.java(),
            List.of("ringtrue demo --units " + unit.symbol()));
    Path pageFile = out.resolve("report.html");
    for (String name : List.of("report.html", "report.pdf")) {
      byte[] page =
          ReportFile.content(
              report, out.resolve(name), unit == LengthUnit.INCH ? Paper.LETTER : Paper.A4);
      SafeFile.write(out.resolve(name), overwrite, o -> o.write(page));
    }
    say("");
    say("%d results in %s; open %s", written.size() + 2, out, pageFile);
    say("Cautions: %s", String.join(" ", FIRST_CAUTIONS));
    if (json) {
      JsonOut.write(
          out(),
          o ->
              o.put("folder", out.toString())
                  .put("report", pageFile.toString())
                  .texts("files", written));
    }
    return Ringtrue.DONE;
  }

  /** Beside JSON nothing else is printed. */
  @Override
  void say(String format, Object... values) {
    if (!json) {
      super.say(format, values);
    }
  }

  private static Path nextFree() {
    Path first = Path.of("ringtrue-demo");
    Path next = first;
    for (int i = 2; Files.exists(next); i++) {
      next = Path.of(first + "-" + i);
    }
    return next;
  }

  private void copyInputs(Path inputs) {
    List<String> names = new ArrayList<>();
    MEASUREMENTS.forEach(
        m -> {
          names.add(m + ".json");
          names.add(m + (m.equals("turning-bar") ? ".csv" : ".wav"));
        });
    CUTS.forEach(c -> names.add(c + ".json"));
    for (String name : names) {
      try (InputStream in = DemoCommand.class.getResourceAsStream("/demo-measurements/" + name)) {
        if (in == null) {
          throw new IllegalStateException("the program lacks its demo file " + name);
        }
        SafeFile.write(inputs.resolve(name), overwrite, in::transferTo);
      } catch (IOException e) {
        throw new UncheckedIOException(e);
      }
    }
  }

  private void measurement(String name, ReportItem.Taps item, Path out, List<String> written) {
    AveragedResponse averaged = item.averaged();
    FittedModes fitted = item.modes().result().orElseThrow();
    text(out, name + "-frf.csv", FrequencyResponseCsv.toText(averaged.response()), written);
    text(out, name + "-frf.json", JsonOut.text(o -> FrfCommand.toJson(o, averaged)), written);
    text(
        out,
        name + "-modes.json",
        JsonOut.text(o -> ModesJson.modes(o, fitted, item.remarks())),
        written);
    text(out, name + "-modes.csv", ModesText.csv(fitted), written);
    picture(out, name + "-frf.png", Drawings.response(averaged, ResponseForm.RECEPTANCE), written);
    picture(out, name + "-modes.png", Drawings.modes(averaged.response(), fitted), written);
    StringBuilder modes = new StringBuilder();
    for (Mode mode : fitted.model().modes()) {
      modes.append(
          String.format(
              Locale.ROOT,
              "%s%.1f Hz %.2f %% %.3g N/um",
              modes.isEmpty() ? "" : "; ",
              mode.frequencyHz(),
              mode.dampingRatio() * 100,
              mode.stiffnessNPerM() / 1e6));
    }
    say(
        "%-14s %5d %16s  %s",
        name,
        averaged.response().origin().averages(),
        String.format(
            Locale.ROOT,
            "%.0f to %.0f",
            averaged.response().origin().bandLowHz(),
            averaged.response().origin().bandHighHz()),
        modes);
  }

  private void cut(
      String name, ReportItem.Planned item, Path out, List<String> written, LengthUnit unit) {
    Cut cut = item.cut();
    StabilityMap map = item.map().result().orElseThrow();
    CutPlan plan = item.plan().result().orElseThrow();
    text(out, name + "-lobes.csv", LobesCommand.toCsv(map), written);
    text(
        out,
        name + "-lobes.json",
        JsonOut.text(o -> LobesCommand.toJson(o, map, map.remarks())),
        written);
    text(
        out,
        name + "-plan.json",
        JsonOut.text(o -> PlanCommand.toJson(o, plan, plan.remarks())),
        written);
    picture(out, name + "-lobes.png", Drawings.lobes(map, cut, unit), written);
    say("%s: %s", cut.name(), PlanWords.verdict(plan));
    plan.suggestions().stream()
        .limit(1)
        .forEach(
            s ->
                say(
                    "    for example %.0f rpm, axial %s%s, %s per tooth: %s",
                    s.speedRpm(),
                    unit.length(s.axialM()),
                    Double.isNaN(s.radialM()) ? "" : ", radial " + unit.length(s.radialM()),
                    unit.length(s.feedPerToothM()),
                    s.because()));
  }

  private void text(Path out, String name, String text, List<String> written) {
    SafeFile.writeText(out.resolve(name), overwrite, text);
    written.add(name);
  }

  private void picture(Path out, String name, Picture picture, List<String> written) {
    SafeFile.write(out.resolve(name), overwrite, o -> picture.write(out.resolve(name), 1, o));
    written.add(name);
  }
}
