package ringtrue.fitting;

/** Whether a driving-point receptance has the right sign. */
final class Polarity {
  /** Excess of power on the wrong side that cannot be noise or a single odd mode. */
  private static final double EXCESS = 4;

  /** Sigmas by which a line must stand out to be asked. */
  private static final double CLEAR = 5;

  private Polarity() {}

  /**
   * A passive structure takes power from the blow at every frequency, so that the imaginary part of
   * its driving-point receptance is negative wherever it shows above the noise.
   */
  static boolean isReversed(FitLines lines) {
    double right = 0;
    double wrong = 0;
    for (int i = 1; i < lines.size(); i++) {
      double before = lines.im[i - 1] / lines.sigma[i - 1];
      double here = lines.im[i] / lines.sigma[i];
      // noise seldom stands out at two lines in a row
      double both = Math.min(Math.abs(before), Math.abs(here));
      if (both < CLEAR || before * here < 0) {
        continue;
      }
      if (here < 0) {
        right += both * both;
      } else {
        wrong += both * both;
      }
    }
    return wrong > EXCESS * right && wrong > 0;
  }
}
