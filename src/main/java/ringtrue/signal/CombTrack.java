package ringtrue.signal;

import java.util.Arrays;
import ringtrue.dynamics.Progress;

/**
 * The speed of the spindle over time, from all lines of its comb: multiples of tooth passing, and
 * those of the turns themselves with less weight.
 *
 * <p>Each frame gives each speed the sum of log(1 + power/noise) over those tops of lines that fit
 * its comb; the track is the row of speeds with the largest sum that changes little from frame to
 * frame (Viterbi 1967). Within a line of the spectrum the tops of the lines then give the speed by
 * least squares, line k with the weight k², since an error of the top counts k times less there.
 */
final class CombTrack {
  /** Speeds that are looked at, times the stated one: load slows a spindle more than that lifts. */
  static final double SLOWEST = 0.85;

  static final double FASTEST = 1.05;

  /** As far as an unloaded frequency drive slips; beyond it a speed must earn its place. */
  private static final double USUAL = 0.02;

  private static final double HIGHEST_HZ = 8000;
  private static final int TOOTH_LINES = 12;
  private static final double RUNOUT_WEIGHT = 0.3;
  private static final double LOUDEST = 6;

  /** Tops of noise seldom rise further over it, as a logarithm; what does is counted from there. */
  private static final double NOISE = 1.5;

  /** What the line beside a top counts for. */
  private static final double BESIDE = 0.6;

  private static final int LARGEST_STEP = 3;
  private static final double STEP_COST = 1.5;
  private static final double PRIOR = 0.3;

  /** As far as a spindle under load usually falls behind; more is paid for by a loud line. */
  private static final double ORDINARY = 0.025;

  private static final double UNUSUAL = 7;
  private static final double FURTHER = 40;

  /** Lines to each side of the strongest that are looked at for side bands. */
  private static final int SIDES = 6;

  private static final int FEWEST_LONGER = 3;

  private static final double SIDE_WEIGHT = 0.8;
  private static final double LOWEST_HZ = 100;

  private final double[] spindleHz;
  private final double[] score;

  private CombTrack(double[] spindleHz, double[] score) {
    this.spindleHz = spindleHz;
    this.score = score;
  }

  /**
   * The track in frames, and again in some that are twice as long: a speed that keeps still shows
   * more lines there, one that does not shows fewer. The one whose speeds earn more is taken.
   *
   * @param longer of the same sound
   */
  static CombTrack of(SoundFrames frames, SoundFrames longer, StatedCut cut, Progress progress) {
    CombTrack own = of(frames, cut, progress);
    if (!cut.milling() || longer.count() < FEWEST_LONGER) {
      return own;
    }
    CombTrack other = of(longer, cut, progress);
    if (Arrays.stream(own.score).average().orElse(0)
        >= Arrays.stream(other.score).average().orElse(0)) {
      return own;
    }
    double[] hz = new double[frames.count()];
    for (int t = 0; t < hz.length; t++) {
      hz[t] = other.at(longer, frames.middleS(t));
    }
    return new CombTrack(hz, own.score);
  }

