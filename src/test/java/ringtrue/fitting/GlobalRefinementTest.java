package ringtrue.fitting;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import ringtrue.fitting.GlobalRefinement.Shared;

/**
 * Against the joint optimum that SciPy finds for two responses with common poles: {@code
 * fixtures/fitting/make_global_optimum.py}.
 */
class GlobalRefinementTest {
  private static final Path FIXTURES = Path.of("fixtures", "fitting");

  private static List<FitLines> responses() throws IOException {
    List<String> rows = Files.readAllLines(FIXTURES.resolve("shared_modes.csv"));
    int n = rows.size() - 1;
    double[][] c = new double[7][n];
    for (int i = 0; i < n; i++) {
      String[] cells = rows.get(i + 1).split(",");
      for (int k = 0; k < 7; k++) {
        c[k][i] = Double.parseDouble(cells[k]) * (k == 0 ? 2 * Math.PI : 1);
      }
    }
    List<FitLines> both = new ArrayList<>();
    for (int r = 0; r < 2; r++) {
      both.add(new FitLines(c[0], c[1 + 3 * r], c[2 + 3 * r], c[3 + 3 * r], 0, c[0][1] - c[0][0]));
    }
    return both;
  }

  @Test
  void endsInTheJointOptimumThatScipyFindsWithItsErrors() throws IOException {
    List<FitLines> responses = responses();
    double[][] weight = new double[2][responses.get(0).size()];
    Arrays.fill(weight[0], 1);
    Arrays.fill(weight[1], 1);
    GlobalRefinement refinement = new GlobalRefinement(responses, weight);
    Shared start =
        new Shared(
            new double[] {1900, 2450},
            new double[] {0.03, 0.02},
            new double[2][2],
            new double[2],
            new double[2]);
    GlobalRefinement.Fit fit = refinement.from(refinement.linear(start), 60, 1e-14);
    assertThat(fit.converged()).isTrue();
    Map<String, double[]> optimum = new HashMap<>();
    List<String> rows = Files.readAllLines(FIXTURES.resolve("global_optimum.csv"));
    for (String row : rows.subList(1, rows.size())) {
      String[] cells = row.split(",");
      optimum.put(
          cells[0], new double[] {Double.parseDouble(cells[1]), Double.parseDouble(cells[2])});
    }
    assertThat(fit.total() / optimum.get("chiSquare")[0]).isCloseTo(1, within(1e-9));
    Shared s = fit.shared();
    GlobalRefinement.Errors errors = refinement.errors(s, new double[][] {{1, 1}, {1, 1}});
    for (int j = 0; j < 2; j++) {
      String mode = Integer.toString(j + 1);
      double w = s.omega()[j];
      double z = s.zeta()[j];
      assertSame(w, w * errors.omega()[j], optimum.get("omega" + mode));
      assertSame(z, z * errors.zeta()[j], optimum.get("zeta" + mode));
      for (int r = 0; r < 2; r++) {
        assertSame(
            s.compliance()[r][j],
            errors.compliance()[r][j],
            optimum.get("compliance" + (r + 1) + mode));
      }
    }
  }

  private static void assertSame(double value, double sigma, double[] reference) {
    assertThat(value / reference[0]).isCloseTo(1, within(1e-6));
    assertThat(sigma / reference[1]).isCloseTo(1, within(1e-4));
  }
}
