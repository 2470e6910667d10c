package ringtrue.dynamics;

/**
 * Forms of a frequency response (ISO 7626-1): motion per force with the motion taken as
 * displacement, velocity or acceleration. Each is the one before times s = iω + 1/τ, where τ is the
 * time constant of an exponential window and 1/τ = 0 without one.
 */
public enum ResponseForm {
  /** X/F, m/N. */
  RECEPTANCE("receptance", 0, "um/N", 1e6),
  /** V/F = s X/F, m/(s N). */
  MOBILITY("mobility", 1, "mm/(s N)", 1e3),
  /** A/F = s² X/F, m/(s² N) = 1/kg. */
  ACCELERANCE("accelerance", 2, "m/(s^2 N)", 1);

  private final String word;
  private final int derivatives;
  private final String readableUnit;
  private final double readablePerSi;

  ResponseForm(String word, int derivatives, String readableUnit, double readablePerSi) {
    this.word = word;
    this.derivatives = derivatives;
    this.readableUnit = readableUnit;
    this.readablePerSi = readablePerSi;
  }

  /** What it is called. */
  public String word() {
    return word;
  }

  /** A unit of handy size for pictures and tables. */
  public String readableUnit() {
    return readableUnit;
  }

  /** How many of {@link #readableUnit()} one SI unit is. */
  public double readablePerSi() {
    return readablePerSi;
  }

  /**
   * Turns a receptance into this form.
   *
   * @param frequencyHz frequency, Hz
   * @param windowTimeConstantS time constant of the exponential window in the values, s; infinite
   *     for none
   * @param value receptance as real and imaginary part, m/N; replaced by this form, SI units
   */
  public void fromReceptance(double frequencyHz, double windowTimeConstantS, double[] value) {
    double sigma = 1 / windowTimeConstantS;
    double omega = 2 * Math.PI * frequencyHz;
    for (int i = 0; i < derivatives; i++) {
      double real = value[0] * sigma - value[1] * omega;
      value[1] = value[0] * omega + value[1] * sigma;
      value[0] = real;
    }
  }

  /**
   * Turns this form into a receptance; the inverse of {@link #fromReceptance}.
   *
   * @param frequencyHz frequency, Hz, more than 0 unless there is a window
   * @param windowTimeConstantS time constant of the exponential window in the values, s; infinite
   *     for none
   * @param value this form as real and imaginary part, SI units; replaced by the receptance, m/N
   */
  public void toReceptance(double frequencyHz, double windowTimeConstantS, double[] value) {
    double sigma = 1 / windowTimeConstantS;
    double omega = 2 * Math.PI * frequencyHz;
    double size = sigma * sigma + omega * omega;
    for (int i = 0; i < derivatives; i++) {
      double real = (value[0] * sigma + value[1] * omega) / size;
      value[1] = (value[1] * sigma - value[0] * omega) / size;
      value[0] = real;
    }
  }
}
