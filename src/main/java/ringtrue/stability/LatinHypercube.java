package ringtrue.stability;

import org.apache.commons.math3.random.MersenneTwister;
import org.apache.commons.math3.random.RandomGenerator;

/**
 * Latin hypercube samples (McKay, Beckman & Conover 1979): each column has exactly one value in
 * every n-th part of 0 to 1.
 */
final class LatinHypercube {
  private LatinHypercube() {}

  /**
   * @param samples number of rows
   * @param inputs number of columns
   * @param seed same seed, same sample
   * @return {@code [row][column]}, each strictly between 0 and 1
   */
  static double[][] points(int samples, int inputs, long seed) {
    RandomGenerator random = new MersenneTwister(seed);
    double[][] points = new double[samples][inputs];
    int[] order = new int[samples];
    for (int c = 0; c < inputs; c++) {
      for (int i = 0; i < samples; i++) {
        int j = random.nextInt(i + 1);
        order[i] = order[j];
        order[j] = i;
      }
      for (int i = 0; i < samples; i++) {
        points[i][c] = (order[i] + inside(random)) / samples;
      }
    }
    return points;
  }

  /** Strictly between 0 and 1, by a distance that the division by many samples cannot lose. */
  private static double inside(RandomGenerator random) {
    return Math.min(Math.max(random.nextDouble(), 1e-6), 1 - 1e-6);
  }
}
