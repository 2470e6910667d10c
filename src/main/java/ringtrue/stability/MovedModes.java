package ringtrue.stability;

import java.util.List;

/**
 * A cut with its modes moved by so many sigmas, to see what a cut stands. A mode of a cross
 * receptance moves with the mode of x or y that it is.
 */
public final class MovedModes {

  /** What of a mode moves. */
  public enum Quantity {
    FREQUENCY,
    DAMPING,
    STIFFNESS
  }

  private final CuttingProcess process;
  private final UncertainInputs inputs;
  private final List<Quantity> quantities;

  /**
   * @param process the cut; its modes move by their own sigmas, those without stay
   */
  public MovedModes(CuttingProcess process) {
    this.process = process;
    this.inputs =
        new UncertainInputs(process, InputSpread.NONE.withModes(InputSpread.ModeSigmas.NONE));
    this.quantities =
        inputs.inputs().stream()
            .map(
                i ->
                    i.words().startsWith("frequency")
                        ? Quantity.FREQUENCY
                        : i.words().startsWith("damping") ? Quantity.DAMPING : Quantity.STIFFNESS)
            .toList();
  }

  /** What can move, in the order of {@link #by}; empty where no mode has a sigma. */
  public List<Quantity> quantities() {
    return quantities;
  }

  /**
   * The cut with each quantity moved.
   *
   * @param sigmas by how many sigmas, one number for each quantity; damping and stiffness move on
   *     their logarithms, so that they stay positive
   * @param rpm the speed at which tables of modes over speed are read, rpm
   */
  public CuttingProcess by(double[] sigmas, double rpm) {
    return inputs.drawn(process.resolvedAt(rpm), sigmas);
  }
}
