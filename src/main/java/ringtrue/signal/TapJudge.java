package ringtrue.signal;

import java.util.Locale;
import java.util.Set;
import ringtrue.acquisition.Channel;
import ringtrue.acquisition.ResponseQuantity;
import ringtrue.acquisition.TapFinder.Level;
import ringtrue.signal.Tap.Verdict;

/**
 * Judges one tap by itself, whether it was recorded long ago or comes just now. What its block
 * shows is looked at once; the verdict can be given anew when more is known of the other taps.
 */
final class TapJudge {
  private static final double WEAK_PART = 0.125;

  /** A hammer that bounces comes back sooner than this; later it is the next tap. */
  static final double LONGEST_BOUNCE_S = 0.25;

  private static final double WEAK_NOISE = 10;

  /** A hammer only pushes; a force that pulls by this part of its peak was none. */
  static final double PULLS = 0.6;

  /** Groups of lines in which taps are compared. */
  private static final int GROUPS = 400;

  private final BlockShape shape;
  private final Channel force;
  private final Channel response;
  private final ResponseQuantity quantity;
  private final double usualContactS;
  private final double forceDropDb;
  private final double wantedToHz;

  /**
   * @param usualContactS typical contact time, s; NaN if unknown
   * @param forceDropDb how far the force spectrum may drop in the usable band, dB
   * @param wantedToHz frequency that a blow has to reach, Hz; NaN where none is asked for
   */
  TapJudge(
      BlockShape shape,
      Channel force,
      Channel response,
      ResponseQuantity quantity,
      double usualContactS,
      double forceDropDb,
      double wantedToHz) {
    this.shape = shape;
    this.force = force;
    this.response = response;
    this.quantity = quantity;
    this.usualContactS = usualContactS;
    this.forceDropDb = forceDropDb;
    this.wantedToHz = wantedToHz;
  }

  /**
   * What is known besides the tap's own block.
   *
   * @param force what the force channel holds
   * @param response what the response channel holds
   * @param sign +1 where the blows go up, −1 where they go down
   * @param typicalPeak median of the taps' peaks, N; NaN if unknown
   */
  record Around(Level force, Level response, double sign, double typicalPeak) {}

  /**
   * Takes the recorded numbers of a block to SI.
   *
   * @param which number of the recording in the levels
   * @param recordedS how long that recording is, s
   */
  void convert(BlockTransform worker, Around around, int which, double recordedS) {
    worker.convert(
        HighPassInverse.rest(force, around.force, recordedS, which),
        HighPassInverse.rest(response, around.response, recordedS, which));
  }

  /**
   * Everything that is seen before the transform.
   *
   * @param worker holds recorded numbers, which become SI values
   * @param there how many samples of the block are really there
   */
  void look(
      JudgedTap judged,
      BlockTransform worker,
      int there,
      Around around,
      int which,
      double recordedS) {
    int n = shape.samples();
    judged.there = there;
    judged.overload = Overload.in("force", worker.force, n, force, around.force, "N", there == n);
    if (judged.overload == null) {
      judged.overload =
          Overload.in(
              "response",
              worker.response,
              n,
              response,
              around.response,
              quantity.siUnit(),
              there == n);
    }
    convert(worker, around, which, recordedS);
    judged.pulse = Pulse.of(worker.force, n, around.sign, around.force.noise());
    pulls(judged, worker.force, around.sign);
    judged.contactS = judged.pulse.contactSamples() / shape.sampleRateHz();
  }

  private void pulls(JudgedTap judged, double[] f, double sign) {
    int n = shape.samples();
    double bounce = judged.pulse.peakAt() + LONGEST_BOUNCE_S * shape.sampleRateHz();
    int near = (int) Math.min(n, bounce);
    judged.pull = sign > 0 ? -Extremes.smallest(f, near) : Extremes.largest(f, near);
    judged.latePull = 0;
    for (int i = near; i < n; i++) {
      if (-sign * f[i] > judged.latePull) {
        judged.latePull = -sign * f[i];
        judged.latePullAt = i;
      }
    }
  }

  /**
   * What is seen where only the response was recorded. Whether the hammer bounced, nobody can tell
   * from the ringing.
   */
  void lookAlone(JudgedTap judged, BlockTransform worker, int there, Around around) {
    int n = shape.samples();
    judged.there = there;
    judged.overload =
        Overload.in(
            "response",
            worker.response,
            n,
            response,
            around.response,
            quantity.siUnit(),
            there == n);
    double rest = around.response.offsets().get(0);
    double largest = Extremes.largest(worker.response, n) * response.scale() - rest;
    double smallest = Extremes.smallest(worker.response, n) * response.scale() - rest;
    double peak = Math.max(Math.abs(largest), Math.abs(smallest));
    judged.pulse = new Pulse(peak, 0, 0, Double.NaN, Double.NaN, 0, peak);
    judged.contactS = Double.NaN;
    judged.usableToHz = Double.NaN;
  }

