package ringtrue.signal;

import java.io.IOException;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import ringtrue.acquisition.Channel;
import ringtrue.acquisition.Recording;
import ringtrue.acquisition.TapFinder;
import ringtrue.acquisition.TapFinder.Direction;
import ringtrue.acquisition.TapFinder.Level;
import ringtrue.acquisition.TapFinder.Onset;
import ringtrue.acquisition.TapRecording;
import ringtrue.dynamics.Progress;
import ringtrue.units.BadInputException;

/** Finds the taps and chooses from the data whatever the user has left open. */
final class Planner {

  /** Where a block is. */
  record Block(int recording, long start, long trigger, double peakN) {}

  /**
   * How the recordings are to be processed.
   *
   * @param shape length and windows
   * @param triggerFraction trigger level as a fraction of the largest peak
   * @param blocks one for each tap, in order
   * @param estimator estimator
   * @param contactS typical contact time, s; NaN if unknown
   */
  record Plan(
      BlockShape shape,
      double triggerFraction,
      List<Block> blocks,
      Estimator estimator,
      double contactS) {}

  /** Finest hold-off while nothing is known of the taps yet: less than any real bounce takes. */
  private static final double FINE_HOLD_OFF_S = 0.002;

  /** Blows by hand follow each other more slowly than this; what is faster is a bounce. */
  private static final double LONGEST_BOUNCE_S = 0.3;

  private static final double USUAL_PRE_TRIGGER_S = 0.005;
  private static final double USUAL_PRE_TRIGGER_PART = 0.05;

  /** Part of the taps that a choice has to suit; a few odd ones must not spoil it for all. */
  private static final double MOST = 0.75;

  /**
   * A block is this many times longer than the decay needs, so that peaks have enough lines: to a
   * tenth of a per cent it takes 2.2 over the half-power bandwidth, and five lines take 5 over it.
   */
  private static final double FINER_LINES = 2.4;

  /** End of the window that holds off a drift. */
  private static final double DRIFT_END = 0.01;

  /** How much of the usual room between taps a block may give up so that no tap is lost. */
  private static final double SHORTER_FOR_A_TAP = 0.75;

  private final TapRecording recording;
  private final Processing wanted;
  private final Channel force;
  private final Level forceLevel;
  private final Level responseLevel;
  private final double fs;
  private final double sign;
  private final List<String> remarks;
  private final Progress progress;

  Planner(
      TapRecording recording,
      Processing wanted,
      Level forceLevel,
      Level responseLevel,
      List<String> remarks,
      Progress progress) {
    this.recording = recording;
    this.wanted = wanted;
    this.force = recording.force().orElseThrow();
    this.forceLevel = forceLevel;
    this.responseLevel = responseLevel;
    this.fs = recording.sampleRateHz();
    this.sign = forceLevel.direction() == Direction.DOWN ? -1 : 1;
    this.remarks = remarks;
    this.progress = progress;
  }

  Plan plan() throws IOException {
    double fraction = wanted.triggerFraction().orElse(forceLevel.triggerFraction());
    boolean given = !wanted.blockStartsS().isEmpty();
    boolean wholeFile =
        wanted.blockLengthS().isPresent() && wanted.blockLengthS().get().isInfinite();
    double level = fraction * forceLevel.peak();
    if (!given
        && (forceLevel.peak() < TapFinder.NOISE_MARGIN * forceLevel.noise() || !(fraction < 1))) {
      throw TapFinder.nothingFound(recording.recordings(), force, forceLevel, level, "N");
    }
    List<Onset> fine =
        TapFinder.find(
            recording.recordings(),
            force,
            forceLevel,
            new TapFinder.Trigger(
                level, sign > 0 ? Direction.UP : Direction.DOWN, FINE_HOLD_OFF_S, 0),
            progress);
    if (!given && fine.isEmpty()) {
      throw TapFinder.nothingFound(recording.recordings(), force, forceLevel, level, "N");
    }
    SwappedChannels.refuse(recording, forceLevel, responseLevel, fine);
    if (given) {
      return atGivenStarts(fraction, fine);
    }
    if (wholeFile) {
      return wholeFiles(fraction, fine);
    }
    return atOnsets(fraction, fine);
  }

  // ---- the three ways to place blocks

