package ringtrue.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import picocli.CommandLine;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import ringtrue.acquisition.TapRecording;
import ringtrue.acquisition.WavRecording;
import ringtrue.library.InputProfile;
import ringtrue.library.InputProfileFile;
import ringtrue.library.Measurement;
import ringtrue.library.MeasurementFile;
import ringtrue.library.UserFolder;
import ringtrue.report.Drawings;
import ringtrue.report.Picture;
import ringtrue.signal.AveragedResponse;
import ringtrue.signal.KnownMass;
import ringtrue.signal.KnownVoltage;
import ringtrue.signal.ResponseEstimator;
import ringtrue.signal.SplitSignal;
import ringtrue.units.BadInputException;
import ringtrue.units.Dimension;

/** {@code calibrate}: hammer and sensor by a hanging mass, full scale and skew of an input. */
@CommandLine.Command(
    name = "calibrate",
    sortOptions = false,
    description = {
      "Calibrates one of three things:",
      "--mass   hammer and sensor as a pair, from taps on a freely hanging, weighed block struck in",
      "         line with the sensor, which sits opposite the blow (MEASUREMENT.json);",
      "--known  the full scale of an input, from a recording of a known voltage (WAV);",
      "--split  skew and gain between two inputs, from one signal split to both (WAV)."
    },
    footer = {
      "",
      "Examples: ringtrue calibrate block.json --mass \"0.75 kg\" --png block.png",
      "          ringtrue calibrate sine.wav --known \"0.5 V rms ± 1 %\" --channel 2",
      "          ringtrue calibrate split.wav --split --profile box.json --overwrite"
    })
final class CalibrateCommand extends Command {
  private static final Pattern KNOWN =
      Pattern.compile(
          "\\s*(.+?)\\s*\\b(rms|peak|dc)\\s*(?:(?:±|\\+/?-)\\s*(.+))?", Pattern.CASE_INSENSITIVE);
  private static final double LEAST_KG = 0.01;
  private static final double MOST_KG = 100;

  @Parameters(
      paramLabel = "FILE",
      description = "measurement file of the taps on the block, or WAV file of the known signal")
  private Path file;

  @Option(
      names = "--mass",
      paramLabel = "MASS",
      description = "mass of the block without the sensor, like \"0.75 kg\" or \"1.6 lb\"")
  private String mass;

  @Option(
      names = "--png",
      paramLabel = "FILE.png",
      description = "with --mass: draw how the factor runs over frequency")
  private Path png;

  @Option(
      names = "--known",
      paramLabel = "VOLTAGE",
      description =
          "the voltage that was recorded, like \"0.5 V rms\", \"0.7 V peak\" or \"1.2 V dc\"; with the"
              + " meter's uncertainty if it is known, as in \"0.5 V rms ± 1 %%\"")
  private String known;

  @Option(
      names = "--channel",
      paramLabel = "N",
      description = "with --known: which channel (1 unless said otherwise)")
  private String channel;

  @Option(
      names = "--split",
      description = "the file holds one signal split to two channels: taps, noise or speech")
  private boolean split;

  @Option(
      names = "--channels",
      paramLabel = "A,B",
      description = "with --split: which two, the hammer's first (1,2 unless said otherwise)")
  private String channels;

  @Option(
      names = "--profile",
      paramLabel = "PROFILE",
      description =
          "with --known or --split: put the result into this input profile, a file or the name of one"
              + " in the user's folder (needs --overwrite)")
  private String profileSaid;

  private Path profile;

  @Override
  public Integer call() {
    int ways = (mass != null ? 1 : 0) + (known != null ? 1 : 0) + (split ? 1 : 0);
    if (ways != 1) {
      throw new BadInputException(
          "calibrate needs one of --mass \"0.75 kg\", --known \"0.5 V rms\" or --split");
    }
    belongs(png != null, "--png", mass != null, "--mass");
    belongs(channel != null, "--channel", known != null, "--known");
    belongs(channels != null, "--channels", split, "--split");
    belongs(profileSaid != null, "--profile", mass == null, "--known or --split");
    if (profileSaid != null && !overwrite) {
      throw new BadInputException(profileSaid + ": the result goes into it only with --overwrite");
    }
    profile = profileSaid == null ? null : UserFolder.inputProfile(profileSaid);
    try {
      return mass != null ? byMass() : known != null ? byVoltage() : bySplitSignal();
    } catch (IOException e) {
      throw new BadInputException(file + ": cannot be read: " + e.getMessage(), e);
    }
  }

  private static void belongs(boolean given, String option, boolean fits, String to) {
    if (given && !fits) {
      throw new BadInputException(option + " belongs to " + to);
    }
  }

