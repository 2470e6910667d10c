package ringtrue.cli;

import java.util.ArrayList;
import java.util.List;
import ringtrue.library.TapInputs;
import ringtrue.units.BadInputException;
import ringtrue.units.Dimension;
import ringtrue.units.Quantity;

/** Numbers and quantities in options. */
final class Options {
  private static final int MOST_SPEEDS = 100_000;

  private Options() {}

  /** A quantity, or a bare number in the unit that the option's help names. */
  static double number(String option, String text, Dimension dimension, String bareUnit) {
    String said = text.trim();
    try {
      double value =
          Quantity.parse(said.matches("[-+0-9.,eE]+") ? said + " " + bareUnit : said, dimension);
      if (!Double.isFinite(value)) {
        throw new BadInputException("\"" + said + "\" is too large a number");
      }
      return value;
    } catch (BadInputException e) {
      throw e.at(option);
    }
  }

  /** A quantity that must be more than zero and carry its unit. */
  static double positive(String option, String text, Dimension dimension) {
    double value;
    try {
      value = Quantity.parse(text.trim(), dimension);
    } catch (BadInputException e) {
      throw e.at(option);
    }
    if (!(value > 0) || Double.isInfinite(value)) {
      throw new BadInputException(option + ": \"" + text + "\" must be more than zero");
    }
    return value;
  }

  /** A whole number within bounds. */
  static long whole(String option, String text, long least, long most) {
    String said = text.trim();
    try {
      long value = Long.parseLong(said);
      if (value >= least && value <= most) {
        return value;
      }
    } catch (NumberFormatException e) {
      // no number at all and one out of bounds get the same answer
    }
    throw new BadInputException(
        option
            + ": \""
            + text
            + "\" must be a whole number from "
            + least
            + (most == Long.MAX_VALUE ? "" : " to " + most));
  }

  /** A length with its unit, more than zero. */
  static double length(String option, String text) {
    return positive(option, text, Dimension.LENGTH);
  }

  /** A spindle speed, more than zero, rpm unless said otherwise. */
  static double speed(String option, String text) {
    double value = number(option, text, Dimension.SPINDLE_SPEED, "rpm");
    if (!(value > 0)) {
      throw new BadInputException(option + ": \"" + text + "\" must be more than zero");
    }
    return value;
  }

  /** {@code LO:HI:STEP} or {@code a,b,c}. */
  static List<Double> speeds(String option, String text) {
    List<Double> speeds = new ArrayList<>();
    if (!text.contains(":")) {
      for (String part : text.split(",", -1)) {
        speeds.add(speed(option, part));
      }
      return speeds;
    }
    String[] parts = text.split(":", -1);
    if (parts.length != 3) {
      throw new BadInputException(
          option + ": \"" + text + "\" must be LO:HI:STEP like 6000:24000:50, or a list a,b,c");
    }
    double low = speed(option, parts[0]);
    double high = speed(option, parts[1]);
    double step = speed(option, parts[2]);
    if (high < low) {
      throw new BadInputException(option + ": \"" + text + "\" must rise, like 6000:24000:50");
    }
    long steps = (long) Math.floor((high - low) / step * (1 + 1e-12) + 1e-9);
    if (steps >= MOST_SPEEDS) {
      throw new BadInputException(
          option
              + ": \""
              + text
              + "\" is more than "
              + MOST_SPEEDS
              + " speeds; take a larger step");
    }
    for (long i = 0; i <= steps; i++) {
      speeds.add(low + i * step);
    }
    return speeds;
  }

  /** Opens an input; a complaint names the option that it is about. */
  static TapInputs.Opened input(TapInputs.Wish wish) {
    boolean layout =
        wish.rateHz().isPresent() && wish.channels().isPresent() && wish.bits().isPresent();
    if (wish.name().equals(TapInputs.STANDARD_INPUT) && !layout) {
      throw new BadInputException(
          "--input -: raw samples do not tell how they are laid out; give --rate, --channels and"
              + " --bits, like --rate 48000 --channels 2 --bits 24");
    }
    try {
      return TapInputs.open(wish);
    } catch (BadInputException e) {
      throw new BadInputException(
          e.getMessage().replaceFirst("^(?=(input|rate|channels|bits): )", "--"), e);
    }
  }
}
