/**
 * From a frequency response to modes: how many there are, their natural frequency, damping ratio
 * and stiffness, each with its uncertainty.
 *
 * <p>{@link ringtrue.fitting.ModeFitter} is the way in, {@link ringtrue.fitting.GlobalFitter} for
 * several responses with poles in common. Inside, the data go from {@code FitLines} (with {@code
 * NoiseLevel}) through {@code PoleSearch}, which proposes poles by {@code VectorFitting} and sorts
 * them by {@code PoleGroups}, and {@code ModeSelection}, which decides what the data support, or
 * {@code PickedModes}, where the user did, to {@code FinalFit} (by {@code ModalRefinement}), which
 * gives values and uncertainties, and {@code FitRemarks}.
 */
package ringtrue.fitting;
