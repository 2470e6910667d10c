package ringtrue.acquisition;

import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.Locale;

/**
 * Takes a line of numbers apart. A number is read exactly as {@link Double#parseDouble} would; the
 * usual short ones by the quick way of Clinger (1990): up to 15 digits and a power of ten up to 22
 * are both exact doubles, so that one multiplication or division rounds correctly.
 */
final class TextRow {
  /** Any number of blanks between columns. */
  static final byte SPACES = ' ';

  /** No delimiter: a single column. */
  static final byte NONE = '\n';

  private static final double[] TEN = new double[23];

  static {
    double ten = 1;
    for (int i = 0; i < TEN.length; i++) {
      TEN[i] = ten;
      ten *= 10;
    }
  }

  private final byte delimiter;

  /** Decimal mark: point, comma, or 0 while none has been seen. */
  private byte mark;

  private double[] values = new double[8];
  private int count;
  private boolean trailing;
  private int bad;
  private int badStart;
  private int badEnd;

  /** Digits after the decimal mark, less the exponent, of the last number parsed. */
  private int decimals;

  /** One after the last number's last character. */
  private int stop;

  private int decimalsColumn = -1;
  private int decimalsSeen;

  /**
   * @param delimiter tab, semicolon, comma, {@link #SPACES} or {@link #NONE}
   * @param mark decimal mark, or 0 if it is still to be seen
   */
  TextRow(byte delimiter, byte mark) {
    this.delimiter = delimiter;
    this.mark = delimiter == ',' ? (byte) '.' : mark;
  }

  byte mark() {
    return mark;
  }

  /** Asks for the printed decimals of one column, counted from 0. */
  void watchDecimals(int column) {
    decimalsColumn = column;
  }

  /** Printed decimals of the watched column in the last row; negative for 2e3 and the like. */
  int decimals() {
    return decimalsSeen;
  }

  /**
   * Takes a line apart.
   *
   * @return whether all of it is finite numbers; {@link #complaint} says what is not
   */
  boolean parse(byte[] text, int start, int end) {
    count = 0;
    trailing = false;
    bad = -1;
    int at = start;
    while (end > at && isBlank(text[end - 1]) && text[end - 1] != delimiter) {
      end--;
    }
    if (delimiter == SPACES) {
      at = skipBlanks(text, at, end);
    }
    while (true) {
      int fieldEnd;
      double value = number(text, at, end);
      if (stop > at && (stop == end || text[stop] == delimiter) && Double.isFinite(value)) {
        // a plain number right up to the delimiter, as nearly all are
        fieldEnd = stop;
        add(value);
      } else {
        fieldEnd = fieldEnd(text, at, end);
        // one delimiter after the last column is a habit of some loggers
        if (count > 0 && fieldEnd == end && skipBlanks(text, at, end) == end) {
          trailing = true;
          return bad < 0;
        }
        field(text, at, fieldEnd);
      }
      if (fieldEnd >= end) {
        return bad < 0;
      }
      at = fieldEnd + 1;
      if (delimiter == SPACES) {
        at = skipBlanks(text, at, end);
      }
    }
  }

  private void add(double value) {
    if (count == values.length) {
      values = Arrays.copyOf(values, 2 * count);
    }
    if (count == decimalsColumn) {
      decimalsSeen = decimals;
    }
    values[count++] = value;
  }

  private int fieldEnd(byte[] text, int at, int end) {
    if (delimiter == NONE) {
      return end;
    }
    boolean quoted = false;
    for (int i = at; i < end; i++) {
      byte c = text[i];
      if (c == '"') {
        quoted = !quoted;
      } else if (!quoted && (c == delimiter || delimiter == SPACES && c == '\t')) {
        return i;
      }
    }
    return end;
  }

  private void field(byte[] text, int start, int end) {
    int from = skipBlanks(text, start, end);
    int to = end;
    while (to > from && isBlank(text[to - 1])) {
      to--;
    }
    if (to - from >= 2 && text[from] == '"' && text[to - 1] == '"') {
      from = skipBlanks(text, from + 1, to - 1);
      to--;
      while (to > from && isBlank(text[to - 1])) {
        to--;
      }
    }
    double value = number(text, from, to);
    if (stop != to) {
      value = Double.NaN;
    }
    if (!Double.isFinite(value) && bad < 0) {
      bad = count;
      badStart = from;
      badEnd = to;
    }
    add(value);
  }

