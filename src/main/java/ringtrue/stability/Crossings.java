package ringtrue.stability;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.function.DoubleUnaryOperator;
import org.apache.commons.math3.analysis.solvers.BrentSolver;

/**
 * Finds every depth at which a cut with given delays is at a limit.
 *
 * <p>A pair of characteristic roots lies on the imaginary axis where {@code 1/b = λ(f) R(f)} is
 * real and positive. As b grows, the pair moves to the unstable side if the imaginary part of λR
 * falls through zero with rising frequency, and to the stable side if it rises. Without depth
 * everything is stable, so counting the crossings below a depth gives the number of unstable pairs
 * there.
 *
 * <p>With one delay T the condition is {@code u(f) = fT − ½ − arg λ/π = k}, k whole: u hardly
 * bends, so the nodes need to follow λ only and any number of waves may lie between two of them.
 */
final class Crossings {
  /** Waves between cuts over the whole band beyond which single lobes no longer matter. */
  static final int MOST_WAVES = 20_000;

  private static final int NODES_PER_WAVE = 24;

  private final BranchTable table;
  private final Regeneration regeneration;
  private final double largestDepthM;
  private final double weakest;
  private final List<Crossing> found = new ArrayList<>();
  private final BrentSolver solver = new BrentSolver(1e-15, 1e-13, 1e-16);
  private final double[] value = new double[RegenerativeLoop.ROOM];
  private final double[] factor = new double[2];

  private Crossings(BranchTable table, Regeneration regeneration, double largestDepthM) {
    this.table = table;
    this.regeneration = regeneration;
    this.largestDepthM = largestDepthM;
    this.weakest = 0.5 / largestDepthM;
  }

  /**
   * All crossings up to a depth, sorted by depth; empty optional if the delays are so long that
   * there are too many to tell apart.
   */
  static Optional<List<Crossing>> upTo(
      BranchTable table, Regeneration regeneration, double largestDepthM) {
    Crossings search = new Crossings(table, regeneration, largestDepthM);
    if (search.waves() > MOST_WAVES) {
      return Optional.empty();
    }
    for (int branch = 0; branch < BranchTable.BRANCHES; branch++) {
      if (regeneration.single()) {
        search.oneDelay(branch);
      } else {
        search.severalDelays(branch);
      }
    }
    search.found.sort(
        Comparator.comparingDouble(Crossing::depthM)
            .thenComparingInt(c -> c.destabilising() ? 0 : 1));
    return Optional.of(search.found);
  }

  /** Waves between cuts over all frequencies that matter up to a depth. */
  static double wavesUpTo(BranchTable table, Regeneration regeneration, double largestDepthM) {
    return new Crossings(table, regeneration, largestDepthM).waves();
  }

  private double waves() {
    double sum = 0;
    for (int branch = 0; branch < BranchTable.BRANCHES; branch++) {
      for (int i = 0; i + 1 < table.nodes(); i++) {
        if (matters(branch, i)) {
          sum += (table.hz(i + 1) - table.hz(i)) * regeneration.longestS();
        }
      }
    }
    return sum;
  }

  /**
   * A limit needs Re λ ≥ 1/(2b), whatever the delays; a tenth is left for the bend in between.
   * Process damping does not lower that: with 1/G = A + iB it turns B > 0 into a larger one, and
   * the real part A/(A² + B²) only becomes smaller in size.
   */
  private boolean matters(int branch, int i) {
    return Math.max(table.re(branch, i), table.re(branch, i + 1)) >= 0.9 * weakest;
  }

  // One delay -------------------------------------------------------------------------------------

  private void oneDelay(int branch) {
    double delay = regeneration.longestS();
    double[] angle = table.angles(branch);
    for (int i = 0; i + 1 < table.nodes(); i++) {
      if (!matters(branch, i)) {
        continue;
      }
      double middle = angle[i];
      double next = near(angle[i + 1], middle);
      double ua = waves(table.hz(i), delay, middle);
      double ub = waves(table.hz(i + 1), delay, next);
      double bend = Math.abs(next - middle) / Math.PI;
      double turn = turningPoint(branch, i, delay, middle, bend, ua, ub);
      if (Double.isNaN(turn)) {
        wholeWaves(branch, i, delay, middle, table.hz(i), ua, table.hz(i + 1), ub);
      } else {
        double um = waves(branch, i, turn, delay, middle);
        wholeWaves(branch, i, delay, middle, table.hz(i), ua, turn, um);
        wholeWaves(branch, i, delay, middle, turn, um, table.hz(i + 1), ub);
      }
    }
  }

  private static double near(double angle, double to) {
    if (angle - to > Math.PI) {
      return angle - 2 * Math.PI;
    }
    return angle - to < -Math.PI ? angle + 2 * Math.PI : angle;
  }

  private static double waves(double f, double delay, double angle) {
    return f * delay - 0.5 - angle / Math.PI;
  }

  private double waves(int branch, int i, double f, double delay, double nearAngle) {
    table.at(branch, i, f, value);
    return waves(f, delay, near(Math.atan2(value[1], value[0]), nearAngle));
  }

