package ringtrue.ui.modes;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.fitting.DecayMode;
import ringtrue.fitting.FittedModes;
import ringtrue.fitting.SensorMass;
import ringtrue.library.SavedMeasurement;
import ringtrue.report.LengthUnit;
import ringtrue.ui.response.FormUnit;
import ringtrue.units.BadInputException;

/**
 * A mode as the table shows it.
 *
 * @param frequencyHz natural frequency
 * @param bandwidthHz half-power bandwidth
 * @param doubtful whether it should not be trusted as it is
 * @param stiff whether its stiffness is known
 * @param standing in a word, whether it is sure
 * @param cells frequency, damping ratio, stiffness, modal mass, what the sensor did
 */
record ModeRow(
    double frequencyHz,
    double bandwidthHz,
    boolean doubtful,
    boolean stiff,
    String standing,
    List<String> cells) {

  ModeRow {
    cells = List.copyOf(cells);
  }

  /** Names of the columns. */
  static List<String> columns(LengthUnit unit) {
    return List.of(
        "",
        "Frequency ± one sigma (Hz)",
        "Damping ratio (%)",
        "Stiffness (" + FormUnit.stiffness(unit).symbol() + ")",
        "Modal mass (" + FormUnit.mass(unit).symbol() + ")",
        "With sensor (Hz)");
  }

  /**
   * Fitted modes.
   *
   * @param sensorKg mass of the sensor that was taken off, kg; 0 for none
   */
  static List<ModeRow> of(ModalModel model, double sensorKg, LengthUnit unit) {
    List<ModeRow> rows = new ArrayList<>();
    for (int i = 0; i < model.modes().size(); i++) {
      Mode m = model.modes().get(i);
      boolean doubtful = FittedModes.isDoubtful(m);
      rows.add(
          row(
              m.frequencyHz(),
              m.halfPowerBandwidthHz(),
              doubtful,
              doubtful ? "doubtful" : "sure",
              m.frequencyHzSigma(),
              m.dampingRatio(),
              m.dampingRatioSigma(),
              m.stiffnessNPerM(),
              m.stiffnessNPerMSigma(),
              m.massKg(),
              m.massKgSigma(),
              sensor(model, i, sensorKg),
              unit));
    }
    return rows;
  }

  private static String sensor(ModalModel model, int mode, double sensorKg) {
    if (!(sensorKg > 0)) {
      return "";
    }
    try {
      double with = SensorMass.loaded(model, mode, sensorKg).frequencyHz();
      double shift = with - model.modes().get(mode).frequencyHz();
      return Math.abs(shift) < 0.05
          ? String.format(Locale.ROOT, "%.1f (as without)", with)
          : String.format(Locale.ROOT, "%.1f (%+.1f)", with, shift);
    } catch (BadInputException e) {
      return "none left";
    }
  }

  /** Modes of free decays. */
  static List<ModeRow> of(List<DecayMode> modes, LengthUnit unit) {
    return modes.stream()
        .map(
            m ->
                row(
                    m.frequencyHz(),
                    2 * m.dampingRatio() * m.frequencyHz(),
                    false,
                    m.hasStiffness() ? "by added mass" : "no stiffness",
                    m.frequencyHzSigma(),
                    m.dampingRatio(),
                    m.dampingRatioSigma(),
                    m.stiffnessNPerM(),
                    m.stiffnessNPerMSigma(),
                    m.massKg(),
                    m.massKgSigma(),
                    "",
                    unit))
        .toList();
  }

  /** Modes from the library. */
  static List<ModeRow> of(SavedMeasurement saved, LengthUnit unit) {
    if (saved.model().isPresent()) {
      return of(saved.model().get(), 0, unit);
    }
    return saved.modes().stream()
        .map(
            m ->
                row(
                    m.frequencyHz(),
                    2 * m.dampingRatio() * m.frequencyHz(),
                    false,
                    m.hasStiffness() ? "saved" : "no stiffness",
                    m.frequencyHzSigma(),
                    m.dampingRatio(),
                    m.dampingRatioSigma(),
                    m.stiffnessNPerM(),
                    m.stiffnessNPerMSigma(),
                    Double.NaN,
                    Double.NaN,
                    "",
                    unit))
        .toList();
  }

  private static ModeRow row(
      double hz,
      double bandwidth,
      boolean doubtful,
      String standing,
      double hzSigma,
      double damping,
      double dampingSigma,
      double stiffness,
      double stiffnessSigma,
      double mass,
      double massSigma,
      String sensor,
      LengthUnit unit) {
    double perStiffness = FormUnit.stiffness(unit).perSi();
    double perMass = FormUnit.mass(unit).perSi();
    String k = PlusMinus.of(stiffness * perStiffness, stiffnessSigma * perStiffness);
    if (stiffnessSigma > 0) {
      k += "  (" + PlusMinus.relative(stiffness, stiffnessSigma) + ")";
    }
    return new ModeRow(
        hz,
        bandwidth,
        doubtful,
        !Double.isNaN(stiffness),
        standing,
        List.of(
            PlusMinus.of(hz, hzSigma),
            PlusMinus.of(100 * damping, 100 * dampingSigma),
            k,
            PlusMinus.of(mass * perMass, massSigma * perMass),
            sensor));
  }
}
