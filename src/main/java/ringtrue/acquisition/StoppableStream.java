package ringtrue.acquisition;

import java.io.IOException;
import java.io.InputStream;
import java.io.PipedInputStream;
import java.io.PipedOutputStream;

/**
 * A stream that can be closed while somebody waits for its bytes, as standard input cannot: the one
 * who waits then gets its end. A thread of its own reads ahead.
 */
public final class StoppableStream extends InputStream {
  private static final int READ_AHEAD_BYTES = 1 << 22;
  private static final int PORTION_BYTES = 1 << 14;

  private final PipedInputStream pipe = new PipedInputStream(READ_AHEAD_BYTES);
  private final PipedOutputStream filler;
  private volatile IOException problem;

  /**
   * @param source read until it ends or this is closed; never closed itself
   */
  public StoppableStream(InputStream source) throws IOException {
    filler = new PipedOutputStream(pipe);
    Thread thread = new Thread(() -> copy(source), "standard input");
    thread.setDaemon(true);
    thread.start();
  }

  private void copy(InputStream source) {
    byte[] bytes = new byte[PORTION_BYTES];
    // closing the filler tells the reader that this is the end
    try (filler) {
      for (int got = source.read(bytes); got >= 0; got = source.read(bytes)) {
        filler.write(bytes, 0, got);
        filler.flush();
      }
    } catch (IOException e) {
      problem = e;
    }
  }

  @Override
  public int read() throws IOException {
    byte[] one = new byte[1];
    return read(one, 0, 1) < 0 ? -1 : one[0] & 0xFF;
  }

  @Override
  public int read(byte[] into, int offset, int length) throws IOException {
    int got = pipe.read(into, offset, length);
    if (got < 0 && problem != null) {
      throw problem;
    }
    return got;
  }

  /** Bytes that were read ahead can still be had; then comes the end. */
  @Override
  public void close() throws IOException {
    filler.close();
  }
}
