package ringtrue.stability;

/**
 * A quick way to the first limits of a cut, where every stable stretch would take too long for each
 * of many drawn cuts.
 */
@FunctionalInterface
interface LimitsOnly {

  /**
   * @param process the cut, without tables of modes
   * @param speedsRpm spindle speeds, rpm, in any order, not necessarily distinct
   * @param maxM upper end of the search, m
   * @return first loss of stability going up from zero at each speed, m; {@code maxM} if none
   */
  double[] limits(CuttingProcess process, double[] speedsRpm, double maxM);
}
