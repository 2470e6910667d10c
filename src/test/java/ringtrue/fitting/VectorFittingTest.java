package ringtrue.fitting;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Residual;
import ringtrue.fitting.VectorFitting.Pole;

class VectorFittingTest {

  private static FitLines exact(double shift) {
    SyntheticTaps taps =
        new SyntheticTaps(
            Mode.of(120, 0.03, 2e6), Mode.of(410, 0.01, 5e6), Mode.of(430, 0.02, 8e6));
    taps.residual = new Residual(3e-8, 1.5);
    int n = 600;
    double[] omega = new double[n];
    double[] re = new double[n];
    double[] im = new double[n];
    double[] sigma = new double[n];
    for (int i = 0; i < n; i++) {
      omega[i] = 2 * Math.PI * (40 + i);
      double[] g = taps.exact(shift, omega[i]);
      re[i] = g[0];
      im[i] = g[1];
    }
    Arrays.fill(sigma, 1e-9);
    return new FitLines(omega, re, im, sigma, shift, 2 * Math.PI);
  }

  /** The data are a rational function of this order, whose poles s = −ζωn ± iωn√(1 − ζ²). */
  @ParameterizedTest
  @ValueSource(doubles = {0, 8})
  void findsThePolesOfARationalFunction(double shift) {
    List<Pole> start = List.of(new Pole(-10, 600), new Pole(-10, 1500), new Pole(-10, 3000));
    List<Pole> found =
        new VectorFitting(exact(shift))
            .relocate(start, 12).stream().sorted(Comparator.comparingDouble(Pole::omega)).toList();
    double[][] truth = {{120, 0.03}, {410, 0.01}, {430, 0.02}};
    assertThat(found).hasSize(3);
    for (int j = 0; j < 3; j++) {
      assertThat(found.get(j).omega() / (2 * Math.PI)).isCloseTo(truth[j][0], within(1e-5));
      assertThat(found.get(j).zeta()).isCloseTo(truth[j][1], within(1e-7));
    }
  }

  @Test
  void leavesNothingOverAtTheTruePolesAndSaysWhereElseItDoes() {
    FitLines lines = exact(0);
    VectorFitting fitting = new VectorFitting(lines);
    List<Pole> two = List.of(pole(120, 0.03), pole(410, 0.01));
    VectorFitting.Misfit without = fitting.misfit(two);
    VectorFitting.Misfit with = fitting.misfit(List.of(two.get(0), two.get(1), pole(430, 0.02)));
    assertThat(with.chiSquare()).isLessThan(1e-9 * without.chiSquare());
    assertThat(without.places().get(0).omega() / (2 * Math.PI)).isCloseTo(430, within(20.0));
  }

  private static Pole pole(double hz, double zeta) {
    double omega = 2 * Math.PI * hz;
    return new Pole(-zeta * omega, omega * Math.sqrt(1 - zeta * zeta));
  }
}
