package ringtrue.stability;

/**
 * Lobes as curves over the chatter frequency, for drawing: where several cross, the lowest counts.
 * There are two curves, one for each eigenvalue, and for each as many lobes as were asked for.
 */
public final class LobeCurves {
  private final double[] frequencyHz;
  private final double[][] depthM;
  private final double[][] speedRpm;
  private final int lobes;

  LobeCurves(double[] frequencyHz, double[][] depthM, double[][] speedRpm, int lobes) {
    this.frequencyHz = frequencyHz;
    this.depthM = depthM;
    this.speedRpm = speedRpm;
    this.lobes = lobes;
  }

  /** Number of curves. */
  public int curves() {
    return depthM.length;
  }

  /** Number of lobes of each curve. */
  public int lobes() {
    return lobes;
  }

  /** Number of frequencies. */
  public int points() {
    return frequencyHz.length;
  }

  /** Chatter frequency of point i, Hz. */
  public double frequencyHz(int i) {
    return frequencyHz[i];
  }

  /** Limiting axial depth, m; NaN where this curve has none at that frequency. */
  public double depthM(int curve, int i) {
    return depthM[curve][i];
  }

  /**
   * Spindle speed at which that depth is the limit with so many whole waves between cuts, rpm; NaN
   * where the curve has no limit.
   */
  public double speedRpm(int curve, int lobe, int i) {
    return speedRpm[curve][lobe * frequencyHz.length + i];
  }
}
