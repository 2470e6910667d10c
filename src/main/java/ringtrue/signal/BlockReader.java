package ringtrue.signal;

import java.io.Closeable;
import java.io.IOException;
import java.util.Arrays;
import java.util.List;
import ringtrue.acquisition.Channel;
import ringtrue.acquisition.Recording;
import ringtrue.units.BadInputException;

/** Reads blocks of two channels one after the other, moving forward where it can. */
final class BlockReader implements Closeable {
  private final List<Recording> recordings;
  private final int forceAt;
  private final int responseAt;
  private Recording.Cursor cursor;
  private int recording = -1;
  private long position;

  BlockReader(List<Recording> recordings, Channel force, Channel response) {
    this.recordings = recordings;
    this.forceAt = force.number() - 1;
    this.responseAt = response.number() - 1;
  }

  /**
   * Reads a block of recorded numbers. Where it reaches beyond the recording the last number that
   * there is stands in.
   *
   * @param start first frame; may be negative
   * @return how many samples of the block are really there
   */
  int read(int which, long start, int samples, double[] force, double[] response)
      throws IOException {
    Recording from = recordings.get(which);
    long begin = Math.max(0, Math.min(start, from.frames()));
    long end = Math.max(begin, Math.min(start + samples, from.frames()));
    int lead = (int) (begin - start);
    int wanted = (int) (end - begin);
    double[][] into = new double[from.channels()][];
    into[forceAt] = force;
    into[responseAt] = response;
    go(which, begin, samples, into.length);
    int got = 0;
    while (got < wanted) {
      int n = cursor.read(into, lead + got, wanted - got);
      if (n <= 0) {
        throw new BadInputException(
            from.name()
                + ": ends after "
                + (begin + got)
                + " samples although "
                + from.frames()
                + " were announced");
      }
      got += n;
    }
    position = end;
    for (double[] values : new double[][] {force, response}) {
      double first = got > 0 ? values[lead] : 0;
      double last = got > 0 ? values[lead + got - 1] : 0;
      Arrays.fill(values, 0, Math.min(lead, samples), first);
      Arrays.fill(values, lead + got, samples, last);
    }
    return got;
  }

  private void go(int which, long frame, int samples, int channels) throws IOException {
    boolean near =
        cursor != null && which == recording && frame >= position && frame - position <= samples;
    if (!near) {
      close();
      cursor = recordings.get(which).from(frame);
      recording = which;
      position = frame;
      return;
    }
    double[][] nothing = new double[channels][];
    while (position < frame) {
      int n = cursor.read(nothing, 0, (int) Math.min(frame - position, 1 << 20));
      if (n <= 0) {
        return;
      }
      position += n;
    }
  }

  @Override
  public void close() throws IOException {
    if (cursor != null) {
      cursor.close();
      cursor = null;
    }
  }
}
