package ringtrue.dynamics;

/** Displacement per force over frequency, measured or modelled. */
@FunctionalInterface
public interface Receptance {

  /** A direction that does not give at all. */
  Receptance RIGID =
      (frequencyHz, into) -> {
        into[0] = 0;
        into[1] = 0;
      };

  /**
   * Receptance at one frequency.
   *
   * @param frequencyHz frequency in Hz, positive
   * @param into where the answer goes: real part in {@code into[0]}, imaginary part in {@code
   *     into[1]}, both in m/N with time factor e<sup>+iωt</sup>
   */
  void at(double frequencyHz, double[] into);
}
