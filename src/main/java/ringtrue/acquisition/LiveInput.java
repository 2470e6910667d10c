package ringtrue.acquisition;

import java.io.Closeable;
import java.io.IOException;
import java.util.List;

/**
 * Frames as they come: from a sound input, the simulated rig, a file replayed or standard input.
 * Read by one thread.
 */
public interface LiveInput extends Closeable {

  /** What it is, for the user; what the simulated rig makes says so here. */
  String name();

  double sampleRateHz();

  /** Channels in a frame. */
  int channels();

  /** Bits of a sample as the input gives them: 16, 24 or 32. */
  int bits();

  /**
   * Waits until frames are there and takes them.
   *
   * @param frames filled with frames one after the other, channel by channel within each, as
   *     fractions of full scale; what the input gave in up to 32 bits is kept exactly
   * @param most most frames to take; {@code frames} has room for them
   * @return how many were taken, at least 1; −1 at the end
   * @throws IOException if the input is lost; what was read before stays valid
   */
  int read(double[] frames, int most) throws IOException;

  /** Places where frames are missing, in order; empty if none were lost so far. */
  List<Gap> gaps();

  /**
   * A stretch that was lost.
   *
   * @param atFrame frames read before it
   * @param missingFrames how many are missing; an estimate from the clock where it cannot be
   *     counted
   * @param why what happened, in plain words
   */
  record Gap(long atFrame, long missingFrames, String why) {}
}
