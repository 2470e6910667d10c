package ringtrue.signal;

import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.function.Consumer;
import java.util.stream.IntStream;
import ringtrue.acquisition.Channel;
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
  /** Blocks in memory at a time hold no more than this many samples in each channel. */
  private static final long SAMPLES_AT_ONCE = 1 << 21;

  private final TapRecording recording;
  private final Processing wanted;
  private final Channel force;
  private final Channel response;
  private final Progress progress;
  private final Planner.Plan plan;
  private final BlockShape shape;
  private final Level forceLevel;
  private final Level responseLevel;
  private final Averages averages;
  private final List<BlockTransform> workers = new ArrayList<>();
  private final TapJudge judge;
  private final TapJudge.Around around;
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
    this.averages = new Averages(shape.lines());
    double[] peaks =
        plan.blocks().stream()
            .mapToDouble(Planner.Block::peakN)
            .filter(p -> !Double.isNaN(p))
            .sorted()
            .toArray();
    this.judge =
        new TapJudge(
            shape,
            force,
            response,
            recording.quantity(),
            plan.contactS(),
            wanted.forceDropDb().orElse(ResponseEstimator.USUAL_FORCE_DROP_DB),
            Double.NaN);
    this.around =
        new TapJudge.Around(
            forceLevel,
            responseLevel,
            forceLevel.direction() == Direction.DOWN ? -1 : 1,
            peaks.length == 0 ? Double.NaN : peaks[peaks.length / 2]);
    Windows windows = Windows.of(shape);
    double[] forceWindow = windows.force();
    double[] exponential = windows.exponential();
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
    judge.convert(
        worker, around, index, recording.recordings().get(index).frames() / shape.sampleRateHz());
  }

  /** Everything that is judged before the transform. */
  private void look(JudgedTap judged, BlockTransform worker, int there) {
    int index = judged.block.recording();
    judge.look(
        judged,
        worker,
        there,
        around,
        index,
        recording.recordings().get(index).frames() / shape.sampleRateHz());
    judge.verdict(judged, around, wanted.rejected(), wanted.kept());
  }

  /** What the spectra tell: how far the blow reaches, and the response in groups of lines. */
  private void after(JudgedTap judged, BlockTransform worker) {
    judge.reach(judged, worker);
    if (judged.isKept()) {
      judge.sign(judged, worker);
    }
  }

  /** Width of the groups of lines in which taps are compared, Hz. */
  double groupHz() {
    return judge.groupHz();
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
}
