package ringtrue.planning;

import java.util.List;
import java.util.Objects;

/**
 * What a machine can do. A limit that is not known is NaN (or an empty curve) and is then not
 * judged.
 *
 * @param name name of the machine; may be empty
 * @param minSpeedRpm lowest spindle speed, rpm
 * @param maxSpeedRpm highest spindle speed, rpm
 * @param maxFeedMPerS highest feed rate, m/s
 * @param power points of the spindle's power curve, rising in speed; straight lines between,
 *     constant torque below the first, constant power above the last
 */
public record Machine(
    String name,
    double minSpeedRpm,
    double maxSpeedRpm,
    double maxFeedMPerS,
    List<PowerPoint> power) {

  /** Power that the spindle can give at a speed. */
  public record PowerPoint(double speedRpm, double powerW) {}

  public Machine {
    Objects.requireNonNull(name, "name");
    power = List.copyOf(power);
    if (minSpeedRpm > maxSpeedRpm) {
      throw new IllegalArgumentException(
          "lowest speed " + minSpeedRpm + " rpm is above the highest, " + maxSpeedRpm + " rpm");
    }
    for (int i = 1; i < power.size(); i++) {
      if (!(power.get(i).speedRpm() > power.get(i - 1).speedRpm())) {
        throw new IllegalArgumentException("power curve must rise in speed");
      }
    }
  }

  /**
   * Power that the spindle can give at a speed, W: straight lines between the points, constant
   * torque below the first, constant power above the last; NaN without a curve.
   */
  public double powerAtW(double speedRpm) {
    if (power.isEmpty()) {
      return Double.NaN;
    }
    PowerPoint before = power.get(0);
    if (speedRpm <= before.speedRpm()) {
      return before.powerW() * speedRpm / before.speedRpm();
    }
    for (PowerPoint next : power) {
      if (speedRpm <= next.speedRpm()) {
        double part =
            next == before
                ? 0
                : (speedRpm - before.speedRpm()) / (next.speedRpm() - before.speedRpm());
        return before.powerW() + part * (next.powerW() - before.powerW());
      }
      before = next;
    }
    return before.powerW();
  }

  /** Whether the spindle can turn at that speed; true where its range is not known. */
  public boolean reaches(double speedRpm) {
    double slip = 1e-9 * speedRpm;
    return !(speedRpm < minSpeedRpm - slip || speedRpm > maxSpeedRpm + slip);
  }
}
