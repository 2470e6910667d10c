package ringtrue.ui.desk;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.Consumer;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.Progress;
import ringtrue.fitting.FittedModes;
import ringtrue.fitting.ModeFitter;
import ringtrue.library.Dataset58;
import ringtrue.library.DecayMeasurement;
import ringtrue.library.MeasuredModes;
import ringtrue.library.Measurement;
import ringtrue.library.MeasurementFile;
import ringtrue.library.ResponseFile;
import ringtrue.library.SavedMeasurement;
import ringtrue.library.SetUpLibrary;
import ringtrue.signal.AveragedTaps;
import ringtrue.signal.ResponseEstimator;
import ringtrue.ui.job.JobFolder;
import ringtrue.ui.job.Measured;
import ringtrue.units.BadInputException;

/** Takes what was measured in a direction to its response and modes; away from the event thread. */
final class DirectionReader {
  private final JobFolder folder;
  private final SetUpLibrary library;
  private final Optional<String> savedId;

  DirectionReader(JobFolder folder, SetUpLibrary library, Optional<String> savedId) {
    this.folder = folder;
    this.library = library;
    this.savedId = savedId;
  }

  /**
   * Reads, averages and fits.
   *
   * @param before what was found of an earlier state; what still holds is taken from it
   * @param early told the response before its modes are there
   */
  DirectionResult read(
      Measured measured,
      Optional<DirectionResult> before,
      Consumer<DirectionResult> early,
      Progress progress) {
    return switch (measured.kind()) {
      case TAPS -> taps(measured, before, early, progress);
      case RESPONSE -> response(measured, progress);
      case SAVED -> saved(measured);
    };
  }

  private DirectionResult taps(
      Measured measured,
      Optional<DirectionResult> before,
      Consumer<DirectionResult> early,
      Progress progress) {
    Optional<DirectionResult> sameTaps =
        before.filter(b -> b.of().withFit(measured.fit()).equals(measured) && b.taps().isPresent());
    Measurement measurement =
        sameTaps
            .flatMap(DirectionResult::measurement)
            .orElseGet(() -> decided(MeasurementFile.read(folder.file(measured.file())), measured));
    if (measurement.recording().force().isEmpty()) {
      return decays(measured, measurement, progress);
    }
    AveragedTaps taps =
        sameTaps
            .flatMap(DirectionResult::taps)
            .orElseGet(
                () ->
                    ResponseEstimator.estimateTaps(
                        measurement.recording(), measurement.processing(), part(progress, 0, 0.6)));
    FrequencyResponse response = taps.averaged().response();
    List<String> remarks = new ArrayList<>(response.origin().remarks());
    early.accept(
        new DirectionResult(
            measured,
            Optional.of(measurement),
            Optional.of(taps),
            Optional.of(response),
            Optional.empty(),
            Optional.empty(),
            Optional.empty(),
            Optional.empty(),
            Optional.empty(),
            "",
            remarks));
    Optional<MeasuredModes> found = Optional.empty();
    String problem = "";
    try {
      MeasuredModes all =
          MeasuredModes.of(
              measurement, taps, measured.fit(), Optional.empty(), part(progress, 0.6, 1));
      found = Optional.of(all);
      remarks.addAll(all.modes().remarks());
      remarks.addAll(all.remarks());
    } catch (BadInputException e) {
      problem = e.getMessage();
    }
    return new DirectionResult(
            measured,
            Optional.of(measurement),
            Optional.of(taps),
            Optional.of(response),
            found,
            found.map(MeasuredModes::modes),
            Optional.empty(),
            Optional.empty(),
            found.map(m -> m.modes().model()).filter(m -> !m.modes().isEmpty()),
            problem,
            remarks)
        .looked();
  }

  private static Measurement decided(Measurement read, Measured by) {
    return new Measurement(
        read.recording(),
        read.processing().decided(by.setAside(), by.kept()),
        read.added(),
        read.calibrationFactor(),
        read.calibrationSigma());
  }

  private static DirectionResult decays(
      Measured measured, Measurement measurement, Progress progress) {
    DecayMeasurement found = DecayMeasurement.of(measurement, measured.fit(), progress);
    return new DirectionResult(
        measured,
        Optional.of(measurement),
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        Optional.of(found),
        Optional.empty(),
        found.model(),
        found.model().isPresent()
            ? ""
            : "measured without force: frequency and damping are known, stiffness is not; limits of"
                + " depth and width need it",
        found.remarks());
  }

  private DirectionResult response(Measured measured, Progress progress) {
    FrequencyResponse response =
        ResponseFile.read(folder.file(measured.file()), Dataset58.Wanted.ONLY);
    List<String> remarks = new ArrayList<>(response.origin().remarks());
    Optional<FittedModes> modes = Optional.empty();
    String problem = "";
    try {
      FittedModes fitted = ModeFitter.fit(response, measured.fit(), progress);
      remarks.addAll(fitted.remarks());
      modes = Optional.of(fitted);
    } catch (BadInputException e) {
      problem = e.getMessage();
    }
    return new DirectionResult(
            measured,
            Optional.empty(),
            Optional.empty(),
            Optional.of(response),
            Optional.empty(),
            modes,
            Optional.empty(),
            Optional.empty(),
            modes.map(FittedModes::model).filter(m -> !m.modes().isEmpty()),
            problem,
            remarks)
        .looked();
  }

  private DirectionResult saved(Measured measured) {
    int slash = measured.file().indexOf('/');
    String id =
        slash > 0
            ? measured.file().substring(0, slash)
            : savedId.orElseThrow(
                () -> new BadInputException("the job belongs to no saved set-up"));
    String name = measured.file().substring(slash + 1);
    SavedMeasurement saved =
        library
            .read(id)
            .measurement(name)
            .orElseThrow(
                () ->
                    new BadInputException(
                        "the saved set-up " + id + " has no measurement " + name));
    return new DirectionResult(
        measured,
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        Optional.of(saved),
        saved.model(),
        saved.model().isPresent() ? "" : "its modes have no stiffness, which limits need",
        saved.remarks());
  }

  private static Progress part(Progress progress, double from, double to) {
    return (done, what) -> progress.at(from + done * (to - from), what);
  }
}
