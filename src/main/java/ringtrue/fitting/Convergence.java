package ringtrue.fitting;

/**
 * How the last refinement of a fit ended.
 *
 * @param steps steps taken
 * @param lastChange relative change of chi-square in the last of them; 0 if there was none to take
 * @param converged whether it stopped because nothing changed any more, not for want of steps
 * @param reducedChiSquare chi-square over its degrees of freedom: 1 where the misfit is the noise
 */
public record Convergence(
    int steps, double lastChange, boolean converged, double reducedChiSquare) {

  /** Nothing was refined. */
  public static final Convergence NONE = new Convergence(0, 0, true, Double.NaN);
}
