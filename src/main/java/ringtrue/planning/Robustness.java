package ringtrue.planning;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.apache.commons.math3.random.MersenneTwister;
import org.apache.commons.math3.random.RandomGenerator;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.MovedModes;
import ringtrue.stability.MovedModes.Quantity;

/**
 * Whether a cut stays stable with its modes off by so many sigmas and its speed by so many per
 * cent: corners of the box of all moved modes, softer and less damped ones with frequencies down,
 * up and in place first, then seeded random corners; each at the lowest, the stated and the highest
 * speed.
 */
final class Robustness {
  /** With so few quantities every corner is tried. */
  private static final int ALL_CORNERS = 3;

  private static final int RANDOM_CORNERS = 10;
  private static final long SEED = 20_240_607;

  private final StabilityJudge judge;
  private final Reserve reserve;

  Robustness(StabilityJudge judge, Reserve reserve) {
    this.judge = judge;
    this.reserve = reserve;
  }

  /**
   * @param cut the cut at its speed and depth
   * @param band how far the speed may be off, a fraction
   */
  boolean holds(CuttingProcess cut, double band) {
    CuttingProcess searched = judge.searched(cut);
    MovedModes modes = new MovedModes(searched);
    double rpm = cut.speedRpm();
    double[] speeds =
        band > 0 ? new double[] {rpm * (1 - band), rpm, rpm * (1 + band)} : new double[] {rpm};
    for (double[] corner : corners(modes.quantities())) {
      CuttingProcess moved = modes.by(corner, rpm);
      for (boolean stable : judge.stable(moved, speeds, cut.engagement().axialM())) {
        if (!stable) {
          return false;
        }
      }
    }
    return true;
  }

  private List<double[]> corners(List<Quantity> quantities) {
    int n = quantities.size();
    double s = reserve.sigmas();
    List<double[]> all = new ArrayList<>();
    if (n == 0 || s == 0) {
      return all;
    }
    for (double frequency : new double[] {0, -s, s}) {
      double[] weak = new double[n];
      for (int i = 0; i < n; i++) {
        weak[i] = quantities.get(i) == Quantity.FREQUENCY ? frequency : -s;
      }
      add(weak, all);
    }
    if (n <= ALL_CORNERS) {
      for (int signs = 0; signs < 1 << n; signs++) {
        double[] corner = new double[n];
        for (int i = 0; i < n; i++) {
          corner[i] = (signs >> i & 1) == 0 ? -s : s;
        }
        add(corner, all);
      }
      return all;
    }
    RandomGenerator random = new MersenneTwister(SEED);
    for (int k = 0; k < RANDOM_CORNERS; k++) {
      double[] corner = new double[n];
      for (int i = 0; i < n; i++) {
        boolean up = random.nextBoolean();
        // every other one softer and less damped, with frequencies here and there
        boolean weak = k % 2 == 0 && quantities.get(i) != Quantity.FREQUENCY;
        corner[i] = up && !weak ? s : -s;
      }
      add(corner, all);
    }
    return all;
  }

  private static void add(double[] corner, List<double[]> into) {
    if (into.stream().noneMatch(c -> Arrays.equals(c, corner))) {
      into.add(corner);
    }
  }
}
