package ringtrue.units;

import java.math.BigDecimal;
import java.math.MathContext;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * Reads quantities such as {@code "6.35 mm"}, {@code "10.2 mV/g"}, {@code "150 in/min"} or {@code
 * "8 mV/um"}. Units may be multiplied ({@code *}, {@code ·}, a space), divided, bracketed and
 * raised to powers. {@code g} is read as gram or as standard gravity, whichever fits what is
 * wanted. A comma between digits counts as decimal point where it cannot stand between thousands,
 * as in {@code "2,2 mV/N"}; {@code "2,200 mm"} is refused, since it could mean either.
 *
 * <p>Factors: inch 25.4 mm and pound 0.45359237 kg exactly (international yard and pound agreement,
 * 1959); standard gravity 9.80665 m/s² (3rd CGPM, 1901); mechanical horsepower 550 ft·lbf/s.
 */
public final class Quantity {
  private static final double GRAVITY = 9.80665;
  private static final double INCH = 0.0254;
  private static final double POUND = 0.45359237;

  /** Letters; no quantity needs as many. */
  private static final int LONGEST = 400;

  private static final Pattern NUMBER =
      Pattern.compile("\\s*+([-+]?(?:\\d++(?:\\.\\d*+)?+|\\.\\d++)(?:[eE][-+]?\\d++)?+)\\s*+(.*+)");

  /** Digits, a comma and digits: a decimal comma, or one between thousands. */
  private static final Pattern COMMA =
      Pattern.compile("(\\s*+[-+]?\\d++),(\\d++)((?:[,.]\\d++)*+)(.*+)", Pattern.DOTALL);

  /** A unit: factor to SI and exponents of kg, m, s, V, rad. */
  private record Unit(double factor, int[] exponents) {
    static final Unit ONE = new Unit(1, new int[5]);

    /** Whether it is the same unit but for rounding. */
    boolean isSameAs(Unit other) {
      return Arrays.equals(exponents, other.exponents)
          && Math.abs(factor - other.factor) <= 1e-12 * Math.abs(factor);
    }

    Unit times(Unit other, int power) {
      int[] sum = exponents.clone();
      for (int i = 0; i < sum.length; i++) {
        sum[i] += power * other.exponents[i];
      }
      return new Unit(factor * Math.pow(other.factor, power), sum);
    }
  }

  private static final Map<String, List<Unit>> UNITS = new TreeMap<>();

  static {
    // mechanics with SI prefixes where people use them
    prefixed("m", 1, 0, 1, 0, 0, 0, "k", "c", "m", "u", "n");
    prefixed("s", 1, 0, 0, 1, 0, 0, "m", "u", "n");
    prefixed("g", 1e-3, 1, 0, 0, 0, 0, "k", "m");
    prefixed("N", 1, 1, 1, -2, 0, 0, "k", "m", "da", "M");
    prefixed("Pa", 1, 1, -1, -2, 0, 0, "k", "M", "G", "m", "u");
    prefixed("W", 1, 1, 2, -3, 0, 0, "k", "m");
    prefixed("J", 1, 1, 2, -2, 0, 0, "k");
    prefixed("V", 1, 0, 0, 0, 1, 0, "k", "m", "u");
    prefixed("Hz", 1, 0, 0, -1, 0, 0, "k", "M");
    unit("t", 1000, 1, 0, 0, 0, 0);
    unit("min", 60, 0, 0, 1, 0, 0);
    unit("h", 3600, 0, 0, 1, 0, 0);
    unit("in", INCH, 0, 1, 0, 0, 0);
    unit("inch", INCH, 0, 1, 0, 0, 0);
    unit("\"", INCH, 0, 1, 0, 0, 0);
    unit("ft", 12 * INCH, 0, 1, 0, 0, 0);
    unit("thou", INCH / 1000, 0, 1, 0, 0, 0);
    unit("mil", INCH / 1000, 0, 1, 0, 0, 0);
    unit("lb", POUND, 1, 0, 0, 0, 0);
    unit("oz", POUND / 16, 1, 0, 0, 0, 0);
    unit("lbf", POUND * GRAVITY, 1, 1, -2, 0, 0);
    unit("ozf", POUND / 16 * GRAVITY, 1, 1, -2, 0, 0);
    unit("kgf", GRAVITY, 1, 1, -2, 0, 0);
    unit("psi", POUND * GRAVITY / (INCH * INCH), 1, -1, -2, 0, 0);
    unit("ksi", 1000 * POUND * GRAVITY / (INCH * INCH), 1, -1, -2, 0, 0);
    unit("bar", 1e5, 1, -1, -2, 0, 0);
    unit("hp", 550 * 12 * INCH * POUND * GRAVITY, 1, 2, -3, 0, 0);
    unit("PS", 75 * GRAVITY, 1, 2, -3, 0, 0);
    unit("Nm", 1, 1, 2, -2, 0, 0);
    unit("rpm", 1.0 / 60, 0, 0, -1, 0, 0);
    unit("rps", 1, 0, 0, -1, 0, 0);
    unit("rev", 1, 0, 0, 0, 0, 0);
    unit("tooth", 1, 0, 0, 0, 0, 0);
    unit("ipm", INCH / 60, 0, 1, -1, 0, 0);
    unit("ipt", INCH, 0, 1, 0, 0, 0);
    unit("sfm", 12 * INCH / 60, 0, 1, -1, 0, 0);
    unit("g", GRAVITY, 0, 1, -2, 0, 0);
    unit("gn", GRAVITY, 0, 1, -2, 0, 0);
    unit("deg", Math.PI / 180, 0, 0, 0, 0, 1);
    unit("°", Math.PI / 180, 0, 0, 0, 0, 1);
    unit("rad", 1, 0, 0, 0, 0, 1);
    unit("mrad", 1e-3, 0, 0, 0, 0, 1);
    unit("%", 0.01, 0, 0, 0, 0, 0);
    unit("1", 1, 0, 0, 0, 0, 0);
  }

