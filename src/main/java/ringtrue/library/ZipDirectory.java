package ringtrue.library;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.channels.FileChannel;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import ringtrue.units.BadInputException;

/**
 * Looks at the directory at the end of a zip file before anything else reads it, so that a hostile
 * one is refused while it is small: how many entries, how long, links, encryption.
 *
 * <p>Source of the layout: "APPNOTE.TXT, .ZIP File Format Specification" 6.3.10 (2022), sections
 * 4.3.12, 4.3.16 and 4.4.2.2.
 */
final class ZipDirectory {
  private static final int END_BYTES = 22;
  private static final int END_MARK = 0x06054b50;
  private static final int ENTRY_BYTES = 46;
  private static final int ENTRY_MARK = 0x02014b50;
  private static final int LARGEST_DIRECTORY = 8 << 20;
  private static final int FILE_TYPE = 0xF000;
  private static final int REGULAR = 0x8000;
  private static final int STORED = 0;
  private static final int DEFLATED = 8;

  private ZipDirectory() {}

  /**
   * Checks a file.
   *
   * @param name what messages call it
   * @param mostEntries how many entries are allowed
   * @throws BadInputException if it is no zip file that may be read
   */
  static void check(Path path, String name, int mostEntries) throws IOException {
    try (FileChannel file = FileChannel.open(path, StandardOpenOption.READ)) {
      long size = file.size();
      int tail = (int) Math.min(size, END_BYTES + 0xFFFF);
      ByteBuffer end = read(file, size - tail, tail, name);
      int at = tail - END_BYTES;
      while (at >= 0
          && !(end.getInt(at) == END_MARK
              && at + END_BYTES + unsigned(end.getShort(at + 20)) == tail)) {
        at--;
      }
      if (at < 0) {
        throw new BadInputException(name + ": is no zip archive, or its end is missing");
      }
      int entries = unsigned(end.getShort(at + 10));
      long length = Integer.toUnsignedLong(end.getInt(at + 12));
      long offset = Integer.toUnsignedLong(end.getInt(at + 16));
      if (entries > mostEntries || length > LARGEST_DIRECTORY) {
        throw new BadInputException(
            name + ": holds more than " + mostEntries + " entries; no set-up has as many");
      }
      if (offset + length != size - tail + at) {
        throw new BadInputException(
            name + ": something lies between the directory of the archive and its end");
      }
      entries(read(file, offset, (int) length, name), entries, name);
    }
  }

  private static void entries(ByteBuffer all, int entries, String name) {
    int at = 0;
    for (int i = 0; i < entries; i++) {
      if (at + ENTRY_BYTES > all.limit() || all.getInt(at) != ENTRY_MARK) {
        throw new BadInputException(name + ": the directory of the archive is damaged");
      }
      int madeBy = all.get(at + 5);
      int flags = all.getShort(at + 8);
      int method = all.getShort(at + 10);
      int type = all.getInt(at + 38) >>> 16 & FILE_TYPE;
      String entry = "entry " + (i + 1);
      if ((flags & 0x2041) != 0) {
        throw new BadInputException(name + ": " + entry + " is encrypted");
      }
      if (method != STORED && method != DEFLATED) {
        throw new BadInputException(
            name
                + ": "
                + entry
                + " is packed by method "
                + method
                + "; stored and deflated are read");
      }
      if (type != 0 && type != REGULAR && (madeBy == 3 || madeBy == 19)) {
        throw new BadInputException(name + ": " + entry + " is a link, a folder or a device");
      }
      at +=
          ENTRY_BYTES
              + unsigned(all.getShort(at + 28))
              + unsigned(all.getShort(at + 30))
              + unsigned(all.getShort(at + 32));
    }
    if (at != all.limit()) {
      throw new BadInputException(name + ": the directory of the archive is damaged");
    }
  }

  private static int unsigned(short value) {
    return Short.toUnsignedInt(value);
  }

  private static ByteBuffer read(FileChannel file, long from, int length, String name)
      throws IOException {
    ByteBuffer bytes = ByteBuffer.allocate(length).order(ByteOrder.LITTLE_ENDIAN);
    while (bytes.hasRemaining()) {
      if (file.read(bytes, from + bytes.position()) < 0) {
        throw new BadInputException(name + ": the archive is cut off");
      }
    }
    return bytes.flip();
  }
}
