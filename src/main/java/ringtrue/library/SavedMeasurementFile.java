package ringtrue.library;

import java.util.List;
import ringtrue.dynamics.Residual;
import ringtrue.library.SavedMeasurement.SavedMode;
import ringtrue.units.BadInputException;

/**
 * The file {@code modes.json} of a saved measurement, format {@code ringtrue-saved-modes/1}: when,
 * where and in which direction was measured, and the modes that were found, in SI units to their
 * last digit.
 */
public final class SavedMeasurementFile {
  /** Its name in the measurement's folder. */
  public static final String NAME = "modes.json";

  /** The averaged response beside it. */
  public static final String RESPONSE = "response.csv";

  /** What the recordings hold, as the user described it. */
  public static final String MEASUREMENT = "measurement.json";

  static final String FORMAT = "ringtrue-saved-modes";
  static final int VERSION = 1;
  private static final List<String> FIELDS =
      List.of(
          "date",
          "axis",
          "point",
          "name",
          "inputProfile",
          "clamping",
          "force",
          "averages",
          "bandLowHz",
          "bandHighHz",
          "fitErrorRelative",
          "modes",
          "residual",
          "remarks",
          "program",
          "notes");
  private static final List<String> MODE_FIELDS =
      List.of(
          "frequencyHz",
          "frequencyHzSigma",
          "dampingRatio",
          "dampingRatioSigma",
          "stiffnessNPerM",
          "stiffnessNPerMSigma",
          "phaseDeg");

  private SavedMeasurementFile() {}

  /** The text of the file. */
  public static String toText(SavedMeasurement m) {
    return JsonText.of(
        FORMAT + "/" + VERSION,
        o -> {
          o.put("date", m.date().toString()).put("axis", m.axis()).put("point", m.point());
          o.put("name", m.name()).put("inputProfile", m.inputProfile());
          o.put("clamping", m.clampedAgain() ? "again" : "same");
          o.put("force", m.forceMeasured() ? "measured" : "none");
          o.put("averages", m.averages());
          o.put("bandLowHz", m.bandLowHz()).put("bandHighHz", m.bandHighHz());
          o.put("fitErrorRelative", m.fitErrorRelative());
          o.objects("modes", m.modes(), SavedMeasurementFile::mode);
          o.object(
              "residual",
              r ->
                  r.put("upperMPerN", m.residual().upperMPerN())
                      .put("lowerPerKg", m.residual().lowerPerKg()));
          o.texts("remarks", m.remarks());
          o.put("program", m.program()).put("notes", m.note());
        });
  }

  private static void mode(JsonText o, SavedMode m) {
    o.put("frequencyHz", m.frequencyHz()).put("frequencyHzSigma", m.frequencyHzSigma());
    o.put("dampingRatio", m.dampingRatio()).put("dampingRatioSigma", m.dampingRatioSigma());
    o.put("stiffnessNPerM", m.stiffnessNPerM());
    o.put("stiffnessNPerMSigma", m.stiffnessNPerMSigma()).put("phaseDeg", m.phaseDeg());
  }

  /**
   * Reads what {@link #toText} wrote.
   *
   * @param id name of the measurement's folder
   * @param name what messages call the file
   * @throws BadInputException if it cannot be used, or a newer program is needed
   */
  public static SavedMeasurement ofText(String id, String name, String text) {
    JsonFields all = JsonFields.ofText(name, text, FORMAT, VERSION, FIELDS);
    Residual residual =
        all.object("residual", List.of("upperMPerN", "lowerPerKg"))
            .map(
                r ->
                    new Residual(
                        r.number("upperMPerN").orElse(0.0), r.number("lowerPerKg").orElse(0.0)))
            .orElse(Residual.NONE);
    return new SavedMeasurement(
        id,
        SetUpFile.instant(all, "date"),
        all.text("axis").orElse(""),
        all.text("point").orElse(""),
        all.text("name").orElse(""),
        all.text("inputProfile").orElse(""),
        all.choice("clamping", List.of("again", "same"), w -> w).orElse("again").equals("again"),
        all.choice("force", List.of("measured", "none"), w -> w)
            .orElse("measured")
            .equals("measured"),
        all.whole("averages", 1, Integer.MAX_VALUE).orElse(1),
        number(all, "bandLowHz"),
        number(all, "bandHighHz"),
        number(all, "fitErrorRelative"),
        all.objects("modes", MODE_FIELDS).stream().map(SavedMeasurementFile::mode).toList(),
        residual,
        all.texts("remarks"),
        all.text("program").orElse(""),
        all.text("notes").orElse(""));
  }

  private static SavedMode mode(JsonFields m) {
    double frequency =
        m.number("frequencyHz").orElseThrow(() -> m.missing("frequencyHz", "1240.5"));
    double damping = m.number("dampingRatio").orElseThrow(() -> m.missing("dampingRatio", "0.016"));
    try {
      return new SavedMode(
          frequency,
          damping,
          number(m, "stiffnessNPerM"),
          number(m, "frequencyHzSigma"),
          number(m, "dampingRatioSigma"),
          number(m, "stiffnessNPerMSigma"),
          number(m, "phaseDeg"));
    } catch (IllegalArgumentException e) {
      throw m.problem("", e.getMessage());
    }
  }

  private static double number(JsonFields all, String field) {
    return all.number(field).orElse(Double.NaN);
  }
}
