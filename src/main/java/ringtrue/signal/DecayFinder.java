package ringtrue.signal;

import java.io.IOException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.stream.IntStream;
import ringtrue.acquisition.Channel;
import ringtrue.acquisition.Recording;
import ringtrue.acquisition.ResponseQuantity;
import ringtrue.acquisition.TapFinder;
import ringtrue.acquisition.TapFinder.Level;
import ringtrue.acquisition.TapFinder.Onset;
import ringtrue.acquisition.TapRecording;
import ringtrue.dynamics.FreeDecays;
import ringtrue.dynamics.FreeDecays.Stretch;
import ringtrue.dynamics.Progress;
import ringtrue.signal.Tap.Verdict;
import ringtrue.units.BadInputException;

/**
 * Cuts recordings of the response alone into free decays, one for each tap, and judges the taps.
 * Recordings are read as streams; only the decays that are used are held.
 */
public final class DecayFinder {
  /** A second onset within this time is the hammer coming back, not the next tap. */
  private static final double LONGEST_BOUNCE_S = 0.25;

  /** Where taps follow each other quickly, a bounce is shorter than this part of the usual time. */
  private static final double BOUNCE_PART = 0.4;

  private static final double WEAK_PART = 0.125;
  private static final double WEAK_NOISE = 10;

  /** Taps of which a decay is held; more would tell hardly more. */
  private static final int MOST_TAPS = 64;

  /** Samples held in all. */
  private static final long MOST_SAMPLES = 1 << 24;

  private static final int LONGEST = 1 << 21;
  private static final int LONGEST_QUIET = 1 << 18;

  /** A decay keeps clear of the next onset by this. */
  private static final double MARGIN_S = 0.002;

  private static final double LOWEST_MODE_HZ = 8;

  /** A decay is this much longer than it takes to die out, so that the fit sees the noise. */
  private static final double LONGER = 1.15;

  /** Records up to this long may hold nothing but ringing. */
  private static final int SHORT = 4000;

  private static final double RINGING_FRACTION = 0.3;

  private static final int FEWEST_SAMPLES = 12;

  private final TapRecording recording;
  private final Processing wanted;
  private final Progress progress;
  private final Channel response;
  private final String unit;
  private final double fs;
  private final int margin;
  private final List<String> remarks = new ArrayList<>();
  private Level level;
  private double noise;

  private DecayFinder(TapRecording recording, Processing wanted, Progress progress) {
    this.recording = recording;
    this.wanted = wanted;
    this.progress = progress;
    this.response = recording.response();
    this.unit = recording.quantity().siUnit();
    this.fs = recording.sampleRateHz();
    this.margin = (int) Math.max(1, Math.round(MARGIN_S * fs));
  }

  /**
   * Finds the free decays.
   *
   * @param recording recordings and what their response channel means; a force is not looked at
   * @param wanted of the processing: trigger level, block length, block starts, rejected and kept
   *     taps, and the force window as the time in which the blow acts
   * @param progress told where the work is; may cancel it
   * @throws BadInputException if the recordings cannot be read or hold no tap that can be used
   */
  public static FoundDecays find(TapRecording recording, Processing wanted, Progress progress) {
    try {
      return new DecayFinder(recording, wanted, progress).run();
    } catch (IOException e) {
      throw new BadInputException(
          recording.recordings().get(0).name() + ": cannot be read: " + e.getMessage(), e);
    }
  }