  private Quantity() {}

  /**
   * Reads a quantity.
   *
   * @param text number and unit, for example {@code "0.25 in"}
   * @param dimension what is wanted
   * @return the value in {@link Dimension#siUnit()}
   * @throws BadInputException if it is no such quantity; the message shows an example
   */
  public static double parse(String text, Dimension dimension) {
    Matcher matcher = NUMBER.matcher(text.length() > LONGEST ? text : pointed(text));
    if (text.length() > LONGEST || !matcher.matches()) {
      throw new BadInputException(
          shown(text)
              + " is not "
              + dimension.withArticle()
              + "; write it like "
              + shown(dimension.example));
    }
    double number = Double.parseDouble(matcher.group(1));
    String unit = matcher.group(2).trim();
    if (!Double.isFinite(number)) {
      throw new BadInputException(shown(text) + " is too large a number");
    }
    if (unit.isEmpty() && dimension != Dimension.RATIO) {
      throw new BadInputException(
          shown(text)
              + " has no unit; write "
              + dimension.withArticle()
              + " like "
              + shown(dimension.example));
    }
    double value = number * factor(unit.isEmpty() ? "1" : unit, text, dimension);
    if (!Double.isFinite(value)) {
      throw new BadInputException(shown(text) + " is too large a number");
    }
    return value;
  }

  /**
   * A text with a decimal point for its decimal comma; any other text as it is.
   *
   * @param text number and unit, or a number alone
   * @throws BadInputException if the comma could as well stand between thousands
   */
  public static String pointed(String text) {
    Matcher comma = COMMA.matcher(text);
    if (text.length() > LONGEST || !comma.matches()) {
      return text;
    }
    String whole = comma.group(1);
    String behind = comma.group(2);
    String more = comma.group(3);
    String digits = whole.strip().replaceFirst("^[-+]", "");
    if (more.isEmpty() && (behind.length() != 3 || digits.startsWith("0") || digits.length() > 3)) {
      return whole + "." + behind + comma.group(4);
    }
    String without = whole.strip() + behind + more.replace(",", "");
    throw new BadInputException(
        shown(text)
            + " can be read in two ways; write "
            + (more.isEmpty() ? whole.strip() + "." + behind + " with a point, or " : "")
            + without
            + " without a comma");
  }

  /**
   * Two values in the unit in which another was written, to be read beside it, as "from 0.001 to
   * 200 mm".
   *
   * @param written number and unit, for example {@code "6 mm"}
   * @param dimension what it is
   * @param fromSi the first value, in {@link Dimension#siUnit()}
   * @param toSi the second value
   */
  public static String range(String written, Dimension dimension, double fromSi, double toSi) {
    Matcher matcher = NUMBER.matcher(pointed(written));
    String unit = matcher.matches() ? matcher.group(2).trim() : "";
    double one = unit.isEmpty() ? 1 : factor(unit, written, dimension);
    String said = unit.isEmpty() ? dimension.siUnit() : unit;
    return "from " + plain(fromSi / one) + " to " + plain(toSi / one) + " " + said;
  }

  private static String plain(double value) {
    double size = Math.abs(value);
    return size != 0 && (size < 9e-7 || size >= 1e7)
        ? String.format(Locale.ROOT, "%.3g", value)
        : new BigDecimal(value).round(new MathContext(3)).stripTrailingZeros().toPlainString();
  }

  /**
   * Reads a bare unit, such as a column's {@code "m/s^2"}.
   *
   * @return what one of it is in {@link Dimension#siUnit()}
   * @throws BadInputException if it is no unit of that kind
   */
  public static double parseUnit(String unit, Dimension dimension) {
    return factor(unit.trim(), unit, dimension);
  }

