package ringtrue.cli;

import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import picocli.CommandLine;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.Progress;
import ringtrue.dynamics.ResponseForm;
import ringtrue.library.Measurement;
import ringtrue.library.MeasurementFile;
import ringtrue.library.ResponseFile;
import ringtrue.library.SafeFile;
import ringtrue.report.Drawings;
import ringtrue.report.Picture;
import ringtrue.signal.AveragedResponse;
import ringtrue.signal.ResponseEstimator;
import ringtrue.signal.Tap;
import ringtrue.units.BadInputException;

/** {@code frf}: recorded taps to an averaged frequency response. */
@CommandLine.Command(
    name = "frf",
    sortOptions = false,
    description = "Averaged frequency response, coherence and error, with a verdict for each tap.",
    footer = {
      "",
      "Example: ringtrue frf tip-x.json --out tip-x.csv --png tip-x.png",
      "--png also takes FILE.svg and FILE.pdf. With several measurements, --out and --png name folders."
    })
final class FrfCommand extends Command {
  @Parameters(
      arity = "1..*",
      paramLabel = "MEASUREMENT.json",
      description = "measurement files (ringtrue-measurement/1)")
  private List<String> named;

  @Option(
      names = "--out",
      paramLabel = "FILE.csv|FILE.unv",
      description = "write the response as CSV, or as a universal file (dataset 58)")
  private Path csv;

  @Option(names = "--png", paramLabel = "FILE.png", description = "draw the response")
  private Path png;

  @Option(
      names = "--as",
      paramLabel = "FORM",
      description =
          "draw, print and write to .unv: receptance (default), mobility or accelerance; CSV and JSON hold receptance")
  private String as = ResponseForm.RECEPTANCE.word();

  private ResponseForm form() {
    for (ResponseForm form : ResponseForm.values()) {
      if (form.word().equals(as)) {
        return form;
      }
    }
    throw new BadInputException("--as: \"" + as + "\" must be receptance, mobility or accelerance");
  }

  @Override
  public Integer call() {
    form();
    List<Path> files = Batch.files(named);
    if (files.size() > 1) {
      return many(files);
    }
    Path file = files.get(0);
    requireEnding("--out", csv, ".csv", ".txt", ".unv", ".uff");
    requireEnding("--png", png, Picture.endings());
    requireOthers(file, csv, png);
    mayWrite(csv, png);
    AveragedResponse response;
    try (TerminalProgress progress = new TerminalProgress(err())) {
      response = estimate(file, progress);
    } catch (BadInputException e) {
      throw Places.named(file, e);
    }
    write(response, csv, png);
    if (json) {
      JsonOut.write(out(), o -> toJson(o, response));
    } else {
      print(response);
    }
    remarks(response.response().origin().remarks());
    return Ringtrue.DONE;
  }

  /** Each file by itself. */
  private Integer many(List<Path> files) {
    Batch.requireFolder("--out", csv);
    Batch.requireFolder("--png", png);
    List<Path> tables = Batch.outputs(csv, files, ".csv");
    List<Path> pictures = Batch.outputs(png, files, ".png");
    Batch<AveragedResponse> batch =
        Batch.run(
            files,
            err(),
            (file, number, progress) -> {
              requireOthers(file, tables.get(number), pictures.get(number));
              mayWrite(tables.get(number), pictures.get(number));
              AveragedResponse response = estimate(file, progress);
              write(response, tables.get(number), pictures.get(number));
              return response;
            });
    if (json) {
      batch.json(out(), "measurements", FrfCommand::toJson);
    } else {
      batch.summary(
          this,
          "measurement",
          "result",
          r ->
              String.format(
                  Locale.ROOT,
                  "%d of %d taps, usable from %.0f to %.0f Hz",
                  r.response().origin().averages(),
                  r.taps().size(),
                  r.response().origin().bandLowHz(),
                  r.response().origin().bandHighHz()),
          r -> r.response().origin().remarks());
    }
    return batch.finish(err());
  }

  private static AveragedResponse estimate(Path file, Progress progress) {
    Measurement measurement = MeasurementFile.read(file);
    return ResponseEstimator.estimate(measurement.recording(), measurement.processing(), progress);
  }

