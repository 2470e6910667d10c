package ringtrue.stability;

import java.util.ArrayList;
import java.util.List;
import java.util.function.DoubleUnaryOperator;
import org.apache.commons.math3.analysis.solvers.BrentSolver;

/**
 * Stable or not at one depth for every delay at once.
 *
 * <p>At a fixed depth b only those frequencies count where {@code Re λ(f) ≥ 1/(2b)}, and over each
 * such stretch the number of crossings with one delay T is the number of whole numbers that u(f) =
 * fT − ½ − arg λ/π passes. So the ends of the stretches, found once, give the number of unstable
 * pairs for any speed in a handful of operations (frequency sweeping, Olgac & Sipahi 2002).
 */
final class SingleLimits {
  private final double[] hz;
  private final double[] angle;
  private final int[] sign;

  private SingleLimits(double[] hz, double[] angle, int[] sign) {
    this.hz = hz;
    this.angle = angle;
    this.sign = sign;
  }

  /** The ends of all stretches for a depth. */
  static SingleLimits of(BranchTable table, double depthM) {
    double level = 0.5 / depthM;
    List<double[]> ends = new ArrayList<>();
    double[] value = new double[RegenerativeLoop.ROOM];
    BrentSolver solver = new BrentSolver(1e-15, 1e-13, 1e-16);
    for (int branch = 0; branch < BranchTable.BRANCHES; branch++) {
      int b = branch;
      int last = table.nodes() - 1;
      for (int i = 0; i <= last; i++) {
        double here = table.re(branch, i) - level;
        if (here >= 0 && (i == 0 || i == last)) {
          double phase = Math.atan2(table.im(branch, i), table.re(branch, i));
          ends.add(new double[] {table.hz(i), phase, i == 0 ? -1 : 1});
        }
        if (i == last) {
          continue;
        }
        int node = i;
        DoubleUnaryOperator above =
            f -> {
              table.at(b, node, f, value);
              return value[0] - level;
            };
        double next = table.re(branch, i + 1) - level;
        if ((here >= 0) != (next >= 0)) {
          double f = solver.solve(200, above::applyAsDouble, table.hz(i), table.hz(i + 1));
          ends.add(end(above, value, f, next >= 0 ? -1 : 1));
        } else if (here < 0 && mayReach(table, branch, i, here, next)) {
          double f =
              Extremum.highest(
                  above, table.hz(i), 0.5 * (table.hz(i) + table.hz(i + 1)), table.hz(i + 1));
          if (above.applyAsDouble(f) > 0) {
            double rise = solver.solve(200, above::applyAsDouble, table.hz(i), f);
            ends.add(end(above, value, rise, -1));
            double fall = solver.solve(200, above::applyAsDouble, f, table.hz(i + 1));
            ends.add(end(above, value, fall, 1));
          }
        }
      }
    }
    return new SingleLimits(
        ends.stream().mapToDouble(e -> e[0]).toArray(),
        ends.stream().mapToDouble(e -> e[1]).toArray(),
        ends.stream().mapToInt(e -> (int) e[2]).toArray());
  }

  /** Below the level at both ends, but so little that the bend in between may lift it above. */
  private static boolean mayReach(BranchTable table, int branch, int i, double here, double next) {
    double change =
        Math.hypot(
            table.re(branch, i + 1) - table.re(branch, i),
            table.im(branch, i + 1) - table.im(branch, i));
    return -Math.max(here, next) < 0.25 * change;
  }

  private static double[] end(DoubleUnaryOperator above, double[] value, double f, int sign) {
    above.applyAsDouble(f);
    return new double[] {f, Math.atan2(value[1], value[0]), sign};
  }

  /** Unstable pairs with one delay. */
  int unstablePairs(double delayS) {
    int pairs = 0;
    for (int i = 0; i < hz.length; i++) {
      pairs += sign[i] * (int) Math.floor(hz[i] * delayS - 0.5 - angle[i] / Math.PI);
    }
    return pairs;
  }
}
