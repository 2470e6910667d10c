package ringtrue.stability;

import java.util.ArrayList;
import java.util.List;

/**
 * Eigenvalues of a {@link RegenerativeLoop} over frequency, each followed from node to node so that
 * it is one smooth curve.
 */
final class BranchTable {
  static final int BRANCHES = 2;
  private static final int DEEPEST = 14;
  private static final double TOLERANCE = 0.01;

  private final RegenerativeLoop loop;
  private final double[] hz;
  private final double[][] re = new double[BRANCHES][];
  private final double[][] im = new double[BRANCHES][];
  private volatile double[][] angle; // worked out when first asked for; any thread may do it

  private BranchTable(RegenerativeLoop loop, double[] hz, List<double[]> values) {
    this.loop = loop;
    this.hz = hz;
    for (int b = 0; b < BRANCHES; b++) {
      re[b] = new double[hz.length];
      im[b] = new double[hz.length];
    }
    double[] before = null;
    for (int i = 0; i < hz.length; i++) {
      double[] now = values.get(i);
      if (before != null && crossed(before, now)) {
        now = new double[] {now[2], now[3], now[0], now[1]};
      }
      re[0][i] = now[0];
      im[0][i] = now[1];
      re[1][i] = now[2];
      im[1][i] = now[3];
      before = now;
    }
  }

  /**
   * A table with extra nodes wherever a curve bends by more than a hundredth of its size between
   * them.
   *
   * @param weakest size of an eigenvalue that still matters, 1/m: 1/(2b) of the largest depth b
   */
  static BranchTable refined(RegenerativeLoop loop, double[] nodesHz, double weakest) {
    List<double[]> values = new ArrayList<>();
    List<Double> at = new ArrayList<>();
    double[] left = null;
    for (int i = 0; i < nodesHz.length; i++) {
      double[] right = evaluate(loop, nodesHz[i]);
      if (left != null) {
        between(loop, nodesHz[i - 1], left, nodesHz[i], right, weakest, DEEPEST, at, values);
      }
      at.add(nodesHz[i]);
      values.add(right);
      left = right;
    }
    return new BranchTable(loop, at.stream().mapToDouble(f -> f).toArray(), values);
  }

  private static void between(
      RegenerativeLoop loop,
      double fa,
      double[] a,
      double fb,
      double[] b,
      double weakest,
      int deepest,
      List<Double> at,
      List<double[]> values) {
    double largest =
        Math.max(Math.max(Math.hypot(a[0], a[1]), Math.hypot(a[2], a[3])), hypotMax(b));
    double fm = 0.5 * (fa + fb);
    if (deepest == 0 || largest < 0.5 * weakest || !(fm > fa && fm < fb)) {
      return;
    }
    double[] m = evaluate(loop, fm);
    boolean swap = crossed(a, b);
    double b0 = swap ? b[2] : b[0];
    double b1 = swap ? b[3] : b[1];
    double b2 = swap ? b[0] : b[2];
    double b3 = swap ? b[1] : b[3];
    double[] line = {0.5 * (a[0] + b0), 0.5 * (a[1] + b1), 0.5 * (a[2] + b2), 0.5 * (a[3] + b3)};
    int first = crossed(line, m) ? 2 : 0;
    boolean bent =
        Math.hypot(line[0] - m[first], line[1] - m[first + 1])
                > TOLERANCE * Math.max(Math.hypot(m[first], m[first + 1]), weakest)
            || Math.hypot(line[2] - m[2 - first], line[3] - m[3 - first])
                > TOLERANCE * Math.max(Math.hypot(m[2 - first], m[3 - first]), weakest);
    if (bent) {
      between(loop, fa, a, fm, m, weakest, deepest - 1, at, values);
    }
    at.add(fm);
    values.add(m);
    if (bent) {
      between(loop, fm, m, fb, b, weakest, deepest - 1, at, values);
    }
  }

