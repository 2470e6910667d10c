package ringtrue.signal;

import java.util.List;
import ringtrue.acquisition.LiveInput;

/** What happens while taps come in, in the order in which it happens. */
public sealed interface TapEvent {

  /**
   * Listens for a stretch of quiet.
   *
   * @param again whether somebody knocked, so that it has to begin again
   */
  record Listening(boolean again) implements TapEvent {}

  /**
   * Ready for taps.
   *
   * @param forceNoise standard deviation of the force at rest, N; NaN without a force channel
   * @param responseNoise the same of the response, SI
   * @param triggerLevel what starts a tap: N, or the response's SI unit without a force channel
   * @param wasQuiet false if it never got quiet, so that the noise is that of the quieter moments
   */
  record Ready(double forceNoise, double responseNoise, double triggerLevel, boolean wasQuiet)
      implements TapEvent {}

  /**
   * Something has struck; its block runs.
   *
   * @param onsetFrame where
   */
  record Struck(long onsetFrame) implements TapEvent {}

  /**
   * Length and windows of the blocks were chosen; all taps so far were judged anew.
   *
   * @param blockLengthS block length, s
   * @param remarks how it was chosen
   */
  record BlockChosen(double blockLengthS, List<String> remarks) implements TapEvent {
    public BlockChosen {
      remarks = List.copyOf(remarks);
    }
  }

  /**
   * A tap was judged.
   *
   * @param tap the tap
   * @param kept how many taps are kept by now
   */
  record Judged(SessionTap tap, int kept) implements TapEvent {}

  /**
   * A tap of before got another verdict.
   *
   * @param tap the tap as it is now
   * @param before its verdict of before
   * @param kept how many taps are kept by now
   */
  record Changed(SessionTap tap, Tap.Verdict before, int kept) implements TapEvent {}

  /**
   * Frames were lost.
   *
   * @param gap where, how many and why
   */
  record FramesLost(LiveInput.Gap gap) implements TapEvent {}

  /** What to do better, when the same goes wrong again and again. */
  record Advice(String sentence) implements TapEvent {}

  /**
   * The session is over.
   *
   * @param reached whether what was wanted was reached
   * @param sentence why it is over
   */
  record Finished(boolean reached, String sentence) implements TapEvent {}
}
