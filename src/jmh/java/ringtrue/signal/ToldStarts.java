package ringtrue.signal;

import java.io.IOException;
import java.util.List;
import ringtrue.acquisition.TapFinder;
import ringtrue.acquisition.TapRecording;
import ringtrue.dynamics.Progress;

/**
 * The estimator's own blocks, windows, spectra, sums and lines, without looking for taps or judging
 * them; for the benchmark, whose other side is told where the blocks are as well.
 */
public final class ToldStarts {
  private final TapRecording recording;
  private final Processing wanted;
  private final Planner.Plan plan;
  private final List<TapFinder.Level> levels;

  /**
   * Prepares, untimed.
   *
   * @param recording the taps
   * @param wanted block length, windows, and estimator, all given
   * @param starts first samples of the blocks
   */
  public ToldStarts(TapRecording recording, Processing wanted, List<Long> starts)
      throws IOException {
    this.recording = recording;
    this.wanted = wanted;
    double fs = recording.sampleRateHz();
    int pre = (int) Math.round(wanted.preTriggerS().orElseThrow() * fs);
    BlockShape shape =
        new BlockShape(
            (int) Math.round(wanted.blockLengthS().orElseThrow() * fs),
            pre,
            fs,
            wanted.forceWindow().orElseThrow(),
            wanted.responseTimeConstantS().orElseThrow());
    plan =
        new Planner.Plan(
            shape,
            0.05,
            starts.stream().map(s -> new Planner.Block(0, s, s + pre, Double.NaN)).toList(),
            wanted.estimator().orElseThrow(),
            Double.NaN);
    levels =
        TapFinder.survey(
                recording.recordings(),
                List.of(recording.force().orElseThrow(), recording.response()),
                Progress.NONE)
            .levels();
  }

  /** From samples in memory to receptance, coherence and error; work arrays and tables are new. */
  public double largestReceptance() throws IOException {
    TapWalk walk =
        new TapWalk(recording, wanted, plan, levels.get(0), levels.get(1), Progress.NONE);
    ResponseEstimator.Lines lines =
        ResponseEstimator.lines(
            plan.shape(),
            walk.sumAll(),
            plan.estimator(),
            recording.quantity(),
            recording.skewS());
    double most = 0;
    for (int i = 0; i < lines.real().length; i++) {
      double re = lines.real()[i];
      double im = lines.imag()[i];
      most = Math.max(most, re * re + im * im);
    }
    return Math.sqrt(most);
  }
}
