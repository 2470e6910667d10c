package ringtrue.stability;

import java.util.List;
import java.util.Objects;
import java.util.Optional;
import java.util.stream.Stream;
import ringtrue.dynamics.ModeTable;
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
 * @param xy milling only: cross receptances, displacement in x by force in y and the other way
 *     round, of tool and workpiece, which add; usually empty
 * @param processDampingNPerM process damping C: a force C b v/V against the velocity v into the
 *     chip at cutting speed V and width b (Tyler & Schmitz 2013), N/m; 0 for none
 * @param turnedDiameterM turning only: diameter at which the work is cut, which gives the cutting
 *     speed, m; NaN where unknown
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
    double modeAngleRad,
    List<Receptance> xy,
    double processDampingNPerM,
    double turnedDiameterM) {

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
    xy = List.copyOf(xy);
    if (!(processDampingNPerM >= 0) || Double.isInfinite(processDampingNPerM)) {
      throw new IllegalArgumentException(
          "process damping must not be negative, was " + processDampingNPerM + " N/m");
    }
    if (turnedDiameterM <= 0 || Double.isInfinite(turnedDiameterM)) {
      throw new IllegalArgumentException(
          "turned diameter must be positive, was " + turnedDiameterM + " m");
    }
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

  /** A cut without cross receptances and process damping. */
  public CuttingProcess(
      Operation operation,
      Optional<Tool> tool,
      Engagement engagement,
      CuttingCoefficients coefficients,
      List<Receptance> x,
      List<Receptance> y,
      double speedRpm,
      double feedPerToothM,
      double modeAngleRad) {
    this(
        operation,
        tool,
        engagement,
        coefficients,
        x,
        y,
        speedRpm,
        feedPerToothM,
        modeAngleRad,
        List.of(),
        0);
  }

  /** A cut whose turned diameter is unknown, or which is milled. */
  public CuttingProcess(
      Operation operation,
      Optional<Tool> tool,
      Engagement engagement,
      CuttingCoefficients coefficients,
      List<Receptance> x,
      List<Receptance> y,
      double speedRpm,
      double feedPerToothM,
      double modeAngleRad,
      List<Receptance> xy,
      double processDampingNPerM) {
    this(
        operation,
        tool,
        engagement,
        coefficients,
        x,
        y,
        speedRpm,
        feedPerToothM,
        modeAngleRad,
        xy,
        processDampingNPerM,
        Double.NaN);
  }

  /** The same cut engaged otherwise. */
  public CuttingProcess with(Engagement other) {
    return changed(other, coefficients, x, y, xy, speedRpm, feedPerToothM, processDampingNPerM);
  }

  /** The same cut with another cutter. */
  CuttingProcess with(Tool other) {
    return new CuttingProcess(
        operation,
        Optional.of(other),
        engagement,
        coefficients,
        x,
        y,
        speedRpm,
        feedPerToothM,
        modeAngleRad,
        xy,
        processDampingNPerM,
        turnedDiameterM);
  }

  /** The same cut with other cutting forces. */
  public CuttingProcess with(CuttingCoefficients other) {
    return changed(engagement, other, x, y, xy, speedRpm, feedPerToothM, processDampingNPerM);
  }

  /** The same cut on another structure. */
  public CuttingProcess withDynamics(
      List<Receptance> newX, List<Receptance> newY, List<Receptance> newXy) {
    return changed(
        engagement, coefficients, newX, newY, newXy, speedRpm, feedPerToothM, processDampingNPerM);
  }

  /** The same cut with another process damping, N/m. */
  public CuttingProcess withProcessDamping(double newNPerM) {
    return changed(engagement, coefficients, x, y, xy, speedRpm, feedPerToothM, newNPerM);
  }

  /** The same turning cut on work of another diameter, m; NaN for unknown. */
  public CuttingProcess withTurnedDiameterM(double newDiameterM) {
    return new CuttingProcess(
        operation,
        tool,
        engagement,
        coefficients,
        x,
        y,
        speedRpm,
        feedPerToothM,
        modeAngleRad,
        xy,
        processDampingNPerM,
        newDiameterM);
  }

  /**
   * Cutting speed at a spindle speed, m/s: that of the cutter's circumference in milling, of the
   * work's in turning; NaN where the turned diameter is unknown.
   *
   * @param rpm spindle speed, rpm
   */
  public double cuttingSpeedMPerS(double rpm) {
    return cuttingSpeedMPerS(tool.map(Tool::diameterM).orElse(turnedDiameterM), rpm);
  }

  /**
   * Cutting speed of what turns, m/s.
   *
   * @param diameterM its diameter, m
   * @param rpm spindle speed, rpm
   */
  public static double cuttingSpeedMPerS(double diameterM, double rpm) {
    return Math.PI * diameterM * rpm / 60;
  }

  /**
   * Spindle speed at which what turns has a cutting speed, rpm.
   *
   * @param diameterM its diameter, m
   * @param mPerS cutting speed, m/s
   */
  public static double speedRpm(double diameterM, double mPerS) {
    return 60 * mPerS / (Math.PI * diameterM);
  }

  /**
   * The same cut at another speed; tables of modes over speed stay tables ({@link #resolvedAt}).
   */
  public CuttingProcess atSpeed(double rpm) {
    return changed(engagement, coefficients, x, y, xy, rpm, feedPerToothM, processDampingNPerM);
  }

  /** The same cut with another feed per tooth. */
  public CuttingProcess withFeedPerTooth(double feedM) {
    return changed(engagement, coefficients, x, y, xy, speedRpm, feedM, processDampingNPerM);
  }

  /** Whether some direction is a table of modes over spindle speed. */
  public boolean changesWithSpeed() {
    return Stream.of(x, y, xy).flatMap(List::stream).anyMatch(ModeTable.class::isInstance);
  }

  /** The same cut with every table of modes over speed read at one speed, rpm. */
  public CuttingProcess resolvedAt(double rpm) {
    return changesWithSpeed()
        ? withDynamics(resolved(x, rpm), resolved(y, rpm), resolved(xy, rpm))
        : this;
  }

  private static List<Receptance> resolved(List<Receptance> direction, double rpm) {
    return direction.stream()
        .map(r -> r instanceof ModeTable table ? table.atSpeed(rpm) : r)
        .toList();
  }

  private CuttingProcess changed(
      Engagement newEngagement,
      CuttingCoefficients newCoefficients,
      List<Receptance> newX,
      List<Receptance> newY,
      List<Receptance> newXy,
      double rpm,
      double feedM,
      double dampingNPerM) {
    return new CuttingProcess(
        operation,
        tool,
        newEngagement,
        newCoefficients,
        newX,
        newY,
        rpm,
        feedM,
        modeAngleRad,
        newXy,
        dampingNPerM,
        turnedDiameterM);
  }
}
