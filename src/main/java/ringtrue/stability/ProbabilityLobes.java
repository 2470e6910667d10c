package ringtrue.stability;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.IntStream;
import org.apache.commons.math3.distribution.BetaDistribution;
import ringtrue.dynamics.Progress;
import ringtrue.stability.LobesRequest.AtPoint;
import ringtrue.stability.SampleMethod.Judged;
import ringtrue.stability.StabilityMap.Interval;
import ringtrue.stability.StabilityProbability.Sensitivity;
import ringtrue.stability.UncertainInputs.Input;
import ringtrue.units.BadInputException;

/**
 * Probability of stability of a cut whose inputs are known only so well (Monte Carlo lobes as in
 * Duncan, Kurdi, Schmitz & Snyder 2006, on Latin hypercube samples): the same cut is judged with
 * many drawn sets of inputs, by the same method as the deterministic map, which is the special case
 * without uncertainty.
 *
 * <p>The result depends on the inputs and the seed alone, not on the number of threads.
 */
public final class ProbabilityLobes {

  /** Fewer samples cannot say anything about one cut in twenty. */
  public static final int FEWEST_SAMPLES = 20;

  /** Largest number of samples. */
  public static final int MOST_SAMPLES = 20_000;

  private static final double WANTED = 0.95;
  private static final int LENGTHS = 100;
  private static final int SAMPLES_AT_ONCE = 8;
  private static final double FIRST_PART = 0.05; // of the progress: the deterministic map
  private static final double SMALLEST_LIMIT = 1e-12; // m; keeps the logarithm finite

  private final CuttingProcess process;
  private final StabilityMap map;
  private final List<AtPoint> at;
  private final UncertainInputs inputs;
  private final int samples;
  private final long seed;
  private final SampleMethod method;
  private final double[] lengths = new double[LENGTHS];

  private final double[][] limits; // [line][sample]
  private final int[][] stable; // [line][length]
  private final int[] stableAt;
  private boolean limitsOnly;

  private ProbabilityLobes(
      CuttingProcess process,
      StabilityMap map,
      List<AtPoint> at,
      UncertainInputs inputs,
      int samples,
      long seed,
      SampleMethod method) {
    this.process = process;
    this.map = map;
    this.at = at;
    this.inputs = inputs;
    this.samples = samples;
    this.seed = seed;
    this.method = method;
    this.limits = new double[map.lines().size()][samples];
    this.stable = new int[map.lines().size()][LENGTHS];
    this.stableAt = new int[at.size()];
    for (int k = 0; k < LENGTHS; k++) {
      lengths[k] = k + 1 == LENGTHS ? map.maxM() : map.maxM() * (k + 1) / LENGTHS;
    }
  }

  /**
   * The stability map of a cut with its probabilities.
   *
   * @param process the cut; its values give the map itself
   * @param request as for {@link Lobes#compute}
   * @param spread what is uncertain and how far
   * @param samples number of drawn sets of inputs, 20 to 20,000; 200 is usual
   * @param seed same seed, same answer
   * @param progress told how far it is, may cancel
   * @throws BadInputException if the request makes no sense for this cut, or a sigma or the number
   *     of samples makes none
   */
  public static StabilityMap compute(
      CuttingProcess process,
      LobesRequest request,
      InputSpread spread,
      int samples,
      long seed,
      Progress progress) {
    UncertainInputs inputs = checked(process, spread, samples);
    StabilityMap map = Lobes.compute(process, request, part(progress, 0, FIRST_PART));
    SampleMethod method = SampleMethod.of(request, map.method());
    return new ProbabilityLobes(process, map, request.at(), inputs, samples, seed, method)
        .withProbability(part(progress, FIRST_PART, 1));
  }

  /** The same with a given way to judge each drawn cut. */
  static StabilityMap compute(
      CuttingProcess process,
      LobesRequest request,
      InputSpread spread,
      int samples,
      long seed,
      SampleMethod method,
      Progress progress) {
    UncertainInputs inputs = checked(process, spread, samples);
    StabilityMap map = Lobes.compute(process, request, part(progress, 0, FIRST_PART));
    return new ProbabilityLobes(process, map, request.at(), inputs, samples, seed, method)
        .withProbability(part(progress, FIRST_PART, 1));
  }

