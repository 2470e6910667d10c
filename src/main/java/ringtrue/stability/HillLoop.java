package ringtrue.stability;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;

/**
 * The multi-frequency equation of a milling cut at one speed: {@code det(I − b M(ω)) = 0} with
 * {@code M} from {@link HarmonicStructure} and {@link HarmonicCoupling}, a truncated Hill
 * determinant. The frequency ω runs from 0 to half the base frequency Ω; every other one is an
 * alias of it.
 *
 * <p>A pair of multipliers lies on the unit circle at depth b where {@code 1/b} is an eigenvalue of
 * M; at ω = Ω/2 it is one at −1. As b grows it goes to the unstable side if the eigenvalue's
 * imaginary part falls through zero with rising ω, as in {@link Crossings}.
 */
final class HillLoop {
  /** Part of Ω/2 below which the end of the range is looked at for the way a flip goes. */
  private static final double BESIDE = 2e-4;

  private static final int UNIFORM_NODES = 10;
  private static final int DEEPEST = 16;

  private final HarmonicStructure structure;
  private final HarmonicCoupling coupling;
  private final double baseHz;
  private final double turnS;

  /**
   * A depth at which multipliers lie on the unit circle.
   *
   * @param hz ω/2π, 0 to Ω/4π
   * @param depthM the depth, m
   * @param change multipliers that leave the unit circle there as the depth grows: 2, 1, −1 or −2
   * @param flip whether one lies at −1
   */
  record Crossing(double hz, double depthM, int change, boolean flip) {}

  /**
   * The motion at a limit and what it depends on.
   *
   * @param re the eigenvalue, real part, 1/m
   * @param im imaginary part
   * @param hz frequency of each harmonic, Hz; where negative the receptance counts with its
   *     conjugate
   * @param displacement size of each harmonic, relative to each other
   * @param weight for each harmonic {@code dμ/dG} for xx, yy and xy, real and imaginary parts
   */
  record Shape(double re, double im, double[] hz, double[] displacement, double[][] weight) {

    /** The harmonic with the largest displacement. */
    int loudest() {
      int most = 0;
      for (int k = 1; k < displacement.length; k++) {
        most = displacement[k] > displacement[most] ? k : most;
      }
      return most;
    }
  }

  HillLoop(HarmonicStructure structure, HarmonicCoupling coupling, double speedRpm) {
    this.structure = structure;
    this.coupling = coupling;
    this.turnS = 60 / speedRpm;
    this.baseHz = coupling.perTurn() / turnS;
  }

  /** Ω/2π, Hz. */
  double baseHz() {
    return baseHz;
  }

  // The matrix ------------------------------------------------------------------------------------

  /** The reduced matrix at ω/2π = hz; its eigenvalues are those of M that are not zero, 1/m. */
  ComplexMatrix at(double hz) {
    int[] axes = coupling.axes();
    int c = axes.length;
    int count = coupling.count();
    int n = c * count;
    double[][] g = receptances(hz);
    int rank = coupling.rank();
    ComplexMatrix m = new ComplexMatrix(rank);
    int column = 0;
    for (int right = 0; right < coupling.groupCount(); right++) {
      ComplexMatrix.Factors u = coupling.group(right);
      double[] tr = new double[n * u.rank()];
      double[] ti = new double[n * u.rank()];
      for (int k = 0; k < count; k++) {
        for (int a = 0; a < c; a++) {
          for (int b = 0; b < c; b++) {
            int d = a == b ? axes[a] : HarmonicStructure.XY;
            double gr = g[k][2 * d];
            double gi = g[k][2 * d + 1];
            if (gr == 0 && gi == 0) {
              continue;
            }
            int to = (c * k + a) * u.rank();
            int from = (c * k + b) * u.rank();
            for (int r = 0; r < u.rank(); r++) {
              double ur = u.uRe()[from + r];
              double ui = u.uIm()[from + r];
              tr[to + r] += gr * ur - gi * ui;
              ti[to + r] += gr * ui + gi * ur;
            }
          }
        }
      }
      int row = 0;
      for (int left = 0; left < coupling.groupCount(); left++) {
        ComplexMatrix.Factors w = coupling.group(left);
        double[][] delay = delays(left, hz);
        if (coupling.groupCount() == 1 && w.rank() == n) {
          return delayed(n, tr, ti, delay);
        }
        for (int i = 0; i < w.rank(); i++) {
          int out = (row + i) * rank + column;
          for (int k = 0; k < n; k++) {
            double dr = delay[0][k / c];
            double di = delay[1][k / c];
            double wr = w.wRe()[i * n + k];
            double wi = w.wIm()[i * n + k];
            double vr = wr * dr - wi * di;
            double vi = wr * di + wi * dr;
            add(m.re, m.im, out, vr, vi, tr, ti, k * u.rank(), u.rank());
          }
        }
        row += w.rank();
      }
      column += u.rank();
    }
    return m;
  }

