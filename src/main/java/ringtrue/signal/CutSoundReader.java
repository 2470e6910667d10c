package ringtrue.signal;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import ringtrue.dynamics.Progress;
import ringtrue.signal.CutSoundJudge.Candidate;
import ringtrue.signal.CutSoundJudge.CombLine;
import ringtrue.signal.HeardCut.Verdict;

/**
 * Reads the sound of a cut: where in it something is cut, how fast the spindle turns, which lines
 * stand out, and whether the tool chatters.
 *
 * <p>A line counts if noise alone would bring up such a one in less than one recording out of a
 * hundred ({@link LineFloor}), wherever in the spectrum. It can be chatter if it lies away from the
 * comb of the spindle and is not more than {@value #CHATTER_DB} dB weaker than the strongest line
 * of tooth passing: what regenerates grows until the teeth leave the work, and is as strong as the
 * cut itself by then. It is chatter if it comes with the cut, or brings side bands at tooth
 * passing, which fans, pumps and mains do not.
 */
public final class CutSoundReader {
  /** Chance that noise alone makes a line stand out somewhere in a recording. */
  public static final double FALSE_ALARM = 0.01;

  /** How much weaker than the strongest line of the comb chatter may be, dB. */
  static final double CHATTER_DB = 14;

  /** Beside this, lines of a clipped recording may be made by the clipping. */
  static final double CLIPPED_CHATTER_DB = 7;

  /** Vibration over what the forces would bend at rest, from which a cut counts as forced. */
  static final double FORCED = 2.4;

  /** A cut is judged in windows of so long, so that what comes late is not lost in the mean, s. */
  static final double WINDOW_S = 4;

  /** About how long a frame is in which only the level counts, s. */
  private static final double LEVEL_S = 0.1;

  private static final double TOO_QUIET = 3e-5;
  private static final double CLIPPED = 0.999;
  private static final double LINES_OF_TURN = 14;
  private static final double FEWEST_LINES_OF_TURN = 8;
  private static final double FINE_HZ = 0.75;
  private static final int FINE_FRAMES = 6;
  private static final double FRAME_HZ = 3;
  private static final double COMB_CHANCE = 1e-6;
  private static final double SPLIT_DB = 7;

  /** A tone that lasts is as strong in the median as in the mean. */
  private static final double LASTING = 0.25;

  /** Length of the windows for chatter that comes and goes, in frames of the coarse kind. */
  private static final double PASSING_FRAMES = 1.6;

  /** Chatter keeps its frequency from window to window so well. */
  private static final double SAME = 0.004;

  private static final int MOST_PEAKS = 60;

  private final StatedCut cut;
  private final HeardStructure structure;

  /**
   * @param cut what is stated
   * @param structure what is known of it
   */
  public CutSoundReader(StatedCut cut, HeardStructure structure) {
    this.cut = cut;
    this.structure = structure;
  }

  /** A stretch of sound and what is known of all of it. */
  private record Sound(
      double[] samples,
      double sampleRateHz,
      double startS,
      SoundFrames coarse,
      CombTrack track,
      List<AirSound> air,
      boolean clipped,
      Optional<Spectrogram> gram) {}

  /** Where it is cut and where it is not, in samples. */
  private record Parts(int from, int to, List<int[]> idle) {}

  /** Reads a stretch by itself. */
  public HeardCut read(double[] samples, double sampleRateHz, Progress progress) {
    return read(samples, sampleRateHz, 0, List.of(), progress);
  }