  private void write(AveragedResponse response, Path csvFile, Path pngFile) {
    if (csvFile != null) {
      SafeFile.writeText(
          csvFile, overwrite, ResponseFile.text(csvFile, response.response(), form()));
      wrote(csvFile);
    }
    draw(pngFile, () -> Drawings.response(response, form()), 1);
  }

  private void print(AveragedResponse averaged) {
    FrequencyResponse.Origin origin = averaged.response().origin();
    say("%s", origin.source().isEmpty() ? "Frequency response" : origin.source());
    say("");
    say(
        "%4s  %-24s %9s %9s %9s %9s  %s",
        "tap", "recording", "at s", "peak N", "contact", "good to", "verdict");
    for (Tap tap : averaged.taps()) {
      say(
          "%4d  %-24.24s %9.4f %9.1f %6.2f ms %6.0f Hz  %s%s",
          tap.number(),
          tap.recording(),
          tap.onsetS(),
          tap.peakForceN(),
          tap.contactS() * 1e3,
          tap.usableToHz(),
          tap.verdict().word(),
          tap.verdict() == Tap.Verdict.KEPT || tap.reason().isEmpty() ? "" : ": " + tap.reason());
    }
    say("");
    say(
        "%d averages (%s), %.4g Hz between lines, usable from %.0f to %.0f Hz",
        origin.averages(),
        averaged.used().estimator().word(),
        averaged.response().resolutionHz(),
        origin.bandLowHz(),
        origin.bandHighHz());
    printLargest(averaged.response(), form());
  }

  private void printLargest(FrequencyResponse response, ResponseForm form) {
    double largest = 0;
    double atHz = Double.NaN;
    for (int i = response.firstLineAtOrAbove(response.origin().bandLowHz());
        i < response.lines() && response.frequencyHz(i) <= response.origin().bandHighHz();
        i++) {
      double[] value = {response.real(i), response.imag(i)};
      form.fromReceptance(response.frequencyHz(i), response.windowTimeConstantS(), value);
      double size = Math.hypot(value[0], value[1]);
      if (size > largest) {
        largest = size;
        atHz = response.frequencyHz(i);
      }
    }
    if (largest > 0) {
      say(
          "largest %s in the band: %.4g %s at %.1f Hz",
          form.word(), largest * form.readablePerSi(), form.readableUnit(), atHz);
    }
  }

  static void toJson(JsonOut o, AveragedResponse averaged) {
    FrequencyResponse response = averaged.response();
    FrequencyResponse.Origin origin = response.origin();
    o.put("averages", origin.averages());
    o.numbers("bandHz", 2, i -> i == 0 ? origin.bandLowHz() : origin.bandHighHz());
    o.put("resolutionHz", response.resolutionHz());
    o.put("axis", origin.axis());
    o.put("point", origin.point());
    o.object(
        "processing",
        p ->
            p.put("blockLengthS", averaged.used().blockLengthS())
                .put("preTriggerS", averaged.used().preTriggerS())
                .put("triggerFraction", averaged.used().triggerFraction())
                .put("forceWindowLengthS", averaged.used().forceWindow().lengthS())
                .put("forceWindowTaperS", averaged.used().forceWindow().taperS())
                .put("responseTimeConstantS", averaged.used().responseTimeConstantS())
                .put("estimator", averaged.used().estimator().word()));
    o.objects(
        "taps",
        averaged.taps(),
        (t, tap) ->
            t.put("number", tap.number())
                .put("recording", tap.recording())
                .put("onsetS", tap.onsetS())
                .put("peakForceN", tap.peakForceN())
                .put("contactS", tap.contactS())
                .put("usableToHz", tap.usableToHz())
                .put("verdict", tap.verdict().word())
                .put("reason", tap.reason()));
    int n = response.lines();
    o.numbers("frequencyHz", n, response::frequencyHz);
    o.numbers("realMPerN", n, response::real);
    o.numbers("imagMPerN", n, response::imag);
    o.numbers("coherence", n, response::coherence);
    o.numbers("relativeError", n, response::relativeError);
    o.texts("remarks", origin.remarks());
  }
}
