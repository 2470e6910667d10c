package ringtrue.fitting;

/** The noise that a fit took for the lines of its band. Immutable. */
public final class LineNoise {
  private final double[] frequencyHz;
  private final double[] noiseMPerN;

  /**
   * @param frequencyHz rising frequencies, Hz
   * @param noiseMPerN one-sigma noise of real and imaginary part each, m/N, one for each frequency
   */
  public LineNoise(double[] frequencyHz, double[] noiseMPerN) {
    if (frequencyHz.length != noiseMPerN.length) {
      throw new IllegalArgumentException(
          noiseMPerN.length + " values of noise for " + frequencyHz.length + " frequencies");
    }
    this.frequencyHz = frequencyHz.clone();
    this.noiseMPerN = noiseMPerN.clone();
  }

  /** Number of lines in the fitted band. */
  public int lines() {
    return frequencyHz.length;
  }

  /** Frequency of line i, Hz. */
  public double frequencyHz(int i) {
    return frequencyHz[i];
  }

  /** One-sigma noise of the real part, and of the imaginary part, at line i, m/N. */
  public double noiseMPerN(int i) {
    return noiseMPerN[i];
  }
}