  /**
   * Where u turns back inside the interval and reaches a whole number that the ends do not show;
   * NaN if it does not. Slopes at the ends are taken from a thousandth of the interval.
   */
  private double turningPoint(
      int branch, int i, double delay, double middle, double bend, double ua, double ub) {
    double fa = table.hz(i);
    double fb = table.hz(i + 1);
    double small = 1e-3 * (fb - fa);
    double rise = (fb - fa) * delay;
    double highest = Math.max(ua, ub);
    double lowest = Math.min(ua, ub);
    double most = 2 * (bend + rise) + 0.01;
    if (Math.floor(highest + most) == Math.floor(highest)
        && Math.floor(lowest - most) == Math.floor(lowest)) {
      return Double.NaN; // no whole number within reach
    }
    double slopeA = waves(branch, i, fa + small, delay, middle) - ua;
    double slopeB = ub - waves(branch, i, fb - small, delay, middle);
    if (slopeA * slopeB >= 0) {
      return Double.NaN;
    }
    double sign = Math.signum(slopeA);
    DoubleUnaryOperator u = f -> sign * waves(branch, i, f, delay, middle);
    double turn = Extremum.highest(u, fa, 0.5 * (fa + fb), fb);
    double um = waves(branch, i, turn, delay, middle);
    boolean reaches =
        sign > 0 ? Math.floor(um) > Math.floor(highest) : Math.floor(um) < Math.floor(lowest);
    return reaches ? turn : Double.NaN;
  }

  private void wholeWaves(
      int branch, int i, double delay, double middle, double fa, double ua, double fb, double ub) {
    int from = (int) Math.floor(Math.min(ua, ub));
    int to = (int) Math.floor(Math.max(ua, ub));
    for (int k = from + 1; k <= to; k++) {
      int whole = k;
      double f = root(f1 -> waves(branch, i, f1, delay, middle) - whole, fa, ua - k, fb, ub - k);
      table.at(branch, i, f, value);
      keep(f, 0.5 / value[0], ub > ua, k);
    }
  }

  // Several delays, or process damping ------------------------------------------------------------

  private void severalDelays(int branch) {
    for (int i = 0; i + 1 < table.nodes(); i++) {
      if (!matters(branch, i)) {
        continue;
      }
      int node = i;
      double fa = table.hz(i);
      double fb = table.hz(i + 1);
      int pieces =
          Math.max(2, (int) Math.ceil((fb - fa) * regeneration.longestS() * NODES_PER_WAVE));
      double step = (fb - fa) / pieces;
      double before = imaginary(branch, i, fa);
      double slopeBefore = imaginary(branch, i, fa + 1e-3 * step) - before;
      for (int p = 1; p <= pieces; p++) {
        double from = fa + (p - 1) * step;
        double to = p == pieces ? fb : fa + p * step;
        double now = imaginary(branch, i, to);
        double slopeNow = now - imaginary(branch, i, to - 1e-3 * step);
        if ((before < 0) != (now < 0)) {
          realValue(branch, i, from, before, to, now);
        } else if (towardsZeroAndBack(before, slopeBefore, slopeNow)) {
          double sign = before < 0 ? 1 : -1;
          double turn =
              Extremum.highest(f -> sign * imaginary(branch, node, f), from, 0.5 * (from + to), to);
          double there = imaginary(branch, i, turn);
          if ((there < 0) != (before < 0)) {
            realValue(branch, i, from, before, turn, there);
            realValue(branch, i, turn, there, to, now);
          }
        }
        before = now;
        slopeBefore = slopeNow;
      }
    }
  }

  private static boolean towardsZeroAndBack(double value, double slopeA, double slopeB) {
    return value < 0 ? slopeA > 0 && slopeB < 0 : slopeA < 0 && slopeB > 0;
  }

  private double imaginary(int branch, int i, double f) {
    table.at(branch, i, f, value);
    regeneration.at(f, factor);
    return value[0] * factor[1] + value[1] * factor[0];
  }

  private void realValue(int branch, int i, double fa, double a, double fb, double b) {
    double f = root(f1 -> imaginary(branch, i, f1), fa, a, fb, b);
    table.at(branch, i, f, value);
    regeneration.at(f, factor);
    keep(f, 1 / (value[0] * factor[0] - value[1] * factor[1]), b < a, regeneration.lobe(f));
  }

  // Both ------------------------------------------------------------------------------------------

  private double root(DoubleUnaryOperator f, double fa, double a, double fb, double b) {
    if (a == 0) {
      return fa;
    }
    if (b == 0 || Math.signum(a) == Math.signum(b)) {
      return fb;
    }
    return solver.solve(200, f::applyAsDouble, fa, fb);
  }

  private void keep(double f, double depth, boolean destabilising, int lobe) {
    if (depth > 0 && depth <= largestDepthM) {
      found.add(new Crossing(f, depth, destabilising, lobe));
    }
  }

  /** Unstable pairs at a depth, from all crossings below it. */
  static int unstablePairs(List<Crossing> crossings, double depthM) {
    int pairs = 0;
    for (Crossing c : crossings) {
      if (c.depthM() < depthM) {
        pairs += c.destabilising() ? 1 : -1;
      }
    }
    return pairs;
  }

  /** The line of a map: limit, stable stretches, and how stability is lost. */
  static StabilityMap.Line line(double speedRpm, List<Crossing> crossings, double maxM) {
    List<StabilityMap.Interval> stable = new ArrayList<>();
    Crossing first = null;
    int pairs = 0;
    double from = 0;
    for (Crossing c : crossings) {
      if (c.depthM() >= maxM) {
        break;
      }
      if (pairs == 0) {
        if (c.depthM() > from) {
          stable.add(new StabilityMap.Interval(from, c.depthM()));
        }
        if (first == null) {
          first = c;
        }
      }
      pairs += c.destabilising() ? 1 : -1;
      if (pairs == 0) {
        from = c.depthM();
      }
    }
    if (pairs == 0 && maxM > from) {
      stable.add(new StabilityMap.Interval(from, maxM));
    }
    return first == null
        ? new StabilityMap.Line(speedRpm, maxM, stable, StabilityMap.Loss.NONE, Double.NaN, -1)
        : new StabilityMap.Line(
            speedRpm,
            first.depthM(),
            stable,
            StabilityMap.Loss.HOPF,
            first.frequencyHz(),
            first.lobe());
  }
}
