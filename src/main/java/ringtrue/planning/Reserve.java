package ringtrue.planning;

/**
 * What a cut that is offered has to stand besides being stable.
 *
 * @param sigmas every mode may be off by so many of its own sigmas, in frequency, damping and
 *     stiffness; 0 to 6
 * @param speedBand the spindle may turn faster or slower by this fraction; 0 to 0.2
 */
public record Reserve(double sigmas, double speedBand) {

  /** Two sigma and 3 % of speed. */
  public static final Reserve USUAL = new Reserve(2, 0.03);

  public Reserve {
    if (!(sigmas >= 0 && sigmas <= 6)) {
      throw new IllegalArgumentException("sigmas must be 0 to 6, was " + sigmas);
    }
    if (!(speedBand >= 0 && speedBand <= 0.2)) {
      throw new IllegalArgumentException("speed band must be 0 to 0.2, was " + speedBand);
    }
  }
}
