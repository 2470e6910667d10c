package ringtrue.stability;

import java.util.Arrays;
import java.util.Collections;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.IntStream;
import org.apache.commons.math3.random.MersenneTwister;
import org.apache.commons.math3.random.RandomGenerator;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.stability.UncertainInputs.Input;

/**
 * Probability maps: how far off 200 samples are when drawn independently, by a Latin hypercube with
 * random rows, and as the program draws them; and how long 200 samples over 200 speeds take against
 * a whole map for each sample. Four modes and the coefficients are uncertain, 13 inputs. Run from
 * the project's folder:
 *
 * <pre>mvn -q -Pbench test-compile exec:java -Dexec.classpathScope=test \
 *   -Dexec.mainClass=ringtrue.stability.ProbabilityLobesBench</pre>
 */
public final class ProbabilityLobesBench {
  private static final double MAX_M = 0.012;
  private static final int SAMPLES = 200;
  private static final int EXACT_SAMPLES = 20_000;
  private static final int REPEATS = 40;
  private static final int DEPTHS = 20;
  private static final double[] SPEEDS =
      IntStream.range(0, 30).mapToDouble(i -> 4000.0 + 500 * i).toArray();

  private ProbabilityLobesBench() {}

  private interface Drawing {
    double[][] points(int samples, int inputs, long seed);
  }

  public static void main(String[] args) {
    CuttingProcess process = process();
    InputSpread spread = InputSpread.of(process).withCoefficientRange(0.2);
    double[][] exact =
        probabilities(process, spread, LatinHypercube.points(EXACT_SAMPLES, 13, 12345));
    say("independent", process, spread, exact, ProbabilityLobesBench::independent);
    say("random rows", process, spread, exact, ProbabilityLobesBench::randomRows);
    say("as drawn", process, spread, exact, LatinHypercube::points);
    for (int round = 0; round < 3; round++) {
      times(process, spread);
    }
  }

  private static Mode mode(double hz, double zeta, double stiffness) {
    return new Mode(hz, zeta, stiffness, 0.005 * hz, 0.1 * zeta, 0.07 * stiffness, Double.NaN);
  }

  private static CuttingProcess process() {
    Tool tool =
        new Tool(
            0.012,
            Collections.nCopies(4, 0.0),
            Collections.nCopies(4, Math.PI / 2),
            Double.NaN,
            Double.NaN,
            0,
            Double.NaN);
    return new CuttingProcess(
        CuttingProcess.Operation.MILLING,
        Optional.of(tool),
        Engagement.of(Engagement.Direction.UP, 0.006, 1e-3, 0.012),
        new CuttingCoefficients(900e6, 300e6, 0, 0, Double.NaN),
        List.of(mode(880, 0.022, 6.5e6), mode(1730, 0.014, 4.2e6)),
        List.of(mode(925, 0.025, 7.4e6), mode(1810, 0.013, 3.9e6)),
        10_000,
        1e-4,
        0);
  }

  private static double[][] independent(int samples, int inputs, long seed) {
    RandomGenerator random = new MersenneTwister(seed);
    double[][] points = new double[samples][inputs];
    for (double[] row : points) {
      Arrays.setAll(row, j -> random.nextDouble());
    }
    return points;
  }

  private static double[][] randomRows(int samples, int inputs, long seed) {
    double[][] points = LatinHypercube.points(samples, inputs, seed);
    RandomGenerator random = new MersenneTwister(seed + 1_000_000);
    for (int c = 0; c < inputs; c++) {
      for (int i = samples - 1; i > 0; i--) {
        int j = random.nextInt(i + 1);
        double kept = points[i][c];
        points[i][c] = points[j][c];
        points[j][c] = kept;
      }
    }
    return points;
  }

  /** Part of the samples that is stable, {@code [speed][depth]}. */
  private static double[][] probabilities(
      CuttingProcess process, InputSpread spread, double[][] points) {
    UncertainInputs inputs = new UncertainInputs(process, spread);
    List<Input> columns = inputs.inputs();
    List<double[]> limits =
        Arrays.stream(points)
            .parallel()
            .map(
                point -> {
                  double[] row = new double[point.length];
                  Arrays.setAll(row, j -> columns.get(j).standardised(point[j]));
                  return SampleMethod.of(LobesRequest.depth(List.of()), ZeroOrderLobes.WORD)
                      .judge(inputs.drawn(process, row), SPEEDS, List.of(), MAX_M)
                      .limitM();
                })
            .toList();
    double[][] stable = new double[SPEEDS.length][DEPTHS];
    for (int i = 0; i < SPEEDS.length; i++) {
      for (int k = 0; k < DEPTHS; k++) {
        int speed = i;
        double depth = 0.05 * MAX_M * (k + 1);
        stable[i][k] =
            limits.stream().filter(l -> l[speed] >= depth).count() / (double) points.length;
      }
    }
    return stable;
  }

  private static void say(
      String word,
      CuttingProcess process,
      InputSpread spread,
      double[][] exact,
      Drawing drawing) {
    double sum = 0;
    int count = 0;
    for (int seed = 1; seed <= REPEATS; seed++) {
      double[][] found = probabilities(process, spread, drawing.points(SAMPLES, 13, seed));
      for (int i = 0; i < SPEEDS.length; i++) {
        for (int k = 0; k < DEPTHS; k++) {
          if (exact[i][k] > 0.05 && exact[i][k] < 0.95) {
            sum += (found[i][k] - exact[i][k]) * (found[i][k] - exact[i][k]);
            count++;
          }
        }
      }
    }
    System.out.printf(
        Locale.ROOT,
        "%d samples, %s: probabilities off by %.4f (root mean square)%n",
        SAMPLES,
        word,
        Math.sqrt(sum / count));
  }

  private static void times(CuttingProcess process, InputSpread spread) {
    LobesRequest request =
        LobesRequest.depth(IntStream.range(0, 200).mapToObj(i -> 4000.0 + 75 * i).toList())
            .upTo(MAX_M);
    long start = System.nanoTime();
    ProbabilityLobes.compute(process, request, spread, SAMPLES, 1, Progress.NONE);
    long middle = System.nanoTime();
    SampleMethod maps = SampleMethod.mapping(request);
    ProbabilityLobes.compute(process, request, spread, SAMPLES, 1, maps, Progress.NONE);
    long end = System.nanoTime();
    System.out.printf(
        Locale.ROOT,
        "%d samples over 200 speeds: %.2f s; by a map for each sample %.2f s%n",
        SAMPLES,
        1e-9 * (middle - start),
        1e-9 * (end - middle));
  }
}
