package ringtrue.acquisition;

import java.io.Closeable;
import java.io.IOException;
import java.util.Map;
import java.util.Objects;

/**
 * Where a session's frames and verdicts are kept as they come. The rule: when {@link #verdict}
 * returns, the tap's frames and its verdict are where nothing can take them away any more; only
 * then is the verdict announced.
 */
public interface TapKeeper extends Closeable {

  /**
   * A tap and what was thought of it. A later one with the same number holds against an earlier
   * one.
   *
   * @param tap number, counted from 1
   * @param firstFrame first frame of its block
   * @param frames length of the block
   * @param verdict the word for it, such as {@code "kept"} or {@code "double hit"}
   * @param reason why, in plain words
   * @param numbers what else was found, finite, with the SI unit in the name: {@code peakForceN}
   */
  record Verdict(
      int tap,
      long firstFrame,
      long frames,
      String verdict,
      String reason,
      Map<String, Double> numbers) {

    public Verdict {
      Objects.requireNonNull(verdict, "verdict");
      Objects.requireNonNull(reason, "reason");
      numbers = Map.copyOf(numbers);
    }
  }

  /**
   * Takes the next frames.
   *
   * @param frames frames one after the other, as {@link LiveInput#read} gives them
   * @param count how many
   * @throws IOException if they cannot be kept; what was kept before stays
   */
  void frames(double[] frames, int count) throws IOException;

  /**
   * Takes note of frames that were lost.
   *
   * @param gap where, and how many
   */
  void gap(LiveInput.Gap gap) throws IOException;

  /** Takes a verdict, with all frames that came before it. */
  void verdict(Verdict verdict) throws IOException;

  /**
   * Gives back frames that were taken.
   *
   * @param frame the first one, counted from 0
   * @param count how many, all of them taken before
   * @param into filled as {@link #frames} had them
   */
  void read(long frame, int count, double[] into) throws IOException;
}
