package ringtrue.ui.plot;

import java.util.Objects;
import java.util.function.DoubleFunction;

/**
 * One axis of a plot.
 *
 * @param label quantity with its unit in brackets, such as {@code frequency (Hz)}
 * @param scale how values are spread
 * @param from least value when everything is shown; above 0 unless the scale is linear
 * @param to greatest value when everything is shown
 * @param format writes a value for people, at the ticks and in the read-out, as short as can be
 *     (decibels if the scale is in decibels); ticks whose text would be that of the tick before are
 *     left out. {@link #PLAIN} writes as many digits as are needed.
 */
public record Axis(
    String label, Scale scale, double from, double to, DoubleFunction<String> format) {
  /** Writes as many digits as are needed: at ticks as their distance asks, otherwise five. */
  public static final DoubleFunction<String> PLAIN = Numbers::read;

  /**
   * @throws IllegalArgumentException if the ends are not finite, or not above zero where they must
   *     be; equal or swapped ends are mended
   */
  public Axis {
    Objects.requireNonNull(label, "label");
    Objects.requireNonNull(format, "format");
    if (!Double.isFinite(scale.forward(from)) || !Double.isFinite(scale.forward(to))) {
      throw new IllegalArgumentException(
          "axis " + label + ": its ends have no place on the scale: " + from + ", " + to);
    }
    if (to < from) {
      double low = to;
      to = from;
      from = low;
    }
    if (to == from) {
      double room = scale == Scale.LINEAR ? (from == 0 ? 1 : Math.abs(from) / 10) : 0;
      from = scale == Scale.LINEAR ? from - room : from / 2;
      to = scale == Scale.LINEAR ? to + room : to * 2;
    }
  }

  /** A linear axis with plain numbers. */
  public static Axis linear(String label, double from, double to) {
    return new Axis(label, Scale.LINEAR, from, to, PLAIN);
  }

  /** A logarithmic axis with plain numbers. */
  public static Axis log(String label, double from, double to) {
    return new Axis(label, Scale.LOG, from, to, PLAIN);
  }

  /** An axis in decibels; {@code from} and {@code to} are values, not decibels. */
  public static Axis decibel(String label, double from, double to) {
    return new Axis(label, Scale.DECIBEL, from, to, PLAIN);
  }

  /** The same axis with its values written in another way. */
  public Axis withFormat(DoubleFunction<String> other) {
    return new Axis(label, scale, from, to, other);
  }

  /** A value for the read-out, with the unit that the label ends with unless it has one. */
  String read(double value) {
    String text = format.apply(scale == Scale.DECIBEL ? scale.forward(value) : value);
    boolean bare = !text.isEmpty() && Character.isDigit(text.charAt(text.length() - 1));
    return bare && !unit().isEmpty() ? text + " " + unit() : text;
  }

  /** What stands in brackets at the end of the label; 1 is none. */
  String unit() {
    int open = label.lastIndexOf('(');
    String unit =
        open >= 0 && label.endsWith(")") ? label.substring(open + 1, label.length() - 1) : "";
    return "1".equals(unit) ? "" : unit;
  }

  /** What a tick says. */
  String tick(double written, double step) {
    return format == PLAIN ? Numbers.tick(written, step) : format.apply(written);
  }
}
