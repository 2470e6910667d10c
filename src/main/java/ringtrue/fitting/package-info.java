/**
 * From a frequency response to modes: how many there are, their natural frequency, damping ratio
 * and stiffness, each with its uncertainty.
 *
 * <p>{@link ringtrue.fitting.ModeFitter} is the way in. Inside, the data go from {@code FitLines}
 * (with {@code NoiseLevel}) through {@code VectorFitting} and {@code StabilisationDiagram}, which
 * propose poles, and {@code ModeSelection}, which decides what the data support, to {@code
 * FinalFit} (by {@code ModalRefinement}), which gives values and uncertainties, and {@code
 * FitRemarks}.
 */
package ringtrue.fitting;