  static CombTrack of(SoundFrames frames, StatedCut cut, Progress progress) {
    int[] orders = orders(frames, cut);
    double[] weight = new double[orders.length];
    for (int i = 0; i < orders.length; i++) {
      weight[i] = orders[i] % cut.toothOrder() == 0 ? 1 : RUNOUT_WEIGHT;
    }
    double step = frames.binHz() / orders[orders.length - 1];
    int low = (int) Math.floor((SLOWEST - 1) * cut.spindleHz() / step);
    int high = (int) Math.ceil((FASTEST - 1) * cut.spindleHz() / step);
    int speeds = high - low + 1;
    int[][] line = new int[speeds][orders.length];
    double[] prior = new double[speeds];
    for (int j = 0; j < speeds; j++) {
      double hz = cut.spindleHz() + (low + j) * step;
      double off = hz / cut.spindleHz() - 1;
      prior[j] = prior(Math.abs(off), cut.milling());
      for (int i = 0; i < orders.length; i++) {
        line[j][i] =
            (int) Math.min(frames.bins() - 1.0, Math.rint(orders[i] * hz / frames.binHz()));
      }
    }
    double[][] best = new double[frames.count()][speeds];
    int[][] from = new int[frames.count()][speeds];
    double[][] own = new double[frames.count()][];
    for (int t = 0; t < frames.count(); t++) {
      if (t % 64 == 0) {
        progress.at((double) t / frames.count(), "following the spindle");
      }
      double[] loud = loudness(frames.frame(t), cut.milling() ? NOISE : 0);
      double[] here = new double[speeds];
      for (int j = 0; j < speeds; j++) {
        for (int i = 0; i < orders.length; i++) {
          here[j] += weight[i] * loud[line[j][i]];
        }
      }
      sides(frames, t, cut, low, step, loud, here);
      own[t] = here;
      for (int j = 0; j < speeds; j++) {
        double most = t == 0 ? 0 : Double.NEGATIVE_INFINITY;
        for (int d = -LARGEST_STEP; t > 0 && d <= LARGEST_STEP; d++) {
          int k = j + d;
          if (k >= 0 && k < speeds && best[t - 1][k] - STEP_COST * Math.abs(d) > most) {
            most = best[t - 1][k] - STEP_COST * Math.abs(d);
            from[t][j] = k;
          }
        }
        best[t][j] = most + here[j] + prior[j];
      }
    }
    double[] hz = new double[frames.count()];
    double[] score = new double[frames.count()];
    int at = 0;
    int last = frames.count() - 1;
    for (int j = 1; last >= 0 && j < speeds; j++) {
      at = best[last][j] > best[last][at] ? j : at;
    }
    for (int t = last; t >= 0; t--) {
      hz[t] = refined(frames, t, cut.spindleHz() + (low + at) * step, orders, cut.toothOrder());
      score[t] = own[t][at] + prior[at];
      at = from[t][at];
    }
    return new CombTrack(smooth(hz), score);
  }

  /** What a speed so far from the stated one must earn in a frame. */
  private static double prior(double off, boolean teeth) {
    double more = off - ORDINARY;
    return -PRIOR * off * off / (USUAL * USUAL)
        - (teeth && more > 0 ? UNUSUAL + FURTHER * more : 0);
  }

  /**
   * What lies whole numbers of tooth passing, or a few turns, away from the strongest line counts
   * as well: where that is a line of the teeth these are the comb again, and chatter that drowns
   * the teeth tells the speed by its side bands, which another speed that would make it a line of
   * the comb has not.
   */
  private static void sides(
      SoundFrames frames,
      int t,
      StatedCut cut,
      int low,
      double step,
      double[] loud,
      double[] here) {
    if (!cut.milling()) {
      return;
    }
    float[] power = frames.frame(t);
    int most = (int) Math.min(power.length - 3.0, HIGHEST_HZ / frames.binHz());
    int top = (int) Math.ceil(LOWEST_HZ / frames.binHz());
    for (int k = top; k < most; k++) {
      top = power[k] > power[top] ? k : top;
    }
    double[] fine = new double[2];
    SoundFrames.top(power, top, 1, fine);
    for (int j = 0; j < here.length; j++) {
      double tooth = cut.toothOrder() * (cut.spindleHz() + (low + j) * step) / frames.binHz();
      int teeth = cut.toothOrder();
      for (int k = -SIDES * teeth; k <= SIDES * teeth; k++) {
        boolean near = Math.abs(k) <= teeth;
        int line = (int) Math.rint(Math.abs(fine[0] + k * tooth / teeth));
        if (k != 0 && line < most && (near || k % teeth == 0)) {
          here[j] += (k % teeth == 0 ? SIDE_WEIGHT : RUNOUT_WEIGHT) * loud[line];
        }
      }
    }
  }

  /** The comb: tooth passing up to its twelfth, and all turns up to the second. */
  private static int[] orders(SoundFrames frames, StatedCut cut) {
    double top = Math.min(HIGHEST_HZ, frames.bins() * frames.binHz()) / (FASTEST * cut.spindleHz());
    int teeth = cut.toothOrder();
    int[] all = new int[TOOTH_LINES + 2 * teeth + 20];
    int n = 0;
    for (int k = 1; k <= top && k <= TOOTH_LINES * teeth; k++) {
      boolean near = k <= 2 * teeth || teeth == 1;
      if (k % teeth == 0 || near) {
        all[n++] = k;
      }
    }
    return n == 0 ? new int[] {1} : Arrays.copyOf(all, n);
  }

