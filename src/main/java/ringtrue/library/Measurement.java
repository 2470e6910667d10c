package ringtrue.library;

import ringtrue.acquisition.TapRecording;
import ringtrue.signal.Processing;

/**
 * A measurement as its file describes it.
 *
 * @param recording recordings and what their channels mean
 * @param processing what the file asks of the processing; the rest is chosen from the data
 * @param calibrationSigma relative one-sigma uncertainty of the calibration by a known mass, which
 *     every stiffness carries; 0 where there is none
 */
public record Measurement(TapRecording recording, Processing processing, double calibrationSigma) {}