  private FoundDecays run() throws IOException {
    for (Recording other : recording.recordings()) {
      if (other.sampleRateHz() != fs) {
        throw new BadInputException(
            text(
                "%s: sample rate %.10g Hz differs from the %.10g Hz of %s; all recordings of a"
                    + " measurement need the same",
                other.name(), other.sampleRateHz(), fs, recording.recordings().get(0).name()));
      }
    }
    level =
        TapFinder.survey(
                recording.recordings(),
                List.of(response),
                (done, what) -> progress.at(0.3 * done, what))
            .levels()
            .get(0);
    if (level.silent()) {
      throw new BadInputException(
          recording.recordings().get(0).name()
              + ": the response channel "
              + response.number()
              + " is silent; check cable and channel");
    }
    double fraction = wanted.triggerFraction().orElse(level.triggerFraction());
    double trigger = fraction * level.peak();
    List<Onset> onsets =
        fraction < 1
            ? ResponseOnsets.find(
                recording.recordings(),
                response,
                level.offsets(),
                trigger,
                (done, what) -> progress.at(0.3 + 0.3 * done, what))
            : List.of();
    noise = level.noise();
    if (onsets.isEmpty() && wanted.triggerFraction().isEmpty() && isShort()) {
      // A short record may ring throughout, so that what looks like its noise is its ringing.
      noise = 0;
      trigger = RINGING_FRACTION * level.peak();
      onsets =
          ResponseOnsets.find(
              recording.recordings(), response, level.offsets(), trigger, Progress.NONE);
    }
    List<Candidate> all = wanted.blockStartsS().isEmpty() ? taps(onsets) : told(onsets);
    if (all.isEmpty()) {
      throw new BadInputException(
          text(
              "%s: no tap found in channel %d: the largest response is %.3g %s, the noise %.3g %s, the"
                  + " trigger level %.3g %s; check the channel and its gain, tap harder, or lower"
                  + " triggerLevel",
              recording.recordings().get(0).name()
                  + (recording.recordings().size() > 1 ? " and others" : ""),
              response.number(),
              level.peak(),
              unit,
              level.noise(),
              unit,
              trigger,
              unit));
    }
    checkNumbers(all.size());
    judge(all);
    return cut(all);
  }

  private boolean isShort() {
    return recording.recordings().stream().allMatch(r -> r.frames() <= SHORT);
  }

  private void checkNumbers(int taps) {
    for (boolean out : new boolean[] {true, false}) {
      for (int number : out ? wanted.rejected() : wanted.kept()) {
        if (number < 1 || number > taps) {
          throw new BadInputException(
              (out ? "rejected" : "kept")
                  + ": there is no tap "
                  + number
                  + "; the taps are numbered 1 to "
                  + taps);
        }
      }
    }
  }

  /** A tap before its decay is cut. */
  private static final class Candidate {
    final int recording;
    final long onset;
    final double peak;

    /** Frame at which the decay has to end at the latest. */
    final long end;

    /** How long after the first onset the hammer came back, frames; 0 if it did not. */
    final long bounce;

    final double bouncePeak;
    Verdict verdict = Verdict.KEPT;
    String reason = "";
    double[] samples;

    Candidate(int recording, long onset, double peak, long end, long bounce, double bouncePeak) {
      this.recording = recording;
      this.onset = onset;
      this.peak = peak;
      this.end = end;
      this.bounce = bounce;
      this.bouncePeak = bouncePeak;
    }

    /** Where the decay begins to be free, but for the contact. */
    long begin() {
      return onset + bounce;
    }

    int room() {
      return (int) Math.max(0, Math.min(end - begin(), LONGEST));
    }
  }

  private List<Candidate> taps(List<Onset> onsets) {
    List<Candidate> all = new ArrayList<>();
    double after = wanted.blockLengthS().orElse(Double.POSITIVE_INFINITY);
    double pre = wanted.preTriggerS().orElse(0.0);
    double bounce = bounce(onsets);
    int i = 0;
    while (i < onsets.size()) {
      Onset first = onsets.get(i);
      int last = i;
      while (last + 1 < onsets.size()
          && onsets.get(last + 1).recording() == first.recording()
          && (onsets.get(last + 1).frame() - first.frame()) / fs < bounce) {
        last++;
      }
      long end = recording.recordings().get(first.recording()).frames();
      if (last + 1 < onsets.size() && onsets.get(last + 1).recording() == first.recording()) {
        end = Math.min(end, onsets.get(last + 1).frame() - margin);
      }
      if (Double.isFinite(after)) {
        end = Math.min(end, first.frame() + Math.round(Math.max(0, after - pre) * fs));
      }
      double peak = first.peak();
      for (int j = i; j <= last; j++) {
        peak = Math.max(peak, onsets.get(j).peak());
      }
      all.add(
          new Candidate(
              first.recording(),
              first.frame(),
              peak,
              end,
              onsets.get(last).frame() - first.frame(),
              onsets.get(last).peak()));
      i = last + 1;
    }
    return all;
  }