  private static UncertainInputs checked(CuttingProcess process, InputSpread spread, int samples) {
    if (samples < FEWEST_SAMPLES || samples > MOST_SAMPLES) {
      throw new BadInputException(
          "samples: must be "
              + FEWEST_SAMPLES
              + " to "
              + MOST_SAMPLES
              + ", was "
              + samples
              + "; 200 is usual");
    }
    UncertainInputs inputs = new UncertainInputs(process, spread);
    int fewest = VarianceShares.fewestSamples(inputs.inputs().size());
    if (samples < fewest) {
      throw new BadInputException(
          "samples: "
              + inputs.inputs().size()
              + " uncertain inputs need "
              + fewest
              + " or more, was "
              + samples);
    }
    return inputs;
  }

  private static Progress part(Progress progress, double from, double to) {
    return (done, what) -> progress.at(from + (to - from) * done, what);
  }

  private StabilityMap withProbability(Progress progress) {
    double[][] rows = rows();
    if (inputs.inputs().isEmpty()) {
      certain();
    } else {
      draw(rows, progress);
    }
    List<String> remarks = new ArrayList<>(map.remarks());
    remarks.addAll(inputs.remarks());
    remarks.addAll(ownRemarks());
    List<StabilityMap.Point> points = new ArrayList<>();
    for (int i = 0; i < at.size(); i++) {
      StabilityMap.Point p = map.at().get(i);
      points.add(
          new StabilityMap.Point(
              p.speedRpm(), p.lengthM(), p.stable(), p.growth(), (double) stableAt[i] / samples));
    }
    StabilityProbability probability =
        new StabilityProbability(
            samples,
            seed,
            Arrays.stream(lengths).boxed().toList(),
            Arrays.stream(stable)
                .map(row -> Arrays.stream(row).mapToDouble(n -> (double) n / samples).toArray())
                .toList(),
            Arrays.stream(limits).map(this::limit95).toList(),
            sensitivities(rows));
    return new StabilityMap(
        map.over(),
        map.method(),
        map.lines(),
        points,
        map.growthPeriod(),
        map.maxM(),
        remarks,
        Optional.of(probability));
  }

  // Drawing --------------------------------------------------------------------------------------

  /** Standardised values, {@code [sample][input]}. */
  private double[][] rows() {
    List<Input> columns = inputs.inputs();
    double[][] rows = LatinHypercube.points(samples, columns.size(), seed);
    for (double[] row : rows) {
      for (int j = 0; j < row.length; j++) {
        row[j] = columns.get(j).standardised(row[j]);
      }
    }
    return rows;
  }

  private void draw(double[][] rows, Progress progress) {
    for (int from = 0; from < samples; from += SAMPLES_AT_ONCE) {
      progress.at((double) from / samples, "probability of stability");
      int first = from;
      int to = Math.min(samples, from + SAMPLES_AT_ONCE);
      List<Judged> found =
          IntStream.range(first, to).parallel().mapToObj(s -> judged(rows[s])).toList();
      for (int s = first; s < to; s++) {
        count(s, found.get(s - first));
      }
    }
    progress.at(1, "probability of stability");
  }

  private Judged judged(double[] row) {
    return process.changesWithSpeed() ? judgedBySpeed(row) : judged(process, row, lineSpeeds(), at);
  }

  private double[] lineSpeeds() {
    return map.lines().stream().mapToDouble(StabilityMap.Line::speedRpm).toArray();
  }

  private Judged judged(CuttingProcess cut, double[] row, double[] speeds, List<AtPoint> points) {
    double[] unshifted = Arrays.stream(speeds).map(rpm -> inputs.unshiftedRpm(rpm, row)).toArray();
    List<AtPoint> unshiftedAt =
        points.stream()
            .map(p -> new AtPoint(inputs.unshiftedRpm(p.speedRpm(), row), p.lengthM()))
            .toList();
    return method.judge(inputs.drawn(cut, row), unshifted, unshiftedAt, map.maxM());
  }

