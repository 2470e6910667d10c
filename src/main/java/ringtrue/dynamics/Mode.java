package ringtrue.dynamics;

/**
 * One mode of vibration, seen at the driving point in the measured direction. Its receptance is
 * {@code (1/k) / (1 − r² + 2iζr)} with {@code r = f/fn}.
 *
 * @param frequencyHz undamped natural frequency fn, Hz, positive
 * @param dampingRatio viscous damping ratio ζ as a fraction (0.01 is 1 %), 0 &lt; ζ &lt; 1
 * @param stiffnessNPerM modal stiffness k, N/m, positive
 * @param frequencyHzSigma one-sigma uncertainty of fn, Hz; NaN where unknown
 * @param dampingRatioSigma one-sigma uncertainty of ζ, a fraction; NaN where unknown
 * @param stiffnessNPerMSigma one-sigma uncertainty of k, N/m; NaN where unknown
 * @param phaseDeg phase of the receptance contribution at fn, degrees: −90 for a real residue; NaN
 *     where it was not fitted
 */
public record Mode(
    double frequencyHz,
    double dampingRatio,
    double stiffnessNPerM,
    double frequencyHzSigma,
    double dampingRatioSigma,
    double stiffnessNPerMSigma,
    double phaseDeg)
    implements Receptance {

  public Mode {
    requirePositive("natural frequency", frequencyHz, "Hz");
    requirePositive("stiffness", stiffnessNPerM, "N/m");
    if (!(dampingRatio > 0 && dampingRatio < 1)) {
      throw new IllegalArgumentException(
          "damping ratio must lie between 0 and 1 (0.01 is 1 %), was " + dampingRatio);
    }
    requireSigma("natural frequency", frequencyHzSigma);
    requireSigma("damping ratio", dampingRatioSigma);
    requireSigma("stiffness", stiffnessNPerMSigma);
  }

  /** A mode whose uncertainty is unknown. */
  public static Mode of(double frequencyHz, double dampingRatio, double stiffnessNPerM) {
    return new Mode(
        frequencyHz, dampingRatio, stiffnessNPerM, Double.NaN, Double.NaN, Double.NaN, Double.NaN);
  }

  /** Modal mass k/(2π fn)², kg. */
  public double massKg() {
    double omega = 2 * Math.PI * frequencyHz;
    return stiffnessNPerM / (omega * omega);
  }

  /**
   * One-sigma uncertainty of the modal mass, kg, the errors of stiffness and natural frequency
   * taken as independent; NaN where one of them is unknown.
   */
  public double massKgSigma() {
    return massKg()
        * Math.hypot(stiffnessNPerMSigma / stiffnessNPerM, 2 * frequencyHzSigma / frequencyHz);
  }

  /** Half-power bandwidth 2 ζ fn, Hz. */
  public double halfPowerBandwidthHz() {
    return 2 * dampingRatio * frequencyHz;
  }

  @Override
  public void at(double atHz, double[] into) {
    double r = atHz / frequencyHz;
    double a = 1 - r * r;
    double b = 2 * dampingRatio * r;
    double scale = 1 / (stiffnessNPerM * (a * a + b * b));
    into[0] = a * scale;
    into[1] = -b * scale;
  }

  private static void requirePositive(String what, double value, String unit) {
    if (!(value > 0) || Double.isInfinite(value)) {
      throw new IllegalArgumentException(
          what + " must be a positive number of " + unit + ", was " + value);
    }
  }

  private static void requireSigma(String what, double sigma) {
    if (sigma < 0 || Double.isInfinite(sigma)) {
      throw new IllegalArgumentException(
          "sigma of the " + what + " must not be negative, was " + sigma);
    }
  }
}
