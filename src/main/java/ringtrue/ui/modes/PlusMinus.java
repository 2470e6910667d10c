package ringtrue.ui.modes;

import java.util.Locale;

/** Values with their one-sigma uncertainty as text. */
final class PlusMinus {
  private static final int DIGITS = 4;
  private static final int MOST_DIGITS = 6;

  private PlusMinus() {}

  /** As many digits as the uncertainty gives sense to, two of the uncertainty itself. */
  static String of(double value, double sigma) {
    if (Double.isNaN(value)) {
      return "unknown";
    }
    if (!(sigma > 0) || Double.isInfinite(sigma)) {
      return number(value, places(value, DIGITS));
    }
    int places = Math.max(0, Math.min(places(sigma, 2), places(value, MOST_DIGITS)));
    double last = Math.pow(10, -places);
    return number(value, places)
        + (sigma < last ? " ± <" + number(last, places) : " ± " + number(sigma, places));
  }

  /** A relative uncertainty, like "±3 %". */
  static String relative(double value, double sigma) {
    if (!(sigma > 0) || Double.isInfinite(sigma)) {
      return "±?";
    }
    double percent = 100 * sigma / value;
    return "±" + number(percent, Math.max(0, places(percent, percent < 10 ? 1 : 2))) + " %";
  }

  private static int places(double value, int digits) {
    return value == 0 ? 0 : digits - 1 - (int) Math.floor(Math.log10(Math.abs(value)));
  }

  private static String number(double value, int places) {
    return String.format(Locale.ROOT, "%." + Math.max(0, Math.min(9, places)) + "f", value);
  }
}
