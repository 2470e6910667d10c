package ringtrue.library;

import java.io.Closeable;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import ringtrue.units.BadInputException;

/**
 * Lines of a file that may hold stretches of bytes between them. A line ends with LF, CR LF or CR.
 */
final class UniversalLines implements Closeable {
  private static final int LONGEST_LINE = 4096;

  private final FileChannel file;
  private final String name;
  private final ByteBuffer buffer = ByteBuffer.allocate(1 << 16).limit(0);
  private long bufferStart;
  private long number;

  /**
   * @param name what messages call the file
   */
  UniversalLines(Path path, String name) throws IOException {
    this.file = FileChannel.open(path, StandardOpenOption.READ);
    this.name = name;
  }

  /** Where the next line or byte is. */
  long position() {
    return bufferStart + buffer.position();
  }

  /** Number of the line that was read last, from 1. */
  long number() {
    return number;
  }

  /** Goes on from another place. */
  void seek(long position, long lineNumber) {
    bufferStart = position;
    buffer.position(0).limit(0);
    number = lineNumber;
  }

  private boolean more() throws IOException {
    if (buffer.hasRemaining()) {
      return true;
    }
    bufferStart += buffer.position();
    buffer.clear();
    int got = file.read(buffer, bufferStart);
    buffer.flip();
    return got > 0;
  }

  /**
   * The next line, a character for each byte; null at the end.
   *
   * @throws BadInputException if it is longer than any line of text
   */
  String next() throws IOException {
    if (!more()) {
      return null;
    }
    number++;
    byte[] line = new byte[128];
    int length = 0;
    while (more()) {
      byte b = buffer.get();
      if (b == '\n') {
        break;
      }
      if (b == '\r') {
        if (more() && buffer.get(buffer.position()) == '\n') {
          buffer.get();
        }
        break;
      }
      if (length == LONGEST_LINE) {
        throw new BadInputException(
            name + ": line " + number + ": is longer than any line of a universal file");
      }
      if (length == line.length) {
        line = java.util.Arrays.copyOf(line, 2 * length);
      }
      line[length++] = b;
    }
    return new String(line, 0, length, StandardCharsets.ISO_8859_1);
  }

  /**
   * Reads bytes.
   *
   * @return how many there were, fewer only at the end of the file
   */
  int bytes(byte[] into) throws IOException {
    int done = 0;
    while (done < into.length && more()) {
      int part = Math.min(buffer.remaining(), into.length - done);
      buffer.get(into, done, part);
      done += part;
    }
    return done;
  }

  long size() throws IOException {
    return file.size();
  }

  @Override
  public void close() throws IOException {
    file.close();
  }
}
