package ringtrue.library;

import java.util.List;
import java.util.Locale;

/**
 * What the eleven records before the values of a dataset 58 say.
 *
 * @param number which dataset 58 of its file it is, from 1
 * @param line line of its first record
 * @param titles the five lines of free text; empty where they say NONE
 * @param kind function type: 1 time, 4 frequency response, 6 coherence and so on
 * @param loadCase 0 for a single force, whose place and direction are then given
 * @param response place and direction of the motion
 * @param reference place and direction of the force
 * @param ordinate 2 or 4 for real numbers, 5 or 6 for complex ones; even where double precision
 * @param values how many values there are
 * @param even whether abscissas are a first one and a step
 * @param first first abscissa, if even
 * @param step distance of abscissas, if even
 * @param axes what abscissa, ordinate and ordinate's denominator are
 * @param binary how values are stored
 * @param units what one unit of length and of force of the file is in SI
 * @param dataStart position of the first value in the file
 * @param dataLine number of the line before the first value
 */
record UniversalFunction(
    int number,
    long line,
    List<String> titles,
    int kind,
    int loadCase,
    Place response,
    Place reference,
    int ordinate,
    int values,
    boolean even,
    double first,
    double step,
    List<Axis> axes,
    Binary binary,
    Units units,
    long dataStart,
    long dataLine) {

  static final int TIME_RESPONSE = 1;
  static final int FREQUENCY_RESPONSE = 4;
  static final int COHERENCE = 6;

  private static final String[] KINDS = {
    "function of unsaid kind",
    "time response",
    "auto spectrum",
    "cross spectrum",
    "frequency response",
    "transmissibility",
    "coherence",
    "auto correlation",
    "cross correlation",
    "power spectral density",
    "energy spectral density",
    "probability density",
    "spectrum"
  };

  /**
   * A node and a direction.
   *
   * @param node number of the node
   * @param direction 1 to 3 for +x to +z, 4 to 6 for rotations, negative the other way; 0 unsaid
   */
  record Place(String entity, int node, int direction) {
    boolean rotation() {
      return Math.abs(direction) > 3;
    }

    /** {@code "x"} to {@code "z"}; empty if unsaid. */
    String axis() {
      return direction == 0 || rotation()
          ? ""
          : "xyz".substring(Math.abs(direction) - 1, Math.abs(direction));
    }

    @Override
    public String toString() {
      String way =
          direction == 0
              ? ""
              : " "
                  + (direction < 0 ? "-" : "+")
                  + "xyz".charAt((Math.abs(direction) - 1) % 3)
                  + (rotation() ? " rotation" : "");
      return node + way;
    }
  }

  /**
   * What an axis is.
   *
   * @param type specific data type: 8 displacement, 11 velocity, 12 acceleration, 13 force, 18
   *     frequency and so on
   * @param lengthPower power of the length unit
   * @param forcePower power of the force unit
   * @param label its name; empty where it says NONE
   * @param unit its unit; empty where it says NONE
   */
  record Axis(int type, int lengthPower, int forcePower, String label, String unit) {}

  /**
   * How values are stored.
   *
   * @param littleEndian order of bytes
   * @param bytes how many the file says there are
   */
  record Binary(boolean littleEndian, long bytes) {}

  /**
   * A system of units by dataset 164.
   *
   * @param lengthM what one unit of length is, m
   * @param forceN what one unit of force is, N
   * @param name what it is called; empty if nothing was said
   */
  record Units(double lengthM, double forceN, String name) {
    static final Units UNSAID = new Units(1, 1, "");

    boolean said() {
      return !equals(UNSAID);
    }
  }

  UniversalFunction withUnits(Units other) {
    return new UniversalFunction(
        number, line, titles, kind, loadCase, response, reference, ordinate, values, even, first,
        step, axes, binary, other, dataStart, dataLine);
  }

  Axis abscissa() {
    return axes.get(0);
  }

  Axis numerator() {
    return axes.get(1);
  }

  Axis denominator() {
    return axes.get(2);
  }

  boolean complex() {
    return ordinate > 4;
  }

  boolean doublePrecision() {
    return ordinate % 2 == 0 && ordinate != 2;
  }

  /** Numbers for each value. */
  int width() {
    return (even ? 0 : 1) + (complex() ? 2 : 1);
  }

  /** What it is, in words. */
  String kindWords() {
    return kind >= 0 && kind < KINDS.length ? KINDS[kind] : "function of type " + kind;
  }

  /** One short description for lists. */
  String description() {
    return String.format(
        Locale.ROOT,
        "%d (response %s, force %s)",
        number,
        response,
        loadCase == 0 ? reference : "unsaid");
  }
}
