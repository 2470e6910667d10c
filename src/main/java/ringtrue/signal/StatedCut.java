package ringtrue.signal;

/**
 * What is known of a cut before its sound is heard.
 *
 * @param spindleHz turns per second as the machine says, Hz, positive
 * @param flutes teeth of the cutter; 0 in turning
 * @param period how many of these cutting patterns a turn holds: the number of teeth where all are
 *     alike, less where the pitch is uneven (1 if it never repeats within a turn); 1 in turning
 */
public record StatedCut(double spindleHz, int flutes, int period) {

  public StatedCut {
    if (!(spindleHz > 0) || Double.isInfinite(spindleHz)) {
      throw new IllegalArgumentException("spindle frequency must be positive, was " + spindleHz);
    }
    if (flutes < 0 || period < 1 || flutes > 0 && flutes % period != 0) {
      throw new IllegalArgumentException(
          period + " equal parts of a turn do not fit " + flutes + " teeth");
    }
  }

  /** Milling with teeth that are all alike. */
  public static StatedCut even(double spindleRpm, int flutes) {
    return new StatedCut(spindleRpm / 60, flutes, flutes);
  }

  /** Turning: one edge that is always in the cut. */
  public static StatedCut turning(double spindleRpm) {
    return new StatedCut(spindleRpm / 60, 0, 1);
  }

  /** Whether a cutter turns. */
  public boolean milling() {
    return flutes > 0;
  }

  /** Turns of the spindle of which tooth passing is a multiple; 1 in turning. */
  public int toothOrder() {
    return Math.max(1, flutes);
  }

  /** Whether all teeth are alike. */
  public boolean evenPitch() {
    return flutes == period || flutes == 0;
  }

  /**
   * Whether a flip falls on lines that run-out has as well: it is heard at odd multiples of half
   * the pattern's frequency, and for an even number of patterns in a turn these are whole turns.
   */
  public boolean flipOnRunout() {
    return milling() && period % 2 == 0;
  }
}