  /**
   * Log of power over noise at the tops of lines and just beside, less its mean; nothing on their
   * flanks, which would let a strong line count for speeds that do not fit it.
   */
  private static double[] loudness(float[] power, double noise) {
    double[] p = new double[power.length];
    for (int k = 0; k < p.length; k++) {
      p[k] = power[k];
    }
    double[] floor = LineFloor.of(p, 1);
    double[] loud = new double[p.length];
    double sum = 0;
    for (int k = 2; k < p.length - 2; k++) {
      boolean top = p[k] >= p[k - 1] && p[k] > p[k + 1] && p[k] >= p[k - 2] && p[k] > p[k + 2];
      if (top) {
        double size = Math.max(0, Math.min(LOUDEST, Math.log1p(p[k] / floor[k])) - noise);
        loud[k] = size;
        loud[k - 1] = Math.max(loud[k - 1], BESIDE * size);
        loud[k + 1] = BESIDE * size;
      }
    }
    for (double v : loud) {
      sum += v;
    }
    for (int k = 0; k < loud.length; k++) {
      loud[k] -= sum / loud.length;
    }
    return loud;
  }

  /**
   * The speed in a frame to a fraction of a line, from the tops of the comb's lines: first those of
   * tooth passing, then those of the turns that agree, since chatter may sing close to one of them.
   *
   * @param hz turns per second, within a line or two at the highest order
   * @param orders the comb
   * @param teeth every how many orders there is tooth passing
   */
  static double refined(SoundFrames frames, int t, double hz, int[] orders, int teeth) {
    double now = hz;
    for (int round = 0; round < 3; round++) {
      now = refined(frames, t, now, orders, round == 2 ? 1 : teeth, round == 2 ? 0.4 : 1.6);
    }
    return now;
  }

  private static double refined(
      SoundFrames frames, int t, double hz, int[] orders, int every, double within) {
    double[] top = new double[2];
    double with = 0;
    double all = 0;
    for (int k : orders) {
      double expected = k * hz / frames.binHz();
      if (k % every != 0 || expected > frames.bins() - SoundFrames.LOBE) {
        continue;
      }
      SoundFrames.top(frames.frame(t), expected, 2, top);
      double beside =
          side(frames.frame(t), top[0] - 2 * SoundFrames.LOBE)
              + side(frames.frame(t), top[0] + 2 * SoundFrames.LOBE);
      // a top that rises 20 dB over what lies beside its lobe, and not the flank of another
      if (Math.abs(top[0] - expected) < within && top[1] > 100 * (0.5 * beside + 1e-30)) {
        with += k * (top[0] * frames.binHz());
        all += (double) k * k;
      }
    }
    return all > 0 ? with / all : hz;
  }

  private static double side(float[] p, double line) {
    return p[(int) Math.max(0, Math.min(p.length - 1.0, Math.rint(line)))];
  }

  /** Median of five, so that a frame in which other things sound does not stand alone. */
  private static double[] smooth(double[] hz) {
    double[] smooth = new double[hz.length];
    for (int t = 0; t < hz.length; t++) {
      int low = Math.max(0, t - 2);
      int high = Math.min(hz.length, t + 3);
      double[] some = Arrays.copyOfRange(hz, low, high);
      Arrays.sort(some);
      smooth[t] = 0.5 * (some[(some.length - 1) / 2] + some[some.length / 2]);
    }
    return smooth;
  }

  /** Turns per second in a frame, Hz. */
  double spindleHz(int t) {
    return spindleHz[t];
  }

  /** What the comb stands out by in a frame. */
  double score(int t) {
    return score[t];
  }

  int count() {
    return spindleHz.length;
  }

  /** Turns per second at a time, straight between frames. */
  double at(SoundFrames frames, double timeS) {
    double t = (timeS * frames.sampleRateHz() - frames.size() / 2.0) / frames.hop();
    int a = (int) Math.max(0, Math.min(count() - 1.0, Math.floor(t)));
    int b = Math.min(count() - 1, a + 1);
    double part = Math.max(0, Math.min(1, t - a));
    return spindleHz[a] + part * (spindleHz[b] - spindleHz[a]);
  }
}