  /**
   * Reads a stretch.
   *
   * @param samples fractions of full scale
   * @param sampleRateHz samples per second
   * @param startS where the stretch begins in the recording, s
   * @param air what sounds in air
   * @param progress told how far it is, may cancel
   */
  HeardCut read(
      double[] recorded,
      double sampleRateHz,
      double startS,
      List<AirSound> air,
      Progress progress) {
    List<String> remarks = new ArrayList<>();
    double[] samples = aboutItsMean(recorded);
    double largest = largest(samples);
    double endS = startS + samples.length / sampleRateHz;
    if (largest < TOO_QUIET) {
      return nothing(startS, endS, "There is no sound in it.", Optional.empty(), remarks);
    }
    boolean clipped = clipped(recorded, largest(recorded));
    if (clipped) {
      remarks.add(
          "the recording is clipped: peaks are cut off, which makes lines of its own; turn the gain"
              + " down and record again");
    }
    int size = frameSize(samples.length, sampleRateHz);
    if (size == 0) {
      return nothing(
          startS,
          endS,
          String.format(
              Locale.ROOT,
              "It is too short: %.2g s; about %.2g s of cutting are needed to tell lines apart at"
                  + " this speed.",
              endS - startS,
              2 * FEWEST_LINES_OF_TURN / (CombTrack.SLOWEST * cut.spindleHz())),
          Optional.empty(),
          remarks);
    }
    SoundFrames frames = SoundFrames.of(samples, 0, samples.length, sampleRateHz, size);
    SoundFrames longer = SoundFrames.of(samples, 0, samples.length, sampleRateHz, 2 * size);
    CombTrack track = CombTrack.of(frames, longer, cut, progress);
    Optional<Spectrogram> gram =
        Optional.of(Spectrogram.of(frames, startS, shownTopHz(sampleRateHz)));
    SoundFrames levels = cut.milling() ? frames : shorter(samples, sampleRateHz, size);
    Parts parts = parts(levels, track, samples.length);
    List<AirSound> quiet = new ArrayList<>(air);
    for (int[] idle : parts.idle) {
      quiet.add(new AirSound(samples, idle[0], idle[1], sampleRateHz, true));
    }
    Sound sound = new Sound(samples, sampleRateHz, startS, frames, track, quiet, clipped, gram);
    List<HeardCut> windows = new ArrayList<>();
    double longest = Math.max(WINDOW_S, 40 / cut.spindleHz()) * sampleRateHz;
    int count = (int) Math.max(1, Math.floor((parts.to - parts.from) / longest));
    for (int w = 0; w < count; w++) {
      progress.at((w + 0.5) / count, "telling lines apart");
      int from = parts.from + (int) ((long) (parts.to - parts.from) * w / count);
      int to = parts.from + (int) ((long) (parts.to - parts.from) * (w + 1) / count);
      windows.add(judge(sound, from, to, new ArrayList<>(remarks)));
    }
    HeardCut whole = HeardCut.together(windows);
    boolean told = whole.verdict() != Verdict.CHATTER && whole.verdict() != Verdict.NOTHING_HEARD;
    return told ? passing(sound, parts, whole, progress).orElse(whole) : whole;
  }

  /**
   * Chatter that comes and goes: it is lost in what is usual over a whole window. Judged again in
   * windows hardly longer than a frame that overlap by two thirds; chatter is what two of them in a
   * row find at one frequency.
   */
  private Optional<HeardCut> passing(Sound sound, Parts parts, HeardCut whole, Progress progress) {
    int length = (int) (PASSING_FRAMES * sound.coarse.size());
    int hop = length / 3;
    if (parts.to - parts.from < 2 * length) {
      return Optional.empty();
    }
    HeardCut before = null;
    HeardCut best = null;
    HeardCut last = null;
    double fromS = 0;
    double toS = 0;
    for (int from = parts.from; from + length <= parts.to; from += hop) {
      progress.at((double) (from - parts.from) / (parts.to - parts.from), "looking at short parts");
      HeardCut now = judge(sound, from, from + length, new ArrayList<>());
      boolean chatter = now.verdict() == Verdict.CHATTER;
      if (chatter && before != null && alike(before, now, sound)) {
        // what both hold; a window reaches further than the chatter does
        fromS = best == null ? now.fromS() : fromS;
        if (best == null || before == last) {
          toS = before.toS();
          last = now;
          best = best == null || now.strength() > best.strength() ? now : best;
        }
      }
      before = chatter ? now : null;
    }
    return best == null ? Optional.empty() : Optional.of(best.asPartOf(whole, fromS, toS));
  }

