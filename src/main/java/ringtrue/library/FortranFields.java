package ringtrue.library;

import java.util.ArrayList;
import java.util.List;

/** Takes lines apart whose fields have fixed widths, as Fortran's formatted output has. */
final class FortranFields {
  private FortranFields() {}

  /** The characters of a field, without blanks around them; empty beyond the line's end. */
  static String field(String line, int start, int width) {
    int from = Math.min(start, line.length());
    return line.substring(from, Math.min(line.length(), start + width)).strip();
  }

  /** The parts of a line between blanks. */
  static List<String> words(String line) {
    List<String> words = new ArrayList<>();
    int at = 0;
    while (at < line.length()) {
      while (at < line.length() && blank(line.charAt(at))) {
        at++;
      }
      int start = at;
      while (at < line.length() && !blank(line.charAt(at))) {
        at++;
      }
      if (at > start) {
        words.add(line.substring(start, at));
      }
    }
    return words;
  }

  private static boolean blank(char c) {
    return c == ' ' || c == '\t';
  }

  /** Whether a field is empty or a whole number. */
  static boolean isWhole(String field) {
    int digits = 0;
    for (int i = 0; i < field.length(); i++) {
      char c = field.charAt(i);
      boolean sign = i == 0 && (c == '-' || c == '+');
      if (!sign && (c < '0' || c > '9')) {
        return false;
      }
      digits += sign ? 0 : 1;
    }
    return field.isEmpty() || digits > 0 && digits < 10;
  }

  /** A whole number; 0 for an empty field, as Fortran reads it. */
  static int whole(String field) {
    return field.isEmpty() ? 0 : Integer.parseInt(field);
  }

  /**
   * A number as Fortran writes it: {@code 1.5}, {@code 1.5E+00}, {@code 1.5D+00}, {@code 1.5+100}.
   *
   * @return NaN if it is none or not finite
   */
  static double number(String field) {
    StringBuilder text = new StringBuilder(field.length() + 1);
    boolean digits = false;
    boolean exponent = false;
    for (int i = 0; i < field.length(); i++) {
      char c = field.charAt(i);
      if (c >= '0' && c <= '9') {
        digits = true;
        text.append(c);
      } else if (c == '.' && !exponent) {
        text.append(c);
      } else if ("eEdD".indexOf(c) >= 0 && digits && !exponent) {
        exponent = true;
        text.append('E');
      } else if (c == '+' || c == '-') {
        if (i > 0 && digits && !exponent) {
          exponent = true;
          text.append('E');
        }
        text.append(c);
      } else {
        return Double.NaN;
      }
    }
    if (!digits || text.length() > 60) {
      return Double.NaN;
    }
    try {
      double value = Double.parseDouble(text.toString());
      return Double.isFinite(value) ? value : Double.NaN;
    } catch (NumberFormatException e) {
      return Double.NaN;
    }
  }
}