  private Integer byVoltage() throws IOException {
    Matcher said = KNOWN.matcher(known);
    if (!said.matches()) {
      throw new BadInputException(
          "--known: \""
              + known
              + "\" must be a voltage and what of it is known, like \"0.5 V rms\", \"0.7 V peak\" or"
              + " \"1.2 V dc\"");
    }
    double volts = Options.positive("--known", said.group(1), Dimension.VOLTAGE);
    KnownVoltage.Kind kind = KnownVoltage.Kind.valueOf(said.group(2).toUpperCase(Locale.ROOT));
    double sigma =
        said.group(3) == null ? 0 : Options.positive("--known", said.group(3), Dimension.RATIO);
    int number = channel == null ? 1 : (int) Options.whole("--channel", channel, 1, 16);
    Optional<InputProfile> old = Optional.ofNullable(profile).map(InputProfileFile::read);
    Optional<InputProfile> changed = Optional.empty();
    WavRecording recording = WavRecording.open(file);
    List<String> remarks = new ArrayList<>(recording.remarks());
    KnownVoltage found = KnownVoltage.of(recording, number, volts, kind, sigma);
    remarks.addAll(found.remarks());
    if (old.isPresent()) {
      remarks.addAll(rateWarning(old.get(), recording));
      changed = Optional.of(withFullScale(old.get(), number, found));
    }
    changed.ifPresent(p -> InputProfileFile.write(profile, true, p));
    if (json) {
      JsonOut.write(
          out(),
          o ->
              o.put("channel", number)
                  .put("fullScaleV", found.fullScaleV())
                  .put("fullScaleVSigma", found.fullScaleSigmaV())
                  .put("frequencyHz", found.frequencyHz())
                  .put("amplitude", found.amplitude())
                  .texts("remarks", remarks));
    } else {
      say(
          "Full scale of channel %d: %.5g V ± %.2g %% (one sigma)",
          number, found.fullScaleV(), 100 * found.fullScaleSigmaV() / found.fullScaleV());
      say(
          kind == KnownVoltage.Kind.DC
              ? "from a level of %.4g of full scale"
              : "from a sine of %.4g of full scale at %.5g Hz",
          found.amplitude(),
          found.frequencyHz());
      say("");
      say("Put this into the channel: \"fullScale\": \"%.5g V\"", found.fullScaleV());
      changed.ifPresent(p -> wrote(profile));
    }
    remarks(remarks);
    return Ringtrue.DONE;
  }

  private static List<String> rateWarning(InputProfile old, WavRecording recording) {
    return old.warnings(
        old.device(),
        recording.sampleRateHz(),
        recording.floating() || recording.bits() > 32 ? old.bits() : recording.bits());
  }

  private InputProfile withFullScale(InputProfile old, int number, KnownVoltage found) {
    double sigma = found.fullScaleSigmaV() / found.fullScaleV();
    if (old.response().channel() == number) {
      return old.withResponse(old.response().withFullScale(found.fullScaleV(), sigma));
    }
    if (old.force().filter(f -> f.channel() == number).isPresent()) {
      return old.withForce(old.force().get().withFullScale(found.fullScaleV(), sigma));
    }
    throw new BadInputException(
        profile.getFileName() + ": has neither force nor response on channel " + number);
  }

  private Integer bySplitSignal() throws IOException {
    int[] pair = {1, 2};
    if (channels != null) {
      String[] parts = channels.split(",", -1);
      if (parts.length != 2) {
        throw new BadInputException(
            "--channels: \"" + channels + "\" must be two numbers like 1,2");
      }
      pair[0] = (int) Options.whole("--channels", parts[0], 1, 16);
      pair[1] = (int) Options.whole("--channels", parts[1], 1, 16);
    }
    Optional<InputProfile> old = Optional.ofNullable(profile).map(InputProfileFile::read);
    old.ifPresent(p -> mustBe(p, pair));
    WavRecording recording = WavRecording.open(file);
    List<String> remarks = new ArrayList<>(recording.remarks());
    SplitSignal found = SplitSignal.of(recording, pair[0], pair[1]);
    remarks.addAll(found.remarks());
    old.ifPresent(p -> remarks.addAll(rateWarning(p, recording)));
    old.ifPresent(p -> InputProfileFile.write(profile, true, p.withSkew(found.skewS())));
    if (json) {
      JsonOut.write(out(), o -> toJson(o, found, pair, remarks));
    } else {
      say(
          "Channel %d is sampled %.4g us %s than channel %d (± %.1g us, one sigma).",
          pair[1],
          Math.abs(found.skewS()) * 1e6,
          found.skewS() < 0 ? "earlier" : "later",
          pair[0],
          found.skewSigmaS() * 1e6);
      say(
          "It reads %.6g ± %.1g times as much%s.",
          found.gainRatio(), found.gainSigma(), found.reversed() ? ", with the other sign" : "");
      say("from %.4g to %.4g Hz", found.lowHz(), found.highHz());
      say("");
      say("Put this into the measurement: \"channelSkew\": \"%.4g us\"", found.skewS() * 1e6);
      old.ifPresent(p -> wrote(profile));
    }
    remarks(remarks);
    return Ringtrue.DONE;
  }

  private void mustBe(InputProfile old, int[] pair) {
    boolean fits =
        old.response().channel() == pair[1]
            && old.force().filter(f -> f.channel() == pair[0]).isPresent();
    if (!fits) {
      throw new BadInputException(
          profile.getFileName()
              + ": force and response are not on channels "
              + pair[0]
              + " and "
              + pair[1]
              + "; say --channels with the force's first");
    }
  }

  private static void toJson(JsonOut o, SplitSignal found, int[] pair, List<String> remarks) {
    o.numbers("channels", 2, i -> pair[i])
        .put("skewS", found.skewS())
        .put("skewSSigma", found.skewSigmaS())
        .put("gainRatio", found.gainRatio())
        .put("gainRatioSigma", found.gainSigma())
        .put("reversed", found.reversed())
        .numbers("bandHz", 2, i -> i == 0 ? found.lowHz() : found.highHz())
        .put("largestPhaseDeg", found.largestPhaseDeg())
        .put("largestGainDeviation", found.largestGain())
        .texts("remarks", remarks);
  }

  private Integer byMass() {
    requireEnding("--png", png, Picture.endings());
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
    draw(png, () -> Drawings.calibration(averaged.response(), found), 1);
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
