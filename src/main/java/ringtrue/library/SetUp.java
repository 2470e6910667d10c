package ringtrue.library;

import java.time.Instant;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.concurrent.ConcurrentHashMap;
import ringtrue.units.BadInputException;
import ringtrue.units.Dimension;
import ringtrue.units.Quantity;

/**
 * What is clamped where: machine, spindle, holder and tool, or a workpiece in its fixture. What was
 * said is kept in the words and units in which it was said.
 *
 * @param id the name of its folder in the library: readable words and a short unique ending
 * @param revision 1 for a new one, one more with every change
 * @param created when it was saved first
 * @param changed when this revision was written
 * @param said what is known; nothing is blank
 */
public record SetUp(
    String id, int revision, Instant created, Instant changed, Map<Field, String> said) {

  /** What can be said of a set-up. */
  public enum Field {
    NAME("name", "name", Kind.TEXT),
    MACHINE("machine", "machine", Kind.TEXT),
    SPINDLE("spindle", "spindle", Kind.TEXT),
    HOLDER("holder", "holder", Kind.TEXT),
    COLLET("collet", "collet", Kind.TEXT),
    TIGHTENING("tightening", "tightening", Kind.TEXT),
    TOOL("tool", "tool", Kind.TEXT),
    DIAMETER("diameter", "tool diameter", Kind.LENGTH),
    FLUTES("flutes", "flutes", Kind.COUNT),
    STICKOUT("stickout", "stick-out", Kind.LENGTH),
    FLUTE_LENGTH("fluteLength", "flute length", Kind.LENGTH),
    WORKPIECE("workpiece", "workpiece", Kind.TEXT),
    FIXTURE("fixture", "fixture", Kind.TEXT),
    NOTES("notes", "notes", Kind.TEXT);

    /** How it is written. */
    public enum Kind {
      TEXT,
      LENGTH,
      COUNT
    }

    private final String json;
    private final String words;
    private final Kind kind;

    Field(String json, String words, Kind kind) {
      this.json = json;
      this.words = words;
      this.kind = kind;
    }

    /** Its name in files. */
    public String json() {
      return json;
    }

    /** For people. */
    public String words() {
      return words;
    }

    public Kind kind() {
      return kind;
    }
  }

  private static final int LONGEST_TEXT = 20_000;
  private static final int MOST_FLUTES = 100;
  private static final double LONGEST_M = 100;
  private static final int MOST_LENGTHS = 10_000;
  private static final Map<String, Double> LENGTHS = new ConcurrentHashMap<>();

  /**
   * @throws BadInputException if a length or a count is none, or neither a name nor tool nor
   *     workpiece is said
   */
  public SetUp {
    SetUpId.require(id);
    Objects.requireNonNull(created, "created");
    Objects.requireNonNull(changed, "changed");
    if (revision < 1) {
      throw new BadInputException("revision: must be 1 or more, is " + revision);
    }
    EnumMap<Field, String> checked = new EnumMap<>(Field.class);
    said.forEach(
        (field, text) -> {
          if (!text.isBlank()) {
            checked.put(field, checked(field, text.strip()));
          }
        });
    said = java.util.Collections.unmodifiableMap(checked);
    if (!said.containsKey(Field.NAME)
        && !said.containsKey(Field.TOOL)
        && !said.containsKey(Field.WORKPIECE)) {
      throw new BadInputException("a set-up needs a name, a tool or a workpiece");
    }
  }

  private static String checked(Field field, String text) {
    if (text.length() > LONGEST_TEXT) {
      throw new BadInputException(
          field.json + ": is longer than " + LONGEST_TEXT + " letters; put that into a file");
    }
    for (int i = 0; i < text.length(); i++) {
      char c = text.charAt(i);
      if (Character.isISOControl(c) && c != '\n' && c != '\t') {
        throw new BadInputException(field.json + ": holds control characters");
      }
    }
    if (field.kind == Field.Kind.LENGTH) {
      double metres;
      try {
        metres = metres(text);
      } catch (BadInputException e) {
        throw e.at(field.json);
      }
      if (!(metres > 0 && metres < LONGEST_M)) {
        throw new BadInputException(
            field.json + ": \"" + text + "\" makes no sense here; write it like \"22 mm\"");
      }
    } else if (field.kind == Field.Kind.COUNT && !isCount(text)) {
      throw new BadInputException(
          field.json + ": must be a whole number from 1 to " + MOST_FLUTES + ", is " + text);
    }
    return text;
  }

  /** What was said of a field; empty text where nothing was. */
  public String text(Field field) {
    return said.getOrDefault(field, "");
  }

  /** A length in metres or a count; NaN where nothing was said. */
  public double number(Field field) {
    String text = said.get(field);
    if (text == null || field.kind == Field.Kind.TEXT) {
      return Double.NaN;
    }
    return field.kind == Field.Kind.LENGTH ? metres(text) : Integer.parseInt(text);
  }

  /** A length; the same few come again and again in a library. */
  private static double metres(String text) {
    Double known = LENGTHS.get(text);
    if (known != null) {
      return known;
    }
    double metres = Quantity.parse(text, Dimension.LENGTH);
    if (LENGTHS.size() < MOST_LENGTHS) {
      LENGTHS.put(text, metres);
    }
    return metres;
  }

  private static boolean isCount(String text) {
    if (text.isEmpty() || text.length() > 3 || text.charAt(0) == '0') {
      return false;
    }
    for (int i = 0; i < text.length(); i++) {
      if (text.charAt(i) < '0' || text.charAt(i) > '9') {
        return false;
      }
    }
    return Integer.parseInt(text) <= MOST_FLUTES;
  }

  /** A new one. */
  public static SetUp of(String id, Instant now, Map<Field, String> said) {
    return new SetUp(id, 1, now, now, said);
  }

  /**
   * The next revision.
   *
   * @param more fields that are said anew; blank text takes one back
   */
  public SetUp with(Map<Field, String> more, Instant now) {
    EnumMap<Field, String> all = new EnumMap<>(Field.class);
    all.putAll(said);
    all.putAll(more);
    return new SetUp(id, revision + 1, created, now, all);
  }

  /** The same under another id. */
  public SetUp withId(String other) {
    return new SetUp(other, revision, created, changed, said);
  }

  /** What it is in one line: its name, or the parts that make it up. */
  public String title() {
    return Optional.ofNullable(said.get(Field.NAME)).orElseGet(this::parts);
  }

  /** The chain from machine to tool or workpiece in one line. */
  public String parts() {
    List<String> parts = new ArrayList<>();
    for (Field field :
        List.of(Field.MACHINE, Field.SPINDLE, Field.HOLDER, Field.TOOL, Field.WORKPIECE)) {
      if (said.containsKey(field)) {
        parts.add(said.get(field));
      }
    }
    if (said.containsKey(Field.FIXTURE)) {
      parts.add("in " + said.get(Field.FIXTURE));
    }
    if (said.containsKey(Field.STICKOUT)) {
      parts.add(said.get(Field.STICKOUT) + " out");
    }
    return String.join(", ", parts);
  }

  /** What differs from another one, in the order of the fields. */
  public List<Field> differences(SetUp other) {
    List<Field> differing = new ArrayList<>();
    for (Field field : Field.values()) {
      boolean same =
          field.kind == Field.Kind.TEXT
              ? text(field).equalsIgnoreCase(other.text(field))
              : sameNumber(number(field), other.number(field));
      if (!same) {
        differing.add(field);
      }
    }
    return differing;
  }

  private static boolean sameNumber(double a, double b) {
    return Double.isNaN(a) ? Double.isNaN(b) : Math.abs(a - b) <= 1e-9 * Math.abs(a);
  }
}
