package ringtrue.stability;

import java.util.List;
import java.util.Objects;
import java.util.Optional;
import ringtrue.dynamics.Receptance;

/**
 * A cut as the stability of it needs it.
 *
 * @param operation milling or turning
 * @param tool the cutter; empty in turning
 * @param engagement how it meets the work; in turning only the axial depth (chip width) counts
 * @param coefficients cutting forces
 * @param x what gives along the feed (in turning: the one direction): compliances of tool and
 *     workpiece, which add
 * @param y what gives across the feed; empty in turning
 * @param speedRpm spindle speed, rpm
 * @param feedPerToothM feed per tooth (in turning: per revolution), m
 * @param modeAngleRad turning only: angle α by which direction x is turned away from the chip
 *     thickness
 */
public record CuttingProcess(
    Operation operation,
    Optional<Tool> tool,
    Engagement engagement,
    CuttingCoefficients coefficients,
    List<Receptance> x,
    List<Receptance> y,
    double speedRpm,
    double feedPerToothM,
    double modeAngleRad) {

  /** Kind of machining. */
  public enum Operation {
    MILLING,
    TURNING
  }

  public CuttingProcess {
    Objects.requireNonNull(operation, "operation");
    Objects.requireNonNull(engagement, "engagement");
    Objects.requireNonNull(coefficients, "coefficients");
    x = List.copyOf(x);
    y = List.copyOf(y);
    if (operation == Operation.MILLING && tool.isEmpty()) {
      throw new IllegalArgumentException("milling needs a cutter");
    }
    if (!(speedRpm > 0) || Double.isInfinite(speedRpm)) {
      throw new IllegalArgumentException(
          "spindle speed must be positive, was " + speedRpm + " rpm");
    }
    if (!(feedPerToothM > 0) || Double.isInfinite(feedPerToothM)) {
      throw new IllegalArgumentException("feed per tooth must be positive, was " + feedPerToothM);
    }
  }

  /** The same cut engaged otherwise. */
  public CuttingProcess with(Engagement other) {
    return new CuttingProcess(
        operation, tool, other, coefficients, x, y, speedRpm, feedPerToothM, modeAngleRad);
  }

  /** The same cut at another speed. */
  public CuttingProcess atSpeed(double rpm) {
    return new CuttingProcess(
        operation, tool, engagement, coefficients, x, y, rpm, feedPerToothM, modeAngleRad);
  }

  /** The same cut with another feed per tooth. */
  public CuttingProcess withFeedPerTooth(double feedM) {
    return new CuttingProcess(
        operation, tool, engagement, coefficients, x, y, speedRpm, feedM, modeAngleRad);
  }
}
