package ringtrue.cli;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import picocli.CommandLine;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.Mode;
import ringtrue.fitting.FitSettings;
import ringtrue.fitting.FittedModes;
import ringtrue.fitting.FittedResponse;
import ringtrue.fitting.ModeFitter;
import ringtrue.fitting.SetUpComparer;
import ringtrue.fitting.SetUpComparison;
import ringtrue.fitting.SetUpScatter;
import ringtrue.library.FrequencyResponseCsv;
import ringtrue.library.Measurement;
import ringtrue.library.MeasurementFile;
import ringtrue.library.SafeFile;
import ringtrue.report.Pictures;
import ringtrue.signal.ResponseEstimator;
import ringtrue.units.BadInputException;
import ringtrue.units.Dimension;

/** {@code modes}: measurements or frequency responses to modes, and what changed between two. */
@CommandLine.Command(
    name = "modes",
    sortOptions = false,
    description = "Modes of a measurement or a frequency response, with their uncertainty.",
    footer = {
      "",
      "Example: ringtrue modes tip-x.json --band 200:4000 --png tip-x-modes.png",
      "Did anything change: ringtrue modes tip-x.json --against tip-x-in-march.json",
      "With several measurements each is fitted by itself; --csv, --png, --check-png name folders."
    })
final class ModesCommand extends Command {
  private static final double LARGEST_SCALE = 4;

  @Parameters(
      arity = "1..*",
      paramLabel = "MEASUREMENT.json|FRF.csv",
      description = "measurement files, or frequency responses written by frf")
  private List<Path> files;

  @Option(
      names = "--band",
      paramLabel = "LO:HI",
      description = "fit between these frequencies only, Hz unless said")
  private String band;

  @Option(names = "--count", paramLabel = "N", description = "find exactly this many modes")
  private Integer count;

  @Option(
      names = "--pick",
      paramLabel = "HZ,HZ,...",
      description = "fit one mode near each of these natural frequencies, Hz unless said")
  private String picks;

  @Option(
      names = "--against",
      paramLabel = "OLD",
      description = "an earlier measurement or response of the same set-up: did anything change?")
  private Path against;

  @Option(
      names = "--scatter",
      paramLabel = "F,D,K",
      description =
          "what clamping again does by itself to frequency, damping, stiffness: one sigma each, % unless said")
  private String scatter;

  @Option(names = "--csv", paramLabel = "FILE.csv", description = "write the modes as CSV")
  private Path csv;

  @Option(
      names = "--png",
      paramLabel = "FILE.png",
      description = "draw the fit over the measurement with Nyquist circles, or both measurements")
  private Path png;

  @Option(
      names = "--check-png",
      paramLabel = "FILE.png",
      description = "draw the misfit against the noise, and the poles over rising model orders")
  private Path checkPng;

  @Option(
      names = "--scale",
      paramLabel = "N",
      description = "draw with finer pixels, 1 to 4 times as many (2 for print)")
  private double scale = 1;

  /** A fitted file with all there is to say about it. */
  private record Done(Path file, FittedResponse fitted, List<String> remarks, String problem) {}

  @Override
  public Integer call() {
    FitSettings settings = settings(band, count, picks);
    SetUpScatter clamping = scatter();
    checkScale();
    if (files.size() > 1) {
      return many(settings);
    }
    mayWrite(csv, png, checkPng);
    Done done = fitted(files.get(0), settings);
    if (against == null) {
      write(done, csv, png, checkPng);
      if (json) {
        JsonOut.write(out(), o -> ModesJson.modes(o, done.fitted.fitted(), done.remarks));
      } else {
        new ModesText(this).modes(done.fitted.fitted());
      }
      remarks(done.remarks);
      return Ringtrue.DONE;
    }
    return compared(done, fitted(against, settings), clamping);
  }

