package ringtrue.cli;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.Collectors;
import ringtrue.acquisition.TapRecording;
import ringtrue.dynamics.Progress;
import ringtrue.fitting.DecayMode;
import ringtrue.fitting.DecayModes;
import ringtrue.fitting.FitSettings;
import ringtrue.library.DecayMeasurement;
import ringtrue.library.Measurement;
import ringtrue.library.MeasurementFile;
import ringtrue.library.ModesCsv;
import ringtrue.library.ResponseFile;
import ringtrue.library.SafeFile;
import ringtrue.report.Drawings;
import ringtrue.signal.DecayTap;
import ringtrue.units.BadInputException;

/** What {@code modes} shows of a measurement without force. */
final class DecayText {
  private static final String UNKNOWN = "unknown";

  /** Taps listed one by one; more would hide the modes. */
  private static final int MOST_TAPS = 40;

  private final Command command;
  private final TapRecording recording;
  private final DecayMeasurement measured;

  private DecayText(Command command, TapRecording recording, DecayMeasurement measured) {
    this.command = command;
    this.recording = recording;
    this.measured = measured;
  }

  /** The measurement, if a file is one and has no force. */
  static Optional<Measurement> withoutForce(Path file) {
    if (ResponseFile.isNameOf(file)) {
      return Optional.empty();
    }
    return Optional.of(MeasurementFile.read(file)).filter(m -> m.recording().force().isEmpty());
  }

  /** Fits it. */
  static DecayText of(
      Command command, Measurement measurement, FitSettings settings, Progress progress) {
    return new DecayText(
        command, measurement.recording(), DecayMeasurement.of(measurement, settings, progress));
  }

  /** Writes what was asked for; null for what was not. */
  void write(Path csv, Path png) {
    if (csv != null) {
      SafeFile.writeText(csv, command.overwrite, csv());
      command.wrote(csv);
    }
    command.draw(png, () -> Drawings.decay(recording, measured), 1);
  }

  List<String> remarks() {
    return measured.remarks();
  }

  /** Frequencies and damping in a few words. */
  String inWords() {
    return measured.modes().modes().isEmpty()
        ? "no mode; no force measured"
        : measured.modes().modes().stream()
            .map(
                m ->
                    String.format(
                        Locale.ROOT, "%.1f (%.2f)", m.frequencyHz(), 100 * m.dampingRatio()))
            .collect(Collectors.joining("; ", "", "; no force measured"));
  }

  /** Fits and shows it. */
  static Integer show(
      Command command,
      Path file,
      Measurement measurement,
      FitSettings settings,
      Path csv,
      Path png) {
    DecayText text;
    try (TerminalProgress progress = new TerminalProgress(command.err())) {
      text = of(command, measurement, settings, progress);
    } catch (BadInputException e) {
      throw Places.named(file, e);
    }
    text.write(csv, png);
    if (command.json) {
      JsonOut.write(command.out(), text::json);
    } else {
      text.print();
    }
    command.remarks(text.remarks());
    return Ringtrue.DONE;
  }

  private void print() {
    DecayModes modes = measured.modes();
    if (modes.modes().isEmpty()) {
      command.say("No mode was found from %.4g to %.4g Hz.", modes.bandLowHz(), modes.bandHighHz());
    } else {
      command.say(
          "%4s %22s %20s %22s %22s",
          "mode", "frequency Hz", "damping %", "stiffness N/um", "mass kg");
      int number = 1;
      for (DecayMode m : modes.modes()) {
        command.say(
            "%4d %22s %20s %22s %22s",
            number++,
            plusMinus(m.frequencyHz(), m.frequencyHzSigma()),
            plusMinus(m.dampingRatio() * 100, m.dampingRatioSigma() * 100),
            plusMinus(m.stiffnessNPerM() / 1e6, m.stiffnessNPerMSigma() / 1e6),
            plusMinus(m.massKg(), m.massKgSigma()));
      }
      command.say("");
      long taps = modes.taps().stream().filter(t -> t.complaint().isEmpty()).count();
      command.say(
          "± one sigma, from the free decays of %d %s, no force measured; looked at from %.4g to"
              + " %.4g Hz",
          taps, taps == 1 ? "tap" : "taps", modes.bandLowHz(), modes.bandHighHz());
    }
    command.say("");
    command.say(
        "%4s %12s %-17s %s", "tap", "time s", "verdict", "natural frequencies Hz, or why not");
    for (DecayTap tap : measured.taps().subList(0, Math.min(MOST_TAPS, measured.taps().size()))) {
      Optional<DecayModes.TapFit> fit = measured.fitOf(tap).filter(f -> f.complaint().isEmpty());
      command.say(
          "%4d %12.4f %-17s %s",
          tap.number(),
          tap.onsetS(),
          tap.verdict().word(),
          fit.map(this::own).orElse(tap.reason()));
    }
    if (measured.taps().size() > MOST_TAPS) {
      command.say("     and %d more (see --json)", measured.taps().size() - MOST_TAPS);
    }
  }

