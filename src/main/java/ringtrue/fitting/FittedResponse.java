package ringtrue.fitting;

import java.util.Objects;
import ringtrue.dynamics.FrequencyResponse;

/**
 * A measurement with the modes that were fitted to it.
 *
 * @param response what was measured
 * @param fitted what was found in it
 */
public record FittedResponse(FrequencyResponse response, FittedModes fitted) {

  public FittedResponse {
    Objects.requireNonNull(response, "response");
    Objects.requireNonNull(fitted, "fitted");
  }
}
