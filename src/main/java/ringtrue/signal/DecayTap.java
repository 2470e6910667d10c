package ringtrue.signal;

/**
 * One tap of which only the response was recorded, and what was made of it.
 *
 * @param number counted from 1 in the order found
 * @param recording name of the recording that it is in
 * @param onsetS time of the onset in the response, from the start of that recording, s
 * @param peak largest response, SI
 * @param lengthS how much of the response after the onset is used, s; NaN if none is
 * @param verdict kept, or why not
 * @param reason one sentence in plain words, with the numbers that led to the verdict
 */
public record DecayTap(
    int number,
    String recording,
    double onsetS,
    double peak,
    double lengthS,
    Tap.Verdict verdict,
    String reason) {

  /** The same with another verdict. */
  public DecayTap judged(Tap.Verdict other, String why) {
    return new DecayTap(number, recording, onsetS, peak, lengthS, other, why);
  }
}
