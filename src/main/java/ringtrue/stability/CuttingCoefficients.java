package ringtrue.stability;

/**
 * Linear force model of a cutting edge: tangential force (ktc h + kte) b, radial force (krc h +
 * kre) b, with chip thickness h and width b.
 *
 * @param ktcPa tangential cutting coefficient, Pa
 * @param krcPa radial cutting coefficient, Pa; may be negative for very positive rakes
 * @param kteNPerM tangential edge coefficient, N/m
 * @param kreNPerM radial edge coefficient, N/m
 * @param relativeRange how far ktc may be off, as a fraction (0.3 is ±30 %); NaN where unknown
 */
public record CuttingCoefficients(
    double ktcPa, double krcPa, double kteNPerM, double kreNPerM, double relativeRange) {

  public CuttingCoefficients {
    if (!(ktcPa > 0) || Double.isInfinite(ktcPa)) {
      throw new IllegalArgumentException("ktc must be positive, was " + ktcPa + " Pa");
    }
    if (!Double.isFinite(krcPa) || !(kteNPerM >= 0) || !(kreNPerM >= 0)) {
      throw new IllegalArgumentException("edge coefficients must not be negative");
    }
  }
}
