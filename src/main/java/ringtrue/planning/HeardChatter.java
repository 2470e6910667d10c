package ringtrue.planning;

/**
 * What was heard of a cut, as far as advice needs it.
 *
 * @param speedRpm speed of the spindle in the cut, rpm
 * @param chatterHz strongest line of the chatter, Hz; NaN where the cut was heard not to chatter
 * @param flip whether the chatter is at half the tooth passing
 */
public record HeardChatter(double speedRpm, double chatterHz, boolean flip) {
  public HeardChatter {
    if (!(speedRpm > 0) || Double.isInfinite(speedRpm)) {
      throw new IllegalArgumentException("spindle speed must be positive, was " + speedRpm);
    }
    if (!Double.isNaN(chatterHz) && !(chatterHz > 0 && chatterHz < 1e6)) {
      throw new IllegalArgumentException("chatter frequency must be positive, was " + chatterHz);
    }
  }

  /** A cut that was heard not to chatter. */
  public static HeardChatter none(double speedRpm) {
    return new HeardChatter(speedRpm, Double.NaN, false);
  }

  public boolean chatters() {
    return !Double.isNaN(chatterHz);
  }
}