  private String own(DecayModes.TapFit fit) {
    List<String> all = new ArrayList<>();
    for (int i = 0; i < fit.frequencyHz().size(); i++) {
      double sigma = measured.modes().modes().get(i).frequencyHzSigma();
      all.add(
          Double.isNaN(fit.frequencyHz().get(i))
              ? "-"
              : String.format(Locale.ROOT, "%." + places(sigma) + "f", fit.frequencyHz().get(i)));
    }
    return String.join("  ", all);
  }

  private static int places(double sigma) {
    return Math.max(0, Math.min(6, sigma > 0 ? (int) Math.ceil(-Math.log10(sigma)) + 1 : 3));
  }

  private static String plusMinus(double value, double sigma) {
    if (Double.isNaN(value)) {
      return UNKNOWN;
    }
    if (!(sigma > 0)) {
      return String.format(Locale.ROOT, "%.6g", value);
    }
    int places = places(sigma);
    return String.format(Locale.ROOT, "%." + places + "f ± %." + places + "f", value, sigma);
  }

  private String csv() {
    return ModesCsv.toText(
        measured.modes().modes().stream()
            .map(
                m ->
                    new double[] {
                      m.frequencyHz(),
                      m.frequencyHzSigma(),
                      m.dampingRatio(),
                      m.dampingRatioSigma(),
                      m.stiffnessNPerM(),
                      m.stiffnessNPerMSigma(),
                      m.massKg(),
                      Double.NaN
                    })
            .toList());
  }

  void json(JsonOut o) {
    DecayModes modes = measured.modes();
    o.objects("modes", modes.modes(), DecayText::mode);
    o.object("residual", r -> r.put("upperMPerN", Double.NaN).put("lowerPerKg", Double.NaN));
    o.numbers("bandHz", 2, i -> i == 0 ? modes.bandLowHz() : modes.bandHighHz());
    o.put("fitErrorRelative", modes.fitErrorRelative());
    o.put("forceMeasured", false);
    o.put("quantity", recording.quantity().word());
    o.put("skippedS", modes.skippedS());
    o.objects("taps", measured.taps(), this::tap);
    measured.loaded().ifPresent(l -> o.objects("modesWithAddedMass", l.modes(), DecayText::mode));
    o.texts("remarks", measured.remarks());
  }

  private static void mode(JsonOut o, DecayMode m) {
    o.put("frequencyHz", m.frequencyHz())
        .put("frequencyHzSigma", m.frequencyHzSigma())
        .put("dampingRatio", m.dampingRatio())
        .put("dampingRatioSigma", m.dampingRatioSigma())
        .put("stiffnessNPerM", m.stiffnessNPerM())
        .put("stiffnessNPerMSigma", m.stiffnessNPerMSigma())
        .put("massKg", m.massKg())
        .put("massKgSigma", m.massKgSigma())
        .put("phaseDeg", Double.NaN);
  }

  private void tap(JsonOut o, DecayTap tap) {
    o.put("recording", tap.recording())
        .put("onsetS", tap.onsetS())
        .put("peak", tap.peak())
        .put("lengthS", tap.lengthS())
        .put("verdict", tap.verdict().word())
        .put("reason", tap.reason());
    measured
        .fitOf(tap)
        .ifPresent(
            f ->
                o.numbers("frequencyHz", f.frequencyHz().size(), i -> f.frequencyHz().get(i))
                    .numbers("dampingRatio", f.dampingRatio().size(), i -> f.dampingRatio().get(i))
                    .numbers("amplitude", f.amplitude().size(), i -> f.amplitude().get(i)));
  }
}
