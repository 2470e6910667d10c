package ringtrue.library;

import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;
import ringtrue.acquisition.TapRecording;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Progress;
import ringtrue.dynamics.Residual;
import ringtrue.fitting.DecayMode;
import ringtrue.fitting.FitSettings;
import ringtrue.fitting.FittedModes;
import ringtrue.fitting.GlobalFitter;
import ringtrue.fitting.ModeFitter;
import ringtrue.library.SavedMeasurement.SavedMode;
import ringtrue.library.SetUpLibrary.Filling;
import ringtrue.signal.ResponseEstimator;
import ringtrue.units.BadInputException;

/** Takes a measurement to its modes and readies it for a library. */
public final class MeasurementKeeper {
  private MeasurementKeeper() {}

  /**
   * What the files do not say.
   *
   * @param date when it was measured
   * @param axis direction, where the file names none; empty for none
   * @param inputProfile name of the input profile; may be empty
   * @param clampedAgain whether it was clamped anew since the measurement before
   * @param note the user's own words; may be empty
   * @param program which version this is
   */
  public record About(
      Instant date,
      String axis,
      String inputProfile,
      boolean clampedAgain,
      String note,
      String program) {}

  /**
   * What somebody decided about a measurement, so that the modes that are saved are those that he
   * saw.
   *
   * @param setAside taps to leave out, numbers from 1
   * @param kept taps to keep against their verdict
   * @param fit band, number or places of the modes
   */
  public record Decided(Set<Integer> setAside, Set<Integer> kept, FitSettings fit) {
    /** As the file says, modes found automatically. */
    public static final Decided NOTHING = new Decided(Set.of(), Set.of(), FitSettings.AUTOMATIC);

    public Decided {
      setAside = Set.copyOf(setAside);
      kept = Set.copyOf(kept);
    }

    private Measurement of(Measurement read) {
      return new Measurement(
          read.recording(),
          read.processing().decided(setAside, kept),
          read.added(),
          read.calibrationFactor(),
          read.calibrationSigma());
    }

    private Filling with(Filling filling) {
      return fit.equals(FitSettings.AUTOMATIC)
          ? filling
          : (folder, filer) -> {
            filling.into(folder, filer);
            filer.write(folder.resolve(SavedFit.NAME), SavedFit.toText(fit));
          };
    }
  }

  /**
   * A measurement ready to be saved.
   *
   * @param found what was found in it
   * @param filling copies recordings and response
   * @param remarks what the user should know besides the modes' own remarks
   */
  public record Kept(SavedMeasurement found, Filling filling, List<String> remarks) {
    public Kept {
      remarks = List.copyOf(remarks);
    }

    /**
     * The same as one of several of the same direction that are saved together.
     *
     * @param place how many of them come before it; they keep this order
     * @param clampedAgain whether it was clamped anew since the one before
     */
    public Kept after(int place, boolean clampedAgain) {
      return new Kept(found.taken(found.date().plusMillis(place), clampedAgain), filling, remarks);
    }
  }

  /**
   * Reads, averages and fits.
   *
   * @param file a measurement file, or a frequency response as CSV or universal file
   * @throws BadInputException if it cannot be used, or its direction is not known
   */
  public static Kept of(Path file, About about, Progress progress) {
    return of(file, about, Decided.NOTHING, progress);
  }

  /**
   * The same with what somebody decided about it.
   *
   * @param file a measurement file, or a frequency response as CSV or universal file
   */
  public static Kept of(Path file, About about, Decided decided, Progress progress) {
    Kept kept = read(file, about, decided, progress);
    return new Kept(kept.found, decided.with(kept.filling), kept.remarks);
  }

  private static Kept read(Path file, About about, Decided decided, Progress progress) {
    String name = file.getFileName().toString();
    try {
      if (ResponseFile.isNameOf(file)) {
        return ofResponse(file, about, decided.fit, progress);
      }
      Measurement measurement = decided.of(MeasurementFile.read(file));
      boolean asFiled = decided.setAside.isEmpty() && decided.kept.isEmpty();
      MeasurementCopy copy =
          MeasurementCopy.of(
              file, asFiled ? Optional.empty() : Optional.of(measurement.processing()));
      String axis = axis(measurement.recording().axis(), about);
      if (measurement.recording().force().isEmpty()) {
        return ofDecays(measurement, axis, copy, about, decided.fit, progress);
      }
      return GlobalFitter.isDrivingPoint(axis)
          ? ofTaps(measurement, axis, copy, about, decided.fit, progress)
          : ofCross(measurement, axis, copy, about, progress);
    } catch (BadInputException e) {
      if (!name.toLowerCase(Locale.ROOT).endsWith(".json")
          && e.getMessage().contains("not valid JSON")) {
        throw new BadInputException(
            name + ": is neither a measurement file (.json) nor a frequency response (.csv, .unv)",
            e);
      }
      throw e.getMessage().startsWith(name + ":") ? e : e.at(name);
    }
  }

  private static String axis(String own, About about) {
    String axis = own.isBlank() ? about.axis() : own.strip();
    if (axis.isBlank()) {
      throw new BadInputException("axis: missing; say it in the file or with --axis, like x");
    }
    if (!about.axis().isBlank() && !about.axis().equals(axis)) {
      throw new BadInputException(
          "axis: the file says \"" + axis + "\", not \"" + about.axis() + "\"");
    }
    return axis;
  }