  private Plan atGivenStarts(double fraction, List<Onset> fine) throws IOException {
    if (recording.recordings().size() > 1) {
      remarks.add(
          "blockStarts count from the start of "
              + recording.recordings().get(0).name()
              + "; the other recordings are not used");
    }
    List<Long> starts = new ArrayList<>();
    for (double s : wanted.blockStartsS()) {
      if (!Double.isFinite(s)) {
        throw new BadInputException("blockStarts: " + s + " s is not a time");
      }
      Recording first = recording.recordings().get(0);
      if (s < 0 || s * fs >= first.frames()) {
        throw new BadInputException(
            String.format(
                Locale.ROOT,
                "blockStarts: %.6g s is not in %s, which lasts %.6g s",
                s,
                first.name(),
                first.frames() / fs));
      }
      starts.add(Math.round(s * fs));
    }
    List<Onset> near = new ArrayList<>();
    long least = Long.MAX_VALUE;
    for (int i = 0; i < starts.size(); i++) {
      long start = starts.get(i);
      long end =
          i + 1 < starts.size() && starts.get(i + 1) > start ? starts.get(i + 1) : Long.MAX_VALUE;
      for (Onset onset : fine) {
        if (onset.recording() == 0 && onset.frame() >= start && onset.frame() < end) {
          near.add(onset);
          least = Math.min(least, onset.frame() - start);
          break;
        }
      }
    }
    near = near.stream().distinct().sorted(Comparator.comparingLong(Onset::frame)).toList();
    FirstLook taps = look(near, fine);
    int pre =
        wanted.preTriggerS().isPresent()
            ? preTriggerSamples()
            : least == Long.MAX_VALUE ? 0 : (int) Math.min(least, 1 << 20);
    int n;
    if (wanted.blockLengthS().isPresent() && !wanted.blockLengthS().get().isInfinite()) {
      n = samples(wanted.blockLengthS().get());
    } else if (!near.isEmpty()) {
      n = decayLength(taps, pre).samples;
    } else {
      throw new BadInputException(
          "blockStarts: no tap reaches the trigger level after them, so the block length cannot be"
              + " chosen; give blockLength");
    }
    if (wanted.preTriggerS().isEmpty()) {
      say("pre-trigger %.4g ms: from the block starts given to the first onset", 1e3 * pre / fs);
    }
    List<Block> blocks = new ArrayList<>();
    for (long start : starts) {
      blocks.add(new Block(0, start, start + pre, Double.NaN));
    }
    return finish(fraction, blocks, n, pre, taps);
  }

  private Plan wholeFiles(double fraction, List<Onset> fine) throws IOException {
    List<Recording> all = recording.recordings();
    long shortest = all.stream().mapToLong(Recording::frames).min().orElseThrow();
    long longest = all.stream().mapToLong(Recording::frames).max().orElseThrow();
    if (shortest < 0.9 * longest) {
      throw new BadInputException(
          "blockLength file: the recordings differ too much in length, "
              + shortest
              + " to "
              + longest
              + " samples; give a blockLength in seconds");
    }
    if (shortest > Integer.MAX_VALUE / 4) {
      throw new BadInputException(
          "blockLength file: " + shortest + " samples are too many for one block; give seconds");
    }
    if (shortest != longest) {
      say("blocks are the first %d samples of each file, as long as the shortest one", shortest);
    }
    List<Onset> first = new ArrayList<>();
    for (int r = 0; r < all.size(); r++) {
      for (Onset onset : fine) {
        if (onset.recording() == r) {
          first.add(onset);
          break;
        }
      }
    }
    FirstLook taps = look(first, fine);
    int pre =
        wanted.preTriggerS().isPresent()
            ? preTriggerSamples()
            : (int) first.stream().mapToLong(Onset::frame).min().orElse(0);
    List<Block> blocks = new ArrayList<>();
    for (int r = 0; r < all.size(); r++) {
      blocks.add(new Block(r, 0, pre, Double.NaN));
    }
    return finish(fraction, blocks, (int) shortest, pre, taps);
  }

