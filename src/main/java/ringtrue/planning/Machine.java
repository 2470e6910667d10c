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
}
