package ringtrue.signal;

/**
 * A tap of a session.
 *
 * @param tap the tap and what is thought of it
 * @param firstFrame first frame of its block, counted from the session's start
 * @param onsetFrame first frame at the trigger level
 * @param frames length of its block
 */
public record SessionTap(Tap tap, long firstFrame, long onsetFrame, int frames) {

  public boolean isKept() {
    return tap.verdict() == Tap.Verdict.KEPT;
  }
}
