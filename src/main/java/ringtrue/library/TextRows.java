package ringtrue.library;

import java.io.BufferedReader;
import java.io.IOException;
import ringtrue.units.BadInputException;

/** Reads lines of tables, none of which can fill the memory. */
final class TextRows {
  private static final int LONGEST = 16_384;

  private TextRows() {}

  /**
   * The next line, which ends with LF, CR LF or CR; null at the end.
   *
   * @param name what messages call the file
   * @param number of the line, for messages
   * @throws BadInputException if it is longer than any row of a table
   */
  static String next(BufferedReader lines, String name, int number) throws IOException {
    int c = lines.read();
    if (c < 0) {
      return null;
    }
    StringBuilder text = new StringBuilder(100);
    while (c >= 0 && c != '\n' && c != '\r') {
      if (text.length() == LONGEST) {
        throw new BadInputException(
            name + ": line " + number + ": is longer than any row of a table");
      }
      text.append((char) c);
      c = lines.read();
    }
    if (c == '\r') {
      lines.mark(1);
      if (lines.read() != '\n') {
        lines.reset();
      }
    }
    return text.toString();
  }
}