  private Plan atOnsets(double fraction, List<Onset> fine) throws IOException {
    boolean lengthGiven = wanted.blockLengthS().isPresent();
    int n = lengthGiven ? samples(wanted.blockLengthS().get()) : 0;
    int pre = 0;
    List<Onset> onsets;
    if (lengthGiven) {
      pre =
          wanted.preTriggerS().isPresent()
              ? preTriggerSamples()
              : (int) Math.round(Math.min(USUAL_PRE_TRIGGER_S * fs, USUAL_PRE_TRIGGER_PART * n));
      onsets = TapFinder.merge(fine, n - pre);
    } else {
      onsets = TapFinder.merge(fine, bounceFrames(fine));
    }
    if (wanted.triggerFraction().isEmpty()) {
      say(
          "trigger level %.3g %% of the largest peak (%.4g N); noise of the force channel %.2g N",
          100 * fraction, fraction * forceLevel.peak(), forceLevel.noise());
    }
    for (int r = 0; r < recording.recordings().size(); r++) {
      int which = r;
      if (onsets.stream().noneMatch(o -> o.recording() == which)) {
        remarks.add("no tap found in " + recording.recordings().get(r).name());
      }
    }
    FirstLook taps = look(onsets, fine);
    if (wanted.preTriggerS().isPresent()) {
      pre = preTriggerSamples();
    } else if (!lengthGiven) {
      pre = (int) Math.round(USUAL_PRE_TRIGGER_S * fs);
    }
    if (wanted.preTriggerS().isEmpty()) {
      pre =
          (int)
              Math.min(pre, FirstLook.most(onsets.stream().mapToLong(this::roomBefore).toArray()));
    }
    if (!lengthGiven) {
      Length chosen = decayLength(taps, pre);
      n = chosen.samples;
      if (wanted.preTriggerS().isEmpty() && pre > USUAL_PRE_TRIGGER_PART * n) {
        pre = (int) Math.round(USUAL_PRE_TRIGGER_PART * n);
      }
      say("block length %.4g s: %s", n / fs, chosen.why);
    }
    if (wanted.preTriggerS().isEmpty()) {
      say("pre-trigger %.4g ms", 1e3 * pre / fs);
    }
    List<Block> blocks = new ArrayList<>();
    for (Onset onset : onsets) {
      blocks.add(new Block(onset.recording(), onset.frame() - pre, onset.frame(), onset.peak()));
    }
    return finish(fraction, blocks, n, pre, taps);
  }

  private Plan finish(double fraction, List<Block> blocks, int n, int pre, FirstLook taps)
      throws IOException {
    if (n < 16) {
      throw new BadInputException(
          String.format(
              Locale.ROOT,
              "blockLength: %.4g s are only %d samples at %.6g Hz; a block needs 16 or more",
              n / fs,
              n,
              fs));
    }
    if (pre >= n) {
      throw new BadInputException(
          String.format(
              Locale.ROOT,
              "preTrigger: %.4g s leave nothing of a block of %.4g s; make it a small part of the"
                  + " block",
              pre / fs,
              n / fs));
    }
    if (pre < 2) {
      remarks.add(
          "the pre-trigger has fewer than two samples: no resting value was taken off the blocks");
    }
    double tau = timeConstant(taps, n, pre);
    Processing.ForceWindow window = forceWindow(taps, n, pre);
    BlockShape shape = new BlockShape(n, pre, fs, window, tau);
    Estimator estimator = wanted.estimator().orElse(Estimator.H1);
    return new Plan(shape, fraction, List.copyOf(blocks), estimator, taps.contactS());
  }

  private FirstLook look(List<Onset> onsets, List<Onset> fine) throws IOException {
    return new FirstLook(recording, forceLevel, responseLevel, onsets, fine);
  }

  // ---- single choices

  private long bounceFrames(List<Onset> fine) {
    List<Double> gaps = new ArrayList<>();
    for (int i = 1; i < fine.size(); i++) {
      if (fine.get(i).recording() == fine.get(i - 1).recording()) {
        double gap = (fine.get(i).frame() - fine.get(i - 1).frame()) / fs;
        if (gap > 0.02) {
          gaps.add(gap);
        }
      }
    }
    if (gaps.isEmpty()) {
      return Math.round(LONGEST_BOUNCE_S * fs);
    }
    double[] sorted = gaps.stream().mapToDouble(Double::doubleValue).sorted().toArray();
    double usual = sorted[(int) (MOST * (sorted.length - 1) + 0.5)];
    return Math.round(Math.min(LONGEST_BOUNCE_S, 0.4 * usual) * fs);
  }

