package ringtrue.signal;

/**
 * One tap and what was made of it.
 *
 * @param number counted from 1 in the order found
 * @param recording name of the recording that it is in
 * @param onsetS time of the onset from the start of that recording, s
 * @param peakForceN largest force, N; NaN without a force channel
 * @param contactS contact time: how long the force stays above a tenth of its peak, s; NaN if
 *     unknown
 * @param usableToHz highest frequency at which this blow's force spectrum is within the allowed
 *     drop
 * @param verdict kept, or why not
 * @param reason one sentence in plain words, with the numbers that led to the verdict
 */
public record Tap(
    int number,
    String recording,
    double onsetS,
    double peakForceN,
    double contactS,
    double usableToHz,
    Verdict verdict,
    String reason) {

  /** What becomes of a tap. */
  public enum Verdict {
    KEPT("kept"),
    DOUBLE_HIT("double hit"),
    OVERLOAD("overload"),
    TOO_WEAK("too weak"),
    TOO_SLOW("too slow"),
    POOR_MATCH("poor match"),
    NO_TAP("no tap"),
    CUT_OFF("cut off"),
    REJECTED_BY_USER("rejected by user");

    private final String word;

    Verdict(String word) {
      this.word = word;
    }

    /** The word used in results. */
    public String word() {
      return word;
    }
  }
}
