package ringtrue.stability;

import ringtrue.dynamics.Progress;

/** One way to compute a stability map. */
interface LobesMethod {

  /**
   * @param process the cut
   * @param request what to show, already checked by {@link Lobes}; its {@code maxM} is a number
   * @param progress told how far it is, may cancel
   */
  StabilityMap compute(CuttingProcess process, LobesRequest request, Progress progress);
}
