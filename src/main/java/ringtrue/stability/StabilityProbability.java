package ringtrue.stability;

import java.util.List;

/**
 * How sure a stability map is when its inputs are known only so well.
 *
 * @param samples number of drawn sets of inputs
 * @param seed seed that drew them
 * @param lengthsM depths or widths of the rows of {@code stable}, m, rising
 * @param stable probability of being stable, {@code stable.get(i)[k]} for line i of the map and
 *     length k
 * @param limit95M largest length for each line up to which at least 95 % of the samples have not
 *     lost stability, m: an order statistic of the samples' first limits, so stable stretches above
 *     a limit do not count
 * @param sensitivities which input moves the limit most, strongest first
 */
public record StabilityProbability(
    int samples,
    long seed,
    List<Double> lengthsM,
    List<double[]> stable,
    List<Double> limit95M,
    List<Sensitivity> sensitivities) {

  /**
   * What one input does to the limit.
   *
   * @param input what it is, in words: {@code "frequency of mode 1 in x"}
   * @param share share that the input by itself has in the variance of the logarithm of the limit
   *     over all speeds, 0 to 1
   * @param slope sign and size: average change of the logarithm of the limit (so, where small, the
   *     relative change) by one standard deviation of the input, averaged over the speeds; inputs
   *     that raise the limit at one speed and lower it at another have a large share and a small
   *     slope
   */
  public record Sensitivity(String input, double share, double slope) {}

  public StabilityProbability {
    lengthsM = List.copyOf(lengthsM);
    stable = List.copyOf(stable);
    limit95M = List.copyOf(limit95M);
    sensitivities = List.copyOf(sensitivities);
  }
}
