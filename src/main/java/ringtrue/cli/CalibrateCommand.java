package ringtrue.cli;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import picocli.CommandLine;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import ringtrue.acquisition.TapRecording;
import ringtrue.library.Measurement;
import ringtrue.library.MeasurementFile;
import ringtrue.library.SafeFile;
import ringtrue.report.CalibrationPicture;
import ringtrue.report.Pictures;
import ringtrue.signal.AveragedResponse;
import ringtrue.signal.KnownMass;
import ringtrue.signal.ResponseEstimator;
import ringtrue.units.BadInputException;
import ringtrue.units.Dimension;

/** {@code calibrate}: hammer and sensor as a pair, from taps on a hanging mass. */
@CommandLine.Command(
    name = "calibrate",
    sortOptions = false,
    description = {
      "Calibrates hammer and sensor as a pair, from taps on a freely hanging, weighed block",
      "struck in line with the sensor, which sits opposite the blow."
    },
    footer = {"", "Example: ringtrue calibrate block.json --mass \"0.75 kg\" --png block.png"})
final class CalibrateCommand extends Command {
  private static final double LEAST_KG = 0.01;
  private static final double MOST_KG = 100;

  @Parameters(
      paramLabel = "MEASUREMENT.json",
      description = "measurement file of the taps on the block, with sensitivities as entered")
  private Path file;

  @Option(
      names = "--mass",
      required = true,
      paramLabel = "MASS",
      description = "mass of the block without the sensor, like \"0.75 kg\" or \"1.6 lb\"")
  private String mass;

  @Option(
      names = "--png",
      paramLabel = "FILE.png",
      description = "draw how the factor runs over frequency")
  private Path png;

  @Override
  public Integer call() {
    requireEnding("--png", png, ".png");
    requireOthers(file, png);
    mayWrite(png);
    double massKg = Options.positive("--mass", mass, Dimension.MASS);
    if (massKg < LEAST_KG || massKg > MOST_KG) {
      throw new BadInputException(
          "--mass: \"" + mass + "\" is no block to hang and strike; 10 g to 100 kg make sense");
    }
    AveragedResponse averaged;
    KnownMass found;
    double sensorKg;
    try (TerminalProgress progress = new TerminalProgress(err())) {
      Measurement measurement = MeasurementFile.read(file);
      TapRecording recording = measurement.recording();
      sensorKg = recording.sensorMassKg();
      averaged =
          ResponseEstimator.estimate(
              recording.withSensorMass(0), measurement.processing(), progress);
      found = KnownMass.of(averaged.response(), massKg + sensorKg);
    } catch (BadInputException e) {
      throw Places.named(file, e);
    }
    if (png != null) {
      SafeFile.write(
          png,
          overwrite,
          o -> Pictures.writePng(CalibrationPicture.of(averaged.response(), found), o));
      wrote(png);
    }
    List<String> remarks = new ArrayList<>(averaged.response().origin().remarks());
    remarks.addAll(found.remarks());
    if (sensorKg == 0) {
      remarks.add(
          "no sensorMass was given, so that the sensor counts as nothing beside the block; weigh it"
              + " with the block, or give its mass");
    }
    if (json) {
      JsonOut.write(out(), o -> toJson(o, found, massKg, sensorKg, remarks));
    } else {
      print(found, massKg, sensorKg);
    }
    remarks(remarks);
    return Ringtrue.DONE;
  }

  private void print(KnownMass found, double massKg, double sensorKg) {
    say(
        "Hammer and sensor together read %.4f times what is there (%s), ± %.2g %% (one sigma, without"
            + " that of the mass).",
        found.factor(), much(found.factor()), 100 * found.factorSigma() / found.factor());
    say(
        "%.5g kg%s; flat within %.2g %% from %.4g to %.4g Hz",
        massKg,
        sensorKg > 0 ? String.format(Locale.ROOT, " and a sensor of %.4g g", sensorKg * 1e3) : "",
        found.largestDeviation() * 100,
        found.flatLowHz(),
        found.flatHighHz());
    say(
        "channel skew %.3g ± %.1g us besides what was allowed for",
        found.skewS() * 1e6, found.skewSigmaS() * 1e6);
    say("");
    say("Put this into every measurement made with the same hammer, sensor, inputs and gains:");
    say(
        "  \"calibration\": {\"factor\": %.5f, \"sigma\": \"%.2g %%\"}",
        found.factor(), 100 * found.factorSigma() / found.factor());
    say(
        "or enter %.5f times the response's sensitivity instead, as it stands in the file.",
        found.factor());
  }

  private static String much(double factor) {
    return String.format(
        Locale.ROOT, "%.2g %% too %s", 100 * Math.abs(factor - 1), factor < 1 ? "little" : "much");
  }

  static void toJson(
      JsonOut o, KnownMass found, double massKg, double sensorKg, List<String> remarks) {
    o.put("factor", found.factor())
        .put("factorSigma", found.factorSigma())
        .put("massKg", massKg)
        .put("sensorMassKg", sensorKg)
        .put("reversed", found.reversed())
        .put("skewS", found.skewS())
        .put("skewSSigma", found.skewSigmaS())
        .numbers("flatBandHz", 2, i -> i == 0 ? found.flatLowHz() : found.flatHighHz())
        .put("largestDeviation", found.largestDeviation())
        .numbers("frequencyHz", found.ratio().size(), i -> found.ratio().get(i).frequencyHz())
        .numbers("ratio", found.ratio().size(), i -> found.ratio().get(i).magnitude())
        .numbers("phaseDeg", found.ratio().size(), i -> found.ratio().get(i).phaseDeg())
        .texts("remarks", remarks);
  }
}