  private Integer compared(Done now, Done before, SetUpScatter clamping) {
    SetUpComparison comparison = SetUpComparer.compare(before.fitted, now.fitted, clamping);
    write(now, csv, null, checkPng);
    if (png != null) {
      SafeFile.write(
          png,
          overwrite,
          o ->
              Pictures.writePng(
                  Pictures.comparison(before.fitted, now.fitted, comparison, scale), o));
      wrote(png);
    }
    List<String> all = new ArrayList<>(now.remarks);
    before.fitted.fitted().remarks().stream()
        .filter(r -> !now.remarks.contains(r))
        .forEach(r -> all.add(before.file.getFileName() + ": " + r));
    if (json) {
      JsonOut.write(
          out(),
          o -> {
            ModesJson.modes(o, now.fitted.fitted(), all);
            ModesJson.comparison(o, comparison, before.file.toString());
          });
    } else {
      ModesText text = new ModesText(this);
      text.modes(now.fitted.fitted());
      text.comparison(comparison, before.file.toString());
    }
    all.addAll(comparison.remarks());
    remarks(all);
    return Ringtrue.DONE;
  }

  /** Each file by itself. */
  private Integer many(FitSettings settings) {
    if (against != null) {
      throw new BadInputException("--against: compares one measurement, not " + files.size());
    }
    for (Path folder : new Path[] {csv, png, checkPng}) {
      if (folder != null && Files.exists(folder) && !Files.isDirectory(folder)) {
        throw new BadInputException(
            folder
                + ": is a file; with several measurements --csv, --png and --check-png name folders");
      }
    }
    List<Done> all = new ArrayList<>();
    for (Path file : files) {
      try {
        String name = file.getFileName().toString().replaceAll("\\.(json|csv)$", "");
        Path csvFile = csv == null ? null : csv.resolve(name + "-modes.csv");
        Path pngFile = png == null ? null : png.resolve(name + "-modes.png");
        Path checkFile = checkPng == null ? null : checkPng.resolve(name + "-check.png");
        mayWrite(csvFile, pngFile, checkFile);
        Done done = fitted(file, settings);
        write(done, csvFile, pngFile, checkFile);
        all.add(done);
      } catch (BadInputException e) {
        all.add(new Done(file, null, List.of(), e.getMessage()));
      }
    }
    if (json) {
      JsonOut.write(out(), o -> o.objects("measurements", all, ModesCommand::toJson));
    } else {
      summary(all);
    }
    List<Done> failed = all.stream().filter(d -> d.fitted == null).toList();
    for (Done d : failed) {
      err().println("ringtrue: " + d.problem);
    }
    return failed.isEmpty() ? Ringtrue.DONE : Ringtrue.BAD_INPUT;
  }

  private static void toJson(JsonOut item, Done d) {
    item.put("file", d.file.toString());
    if (d.fitted == null) {
      item.put("problem", d.problem);
    } else {
      ModesJson.modes(item, d.fitted.fitted(), d.remarks);
    }
  }

  private void summary(List<Done> all) {
    say("%-32s %5s  %s", "measurement", "modes", "Hz (damping %, stiffness N/um)");
    for (Done d : all) {
      if (d.fitted != null) {
        List<Mode> modes = d.fitted.fitted().model().modes();
        say(
            "%-32s %5d  %s",
            d.file.getFileName(),
            modes.size(),
            String.join(
                "; ",
                modes.stream()
                    .map(
                        m ->
                            String.format(
                                Locale.ROOT,
                                "%.1f (%.2f, %.3g)",
                                m.frequencyHz(),
                                m.dampingRatio() * 100,
                                m.stiffnessNPerM() / 1e6))
                    .toList()));
      }
    }
    List<String> remarks = new ArrayList<>();
    for (Done d : all) {
      d.remarks.forEach(r -> remarks.add(d.file.getFileName() + ": " + r));
    }
    remarks(remarks);
  }

  private Done fitted(Path file, FitSettings settings) {
    try (TerminalProgress progress = new TerminalProgress(err())) {
      FrequencyResponse response = response(file, progress);
      FittedModes modes = ModeFitter.fit(response, settings, progress);
      List<String> remarks = new ArrayList<>(response.origin().remarks());
      remarks.addAll(modes.remarks());
      return new Done(file, new FittedResponse(response, modes), remarks, "");
    } catch (BadInputException e) {
      throw Places.named(file, e);
    }
  }

