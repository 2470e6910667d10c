package ringtrue.signal;

import java.util.List;
import java.util.Objects;
import ringtrue.dynamics.FrequencyResponse;

/**
 * What the taps add up to.
 *
 * @param response averaged receptance with coherence and error; its origin holds band and remarks
 * @param taps every tap found, kept or not
 * @param used the processing as it was done, nothing left open
 * @param shared error that neighbouring lines share
 */
public record AveragedResponse(
    FrequencyResponse response, List<Tap> taps, Used used, SharedError shared) {

  /**
   * Processing as done.
   *
   * @param blockLengthS block length, s (samples/fs)
   * @param preTriggerS pre-trigger, s
   * @param triggerFraction trigger level as a fraction of the largest peak
   * @param forceWindow force window, or {@link Processing.ForceWindow#NONE}
   * @param responseTimeConstantS exponential window's time constant, s; infinite for none
   * @param estimator estimator
   */
  public record Used(
      double blockLengthS,
      double preTriggerS,
      double triggerFraction,
      Processing.ForceWindow forceWindow,
      double responseTimeConstantS,
      Estimator estimator) {}

  public AveragedResponse {
    Objects.requireNonNull(response, "response");
    Objects.requireNonNull(used, "used");
    Objects.requireNonNull(shared, "shared");
    taps = List.copyOf(taps);
  }
}
