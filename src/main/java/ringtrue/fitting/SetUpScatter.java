package ringtrue.fitting;

import ringtrue.units.BadInputException;

/**
 * By how much the modes of one set-up scatter when it is taken apart and clamped again: one sigma
 * of each value's relative difference from its mean. No fit can know it from one measurement.
 *
 * @param frequency of natural frequencies, a fraction
 * @param damping of damping ratios, a fraction
 * @param stiffness of modal stiffnesses, a fraction
 */
public record SetUpScatter(double frequency, double damping, double stiffness) {

  /** Nothing known, or nothing taken apart in between. */
  public static final SetUpScatter NONE = new SetUpScatter(0, 0, 0);

  /**
   * @throws BadInputException if a fraction is negative or 1 or more
   */
  public SetUpScatter {
    for (double part : new double[] {frequency, damping, stiffness}) {
      if (!(part >= 0 && part < 1)) {
        throw new BadInputException(
            "scatter: must lie between 0 % and 100 %, was " + 100 * part + " %");
      }
    }
  }
}