  private double bounce(List<Onset> onsets) {
    double[] gaps =
        IntStream.range(1, onsets.size())
            .filter(i -> onsets.get(i).recording() == onsets.get(i - 1).recording())
            .mapToDouble(i -> (onsets.get(i).frame() - onsets.get(i - 1).frame()) / fs)
            .filter(gap -> gap > 0.02)
            .sorted()
            .toArray();
    return gaps.length == 0
        ? LONGEST_BOUNCE_S
        : Math.min(LONGEST_BOUNCE_S, BOUNCE_PART * gaps[(int) (0.75 * (gaps.length - 1) + 0.5)]);
  }

  /** Blocks that the user gave: the first onset inside, or the block's start where none shows. */
  private List<Candidate> told(List<Onset> onsets) {
    List<Candidate> all = new ArrayList<>();
    List<Double> starts = wanted.blockStartsS();
    long frames = recording.recordings().get(0).frames();
    for (int i = 0; i < starts.size(); i++) {
      long start = Math.round(starts.get(i) * fs);
      if (start >= frames) {
        throw new BadInputException(
            text(
                "blockStarts: %.6g s is beyond the recording, which lasts %.6g s",
                starts.get(i), frames / fs));
      }
      long end = i + 1 < starts.size() ? Math.round(starts.get(i + 1) * fs) : frames;
      double length = wanted.blockLengthS().orElse(Double.POSITIVE_INFINITY);
      if (Double.isFinite(length)) {
        end = Math.min(end, start + Math.round(length * fs));
      }
      long stop = Math.min(end, frames);
      List<Onset> inside =
          onsets.stream()
              .filter(o -> o.recording() == 0 && o.frame() >= start && o.frame() < stop)
              .toList();
      if (inside.isEmpty()) {
        all.add(new Candidate(0, start, Double.NaN, stop, 0, 0));
      } else {
        Onset first = inside.get(0);
        Onset last = inside.get(inside.size() - 1);
        all.add(
            new Candidate(
                0, first.frame(), first.peak(), stop, last.frame() - first.frame(), last.peak()));
      }
    }
    return all;
  }

  private void judge(List<Candidate> all) {
    double typical = Medians.of(all.stream().mapToDouble(c -> c.peak).toArray());
    double room = Medians.of(all.stream().mapToDouble(Candidate::room).toArray());
    for (int i = 0; i < all.size(); i++) {
      Candidate c = all.get(i);
      if (wanted.rejected().contains(i + 1)) {
        c.verdict = Verdict.REJECTED_BY_USER;
        c.reason = "left out as asked";
      } else if (c.room() < Math.max(FEWEST_SAMPLES, room / 5)) {
        c.verdict = Verdict.CUT_OFF;
        c.reason =
            text(
                "only %.3g ms are left after it until the %s; leave more time",
                1e3 * c.room() / fs,
                c.end < recording.recordings().get(c.recording).frames()
                    ? "next tap or the block's end"
                    : "recording's end");
      } else if (c.bounce > 0) {
        c.verdict = Verdict.DOUBLE_HIT;
        c.reason =
            text(
                "the response jumps again to %.3g %s %.3g ms after it",
                c.bouncePeak, unit, 1e3 * c.bounce / fs);
      } else if (c.peak < WEAK_NOISE * noise) {
        c.verdict = Verdict.TOO_WEAK;
        c.reason =
            text(
                "its response of %.3g %s is less than %.0f times the noise of %.2g %s",
                c.peak, unit, WEAK_NOISE, noise, unit);
      } else if (c.peak < WEAK_PART * typical) {
        c.verdict = Verdict.TOO_WEAK;
        c.reason =
            text(
                "its response of %.3g %s is only %.3g %% of the usual %.3g %s",
                c.peak, unit, 100 * c.peak / typical, typical, unit);
      } else {
        c.reason =
            Double.isNaN(c.peak)
                ? "taken as told"
                : text("one blow, response up to %.3g %s", c.peak, unit);
      }
      if (wanted.kept().contains(i + 1) && c.verdict != Verdict.KEPT && c.room() > FEWEST_SAMPLES) {
        c.reason =
            "kept as asked, although: "
                + c.reason
                + (c.bounce > 0 ? "; its decay begins with the last blow" : "");
        c.verdict = Verdict.KEPT;
      }
    }
  }

