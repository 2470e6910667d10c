package ringtrue.fitting;

import java.util.List;

/**
 * Poles found at rising model orders, and the groups that they form: what a stabilisation diagram
 * shows. A pole of the structure comes back at every order that is high enough, a pole that stands
 * for noise wanders (Van der Auweraer and Peeters 2004, Structural Health Monitoring 3).
 *
 * @param poles every pole with positive damping inside the band, by rising order and frequency
 * @param groups what belongs together, by rising frequency
 */
public record Stabilisation(List<Pole> poles, List<Group> groups) {

  /** No poles were looked for. */
  public static final Stabilisation NONE = new Stabilisation(List.of(), List.of());

  /**
   * A pole found at one order.
   *
   * @param order model order: number of poles, conjugate ones counted
   * @param frequencyHz undamped natural frequency, Hz
   * @param dampingRatio damping ratio, a fraction, the window's damping taken off
   * @param comesBack whether the order before has a pole like it, in frequency and damping
   * @param group index of its group; −1 for a pole that stands alone
   */
  public record Pole(
      int order, double frequencyHz, double dampingRatio, boolean comesBack, int group) {}

  /**
   * Poles of different orders that belong together.
   *
   * @param frequencyHz median natural frequency, Hz
   * @param frequencySpreadHz half the distance between the quartiles of its frequencies, Hz
   * @param dampingRatio median damping ratio
   * @param dampingSpread half the distance between the quartiles of its damping ratios
   * @param orders at how many orders it was found
   * @param taken whether the fit started from it
   */
  public record Group(
      double frequencyHz,
      double frequencySpreadHz,
      double dampingRatio,
      double dampingSpread,
      int orders,
      boolean taken) {}

  public Stabilisation {
    poles = List.copyOf(poles);
    groups = List.copyOf(groups);
  }
}
