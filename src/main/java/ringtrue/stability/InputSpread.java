package ringtrue.stability;

import java.util.Locale;
import ringtrue.units.BadInputException;

/**
 * How uncertain the inputs of a stability map are.
 *
 * <ul>
 *   <li>Cutting coefficients: all of a cut times the same factor, evenly spread over 1 ± range. A
 *       catalogue gives bounds and says nothing of what is likelier between them: then the even
 *       (rectangular) distribution assumes least (JCGM 101:2008, 6.4.2).
 *   <li>Modes, where asked for: natural frequency normal, damping ratio and stiffness lognormal,
 *       since they must stay positive; the given value is the median, the given sigma the standard
 *       deviation. All are drawn independently of each other.
 *   <li>Shift with speed: at speed n all natural frequencies are those given times {@code 1 + s
 *       n/nMax} (beyond nMax as at nMax), s normal around 0; damping ratios and stiffnesses stay.
 *       Measured responses move along the frequency axis likewise.
 * </ul>
 *
 * @param coefficientRange half the width of the range of the cutting coefficients as a fraction
 *     (0.3 is ±30 %), 0 to below 1; 0 for exact
 * @param modes whether the modes' own sigmas count
 * @param otherwise relative sigmas of modes whose own are unknown
 * @param shiftSigma sigma of s, a fraction (0.02 is 2 % at full speed), 0 to below 0.2; 0 for none
 * @param maxSpeedRpm the machine's largest speed nMax, rpm; not used without a shift
 */
public record InputSpread(
    double coefficientRange,
    boolean modes,
    ModeSigmas otherwise,
    double shiftSigma,
    double maxSpeedRpm) {

  /**
   * Relative frequency sigmas and shifts at or above this are refused: draws must stay positive.
   */
  static final double MOST_FREQUENCY_SIGMA = 0.2;

  /** Nothing is uncertain. */
  public static final InputSpread NONE = new InputSpread(0, false, ModeSigmas.NONE, 0, Double.NaN);

  /**
   * Sigmas of a mode as fractions of its values.
   *
   * @param frequency of the natural frequency, 0 to below 0.2
   * @param damping of the damping ratio, 0 to 2
   * @param stiffness of the stiffness, 0 to 2
   */
  public record ModeSigmas(double frequency, double damping, double stiffness) {

    /** A mode known exactly. */
    public static final ModeSigmas NONE = new ModeSigmas(0, 0, 0);

    public ModeSigmas {
      if (!(frequency >= 0 && frequency < MOST_FREQUENCY_SIGMA)) {
        throw refused("sigma of the natural frequencies", frequency, "0 to below 20 %");
      }
      if (!(damping >= 0 && damping <= 2)) {
        throw refused("sigma of the damping ratios", damping, "0 to 200 %");
      }
      if (!(stiffness >= 0 && stiffness <= 2)) {
        throw refused("sigma of the stiffnesses", stiffness, "0 to 200 %");
      }
    }
  }

  public InputSpread {
    if (!(coefficientRange >= 0 && coefficientRange < 1)) {
      throw refused("range of the cutting coefficients", coefficientRange, "0 to below 100 %");
    }
    if (!(shiftSigma >= 0 && shiftSigma < MOST_FREQUENCY_SIGMA)) {
      throw refused("sigma of the shift with speed", shiftSigma, "0 to below 20 %");
    }
    if (shiftSigma > 0 && !(maxSpeedRpm > 0 && Double.isFinite(maxSpeedRpm))) {
      throw new BadInputException(
          "shift with speed: needs the machine's largest speed, a positive number of rpm, was "
              + Plain.number(maxSpeedRpm)
              + " rpm");
    }
  }

  /** What a cut says of itself: the range of its coefficients and the sigmas of its modes. */
  public static InputSpread of(CuttingProcess process) {
    double range = process.coefficients().relativeRange();
    return NONE.withCoefficientRange(Double.isNaN(range) ? 0 : range).withModes(ModeSigmas.NONE);
  }

  /** The same with another range of the cutting coefficients, a fraction. */
  public InputSpread withCoefficientRange(double range) {
    return new InputSpread(range, modes, otherwise, shiftSigma, maxSpeedRpm);
  }

  /** The same with the modes' own sigmas, and these where a mode has none. */
  public InputSpread withModes(ModeSigmas whereUnknown) {
    return new InputSpread(coefficientRange, true, whereUnknown, shiftSigma, maxSpeedRpm);
  }

  /** The same with the modes taken as exact. */
  public InputSpread withoutModes() {
    return new InputSpread(coefficientRange, false, ModeSigmas.NONE, shiftSigma, maxSpeedRpm);
  }

  /**
   * The same with natural frequencies that shift with the speed.
   *
   * @param sigma one sigma of the relative shift at full speed
   * @param fullSpeedRpm the machine's largest speed, rpm
   */
  public InputSpread withShift(double sigma, double fullSpeedRpm) {
    return new InputSpread(coefficientRange, modes, otherwise, sigma, fullSpeedRpm);
  }

  private static BadInputException refused(String what, double value, String right) {
    return new BadInputException(
        String.format(
            Locale.ROOT, "%s must be %s, was %s %%", what, right, Plain.number(100 * value)));
  }
}
