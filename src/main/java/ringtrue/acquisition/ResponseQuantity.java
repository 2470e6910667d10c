package ringtrue.acquisition;

import ringtrue.units.Dimension;

/** What a response sensor measures. */
public enum ResponseQuantity {
  /** m/s²; displacement is it divided by s², with s = iω + 1/τ. */
  ACCELERATION(
      "acceleration", 2, "m/s^2", Dimension.ACCELERATION, Dimension.VOLTAGE_PER_ACCELERATION),
  /** m/s; displacement is it divided by s. */
  VELOCITY("velocity", 1, "m/s", Dimension.VELOCITY, Dimension.VOLTAGE_PER_VELOCITY),
  /** m. */
  DISPLACEMENT("displacement", 0, "m", Dimension.LENGTH, Dimension.VOLTAGE_PER_LENGTH),
  /** Pa at a microphone; tells frequency and damping, never displacement. */
  SOUND("sound", 0, "Pa", Dimension.PRESSURE, Dimension.VOLTAGE_PER_PRESSURE);

  private final String word;
  private final int derivatives;
  private final String siUnit;
  private final Dimension dimension;
  private final Dimension sensitivity;

  ResponseQuantity(
      String word, int derivatives, String siUnit, Dimension dimension, Dimension sensitivity) {
    this.word = word;
    this.derivatives = derivatives;
    this.siUnit = siUnit;
    this.dimension = dimension;
    this.sensitivity = sensitivity;
  }

  /** The word used in files. */
  public String word() {
    return word;
  }

  /** How many times displacement was differentiated: 2, 1 or 0. */
  public int derivatives() {
    return derivatives;
  }

  public String siUnit() {
    return siUnit;
  }

  public Dimension dimension() {
    return dimension;
  }

  /** What a sensor's sensitivity is measured in. */
  public Dimension sensitivityDimension() {
    return sensitivity;
  }
}
