package ringtrue.fitting;

import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import org.apache.commons.math3.fitting.leastsquares.LeastSquaresBuilder;
import org.apache.commons.math3.fitting.leastsquares.LevenbergMarquardtOptimizer;
import org.apache.commons.math3.linear.Array2DRowRealMatrix;
import org.apache.commons.math3.linear.ArrayRealVector;
import org.apache.commons.math3.util.Pair;
import org.openjdk.jmh.annotations.Benchmark;
import org.openjdk.jmh.annotations.BenchmarkMode;
import org.openjdk.jmh.annotations.Fork;
import org.openjdk.jmh.annotations.Measurement;
import org.openjdk.jmh.annotations.Mode;
import org.openjdk.jmh.annotations.OutputTimeUnit;
import org.openjdk.jmh.annotations.Scope;
import org.openjdk.jmh.annotations.Setup;
import org.openjdk.jmh.annotations.State;
import org.openjdk.jmh.annotations.Warmup;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.Progress;
import ringtrue.dynamics.Residual;
import ringtrue.fitting.ModalParameters.Term;

/**
 * Five modes over 8,000 lines: the whole fit, the refinement from a near start by summed normal
 * equations, and the same refinement by Commons Math's Levenberg-Marquardt with a dense Jacobian as
 * the baseline.
 */
@State(Scope.Benchmark)
@BenchmarkMode(Mode.AverageTime)
@OutputTimeUnit(TimeUnit.MILLISECONDS)
@Fork(1)
@Warmup(iterations = 3, time = 2)
@Measurement(iterations = 4, time = 2)
public class ModeFitterBench {
  private FrequencyResponse response;
  private FitLines lines;
  private ModalParameters start;

  @Setup
  public void measure() {
    SyntheticTaps taps =
        new SyntheticTaps(
            ringtrue.dynamics.Mode.of(310, 0.02, 5e6),
            ringtrue.dynamics.Mode.of(620, 0.015, 9e6),
            ringtrue.dynamics.Mode.of(980, 0.03, 4e6),
            ringtrue.dynamics.Mode.of(1500, 0.012, 12e6),
            ringtrue.dynamics.Mode.of(2100, 0.02, 2e7));
    taps.sampleRateHz = 32768;
    taps.blockLength = 32768;
    taps.contactS = 0.2e-3;
    taps.residual = new Residual(1e-8, 0.05);
    response = taps.measure(1);
    lines = FitLines.of(response, FitSettings.AUTOMATIC);
    start =
        new ModalParameters(
            taps.modes.stream()
                .map(
                    m ->
                        new Term(
                            2 * Math.PI * m.frequencyHz() * 1.002,
                            m.dampingRatio() * 1.1,
                            0.9 / m.stiffnessNPerM(),
                            0))
                .toList(),
            0,
            0);
  }

  @Benchmark
  public FittedModes wholeFit() {
    return ModeFitter.fit(response, FitSettings.AUTOMATIC, Progress.NONE);
  }

  @Benchmark
  public ModalParameters refinement() {
    return new ModalRefinement(lines).from(start, 40, 1e-10).parameters();
  }

  @Benchmark
  public double[] refinementWithDenseJacobian() {
    int n = 3 * start.terms().size() + 2;
    double[] x = new double[n];
    for (int j = 0; j < start.terms().size(); j++) {
      Term t = start.terms().get(j);
      x[3 * j] = Math.log(t.omega());
      x[3 * j + 1] = Math.log(t.zeta());
      x[3 * j + 2] = t.compliance() * 1e8;
    }
    int rows = 2 * lines.size();
    return new LevenbergMarquardtOptimizer()
        .optimize(
            new LeastSquaresBuilder()
                .start(x)
                .target(new double[rows])
                .model(
                    point -> new Pair<>(misfit(point.toArray()), jacobian(point.toArray(), n)))
                .maxEvaluations(200)
                .maxIterations(100)
                .build())
        .getPoint()
        .toArray();
  }

  private static ModalParameters parameters(double[] x) {
    int modes = (x.length - 2) / 3;
    List<Term> terms = new ArrayList<>();
    for (int j = 0; j < modes; j++) {
      terms.add(
          new Term(Math.exp(x[3 * j]), Math.exp(x[3 * j + 1]), x[3 * j + 2] * 1e-8, 0));
    }
    return new ModalParameters(terms, x[x.length - 2] * 1e-8, x[x.length - 1]);
  }

  private ArrayRealVector misfit(double[] x) {
    int size = lines.size();
    double[] re = new double[size];
    double[] im = new double[size];
    parameters(x).misfit(lines, re, im);
    double[] both = new double[2 * size];
    for (int i = 0; i < size; i++) {
      both[2 * i] = re[i] / lines.sigma[i];
      both[2 * i + 1] = im[i] / lines.sigma[i];
    }
    return new ArrayRealVector(both, false);
  }

  /** Minus the model's derivatives, line by line, from the same closed forms. */
  private Array2DRowRealMatrix jacobian(double[] x, int n) {
    ModalParameters p = parameters(x);
    ModalRefinement refinement = new ModalRefinement(lines);
    double[][] rows = new double[2 * lines.size()][n];
    double[] re = new double[n];
    double[] im = new double[n];
    double[] unit = new double[2];
    for (int i = 0; i < lines.size(); i++) {
      refinement.derivatives(p, lines.omega[i], re, im, unit);
      for (int c = 0; c < n; c++) {
        double scale = c == n - 2 || c < n - 2 && c % 3 == 2 ? 1e-8 : 1;
        rows[2 * i][c] = -re[c] * scale / lines.sigma[i];
        rows[2 * i + 1][c] = -im[c] * scale / lines.sigma[i];
      }
    }
    return new Array2DRowRealMatrix(rows, false);
  }
}