  /**
   * The verdict where only the response was recorded.
   *
   * @param next frame at which the next tap came inside the block; negative for none
   */
  void verdictAlone(
      JudgedTap judged, Around around, long next, Set<Integer> rejected, Set<Integer> kept) {
    String unit = quantity.siUnit();
    double peak = judged.pulse.largest();
    double noise = around.response.noise();
    if (rejected.contains(judged.number)) {
      set(judged, Verdict.REJECTED_BY_USER, "left out as asked");
      return;
    }
    set(judged, Verdict.KEPT, "rings up to %.3g %s", peak, unit);
    if (next >= 0) {
      set(
          judged,
          Verdict.CUT_OFF,
          "the next tap comes %.3g ms after it, inside its block of %.3g ms; wait longer",
          1e3 * (next - judged.block.trigger()) / shape.sampleRateHz(),
          1e3 * shape.samples() / shape.sampleRateHz());
    } else if (judged.overload != null) {
      set(judged, Verdict.OVERLOAD, "%s", judged.overload);
    } else if (peak < WEAK_NOISE * noise) {
      set(
          judged,
          Verdict.TOO_WEAK,
          "its peak of %.3g %s is less than %.0f times the noise of %.2g %s",
          peak,
          unit,
          WEAK_NOISE,
          noise,
          unit);
    } else if (peak < WEAK_PART * around.typicalPeak) {
      set(
          judged,
          Verdict.TOO_WEAK,
          "its peak of %.3g %s is only %.3g %% of the usual %.3g %s",
          peak,
          unit,
          100 * peak / around.typicalPeak,
          around.typicalPeak,
          unit);
    }
    if (kept.contains(judged.number) && !judged.isKept()) {
      set(judged, Verdict.KEPT, "kept as asked, although: %s", judged.reason);
    }
    if (judged.isKept() && judged.there < shape.samples()) {
      set(judged, Verdict.CUT_OFF, missing(judged));
    }
  }

  /**
   * Gives the verdict on what was seen.
   *
   * @param rejected numbers of taps to leave out
   * @param kept numbers of taps to keep whatever is found
   */
  void verdict(JudgedTap judged, Around around, Set<Integer> rejected, Set<Integer> kept) {
    byItself(judged, around, rejected.contains(judged.number));
    boolean asked = kept.contains(judged.number) && judged.verdict != Verdict.REJECTED_BY_USER;
    if (asked && !judged.isKept()) {
      judged.reason = "kept as asked, although: " + judged.reason;
      judged.verdict = Verdict.KEPT;
    }
    if (judged.isKept() && judged.there < shape.samples()) {
      set(judged, Verdict.CUT_OFF, missing(judged));
    }
  }