  /** With tables of modes each speed has a cut of its own. */
  private Judged judgedBySpeed(double[] row) {
    double[] speeds = lineSpeeds();
    double[] limit = new double[speeds.length];
    List<List<Interval>> stretches = new ArrayList<>();
    for (int i = 0; i < speeds.length; i++) {
      double[] speed = {speeds[i]};
      Judged one = judged(process.resolvedAt(speeds[i]), row, speed, List.of());
      limit[i] = one.limitM()[0];
      stretches.addAll(one.stable());
    }
    boolean[] points = new boolean[at.size()];
    for (int i = 0; i < points.length; i++) {
      CuttingProcess there = process.resolvedAt(at.get(i).speedRpm());
      points[i] = judged(there, row, new double[0], List.of(at.get(i))).at()[0];
    }
    return new Judged(limit, stretches, points);
  }

  // Counting -------------------------------------------------------------------------------------

  private void count(int sample, Judged judged) {
    for (int i = 0; i < limits.length; i++) {
      double limit = judged.limitM()[i];
      limits[i][sample] = limit;
      count(i, judged.stable().isEmpty() ? upTo(limit) : judged.stable().get(i), 1);
    }
    limitsOnly |= judged.stable().isEmpty() && limits.length > 0;
    for (int i = 0; i < stableAt.length; i++) {
      stableAt[i] += judged.at()[i] ? 1 : 0;
    }
  }

  private static List<Interval> upTo(double limit) {
    return limit > 0 ? List.of(new Interval(0, limit)) : List.of();
  }

  private void count(int line, List<Interval> stretches, int times) {
    int k = 0;
    for (Interval stretch : stretches) {
      while (k < LENGTHS && lengths[k] < stretch.fromM()) {
        k++;
      }
      while (k < LENGTHS && lengths[k] <= stretch.toM()) {
        stable[line][k++] += times;
      }
    }
  }

  /** Every sample is the map itself. */
  private void certain() {
    for (int i = 0; i < limits.length; i++) {
      StabilityMap.Line line = map.lines().get(i);
      Arrays.fill(limits[i], line.limitM());
      count(i, line.stable(), samples);
    }
    for (int i = 0; i < stableAt.length; i++) {
      stableAt[i] = map.at().get(i).stable() ? samples : 0;
    }
  }

  /** Number of samples that may lose stability below the line. */
  private int below() {
    return (int) Math.floor(samples * (1 - WANTED) + 1e-9);
  }

  /** The order statistic of the first limits which no more than 5 % of them lie below. */
  private double limit95(double[] ofLine) {
    double[] sorted = ofLine.clone();
    Arrays.sort(sorted);
    return sorted[below()];
  }

  // Saying ---------------------------------------------------------------------------------------

  private List<Sensitivity> sensitivities(double[][] rows) {
    List<Input> columns = inputs.inputs();
    if (columns.isEmpty() || limits.length == 0) {
      return List.of();
    }
    VarianceShares shares = new VarianceShares(columns, rows);
    for (double[] line : limits) {
      shares.add(Arrays.stream(line).map(b -> Math.log(Math.max(SMALLEST_LIMIT, b))).toArray());
    }
    return IntStream.range(0, columns.size())
        .mapToObj(j -> new Sensitivity(columns.get(j).words(), shares.share(j), shares.slope(j)))
        .sorted(Comparator.comparingDouble(Sensitivity::share).reversed())
        .toList();
  }

  private List<String> ownRemarks() {
    List<String> remarks = new ArrayList<>();
    if (inputs.inputs().isEmpty()) {
      return remarks;
    }
    // The probability below the (m + 1)th of n independent values is Beta(m + 1, n − m)
    // distributed.
    BetaDistribution beta = new BetaDistribution(null, below() + 1.0, samples - below());
    remarks.add(
        String.format(
            Locale.ROOT,
            "the 95 %% line is the depth or width below which at most %d of the %d drawn cuts lose"
                + " stability; for want of more samples the true probability on it may be anything"
                + " from %.1f to %.1f %% (binomial, 95 %% confidence)",
            below(),
            samples,
            100 * (1 - beta.inverseCumulativeProbability(0.975)),
            100 * (1 - beta.inverseCumulativeProbability(0.025))));
    if (limitsOnly) {
      remarks.add(
          "the probabilities come from the first loss of stability of each drawn cut: stable"
              + " stretches above it count as unstable");
    }
    if (Arrays.stream(limits).flatMapToDouble(Arrays::stream).anyMatch(b -> b >= map.maxM())) {
      remarks.add(
          "where a drawn cut has no limit up to "
              + Plain.mm(map.maxM())
              + " it counts as that in the 95 % line and the sensitivities");
    }
    return remarks;
  }
}