  private FoundDecays cut(List<Candidate> all) throws IOException {
    List<Candidate> kept = kept(all);
    if (kept.isEmpty()) {
      throw noneKept(all);
    }
    List<Candidate> used = some(kept);
    int needed = needed(used);
    long samples = 0;
    try (BlockReader reader = new BlockReader(recording.recordings(), response, response)) {
      int read = 0;
      for (Candidate c : used) {
        int n = Math.min(c.room(), needed);
        if (samples + n > MOST_SAMPLES && samples > 0) {
          break;
        }
        double[] x = new double[n];
        reader.read(c.recording, c.begin(), n, x, x);
        String overload = Overload.in("response", x, n, response, level, unit, true);
        boolean asked = wanted.kept().contains(all.indexOf(c) + 1);
        if (overload != null && !asked) {
          c.verdict = Verdict.OVERLOAD;
          c.reason = overload;
          continue;
        }
        toRest(x, c.recording);
        c.samples = x;
        samples += n;
        progress.at(0.6 + 0.4 * ++read / used.size(), "reading decay " + read);
      }
    }
    List<Candidate> held = used.stream().filter(c -> c.samples != null).toList();
    if (held.isEmpty()) {
      throw noneKept(all);
    }
    long unused = kept(all).size() - held.size();
    if (unused > 0) {
      remarks.add(
          text(
              "%d of the kept taps, spread evenly, were used; the other %d would tell hardly more",
              held.size(), unused));
    }
    lengthRemark(held, needed);
    FreeDecays decays =
        new FreeDecays(
            fs,
            held.stream().map(c -> new Stretch(c.samples)).toList(),
            new Stretch(quiet(all, needed)),
            response.highPassHz() > 0 ? List.of(2 * Math.PI * response.highPassHz()) : List.of(),
            wanted.forceWindow().filter(w -> !w.isNone()).map(w -> w.lengthS() + w.taperS()),
            IntStream.range(0, held.size())
                .filter(i -> wanted.kept().contains(all.indexOf(held.get(i)) + 1))
                .boxed()
                .toList());
    if (response.highPassHz() > 0) {
      remarks.add(
          text(
              "the input's high-pass of %.4g Hz adds a tail of its own to every decay, which was"
                  + " fitted with it",
              response.highPassHz()));
    }
    if (FrameRate.isFilm(recording)) {
      remarks.addAll(FrameRate.limits(fs, false));
    }
    if (recording.quantity() == ResponseQuantity.SOUND) {
      remarks.add(
          "sound tells frequency and damping of whatever rings; which part of the set-up a mode"
              + " belongs to, and its stiffness, it cannot tell");
    }
    List<DecayTap> taps = new ArrayList<>();
    for (Candidate c : all) {
      taps.add(
          new DecayTap(
              taps.size() + 1,
              recording.recordings().get(c.recording).name(),
              c.onset / fs,
              c.peak,
              c.samples == null ? Double.NaN : c.samples.length / fs,
              c.verdict,
              c.reason));
    }
    return new FoundDecays(decays, taps, remarks);
  }

  private static List<Candidate> kept(List<Candidate> all) {
    return all.stream().filter(c -> c.verdict == Verdict.KEPT).toList();
  }

  /** At most {@link #MOST_TAPS}, evenly spread. */
  private static List<Candidate> some(List<Candidate> kept) {
    int n = Math.min(kept.size(), MOST_TAPS);
    List<Candidate> some = new ArrayList<>();
    for (int i = 0; i < n; i++) {
      some.add(kept.get((int) ((long) i * kept.size() / n)));
    }
    return some;
  }