  /** Adds a multiple of a part of one complex array to a part of another. */
  private static void add(
      double[] toRe,
      double[] toIm,
      int to,
      double vr,
      double vi,
      double[] fromRe,
      double[] fromIm,
      int from,
      int length) {
    for (int r = 0; r < length; r++) {
      toRe[to + r] += vr * fromRe[from + r] - vi * fromIm[from + r];
    }
    for (int r = 0; r < length; r++) {
      toIm[to + r] += vr * fromIm[from + r] + vi * fromRe[from + r];
    }
  }

  /** Where nothing is gained by the narrow form, W is the unit matrix: rows times their delay. */
  private static ComplexMatrix delayed(int n, double[] tr, double[] ti, double[][] delay) {
    ComplexMatrix m = new ComplexMatrix(n);
    double dr = delay[0][0]; // one delay: the same for every harmonic
    double di = delay[1][0];
    for (int i = 0; i < n * n; i++) {
      m.re[i] = dr * tr[i] - di * ti[i];
      m.im[i] = dr * ti[i] + di * tr[i];
    }
    return m;
  }

  /** Receptances of every harmonic, conjugate where its frequency is negative. */
  private double[][] receptances(double hz) {
    double[][] g = new double[coupling.count()][HarmonicStructure.ROOM];
    double[] scratch = new double[2];
    for (int k = 0; k < g.length; k++) {
      double f = frequency(hz, k);
      structure.at(Math.abs(f), g[k], scratch);
      if (f < 0) {
        for (int i = 1; i < HarmonicStructure.ROOM; i += 2) {
          g[k][i] = -g[k][i];
        }
      }
    }
    return g;
  }

  private double frequency(double hz, int k) {
    return hz + (coupling.lowest() + k) * baseHz;
  }

  /** 1 − e^(−iωτ) of a group for every harmonic. */
  private double[][] delays(int group, double hz) {
    int count = coupling.count();
    double[][] d = new double[2][count];
    double turns = coupling.delayTurns(group);
    for (int k = 0; k < count; k++) {
      // With one delay a whole number of turns more or less makes no difference.
      double f = coupling.oneDelay() ? hz : frequency(hz, k);
      double angle = 2 * Math.PI * f * turnS * turns;
      double half = Math.sin(0.5 * angle);
      d[0][k] = 2 * half * half;
      d[1][k] = Math.sin(angle);
    }
    return d;
  }

  /**
   * Motion and sensitivities for an eigenvalue near a value.
   *
   * @return null if there is none to be found
   */
  Shape shape(double hz, double mu) {
    ComplexMatrix.Eigen eigen = at(hz).near(mu, 0, true);
    if (eigen == null) {
      return null;
    }
    int[] axes = coupling.axes();
    int c = axes.length;
    int count = coupling.count();
    int n = c * count;
    double[] forceRe = new double[n];
    double[] forceIm = new double[n];
    double[] leftRe = new double[n];
    double[] leftIm = new double[n];
    double overRe = 0; // z^H y
    double overIm = 0;
    int row = 0;
    for (int group = 0; group < coupling.groupCount(); group++) {
      ComplexMatrix.Factors f = coupling.group(group);
      double[][] delay = delays(group, hz);
      for (int r = 0; r < f.rank(); r++) {
        double yr = eigen.rightRe()[row + r];
        double yi = eigen.rightIm()[row + r];
        double zr = eigen.leftRe()[row + r];
        double zi = -eigen.leftIm()[row + r];
        overRe += zr * yr - zi * yi;
        overIm += zr * yi + zi * yr;
        for (int k = 0; k < n; k++) {
          double ur = f.uRe()[k * f.rank() + r];
          double ui = f.uIm()[k * f.rank() + r];
          forceRe[k] += ur * yr - ui * yi;
          forceIm[k] += ur * yi + ui * yr;
          double wr = f.wRe()[r * n + k];
          double wi = f.wIm()[r * n + k];
          double vr = wr * delay[0][k / c] - wi * delay[1][k / c];
          double vi = wr * delay[1][k / c] + wi * delay[0][k / c];
          leftRe[k] += zr * vr - zi * vi;
          leftIm[k] += zr * vi + zi * vr;
        }
      }
      row += f.rank();
    }
    double over = overRe * overRe + overIm * overIm;
    double[][] g = receptances(hz);
    double[] at = new double[count];
    double[] displacement = new double[count];
    double[][] weight = new double[count][HarmonicStructure.ROOM];
    for (int k = 0; k < count; k++) {
      at[k] = frequency(hz, k);
      double sum = 0;
      for (int a = 0; a < c; a++) {
        double re = 0;
        double im = 0;
        for (int b = 0; b < c; b++) {
          int d = a == b ? axes[a] : HarmonicStructure.XY;
          double fr = forceRe[c * k + b];
          double fi = forceIm[c * k + b];
          re += g[k][2 * d] * fr - g[k][2 * d + 1] * fi;
          im += g[k][2 * d] * fi + g[k][2 * d + 1] * fr;
          double pr = leftRe[c * k + a] * fr - leftIm[c * k + a] * fi;
          double pi = leftRe[c * k + a] * fi + leftIm[c * k + a] * fr;
          weight[k][2 * d] += (pr * overRe + pi * overIm) / over;
          weight[k][2 * d + 1] += (pi * overRe - pr * overIm) / over;
        }
        sum += re * re + im * im;
      }
      displacement[k] = Math.sqrt(sum);
    }
    return new Shape(eigen.re(), eigen.im(), at, displacement, weight);
  }

