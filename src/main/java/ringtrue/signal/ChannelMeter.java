package ringtrue.signal;

/**
 * What a channel shows right now, as a meter on a screen does. All values are parts of full scale,
 * or recorded numbers where full scale is unknown.
 */
public final class ChannelMeter {
  private static final double FALL_S = 0.3;

  private final double fullScale;
  private final double clipsAt;
  private final double fallPerFrame;
  private double level;
  private double peak;
  private double highest = Double.NEGATIVE_INFINITY;
  private double lowest = Double.POSITIVE_INFINITY;
  private double noise = Double.NaN;
  private long clipped;

  ChannelMeter(double clipsAtNumber, double sampleRateHz) {
    fullScale = Double.isInfinite(clipsAtNumber) ? 1 : clipsAtNumber;
    clipsAt = clipsAtNumber * (1 - 1 / 32768.0);
    fallPerFrame = Math.exp(-1 / (FALL_S * sampleRateHz));
  }

  void take(double[] frames, int from, int step, int n) {
    double now = level * Math.pow(fallPerFrame, n);
    for (int i = 0, at = from; i < n; i++, at += step) {
      double v = frames[at];
      double size = Math.abs(v);
      now = Math.max(now, size / fullScale);
      highest = Math.max(highest, v);
      lowest = Math.min(lowest, v);
      if (size >= clipsAt) {
        clipped++;
      }
    }
    level = now;
    peak = Math.max(peak, now);
  }

  void noise(double part) {
    noise = part / fullScale;
  }

  /** Largest size of late; falls to a third in a third of a second. */
  public double level() {
    return level;
  }

  /** Largest size since the start or since {@link #releasePeak}. */
  public double peak() {
    return peak;
  }

  /** Standard deviation at rest; NaN while it is unknown. */
  public double noise() {
    return noise;
  }

  /** Samples at full scale. */
  public long clipped() {
    return clipped;
  }

  /** Whether not one sample differed from the first. */
  public boolean silent() {
    return !(highest > lowest);
  }

  /** Lets the peak fall. */
  public void releasePeak() {
    peak = level;
  }
}
