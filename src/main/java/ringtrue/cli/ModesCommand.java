package ringtrue.cli;

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
import ringtrue.dynamics.Progress;
import ringtrue.fitting.FitSettings;
import ringtrue.fitting.FittedModes;
import ringtrue.fitting.FittedResponse;
import ringtrue.fitting.GlobalFitter;
import ringtrue.fitting.GlobalModes;
import ringtrue.fitting.ModeFitter;
import ringtrue.fitting.SetUpComparer;
import ringtrue.fitting.SetUpComparison;
import ringtrue.fitting.SetUpScatter;
import ringtrue.library.Dataset58.Wanted;
import ringtrue.library.MeasuredModes;
import ringtrue.library.Measurement;
import ringtrue.library.MeasurementFile;
import ringtrue.library.ResponseFile;
import ringtrue.library.SafeFile;
import ringtrue.report.Drawings;
import ringtrue.report.Picture;
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
      "--png and --check-png also take FILE.svg and FILE.pdf.",
      "With several measurements each is fitted by itself; --csv, --png, --check-png name folders."
    })
final class ModesCommand extends Command {
  private static final double LARGEST_SCALE = 4;
  private static final int FEWEST_DRAWS = 20;
  private static final int MOST_DRAWS = 10_000;

  /** The same measurement gives the same answer. */
  private static final long SEED = 1;

  @Parameters(
      arity = "1..*",
      paramLabel = "MEASUREMENT.json|FRF.csv|FRF.unv",
      description =
          "measurement files, or frequency responses: CSV or universal files (dataset 58)")
  private List<String> named;

