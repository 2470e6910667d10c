package ringtrue.acquisition;

/**
 * Sees from the clock that frames are missing, which a sound system may drop without a word.
 *
 * <p>The lateness of a block is the time of its arrival less the time that all frames up to its end
 * take. Waiting in buffers and a busy computer make it larger for a while, and never smaller than
 * its floor; missing frames raise it for good. The floor follows a device whose clock is up to
 * {@value #LARGEST_DRIFT} fast or slow. Lateness that stays {@value #THRESHOLD_S} s above the floor
 * for {@value #CONFIRM_S} s is a gap. The first {@value #SETTLE_S} s are left out, since a sound
 * system may begin with frames of before, or late.
 *
 * <p>Shorter losses cannot be told from drift. Sound systems drop whole buffers, which are longer.
 * Threshold and times: chosen by trials with a sound server and with simulated delays.
 */
final class ClockWatch {
  static final double THRESHOLD_S = 0.02;
  static final double CONFIRM_S = 0.75;
  static final double SETTLE_S = 0.5;
  static final double LARGEST_DRIFT = 1e-3;

  private final double rateHz;
  private final long startNanos;
  private double floor = Double.NaN;
  private double floorAt;
  private double suspectSince = Double.NaN;
  private double suspectLeast;

  /**
   * @param rateHz nominal rate of the frames
   * @param startNanos when the first was asked for
   */
  ClockWatch(double rateHz, long startNanos) {
    this.rateHz = rateHz;
    this.startNanos = startNanos;
  }

  /**
   * Takes note of a block.
   *
   * @param frames all frames that arrived so far, those of the block included
   * @param nanos when the block arrived
   * @return frames that are now known to be missing; 0 for none
   */
  long arrived(long frames, long nanos) {
    double time = (nanos - startNanos) * 1e-9;
    double lateness = time - frames / rateHz;
    if (time < SETTLE_S) {
      return 0;
    }
    if (Double.isNaN(floor)) {
      floor = lateness;
      floorAt = time;
      return 0;
    }
    floor = Math.min(lateness, floor + LARGEST_DRIFT * (time - floorAt));
    floorAt = time;
    if (lateness <= floor + THRESHOLD_S) {
      suspectSince = Double.NaN;
      return 0;
    }
    if (Double.isNaN(suspectSince)) {
      suspectSince = time;
      suspectLeast = lateness;
      return 0;
    }
    suspectLeast = Math.min(suspectLeast, lateness);
    if (time - suspectSince < CONFIRM_S) {
      return 0;
    }
    long missing = Math.round((suspectLeast - floor) * rateHz);
    floor = suspectLeast;
    suspectSince = Double.NaN;
    return missing;
  }

  /** Whether the latest block came late, so that it may turn out that frames are missing. */
  boolean suspicious() {
    return !Double.isNaN(suspectSince);
  }
}