  private void byItself(JudgedTap judged, Around around, boolean rejected) {
    Pulse pulse = judged.pulse;
    double noise = around.force.noise();
    double typical = around.typicalPeak;
    if (rejected) {
      set(judged, Verdict.REJECTED_BY_USER, "left out as asked");
    } else if (pulse.isDouble()
        && !pulse.isWeakDouble()
        && secondsAfter(pulse) > LONGEST_BOUNCE_S) {
      set(
          judged,
          Verdict.CUT_OFF,
          "the next tap comes %.3g ms after it, inside its block of %.3g ms; take a shorter block"
              + " or more time between taps",
          1e3 * secondsAfter(pulse),
          1e3 * shape.samples() / shape.sampleRateHz());
    } else if (judged.overload != null) {
      set(judged, Verdict.OVERLOAD, "%s", judged.overload);
    } else if (judged.pull > PULLS * pulse.largest()) {
      set(
          judged,
          Verdict.NO_TAP,
          "the force swings both ways, to %.3g and to %.3g N, and a hammer only pushes: a"
              + " disturbance?",
          pulse.largest(),
          -judged.pull);
    } else if (judged.latePull > PULLS * pulse.peak()) {
      set(
          judged,
          Verdict.CUT_OFF,
          "the force is disturbed %.3g ms after it, to %.3g N, inside its block",
          1e3 * (judged.latePullAt - pulse.peakAt()) / shape.sampleRateHz(),
          -judged.latePull);
    } else if (pulse.isDouble()) {
      double after = secondsAfter(pulse);
      set(
          judged,
          Verdict.DOUBLE_HIT,
          "the force rises again to %.3g N, %.2g %% of the first peak, %.3g ms %s",
          pulse.secondPeak(),
          100 * pulse.secondPeak() / pulse.peak(),
          1e3 * Math.abs(after),
          after < 0 ? "before it" : "after it");
    } else if (pulse.largest() < WEAK_NOISE * noise) {
      set(
          judged,
          Verdict.TOO_WEAK,
          "its peak of %.3g N is less than %.0f times the noise of %.2g N",
          pulse.largest(),
          WEAK_NOISE,
          noise);
    } else if (pulse.largest() < WEAK_PART * typical) {
      set(
          judged,
          Verdict.TOO_WEAK,
          "its peak of %.3g N is only %.3g %% of the usual %.3g N",
          pulse.largest(),
          100 * pulse.largest() / typical,
          typical);
    } else if (judged.usableToHz < wantedToHz) {
      set(
          judged,
          Verdict.TOO_SLOW,
          "its force reaches to %.0f Hz only, and %.0f Hz are wanted: contact %.3g ms; a harder"
              + " tip or a lighter hammer",
          judged.usableToHz,
          wantedToHz,
          1e3 * judged.contactS);
    } else if (Double.isNaN(judged.contactS)) {
      set(judged, Verdict.KEPT, "one blow of %.3g N", pulse.largest());
    } else {
      set(
          judged,
          Verdict.KEPT,
          "one blow of %.3g N, contact %.3g ms",
          pulse.largest(),
          1e3 * judged.contactS);
    }
  }

  private String missing(JudgedTap judged) {
    double before = Math.max(0, -judged.block.start()) / shape.sampleRateHz();
    double after = (shape.samples() - judged.there) / shape.sampleRateHz() - before;
    return before > 0
        ? text(
            "its block would begin %.3g ms before the recording does; shorten preTrigger",
            1e3 * before)
        : text(
            "the recording ends %.3g ms before its block of %.3g s does",
            1e3 * after, shape.samples() / shape.sampleRateHz());
  }

  private double secondsAfter(Pulse pulse) {
    return (pulse.secondAt() - pulse.peakAt()) / shape.sampleRateHz();
  }

  /** How far the blow reaches, from the spectrum of its force. */
  void reach(JudgedTap judged, BlockTransform worker) {
    if (Double.isNaN(judged.contactS)) {
      judged.usableToHz = Double.NaN;
      return;
    }
    int lines = shape.lines();
    double df = shape.resolutionHz();
    UsableBand.Power power = worker::forcePower;
    double level = UsableBand.lowLevel(power, lines, df, judged.contactS);
    judged.usableToHz =
        df
            * UsableBand.forceEnd(
                power, lines, df, judged.contactS, level * Math.pow(10, -forceDropDb / 10));
  }

  /** The response in groups of lines, by which taps are compared. */
  void sign(JudgedTap judged, BlockTransform worker) {
    int end = comparedLines(judged.contactS);
    int groups = Math.min(end, GROUPS);
    double[] signature = new double[2 * groups];
    double[] energy = new double[groups];
    double[] sums = new double[3];
    for (int g = 0; g < groups; g++) {
      worker.sums((int) ((long) g * end / groups), (int) ((long) (g + 1) * end / groups), sums);
      signature[2 * g] = sums[2] > 0 ? sums[0] / sums[2] : 0;
      signature[2 * g + 1] = sums[2] > 0 ? sums[1] / sums[2] : 0;
      energy[g] = sums[2];
    }
    judged.signature = signature;
    judged.forceEnergy = energy;
  }

  /** Lines in which taps are compared: as far as the blows reach. */
  private int comparedLines(double ownContactS) {
    double contact = Double.isNaN(usualContactS) ? ownContactS : usualContactS;
    double top = Double.isNaN(contact) ? 0.4 * shape.sampleRateHz() : 1.2 / contact;
    return (int) Math.max(1, Math.min(shape.lines(), top / shape.resolutionHz()));
  }

  /** Width of the groups of lines in which taps are compared, Hz. */
  double groupHz() {
    int end = comparedLines(Double.NaN);
    return shape.resolutionHz() * end / Math.min(end, GROUPS);
  }

  private static void set(JudgedTap judged, Verdict verdict, String format, Object... values) {
    judged.verdict = verdict;
    judged.reason = values.length == 0 ? format : text(format, values);
  }

  private static String text(String format, Object... values) {
    return String.format(Locale.ROOT, format, values);
  }
}
