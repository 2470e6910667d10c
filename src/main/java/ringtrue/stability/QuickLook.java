package ringtrue.stability;

import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.function.DoubleUnaryOperator;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.Progress;

/**
 * Single answers on the stability of a cut, for searches that need thousands of them: by the same
 * methods as the lobes, with the nodes of the rule, not put to the test with more of them.
 *
 * <p>Results do not depend on the number of threads.
 */
public final class QuickLook {
  /** Speeds that are looked at one after the other, each starting from its neighbour's depth. */
  private static final int CHUNK = 16;

  /** Steps of the depth that do for the frequency at a limit. */
  private static final int COARSE = 40;

  private final CuttingProcess process;
  private final double deepestM;

  /**
   * @param process the cut; its own depth and speed do not matter
   * @param deepestM largest depth that will be asked for, m
   */
  public QuickLook(CuttingProcess process, double deepestM) {
    this.process = process;
    this.deepestM = deepestM;
  }

  /** Judges points of one cut; may be asked by several threads. */
  @FunctionalInterface
  private interface Judge {
    boolean stable(double rpm, double depthM);
  }

  private Judge judge() {
    if (process.changesWithSpeed()) {
      return (rpm, depth) ->
          new QuickLook(process.resolvedAt(rpm), deepestM).judge().stable(rpm, depth);
    }
    if (process.operation() == CuttingProcess.Operation.TURNING) {
      return TurningLobes.search(process, deepestM)::stable;
    }
    boolean measured =
        Stream.of(process.x(), process.y(), process.xy())
            .flatMap(List::stream)
            .anyMatch(FrequencyResponse.class::isInstance);
    if (measured) {
      return ZeroOrderLobes.search(process, deepestM)::stable;
    }
    LobesRequest request =
        new LobesRequest(
            StabilityMap.Over.DEPTH, Optional.of(Method.PERIODIC), List.of(), deepestM, List.of());
    PeriodicMap map = new PeriodicMap(process, request, PeriodicLobes.Reach.FIRST_LIMIT);
    return map::stable;
  }

  /**
   * Whether some points are stable, island or not.
   *
   * @param speedsRpm spindle speeds, rpm
   * @param depthM one depth for all, m
   */
  public boolean[] stable(double[] speedsRpm, double depthM) {
    Judge judge = judge();
    boolean[] stable = new boolean[speedsRpm.length];
    IntStream.range(0, stable.length)
        .parallel()
        .forEach(i -> stable[i] = judge.stable(speedsRpm[i], depthM));
    return stable;
  }

  /**
   * The deepest stable rung of a ladder of depths at each speed. Where stable and unstable depths
   * alternate it is one of the stable ones with an unstable one above, not always the lowest: judge
   * what comes of it again.
   *
   * @param speedsRpm spindle speeds, rpm, rising
   * @param ladderM depths, m, rising
   * @param progress told how far it is, may cancel
   * @return depths, m; 0 where not even the first rung is stable
   */
  public double[] deepest(double[] speedsRpm, double[] ladderM, Progress progress) {
    Judge judge = judge();
    double[] found = new double[speedsRpm.length];
    int chunks = (speedsRpm.length + CHUNK - 1) / CHUNK;
    int wave = 8;
    for (int from = 0; from < chunks; from += wave) {
      progress.at((double) from / chunks, "stability over speed");
      IntStream.range(from, Math.min(chunks, from + wave))
          .parallel()
          .forEach(
              c -> {
                int rung = ladderM.length / 2;
                int to = Math.min(speedsRpm.length, (c + 1) * CHUNK);
                for (int i = c * CHUNK; i < to; i++) {
                  rung = rung(judge, speedsRpm[i], ladderM, rung);
                  found[i] = rung < 0 ? 0 : ladderM[rung];
                }
              });
    }
    return found;
  }

