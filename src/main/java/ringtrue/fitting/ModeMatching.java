package ringtrue.fitting;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import ringtrue.dynamics.Mode;

/**
 * Which mode of one measurement is which of another. Modes are alike in natural frequency, damping
 * and stiffness; all may move together (another mass, another stick-out), some may be missing. All
 * are assigned at once, so that neighbours that move by more than their spacing keep their partners
 * as long as this explains more than losing some and gaining others.
 */
final class ModeMatching {
  // how much a set-up changes that is still called the same: orders of magnitude, by judgement
  private static final double COMMON_SHIFT = 0.05;
  private static final double OWN_SHIFT = 0.04;
  private static final double DAMPING = 0.9;
  private static final double STIFFNESS = 0.7;

  /** Cost of a mode without a partner, where a move by one of the above costs 1. */
  private static final double ALONE = 4;

  private static final double FARTHEST = 0.25;
  private static final double NEVER = 1e6;

  private ModeMatching() {}

  /**
   * @return for each mode of the first list the index of its partner in the second; −1 for none
   */
  static int[] match(List<Mode> before, List<Mode> now) {
    List<Double> shifts = new ArrayList<>();
    shifts.add(0.0);
    for (Mode a : before) {
      for (Mode b : now) {
        double shift = Math.log(b.frequencyHz() / a.frequencyHz());
        if (Math.abs(shift) < FARTHEST) {
          shifts.add(shift);
        }
      }
    }
    int[] best = null;
    double least = Double.POSITIVE_INFINITY;
    for (double shift : shifts) {
      double own = shift / COMMON_SHIFT * (shift / COMMON_SHIFT);
      if (own < least) {
        double[][] cost = cost(before, now, shift);
        int[] columns = Assignment.cheapest(cost);
        double total = own;
        for (int r = 0; r < columns.length; r++) {
          total += cost[r][columns[r]];
        }
        if (total < least) {
          least = total;
          best = columns;
        }
      }
    }
    int[] partner = Arrays.copyOf(best, before.size());
    for (int r = 0; r < partner.length; r++) {
      partner[r] = partner[r] < now.size() ? partner[r] : -1;
    }
    return partner;
  }

  /** Modes against modes, and each against having no partner. */
  private static double[][] cost(List<Mode> before, List<Mode> now, double shift) {
    int rows = before.size();
    int columns = now.size();
    double[][] cost = new double[rows + columns][rows + columns];
    for (int r = 0; r < rows; r++) {
      Arrays.fill(cost[r], NEVER);
      for (int c = 0; c < columns; c++) {
        cost[r][c] = unlike(before.get(r), now.get(c), shift);
      }
      cost[r][columns + r] = ALONE;
    }
    for (int c = 0; c < columns; c++) {
      Arrays.fill(cost[rows + c], 0, columns, NEVER);
      cost[rows + c][c] = ALONE;
    }
    return cost;
  }

  private static double unlike(Mode a, Mode b, double shift) {
    return squared(
            Math.log(b.frequencyHz() / a.frequencyHz()) - shift,
            OWN_SHIFT,
            a.frequencyHzSigma() / a.frequencyHz(),
            b.frequencyHzSigma() / b.frequencyHz())
        + squared(
            Math.log(b.dampingRatio() / a.dampingRatio()),
            DAMPING,
            a.dampingRatioSigma() / a.dampingRatio(),
            b.dampingRatioSigma() / b.dampingRatio())
        + squared(
            Math.log(b.stiffnessNPerM() / a.stiffnessNPerM()),
            STIFFNESS,
            a.stiffnessNPerMSigma() / a.stiffnessNPerM(),
            b.stiffnessNPerMSigma() / b.stiffnessNPerM());
  }

  private static double squared(double off, double usual, double sigmaA, double sigmaB) {
    double variance = usual * usual;
    variance += Double.isNaN(sigmaA) ? 0 : Math.min(1, sigmaA * sigmaA);
    variance += Double.isNaN(sigmaB) ? 0 : Math.min(1, sigmaB * sigmaB);
    return off * off / variance;
  }
}
