package ringtrue.ui.lobes;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.Locale;
import ringtrue.report.LengthUnit;
import ringtrue.units.BadInputException;
import ringtrue.units.Dimension;
import ringtrue.units.Quantity;

/** Values that come from a hand on a mouse, as text that a person would have written. */
final class Readable {
  private Readable() {}

  /** The largest of 1, 2, 5, 10, … that is not above a value. */
  static double step(double most) {
    double power = Math.pow(10, Math.floor(Math.log10(most) + 1e-9));
    double digit = most / power * (1 + 1e-9);
    return power * (digit >= 5 ? 5 : digit >= 2 ? 2 : 1);
  }

  /** A spindle speed, rpm, to a step. */
  static String speed(double rpm, double step) {
    return number(Math.max(rpm, step), step) + " rpm";
  }

  /**
   * A length in the user's unit, never nothing.
   *
   * @param metres length, m
   * @param step in the user's unit
   */
  static String length(double metres, double step, LengthUnit unit) {
    return number(Math.max(unit.of(metres), step), step) + " " + unit.symbol();
  }

  /** A number to a step, without zeros that say nothing. */
  static String number(double value, double step) {
    int digits = (int) Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
    BigDecimal rounded =
        BigDecimal.valueOf(Math.rint(value / step) * step).setScale(digits, RoundingMode.HALF_UP);
    BigDecimal plain = rounded.stripTrailingZeros();
    return plain.scale() < 0 ? plain.setScale(0).toPlainString() : plain.toPlainString();
  }

  /** What a text says in SI units; NaN where it says nothing that can be read. */
  static double value(String text, Dimension dimension) {
    try {
      return text.isBlank() ? Double.NaN : Quantity.parse(text, dimension);
    } catch (BadInputException e) {
      return Double.NaN; // the field beside it says what is wrong
    }
  }

  /**
   * What was said of a length, in the user's unit: his own words where they are in it, otherwise
   * four decimals at most.
   */
  static String inUnit(String said, LengthUnit unit) {
    double metres = value(said, Dimension.LENGTH);
    if (Double.isNaN(metres) || said.strip().endsWith(" " + unit.symbol())) {
      return said;
    }
    return number(unit.of(metres), 1e-4) + " " + unit.symbol();
  }

  /**
   * What was written, with the unit that counts where none is, and a comma as a point.
   *
   * @param usual unit that counts
   */
  static String complete(String written, String usual) {
    String text = written.strip();
    if (text.matches("\\d+,\\d+(\\s*\\D.*)?")) {
      text = text.replaceFirst(",", ".");
    }
    return text.matches("\\d*\\.?\\d+|\\d+\\.") ? text + " " + usual : text;
  }

  /** A share as whole per cent. */
  static String percent(double share) {
    return String.format(Locale.ROOT, "%.0f %%", 100 * share);
  }
}
