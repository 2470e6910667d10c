package ringtrue.library;

import java.util.Optional;
import ringtrue.acquisition.TapRecording;
import ringtrue.signal.Processing;

/**
 * A measurement as its file describes it.
 *
 * @param recording recordings and what their channels mean
 * @param processing what the file asks of the processing; the rest is chosen from the data
 * @param added the same with a known mass added at the tapped point, where there is one
 * @param calibrationFactor what the pair of hammer and sensor read on a known mass where 1 would be
 *     right; the recording's meaning is divided by it already
 * @param calibrationSigma relative one-sigma uncertainty of the calibration by a known mass, which
 *     every stiffness carries; 0 where there is none
 */
public record Measurement(
    TapRecording recording,
    Processing processing,
    Optional<Added> added,
    double calibrationFactor,
    double calibrationSigma) {

  /**
   * The second half of an added-mass pair.
   *
   * @param recording recordings with the mass on; channels mean the same
   * @param processing the same processing for these recordings
   * @param massKg the added mass, kg
   * @param massSigmaKg its one-sigma uncertainty, kg; 0 where none was given
   */
  public record Added(
      TapRecording recording, Processing processing, double massKg, double massSigmaKg) {}
}
