package ringtrue.fitting;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import ringtrue.fitting.ModalParameters.Term;

/**
 * Against the optimum that SciPy finds for the same data, weights and model: {@code
 * fixtures/fitting/make_optimum.py}.
 */
class ModalRefinementTest {
  private static final Path FIXTURES = Path.of("fixtures", "fitting");
  private static final double TAU = 0.4;

  private static FitLines lines() throws IOException {
    List<String> rows = Files.readAllLines(FIXTURES.resolve("two_modes.csv"));
    int n = rows.size() - 1;
    double[][] columns = new double[4][n];
    for (int i = 0; i < n; i++) {
      String[] cells = rows.get(i + 1).split(",");
      for (int c = 0; c < 4; c++) {
        columns[c][i] = Double.parseDouble(cells[c]);
      }
      columns[0][i] *= 2 * Math.PI;
    }
    return new FitLines(
        columns[0], columns[1], columns[2], columns[3], 1 / TAU, columns[0][1] - columns[0][0]);
  }

  private static Map<String, double[]> optimum() throws IOException {
    Map<String, double[]> optimum = new HashMap<>();
    for (String row : Files.readAllLines(FIXTURES.resolve("optimum.csv")).subList(1, 10)) {
      String[] cells = row.split(",");
      optimum.put(
          cells[0], new double[] {Double.parseDouble(cells[1]), Double.parseDouble(cells[2])});
    }
    return optimum;
  }

  private static ModalParameters start() {
    return new ModalParameters(
        List.of(
            new Term(2 * Math.PI * 405, 0.03, 1 / 5e6, 0),
            new Term(2 * Math.PI * 662, 0.03, 1 / 1e7, 0)),
        0,
        0);
  }

  @Test
  void endsInTheOptimumThatScipyFinds() throws IOException {
    ModalRefinement.Fit fit = new ModalRefinement(lines()).from(start(), 50, 1e-14);
    Map<String, double[]> optimum = optimum();
    assertThat(fit.chiSquare() / optimum.get("chiSquare")[0]).isCloseTo(1, within(1e-9));
    for (int j = 0; j < 2; j++) {
      Term term = fit.parameters().terms().get(j);
      assertSame(term.omega(), optimum.get("omega" + (j + 1))[0]);
      assertSame(term.zeta(), optimum.get("zeta" + (j + 1))[0]);
      assertSame(term.compliance(), optimum.get("compliance" + (j + 1))[0]);
    }
    assertSame(fit.parameters().upper(), optimum.get("upper")[0]);
    assertSame(fit.parameters().lower(), optimum.get("lower")[0]);
  }

  private static void assertSame(double value, double reference) {
    assertThat(value / reference).isCloseTo(1, within(1e-6));
  }

  /** The noise's relation comes by way of a transform here and as a plain double sum in NumPy. */
  @Test
  void givesTheErrorsThatFollowFromNoiseUnderAWindow() throws IOException {
    ModalRefinement refinement = new ModalRefinement(lines());
    ModalParameters best = refinement.from(start(), 50, 1e-14).parameters();
    double[][] covariance = refinement.covariance(best);
    Map<String, double[]> optimum = optimum();
    for (int j = 0; j < 2; j++) {
      Term term = best.terms().get(j);
      String n = Integer.toString(j + 1);
      assertClose(term.omega() * sigma(covariance, 3 * j), optimum.get("omega" + n)[1]);
      assertClose(term.zeta() * sigma(covariance, 3 * j + 1), optimum.get("zeta" + n)[1]);
      assertClose(sigma(covariance, 3 * j + 2), optimum.get("compliance" + n)[1]);
    }
  }

  private static double sigma(double[][] covariance, int i) {
    return Math.sqrt(covariance[i][i]);
  }

  private static void assertClose(double value, double reference) {
    assertThat(value / reference).isCloseTo(1, within(2e-3));
  }
}
