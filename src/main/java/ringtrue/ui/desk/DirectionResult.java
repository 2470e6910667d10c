package ringtrue.ui.desk;

import java.util.List;
import java.util.Optional;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.ModalModel;
import ringtrue.fitting.FittedModes;
import ringtrue.fitting.UnfittedPeaks;
import ringtrue.library.DecayMeasurement;
import ringtrue.library.MeasuredModes;
import ringtrue.library.Measurement;
import ringtrue.library.SavedMeasurement;
import ringtrue.signal.AveragedTaps;
import ringtrue.ui.job.Measured;

/**
 * What was found in a direction, as far as it has come.
 *
 * @param of what it was found from
 * @param measurement the measurement file, where there is one
 * @param taps its taps and their average, where force was measured
 * @param response the averaged or imported frequency response
 * @param found response and modes with what the taps tell, where there are taps
 * @param modes the fitted modes
 * @param decays what free decays tell, where no force was measured
 * @param saved the saved measurement, where it comes from the library
 * @param model modes with stiffness, as a cut needs them
 * @param problem why there are no modes, though there is a response; empty if there are
 * @param remarks what a reader should know, each once
 * @param unfitted peaks of the response that the modes leave out
 */
public record DirectionResult(
    Measured of,
    Optional<Measurement> measurement,
    Optional<AveragedTaps> taps,
    Optional<FrequencyResponse> response,
    Optional<MeasuredModes> found,
    Optional<FittedModes> modes,
    Optional<DecayMeasurement> decays,
    Optional<SavedMeasurement> saved,
    Optional<ModalModel> model,
    String problem,
    List<String> remarks,
    List<UnfittedPeaks.Peak> unfitted) {

  public DirectionResult {
    remarks = remarks.stream().distinct().toList();
    unfitted = List.copyOf(unfitted);
  }

  /** Without a look at what the modes leave out. */
  DirectionResult(
      Measured of,
      Optional<Measurement> measurement,
      Optional<AveragedTaps> taps,
      Optional<FrequencyResponse> response,
      Optional<MeasuredModes> found,
      Optional<FittedModes> modes,
      Optional<DecayMeasurement> decays,
      Optional<SavedMeasurement> saved,
      Optional<ModalModel> model,
      String problem,
      List<String> remarks) {
    this(
        of,
        measurement,
        taps,
        response,
        found,
        modes,
        decays,
        saved,
        model,
        problem,
        remarks,
        List.of());
  }

  /** The same with the peaks that the modes leave out. */
  DirectionResult looked() {
    List<UnfittedPeaks.Peak> peaks =
        response.isPresent() && model.isPresent()
            ? UnfittedPeaks.of(response.get(), model.get())
            : List.of();
    return with(of, peaks);
  }

  /** The same where nothing but words about what was measured changed. */
  DirectionResult of(Measured now) {
    return with(now, unfitted);
  }

  private DirectionResult with(Measured now, List<UnfittedPeaks.Peak> peaks) {
    return new DirectionResult(
        now,
        measurement,
        taps,
        response,
        found,
        modes,
        decays,
        saved,
        model,
        problem,
        remarks,
        peaks);
  }
}
