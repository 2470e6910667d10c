package ringtrue.library;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Residual;

/**
 * What was found in one measurement of a set-up.
 *
 * @param id name of its folder
 * @param date when it was measured
 * @param axis direction in machine axes
 * @param point where it was measured
 * @param name what the measurement was called
 * @param inputProfile name of the input profile it was recorded with; empty where none was said
 * @param clampedAgain whether the set-up was taken apart and clamped again since the measurement
 *     before it in the same direction
 * @param forceMeasured whether force was measured
 * @param averages number of taps averaged
 * @param bandLowHz lower end of the fitted band, Hz; NaN where unknown
 * @param bandHighHz upper end of the fitted band, Hz; NaN where unknown
 * @param fitErrorRelative what the fit left over, a fraction; NaN where unknown
 * @param modes the modes by rising frequency; stiffness NaN where unknown
 * @param residual residual terms of the fit
 * @param remarks what a reader of the modes should know
 * @param program which version fitted them
 * @param note the user's own words
 */
public record SavedMeasurement(
    String id,
    Instant date,
    String axis,
    String point,
    String name,
    String inputProfile,
    boolean clampedAgain,
    boolean forceMeasured,
    int averages,
    double bandLowHz,
    double bandHighHz,
    double fitErrorRelative,
    List<SavedMode> modes,
    Residual residual,
    List<String> remarks,
    String program,
    String note) {

  /**
   * A mode; everything but frequency and damping may be unknown (NaN).
   *
   * @param frequencyHz undamped natural frequency, Hz
   * @param dampingRatio viscous damping ratio, a fraction
   * @param stiffnessNPerM modal stiffness, N/m
   * @param frequencyHzSigma one sigma, Hz
   * @param dampingRatioSigma one sigma, a fraction
   * @param stiffnessNPerMSigma one sigma, N/m
   * @param phaseDeg phase of its contribution at resonance, degrees
   */
  public record SavedMode(
      double frequencyHz,
      double dampingRatio,
      double stiffnessNPerM,
      double frequencyHzSigma,
      double dampingRatioSigma,
      double stiffnessNPerMSigma,
      double phaseDeg) {

    public SavedMode {
      // checks what is known as a mode is checked
      new Mode(
          frequencyHz,
          dampingRatio,
          Double.isNaN(stiffnessNPerM) ? 1 : stiffnessNPerM,
          frequencyHzSigma,
          dampingRatioSigma,
          stiffnessNPerMSigma,
          phaseDeg);
    }

    static SavedMode of(Mode m) {
      return new SavedMode(
          m.frequencyHz(),
          m.dampingRatio(),
          m.stiffnessNPerM(),
          m.frequencyHzSigma(),
          m.dampingRatioSigma(),
          m.stiffnessNPerMSigma(),
          m.phaseDeg());
    }

    /** Whether a stability limit can be had of it. */
    public boolean hasStiffness() {
      return !Double.isNaN(stiffnessNPerM);
    }

    /** The same where the stiffness is known. */
    Mode mode() {
      return new Mode(
          frequencyHz,
          dampingRatio,
          stiffnessNPerM,
          frequencyHzSigma,
          dampingRatioSigma,
          stiffnessNPerMSigma,
          phaseDeg);
    }
  }

  public SavedMeasurement {
    SetUpId.require(id);
    Objects.requireNonNull(date, "date");
    Objects.requireNonNull(residual, "residual");
    List<SavedMode> sorted = new ArrayList<>(modes);
    sorted.sort(java.util.Comparator.comparingDouble(SavedMode::frequencyHz));
    modes = List.copyOf(sorted);
    remarks = List.copyOf(remarks);
    if (averages < 1) {
      throw new IllegalArgumentException("averages must be at least 1, was " + averages);
    }
  }

  /** The same under another id. */
  SavedMeasurement withId(String other) {
    return with(other, date, clampedAgain);
  }

  /** The same, taken at another time, clamped again before it or not. */
  SavedMeasurement taken(Instant when, boolean again) {
    return with(id, when, again);
  }

  private SavedMeasurement with(String id, Instant date, boolean clampedAgain) {
    return new SavedMeasurement(
        id,
        date,
        axis,
        point,
        name,
        inputProfile,
        clampedAgain,
        forceMeasured,
        averages,
        bandLowHz,
        bandHighHz,
        fitErrorRelative,
        modes,
        residual,
        remarks,
        program,
        note);
  }

  /** The direction as a modal model; empty where no stiffness is known. */
  public Optional<ModalModel> model() {
    return modes.isEmpty() || !modes.stream().allMatch(SavedMode::hasStiffness)
        ? Optional.empty()
        : Optional.of(new ModalModel(modes.stream().map(SavedMode::mode).toList(), residual));
  }
}