  private static double factor(String unit, String text, Dimension dimension) {
    boolean known = false;
    for (Unit reading : new UnitText(normalise(unit)).readings()) {
      known = true;
      if (Arrays.equals(reading.exponents, dimension.exponents)) {
        boolean asRevolutions = dimension == Dimension.SPINDLE_SPEED;
        return asRevolutions ? reading.factor * 60 : reading.factor;
      }
    }
    if (known) {
      throw new BadInputException(
          shown(text)
              + " is not "
              + dimension.withArticle()
              + " ("
              + unit
              + " measures something else); write it like "
              + shown(dimension.example));
    }
    String near =
        Names.closest(unit, UNITS.keySet())
            .filter(n -> Character.isLetter(n.charAt(0)))
            .map(n -> " (closest known: " + n + ")")
            .orElse("");
    throw new BadInputException(
        shown(text)
            + " has an unknown unit "
            + shown(unit)
            + near
            + "; write "
            + dimension.withArticle()
            + " like "
            + shown(dimension.example));
  }

  private static String normalise(String unit) {
    return unit.replace('µ', 'u')
        .replace('μ', 'u')
        .replace('·', '*')
        .replace('⋅', '*')
        .replace("²", "^2")
        .replace("³", "^3")
        .replace("in-lbf", "in*lbf");
  }

  private static String shown(String text) {
    String cut = text.length() > 60 ? text.substring(0, 57) + "..." : text;
    return "\"" + cut + "\"";
  }

  private static void unit(String name, double factor, int kg, int m, int s, int v, int rad) {
    UNITS
        .computeIfAbsent(name, n -> new ArrayList<>())
        .add(new Unit(factor, new int[] {kg, m, s, v, rad}));
  }

  private static void prefixed(
      String name, double factor, int kg, int m, int s, int v, int rad, String... prefixes) {
    unit(name, factor, kg, m, s, v, rad);
    for (String prefix : prefixes) {
      double by =
          switch (prefix) {
            case "n" -> 1e-9;
            case "u" -> 1e-6;
            case "m" -> 1e-3;
            case "c" -> 1e-2;
            case "da" -> 10;
            case "k" -> 1e3;
            case "M" -> 1e6;
            case "G" -> 1e9;
            default -> throw new IllegalArgumentException(prefix);
          };
      unit(prefix + name, by * factor, kg, m, s, v, rad);
    }
  }

  /** A unit expression and every way to read it. */
  private static final class UnitText {
    private final String text;
    private int at;

    UnitText(String text) {
      this.text = text;
    }

    List<Unit> readings() {
      Optional<List<Unit>> all = text.length() > 40 ? Optional.empty() : product();
      return all.isPresent() && at == text.length() ? all.get() : List.of();
    }

    private Optional<List<Unit>> product() {
      List<Unit> sofar = List.of(Unit.ONE);
      int sign = 1;
      while (true) {
        Optional<List<Unit>> next = power();
        if (next.isEmpty()) {
          return next;
        }
        List<Unit> combined = new ArrayList<>();
        for (Unit a : sofar) {
          for (Unit b : next.get()) {
            Unit product = a.times(b, sign);
            // "g g g" has as few readings as letters, not two for each letter
            if (combined.stream().noneMatch(product::isSameAs)) {
              combined.add(product);
            }
          }
        }
        sofar = combined;
        skipSpaces();
        if (at == text.length() || text.charAt(at) == ')') {
          return Optional.of(sofar);
        }
        char c = text.charAt(at);
        sign = c == '/' ? -1 : 1;
        if (c == '/' || c == '*') {
          at++;
        }
      }
    }

    private Optional<List<Unit>> power() {
      skipSpaces();
      if (at < text.length() && text.charAt(at) == '(') {
        at++;
        Optional<List<Unit>> inside = product();
        if (inside.isEmpty() || at == text.length()) {
          return Optional.empty();
        }
        at++;
        return inside.map(this::raised);
      }
      int start = at;
      while (at < text.length() && "/*^() ".indexOf(text.charAt(at)) < 0) {
        at++;
      }
      String name = text.substring(start, at);
      // "s2" means s^2, as in m/s2
      if (!UNITS.containsKey(name) && name.length() > 1 && name.matches("[A-Za-z]+[23]")) {
        at--;
        name = text.substring(start, at);
      }
      return Optional.ofNullable(UNITS.get(name)).map(this::raised);
    }

    private List<Unit> raised(List<Unit> base) {
      int power = 1;
      if (at < text.length() && text.charAt(at) == '^') {
        at++;
      }
      int start = at;
      while (at < text.length()
          && (Character.isDigit(text.charAt(at)) || at == start && text.charAt(at) == '-')) {
        at++;
      }
      if (at > start) {
        String digits = text.substring(start, at);
        power = digits.matches("-?[1-4]") ? Integer.parseInt(digits) : 99;
      }
      List<Unit> all = new ArrayList<>();
      for (Unit unit : base) {
        all.add(Unit.ONE.times(unit, power));
      }
      return all;
    }

    private void skipSpaces() {
      while (at < text.length() && text.charAt(at) == ' ') {
        at++;
      }
    }
  }
}