  private List<Path> files = List.of();

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
      names = "--function",
      paramLabel = "N",
      description = "which response of a universal file, if it holds several, from 1")
  private Integer function;

  @Option(
      names = "--against",
      paramLabel = "OLD",
      description = "an earlier measurement or response of the same set-up: did anything change?")
  private Path against;

  @Option(
      names = "--scatter",
      paramLabel = "F,D,K",
      description =
          "what clamping again does by itself to frequency, damping, stiffness: one sigma each, %% unless said")
  private String scatter;

  @Option(
      names = "--together",
      description = "fit several responses of one structure at once: they share their modes")
  private boolean together;

  @Option(
      names = "--resample",
      paramLabel = "N",
      description = "check the uncertainties by drawing the taps N times, some hundred")
  private Integer resample;

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
  private record Done(
      Path file,
      FittedResponse fitted,
      MeasuredModes measured,
      List<String> remarks,
      DecayText decays) {

    void json(JsonOut o, List<String> all) {
      if (decays != null) {
        decays.json(o);
        return;
      }
      ModesJson.modes(o, fitted.fitted(), all);
      if (measured != null) {
        ModesJson.taps(o, measured);
      }
    }
  }

  @Override
  public Integer call() {
    FitSettings settings = settings(band, count, picks);
    SetUpScatter clamping = scatter();
    files = Batch.files(named);
    checkScale();
    checkResample();
    if (together) {
      return allTogether(settings);
    }
    if (files.size() > 1) {
      return many(settings);
    }
    requireEnding("--csv", csv, ".csv", ".txt");
    requireEnding("--png", png, Picture.endings());
    requireEnding("--check-png", checkPng, Picture.endings());
    if (png != null && png.equals(checkPng)) {
      throw new BadInputException("--check-png: is the same file as --png; choose another name");
    }
    requireOthers(files.get(0), csv, png, checkPng);
    mayWrite(csv, png, checkPng);
    Optional<Measurement> decays = DecayText.withoutForce(files.get(0));
    if (decays.isPresent()) {
      requireNothingThatNeedsForce();
      return DecayText.show(this, files.get(0), decays.get(), settings, csv, png);
    }
    Done done = alone(files.get(0), settings);
    if (against == null) {
      write(done, csv, png, checkPng);
      if (json) {
        JsonOut.write(out(), o -> done.json(o, done.remarks));
      } else {
        ModesText text = new ModesText(this);
        text.modes(done.fitted.fitted());
        text.taps(done.measured);
      }
      remarks(done.remarks);
      return Ringtrue.DONE;
    }
    return compared(done, alone(against, settings), clamping);
  }

  private Integer compared(Done now, Done before, SetUpScatter clamping) {
    SetUpComparison comparison = SetUpComparer.compare(before.fitted, now.fitted, clamping);
    write(now, csv, null, checkPng);
    draw(png, () -> Drawings.comparison(before.fitted, now.fitted, comparison), scale);
    List<String> all = new ArrayList<>(now.remarks);
    before.fitted.fitted().remarks().stream()
        .filter(r -> !now.remarks.contains(r))
        .forEach(r -> all.add(before.file.getFileName() + ": " + r));
    if (json) {
      JsonOut.write(
          out(),
          o -> {
            now.json(o, all);
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
    requireFolders();
    List<Path> tables = Batch.outputs(csv, files, "-modes.csv");
    List<Path> pictures = Batch.outputs(png, files, "-modes.png");
    List<Path> checks = Batch.outputs(checkPng, files, "-check.png");
    Batch<Done> batch =
        Batch.run(
            files,
            err(),
            (file, number, progress) -> {
              Path table = tables.get(number);
              Path picture = pictures.get(number);
              requireOthers(file, table, picture, checks.get(number));
              mayWrite(table, picture, checks.get(number));
              Optional<Measurement> decays = DecayText.withoutForce(file);
              if (decays.isPresent()) {
                DecayText text = DecayText.of(this, decays.get(), settings, progress);
                text.write(table, picture);
                return new Done(file, null, null, text.remarks(), text);
              }
              Done done = fitted(file, settings, progress);
              write(done, table, picture, checks.get(number));
              return done;
            });
    if (json) {
      batch.json(out(), "measurements", (o, done) -> done.json(o, done.remarks));
    } else {
      batch.summary(
          this,
          "measurement",
          "modes, Hz (damping %, stiffness N/um)",
          ModesCommand::inWords,
          Done::remarks);
    }
    return batch.finish(err());
  }

  private static String inWords(Done done) {
    if (done.decays != null) {
      return done.decays.inWords();
    }
    List<Mode> modes = done.fitted.fitted().model().modes();
    return modes.isEmpty()
        ? "no mode"
        : String.join(
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
                .toList());
  }

  private Done alone(Path file, FitSettings settings) {
    try (TerminalProgress progress = new TerminalProgress(err())) {
      return fitted(file, settings, progress);
    } catch (BadInputException e) {
      throw Places.named(file, e);
    }
  }

  private Done fitted(Path file, FitSettings settings, Progress progress) {
    if (ResponseFile.isNameOf(file)) {
      FrequencyResponse response = read(file);
      requireDrivingPoint(response.origin().axis());
      return done(file, response, ModeFitter.fit(response, settings, progress), null);
    }
    Measurement measurement = MeasurementFile.read(file);
    requireDrivingPoint(measurement.recording().axis());
    MeasuredModes measured =
        MeasuredModes.of(
            measurement,
            settings,
            Optional.ofNullable(resample).map(n -> new MeasuredModes.Resampling(n, SEED)),
            progress);
    return done(file, measured.response().response(), measured.modes(), measured);
  }

  static void requireDrivingPoint(String axis) {
    if (!GlobalFitter.isDrivingPoint(axis)) {
      throw new BadInputException(
          "axis: \""
              + axis
              + "\" is a cross response, whose modes may have either sign: fit it beside the"
              + " measurements in its two directions, with --together");
    }
  }

  private static Done done(
      Path file, FrequencyResponse response, FittedModes modes, MeasuredModes measured) {
    List<String> remarks = new ArrayList<>(response.origin().remarks());
    remarks.addAll(modes.remarks());
    if (measured != null) {
      remarks.addAll(measured.remarks());
    }
    return new Done(file, new FittedResponse(response, modes), measured, remarks, null);
  }

  private FrequencyResponse read(Path file) {
    return ResponseFile.read(file, new Wanted(Optional.ofNullable(function), Optional.empty()));
  }

  private FrequencyResponse response(Path file, TerminalProgress progress) {
    if (ResponseFile.isNameOf(file)) {
      return read(file);
    }
    Measurement measurement = MeasurementFile.read(file);
    return ResponseEstimator.estimate(measurement.recording(), measurement.processing(), progress)
        .response();
  }

  /** All files in one fit. */
  private Integer allTogether(FitSettings settings) {
    if (files.size() < 2) {
      throw new BadInputException("--together: needs two measurements or more of one structure");
    }
    requireFolders();
    List<Path> tables = Batch.outputs(csv, files, "-modes.csv");
    List<Path> pictures = Batch.outputs(png, files, "-modes.png");
    List<Path> checks = Batch.outputs(checkPng, files, "-check.png");
    for (int i = 0; i < files.size(); i++) {
      mayWrite(tables.get(i), pictures.get(i), checks.get(i));
    }
    if (against != null || resample != null) {
      throw new BadInputException("--together: goes neither with --against nor with --resample");
    }
    List<FrequencyResponse> responses = new ArrayList<>();
    GlobalModes global;
    try (TerminalProgress progress = new TerminalProgress(err())) {
      for (Path file : files) {
        try {
          responses.add(response(file, progress));
        } catch (BadInputException e) {
          throw Places.named(file, e);
        }
      }
      global = GlobalFitter.fit(responses, settings, progress);
    }
    for (int i = 0; i < files.size(); i++) {
      FittedModes modes = global.responses().get(i).fitted();
      write(
          new Done(
              files.get(i), new FittedResponse(responses.get(i), modes), null, List.of(), null),
          tables.get(i),
          pictures.get(i),
          checks.get(i));
    }
    ModesTogether told = new ModesTogether(files, responses, global);
    if (json) {
      JsonOut.write(out(), told::json);
    } else {
      told.print(this);
    }
    remarks(told.remarks());
    return Ringtrue.DONE;
  }

  private void requireFolders() {
    Batch.requireFolder("--csv", csv);
    Batch.requireFolder("--png", png);
    Batch.requireFolder("--check-png", checkPng);
  }

  private void write(Done done, Path csvFile, Path pngFile, Path checkFile) {
    FrequencyResponse response = done.fitted.response();
    FittedModes modes = done.fitted.fitted();
    if (csvFile != null) {
      SafeFile.writeText(csvFile, overwrite, ModesText.csv(modes));
      wrote(csvFile);
    }
    draw(pngFile, () -> Drawings.modes(response, modes), scale);
    draw(checkFile, () -> Drawings.modesCheck(response, modes), scale);
  }

  // Options ---------------------------------------------------------------------------------------

  private void requireNothingThatNeedsForce() {
    String option =
        against != null
            ? "--against"
            : resample != null ? "--resample" : checkPng != null ? "--check-png" : null;
    if (option != null) {
      throw new BadInputException(
          option + ": needs a measured force, which " + files.get(0).getFileName() + " has not");
    }
  }

  private void checkResample() {
    if (resample == null) {
      return;
    }
    if (resample < FEWEST_DRAWS || resample > MOST_DRAWS) {
      throw new BadInputException(
          "--resample: must be a whole number from "
              + FEWEST_DRAWS
              + " to "
              + MOST_DRAWS
              + ", is "
              + resample);
    }
    if (files.stream().anyMatch(ResponseFile::isNameOf)) {
      throw new BadInputException(
          "--resample: needs the taps; give the measurement file, not their average");
    }
  }

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
