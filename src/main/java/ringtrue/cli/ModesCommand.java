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
import ringtrue.fitting.FitSettings;
import ringtrue.fitting.FittedModes;
import ringtrue.fitting.ModeFitter;
import ringtrue.library.FrequencyResponseCsv;
import ringtrue.library.Measurement;
import ringtrue.library.MeasurementFile;
import ringtrue.library.SafeFile;
import ringtrue.report.Pictures;
import ringtrue.signal.ResponseEstimator;
import ringtrue.units.BadInputException;
import ringtrue.units.Dimension;

/** {@code modes}: a measurement or a frequency response to modes. */
@CommandLine.Command(
    name = "modes",
    sortOptions = false,
    description = "Modes of a measurement or a frequency response, with their uncertainty.",
    footer = {"", "Example: ringtrue modes tip-x.json --band 200:4000 --png tip-x-modes.png"})
final class ModesCommand extends Command {
  @Parameters(
      paramLabel = "MEASUREMENT.json|FRF.csv",
      description = "a measurement file, or a frequency response written by frf")
  private Path file;

  @Option(
      names = "--band",
      paramLabel = "LO:HI",
      description = "fit between these frequencies only, Hz unless said")
  private String band;

  @Option(names = "--count", paramLabel = "N", description = "find exactly this many modes")
  private Integer count;

  @Option(names = "--csv", paramLabel = "FILE.csv", description = "write the modes as CSV")
  private Path csv;

  @Option(
      names = "--png",
      paramLabel = "FILE.png",
      description = "draw the fit over the measurement")
  private Path png;

  @Override
  public Integer call() {
    mayWrite(csv, png);
    FitSettings settings = settings(band, count);
    Optional<Measurement> decays = DecayText.withoutForce(file);
    if (decays.isPresent()) {
      return DecayText.show(this, file, decays.get(), settings, csv, png);
    }
    List<String> remarks = new ArrayList<>();
    FrequencyResponse response;
    FittedModes fitted;
    try (TerminalProgress progress = new TerminalProgress(err())) {
      if (file.toString().toLowerCase(Locale.ROOT).endsWith(".csv")) {
        response = FrequencyResponseCsv.read(file);
      } else {
        Measurement measurement = MeasurementFile.read(file);
        if (measurement.added().isPresent()) {
          remarks.add("the added mass was left aside: stiffness comes from the measured force");
        }
        response =
            ResponseEstimator.estimate(measurement.recording(), measurement.processing(), progress)
                .response();
      }
      fitted = ModeFitter.fit(response, settings, progress);
    } catch (BadInputException e) {
      throw Places.named(file, e);
    }
    remarks.addAll(response.origin().remarks());
    remarks.addAll(fitted.remarks());
    if (csv != null) {
      SafeFile.writeText(csv, overwrite, toCsv(fitted));
      wrote(csv);
    }
    if (png != null) {
      SafeFile.write(png, overwrite, o -> Pictures.writePng(Pictures.modes(response, fitted), o));
      wrote(png);
    }
    if (json) {
      JsonOut.write(out(), o -> toJson(o, fitted, remarks));
    } else {
      print(fitted);
    }
    remarks(remarks);
    return Ringtrue.DONE;
  }

  static FitSettings settings(String band, Integer count) {
    if (count != null && (count < 1 || count > FitSettings.MOST_MODES)) {
      throw new BadInputException(
          "--count: must be a whole number from 1 to " + FitSettings.MOST_MODES + ", is " + count);
    }
    if (band == null) {
      return new FitSettings(
          Optional.empty(), Optional.empty(), Optional.ofNullable(count), List.of());
    }
    String[] ends = band.split(":", -1);
    if (ends.length != 2) {
      throw new BadInputException("--band: \"" + band + "\" must be two frequencies like 200:4000");
    }
    double low = Options.number("--band", ends[0], Dimension.FREQUENCY, "Hz");
    double high = Options.number("--band", ends[1], Dimension.FREQUENCY, "Hz");
    if (!(low >= 0 && high > low)) {
      throw new BadInputException("--band: \"" + band + "\" must rise, like 200:4000");
    }
    return new FitSettings(
        Optional.of(low), Optional.of(high), Optional.ofNullable(count), List.of());
  }

