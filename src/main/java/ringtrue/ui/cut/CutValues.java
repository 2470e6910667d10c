package ringtrue.ui.cut;

import java.math.BigDecimal;
import java.math.MathContext;
import java.math.RoundingMode;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import ringtrue.report.LengthUnit;
import ringtrue.ui.job.CutField;
import ringtrue.units.BadInputException;
import ringtrue.units.Dimension;
import ringtrue.units.Quantity;

/** What is written in the form of a cut: its kind, the unit of a bare number, what it is in SI. */
final class CutValues {
  private static final Pattern BARE = Pattern.compile("[-+]?(?:\\d+(?:\\.\\d*)?|\\.\\d+)");
  private static final Pattern TWO_BARE =
      Pattern.compile("(" + BARE.pattern() + ")\\s+(" + BARE.pattern() + ")");

  private CutValues() {}

  /** What kind of quantity a field holds; empty for words and counts. */
  static Optional<Dimension> dimension(CutField field) {
    return Optional.ofNullable(
        switch (field) {
          case MIN_SPEED, MAX_SPEED, SPEED -> Dimension.SPINDLE_SPEED;
          case MAX_FEED, FEED -> Dimension.VELOCITY;
          case EFFICIENCY, SAFETY, SPEED_SHIFT -> Dimension.RATIO;
          case INERTIA -> Dimension.MOMENT_OF_INERTIA;
          case ACCELERATION -> Dimension.ACCELERATION;
          case DIAMETER,
              STICKOUT,
              FLUTE_LENGTH,
              RUNOUT,
              EDGE_RADIUS,
              MAX_CHIP,
              RADIAL,
              AXIAL,
              LENGTH,
              WORK_DIAMETER,
              WALL_TOLERANCE,
              FEED_PER_TOOTH ->
              Dimension.LENGTH;
          case HELIX, PITCH, ENTRY, EXIT, MODE_ANGLE -> Dimension.ANGLE;
          case KTC, KRC -> Dimension.PRESSURE;
          case KTE, KRE -> Dimension.FORCE_PER_LENGTH;
          case PROCESS_DAMPING -> Dimension.STIFFNESS;
          case HOLDING_FORCE -> Dimension.FORCE;
          default -> null;
        });
  }

  /** The unit that a bare number takes; empty where it takes none. */
  static String unit(Dimension dimension, LengthUnit lengths) {
    return switch (dimension) {
      case LENGTH -> lengths.symbol();
      case SPINDLE_SPEED -> "rpm";
      case VELOCITY -> lengths == LengthUnit.INCH ? "in/min" : "mm/min";
      case ANGLE -> "deg";
      case PRESSURE -> "MPa";
      case FORCE_PER_LENGTH -> "N/mm";
      case STIFFNESS -> "N/m";
      case FORCE -> "N";
      case POWER -> "kW";
      case MOMENT_OF_INERTIA -> "kg m2";
      case ACCELERATION -> "m/s2";
      default -> "";
    };
  }

  /** The unit that a bare number takes in a field. */
  static String unit(CutField field, LengthUnit lengths) {
    return dimension(field).map(d -> unit(d, lengths)).orElse("");
  }

  /** What was written, with units where numbers stand bare. */
  static String complete(CutField field, String written, LengthUnit lengths) {
    String text = written.strip();
    if (field == CutField.POWER) {
      return each(text, ";", "; ", CutValues::powerPoint);
    }
    if (field == CutField.HELIX || field == CutField.PITCH) {
      return each(text, ",", ", ", one -> bare(one, "deg"));
    }
    Optional<Dimension> dimension = dimension(field);
    if (dimension.equals(Optional.of(Dimension.RATIO)) && field != CutField.SAFETY) {
      String number = pointed(text);
      boolean percent = BARE.matcher(number).matches() && Double.parseDouble(number) >= 1;
      return percent ? number + " %" : number;
    }
    return bare(text, unit(field, lengths));
  }

  private interface Completion {
    String of(String one);
  }

  private static String each(String text, String between, String join, Completion by) {
    List<String> all = new ArrayList<>();
    for (String one : text.split(between)) {
      if (!one.isBlank()) {
        all.add(by.of(one.strip()));
      }
    }
    return String.join(join, all);
  }

  private static String powerPoint(String point) {
    Matcher two = TWO_BARE.matcher(point);
    return two.matches() ? two.group(1) + " rpm " + two.group(2) + " kW" : point;
  }

  /** A bare number with a unit behind it; anything else as it is. */
  static String bare(String text, String unit) {
    String pointed = pointed(text);
    return !unit.isEmpty() && BARE.matcher(pointed).matches() ? pointed + " " + unit : text;
  }

  /** The same with a decimal point for a decimal comma; what can be read in two ways stays. */
  private static String pointed(String text) {
    try {
      return Quantity.pointed(text);
    } catch (BadInputException e) {
      return text; // the field says so
    }
  }

