package ringtrue.signal;

import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.function.Consumer;
import java.util.stream.IntStream;
import ringtrue.acquisition.Channel;
import ringtrue.acquisition.Recording;
import ringtrue.acquisition.TapFinder.Direction;
import ringtrue.acquisition.TapFinder.Level;
import ringtrue.acquisition.TapRecording;
import ringtrue.dynamics.Progress;
import ringtrue.signal.Tap.Verdict;

/**
 * Walks over the blocks: reads each, judges its tap, transforms it, and sums the spectra of those
 * that are kept. As many blocks as there are threads are in memory at a time.
 */
final class TapWalk {
  private static final double WEAK_PART = 0.125;

  /** A hammer that bounces comes back sooner than this; later it is the next tap. */
  private static final double LONGEST_BOUNCE_S = 0.25;

  private static final double WEAK_NOISE = 10;

  /** Blocks in memory at a time hold no more than this many samples in each channel. */
  private static final long SAMPLES_AT_ONCE = 1 << 21;

  /** Groups of lines in which taps are compared. */
  private static final int GROUPS = 400;

  private final TapRecording recording;
  private final Processing wanted;
  private final Channel force;
  private final Channel response;
  private final Progress progress;
  private final Planner.Plan plan;
  private final BlockShape shape;
  private final Level forceLevel;
  private final Level responseLevel;
  private final double sign;
  private final Averages averages;
  private final List<BlockTransform> workers = new ArrayList<>();
  private final double typicalPeak;
  private final double forceWindowEnergy;
  private final double responseWindowEnergy;

  /**
   * @param plan blocks and how to process them
   * @param forceLevel what the force channel holds
   * @param responseLevel what the response channel holds
   * @param progress told from 0 to 1
   */
  TapWalk(
      TapRecording recording,
      Processing wanted,
      Planner.Plan plan,
      Level forceLevel,
      Level responseLevel,
      Progress progress) {
    this.recording = recording;
    this.wanted = wanted;
    this.force = recording.force().orElseThrow();
    this.response = recording.response();
    this.progress = progress;
    this.plan = plan;
    this.shape = plan.shape();
    this.forceLevel = forceLevel;
    this.responseLevel = responseLevel;
    this.sign = forceLevel.direction() == Direction.DOWN ? -1 : 1;
    this.averages = new Averages(shape.lines());
    double[] peaks =
        plan.blocks().stream()
            .mapToDouble(Planner.Block::peakN)
            .filter(p -> !Double.isNaN(p))
            .sorted()
            .toArray();
    this.typicalPeak = peaks.length == 0 ? Double.NaN : peaks[peaks.length / 2];
    double[] exponential = Double.isInfinite(shape.timeConstantS()) ? null : shape.exponential();
    double[] forceWindow = shape.force();
    if (exponential != null) {
      for (int i = 0; i < forceWindow.length; i++) {
        forceWindow[i] *= exponential[i];
      }
    }
    this.forceWindowEnergy = energy(forceWindow);
    this.responseWindowEnergy = exponential == null ? shape.samples() : energy(exponential);
    int threads =
        (int)
            Math.max(
                1,
                Math.min(
                    Math.min(Runtime.getRuntime().availableProcessors(), 8),
                    Math.min(plan.blocks().size(), SAMPLES_AT_ONCE / shape.samples())));
    SplitFft.Plan fft = new SplitFft.Plan(shape.samples());
    for (int i = 0; i < threads; i++) {
      workers.add(new BlockTransform(shape, force, response, forceWindow, exponential, fft));
    }
  }

  /** Sums over the taps that {@link #judge} kept. */
  Averages averages() {
    return averages;
  }

  /** Power that the force's noise at rest puts into each line of one tap, N². */
  double forceNoisePower() {
    return forceLevel.noise() * forceLevel.noise() * forceWindowEnergy;
  }

  /** The same of the response, in its unit squared. */
  double responseNoisePower() {
    return responseLevel.noise() * responseLevel.noise() * responseWindowEnergy;
  }

  /** Judges every tap by itself. */
  List<JudgedTap> judge() throws IOException {
    List<JudgedTap> all = new ArrayList<>();
    for (Planner.Block block : plan.blocks()) {
      all.add(new JudgedTap(all.size() + 1, block));
    }
    walk(
        all,
        0,
        0.9,
        (judged, worker, there) -> {
          look(judged, worker, there);
          worker.transform();
          after(judged, worker);
        },
        averages::add,
        progress);
    return all;
  }