  private static double hypotMax(double[] v) {
    return Math.max(Math.hypot(v[0], v[1]), Math.hypot(v[2], v[3]));
  }

  private static double[] evaluate(RegenerativeLoop loop, double hz) {
    double[] into = new double[RegenerativeLoop.ROOM];
    loop.at(hz, into);
    return into;
  }

  /** Whether the two curves have changed places between two neighbouring pairs of values. */
  private static boolean crossed(double[] before, double[] now) {
    return Math.hypot(before[0] - now[2], before[1] - now[3])
            + Math.hypot(before[2] - now[0], before[3] - now[1])
        < Math.hypot(before[0] - now[0], before[1] - now[1])
            + Math.hypot(before[2] - now[2], before[3] - now[3]);
  }

  RegenerativeLoop loop() {
    return loop;
  }

  int nodes() {
    return hz.length;
  }

  double hz(int node) {
    return hz[node];
  }

  double re(int branch, int node) {
    return re[branch][node];
  }

  double im(int branch, int node) {
    return im[branch][node];
  }

  /** Argument of the eigenvalue at each node of a branch, rad, −π to π. */
  double[] angles(int branch) {
    double[][] known = angle;
    if (known == null) {
      known = new double[BRANCHES][hz.length];
      for (int b = 0; b < BRANCHES; b++) {
        for (int i = 0; i < hz.length; i++) {
          known[b][i] = Math.atan2(im[b][i], re[b][i]);
        }
      }
      angle = known;
    }
    return known[branch];
  }

  /**
   * One branch at a frequency between node i and the next: of the two eigenvalues the one nearer to
   * the straight line between the nodes.
   *
   * @param into room for {@link RegenerativeLoop#ROOM} numbers; real and imaginary part come first
   */
  void at(int branch, int i, double f, double[] into) {
    loop.at(f, into);
    double part = (f - hz[i]) / (hz[i + 1] - hz[i]);
    double lineRe = re[branch][i] + part * (re[branch][i + 1] - re[branch][i]);
    double lineIm = im[branch][i] + part * (im[branch][i + 1] - im[branch][i]);
    double first = square(into[0] - lineRe) + square(into[1] - lineIm);
    double second = square(into[2] - lineRe) + square(into[3] - lineIm);
    if (second < first) {
      into[0] = into[2];
      into[1] = into[3];
    }
  }

  private static double square(double v) {
    return v * v;
  }

  /**
   * The largest real part of any eigenvalue, 1/m; 0 if none is positive. Half its inverse is the
   * depth below which no speed chatters.
   */
  double largestRealPart() {
    double most = 0;
    double[] into = new double[RegenerativeLoop.ROOM];
    for (int branch = 0; branch < BRANCHES; branch++) {
      for (int i = 0; i < nodes(); i++) {
        double here = re[branch][i];
        boolean peak =
            (i == 0 || here >= re[branch][i - 1])
                && (i + 1 == nodes() || here >= re[branch][i + 1]);
        if (peak && here > 0 && here > 0.95 * most) {
          most = Math.max(most, here);
          if (i > 0 && i + 1 < nodes()) {
            int b = branch;
            int middle = i;
            double best =
                Extremum.highest(
                    f -> {
                      at(b, f < hz[middle] ? middle - 1 : middle, f, into);
                      return into[0];
                    },
                    hz[i - 1],
                    hz[i],
                    hz[i + 1]);
            at(b, best < hz[i] ? i - 1 : i, best, into);
            most = Math.max(most, into[0]);
          }
        }
      }
    }
    return most;
  }

  /** Frequency of the largest real part, to the nearest node, Hz; NaN if none is positive. */
  double frequencyOfLargestRealPart() {
    double most = 0;
    double at = Double.NaN;
    for (int branch = 0; branch < BRANCHES; branch++) {
      for (int i = 0; i < nodes(); i++) {
        if (re[branch][i] > most) {
          most = re[branch][i];
          at = hz[i];
        }
      }
    }
    return at;
  }
}
