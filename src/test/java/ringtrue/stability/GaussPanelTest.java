package ringtrue.stability;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.function.UnaryOperator;
import org.apache.commons.math3.complex.Complex;
import org.apache.commons.math3.linear.Array2DRowRealMatrix;
import org.apache.commons.math3.linear.LUDecomposition;
import org.apache.commons.math3.linear.MatrixUtils;
import org.apache.commons.math3.linear.RealMatrix;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Collocation at Gauss nodes against integrals of Legendre polynomials and exact responses. */
class GaussPanelTest {

  /** The matrix function of a transform G(s) over a stretch of one second. */
  private static RealMatrix of(GaussPanel panel, UnaryOperator<Complex> transform) {
    int p = panel.nodes();
    double[] re = new double[panel.values()];
    double[] im = new double[panel.values()];
    for (int v = 0; v < re.length; v++) {
      Complex s = new Complex(panel.eigenRe(v), panel.eigenIm(v)).reciprocal();
      Complex g = transform.apply(s);
      re[v] = g.getReal();
      im[v] = g.getImaginary();
    }
    double[] flat = new double[p * p];
    panel.matrix(re, im, flat);
    RealMatrix m = new Array2DRowRealMatrix(p, p);
    for (int i = 0; i < p * p; i++) {
      m.setEntry(i / p, i % p, flat[i]);
    }
    return m;
  }

  /** Rounding grows tenfold with every two nodes, as the class says. */
  private static double rounding(int p) {
    return 1e-14 * Math.pow(10, 0.5 * p);
  }

  private static double legendre(int k, double x) {
    double before = 0;
    double now = 1;
    for (int i = 0; i < k; i++) {
      double next = ((2 * i + 1) * x * now - i * before) / (i + 1);
      before = now;
      now = next;
    }
    return k < 0 ? 0 : now;
  }

  /**
   * s → 1/s integrates: the polynomial that is 1 at node j only is Σ_k w_j (2k + 1) P_k(ξ_j) P_k(ξ)
   * with ξ = 2x − 1, and ∫ P_k from −1 to ξ is (P_{k+1} − P_{k−1})/(2k + 1).
   */
  @ParameterizedTest
  @ValueSource(ints = {2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14})
  void reciprocalIntegrates(int p) {
    GaussPanel panel = GaussPanel.of(p);
    RealMatrix s = of(panel, Complex::reciprocal);
    for (int i = 0; i < p; i++) {
      double xi = 2 * panel.node(i) - 1;
      assertThat(legendre(p, xi)).isCloseTo(0, within(1e-13));
      for (int j = 0; j < p; j++) {
        double xj = 2 * panel.node(j) - 1;
        double exact = panel.weight(j) * panel.node(i);
        for (int k = 1; k < p; k++) {
          exact +=
              0.5 * panel.weight(j) * legendre(k, xj) * (legendre(k + 1, xi) - legendre(k - 1, xi));
        }
        assertThat(s.getEntry(i, j)).as("%d, %d", i, j).isCloseTo(exact, within(rounding(p)));
      }
    }
  }

  /** Gauss quadrature: x^m to 2p − 1, weights that sum to one. */
  @ParameterizedTest
  @ValueSource(ints = {2, 5, 14})
  void weightsIntegrate(int p) {
    GaussPanel panel = GaussPanel.of(p);
    for (int m = 0; m < 2 * p; m++) {
      double sum = 0;
      for (int i = 0; i < p; i++) {
        sum += panel.weight(i) * Math.pow(panel.node(i), m);
      }
      assertThat(sum).isCloseTo(1.0 / (m + 1), within(1e-14));
    }
  }

  /** A matrix function of a rational transform is that of linear algebra. */
  @ParameterizedTest
  @ValueSource(ints = {3, 6, 9, 14})
  void firstOrderLagIsASolve(int p) {
    GaussPanel panel = GaussPanel.of(p);
    double tau = 0.21;
    RealMatrix s = of(panel, Complex::reciprocal);
    RealMatrix lag = of(panel, v -> v.multiply(tau).add(1).reciprocal());
    RealMatrix below = s.add(MatrixUtils.createRealIdentityMatrix(p).scalarMultiply(tau));
    RealMatrix solved = new LUDecomposition(below).getSolver().solve(s);
    assertThat(lag.subtract(solved).getNorm()).isLessThan(20 * rounding(p));
  }

  /** Step of a first-order lag: 1 − e^(−t/τ), with an error that falls with the nodes. */
  @ParameterizedTest
  @CsvSource({"4, 1e-3", "6, 1e-5", "8, 1e-7", "10, 1e-9", "12, 1e-10"})
  void stepOfAFirstOrderLag(int p, double error) {
    GaussPanel panel = GaussPanel.of(p);
    double tau = 0.5;
    double[] out = ones(of(panel, v -> v.multiply(tau).add(1).reciprocal()));
    for (int i = 0; i < p; i++) {
      assertThat(out[i]).isCloseTo(1 - Math.exp(-panel.node(i) / tau), within(error));
    }
  }

  /** Step of an oscillator of 5.2 rad over the stretch, from rest, against its closed form. */
  @Test
  void stepOfAnOscillator() {
    double omega = 5.2;
    double zeta = 0.03;
    double damped = omega * Math.sqrt(1 - zeta * zeta);
    double before = 1;
    for (int p = 5; p <= 13; p += 2) {
      GaussPanel panel = GaussPanel.of(p);
      double[] out =
          ones(
              of(
                  panel,
                  s ->
                      s.multiply(s)
                          .add(s.multiply(2 * zeta * omega))
                          .add(omega * omega)
                          .reciprocal()
                          .multiply(omega * omega)));
      double worst = 0;
      for (int i = 0; i < p; i++) {
        double t = panel.node(i);
        double exact =
            1
                - Math.exp(-zeta * omega * t)
                    * (Math.cos(damped * t) + zeta * omega / damped * Math.sin(damped * t));
        worst = Math.max(worst, Math.abs(out[i] - exact));
      }
      assertThat(worst).as("%d nodes", p).isLessThan(0.1 * before);
      before = worst;
    }
    assertThat(before).isLessThan(1e-6);
  }

  private static double[] ones(RealMatrix m) {
    double[] one = new double[m.getColumnDimension()];
    java.util.Arrays.fill(one, 1);
    return m.operate(one);
  }

  /** Interpolation is exact for polynomials of degree below the number of nodes. */
  @ParameterizedTest
  @ValueSource(ints = {2, 7, 14})
  void interpolates(int p) {
    GaussPanel panel = GaussPanel.of(p);
    double[] weights = new double[p + 3];
    for (double x : new double[] {0, 0.1234, panel.node(1), 0.77, 1}) {
      panel.interpolate(x, weights);
      double sum = 0;
      for (int i = 0; i < p; i++) {
        sum += weights[i] * Math.pow(panel.node(i) - 0.4, p - 1);
      }
      assertThat(sum).isCloseTo(Math.pow(x - 0.4, p - 1), within(1e-12));
    }
  }
}
