package ringtrue.fitting;

/** Whether a driving-point receptance has the right sign. */
final class Polarity {
  /** Excess of power on the wrong side that cannot be noise or a single odd mode. */
  private static final double EXCESS = 4;

  private Polarity() {}

  /**
   * A passive structure takes power from the blow at every frequency, so that the imaginary part of
   * its driving-point receptance is negative wherever it shows above the noise.
   */
  static boolean isReversed(FitLines lines) {
    double right = 0;
    double wrong = 0;
    for (int i = 0; i < lines.size(); i++) {
      double im = lines.im[i] / lines.sigma[i];
      if (Math.abs(im) < 5) {
        continue;
      }
      if (im < 0) {
        right += im * im;
      } else {
        wrong += im * im;
      }
    }
    return wrong > EXCESS * right && wrong > 0;
  }
}