  /** Sums over all blocks, unseen. */
  Averages sumAll() throws IOException {
    List<JudgedTap> all = new ArrayList<>();
    for (Planner.Block block : plan.blocks()) {
      JudgedTap tap = new JudgedTap(all.size() + 1, block);
      tap.verdict = Verdict.KEPT;
      all.add(tap);
    }
    return sumAgain(all);
  }

  /** Sums anew over the taps that are kept by now. */
  Averages sumAgain(List<JudgedTap> judged) throws IOException {
    Averages again = new Averages(shape.lines());
    List<JudgedTap> kept = judged.stream().filter(j -> j.isKept()).toList();
    walk(
        kept,
        0.9,
        1,
        (one, worker, there) -> {
          convert(one, worker);
          worker.transform();
        },
        again::add,
        progress);
    return again;
  }

  /**
   * The spectra of each tap by itself, over some of the lines.
   *
   * @param taps which taps, in order
   * @param first first line, counted from 0
   * @param lines how many
   * @param watching told from 0 to 1
   */
  List<Averages> each(List<JudgedTap> taps, int first, int lines, Progress watching)
      throws IOException {
    List<Averages> each = new ArrayList<>();
    walk(
        taps,
        0,
        1,
        (one, worker, there) -> {
          convert(one, worker);
          worker.transform();
        },
        blocks -> {
          for (BlockTransform block : blocks) {
            Averages one = new Averages(first, lines);
            one.add(List.of(block));
            each.add(one);
          }
        },
        watching);
    return each;
  }

  private void walk(
      List<JudgedTap> all,
      double from,
      double to,
      Work work,
      Consumer<List<BlockTransform>> transformed,
      Progress watching)
      throws IOException {
    int[] there = new int[workers.size()];
    try (BlockReader reader = new BlockReader(recording.recordings(), force, response)) {
      for (int first = 0; first < all.size(); first += workers.size()) {
        int batch = Math.min(workers.size(), all.size() - first);
        for (int i = 0; i < batch; i++) {
          Planner.Block block = all.get(first + i).block;
          BlockTransform worker = workers.get(i);
          there[i] =
              reader.read(
                  block.recording(), block.start(), shape.samples(), worker.force, worker.response);
        }
        int start = first;
        IntStream range = IntStream.range(0, batch);
        (batch > 1 ? range.parallel() : range)
            .forEach(i -> work.on(all.get(start + i), workers.get(i), there[i]));
        List<BlockTransform> kept = new ArrayList<>();
        for (int i = 0; i < batch; i++) {
          if (all.get(first + i).isKept()) {
            kept.add(workers.get(i));
          }
        }
        transformed.accept(kept);
        watching.at(
            from + (to - from) * (first + batch) / all.size(),
            "transforming tap " + (first + batch) + " of " + all.size());
      }
    }
  }

  private void convert(JudgedTap judged, BlockTransform worker) {
    int index = judged.block.recording();
    Recording of = recording.recordings().get(index);
    worker.convert(
        HighPassInverse.rest(force, forceLevel, of, index),
        HighPassInverse.rest(response, responseLevel, of, index));
  }

  /** Everything that is judged before the transform. */
  private void look(JudgedTap judged, BlockTransform worker, int there) {
    int n = shape.samples();
    String overload = Overload.in("force", worker.force, n, force, forceLevel, "N", there == n);
    if (overload == null) {
      overload =
          Overload.in(
              "response",
              worker.response,
              n,
              response,
              responseLevel,
              recording.quantity().siUnit(),
              there == n);
    }
    convert(judged, worker);
    judged.pulse = Pulse.of(worker.force, n, sign, forceLevel.noise());
    judged.contactS = judged.pulse.contactSamples() / shape.sampleRateHz();
    judge(judged, overload, there);
  }

  private double secondsAfter(Pulse pulse) {
    return (pulse.secondAt() - pulse.peakAt()) / shape.sampleRateHz();
  }