  /**
   * Slope of the eigenvalue that is μ at a frequency, 1/m per Hz, from a step to both sides.
   *
   * @return real and imaginary part; null if it cannot be followed
   */
  double[] slope(double hz, double mu, double stepHz) {
    double small = 1e-2 * stepHz;
    double[] near = difference(hz, mu, new double[2], small);
    return near == null ? null : difference(hz, mu, near, stepHz);
  }

  private double[] difference(double hz, double mu, double[] slope, double step) {
    ComplexMatrix.Eigen up = at(hz + step).near(mu + slope[0] * step, slope[1] * step, false);
    ComplexMatrix.Eigen down = at(hz - step).near(mu - slope[0] * step, -slope[1] * step, false);
    return up == null || down == null
        ? null
        : new double[] {(up.re() - down.re()) / (2 * step), (up.im() - down.im()) / (2 * step)};
  }

  // Where to look ---------------------------------------------------------------------------------

  /** The structure's frequencies folded into 0 … Ω/2, with a few in between, rising. */
  double[] nodes(int uniform) {
    double half = 0.5 * baseHz;
    double end = half * (1 - BESIDE);
    List<Double> all = new ArrayList<>();
    for (int i = 0; i <= uniform; i++) {
      all.add(end * i / uniform);
    }
    for (double knot : structure.knotsHz()) {
      double rest = knot % baseHz;
      double folded = rest > half ? baseHz - rest : rest;
      if (folded < end) {
        all.add(folded);
      }
    }
    double[] sorted = all.stream().mapToDouble(f -> f).sorted().toArray();
    int kept = 1;
    for (int i = 1; i < sorted.length; i++) {
      if (sorted[i] > sorted[kept - 1] + 2e-3 * half || i == sorted.length - 1) {
        sorted[kept++] = sorted[i];
      }
    }
    return java.util.Arrays.copyOf(sorted, kept);
  }

  double[] nodes() {
    return nodes(UNIFORM_NODES);
  }

  // Counting at one depth -------------------------------------------------------------------------

  /**
   * Multipliers outside the unit circle at a depth: turns of {@code det(I − bM)} along the
   * imaginary axis (argument principle; without depth nothing is unstable).
   */
  int unstable(double depthM, double[] nodesHz) {
    double half = 0.5 * baseHz;
    double turned = 0;
    double at = nodesHz[0];
    double[] before = at(at).determinantOfOneMinus(depthM);
    for (int i = 1; i <= nodesHz.length; i++) {
      double next = i == nodesHz.length ? half : nodesHz[i];
      double[] now = at(next).determinantOfOneMinus(depthM);
      turned += turn(depthM, at, before, next, now, DEEPEST);
      before = now;
      at = next;
    }
    return (int) Math.round(-turned / Math.PI);
  }

  private double turn(double depthM, double fa, double[] a, double fb, double[] b, int deepest) {
    double along = a[0] * b[0] + a[1] * b[1];
    double across = a[0] * b[1] - a[1] * b[0];
    boolean close = along > 0.5 && Math.abs(a[2] - b[2]) < 1.5;
    if (close || deepest == 0) {
      return Math.atan2(across, along);
    }
    double fm = 0.5 * (fa + fb);
    double[] m = at(fm).determinantOfOneMinus(depthM);
    return turn(depthM, fa, a, fm, m, deepest - 1) + turn(depthM, fm, m, fb, b, deepest - 1);
  }