  /** Gallops from a first guess, then bisects; −1 where not even the first rung is stable. */
  private static int rung(Judge judge, double rpm, double[] ladderM, int guess) {
    int low = -1;
    int high = ladderM.length;
    int at = Math.max(0, Math.min(ladderM.length - 1, guess));
    int step = 1;
    while (high - low > 1) {
      if (judge.stable(rpm, ladderM[at])) {
        low = at;
      } else {
        high = at;
      }
      boolean bracketed = low >= 0 && high < ladderM.length;
      if (bracketed || high - low <= 2 * step) {
        at = (low + high) / 2;
      } else {
        at = low >= 0 ? Math.min(ladderM.length - 1, low + step) : Math.max(0, high - step);
        step *= 2;
      }
      at = Math.max(low + 1, Math.min(high - 1, at));
    }
    return low;
  }

  /**
   * First limits to a thousandth.
   *
   * @param speedsRpm spindle speeds, rpm
   * @return first loss of stability going up from nothing, m; the largest depth if none
   */
  public double[] firstLimitsM(double[] speedsRpm) {
    DoubleUnaryOperator limit = firstLimit();
    return Arrays.stream(speedsRpm).parallel().map(limit).toArray();
  }

  private boolean periodic() {
    return process.operation() == CuttingProcess.Operation.MILLING
        && Stream.of(process.x(), process.y(), process.xy())
            .flatMap(List::stream)
            .noneMatch(FrequencyResponse.class::isInstance);
  }

  private DoubleUnaryOperator firstLimit() {
    if (!periodic()) {
      return rpm ->
          Lobes.firstLimits(
                  process,
                  new LobesRequest(
                      StabilityMap.Over.DEPTH, Optional.empty(), List.of(rpm), deepestM, List.of()),
                  Progress.NONE)
              .lines()
              .get(0)
              .limitM();
    }
    LobesRequest request =
        new LobesRequest(
            StabilityMap.Over.DEPTH, Optional.of(Method.PERIODIC), List.of(), deepestM, List.of());
    return rpm ->
        PeriodicLobes.firstLimits(process.resolvedAt(rpm), request, new double[] {rpm}, deepestM)[
            0];
  }

  /**
   * The chatter frequency at the first limit.
   *
   * @param rpm spindle speed, rpm
   * @return Hz; NaN where there is no limit up to the largest depth
   */
  public double chatterHz(double rpm) {
    LobesRequest request =
        new LobesRequest(
            StabilityMap.Over.DEPTH, Optional.empty(), List.of(rpm), deepestM, List.of());
    StabilityMap.Line line =
        periodic()
            ? new PeriodicMap(process.resolvedAt(rpm), request, PeriodicLobes.Reach.FIRST_LIMIT)
                .lines(List.of(rpm), COARSE, Progress.NONE)
                .get(0)
            : Lobes.firstLimits(process, request, Progress.NONE).lines().get(0);
    return line.chatterHz();
  }

  /**
   * Chance that a point is stable, its inputs drawn inside their uncertainties as for {@link
   * ProbabilityLobes}.
   *
   * @param process the cut
   * @param spread what is uncertain and how far
   * @param rpm spindle speed, rpm
   * @param depthM depth, m
   * @param samples number of drawn sets of inputs
   * @param seed same seed, same answer
   * @return a fraction; NaN where nothing is uncertain
   */
  public static double chance(
      CuttingProcess process,
      InputSpread spread,
      double rpm,
      double depthM,
      int samples,
      long seed) {
    CuttingProcess at = process.resolvedAt(rpm);
    UncertainInputs inputs = new UncertainInputs(process, spread);
    if (inputs.inputs().isEmpty()) {
      return Double.NaN;
    }
    double[][] rows = LatinHypercube.points(samples, inputs.inputs().size(), seed);
    long stable =
        Arrays.stream(rows)
            .parallel()
            .filter(
                row -> {
                  double[] drawn = new double[row.length];
                  for (int j = 0; j < row.length; j++) {
                    drawn[j] = inputs.inputs().get(j).standardised(row[j]);
                  }
                  return new QuickLook(inputs.drawn(at, drawn), depthM)
                      .judge()
                      .stable(inputs.unshiftedRpm(rpm, drawn), depthM);
                })
            .count();
    return (double) stable / samples;
  }
}
