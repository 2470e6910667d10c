package ringtrue.acquisition;

import java.io.Closeable;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.file.Path;
import ringtrue.units.BadInputException;

/**
 * Goes through the lines of a large text file of any of the usual encodings. What counts in a table
 * of numbers is ASCII, so other characters are only kept apart from it. Positions count characters
 * of UTF-16 and bytes of everything else, and a line can be found again by its position.
 */
final class TextLines implements Closeable {
  private static final int CHUNK = 1 << 18;
  private static final int LONGEST_LINE = 1 << 20;
  private static final byte OTHER = (byte) 0xFF;

  private final String name;
  private final FileChannel file;
  private final ByteBuffer chunk = ByteBuffer.allocate(CHUNK);

  /** Bytes for each character. */
  private int width = 1;

  private boolean bigEndian;
  private int markBytes;
  private long filePosition;
  private boolean ended;

  private byte[] text = new byte[2 * CHUNK];
  private int filled;
  private int nextStart;
  private long textPosition;

  private int start;
  private int end;
  private long lineNumber;

  TextLines(Path path, String name) throws IOException {
    this.name = name;
    file = InputFile.open(path, name);
    readMark();
  }

  private void readMark() throws IOException {
    chunk.clear().limit(3);
    while (chunk.hasRemaining() && file.read(chunk, chunk.position()) >= 0) {
      // until three bytes or the end
    }
    int n = chunk.position();
    int a = n > 0 ? chunk.get(0) & 0xFF : 0;
    int b = n > 1 ? chunk.get(1) & 0xFF : 0;
    int c = n > 2 ? chunk.get(2) & 0xFF : 0;
    if (a == 0xEF && b == 0xBB && c == 0xBF) {
      markBytes = 3;
    } else if (a == 0xFF && b == 0xFE || a == 0xFE && b == 0xFF) {
      markBytes = 2;
      width = 2;
      bigEndian = a == 0xFE;
    }
    filePosition = markBytes;
  }

  long sizeBytes() throws IOException {
    return file.size();
  }

  /** Goes to a line whose position and number are known. */
  void seek(long position, long numberOfLine) {
    filePosition = markBytes + position * width;
    ended = false;
    filled = 0;
    nextStart = 0;
    textPosition = position;
    lineNumber = numberOfLine - 1;
  }

  /** Moves to the next line; false at the end of the file. */
  boolean next() throws IOException {
    int scan = nextStart;
    while (true) {
      scan = lineBreak(text, scan, filled);
      // a carriage return at the very end of the buffer may have its line feed in the next one
      boolean complete = scan < filled && (text[scan] == '\n' || scan + 1 < filled || ended);
      if (complete || ended) {
        break;
      }
      int kept = filled - nextStart;
      if (kept > LONGEST_LINE) {
        throw new BadInputException(
            name + ": line " + (lineNumber + 1) + " is too long; this is no table of numbers");
      }
      scan -= nextStart;
      fill();
    }
    if (nextStart >= filled) {
      return false;
    }
    start = nextStart;
    end = scan;
    lineNumber++;
    boolean pair = scan + 1 < filled && text[scan] == '\r' && text[scan + 1] == '\n';
    nextStart = Math.min(filled, scan + (pair ? 2 : 1));
    return true;
  }

  private static int lineBreak(byte[] text, int from, int to) {
    int i = from;
    while (i < to && text[i] != '\n' && text[i] != '\r') {
      i++;
    }
    return i;
  }

  private void fill() throws IOException {
    int kept = filled - nextStart;
    if (kept + CHUNK > text.length) {
      byte[] larger = new byte[2 * text.length];
      System.arraycopy(text, nextStart, larger, 0, kept);
      text = larger;
    } else {
      System.arraycopy(text, nextStart, text, 0, kept);
    }
    textPosition += nextStart;
    nextStart = 0;
    filled = kept;
    chunk.clear();
    while (chunk.hasRemaining()) {
      int got = file.read(chunk, filePosition);
      if (got < 0) {
        ended = true;
        break;
      }
      filePosition += got;
    }
    byte[] raw = chunk.array();
    int n = chunk.position();
    if (width == 1) {
      System.arraycopy(raw, 0, text, filled, n);
      filled += n;
      return;
    }
    for (int i = 0; i + 1 < n; i += 2) {
      int high = raw[bigEndian ? i : i + 1];
      int low = raw[bigEndian ? i + 1 : i];
      text[filled++] = high == 0 && low >= 0 ? (byte) low : OTHER;
    }
  }

  /** Where the line's characters are. */
  byte[] text() {
    return text;
  }

  /** First character of the line. */
  int start() {
    return start;
  }

  /** One after the last character of the line, without its line break. */
  int end() {
    return end;
  }

  /** Number of the line, counted from 1. */
  long lineNumber() {
    return lineNumber;
  }

  /** Position of the line, for {@link #seek}. */
  long position() {
    return textPosition + start;
  }

  /** Whether there is nothing but blanks on the line. */
  boolean blank() {
    return firstInk() == end;
  }

  /** Whether the line is a remark: begins with {@code #} or {@code %}. */
  boolean remark() {
    int ink = firstInk();
    return ink < end && (text[ink] == '#' || text[ink] == '%');
  }

  private int firstInk() {
    int i = start;
    while (i < end && (text[i] == ' ' || text[i] == '\t')) {
      i++;
    }
    return i;
  }

  @Override
  public void close() throws IOException {
    file.close();
  }
}