  // Every limit -----------------------------------------------------------------------------------

  /** Eigenvalues that matter at one frequency. */
  private record Values(double hz, double[] re, double[] im) {}

  private Values values(double hz, double least) {
    double[][] all = at(hz).eigenvalues();
    int n = 0;
    for (int i = 0; i < all[0].length; i++) {
      if (Math.hypot(all[0][i], all[1][i]) > least) {
        all[0][n] = all[0][i];
        all[1][n] = all[1][i];
        n++;
      }
    }
    return new Values(hz, java.util.Arrays.copyOf(all[0], n), java.util.Arrays.copyOf(all[1], n));
  }

  /** All crossings up to a depth, sorted by depth. */
  List<Crossing> crossings(double[] nodesHz, double maxM) {
    double least = 0.3 / maxM;
    List<Crossing> found = new ArrayList<>();
    Values before = values(nodesHz[0], least);
    for (int i = 1; i < nodesHz.length; i++) {
      Values now = values(nodesHz[i], least);
      between(before, now, maxM, DEEPEST, found);
      before = now;
    }
    flips(before, maxM, found);
    found.sort(Comparator.comparingDouble(Crossing::depthM).thenComparingInt(c -> -c.change()));
    return found;
  }

  /** Matches the eigenvalues of two frequencies and halves the step until the match is plain. */
  private void between(Values a, Values b, double maxM, int deepest, List<Crossing> found) {
    int[] match = match(a, b);
    boolean split = false;
    for (int i = 0; i < match.length && !split; i++) {
      if (match[i] < 0) {
        split =
            nearAxis(a.re[i], a.im[i], a.re[i], a.im[i], 0.3 * Math.hypot(a.re[i], a.im[i]), maxM);
        continue;
      }
      int j = match[i];
      double move = Math.hypot(a.re[i] - b.re[j], a.im[i] - b.im[j]);
      double size = Math.max(Math.hypot(a.re[i], a.im[i]), Math.hypot(b.re[j], b.im[j]));
      if (nearAxis(a.re[i], a.im[i], b.re[j], b.im[j], move, maxM)) {
        split = move > 0.25 * size || rival(a, b, i, j) < 2 * move;
      }
    }
    if (split && deepest > 0) {
      double fm = 0.5 * (a.hz + b.hz);
      Values m = values(fm, 0.3 / maxM);
      between(a, m, maxM, deepest - 1, found);
      between(m, b, maxM, deepest - 1, found);
      return;
    }
    for (int i = 0; i < match.length; i++) {
      if (match[i] >= 0 && (a.im[i] > 0) != (b.im[match[i]] > 0)) {
        int j = match[i];
        if (nearAxis(a.re[i], a.im[i], b.re[j], b.im[j], 0, maxM)) {
          cross(a.hz, a.re[i], a.im[i], b.hz, b.re[j], b.im[j], maxM, found);
        }
      }
    }
  }

  /**
   * Whether the straight way between two values comes as near to the limits up to maxM as given.
   */
  private static boolean nearAxis(
      double aRe, double aIm, double bRe, double bIm, double within, double maxM) {
    if (Math.max(aRe, bRe) + within < 0.9 / maxM) {
      return false;
    }
    return Math.signum(aIm) != Math.signum(bIm) || Math.min(Math.abs(aIm), Math.abs(bIm)) <= within;
  }

  /** Distance to the nearest other value that the matched pair could be mistaken for. */
  private static double rival(Values a, Values b, int i, int j) {
    double nearest = Double.POSITIVE_INFINITY;
    for (int k = 0; k < b.re.length; k++) {
      if (k != j) {
        nearest = Math.min(nearest, Math.hypot(a.re[i] - b.re[k], a.im[i] - b.im[k]));
      }
    }
    for (int k = 0; k < a.re.length; k++) {
      if (k != i) {
        nearest = Math.min(nearest, Math.hypot(a.re[k] - b.re[j], a.im[k] - b.im[j]));
      }
    }
    return nearest;
  }

  /**
   * For each value of a the one of b that continues it, nearest pairs first; −1 where none is left.
   */
  private static int[] match(Values a, Values b) {
    int na = a.re.length;
    int nb = b.re.length;
    int[] match = new int[na];
    java.util.Arrays.fill(match, -1);
    List<double[]> pairs = new ArrayList<>(na * nb);
    for (int i = 0; i < na; i++) {
      for (int j = 0; j < nb; j++) {
        pairs.add(new double[] {Math.hypot(a.re[i] - b.re[j], a.im[i] - b.im[j]), i, j});
      }
    }
    pairs.sort(Comparator.comparingDouble(p -> p[0]));
    boolean[] taken = new boolean[nb];
    for (double[] pair : pairs) {
      int i = (int) pair[1];
      int j = (int) pair[2];
      if (match[i] < 0 && !taken[j]) {
        match[i] = j;
        taken[j] = true;
      }
    }
    return match;
  }