  private static boolean alike(HeardCut a, HeardCut b, Sound sound) {
    double bin = sound.sampleRateHz / sound.coarse.size();
    return Math.abs(a.chatterHz() - b.chatterHz()) < Math.max(bin, SAME * a.chatterHz());
  }

  /** Sound has no mean; what there is comes from the input. */
  private static double[] aboutItsMean(double[] samples) {
    double mean = Arrays.stream(samples).average().orElse(0);
    return Arrays.stream(samples).map(s -> s - mean).toArray();
  }

  private static double largest(double[] samples) {
    return Arrays.stream(samples).map(Math::abs).max().orElse(0);
  }

  private double shownTopHz(double sampleRateHz) {
    double modes = structure.modesHz().stream().mapToDouble(f -> 1.6 * f).max().orElse(3000);
    double teeth = 5.2 * cut.toothOrder() * cut.spindleHz();
    return Math.min(
        Math.min(SoundFrames.TOP_HZ, sampleRateHz / 2), Math.max(2000, Math.max(modes, teeth)));
  }

  private HeardCut nothing(
      double fromS, double toS, String because, Optional<Spectrogram> gram, List<String> remarks) {
    double no = Double.NaN;
    return new HeardCut(
        fromS,
        toS,
        Verdict.NOTHING_HEARD,
        because,
        no,
        no,
        no,
        no,
        List.of(),
        no,
        false,
        no,
        no,
        Optional.empty(),
        gram,
        List.of(),
        remarks);
  }

  /** Flat tops: three samples or more in a row at the largest value, several times. */
  private static boolean clipped(double[] samples, double largest) {
    int runs = 0;
    int run = 0;
    double level = largest * CLIPPED;
    for (double s : samples) {
      run = Math.abs(s) >= level ? run + 1 : 0;
      runs += run == 3 ? 1 : 0;
    }
    return runs >= 5 && runs * 3.0 > 1e-5 * samples.length;
  }

  /** Frames fine enough to part the turns' lines; 0 if there is not enough sound for that. */
  private int frameSize(int samples, double sampleRateHz) {
    double slowest = CombTrack.SLOWEST * cut.spindleHz();
    double wanted = sampleRateHz / Math.min(FRAME_HZ, slowest / LINES_OF_TURN);
    int size = Integer.highestOneBit((int) Math.min(1 << 20, Math.ceil(wanted) - 1)) * 2;
    while (size * 2.0 > samples) {
      size /= 2;
    }
    return size < sampleRateHz * FEWEST_LINES_OF_TURN / slowest ? 0 : size;
  }

  // ---- where it is cut

  /** Frames for levels alone, which need not part the turns' lines. */
  private static SoundFrames shorter(double[] samples, double sampleRateHz, int size) {
    int some = Integer.highestOneBit((int) Math.ceil(LEVEL_S * sampleRateHz)) * 2;
    return SoundFrames.of(samples, 0, samples.length, sampleRateHz, Math.min(size, some));
  }

