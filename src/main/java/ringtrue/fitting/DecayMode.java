package ringtrue.fitting;

/**
 * A mode as free decays show it: its stiffness is unknown unless a known mass was added.
 *
 * @param frequencyHz undamped natural frequency, Hz
 * @param frequencyHzSigma one-sigma uncertainty, Hz
 * @param dampingRatio viscous damping ratio as a fraction
 * @param dampingRatioSigma one-sigma uncertainty, a fraction
 * @param massKg modal mass at the point of the added mass, kg; NaN where unknown
 * @param massKgSigma one-sigma uncertainty, kg; NaN where unknown
 * @param stiffnessNPerM modal stiffness there, N/m; NaN where unknown
 * @param stiffnessNPerMSigma one-sigma uncertainty, N/m; NaN where unknown
 */
public record DecayMode(
    double frequencyHz,
    double frequencyHzSigma,
    double dampingRatio,
    double dampingRatioSigma,
    double massKg,
    double massKgSigma,
    double stiffnessNPerM,
    double stiffnessNPerMSigma) {

  public DecayMode {
    if (!(frequencyHz > 0) || !(dampingRatio > 0 && dampingRatio < 1)) {
      throw new IllegalArgumentException(
          "a mode needs a positive frequency and a damping ratio between 0 and 1, was "
              + frequencyHz
              + " Hz, "
              + dampingRatio);
    }
  }

  /** A mode of unknown stiffness. */
  static DecayMode of(double fn, double fnSigma, double zeta, double zetaSigma) {
    return new DecayMode(
        fn, fnSigma, zeta, zetaSigma, Double.NaN, Double.NaN, Double.NaN, Double.NaN);
  }

  /** The same with modal mass and stiffness. */
  DecayMode withMass(double mass, double massSigma, double stiffness, double stiffnessSigma) {
    return new DecayMode(
        frequencyHz,
        frequencyHzSigma,
        dampingRatio,
        dampingRatioSigma,
        mass,
        massSigma,
        stiffness,
        stiffnessSigma);
  }

  /** Whether mass and stiffness are known. */
  public boolean hasStiffness() {
    return !Double.isNaN(stiffnessNPerM);
  }
}