  /** Samples until everything has died out or sunk into the noise; all there are where unknown. */
  private int needed(List<Candidate> used) throws IOException {
    int length = used.stream().mapToInt(Candidate::room).min().orElseThrow();
    if (length < 64 || wanted.blockLengthS().isPresent()) {
      return LONGEST;
    }
    int looks = Math.min(used.size(), length > LONGEST / 4 ? 3 : 6);
    List<double[]> stretches = new ArrayList<>();
    try (BlockReader reader = new BlockReader(recording.recordings(), response, response)) {
      for (int i = 0; i < looks; i++) {
        Candidate c = used.get(i * used.size() / looks);
        double[] x = new double[length];
        reader.read(c.recording, c.begin(), length, x, x);
        toRest(x, c.recording);
        stretches.add(x);
      }
    }
    Decay decay =
        Decay.of(stretches, new double[0], noise, fs, LOWEST_MODE_HZ, Math.min(fs / 2.5, 16e3));
    return decay.left() > Decay.SMALL
        ? LONGEST
        : (int) Math.max(64, Math.ceil(LONGER * decay.neededS() * fs));
  }

  private void lengthRemark(List<Candidate> held, int needed) {
    double[] lengths = held.stream().mapToDouble(c -> c.samples.length / fs).toArray();
    double shortest = Arrays.stream(lengths).min().orElseThrow();
    double longest = Arrays.stream(lengths).max().orElseThrow();
    remarks.add(
        text(
            "each decay is %s long: %s",
            longest - shortest < 0.01 * longest
                ? text("%.3g s", longest)
                : text("%.3g to %.3g s", shortest, longest),
            wanted.blockLengthS().isPresent()
                ? "as the block length says"
                : needed < LONGEST && longest * fs >= needed
                    ? "then the response has died out"
                    : "up to the next tap or the recording's end"));
  }

  /** The longest stretch at rest: before a recording's first tap, or between decays. */
  private double[] quiet(List<Candidate> all, int needed) throws IOException {
    int which = -1;
    long from = 0;
    long to = 0;
    for (int i = 0; i < all.size(); i++) {
      Candidate c = all.get(i);
      boolean first = i == 0 || all.get(i - 1).recording != c.recording;
      long begin = first ? 0 : all.get(i - 1).begin() + 2L * needed;
      long end = c.onset - 2L * margin;
      if (Double.isNaN(c.peak) && first && c.onset == 0) {
        continue;
      }
      if (end - begin > to - from) {
        which = c.recording;
        from = begin;
        to = end;
      }
      boolean last = i + 1 == all.size() || all.get(i + 1).recording != c.recording;
      long tail = c.begin() + 2L * needed;
      long frames = recording.recordings().get(c.recording).frames();
      if (last && needed < LONGEST && frames - tail > to - from) {
        which = c.recording;
        from = tail;
        to = frames;
      }
    }
    int n = (int) Math.min(to - from, LONGEST_QUIET);
    if (which < 0 || n < 16) {
      return new double[0];
    }
    double[] x = new double[n];
    try (BlockReader reader = new BlockReader(recording.recordings(), response, response)) {
      reader.read(which, to - n, n, x, x);
    }
    toRest(x, which);
    return x;
  }

  private void toRest(double[] x, int which) {
    double rest = level.offsets().get(which);
    for (int i = 0; i < x.length; i++) {
      x[i] = x[i] * response.scale() - rest;
    }
  }

  private BadInputException noneKept(List<Candidate> all) {
    StringBuilder why = new StringBuilder("no tap can be kept: ");
    for (int i = 0; i < Math.min(all.size(), 4); i++) {
      Candidate c = all.get(i);
      why.append(i == 0 ? "" : "; ")
          .append(text("tap %d %s (%s)", i + 1, c.verdict.word(), c.reason));
    }
    if (all.size() > 4) {
      why.append("; and ").append(all.size() - 4).append(" more");
    }
    return new BadInputException(recording.recordings().get(0).name() + ": " + why);
  }

  private static String text(String format, Object... values) {
    return String.format(Locale.ROOT, format, values);
  }
}
