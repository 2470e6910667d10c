package ringtrue.cli;

import java.awt.image.BufferedImage;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import picocli.CommandLine;
import picocli.CommandLine.Option;
import ringtrue.dynamics.Mode;
import ringtrue.fitting.FitSettings;
import ringtrue.fitting.FittedModes;
import ringtrue.fitting.ModeFitter;
import ringtrue.library.Catalogue;
import ringtrue.library.Cut;
import ringtrue.library.CutFile;
import ringtrue.library.FrequencyResponseCsv;
import ringtrue.library.Measurement;
import ringtrue.library.MeasurementFile;
import ringtrue.library.SafeFile;
import ringtrue.planning.CutPlan;
import ringtrue.report.LengthUnit;
import ringtrue.report.Page;
import ringtrue.report.Pictures;
import ringtrue.signal.AveragedResponse;
import ringtrue.signal.ResponseEstimator;
import ringtrue.signal.Tap;
import ringtrue.stability.Lobes;
import ringtrue.stability.LobesRequest;
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
    Page page = new Page("Ringtrue demo: a two-person workshop");
    page.paragraph(
        "A light gantry mill and a small lathe make parts for telescope mounts. Workshop and"
            + " measurements are invented; a simulated rig made the recordings. Everything below was"
            + " computed from those recordings.");
    page.cautions(FIRST_CAUTIONS);
    copyInputs(inputs);
    try (TerminalProgress progress = new TerminalProgress(err())) {
      page.heading("Measurements");
      say("%-14s %5s %16s  %s", "measurement", "taps", "usable Hz", "modes");
      for (String name : MEASUREMENTS) {
        measurement(name, inputs, out, page, written, progress);
      }
      page.heading("Cuts");
      say("");
      for (String name : CUTS) {
        cut(name, inputs, out, page, written, unit, progress);
      }
    }
    Path pageFile = out.resolve("report.html");
    SafeFile.writeText(pageFile, overwrite, page.html());
    say("");
    say("%d results in %s; open %s", written.size() + 1, out, pageFile);
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

  private void measurement(
      String name,
      Path inputs,
      Path out,
      Page page,
      List<String> written,
      TerminalProgress progress) {
    Measurement measurement = MeasurementFile.read(inputs.resolve(name + ".json"));
    AveragedResponse averaged =
        ResponseEstimator.estimate(measurement.recording(), measurement.processing(), progress);
    FittedModes fitted = ModeFitter.fit(averaged.response(), FitSettings.AUTOMATIC, progress);
    List<String> remarks = new ArrayList<>(averaged.response().origin().remarks());
    text(out, name + "-frf.csv", FrequencyResponseCsv.toText(averaged.response()), written);
    text(out, name + "-frf.json", JsonOut.text(o -> FrfCommand.toJson(o, averaged)), written);
    remarks.addAll(fitted.remarks());
    text(
        out, name + "-modes.json", JsonOut.text(o -> ModesJson.modes(o, fitted, remarks)), written);
    text(out, name + "-modes.csv", ModesText.csv(fitted), written);
    byte[] frf = picture(out, name + "-frf.png", Pictures.response(averaged), written);
    byte[] fit =
        picture(out, name + "-modes.png", Pictures.modes(averaged.response(), fitted), written);

    page.smallHeading(measurement.recording().name());
    page.table("Taps", List.of("tap", "peak N", "verdict", "reason"), tapRows(averaged.taps()));
    page.picture(frf, "frequency response of " + name);
    page.table(
        "Modes",
        List.of("frequency Hz", "± Hz", "damping %", "± %", "stiffness N/um", "± N/um"),
        fitted.model().modes().stream().map(DemoCommand::modeRow).toList());
    page.picture(fit, "fitted modes over the response of " + name);
    page.list(remarks);
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

  private static List<List<String>> tapRows(List<Tap> taps) {
    return taps.stream()
        .map(
            t ->
                List.of(
                    Integer.toString(t.number()),
                    number("%.1f", t.peakForceN()),
                    t.verdict().word(),
                    t.reason()))
        .toList();
  }

  private static List<String> modeRow(Mode m) {
    return List.of(
        number("%.2f", m.frequencyHz()),
        number("%.2g", m.frequencyHzSigma()),
        number("%.3f", m.dampingRatio() * 100),
        number("%.2g", m.dampingRatioSigma() * 100),
        number("%.4g", m.stiffnessNPerM() / 1e6),
        number("%.2g", m.stiffnessNPerMSigma() / 1e6));
  }

  private static String number(String format, double value) {
    return Double.isNaN(value) ? "" : String.format(Locale.ROOT, format, value);
  }

  private void cut(
      String name,
      Path inputs,
      Path out,
      Page page,
      List<String> written,
      LengthUnit unit,
      TerminalProgress progress) {
    Cut cut = CutFile.read(inputs.resolve(name + ".json"), Catalogue.bundled(), progress);
    StabilityMap map =
        Lobes.compute(
            cut.process(),
            new LobesRequest(
                StabilityMap.Over.DEPTH,
                Optional.empty(),
                LobesCommand.range(cut),
                Double.NaN,
                List.of()),
            progress);
    CutPlan plan = Plans.of(cut, unit, progress);
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
    byte[] lobes = picture(out, name + "-lobes.png", Pictures.lobes(map, cut, unit), written);

    page.smallHeading(cut.name());
    page.paragraph("Verdict: " + PlanCommand.sentence(plan) + ".");
    page.picture(lobes, "stability lobes of " + cut.name());
    page.table(
        "Limits",
        List.of("limit", "this cut", "allowed", "inside", "because"),
        plan.limits().stream()
            .map(
                l ->
                    List.of(
                        l.name(),
                        PlanCommand.shown(l.value(), l.unit(), unit),
                        PlanCommand.shown(l.limit(), l.unit(), unit),
                        l.ok() ? "yes" : "NO",
                        l.because()))
            .toList());
    if (!plan.suggestions().isEmpty()) {
      page.table(
          "Better cuts",
          List.of("rpm", "radial", "axial", "per tooth", "removal", "why"),
          plan.suggestions().stream().map(s -> suggestionRow(s, unit)).toList());
    }
    page.cautions(plan.cautions());
    List<String> remarks = new ArrayList<>(cut.remarks());
    remarks.addAll(map.remarks());
    remarks.addAll(plan.remarks());
    page.list(remarks.stream().distinct().toList());
    say("%s: %s", cut.name(), PlanCommand.sentence(plan));
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

  private static List<String> suggestionRow(CutPlan.Suggestion s, LengthUnit unit) {
    return List.of(
        number("%.0f", s.speedRpm()),
        Double.isNaN(s.radialM()) ? "" : unit.length(s.radialM()),
        unit.length(s.axialM()),
        unit.length(s.feedPerToothM()),
        unit.removal(s.removalM3PerS()),
        s.because());
  }

  private void text(Path out, String name, String text, List<String> written) {
    SafeFile.writeText(out.resolve(name), overwrite, text);
    written.add(name);
  }

  private byte[] picture(Path out, String name, BufferedImage picture, List<String> written) {
    try {
      ByteArrayOutputStream png = new ByteArrayOutputStream();
      Pictures.writePng(picture, png);
      SafeFile.write(out.resolve(name), overwrite, png::writeTo);
      written.add(name);
      return png.toByteArray();
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}