  /** What is wrong with a text as it stands; empty if nothing is, or if nothing is said. */
  static String complaint(CutField field, String text) {
    if (text.isBlank()) {
      return "";
    }
    if (field == CutField.FLUTES) {
      return text.matches("\\d{1,2}") ? "" : "write a whole number, like 4";
    }
    Optional<Dimension> dimension = dimension(field);
    if (dimension.isEmpty()) {
      return "";
    }
    if (field == CutField.SAFETY && si(field, text).isEmpty()) {
      return "write a number, like " + field.example();
    }
    try {
      boolean list = field == CutField.HELIX || field == CutField.PITCH;
      for (String one : list ? text.split(",") : new String[] {text}) {
        Quantity.parse(one.strip(), dimension.get());
      }
      return "";
    } catch (BadInputException e) {
      return e.getMessage();
    }
  }

  /** A single quantity in SI (speeds in rpm); empty where it is none. */
  static OptionalDouble si(CutField field, String text) {
    return dimension(field).map(d -> si(d, text)).orElse(OptionalDouble.empty());
  }

  /** A quantity of a kind in SI; empty where it is none. */
  static OptionalDouble si(Dimension dimension, String text) {
    try {
      return OptionalDouble.of(Quantity.parse(text.strip(), dimension));
    } catch (BadInputException e) {
      return OptionalDouble.empty();
    }
  }

  /** A value in the unit of bare numbers, six digits at most. */
  static String text(Dimension dimension, double si, LengthUnit lengths) {
    return text(dimension, si, lengths, 6);
  }

  /** The same with four digits, to go on with. */
  static String round(CutField field, double si, LengthUnit lengths) {
    return text(dimension(field).orElseThrow(), si, lengths, 4);
  }

  /** The same with four decimals at most, as it is read. */
  static String brief(CutField field, double si, LengthUnit lengths) {
    Dimension kind = dimension(field).orElseThrow();
    String unit = unit(kind, lengths);
    if (unit.isEmpty() || kind == Dimension.SPINDLE_SPEED) {
      return text(kind, si, lengths, 5);
    }
    return near(si / Quantity.parseUnit(unit, kind)) + " " + unit;
  }

  private static String text(Dimension dimension, double si, LengthUnit lengths, int digits) {
    String unit = unit(dimension, lengths);
    double one =
        unit.isEmpty() ? 1 : Quantity.parseUnit(unit, dimension); // rpm stays as it is: one is 1
    return number(si / one, digits) + (unit.isEmpty() ? "" : " " + unit);
  }

  private static final Set<String> METRIC =
      Set.of("mm", "um", "µm", "μm", "cm", "m", "mm/min", "m/min", "mm/s", "m/s");
  private static final Set<String> INCHES =
      Set.of("in", "inch", "\"", "thou", "mil", "ft", "in/min", "ft/min", "sfm", "ipm");
  private static final Pattern NUMBER_AND_UNIT =
      Pattern.compile("[-+]?(?:\\d+(?:\\.\\d*)?|\\.\\d+)\\s*(\\S+)");

  /** Whether a text says a length or a feed in the other system than the one that is set. */
  static boolean foreign(CutField field, String text, LengthUnit lengths) {
    Optional<Dimension> kind = dimension(field);
    if (!kind.equals(Optional.of(Dimension.LENGTH))
        && !kind.equals(Optional.of(Dimension.VELOCITY))) {
      return false;
    }
    Matcher parts = NUMBER_AND_UNIT.matcher(text.strip());
    return parts.matches()
        && (lengths == LengthUnit.INCH ? METRIC : INCHES).contains(parts.group(1))
        && si(field, text).isPresent();
  }

  /** A text of a draft as it is read: lengths and feeds of the other system in the one set. */
  static String shown(CutField field, String text, LengthUnit lengths) {
    return foreign(field, text, lengths)
        ? brief(field, si(field, text).orElseThrow(), lengths)
        : text;
  }

  /** Four decimals, or three digits where these would leave less. */
  static String near(double value) {
    if (value == 0 || !Double.isFinite(value)) {
      return number(value, 6);
    }
    BigDecimal exact = new BigDecimal(value).round(new MathContext(6));
    BigDecimal four = exact.setScale(4, RoundingMode.HALF_UP);
    BigDecimal three = exact.round(new MathContext(3));
    return (four.precision() < 3 && four.subtract(three).abs().signum() != 0 ? three : four)
        .stripTrailingZeros()
        .toPlainString();
  }

  /** A value of a field in the unit of bare numbers. */
  static String text(CutField field, double si, LengthUnit lengths) {
    return text(dimension(field).orElseThrow(), si, lengths);
  }

  /** A number without digits that say nothing. */
  static String number(double value, int digits) {
    if (value == 0 || !Double.isFinite(value)) {
      return value == 0 ? "0" : String.valueOf(value);
    }
    return new BigDecimal(value)
        .round(new MathContext(digits))
        .stripTrailingZeros()
        .toPlainString();
  }

  /** The unit in which people speak of cutting speeds. */
  static String cuttingSpeedUnit(LengthUnit lengths) {
    return lengths == LengthUnit.INCH ? "sfm" : "m/min";
  }

  /**
   * A cutting speed as people speak of it.
   *
   * @param mPerS m/s
   */
  static String cuttingSpeed(double mPerS, LengthUnit lengths) {
    String unit = cuttingSpeedUnit(lengths);
    return number(mPerS / Quantity.parseUnit(unit, Dimension.VELOCITY), 4) + " " + unit;
  }
}
