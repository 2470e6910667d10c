package ringtrue.signal;

import java.util.List;
import ringtrue.dynamics.FreeDecays;

/**
 * Free decays found in recordings of the response alone.
 *
 * @param decays those of the taps that are kept, in order
 * @param taps every tap found, kept or not
 * @param remarks sentences that a reader should know
 */
public record FoundDecays(FreeDecays decays, List<DecayTap> taps, List<String> remarks) {
  public FoundDecays {
    taps = List.copyOf(taps);
    remarks = List.copyOf(remarks);
  }
}