  /** The longest stretch in which the lines of the cut are strong, and those without them. */
  private Parts parts(SoundFrames frames, CombTrack track, int samples) {
    int n = frames.count();
    double[] level = new double[n];
    for (int t = 0; t < n; t++) {
      level[t] =
          SoundSpectrum.decibels(cut.milling() ? combPower(frames, track, t) : power(frames, t));
    }
    double split = split(level);
    if (Double.isNaN(split)) {
      return new Parts(0, samples, List.of());
    }
    boolean[] loud = new boolean[n];
    for (int t = 0; t < n; t++) {
      loud[t] = level[t] > split;
    }
    int bestFrom = 0;
    int bestTo = 0;
    List<int[]> idle = new ArrayList<>();
    int from = 0;
    for (int t = 1; t <= n; t++) {
      if (t < n && loud[t] == loud[from]) {
        continue;
      }
      if (loud[from] && t - from > bestTo - bestFrom) {
        bestFrom = from;
        bestTo = t;
      }
      // a frame straddles the border by as much as it is long
      int margin = frames.size() / frames.hop();
      int a = from == 0 ? 0 : from + margin;
      int b = t == n ? n : t - margin;
      if (!loud[from] && b > a) {
        idle.add(new int[] {frames.start(a), frames.start(b - 1) + frames.size()});
      }
      from = t;
    }
    int margin = frames.size() / frames.hop() - 1;
    int a = bestFrom == 0 ? 0 : Math.min(bestFrom + margin, bestTo - 1);
    int b = bestTo == n ? n : Math.max(a + 1, bestTo - margin);
    return new Parts(frames.start(a), b == n ? samples : frames.start(b - 1) + frames.size(), idle);
  }

  /** Two levels, if there are two: the border between them, dB; otherwise NaN. */
  private static double split(double[] level) {
    double[] sorted = level.clone();
    Arrays.sort(sorted);
    int n = sorted.length;
    if (n < 8) {
      return Double.NaN;
    }
    double[] sum = new double[n + 1];
    for (int i = 0; i < n; i++) {
      sum[i + 1] = sum[i] + sorted[i];
    }
    double best = -1;
    int at = 0;
    for (int i = 2; i <= n - 2; i++) {
      double low = sum[i] / i;
      double high = (sum[n] - sum[i]) / (n - i);
      double between = (double) i * (n - i) * (high - low) * (high - low);
      if (between > best) {
        best = between;
        at = i;
      }
    }
    double low = sum[at] / at;
    double high = (sum[n] - sum[at]) / (n - at);
    return high - low < SPLIT_DB ? Double.NaN : 0.5 * (low + high);
  }

  private double combPower(SoundFrames frames, CombTrack track, int t) {
    double[] top = new double[2];
    double sum = 1e-14;
    for (int k = 1; k <= 10; k++) {
      double line = k * cut.toothOrder() * track.spindleHz(t) / frames.binHz();
      if (line < frames.bins() - 2) {
        SoundFrames.top(frames.frame(t), line, 1, top);
        sum += top[1];
      }
    }
    return sum;
  }

  private static double power(SoundFrames frames, int t) {
    double sum = 1e-14;
    float[] p = frames.frame(t);
    for (int k = (int) (100 / frames.binHz()) + 1; k < p.length; k++) {
      sum += p[k];
    }
    return sum;
  }

  // ---- which lines there are