  /** The number that begins at start and ends at {@link #stop}; NaN if there is none. */
  private double number(byte[] text, int start, int end) {
    int at = start;
    stop = start;
    boolean negative = false;
    if (at < end && (text[at] == '-' || text[at] == '+')) {
      negative = text[at] == '-';
      at++;
    }
    long digits = 0;
    int significant = 0;
    int all = 0;
    int fraction = 0;
    boolean inFraction = false;
    for (; at < end; at++) {
      int c = text[at];
      if (c >= '0' && c <= '9') {
        all++;
        if (significant > 0 || c != '0') {
          significant++;
          if (significant <= 18) {
            digits = 10 * digits + (c - '0');
          }
        }
        if (inFraction) {
          fraction++;
        }
      } else if (!inFraction && (c == '.' || c == ',') && (mark == 0 || c == mark)) {
        mark = (byte) c;
        inFraction = true;
      } else {
        break;
      }
    }
    if (all == 0) {
      return Double.NaN;
    }
    int exponent = 0;
    if (at < end && (text[at] == 'e' || text[at] == 'E')) {
      at++;
      boolean down = false;
      if (at < end && (text[at] == '-' || text[at] == '+')) {
        down = text[at] == '-';
        at++;
      }
      int first = at;
      while (at < end && text[at] >= '0' && text[at] <= '9') {
        exponent = Math.min(10_000, 10 * exponent + (text[at] - '0'));
        at++;
      }
      if (at == first) {
        return Double.NaN;
      }
      exponent = down ? -exponent : exponent;
    }
    stop = at;
    decimals = fraction - exponent;
    double size;
    int power = exponent - fraction;
    if (significant <= 15 && power >= -22 && power <= 22) {
      size = power < 0 ? digits / TEN[-power] : digits * TEN[power];
    } else {
      String plain = new String(text, start, at - start, StandardCharsets.ISO_8859_1);
      return Double.parseDouble(plain.replace(',', '.'));
    }
    return negative ? -size : size;
  }

  private static int skipBlanks(byte[] text, int at, int end) {
    while (at < end && isBlank(text[at])) {
      at++;
    }
    return at;
  }

  private static boolean isBlank(byte c) {
    return c == ' ' || c == '\t';
  }

  /** Number of columns of the last line. */
  int count() {
    return count;
  }

  /** Whether the last line ended with a delimiter. */
  boolean trailing() {
    return trailing;
  }

  /** Value of a column, counted from 0. */
  double value(int column) {
    return values[column];
  }

  /** Columns of the last line that are numbers. */
  int numbers() {
    int sum = 0;
    for (int c = 0; c < count; c++) {
      sum += Double.isFinite(values[c]) ? 1 : 0;
    }
    return sum;
  }

  /** What is wrong with the first bad column of the last line. */
  String complaint(byte[] text) {
    if (bad < 0) {
      return "column " + (count + 1) + " is empty, a number is needed";
    }
    String shown =
        new String(text, badStart, Math.min(40, badEnd - badStart), StandardCharsets.ISO_8859_1)
            .replaceAll("[^\\x20-\\x7e]", "?");
    String place = "column " + (bad + 1);
    if (shown.isEmpty()) {
      return place + " is empty, a number is needed";
    }
    if (isNotFinite(shown)) {
      return place + " is \"" + shown + "\", a finite number is needed";
    }
    boolean marks = mark != 0 && shown.matches("[-+0-9.,eE]+");
    return place
        + " is \""
        + shown
        + "\", a number is needed"
        + (marks ? " (the decimal mark of this file is \"" + (char) mark + "\")" : "");
  }

  /** Whether the first bad column of the last line is empty or a word like NaN. */
  boolean badButMeantAsNumber(byte[] text) {
    if (bad < 0) {
      return trailing;
    }
    String shown = new String(text, badStart, badEnd - badStart, StandardCharsets.ISO_8859_1);
    return shown.isEmpty() || isNotFinite(shown);
  }

  private static boolean isNotFinite(String word) {
    String plain = word.toLowerCase(Locale.ROOT);
    return plain.matches("[-+]?(nan|inf|infinity|1\\.#.*|n/a|null|-+)")
        || plain.matches("[-+]?[0-9.,]+e[-+]?[0-9]+");
  }
}
