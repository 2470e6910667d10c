package ringtrue.units;

/** Kinds of quantity that files and options hold, each with its SI unit and an example. */
public enum Dimension {
  LENGTH("length", "m", "6.35 mm", 0, 1, 0, 0, 0),
  TIME("time", "s", "5 ms", 0, 0, 1, 0, 0),
  FREQUENCY("frequency", "Hz", "1240 Hz", 0, 0, -1, 0, 0),
  /** Spindle speed; the value is in revolutions per minute, the trade's unit, not in rad/s. */
  SPINDLE_SPEED("spindle speed", "rpm", "12000 rpm", 0, 0, -1, 0, 0),
  MASS("mass", "kg", "0.6 g", 1, 0, 0, 0, 0),
  FORCE("force", "N", "50 N", 1, 1, -2, 0, 0),
  STIFFNESS("stiffness", "N/m", "2.1e6 N/m", 1, 0, -2, 0, 0),
  PRESSURE("pressure or stress", "Pa", "1900 MPa", 1, -1, -2, 0, 0),
  /** Edge force per length of cut; the same dimension as stiffness, another example. */
  FORCE_PER_LENGTH("force per length", "N/m", "18 N/mm", 1, 0, -2, 0, 0),
  POWER("power", "W", "2.2 kW", 1, 2, -3, 0, 0),
  TORQUE("torque", "N m", "0.9 Nm", 1, 2, -2, 0, 0),
  MOMENT_OF_INERTIA("moment of inertia", "kg m^2", "2e-4 kg m^2", 1, 2, 0, 0, 0),
  VELOCITY("velocity", "m/s", "5 m/min", 0, 1, -1, 0, 0),
  ACCELERATION("acceleration", "m/s^2", "9.81 m/s^2", 0, 1, -2, 0, 0),
  VOLTAGE("voltage", "V", "1.0 V", 0, 0, 0, 1, 0),
  ANGLE("angle", "rad", "35 deg", 0, 0, 0, 0, 1),
  /** A plain fraction; percent is accepted and divided by 100. */
  RATIO("ratio", "1", "1.6 %", 0, 0, 0, 0, 0),
  VOLTAGE_PER_FORCE("force sensitivity", "V/N", "2.25 mV/N", -1, -1, 2, 1, 0),
  VOLTAGE_PER_ACCELERATION("acceleration sensitivity", "V/(m/s^2)", "10.2 mV/g", 0, -1, 2, 1, 0),
  VOLTAGE_PER_VELOCITY("velocity sensitivity", "V/(m/s)", "20 V/(m/s)", 0, -1, 1, 1, 0),
  VOLTAGE_PER_LENGTH("displacement sensitivity", "V/m", "8 mV/um", 0, -1, 0, 1, 0),
  RECEPTANCE("receptance", "m/N", "0.5 um/N", -1, 0, 2, 0, 0),
  MOBILITY("mobility", "m/(s N)", "20 mm/s/N", -1, 0, 1, 0, 0),
  ACCELERANCE("accelerance", "m/(s^2 N)", "0.1 g/N", -1, 0, 0, 0, 0),
  VOLTAGE_PER_PRESSURE("sound sensitivity", "V/Pa", "12 mV/Pa", -1, 1, 2, 1, 0);

  final String words;
  final String siUnit;
  final String example;
  final int[] exponents;

  Dimension(String words, String siUnit, String example, int kg, int m, int s, int v, int rad) {
    this.words = words;
    this.siUnit = siUnit;
    this.example = example;
    this.exponents = new int[] {kg, m, s, v, rad};
  }

  /** What it is called in messages, for example {@code "spindle speed"}. */
  public String words() {
    return words;
  }

  /** Its name behind a or an, as in "a length". */
  String withArticle() {
    return ("aeiou".indexOf(words.charAt(0)) < 0 ? "a " : "an ") + words;
  }

  /** The unit of parsed values. */
  public String siUnit() {
    return siUnit;
  }

  /** How a user could write such a quantity. */
  public String example() {
    return example;
  }
}