  private long roomBefore(Onset onset) {
    return Math.max(0, onset.frame());
  }

  private record Length(int samples, String why) {}

  private Length decayLength(FirstLook taps, int pre) throws IOException {
    Decay decay = taps.decay();
    double contact = Double.isNaN(taps.contactS()) ? 0 : taps.contactS();
    // Finer lines are welcome, but no tap is given up for them.
    double finer = Math.min(FINER_LINES * decay.neededS(), taps.leastRoom() / fs);
    double wantedS = Math.max(Math.max(decay.neededS(), finer), 20 * contact);
    int most = (int) Math.min(pre + taps.room(), Integer.MAX_VALUE / 4);
    int least = (int) Math.min(most, pre + Math.ceil(wantedS * fs));
    String end = taps.endsAtNextTap() ? "the next tap" : "the recording's end";
    if (most < 16) {
      throw new BadInputException(
          String.format(
              Locale.ROOT,
              "the taps leave only %d samples each: too little for a block; record longer",
              most));
    }
    int n = Lengths.atLeast(least);
    // A tap is worth more than the last bit of ringing or of resolution.
    boolean littleIsLost =
        taps.leftAfter(taps.leastRoom() / fs) <= 5 * Decay.SMALL
            || taps.leastRoom() >= SHORTER_FOR_A_TAP * taps.room();
    if (n > pre + taps.leastRoom() && littleIsLost) {
      n = Lengths.atMost((int) Math.max(16, pre + taps.leastRoom()));
    }
    if (n > most) {
      n = Lengths.atMost(most);
    }
    String why =
        decay.left() > Decay.SMALL
            ? String.format(
                Locale.ROOT,
                "up to %s, where %.3g %% of the response is left",
                end,
                100 * decay.left())
            : String.format(
                Locale.ROOT, "the response has decayed to 0.1 %% after %.3g s", decay.neededS());
    return new Length(n, why);
  }

  private double timeConstant(FirstLook taps, int n, int pre) throws IOException {
    if (wanted.responseTimeConstantS().isPresent() && wanted.responseEndValue().isPresent()) {
      throw new BadInputException("responseWindow: give timeConstant or endValue, not both");
    }
    if (wanted.responseTimeConstantS().isPresent()) {
      double tau = wanted.responseTimeConstantS().get();
      if (!(tau > 0)) {
        throw new BadInputException(
            "responseWindow: timeConstant must be positive, was " + tau + " s");
      }
      if (!Double.isInfinite(tau)) {
        windowRemark(tau, n);
      }
      return tau;
    }
    if (wanted.responseEndValue().isPresent()) {
      double end = wanted.responseEndValue().get();
      if (!(end > 0 && end < 1)) {
        throw new BadInputException(
            "responseWindow: endValue must lie between 0 and 100 %, was " + 100 * end + " %");
      }
      double tau = -(n / fs) / Math.log(end);
      windowRemark(tau, n);
      return tau;
    }
    if (taps.sawNothing()) {
      return Double.POSITIVE_INFINITY;
    }
    Decay decay = taps.decay();
    if (taps.drifts()) {
      double tau = -(n / fs) / Math.log(DRIFT_END);
      remarks.add(
          "the response drifts slowly, which would leak into all lines: an exponential window holds"
              + " that off");
      windowRemark(tau, n);
      return tau;
    }
    double left = taps.leftAfter((n - pre) / fs);
    if (left <= 5 * Decay.SMALL) {
      remarks.add("no exponential window: the decay fits into the block");
      return Double.POSITIVE_INFINITY;
    }
    if (taps.endsAtNextTap() && decay.left() > 0.01) {
      say(
          "%.3g %% of the response is left when the next tap comes, and disturbs it: wait about %.2g s"
              + " between taps",
          100 * decay.left(), taps.secondsToSmall());
    }
    double end = Math.max(0.01, Math.min(0.05, Decay.SMALL / left));
    double tau = -(n / fs) / Math.log(end);
    say(
        "the response has only decayed to %.3g %% at the block's end: an exponential window down to"
            + " %.3g %% was applied to both channels",
        100 * left, 100 * end);
    windowRemark(tau, n);
    return tau;
  }