  private HeardCut judge(Sound sound, int from, int to, List<String> remarks) {
    double[] samples = sound.samples;
    double rate = sound.sampleRateHz;
    SoundFrames coarse = sound.coarse;
    CombTrack coarseTrack = sound.track;
    Optional<Spectrogram> gram = sound.gram;
    Parts parts = new Parts(from, to, List.of());
    int length = to - from;
    int size = fineSize(parts, coarse, coarseTrack, rate);
    while (size * 1.5 > length && size > 64) {
      size /= 2;
    }
    SoundFrames frames = SoundFrames.of(samples, parts.from, parts.to, rate, size);
    double fromS = sound.startS + from / rate;
    double toS = sound.startS + to / rate;
    double[] spindle = new double[frames.count()];
    for (int t = 0; t < spindle.length; t++) {
      spindle[t] = coarseTrack.at(coarse, parts.from / rate + frames.middleS(t));
    }
    for (int t = 0; t < spindle.length; t++) {
      spindle[t] = CombTrack.refined(frames, t, spindle[t], combOrders(), cut.toothOrder());
    }
    double independent = SoundFrames.independent(frames.count(), size);
    double[] floor = LineFloor.of(mean(frames), independent);
    List<CombLine> comb = comb(frames, spindle, floor, independent);
    SoundSpectrum spectrum = new SoundSpectrum(frames.binHz(), mean(frames), floor);
    int heard = (int) comb.stream().filter(c -> c.standsOut() && isPattern(c.order())).count();
    double turns = Arrays.stream(spindle).average().orElse(Double.NaN);
    boolean found =
        heard >= 1 || !cut.milling() && comb.stream().filter(c -> c.standsOut()).count() >= 2;
    if (!found && cut.milling()) {
      return withoutComb(
          sound, from, to, frames, spindle, comb, floor, independent, spectrum, remarks);
    }
    if (!found) {
      turns = cut.spindleHz();
      remarks.add(
          "the lines of the spindle's turns do not stand out of the noise; the stated speed was"
              + " taken");
      Arrays.fill(spindle, turns);
    }
    double[] rest = rest(frames, spindle, found ? comb : List.of());
    List<Candidate> others = peaks(frames, rest, floor, independent, spindle);
    double no = Double.NaN;
    double[] speeds = {
      turns, Arrays.stream(spindle).min().orElse(no), Arrays.stream(spindle).max().orElse(no)
    };
    CutSoundJudge.Evidence evidence =
        new CutSoundJudge.Evidence(
            fromS,
            toS,
            found ? speeds : new double[] {no, no, no},
            frames.binHz(),
            size,
            comb,
            others,
            totalPower(frames),
            sound.air,
            sound.clipped,
            (speeds[2] - speeds[1]) / speeds[0]);
    return new CutSoundJudge(cut, structure, evidence, remarks).result(Optional.of(spectrum), gram);
  }

  /**
   * Chatter can drown the lines of the teeth. Its own lines lie tooth passing apart, and give the
   * speed away; without that, a line that comes with the cut may still be chatter, at a speed that
   * is not heard.
   */
  private HeardCut withoutComb(
      Sound sound,
      int from,
      int to,
      SoundFrames frames,
      double[] spindle,
      List<CombLine> comb,
      double[] floor,
      double independent,
      SoundSpectrum spectrum,
      List<String> remarks) {
    double no = Double.NaN;
    double fromS = sound.startS + from / sound.sampleRateHz;
    double toS = sound.startS + to / sound.sampleRateHz;
    double[] rest = rest(frames, spindle, List.of());
    List<Candidate> others = peaks(frames, rest, floor, independent, spindle);
    List<CombLine> heardComb = comb;
    double turns = SideBands.turnsHz(others, cut, frames.binHz());
    boolean strong =
        !others.isEmpty()
            && others.get(0).power > Math.pow(10, -CHATTER_DB / 10) * totalPower(frames);
    if (strong && (!Double.isNaN(turns) || !sound.air.isEmpty())) {
      if (Double.isNaN(turns)) {
        remarks.add("teeth are not heard; the stated speed was taken");
      } else {
        remarks.add("teeth are hardly heard; the speed is from the side bands of the chatter");
        Arrays.fill(spindle, turns);
        heardComb = comb(frames, spindle, floor, independent);
        others = peaks(frames, rest(frames, spindle, heardComb), floor, independent, spindle);
      }
      CutSoundJudge.Evidence evidence =
          new CutSoundJudge.Evidence(
              fromS,
              toS,
              new double[] {turns, turns, turns},
              frames.binHz(),
              frames.size(),
              heardComb,
              others,
              totalPower(frames),
              sound.air,
              sound.clipped,
              0);
      HeardCut heard =
          new CutSoundJudge(cut, structure, evidence, remarks)
              .result(Optional.of(spectrum), sound.gram);
      if (heard.verdict() == Verdict.CHATTER) {
        return heard;
      }
      remarks.clear();
    }
    return new HeardCut(
        fromS,
        toS,
        Verdict.NOTHING_HEARD,
        String.format(
            Locale.ROOT,
            "Teeth are not heard: no row of lines at multiples of tooth passing (%.5g Hz at the"
                + " stated speed) stands out of the noise, from %.0f %% below it to %.0f %% above.",
            cut.toothOrder() * cut.spindleHz(),
            100 * (1 - CombTrack.SLOWEST),
            100 * (CombTrack.FASTEST - 1)),
        no,
        no,
        no,
        no,
        List.of(),
        no,
        false,
        no,
        no,
        Optional.of(spectrum),
        sound.gram,
        List.of(),
        remarks);
  }

