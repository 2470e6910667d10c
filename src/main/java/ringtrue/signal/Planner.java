package ringtrue.signal;

import java.io.IOException;
import java.util.ArrayList;
import java.util.Arrays;
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

  /** A block is this many times longer than the decay needs, so that peaks have enough lines. */
  private static final double FINER_LINES = 2;

  private static final int LONGEST_LOOK = 1 << 21;
  private static final double LOWEST_MODE_HZ = 8;

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
    Taps taps = look(near, fine);
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
    Taps taps = look(first, fine);
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
    Taps taps = look(onsets, fine);
    if (wanted.preTriggerS().isPresent()) {
      pre = preTriggerSamples();
    } else if (!lengthGiven) {
      pre = (int) Math.round(USUAL_PRE_TRIGGER_S * fs);
    }
    if (wanted.preTriggerS().isEmpty()) {
      pre = (int) Math.min(pre, most(onsets.stream().mapToLong(this::roomBefore).toArray()));
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

  private Plan finish(double fraction, List<Block> blocks, int n, int pre, Taps taps)
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
    return new Plan(shape, fraction, List.copyOf(blocks), estimator, taps.contactS);
  }

  // ---- looking at a few taps

  /** What a few of the taps show. */
  private static final class Taps {
    /** Taps looked at. */
    List<Onset> some = List.of();

    /** Samples from each of these onsets to the next one or the end of the recording. */
    long room;

    double contactS = Double.NaN;

    /** Sum of the force over the contact, N times samples, median. */
    double area;

    /** Force behind the contact as a part of the peak, root mean square above the noise. */
    double ringing;

    /** Corner of an AC coupling seen in the force, Hz; 0 where none is seen. */
    double undershootHz;

    Decay decay;
    boolean endsAtNextTap;
  }

  /**
   * @param onsets the taps
   * @param fine everything that triggered; a tap with more than one of these has bounced
   */
  private Taps look(List<Onset> onsets, List<Onset> fine) throws IOException {
    Taps taps = new Taps();
    if (onsets.isEmpty()) {
      return taps;
    }
    double[] peaks = onsets.stream().mapToDouble(Onset::peak).sorted().toArray();
    double typical = peaks[peaks.length / 2];
    long[] room = new long[onsets.size()];
    boolean[] toNext = new boolean[onsets.size()];
    for (int i = 0; i < room.length; i++) {
      Onset onset = onsets.get(i);
      boolean followed = i + 1 < room.length && onsets.get(i + 1).recording() == onset.recording();
      toNext[i] = followed;
      room[i] =
          (followed
                  ? onsets.get(i + 1).frame() - margin()
                  : recording.recordings().get(onset.recording()).frames())
              - onset.frame();
    }
    taps.room = most(room);
    List<Onset> suitable = new ArrayList<>();
    for (int i = 0; i < room.length; i++) {
      if (room[i] >= taps.room
          && onsets.get(i).peak() >= typical / 3
          && !bounces(onsets.get(i), room[i], fine)) {
        suitable.add(onsets.get(i));
        taps.endsAtNextTap |= toNext[i];
      }
    }
    if (suitable.isEmpty()) {
      suitable = List.of(onsets.get(0));
      taps.room = room[0];
    }
    int most = taps.room > LONGEST_LOOK / 4 ? 3 : 6;
    List<Onset> some = new ArrayList<>();
    for (int i = 0; i < Math.min(most, suitable.size()); i++) {
      some.add(suitable.get((int) ((long) i * suitable.size() / Math.min(most, suitable.size()))));
    }
    taps.some = some;
    lookAtForce(taps);
    return taps;
  }

  private static boolean bounces(Onset onset, long room, List<Onset> fine) {
    return fine.stream()
        .anyMatch(
            f ->
                f.recording() == onset.recording()
                    && f.frame() > onset.frame()
                    && f.frame() < onset.frame() + room);
  }

  /** A following onset must stay out of a block together with the foot of its pulse. */
  private long margin() {
    return Math.max(3, Math.round(0.0005 * fs));
  }

  private void lookAtForce(Taps taps) throws IOException {
    int pad = (int) Math.round(0.002 * fs);
    int span = (int) Math.min(taps.room, Math.round(0.05 * fs));
    double[] contact = new double[taps.some.size()];
    double[] area = new double[taps.some.size()];
    double[] ringing = new double[taps.some.size()];
    double[] rate = new double[taps.some.size()];
    double[] rateError = new double[taps.some.size()];
    int known = 0;
    try (BlockReader reader =
        new BlockReader(recording.recordings(), force, recording.response())) {
      for (Onset onset : taps.some) {
        int n = pad + span;
        double[] f = new double[n];
        double[] x = new double[n];
        reader.read(onset.recording(), onset.frame() - pad, n, f, x);
        double rest =
            HighPassInverse.rest(
                force,
                forceLevel,
                recording.recordings().get(onset.recording()),
                onset.recording());
        if (Double.isNaN(rest)) {
          rest = forceLevel.offsets().get(onset.recording());
        }
        for (int i = 0; i < n; i++) {
          f[i] = sign * (f[i] * force.scale() - rest);
        }
        int before = (int) Math.min(pad, onset.frame()) / 2;
        if (before >= 8 && force.highPassHz() == 0) {
          double mean = 0;
          for (int i = pad - 2 * before; i < pad - before; i++) {
            mean += f[i] / before;
          }
          for (int i = 0; i < n; i++) {
            f[i] -= mean;
          }
        }
        if (force.highPassHz() > 0) {
          HighPassInverse.apply(f, n, force.highPassHz(), fs);
        }
        Pulse pulse = Pulse.of(f, n, 1, forceLevel.noise());
        if (Double.isNaN(pulse.contactSamples()) || pulse.isDouble()) {
          continue;
        }
        contact[known] = pulse.contactSamples() / fs;
        int length = (int) Math.ceil(pulse.contactSamples());
        int end = Math.min(n, pulse.endAt() + length / 4 + 1);
        double sum = 0;
        for (int i = Math.max(0, pulse.peakAt() - 2 * length); i < end; i++) {
          sum += f[i];
        }
        area[known] = sum;
        behind(f, end + length, Math.min(n, end + 9 * length), pulse, ringing, known);
        int from = Math.min(n, end + 2 * length);
        int to = Math.min(n, from + (int) Math.round(0.02 * fs));
        undershoot(f, from, to, pulse.peakAt(), sum, rate, rateError, known);
        known++;
      }
    }
    if (known == 0) {
      return;
    }
    taps.contactS = median(contact, known);
    taps.area = median(area, known);
    taps.ringing = median(ringing, known);
    taps.undershootHz = force.highPassHz() > 0 ? 0 : corner(rate, rateError, known);
  }

  /** Swing of the force behind the contact, less what noise there is anyway. */
  private void behind(double[] f, int from, int to, Pulse pulse, double[] ringing, int at) {
    int n = to - from;
    if (n < 8) {
      return;
    }
    double mean = 0;
    for (int i = from; i < to; i++) {
      mean += f[i] / n;
    }
    double power = 0;
    for (int i = from; i < to; i++) {
      power += (f[i] - mean) * (f[i] - mean) / n;
    }
    double own = power - 2 * forceLevel.noise() * forceLevel.noise();
    ringing[at] = Math.sqrt(Math.max(0, own)) / pulse.peak();
  }

  /**
   * A first-order high-pass of corner ωc answers a blow of area A with −A ωc exp(−ωc t) after it:
   * its mean over a stretch tells ωc.
   */
  private void undershoot(
      double[] f,
      int from,
      int to,
      int peakAt,
      double area,
      double[] rate,
      double[] error,
      int at) {
    int n = to - from;
    if (n < 16 || !(area > 0)) {
      error[at] = Double.POSITIVE_INFINITY;
      return;
    }
    double mean = 0;
    for (int i = from; i < to; i++) {
      mean += f[i] / n;
    }
    double r = Math.max(0, -mean / (area / fs));
    double early = (from - peakAt) / fs;
    double late = (to - peakAt) / fs;
    double corner = r;
    for (int i = 0; i < 50 && corner > 0; i++) {
      double decay =
          (Math.exp(-corner * early) - Math.exp(-corner * late)) / (corner * (late - early));
      corner = Math.min(r / decay, 1 / early);
    }
    rate[at] = mean > 0 ? -mean / (area / fs) : corner;
    // Hum and slow noise do not average out as white noise does: hence the factor.
    error[at] = 5 * forceLevel.noise() / Math.sqrt(n) / (area / fs) * (1 + corner * late);
  }

  private static double corner(double[] rate, double[] error, int n) {
    double typical = median(rate, n);
    double spread = 0;
    double expected = 0;
    for (int i = 0; i < n; i++) {
      spread += Math.abs(rate[i] - typical) / n;
      expected = Math.max(expected, error[i]);
    }
    // Less than 0.05 Hz changes nothing at frequencies that an accelerometer reaches.
    boolean seen = typical > 5 * spread / Math.sqrt(n) && typical > expected && typical > 0.3;
    return seen ? typical / (2 * Math.PI) : 0;
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

  /** The largest value that most of the given ones reach. */
  private static long most(long[] values) {
    long[] sorted = values.clone();
    Arrays.sort(sorted);
    return sorted[(int) Math.floor((1 - MOST) * (sorted.length - 1) + 1e-9)];
  }

  private record Length(int samples, String why) {}

  private Decay decay(Taps taps) throws IOException {
    if (taps.decay == null) {
      int length = (int) Math.min(taps.room, LONGEST_LOOK);
      if (length < 32) {
        taps.decay = new Decay(length / fs, 1);
        return taps.decay;
      }
      Channel response = recording.response();
      List<double[]> stretches = new ArrayList<>();
      double[] before = new double[0];
      try (BlockReader reader = new BlockReader(recording.recordings(), force, response)) {
        double[] f = new double[length];
        for (Onset onset : taps.some) {
          double[] x = new double[length];
          if (onset.equals(taps.some.get(0)) && onset.frame() > 64) {
            // At most as much as comes before the very first onset that was looked at.
            int n = (int) Math.min(length, onset.frame() - margin());
            if (n >= Math.round(0.05 * fs)) {
              before = new double[n];
              reader.read(
                  onset.recording(), onset.frame() - margin() - n, n, new double[n], before);
              toRest(before, response, onset.recording());
            }
          }
          reader.read(onset.recording(), onset.frame(), length, f, x);
          toRest(x, response, onset.recording());
          stretches.add(x);
        }
      }
      double top = Double.isNaN(taps.contactS) ? fs / 4 : Math.min(fs / 2.5, 1.3 / taps.contactS);
      taps.decay = Decay.of(stretches, before, responseLevel.noise(), fs, LOWEST_MODE_HZ, top);
    }
    return taps.decay;
  }

  private void toRest(double[] x, Channel channel, int which) {
    double rest = responseLevel.offsets().get(which);
    for (int i = 0; i < x.length; i++) {
      x[i] = x[i] * channel.scale() - rest;
    }
  }

  private Length decayLength(Taps taps, int pre) throws IOException {
    Decay decay = decay(taps);
    double contact = Double.isNaN(taps.contactS) ? 0 : taps.contactS;
    double wantedS = Math.max(FINER_LINES * decay.neededS(), 20 * contact);
    int most = (int) Math.min(pre + taps.room, Integer.MAX_VALUE / 4);
    int least = (int) Math.min(most, pre + Math.ceil(wantedS * fs));
    String end = taps.endsAtNextTap ? "the next tap" : "the recording's end";
    if (most < 16) {
      throw new BadInputException(
          String.format(
              Locale.ROOT,
              "the taps leave only %d samples each: too little for a block; record longer",
              most));
    }
    int n = Lengths.atLeast(least);
    boolean limited = n > most;
    if (limited) {
      n = Lengths.atMost(most);
    }
    String why =
        decay.left() > Decay.SMALL
            ? String.format(
                Locale.ROOT,
                "up to %s, where %.2g %% of the response is left",
                end,
                100 * decay.left())
            : String.format(
                Locale.ROOT,
                "the response has decayed to 0.1 %% after %.3g s%s",
                decay.neededS(),
                limited ? "; it ends before " + end : "");
    return new Length(n, why);
  }

  private double timeConstant(Taps taps, int n, int pre) throws IOException {
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
    if (taps.some.isEmpty()) {
      return Double.POSITIVE_INFINITY;
    }
    Decay decay = decay(taps);
    double left = leftAt((n - pre) / fs, decay, taps);
    if (left <= 5 * Decay.SMALL) {
      remarks.add("no exponential window: the decay fits into the block");
      return Double.POSITIVE_INFINITY;
    }
    if (taps.endsAtNextTap && decay.left() > 0.01) {
      say(
          "%.2g %% of the response is left when the next tap comes, and disturbs it: wait about %.2g s"
              + " between taps",
          100 * decay.left(), secondsToSmall(decay, taps));
    }
    double end = Math.max(0.01, Math.min(0.05, Decay.SMALL / left));
    double tau = -(n / fs) / Math.log(end);
    say(
        "the response has only decayed to %.2g %% at the block's end: an exponential window down to"
            + " %.2g %% was applied to both channels",
        100 * left, 100 * end);
    windowRemark(tau, n);
    return tau;
  }

  /**
   * Amplitude left after a time, carried from what the decay needs to reach a tenth of a per cent.
   */
  private double leftAt(double seconds, Decay decay, Taps taps) {
    double looked = Math.min(taps.room, LONGEST_LOOK) / fs;
    if (decay.left() > Decay.SMALL) {
      return Math.pow(decay.left(), Math.min(1, seconds / looked));
    }
    return decay.neededS() > 0 ? Math.pow(Decay.SMALL, seconds / decay.neededS()) : 0;
  }

  private double secondsToSmall(Decay decay, Taps taps) {
    double looked = Math.min(taps.room, LONGEST_LOOK) / fs;
    return looked * Math.log(Decay.SMALL) / Math.log(Math.min(0.9, decay.left()));
  }

  private void windowRemark(double tau, int n) {
    say(
        "exponential window of time constant %.4g ms (%.3g %% at the block's end) on both channels:"
            + " the values are G(iω + 1/τ), every mode carries the added damping ratio %.3g Hz/fn,"
            + " which a fit takes out again",
        1e3 * tau, 100 * Math.exp(-n / (fs * tau)), 1 / (2 * Math.PI * tau));
  }

  private Processing.ForceWindow forceWindow(Taps taps, int n, int pre) {
    if (wanted.forceWindow().isPresent()) {
      Processing.ForceWindow window = wanted.forceWindow().get();
      if (!(window.lengthS() >= 0 && window.taperS() >= 0)) {
        throw new BadInputException("forceWindow: length and taper must not be negative");
      }
      if (!window.isNone() && taps.undershootHz > 0) {
        say(
            "the force falls below rest after the blow, as behind an AC-coupled input of about %.2g"
                + " Hz, and the force window cuts that off: low frequencies come out wrong (by some"
                + " %.2g %% at 100 Hz); give highPass or set forceWindow to none",
            taps.undershootHz, taps.undershootHz);
      } else if (!window.isNone()
          && !Double.isNaN(taps.contactS)
          && window.lengthS() + window.taperS() / 2 < 1.2 * taps.contactS) {
        say(
            "the force window of %.3g ms cuts into the blows, which last %.3g ms",
            1e3 * window.lengthS(), 1e3 * taps.contactS);
      }
      return window;
    }
    if (taps.undershootHz > 0) {
      say(
          "the force falls below rest after the blow, as behind an AC-coupled input of about %.2g"
              + " Hz: no force window, which would cut that off; both channels must be coupled"
              + " alike, or highPass be given",
          taps.undershootHz);
      return Processing.ForceWindow.NONE;
    }
    if (Double.isNaN(taps.contactS) || !(taps.area > 0)) {
      remarks.add("no force window");
      return Processing.ForceWindow.NONE;
    }
    if (taps.ringing > 0.01) {
      say(
          "no force window: the force still swings by %.2g %% of its peak after the blow",
          100 * taps.ringing);
      return Processing.ForceWindow.NONE;
    }
    double drop = wanted.forceDropDb().orElse(ResponseEstimator.USUAL_FORCE_DROP_DB);
    double noisePower = forceLevel.noise() * forceLevel.noise() * n;
    double part = noisePower / (taps.area * taps.area * Math.pow(10, -drop / 10));
    double length = Math.max(5 * taps.contactS, 0.0005);
    double taper = length / 2;
    if (part < 1e-4 || pre + (length + taper) * fs > n / 2.0) {
      remarks.add("no force window: the noise of the force channel does not matter");
      return Processing.ForceWindow.NONE;
    }
    say(
        "force window of %.3g ms and %.3g ms taper (contact time %.3g ms): without it the noise of"
            + " the force channel would hold %.2g %% of the power at the band's upper end",
        1e3 * length, 1e3 * taper, 1e3 * taps.contactS, 100 * part);
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

  private static double median(double[] values, int n) {
    double[] sorted = Arrays.copyOf(values, n);
    Arrays.sort(sorted);
    return n % 2 == 1 ? sorted[n / 2] : (sorted[n / 2 - 1] + sorted[n / 2]) / 2;
  }
}