  private static FrequencyResponse response(Path file, TerminalProgress progress) {
    if (file.toString().toLowerCase(Locale.ROOT).endsWith(".csv")) {
      return FrequencyResponseCsv.read(file);
    }
    Measurement measurement = MeasurementFile.read(file);
    return ResponseEstimator.estimate(measurement.recording(), measurement.processing(), progress)
        .response();
  }

  private void write(Done done, Path csvFile, Path pngFile, Path checkFile) {
    FrequencyResponse response = done.fitted.response();
    FittedModes modes = done.fitted.fitted();
    if (csvFile != null) {
      SafeFile.writeText(csvFile, overwrite, ModesText.csv(modes));
      wrote(csvFile);
    }
    if (pngFile != null) {
      SafeFile.write(
          pngFile, overwrite, o -> Pictures.writePng(Pictures.modes(response, modes, scale), o));
      wrote(pngFile);
    }
    if (checkFile != null) {
      SafeFile.write(
          checkFile,
          overwrite,
          o -> Pictures.writePng(Pictures.modesCheck(response, modes, scale), o));
      wrote(checkFile);
    }
  }

  // Options ---------------------------------------------------------------------------------------

  private void checkScale() {
    if (!(scale >= 1 && scale <= LARGEST_SCALE)) {
      throw new BadInputException("--scale: must be a number from 1 to 4, is " + scale);
    }
  }

  private SetUpScatter scatter() {
    if (scatter == null) {
      return SetUpScatter.NONE;
    }
    if (against == null) {
      throw new BadInputException("--scatter: belongs to --against");
    }
    String[] parts = scatter.split(",", -1);
    if (parts.length != 3) {
      throw new BadInputException(
          "--scatter: \""
              + scatter
              + "\" must be three of frequency, damping, stiffness like 0.3,5,3");
    }
    double[] values = new double[3];
    for (int i = 0; i < 3; i++) {
      values[i] = Options.number("--scatter", parts[i], Dimension.RATIO, "%");
    }
    try {
      return new SetUpScatter(values[0], values[1], values[2]);
    } catch (BadInputException e) {
      throw new BadInputException("--" + e.getMessage());
    }
  }

  static FitSettings settings(String band, Integer count, String picks) {
    if (count != null && (count < 1 || count > FitSettings.MOST_MODES)) {
      throw new BadInputException(
          "--count: must be a whole number from 1 to " + FitSettings.MOST_MODES + ", is " + count);
    }
    Optional<Double> low = Optional.empty();
    Optional<Double> high = Optional.empty();
    if (band != null) {
      String[] ends = band.split(":", -1);
      if (ends.length != 2) {
        throw new BadInputException(
            "--band: \"" + band + "\" must be two frequencies like 200:4000");
      }
      low = Optional.of(Options.number("--band", ends[0], Dimension.FREQUENCY, "Hz"));
      high = Optional.of(Options.number("--band", ends[1], Dimension.FREQUENCY, "Hz"));
      if (!(low.get() >= 0 && high.get() > low.get())) {
        throw new BadInputException("--band: \"" + band + "\" must rise, like 200:4000");
      }
    }
    List<Double> picked = picked(picks);
    if (count != null && !picked.isEmpty() && count != picked.size()) {
      throw new BadInputException(
          "--count: is " + count + ", but --pick names " + picked.size() + "; leave one out");
    }
    return new FitSettings(low, high, Optional.ofNullable(count), picked);
  }

  private static List<Double> picked(String picks) {
    List<Double> picked = new ArrayList<>();
    if (picks == null) {
      return picked;
    }
    for (String part : picks.split(",", -1)) {
      double hz = Options.number("--pick", part, Dimension.FREQUENCY, "Hz");
      if (!(hz > 0)) {
        throw new BadInputException("--pick: \"" + part.trim() + "\" must be more than 0 Hz");
      }
      picked.add(hz);
    }
    if (picked.size() > FitSettings.MOST_MODES) {
      throw new BadInputException(
          "--pick: at most " + FitSettings.MOST_MODES + " frequencies, not " + picked.size());
    }
    return picked;
  }
}
