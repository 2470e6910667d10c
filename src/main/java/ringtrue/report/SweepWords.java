package ringtrue.report;

import java.math.BigDecimal;
import java.math.MathContext;
import java.util.ArrayList;
import java.util.List;
import ringtrue.planning.Sweep;
import ringtrue.units.Dimension;

/** A sweep's values as people read them. */
public final class SweepWords {
  private SweepWords() {}

  /** The unit in which values are shown, with a space in front; empty for none. */
  public static String unit(Dimension dimension, LengthUnit unit) {
    return switch (dimension) {
      case SPINDLE_SPEED -> " rpm";
      case LENGTH -> " " + unit.symbol();
      case ANGLE -> " deg";
      case PRESSURE -> " N/mm2";
      case FORCE_PER_LENGTH -> " N/mm";
      default -> " %";
    };
  }

  /** A value in that unit. */
  public static double shown(double value, Dimension dimension, LengthUnit unit) {
    return switch (dimension) {
      case LENGTH -> unit.of(value);
      case ANGLE -> Math.toDegrees(value);
      case PRESSURE -> value / 1e6;
      case FORCE_PER_LENGTH -> value / 1e3;
      case RATIO -> 100 * value;
      default -> value;
    };
  }

  /** A value in that unit as text, five digits at most. */
  public static String number(double value, Dimension dimension, LengthUnit unit) {
    double said = shown(value, dimension, unit);
    return said == 0
        ? "0"
        : new BigDecimal(said).round(new MathContext(5)).stripTrailingZeros().toPlainString();
  }

  /** At which values every limit is kept, in a sentence without its full stop. */
  public static String summary(Sweep sweep, LengthUnit unit) {
    Dimension dimension = sweep.parameter().dimension();
    if (sweep.inside().isEmpty()) {
      return "no value keeps every limit that could be judged";
    }
    List<String> parts = new ArrayList<>();
    for (Sweep.Stretch s : sweep.inside()) {
      String from = number(s.from(), dimension, unit);
      parts.add(s.from() == s.to() ? from : from + " to " + number(s.to(), dimension, unit));
    }
    return "every limit that could be judged is kept at "
        + String.join(", ", parts)
        + unit(dimension, unit)
        + "; between the values nothing was judged";
  }
}