  private void print(FittedModes fitted) {
    if (fitted.model().modes().isEmpty()) {
      say("No mode was found from %.0f to %.0f Hz.", fitted.bandLowHz(), fitted.bandHighHz());
      return;
    }
    say(
        "%4s %20s %20s %22s %11s %8s",
        "mode", "frequency Hz", "damping %", "stiffness N/um", "mass kg", "phase");
    int number = 1;
    for (Mode m : fitted.model().modes()) {
      say(
          "%4d %20s %20s %22s %11.4g %8s",
          number++,
          plusMinus(m.frequencyHz(), m.frequencyHzSigma(), 2),
          plusMinus(m.dampingRatio() * 100, m.dampingRatioSigma() * 100, 4),
          plusMinus(m.stiffnessNPerM() / 1e6, m.stiffnessNPerMSigma() / 1e6, 4),
          m.massKg(),
          Double.isNaN(m.phaseDeg()) ? "" : String.format(Locale.ROOT, "%.1f", m.phaseDeg()));
    }
    say("");
    say(
        "± one sigma; fitted from %.0f to %.0f Hz; left over %.2g %% of the response",
        fitted.bandLowHz(), fitted.bandHighHz(), fitted.fitErrorRelative() * 100);
  }

  private static String plusMinus(double value, double sigma, int digits) {
    if (Double.isNaN(sigma)) {
      return String.format(Locale.ROOT, "%.5g", value);
    }
    int places = sigma > 0 ? (int) Math.ceil(-Math.log10(sigma)) + 1 : digits;
    places = Math.max(0, Math.min(6, places));
    return String.format(Locale.ROOT, "%." + places + "f ± %." + places + "f", value, sigma);
  }

  static String toCsv(FittedModes fitted) {
    StringBuilder text =
        new StringBuilder(
            "frequency_hz,frequency_hz_sigma,damping_ratio,damping_ratio_sigma,"
                + "stiffness_n_per_m,stiffness_n_per_m_sigma,mass_kg,phase_deg\n");
    for (Mode m : fitted.model().modes()) {
      double[] values = {
        m.frequencyHz(),
        m.frequencyHzSigma(),
        m.dampingRatio(),
        m.dampingRatioSigma(),
        m.stiffnessNPerM(),
        m.stiffnessNPerMSigma(),
        m.massKg(),
        m.phaseDeg()
      };
      for (int i = 0; i < values.length; i++) {
        text.append(i == 0 ? "" : ",").append(Double.isNaN(values[i]) ? "" : values[i]);
      }
      text.append('\n');
    }
    return text.toString();
  }

  static void toJson(JsonOut o, FittedModes fitted, List<String> remarks) {
    o.objects(
        "modes",
        fitted.model().modes(),
        (m, mode) ->
            m.put("frequencyHz", mode.frequencyHz())
                .put("frequencyHzSigma", mode.frequencyHzSigma())
                .put("dampingRatio", mode.dampingRatio())
                .put("dampingRatioSigma", mode.dampingRatioSigma())
                .put("stiffnessNPerM", mode.stiffnessNPerM())
                .put("stiffnessNPerMSigma", mode.stiffnessNPerMSigma())
                .put("massKg", mode.massKg())
                .put("phaseDeg", mode.phaseDeg()));
    o.object(
        "residual",
        r ->
            r.put("upperMPerN", fitted.model().residual().upperMPerN())
                .put("lowerPerKg", fitted.model().residual().lowerPerKg()));
    o.numbers("bandHz", 2, i -> i == 0 ? fitted.bandLowHz() : fitted.bandHighHz());
    o.put("fitErrorRelative", fitted.fitErrorRelative());
    o.texts("remarks", remarks);
  }
}