  private void judge(JudgedTap judged, String overload, int there) {
    Pulse pulse = judged.pulse;
    double typical = typicalPeak;
    double weak = WEAK_NOISE * forceLevel.noise();
    if (wanted.rejected().contains(judged.number)) {
      judged.verdict = Verdict.REJECTED_BY_USER;
      judged.reason = "left out as asked";
    } else if (pulse.isDouble()
        && !pulse.isWeakDouble()
        && secondsAfter(pulse) > LONGEST_BOUNCE_S) {
      judged.verdict = Verdict.CUT_OFF;
      judged.reason =
          text(
              "the next tap comes %.3g ms after it, inside its block of %.3g ms; take a shorter block"
                  + " or more time between taps",
              1e3 * secondsAfter(pulse), 1e3 * shape.samples() / shape.sampleRateHz());
    } else if (overload != null) {
      judged.verdict = Verdict.OVERLOAD;
      judged.reason = overload;
    } else if (pulse.isDouble()) {
      judged.verdict = Verdict.DOUBLE_HIT;
      double after = secondsAfter(pulse);
      judged.reason =
          text(
              "the force rises again to %.3g N, %.2g %% of the first peak, %.3g ms %s",
              pulse.secondPeak(),
              100 * pulse.secondPeak() / pulse.peak(),
              1e3 * Math.abs(after),
              after < 0 ? "before it" : "after it");
    } else if (pulse.largest() < weak) {
      judged.verdict = Verdict.TOO_WEAK;
      judged.reason =
          text(
              "its peak of %.3g N is less than %.0f times the noise of %.2g N",
              pulse.largest(), WEAK_NOISE, forceLevel.noise());
    } else if (pulse.largest() < WEAK_PART * typical) {
      judged.verdict = Verdict.TOO_WEAK;
      judged.reason =
          text(
              "its peak of %.3g N is only %.3g %% of the usual %.3g N",
              pulse.largest(), 100 * pulse.largest() / typical, typical);
    } else {
      judged.verdict = Verdict.KEPT;
      judged.reason =
          Double.isNaN(judged.contactS)
              ? text("one blow of %.3g N", pulse.largest())
              : text("one blow of %.3g N, contact %.3g ms", pulse.largest(), 1e3 * judged.contactS);
    }
    boolean asked =
        wanted.kept().contains(judged.number) && judged.verdict != Verdict.REJECTED_BY_USER;
    if (asked && !judged.isKept()) {
      judged.reason = "kept as asked, although: " + judged.reason;
      judged.verdict = Verdict.KEPT;
    }
    if (judged.isKept() && there < shape.samples()) {
      judged.verdict = Verdict.CUT_OFF;
      double before = Math.max(0, -judged.block.start()) / shape.sampleRateHz();
      double after = (shape.samples() - there) / shape.sampleRateHz() - before;
      judged.reason =
          before > 0
              ? text(
                  "its block would begin %.3g ms before the recording does; shorten preTrigger",
                  1e3 * before)
              : text(
                  "the recording ends %.3g ms before its block of %.3g s does",
                  1e3 * after, shape.samples() / shape.sampleRateHz());
    }
  }

  /** What the spectra tell: how far the blow reaches, and the response in groups of lines. */
  private void after(JudgedTap judged, BlockTransform worker) {
    int lines = shape.lines();
    double df = shape.resolutionHz();
    if (Double.isNaN(judged.contactS)) {
      judged.usableToHz = Double.NaN;
    } else {
      double drop = wanted.forceDropDb().orElse(ResponseEstimator.USUAL_FORCE_DROP_DB);
      UsableBand.Power power = worker::forcePower;
      double level = UsableBand.lowLevel(power, lines, df, judged.contactS);
      judged.usableToHz =
          df
              * UsableBand.forceEnd(
                  power, lines, df, judged.contactS, level * Math.pow(10, -drop / 10));
    }
    if (!judged.isKept()) {
      return;
    }
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
    double contact = Double.isNaN(plan.contactS()) ? ownContactS : plan.contactS();
    double top = Double.isNaN(contact) ? 0.4 * shape.sampleRateHz() : 1.2 / contact;
    return (int) Math.max(1, Math.min(shape.lines(), top / shape.resolutionHz()));
  }

  /** Width of the groups of lines in which taps are compared, Hz. */
  double groupHz() {
    int end = comparedLines(Double.NaN);
    return shape.resolutionHz() * end / Math.min(end, GROUPS);
  }

  @FunctionalInterface
  private interface Work {
    void on(JudgedTap judged, BlockTransform worker, int there);
  }

  private static double energy(double[] window) {
    double sum = 0;
    for (double w : window) {
      sum += w * w;
    }
    return sum;
  }

  private static String text(String format, Object... values) {
    return String.format(Locale.ROOT, format, values);
  }
}
