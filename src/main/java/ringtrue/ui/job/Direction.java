package ringtrue.ui.job;

import java.util.Locale;
import ringtrue.units.BadInputException;

/**
 * What is tapped, and along which axis.
 *
 * @param part tool or workpiece
 * @param axis machine axis, {@code "x"} or {@code "y"}; in turning {@code "x"}
 */
public record Direction(Part part, String axis) {

  /** The two sides of a cut. */
  public enum Part {
    TOOL("tool"),
    WORKPIECE("workpiece");

    private final String word;

    Part(String word) {
      this.word = word;
    }

    /** For people and files. */
    public String word() {
      return word;
    }
  }

  public static final Direction TOOL_X = new Direction(Part.TOOL, "x");
  public static final Direction TOOL_Y = new Direction(Part.TOOL, "y");
  public static final Direction WORK_X = new Direction(Part.WORKPIECE, "x");
  public static final Direction WORK_Y = new Direction(Part.WORKPIECE, "y");

  public Direction {
    if (!axis.equals("x") && !axis.equals("y")) {
      throw new BadInputException("direction: must be x or y, is \"" + axis + "\"");
    }
  }

  /** For file names, like {@code "tool-x"}. */
  public String key() {
    return part.word() + "-" + axis;
  }

  /** For people, like {@code "tool x"}. */
  public String words() {
    return part.word() + " " + axis;
  }

  /** The direction of a key. */
  public static Direction of(String key) {
    String[] parts = key.split("-", 2);
    for (Part part : Part.values()) {
      if (part.word().equals(parts[0]) && parts.length == 2) {
        return new Direction(part, parts[1].toLowerCase(Locale.ROOT));
      }
    }
    throw new BadInputException("direction: \"" + key + "\" is none; write it like tool-x");
  }
}