  private void windowRemark(double tau, int n) {
    say(
        "exponential window of time constant %.4g ms (%.3g %% at the block's end) on both channels:"
            + " the values are G(iω + 1/τ), every mode carries the added damping ratio %.3g Hz/fn,"
            + " which a fit takes out again",
        1e3 * tau, 100 * Math.exp(-n / (fs * tau)), 1 / (2 * Math.PI * tau));
  }

  private Processing.ForceWindow forceWindow(FirstLook taps, int n, int pre) {
    if (wanted.forceWindow().isPresent()) {
      Processing.ForceWindow window = wanted.forceWindow().get();
      if (!(window.lengthS() >= 0 && window.taperS() >= 0)) {
        throw new BadInputException("forceWindow: length and taper must not be negative");
      }
      if (!window.isNone() && taps.undershootHz() > 0) {
        say(
            "the force falls below rest after the blow, as behind an AC-coupled input of about %.2g"
                + " Hz, and the force window cuts that off: low frequencies come out wrong (by some"
                + " %.3g %% at 100 Hz); give highPass or set forceWindow to none",
            taps.undershootHz(), taps.undershootHz());
      } else if (!window.isNone()
          && !Double.isNaN(taps.contactS())
          && window.lengthS() + window.taperS() / 2 < 1.2 * taps.contactS()) {
        say(
            "the force window of %.3g ms cuts into the blows, which last %.3g ms",
            1e3 * window.lengthS(), 1e3 * taps.contactS());
      }
      return window;
    }
    if (taps.undershootHz() > 0) {
      say(
          "the force falls below rest after the blow, as behind an AC-coupled input of about %.2g"
              + " Hz: no force window, which would cut that off; both channels must be coupled"
              + " alike, or highPass be given",
          taps.undershootHz());
      return Processing.ForceWindow.NONE;
    }
    if (Double.isNaN(taps.contactS()) || !(taps.area() > 0)) {
      remarks.add("no force window");
      return Processing.ForceWindow.NONE;
    }
    if (taps.followed()) {
      remarks.add(
          "no force window: a weak second blow follows most of the blows, which it would cut off");
      return Processing.ForceWindow.NONE;
    }
    if (taps.ringing() > 0.01) {
      say(
          "no force window: the force still swings by %.3g %% of its peak after the blow",
          100 * taps.ringing());
      return Processing.ForceWindow.NONE;
    }
    double drop = wanted.forceDropDb().orElse(ResponseEstimator.USUAL_FORCE_DROP_DB);
    double noisePower = forceLevel.noise() * forceLevel.noise() * n;
    double part = noisePower / (taps.area() * taps.area() * Math.pow(10, -drop / 10));
    double length = Math.max(5 * taps.contactS(), 0.0005);
    double taper = length / 2;
    if (part < 1e-4 || pre + (length + taper) * fs > n / 2.0) {
      remarks.add("no force window: the noise of the force channel does not matter");
      return Processing.ForceWindow.NONE;
    }
    say(
        "force window of %.3g ms and %.3g ms taper (contact time %.3g ms): without it the noise of"
            + " the force channel would hold %.3g %% of the power at the band's upper end",
        1e3 * length, 1e3 * taper, 1e3 * taps.contactS(), 100 * part);
    return new Processing.ForceWindow(length, taper);
  }

  private int samples(double blockLengthS) {
    double n = Math.rint(Math.floor(blockLengthS * fs + 0.5));
    if (!(n >= 16)) {
      throw new BadInputException(
          String.format(
              Locale.ROOT,
              "blockLength: %.4g s are only %.0f samples at %.6g Hz; a block needs 16 or more",
              blockLengthS,
              n,
              fs));
    }
    if (n > Integer.MAX_VALUE / 4.0) {
      throw new BadInputException(
          String.format(Locale.ROOT, "blockLength: %.4g s are too long for a block", blockLengthS));
    }
    return (int) n;
  }

  private int preTriggerSamples() {
    double seconds = wanted.preTriggerS().orElseThrow();
    if (!(seconds >= 0) || seconds * fs > Integer.MAX_VALUE / 4.0) {
      throw new BadInputException(
          "preTrigger: must be a time of 0 or more and less than the block, was " + seconds + " s");
    }
    return (int) Math.round(seconds * fs);
  }

  private void say(String format, Object... values) {
    remarks.add(String.format(Locale.ROOT, format, values));
  }
}
