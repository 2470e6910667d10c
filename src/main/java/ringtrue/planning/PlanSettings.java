package ringtrue.planning;

import java.util.Objects;
import java.util.function.Consumer;

/**
 * What a plan is judged by besides cut and machine.
 *
 * @param toolMaterial what the cutter is made of
 * @param stressFactor what the material's allowed cyclic stress is divided by, 1 or more
 * @param wallToleranceM displacement normal to the wall, and error of the wall, that are accepted,
 *     m
 * @param turnedDiameterM turning only: diameter of the work, m, which power and torque need; NaN
 *     where unknown
 * @param largestChipFraction largest chip thickness as a fraction of the cutter's diameter; NaN for
 *     the rule of thumb in {@link #largestChipM}
 * @param carbideSpeedMPerS cutting speed in this work material above which a carbide cutter soon
 *     wears out, m/s; NaN where unknown: then only the machine bounds the speeds offered
 * @param holdingForceN horizontal force that vise or clamps hold, N; NaN where unknown
 * @param straightM length of the straight path, m; NaN where unknown
 * @param turningTool turning only: the tool
 * @param reserve what a cut that is offered has to stand
 * @param speedShiftSigma one-sigma shift of all natural frequencies at the machine's highest speed,
 *     a fraction; NaN or 0 for none
 * @param inches whether sentences give lengths in inches
 */
public record PlanSettings(
    ToolMaterial toolMaterial,
    double stressFactor,
    double wallToleranceM,
    double turnedDiameterM,
    double largestChipFraction,
    double carbideSpeedMPerS,
    double holdingForceN,
    double straightM,
    TurningTool turningTool,
    Reserve reserve,
    double speedShiftSigma,
    boolean inches) {

  /** Solid carbide with a factor of 1.25, 0.05 mm at the wall as in roughing, millimetres. */
  public static final PlanSettings DEFAULT =
      new PlanSettings(
          ToolMaterial.SUBMICRON_CARBIDE,
          1.25,
          0.05e-3,
          Double.NaN,
          Double.NaN,
          Double.NaN,
          Double.NaN,
          Double.NaN,
          TurningTool.UNKNOWN,
          Reserve.USUAL,
          Double.NaN,
          false);

  public PlanSettings {
    Objects.requireNonNull(toolMaterial, "toolMaterial");
    Objects.requireNonNull(turningTool, "turningTool");
    Objects.requireNonNull(reserve, "reserve");
    if (!(stressFactor >= 1)) {
      throw new IllegalArgumentException("stress factor must be 1 or more, was " + stressFactor);
    }
    if (!(wallToleranceM > 0)) {
      throw new IllegalArgumentException("wall tolerance must be positive, was " + wallToleranceM);
    }
    if (turnedDiameterM <= 0 || largestChipFraction <= 0) {
      throw new IllegalArgumentException("turned diameter and chip fraction must be positive");
    }
    if (holdingForceN <= 0 || straightM <= 0) {
      throw new IllegalArgumentException("holding force and straight path must be positive");
    }
  }

  /** The same for another cutter material. */
  public PlanSettings withToolMaterial(ToolMaterial other) {
    return new Change(this).set(c -> c.toolMaterial = other).made();
  }

  /** The same with another safety factor on the cutter's strength, 1 or more. */
  public PlanSettings withStressFactor(double other) {
    return new Change(this).set(c -> c.stressFactor = other).made();
  }

  /** The same with another tolerance at the wall, m. */
  public PlanSettings withWallToleranceM(double other) {
    return new Change(this).set(c -> c.wallToleranceM = other).made();
  }

  /** The same with the diameter of turned work, m. */
  public PlanSettings withTurnedDiameterM(double other) {
    return new Change(this).set(c -> c.turnedDiameterM = other).made();
  }

  /** The same with another largest chip, as a fraction of the cutter's diameter. */
  public PlanSettings withLargestChipFraction(double other) {
    return new Change(this).set(c -> c.largestChipFraction = other).made();
  }

  /** The same with another cutting speed that carbide stands in the work material, m/s. */
  public PlanSettings withCarbideSpeedMPerS(double other) {
    return new Change(this).set(c -> c.carbideSpeedMPerS = other).made();
  }

  /** The same with the horizontal force that vise or clamps hold, N. */
  public PlanSettings withHoldingForceN(double other) {
    return new Change(this).set(c -> c.holdingForceN = other).made();
  }

  /** The same with the length of the straight path, m. */
  public PlanSettings withStraightM(double other) {
    return new Change(this).set(c -> c.straightM = other).made();
  }

  /** The same with a turning tool. */
  public PlanSettings withTurningTool(TurningTool other) {
    return new Change(this).set(c -> c.turningTool = other).made();
  }

  /** The same with another reserve for the cuts offered. */
  public PlanSettings withReserve(Reserve other) {
    return new Change(this).set(c -> c.reserve = other).made();
  }

  /** The same with natural frequencies that shift with the speed. */
  public PlanSettings withSpeedShiftSigma(double other) {
    return new Change(this).set(c -> c.speedShiftSigma = other).made();
  }

  /** The same with sentences in inches or not. */
  public PlanSettings withInches(boolean other) {
    return new Change(this).set(c -> c.inches = other).made();
  }

  /** Cutting speed above which this cutter soon wears out, m/s; NaN where unknown. */
  double highestCuttingSpeedMPerS() {
    return carbideSpeedMPerS * toolMaterial.speedFactor();
  }

  /**
   * Largest chip thickness that a tooth and the space behind it should see, m: the given fraction
   * of the diameter, or by common practice without a source 2 % of the diameter in soft materials
   * (tangential coefficient below 1000 N/mm²), 1.2 % up to 2200 N/mm², 0.8 % above.
   */
  double largestChipM(double diameterM, double ktcPa) {
    if (!Double.isNaN(largestChipFraction)) {
      return largestChipFraction * diameterM;
    }
    return diameterM * (ktcPa < 1000e6 ? 0.02 : ktcPa <= 2200e6 ? 0.012 : 0.008);
  }

  /** Settings being changed. */
  private static final class Change {
    private ToolMaterial toolMaterial;
    private double stressFactor;
    private double wallToleranceM;
    private double turnedDiameterM;
    private double largestChipFraction;
    private double carbideSpeedMPerS;
    private double holdingForceN;
    private double straightM;
    private TurningTool turningTool;
    private Reserve reserve;
    private double speedShiftSigma;
    private boolean inches;

    private Change(PlanSettings from) {
      toolMaterial = from.toolMaterial;
      stressFactor = from.stressFactor;
      wallToleranceM = from.wallToleranceM;
      turnedDiameterM = from.turnedDiameterM;
      largestChipFraction = from.largestChipFraction;
      carbideSpeedMPerS = from.carbideSpeedMPerS;
      holdingForceN = from.holdingForceN;
      straightM = from.straightM;
      turningTool = from.turningTool;
      reserve = from.reserve;
      speedShiftSigma = from.speedShiftSigma;
      inches = from.inches;
    }

    private Change set(Consumer<Change> how) {
      how.accept(this);
      return this;
    }

    private PlanSettings made() {
      return new PlanSettings(
          toolMaterial,
          stressFactor,
          wallToleranceM,
          turnedDiameterM,
          largestChipFraction,
          carbideSpeedMPerS,
          holdingForceN,
          straightM,
          turningTool,
          reserve,
          speedShiftSigma,
          inches);
    }
  }
}
