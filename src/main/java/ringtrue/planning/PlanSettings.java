package ringtrue.planning;

import java.util.Objects;

/**
 * What a plan is judged by besides cut and machine.
 *
 * @param toolMaterial what the cutter is made of
 * @param stressFactor what the material's allowed cyclic stress is divided by, 1 or more
 * @param wallToleranceM displacement normal to the wall that is accepted, m
 * @param turnedDiameterM turning only: diameter of the work, m, which power and torque need; NaN
 *     where unknown
 * @param largestChipFraction largest chip thickness as a fraction of the cutter's diameter; NaN for
 *     the rule of thumb in {@link #largestChipM}
 * @param carbideSpeedMPerS cutting speed in this work material above which a carbide cutter soon
 *     wears out, m/s; NaN where unknown: then only the machine bounds the speeds offered
 * @param inches whether sentences give lengths in inches
 */
public record PlanSettings(
    ToolMaterial toolMaterial,
    double stressFactor,
    double wallToleranceM,
    double turnedDiameterM,
    double largestChipFraction,
    double carbideSpeedMPerS,
    boolean inches) {

  /** Solid carbide with a factor of 1.25, 0.05 mm at the wall as in roughing, millimetres. */
  public static final PlanSettings DEFAULT =
      new PlanSettings(
          ToolMaterial.SUBMICRON_CARBIDE, 1.25, 0.05e-3, Double.NaN, Double.NaN, Double.NaN, false);

  public PlanSettings {
    Objects.requireNonNull(toolMaterial, "toolMaterial");
    if (!(stressFactor >= 1)) {
      throw new IllegalArgumentException("stress factor must be 1 or more, was " + stressFactor);
    }
    if (!(wallToleranceM > 0)) {
      throw new IllegalArgumentException("wall tolerance must be positive, was " + wallToleranceM);
    }
    if (turnedDiameterM <= 0 || largestChipFraction <= 0) {
      throw new IllegalArgumentException("turned diameter and chip fraction must be positive");
    }
  }

  /** The same for another cutter material. */
  public PlanSettings withToolMaterial(ToolMaterial other) {
    return new PlanSettings(
        other,
        stressFactor,
        wallToleranceM,
        turnedDiameterM,
        largestChipFraction,
        carbideSpeedMPerS,
        inches);
  }

  /** The same with another tolerance at the wall, m. */
  public PlanSettings withWallToleranceM(double other) {
    return new PlanSettings(
        toolMaterial,
        stressFactor,
        other,
        turnedDiameterM,
        largestChipFraction,
        carbideSpeedMPerS,
        inches);
  }

  /** The same with the diameter of turned work, m. */
  public PlanSettings withTurnedDiameterM(double other) {
    return new PlanSettings(
        toolMaterial,
        stressFactor,
        wallToleranceM,
        other,
        largestChipFraction,
        carbideSpeedMPerS,
        inches);
  }

  /** The same with another cutting speed that carbide stands in the work material, m/s. */
  public PlanSettings withCarbideSpeedMPerS(double other) {
    return new PlanSettings(
        toolMaterial,
        stressFactor,
        wallToleranceM,
        turnedDiameterM,
        largestChipFraction,
        other,
        inches);
  }

  /** Cutting speed above which this cutter soon wears out, m/s; NaN where unknown. */
  double highestCuttingSpeedMPerS() {
    return carbideSpeedMPerS * toolMaterial.speedFactor();
  }

  /** The same with sentences in inches or not. */
  public PlanSettings withInches(boolean other) {
    return new PlanSettings(
        toolMaterial,
        stressFactor,
        wallToleranceM,
        turnedDiameterM,
        largestChipFraction,
        carbideSpeedMPerS,
        other);
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
}