  /** A change of sign of the imaginary part, refined. */
  private void cross(
      double fa,
      double aRe,
      double aIm,
      double fb,
      double bRe,
      double bIm,
      double maxM,
      List<Crossing> found) {
    double low = fa;
    double lowRe = aRe;
    double lowIm = aIm;
    double high = fb;
    double highRe = bRe;
    double highIm = bIm;
    double re = aRe;
    double f = fa;
    for (int round = 0; round < 60; round++) {
      double part = round % 3 == 2 ? 0.5 : lowIm / (lowIm - highIm);
      f = low + part * (high - low);
      double guessRe = lowRe + part * (highRe - lowRe);
      double guessIm = lowIm + part * (highIm - lowIm);
      ComplexMatrix.Eigen eigen = at(f).near(guessRe, guessIm, false);
      if (eigen == null) {
        re = guessRe;
        break;
      }
      re = eigen.re();
      if (Math.abs(eigen.im()) < 1e-9 * Math.abs(re) || high - low < 1e-12 * baseHz) {
        break;
      }
      if ((eigen.im() > 0) == (lowIm > 0)) {
        low = f;
        lowRe = eigen.re();
        lowIm = eigen.im();
      } else {
        high = f;
        highRe = eigen.re();
        highIm = eigen.im();
      }
    }
    if (re > 0 && 1 / re <= maxM) {
      found.add(new Crossing(f, 1 / re, aIm > bIm ? 2 : -2, false));
    }
  }

  /** Multipliers at −1: real eigenvalues at half the base frequency. */
  private void flips(Values before, double maxM, List<Crossing> found) {
    Values end = values(0.5 * baseHz, 0.3 / maxM);
    int[] match = match(end, before);
    for (int i = 0; i < match.length; i++) {
      boolean real = real(end, i);
      if (real && match[i] >= 0 && end.re[i] > 0 && 1 / end.re[i] <= maxM) {
        found.add(
            new Crossing(0.5 * baseHz, 1 / end.re[i], before.im[match[i]] > 0 ? 1 : -1, true));
      }
    }
  }

  /** Whether a value is real but for rounding, and not one of a pair close to the axis. */
  private static boolean real(Values all, int i) {
    double im = Math.abs(all.im[i]);
    if (im > 1e-4 * Math.hypot(all.re[i], im)) {
      return false;
    }
    double nearest = Double.POSITIVE_INFINITY;
    for (int j = 0; j < all.re.length; j++) {
      if (j != i) {
        nearest = Math.min(nearest, Math.hypot(all.re[i] - all.re[j], all.im[i] + all.im[j]));
      }
    }
    return nearest > 4 * im;
  }

  /**
   * The same crossing found again near where it was with other harmonics or another engagement.
   *
   * @return null if it is not there
   */
  Crossing again(Crossing from) {
    double mu = 1 / from.depthM();
    double im = 0;
    double f = from.hz();
    double step = 1e-4 * baseHz;
    if (from.flip()) {
      ComplexMatrix.Eigen eigen = at(f).near(mu, 0, false);
      return eigen == null || !(eigen.re() > 0)
          ? null
          : new Crossing(f, 1 / eigen.re(), from.change(), true);
    }
    double lastF = Double.NaN;
    double lastIm = Double.NaN;
    for (int round = 0; round < 30; round++) {
      ComplexMatrix.Eigen eigen = at(f).near(mu, im, false);
      if (eigen == null) {
        return null;
      }
      mu = eigen.re();
      im = eigen.im();
      if (Math.abs(im) < 1e-8 * Math.abs(mu)) {
        return mu > 0 ? new Crossing(f, 1 / mu, from.change(), false) : null;
      }
      double next;
      if (Double.isNaN(lastF)) {
        next = f + (f + step < 0.5 * baseHz ? step : -step);
      } else {
        double change = -im * (f - lastF) / (im - lastIm);
        double most = 0.02 * baseHz;
        next = f + Math.max(-most, Math.min(most, change));
      }
      if (!(next > 0 && next < 0.5 * baseHz)) {
        return null;
      }
      lastF = f;
      lastIm = im;
      f = next;
    }
    return null;
  }
}
