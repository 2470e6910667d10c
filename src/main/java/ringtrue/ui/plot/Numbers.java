package ringtrue.ui.plot;

import java.math.BigDecimal;
import java.math.MathContext;
import java.util.Locale;

/** Numbers as people read them on axes. */
final class Numbers {
  private Numbers() {}

  /** Five digits that count, without needless zeros. */
  static String read(double value) {
    if (!Double.isFinite(value)) {
      return "–";
    }
    BigDecimal rounded = new BigDecimal(value).round(new MathContext(5));
    double size = Math.abs(rounded.doubleValue());
    if (size != 0 && (size < 1e-3 || size >= 1e7)) {
      int exponent = rounded.precision() - rounded.scale() - 1;
      return rounded.movePointLeft(exponent).stripTrailingZeros().toPlainString() + "e" + exponent;
    }
    return size == 0 ? "0" : rounded.stripTrailingZeros().toPlainString();
  }

  /**
   * As many decimals as tell ticks apart.
   *
   * @param step distance of ticks, above zero
   */
  static String tick(double value, double step) {
    if (Math.abs(value) < step * 1e-6) {
      return "0";
    }
    int last = (int) Math.floor(Math.log10(step) + 1e-9);
    int first = (int) Math.floor(Math.log10(Math.abs(value)) + 1e-9);
    if (last < -4 || last > 5) {
      return String.format(
          Locale.ROOT,
          "%." + Math.max(0, first - last) + "fe%d",
          value / Math.pow(10, first),
          first);
    }
    return String.format(Locale.ROOT, "%." + Math.max(0, -last) + "f", value);
  }
}