  /** Power of everything above 20 Hz, as the sine would have that sounds as loud. */
  private static double totalPower(SoundFrames frames) {
    double[] mean = mean(frames);
    double sum = 0;
    for (int k = (int) (20 / frames.binHz()) + 1; k < mean.length; k++) {
      sum += mean[k] / SoundFrames.NOISE_BINS;
    }
    return sum;
  }

  private int[] combOrders() {
    int teeth = cut.toothOrder();
    int n = teeth == 1 ? 20 : 12 * teeth;
    List<Integer> all = new ArrayList<>();
    for (int k = 1; k <= n; k++) {
      if (k % teeth == 0 || k <= 2 * teeth) {
        all.add(k);
      }
    }
    return all.stream().mapToInt(k -> k).toArray();
  }

  /**
   * The longest frames in which the lines of a few kilohertz do not move by more than their width.
   */
  private int fineSize(Parts parts, SoundFrames coarse, CombTrack track, double rate) {
    int size = Integer.highestOneBit((int) (rate / FINE_HZ)) * 2;
    int length = parts.to - parts.from;
    while (size > coarse.size()
        && (length < size * (1 + (FINE_FRAMES - 1) / 4.0)
            || drift(parts, coarse, track, size / rate) * 3000 * size / rate > 2)) {
      size /= 2;
    }
    return Math.max(size, coarse.size());
  }

  /** Largest relative change of the speed within so long, in the cut. */
  private static double drift(Parts parts, SoundFrames coarse, CombTrack track, double overS) {
    double rate = coarse.sampleRateHz();
    double worst = 0;
    for (int t = 0; t < coarse.count(); t++) {
      double a = coarse.middleS(t);
      double b = a + overS;
      if (coarse.start(t) >= parts.from && b * rate + coarse.size() / 2.0 <= parts.to) {
        double now = track.at(coarse, a);
        worst = Math.max(worst, Math.abs(track.at(coarse, b) - now) / now);
      }
    }
    return worst;
  }

  private static double[] mean(SoundFrames frames) {
    double[] mean = new double[frames.bins()];
    for (int t = 0; t < frames.count(); t++) {
      float[] p = frames.frame(t);
      for (int k = 0; k < mean.length; k++) {
        mean[k] += p[k] / frames.count();
      }
    }
    return mean;
  }

  private boolean isPattern(int order) {
    return order % cut.period() == 0;
  }

  /** The lines at multiples of the turns, each followed through the frames. */
  private List<CombLine> comb(
      SoundFrames frames, double[] spindle, double[] floor, double independent) {
    List<CombLine> lines = new ArrayList<>();
    double[] top = new double[2];
    // the largest of three lines is looked at
    double threshold = 1.5 * LineFloor.threshold(independent, COMB_CHANCE);
    double highest = Arrays.stream(spindle).max().orElse(1);
    int most = (int) ((frames.bins() - SoundFrames.LOBE) * frames.binHz() / highest);
    for (int k = 1; k <= Math.min(most, 400); k++) {
      double sum = 0;
      double hz = 0;
      double off = 0;
      for (int t = 0; t < frames.count(); t++) {
        double line = k * spindle[t] / frames.binHz();
        SoundFrames.top(frames.frame(t), line, 1, top);
        sum += top[1];
        off += top[1] * (top[0] - line);
        hz += k * spindle[t] / frames.count();
      }
      double power = sum / frames.count();
      double noise = floor[(int) Math.rint(hz / frames.binHz())];
      // a line that sits beside the comb's place is another one
      boolean tooth = cut.milling() && k % cut.toothOrder() == 0;
      boolean centred = tooth || Math.abs(off / sum) < 0.3 || power < 30 * noise;
      lines.add(new CombLine(k, hz, power, noise, power > threshold * noise && centred));
    }
    return lines;
  }

