package ringtrue.library;

import java.nio.file.Path;
import ringtrue.dynamics.Progress;
import ringtrue.fitting.FitSettings;
import ringtrue.fitting.FittedModes;
import ringtrue.fitting.ModeFitter;
import ringtrue.signal.AveragedResponse;
import ringtrue.signal.ResponseEstimator;
import ringtrue.units.BadInputException;

/**
 * A measurement taken all the way to modes with everything chosen from the data.
 *
 * @param response averaged response
 * @param modes modes fitted to it
 */
public record MeasuredModes(AveragedResponse response, FittedModes modes) {

  /** Reads, averages and fits a measurement file. */
  public static MeasuredModes of(Path measurementFile, Progress progress) {
    Measurement measurement = MeasurementFile.read(measurementFile);
    try {
      AveragedResponse response =
          ResponseEstimator.estimate(measurement.recording(), measurement.processing(), progress);
      return new MeasuredModes(
          response,
          ModeFitter.fit(response.response(), FitSettings.AUTOMATIC, progress)
              .withGainSigma(measurement.calibrationSigma()));
    } catch (BadInputException e) {
      throw e.at(measurementFile.getFileName().toString());
    }
  }
}
