package ringtrue.cli;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.Progress;
import ringtrue.fitting.FitSettings;
import ringtrue.fitting.FittedModes;
import ringtrue.fitting.ModeFitter;
import ringtrue.library.Catalogue;
import ringtrue.library.Cut;
import ringtrue.library.CutFile;
import ringtrue.library.CutLobes;
import ringtrue.library.Dataset58;
import ringtrue.library.DecayMeasurement;
import ringtrue.library.InputFiles;
import ringtrue.library.MeasuredModes;
import ringtrue.library.Measurement;
import ringtrue.library.MeasurementFile;
import ringtrue.library.ResponseFile;
import ringtrue.library.SetUpLibrary;
import ringtrue.report.LengthUnit;
import ringtrue.report.PlannedItems;
import ringtrue.report.ReportItem;
import ringtrue.report.ReportItem.Found;
import ringtrue.signal.AveragedResponse;
import ringtrue.signal.ResponseEstimator;
import ringtrue.units.BadInputException;

/**
 * What the other commands would say of a file, gathered for a report.
 *
 * @param catalogue materials and machines
 * @param catalogueFiles files of the user's own that went into it
 * @param library where saved set-ups are kept that a cut names
 * @param unit lengths in sentences
 * @param draws sets of inputs to draw for the lobes; empty for none
 */
record ReportItems(
    Catalogue catalogue,
    List<Path> catalogueFiles,
    SetUpLibrary library,
    LengthUnit unit,
    Optional<CutLobes.Draws> draws) {

  /**
   * Reads and computes a measurement, a response or a cut.
   *
   * @throws BadInputException if there is nothing that could be told
   */
  ReportItem of(Path file, Progress progress) {
    try {
      if (ResponseFile.isNameOf(file)) {
        return response(file, progress);
      }
      String format = InputFiles.format(file);
      if (format.startsWith("ringtrue-cut/")) {
        return cut(file, progress);
      }
      if (!format.isEmpty() && !format.startsWith("ringtrue-measurement/")) {
        throw new BadInputException(
            "format is \""
                + format
                + "\"; a measurement (ringtrue-measurement/1), a response (CSV of frf) or a cut"
                + " (ringtrue-cut/1) is needed here");
      }
      return measurement(file, progress);
    } catch (BadInputException e) {
      throw Places.named(file, e);
    }
  }

  private static ReportItem measurement(Path file, Progress progress) {
    Measurement measurement = MeasurementFile.read(file);
    List<InputFiles.Source> sources = InputFiles.of(file);
    if (measurement.recording().force().isEmpty()) {
      return new ReportItem.Decays(
          sources,
          measurement.recording(),
          DecayMeasurement.of(measurement, FitSettings.AUTOMATIC, progress));
    }
    List<String> remarks = new ArrayList<>();
    AveragedResponse averaged;
    Found<FittedModes> modes;
    try {
      ModesCommand.requireDrivingPoint(measurement.recording().axis());
      MeasuredModes all =
          MeasuredModes.of(measurement, FitSettings.AUTOMATIC, Optional.empty(), progress);
      averaged = all.response();
      modes = Found.of(all.modes());
      remarks.addAll(averaged.response().origin().remarks());
      remarks.addAll(all.modes().remarks());
      remarks.addAll(all.remarks());
    } catch (BadInputException e) {
      // the response may still be worth a page; if there is none, that is what is wrong
      averaged =
          ResponseEstimator.estimate(measurement.recording(), measurement.processing(), progress);
      modes = Found.none(e.getMessage());
      remarks.addAll(averaged.response().origin().remarks());
    }
    return new ReportItem.Taps(
        sources,
        measurement.recording(),
        measurement.calibrationFactor(),
        averaged,
        modes,
        remarks);
  }

  private static ReportItem response(Path file, Progress progress) {
    FrequencyResponse response = ResponseFile.read(file, Dataset58.Wanted.ONLY);
    List<String> remarks = new ArrayList<>(response.origin().remarks());
    Found<FittedModes> modes;
    try {
      ModesCommand.requireDrivingPoint(response.origin().axis());
      FittedModes fitted = ModeFitter.fit(response, FitSettings.AUTOMATIC, progress);
      remarks.addAll(fitted.remarks());
      modes = Found.of(fitted);
    } catch (BadInputException e) {
      modes = Found.none(e.getMessage());
    }
    return new ReportItem.Response(List.of(InputFiles.source(file)), response, modes, remarks);
  }

  private ReportItem cut(Path file, Progress progress) {
    Cut cut = CutFile.read(file, catalogue, library, part(progress, 0, 0.3));
    return new PlannedItems(catalogue, catalogueFiles, library, unit, draws)
        .of(file, cut, part(progress, 0.3, 1));
  }

  private static Progress part(Progress progress, double from, double to) {
    return (done, what) -> progress.at(from + done * (to - from), what);
  }
}