  /** Mean spectrum of what is not at the comb's places; NaN where nothing is left. */
  private double[] rest(SoundFrames frames, double[] spindle, List<CombLine> comb) {
    double[] sum = new double[frames.bins()];
    int[] seen = new int[frames.bins()];
    boolean[] hidden = new boolean[frames.bins()];
    for (int t = 0; t < frames.count(); t++) {
      Arrays.fill(hidden, false);
      double before = spindle[Math.max(0, t - 2)];
      double after = spindle[Math.min(spindle.length - 1, t + 2)];
      double moves = Math.abs(after - before) / frames.binHz();
      for (CombLine c : comb) {
        if (c.standsOut()) {
          double line = c.order() * spindle[t] / frames.binHz();
          double half = SoundFrames.LOBE + 0.5 + c.order() * moves;
          int low = (int) Math.max(0, Math.ceil(line - half));
          int high = (int) Math.min(hidden.length - 1.0, Math.floor(line + half));
          Arrays.fill(hidden, low, Math.max(low, high + 1), true);
        }
      }
      float[] p = frames.frame(t);
      for (int k = 0; k < sum.length; k++) {
        if (!hidden[k]) {
          sum[k] += p[k];
          seen[k]++;
        }
      }
    }
    for (int k = 0; k < sum.length; k++) {
      sum[k] = seen[k] * 3 < frames.count() ? Double.NaN : sum[k] / seen[k];
    }
    return sum;
  }

  /** Lines away from the comb that stand out by the criterion and last. */
  private List<Candidate> peaks(
      SoundFrames frames, double[] rest, double[] floor, double independent, double[] spindle) {
    double[] noise = LineFloor.of(rest, independent);
    double threshold = LineFloor.threshold(independent, FALSE_ALARM / frames.bins());
    List<Candidate> all = new ArrayList<>();
    float[] p = new float[rest.length];
    for (int k = 0; k < p.length; k++) {
      p[k] = Double.isNaN(rest[k]) ? 0 : (float) rest[k];
    }
    double[] top = new double[2];
    int lowest = (int) Math.max(SoundFrames.LOBE + 1.0, Math.ceil(20 / frames.binHz()));
    for (int k = lowest; k < rest.length - 3; k++) {
      boolean isTop = true;
      for (int d = -3; d <= 3 && isTop; d++) {
        isTop = d == 0 || !(rest[k + d] > rest[k]) && (d > 0 || !(rest[k + d] == rest[k]));
      }
      if (!isTop
          || !(rest[k] > threshold * noise[k])
          || Double.isNaN(rest[k - 1])
          || Double.isNaN(rest[k + 1])) {
        continue;
      }
      SoundFrames.top(p, k, 0.5, top);
      double usual = usual(frames, k);
      if (usual < LASTING * rest[k]) {
        continue; // a voice, a knock, the ringing after the entry
      }
      SoundLine line =
          new SoundLine(
              top[0] * frames.binHz(),
              SoundSpectrum.decibels(usual),
              10 * Math.log10(usual / noise[k]),
              SoundLine.Kind.OTHER,
              0,
              "");
      all.add(new Candidate(line, usual));
    }
    all.sort(Comparator.comparingDouble((Candidate c) -> -c.power));
    return all.size() > MOST_PEAKS ? new ArrayList<>(all.subList(0, MOST_PEAKS)) : all;
  }

  /** Median over the frames of what is at a line; as much as the mean where a tone lasts. */
  private static double usual(SoundFrames frames, int line) {
    double[] p = new double[frames.count()];
    double[] top = new double[2];
    for (int t = 0; t < p.length; t++) {
      SoundFrames.top(frames.frame(t), line, 1, top);
      p[t] = top[1];
    }
    Arrays.sort(p);
    return 0.5 * (p[(p.length - 1) / 2] + p[p.length / 2]);
  }
}
