package ringtrue.acquisition;

import java.io.IOException;
import java.io.InputStream;
import java.util.List;

/**
 * Raw samples from a stream such as standard input, whose layout the user tells. A stream that ends
 * within a frame is said so among the gaps.
 */
public final class RawPcmInput implements LiveInput {
  private final String name;
  private final InputStream stream;
  private final PcmFormat format;
  private final byte[] bytes;
  private int held;
  private long taken;
  private List<Gap> gaps = List.of();
  private volatile boolean closed;

  /**
   * @param name what it is called, such as {@code "standard input"}
   * @param stream where the bytes come from; closed with this
   * @param format how they are laid out
   */
  public RawPcmInput(String name, InputStream stream, PcmFormat format) {
    this.name = name;
    this.stream = stream;
    this.format = format;
    this.bytes = new byte[4096 * format.frameBytes()];
  }

  @Override
  public String name() {
    return name;
  }

  @Override
  public double sampleRateHz() {
    return format.sampleRateHz();
  }

  @Override
  public int channels() {
    return format.channels();
  }

  @Override
  public int bits() {
    return format.bits();
  }

  @Override
  public int read(double[] frames, int most) throws IOException {
    int frameBytes = format.frameBytes();
    int wanted = Math.min(most, bytes.length / frameBytes) * frameBytes;
    while (held < frameBytes) {
      int got = closed ? -1 : take(wanted - held);
      if (got < 0) {
        ended();
        return -1;
      }
      held += got;
    }
    int now = held / frameBytes;
    format.decode(bytes, now, frames);
    held -= now * frameBytes;
    System.arraycopy(bytes, now * frameBytes, bytes, 0, held);
    taken += now;
    return now;
  }

  private int take(int most) throws IOException {
    try {
      return stream.read(bytes, held, most);
    } catch (IOException e) {
      if (closed) {
        return -1;
      }
      throw new IOException(
          name + ": cannot be read any further: " + e.getMessage() + "; what came before is kept",
          e);
    }
  }

  private void ended() {
    if (held > 0 && !closed) {
      String bytesLeft = held == 1 ? "1 byte of it is" : held + " bytes of it are";
      gaps =
          List.of(
              new Gap(
                  taken,
                  1,
                  "the stream ended within a frame of "
                      + format.frameBytes()
                      + " bytes: "
                      + bytesLeft
                      + " left out; check channels and bits if this is not the end of a recording"
                      + " that was stopped"));
    }
  }

  @Override
  public List<Gap> gaps() {
    return gaps;
  }

  @Override
  public void close() throws IOException {
    closed = true;
    stream.close();
  }
}
