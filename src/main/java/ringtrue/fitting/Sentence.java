package ringtrue.fitting;

import java.util.Locale;

/** Numbers as they stand in remarks and messages. */
final class Sentence {
  private Sentence() {}

  /** A frequency with five significant digits, as in {@code "812.35 Hz"}. */
  static String hertz(double hz) {
    return digits(hz, 5) + " Hz";
  }

  /** A fraction in per cent with three significant digits, as in {@code "1.25 %"}. */
  static String percent(double fraction) {
    return digits(100 * fraction, 3) + " %";
  }

  /** A number with so many significant digits, without an exponent while that stays readable. */
  static String digits(double value, int significant) {
    if (value == 0 || !Double.isFinite(value)) {
      return value == 0 ? "0" : Double.toString(value);
    }
    int magnitude = (int) Math.floor(Math.log10(Math.abs(value)));
    if (magnitude < -4 || magnitude > 6) {
      return String.format(Locale.ROOT, "%." + (significant - 1) + "e", value);
    }
    String text =
        String.format(Locale.ROOT, "%." + Math.max(0, significant - 1 - magnitude) + "f", value);
    return text.contains(".") ? text.replaceAll("0+$", "").replaceAll("\\.$", "") : text;
  }
}
