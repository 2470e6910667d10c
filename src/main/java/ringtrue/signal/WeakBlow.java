package ringtrue.signal;

import java.util.Arrays;
import java.util.List;

/**
 * A second blow too weak to be told from a hammer's swing by its height. It is one if it stands
 * alone: about as wide as the first, and the force flat before and behind it, which neither ringing
 * nor an AC-coupled input's undershoot is.
 *
 * @param top its largest force above the force around it, N
 * @param at where, sample in the block
 */
record WeakBlow(double top, int at) {

  /** Smaller than this part of the first, a second blow changes nothing that matters. */
  private static final double SMALLEST = 0.004;

  private static final double NOISE_MARGIN = 8;

  /** Widths at half height, as parts of the first blow's contact time. */
  private static final double NARROWEST = 0.25;

  private static final double WIDEST = 2.5;

  /** The force around it may swing by this part of its height. */
  private static final double FLAT = 0.35;

  /** The force around: so many contact times before and behind. */
  private static final double NEAR = 1.5;

  private static final double FAR = 4;

  /**
   * Looks behind a blow.
   *
   * @param force N, at rest 0
   * @param n how many samples
   * @param sign +1 where the pulses go up, −1 where they go down
   * @param noise standard deviation at rest, N
   * @param first the blow
   * @return the first that stands out; null if none does
   */
  static WeakBlow behind(double[] force, int n, double sign, double noise, Pulse first) {
    double contact = Math.max(2, first.contactSamples());
    double least = Math.max(SMALLEST * first.peak(), NOISE_MARGIN * noise);
    if (Double.isNaN(contact) || !(least > 0)) {
      return null;
    }
    int near = (int) Math.ceil(NEAR * contact);
    int far = (int) Math.ceil(FAR * contact) + 4;
    int step = (int) Math.ceil(contact);
    for (int j = first.endAt() + far; j < n - far; j++) {
      double v = sign * force[j];
      if (v - sign * force[j - near] < least / 2 || v - sign * force[j + near] < least / 2) {
        continue;
      }
      int top = top(force, sign, j, Math.min(n - far, j + step));
      WeakBlow blow = at(force, sign, top, near, far, contact, least);
      if (blow != null) {
        return blow;
      }
      j = top;
    }
    return null;
  }

  private static int top(double[] force, double sign, int from, int to) {
    int best = from;
    for (int k = from + 1; k < to; k++) {
      best = sign * force[k] > sign * force[best] ? k : best;
    }
    return best;
  }

  private static WeakBlow at(
      double[] force, double sign, int top, int near, int far, double contact, double least) {
    double[] before = Arrays.copyOfRange(force, top - far, top - near);
    double[] after = Arrays.copyOfRange(force, top + near + 1, top + far + 1);
    double rest = sign * (Medians.of(before) + Medians.of(after)) / 2;
    double height = sign * force[top] - rest;
    if (height < least) {
      return null;
    }
    for (double[] side : List.of(before, after)) {
      for (double v : side) {
        if (Math.abs(sign * v - rest) > FLAT * height) {
          return null;
        }
      }
    }
    double half = rest + height / 2;
    int from = top;
    while (from > top - far && sign * force[from - 1] >= half) {
      from--;
    }
    int to = top;
    while (to < top + far && sign * force[to + 1] >= half) {
      to++;
    }
    int width = to - from + 1;
    boolean pulse = width >= 2 && width >= NARROWEST * contact && width <= WIDEST * contact;
    return pulse ? new WeakBlow(height, top) : null;
  }

  /**
   * Keeps the taps again that have a weak second blow each, if most have one and nothing cuts it
   * off: what both channels hold whole is no error.
   *
   * @param all every tap, judged by itself
   * @param shape the blocks' windows
   */
  static void keepIfUsual(List<JudgedTap> all, BlockShape shape) {
    List<JudgedTap> weak =
        all.stream()
            .filter(j -> j.verdict == Tap.Verdict.DOUBLE_HIT && j.pulse.isWeakDouble())
            .toList();
    long kept = all.stream().filter(j -> j.isKept()).count();
    if (shape.forceWindow().isNone() && weak.size() > kept) {
      for (JudgedTap judged : weak) {
        judged.verdict = Tap.Verdict.KEPT;
        judged.reason = "kept, since most taps are so, although " + judged.reason;
      }
    }
  }
}