  private static Kept ofResponse(Path file, About about, FitSettings fit, Progress progress) {
    FrequencyResponse response = ResponseFile.read(file, Dataset58.Wanted.ONLY);
    FrequencyResponse.Origin origin = response.origin();
    String axis = axis(origin.axis(), about);
    Filling filling =
        (folder, filer) -> {
          Path kept = folder.resolve(SavedMeasurementFile.RESPONSE);
          if (Dataset58.isNameOf(file)) {
            filer.write(kept, FrequencyResponseCsv.toText(response));
          } else {
            filer.copy(file, kept);
          }
        };
    if (!GlobalFitter.isDrivingPoint(axis)) {
      return new Kept(
          found(axis, origin.point(), origin.source(), true, about, origin, List.of()),
          filling,
          List.of(cross(axis)));
    }
    FittedModes modes = ModeFitter.fit(response, fit, progress);
    return new Kept(
        found(axis, origin.point(), origin.source(), about, response, modes),
        filling,
        List.of("no recordings were saved with it: the response cannot be averaged anew"));
  }

  private static Kept ofTaps(
      Measurement measurement,
      String axis,
      MeasurementCopy copy,
      About about,
      FitSettings fit,
      Progress progress) {
    MeasuredModes measured = MeasuredModes.of(measurement, fit, Optional.empty(), progress);
    FrequencyResponse response = measured.response().response();
    TapRecording recording = measurement.recording();
    return new Kept(
        found(axis, recording.point(), recording.name(), about, response, measured.modes()),
        with(copy, response),
        measured.remarks());
  }

  private static Kept ofCross(
      Measurement measurement, String axis, MeasurementCopy copy, About about, Progress progress) {
    TapRecording recording = measurement.recording();
    FrequencyResponse response =
        ResponseEstimator.estimate(recording, measurement.processing(), progress).response();
    return new Kept(
        found(axis, recording.point(), recording.name(), true, about, response.origin(), List.of()),
        with(copy, response),
        List.of(cross(axis)));
  }

  private static String cross(String axis) {
    return "axis \""
        + axis
        + "\" is a cross response: its response was saved, but no modes, which need both directions"
        + " (modes --together)";
  }

  private static Filling with(MeasurementCopy copy, FrequencyResponse response) {
    return (folder, filer) -> {
      copy.into(folder, filer);
      filer.write(
          folder.resolve(SavedMeasurementFile.RESPONSE), FrequencyResponseCsv.toText(response));
    };
  }

  private static Kept ofDecays(
      Measurement measurement,
      String axis,
      MeasurementCopy copy,
      About about,
      FitSettings fit,
      Progress progress) {
    DecayMeasurement decays = DecayMeasurement.of(measurement, fit, progress);
    Optional<ModalModel> model = decays.model();
    List<SavedMode> modes =
        model.isPresent()
            ? model.get().modes().stream().map(SavedMode::of).toList()
            : decays.modes().modes().stream().map(MeasurementKeeper::mode).toList();
    TapRecording recording = measurement.recording();
    SavedMeasurement found =
        new SavedMeasurement(
            "new",
            about.date(),
            axis,
            recording.point(),
            recording.name(),
            about.inputProfile(),
            about.clampedAgain(),
            false,
            Math.max(1, decays.taps().size()),
            Double.NaN,
            Double.NaN,
            Double.NaN,
            modes,
            Residual.NONE,
            decays.remarks(),
            about.program(),
            about.note());
    return new Kept(found, copy::into, List.of());
  }

  private static SavedMode mode(DecayMode m) {
    return new SavedMode(
        m.frequencyHz(),
        m.dampingRatio(),
        m.stiffnessNPerM(),
        m.frequencyHzSigma(),
        m.dampingRatioSigma(),
        m.stiffnessNPerMSigma(),
        Double.NaN);
  }

  private static SavedMeasurement found(
      String axis,
      String point,
      String name,
      About about,
      FrequencyResponse response,
      FittedModes fitted) {
    return new SavedMeasurement(
        "new",
        about.date(),
        axis,
        point,
        name,
        about.inputProfile(),
        about.clampedAgain(),
        true,
        response.origin().averages(),
        fitted.bandLowHz(),
        fitted.bandHighHz(),
        fitted.fitErrorRelative(),
        fitted.model().modes().stream().map(SavedMode::of).toList(),
        fitted.model().residual(),
        new ArrayList<>(fitted.remarks()),
        about.program(),
        about.note());
  }

  private static SavedMeasurement found(
      String axis,
      String point,
      String name,
      boolean force,
      About about,
      FrequencyResponse.Origin origin,
      List<SavedMode> modes) {
    return new SavedMeasurement(
        "new",
        about.date(),
        axis,
        point,
        name,
        about.inputProfile(),
        about.clampedAgain(),
        force,
        origin.averages(),
        origin.bandLowHz(),
        origin.bandHighHz(),
        Double.NaN,
        modes,
        Residual.NONE,
        origin.remarks(),
        about.program(),
        about.note());
  }
}
