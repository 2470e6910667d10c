package ringtrue.stability;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Arrays;
import java.util.List;
import org.apache.commons.math3.analysis.integration.gauss.GaussIntegrator;
import org.apache.commons.math3.analysis.integration.gauss.GaussIntegratorFactory;
import org.apache.commons.math3.stat.correlation.PearsonsCorrelation;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import ringtrue.dynamics.Mode;
import ringtrue.stability.UncertainInputs.Input;
import ringtrue.stability.UncertainInputs.Shape;

class SamplingTest {

  /** What makes a Latin hypercube (McKay, Beckman & Conover 1979). */
  @ParameterizedTest
  @ValueSource(ints = {1, 7, 200, 20_000})
  void everyStratumOfEveryColumnHasOneValue(int samples) {
    double[][] points = LatinHypercube.points(samples, 5, 42);
    for (int c = 0; c < 5; c++) {
      boolean[] seen = new boolean[samples];
      for (double[] row : points) {
        assertThat(row[c]).isStrictlyBetween(0.0, 1.0);
        int stratum = (int) Math.floor(row[c] * samples);
        assertThat(seen[stratum]).isFalse();
        seen[stratum] = true;
      }
    }
    assertThat(points).isDeepEqualTo(LatinHypercube.points(samples, 5, 42));
    assertThat(points[0][0]).isNotEqualTo(LatinHypercube.points(samples, 5, 43)[0][0]);
  }

  /** Mean 0, standard deviation 1, and the shapes' fourth moments: 9/5 and 3. */
  @Test
  void standardisedColumnsHaveTheirMoments() {
    double[][] points = LatinHypercube.points(20_000, 2, 1);
    List<Input> inputs = List.of(new Input("u", Shape.UNIFORM), new Input("n", Shape.NORMAL));
    double[] fourth = {1.8, 3};
    for (int c = 0; c < 2; c++) {
      int column = c;
      double[] z =
          Arrays.stream(points)
              .mapToDouble(row -> inputs.get(column).standardised(row[column]))
              .toArray();
      assertThat(Arrays.stream(z).average().orElseThrow()).isCloseTo(0, within(1e-4));
      assertThat(Arrays.stream(z).map(v -> v * v).average().orElseThrow())
          .isCloseTo(1, within(1e-3));
      assertThat(Arrays.stream(z).map(v -> v * v * v * v).average().orElseThrow())
          .isCloseTo(fourth[c], within(0.05)); // the outermost stratum alone can make 0.02
    }
  }

  @Test
  void columnsAreHardlyCorrelated() {
    double[][] points = LatinHypercube.points(200, 8, 5);
    double[][] r = new PearsonsCorrelation(points).getCorrelationMatrix().getData();
    for (int i = 0; i < 8; i++) {
      for (int j = 0; j < i; j++) {
        assertThat(Math.abs(r[i][j])).isLessThan(0.25);
      }
    }
  }

  /** Median and standard deviation of drawn damping and stiffness are those given. */
  @Test
  void drawnModesHaveTheGivenSigmas() {
    Mode mode = new Mode(800, 0.03, 5e6, 12, 0.009, 1e6, Double.NaN);
    CuttingProcess process = Cuts.turning(1, 1e9, 0, mode);
    UncertainInputs inputs = new UncertainInputs(process, InputSpread.of(process));
    double[][] points = LatinHypercube.points(20_000, 3, 8);
    double[][] sums = new double[3][2];
    int[] above = new int[3];
    for (double[] row : points) {
      for (int j = 0; j < 3; j++) {
        row[j] = inputs.inputs().get(j).standardised(row[j]);
      }
      Mode drawn = (Mode) inputs.drawn(process, row).x().get(0);
      double[] values = {drawn.frequencyHz(), drawn.dampingRatio(), drawn.stiffnessNPerM()};
      double[] given = {800, 0.03, 5e6};
      for (int j = 0; j < 3; j++) {
        sums[j][0] += values[j] / points.length;
        sums[j][1] += values[j] * values[j] / points.length;
        above[j] += values[j] > given[j] ? 1 : 0;
      }
    }
    double[] sigma = {12, 0.009, 1e6};
    for (int j = 0; j < 3; j++) {
      assertThat(Math.sqrt(sums[j][1] - sums[j][0] * sums[j][0]))
          .isCloseTo(sigma[j], within(0.01 * sigma[j]));
      assertThat(above[j]).isEqualTo(points.length / 2);
    }
  }

  @Test
  void polynomialsAreOrthonormal() {
    GaussIntegratorFactory rules = new GaussIntegratorFactory();
    GaussIntegrator hermite = rules.hermite(12);
    GaussIntegrator legendre = rules.legendre(12);
    for (int a = 1; a <= 3; a++) {
      for (int b = 1; b <= 3; b++) {
        int i = a;
        int j = b;
        double normal =
            hermite.integrate(
                    x ->
                        VarianceShares.polynomial(Shape.NORMAL, i, Math.sqrt(2) * x)
                            * VarianceShares.polynomial(Shape.NORMAL, j, Math.sqrt(2) * x))
                / Math.sqrt(Math.PI);
        double uniform =
            0.5
                * legendre.integrate(
                    x ->
                        VarianceShares.polynomial(Shape.UNIFORM, i, Math.sqrt(3) * x)
                            * VarianceShares.polynomial(Shape.UNIFORM, j, Math.sqrt(3) * x));
        assertThat(normal).isCloseTo(a == b ? 1 : 0, within(1e-12));
        assertThat(uniform).isCloseTo(a == b ? 1 : 0, within(1e-12));
      }
    }
  }

  /**
   * y = z₁ + √2 (z₂² − 1) + z₁ z₃ of normal inputs: variances 1, 4 and 1 (the last from z₁ and z₃
   * together), so the shares are 1/6, 4/6, 0; an idle input has none.
   */
  @Test
  void sharesOfAPolynomialWithAnInteraction() {
    List<Input> inputs =
        List.of(
            new Input("a", Shape.NORMAL),
            new Input("b", Shape.NORMAL),
            new Input("c", Shape.NORMAL),
            new Input("idle", Shape.UNIFORM));
    double[][] rows = LatinHypercube.points(2000, 4, 77);
    double[] y = new double[rows.length];
    for (int i = 0; i < y.length; i++) {
      for (int j = 0; j < 4; j++) {
        rows[i][j] = inputs.get(j).standardised(rows[i][j]);
      }
      double[] z = rows[i];
      y[i] = 5 + z[0] + Math.sqrt(2) * (z[1] * z[1] - 1) + z[0] * z[2];
    }
    VarianceShares shares = new VarianceShares(inputs, rows);
    shares.add(y);
    assertThat(shares.share(0)).isCloseTo(1 / 6.0, within(0.03));
    assertThat(shares.share(1)).isCloseTo(4 / 6.0, within(0.04));
    assertThat(shares.share(2)).isCloseTo(0, within(0.02));
    assertThat(shares.share(3)).isCloseTo(0, within(0.01));
    assertThat(shares.slope(0)).isCloseTo(1, within(0.06));
    assertThat(shares.slope(1)).isCloseTo(0, within(0.06));
  }
}
