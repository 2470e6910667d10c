package ringtrue.dynamics;

import java.util.ArrayList;
import java.util.List;

/**
 * Modes that change with the spindle speed: the same modes at a few speeds, natural frequency,
 * damping ratio and stiffness taken as straight lines in between, and as at the nearest speed
 * outside.
 *
 * <p>As a receptance it is the first row; what depends on the speed asks {@link #atSpeed}.
 *
 * @param rows speeds rising, each with the same number of modes
 */
public record ModeTable(List<Row> rows) implements Receptance {

  /**
   * Modes at one speed.
   *
   * @param speedRpm spindle speed, rpm; 0 for standing still
   * @param model the modes
   */
  public record Row(double speedRpm, ModalModel model) {}

  public ModeTable {
    rows = List.copyOf(rows);
    if (rows.isEmpty()) {
      throw new IllegalArgumentException("a table of modes needs one speed or more");
    }
    for (int i = 0; i < rows.size(); i++) {
      double speed = rows.get(i).speedRpm();
      double before = i == 0 ? -1 : rows.get(i - 1).speedRpm();
      if (!(speed >= 0) || Double.isInfinite(speed) || !(speed > before)) {
        throw new IllegalArgumentException(
            "speeds of a table of modes must rise from 0 or more, row "
                + (i + 1)
                + " has "
                + speed
                + " rpm");
      }
      int modes = rows.get(i).model().modes().size();
      int first = rows.get(0).model().modes().size();
      if (modes != first) {
        throw new IllegalArgumentException(
            "a table of modes needs the same number of modes at every speed, row "
                + (i + 1)
                + " has "
                + modes
                + ", the first "
                + first);
      }
    }
  }

  /** The modes at a spindle speed, rpm. */
  public ModalModel atSpeed(double speedRpm) {
    int above = 0;
    while (above < rows.size() && rows.get(above).speedRpm() < speedRpm) {
      above++;
    }
    if (above == 0 || above == rows.size()) {
      return rows.get(Math.min(above, rows.size() - 1)).model();
    }
    Row low = rows.get(above - 1);
    Row high = rows.get(above);
    double part = (speedRpm - low.speedRpm()) / (high.speedRpm() - low.speedRpm());
    List<Mode> modes = new ArrayList<>();
    for (int i = 0; i < low.model().modes().size(); i++) {
      modes.add(between(low.model().modes().get(i), high.model().modes().get(i), part));
    }
    Residual a = low.model().residual();
    Residual b = high.model().residual();
    return new ModalModel(
        modes,
        new Residual(
            line(a.upperMPerN(), b.upperMPerN(), part),
            line(a.lowerPerKg(), b.lowerPerKg(), part)));
  }

  private static Mode between(Mode a, Mode b, double part) {
    return new Mode(
        line(a.frequencyHz(), b.frequencyHz(), part),
        line(a.dampingRatio(), b.dampingRatio(), part),
        line(a.stiffnessNPerM(), b.stiffnessNPerM(), part),
        line(a.frequencyHzSigma(), b.frequencyHzSigma(), part),
        line(a.dampingRatioSigma(), b.dampingRatioSigma(), part),
        line(a.stiffnessNPerMSigma(), b.stiffnessNPerMSigma(), part),
        line(a.phaseDeg(), b.phaseDeg(), part));
  }

  private static double line(double a, double b, double part) {
    return a + part * (b - a);
  }

  @Override
  public void at(double frequencyHz, double[] into) {
    rows.get(0).model().at(frequencyHz, into);
  }
}
