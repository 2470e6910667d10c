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
 * @param efficiency share of the curve that arrives at the cutter, above 0 to 1: 1 for a curve that
 *     holds at the cutter, less for one that holds at the motor
 * @param inertiaKgM2 moment of inertia of everything that turns with the spindle, kg m²; NaN where
 *     unknown
 * @param accelerationMPerS2 acceleration of the feed, m/s²; NaN where unknown
 */
public record Machine(
    String name,
    double minSpeedRpm,
    double maxSpeedRpm,
    double maxFeedMPerS,
    List<PowerPoint> power,
    double efficiency,
    double inertiaKgM2,
    double accelerationMPerS2) {

  /** A machine whose curve holds at the cutter, inertia and acceleration unknown. */
  public Machine(
      String name,
      double minSpeedRpm,
      double maxSpeedRpm,
      double maxFeedMPerS,
      List<PowerPoint> power) {
    this(name, minSpeedRpm, maxSpeedRpm, maxFeedMPerS, power, 1, Double.NaN, Double.NaN);
  }

  /** Power that the spindle can give at a speed. */
  public record PowerPoint(double speedRpm, double powerW) {}

  public Machine {
    Objects.requireNonNull(name, "name");
    power = List.copyOf(power);
    if (minSpeedRpm > maxSpeedRpm) {
      throw new IllegalArgumentException(
          "lowest speed " + minSpeedRpm + " rpm is above the highest, " + maxSpeedRpm + " rpm");
    }
    if (!(efficiency > 0 && efficiency <= 1)) {
      throw new IllegalArgumentException(
          "efficiency must lie above 0 and not above 1, was " + efficiency);
    }
    if (inertiaKgM2 <= 0 || accelerationMPerS2 <= 0) {
      throw new IllegalArgumentException("inertia and acceleration must be positive");
    }
    for (int i = 1; i < power.size(); i++) {
      if (!(power.get(i).speedRpm() > power.get(i - 1).speedRpm())) {
        throw new IllegalArgumentException("power curve must rise in speed");
      }
    }
  }

  /** Power that arrives at the cutter at a speed, W; NaN without a curve. */
  public double powerAtCutterW(double speedRpm) {
    return efficiency * powerAtW(speedRpm);
  }

  /**
   * Power that the curve gives at a speed, W: straight lines between the points, constant torque
   * below the first, constant power above the last; NaN without a curve.
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
