package ringtrue.library;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Residual;
import ringtrue.units.BadInputException;

/** Reads modes that {@code modes --csv} or {@code modes --json} wrote, or that a library keeps. */
public final class ModesFile {
  private ModesFile() {}

  /**
   * Reads modes with their sigmas and residual terms.
   *
   * @throws BadInputException if the file holds none, or some without stiffness
   */
  public static ModalModel read(Path file) {
    return file.toString().toLowerCase(Locale.ROOT).endsWith(".json")
        ? json(file)
        : ModesCsv.read(file);
  }

  private static ModalModel json(Path file) {
    JsonFields all = JsonFields.openResult(file);
    if (all.has("measurements")) {
      throw all.problem(
          "measurements", "holds the modes of several measurements; one for each file is needed");
    }
    if (!all.has("modes")) {
      throw all.missing("modes", "what modes --json prints");
    }
    List<Mode> modes = new ArrayList<>();
    for (JsonFields m : all.results("modes")) {
      modes.add(mode(m));
    }
    Residual residual =
        all.result("residual")
            .map(r -> new Residual(limited(r, "upperMPerN", 1e3), limited(r, "lowerPerKg", 1e9)))
            .orElse(Residual.NONE);
    return new ModalModel(modes, residual);
  }

  private static Mode mode(JsonFields m) {
    if (m.has("frequencyHz") && !m.has("stiffnessNPerM")) {
      throw m.problem(
          "stiffnessNPerM",
          "is unknown, as in a measurement without force; limits of a cut need it");
    }
    return new Mode(
        needed(m, "frequencyHz", 0.01, 1e6),
        needed(m, "dampingRatio", 1e-9, 0.999999),
        needed(m, "stiffnessNPerM", 1, 1e15),
        sigma(m, "frequencyHzSigma"),
        sigma(m, "dampingRatioSigma"),
        sigma(m, "stiffnessNPerMSigma"),
        m.number("phaseDeg").orElse(Double.NaN));
  }

  private static double needed(JsonFields m, String field, double least, double most) {
    double value = m.number(field).orElseThrow(() -> m.missing(field, "a number"));
    if (!(value >= least && value <= most)) {
      throw m.problem(field, value + " makes no sense here (from " + least + " to " + most + ")");
    }
    return value;
  }

  private static double sigma(JsonFields m, String field) {
    double value = m.number(field).orElse(Double.NaN);
    if (value < 0 || value > 1e15) {
      throw m.problem(field, "must not be negative or without bounds, is " + value);
    }
    return value;
  }

  private static double limited(JsonFields m, String field, double most) {
    double value = m.number(field).orElse(0.0);
    if (Math.abs(value) > most) {
      throw m.problem(field, value + " makes no sense here (at most " + most + ")");
    }
    return value;
  }
}
