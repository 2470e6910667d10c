package ringtrue.acquisition;

import java.io.Closeable;
import java.io.IOException;
import java.util.List;

/**
 * Sampled channels that can be read from the start as often as needed, a stretch at a time, so that
 * a recording need never be in memory as a whole.
 *
 * <p>WAV numbers are fractions of the channel's full scale (integer / 2^(bits−1), or the float
 * itself). Numbers of a text file are what the file says.
 */
public interface Recording {

  /** Name for messages and reports, usually the file's name. */
  String name();

  double sampleRateHz();

  int channels();

  /** Number of samples in each channel. */
  long frames();

  /** What the user should know of how it was read, in plain sentences; usually nothing. */
  default List<String> remarks() {
    return List.of();
  }

  /**
   * Starts reading at a frame. Reading near the front again must be cheap enough for several
   * passes.
   *
   * @param frame first frame to deliver, 0 to {@link #frames()}
   * @throws ringtrue.units.BadInputException if the file turns out to be damaged
   * @throws IOException if it cannot be read at all
   */
  Cursor from(long frame) throws IOException;

  /** A place in a recording, moving forward. */
  interface Cursor extends Closeable {

    /**
     * Reads the next frames.
     *
     * @param into one array for each channel of the recording; null for a channel that is not
     *     wanted
     * @param offset where in the arrays to begin
     * @param frames how many frames at most
     * @return how many were read; 0 at the end
     * @throws ringtrue.units.BadInputException if a value is not a finite number; names file and
     *     place
     */
    int read(double[][] into, int offset, int frames) throws IOException;
  }
}
