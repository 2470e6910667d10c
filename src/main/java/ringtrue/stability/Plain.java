package ringtrue.stability;

import java.math.BigDecimal;
import java.math.MathContext;

/** Numbers as remarks and complaints show them. */
final class Plain {
  private Plain() {}

  /** Six digits at most, no exponent, no idle zeros; NaN and infinity as they are. */
  static String number(double value) {
    if (!Double.isFinite(value)) {
      return Double.toString(value);
    }
    BigDecimal rounded = new BigDecimal(value).round(new MathContext(6)).stripTrailingZeros();
    return rounded.signum() == 0 ? "0" : rounded.toPlainString();
  }

  /** Two digits, for accuracies and shares. */
  static String few(double value) {
    return number(new BigDecimal(value).round(new MathContext(2)).doubleValue());
  }

  /** A length in millimetres with its unit. */
  static String mm(double lengthM) {
    return number(1e3 * lengthM) + " mm";
  }
}
