package ringtrue.stability;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Random;
import org.apache.commons.math3.linear.Array2DRowRealMatrix;
import org.apache.commons.math3.linear.EigenDecomposition;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class ComplexMatrixTest {

  private static ComplexMatrix random(int n, long seed) {
    Random random = new Random(seed);
    ComplexMatrix m = new ComplexMatrix(n);
    for (int i = 0; i < n * n; i++) {
      m.re[i] = random.nextGaussian() * Math.exp(-0.1 * (i % n));
      m.im[i] = random.nextGaussian() * Math.exp(-0.1 * (i % n));
    }
    return m;
  }

  /**
   * Against Commons Math on the real matrix [re −im; im re], whose eigenvalues are ours and their
   * conjugates.
   */
  @ParameterizedTest
  @ValueSource(ints = {1, 2, 3, 7, 20, 45})
  void eigenvaluesAgreeWithTheRealMatrixOfTwiceTheSize(int n) {
    ComplexMatrix m = random(n, n);
    double[][] ours = m.eigenvalues();
    Array2DRowRealMatrix twice = new Array2DRowRealMatrix(2 * n, 2 * n);
    for (int i = 0; i < n; i++) {
      for (int j = 0; j < n; j++) {
        twice.setEntry(i, j, m.re[i * n + j]);
        twice.setEntry(i + n, j + n, m.re[i * n + j]);
        twice.setEntry(i, j + n, -m.im[i * n + j]);
        twice.setEntry(i + n, j, m.im[i * n + j]);
      }
    }
    EigenDecomposition theirs = new EigenDecomposition(twice);
    List<double[]> all = new ArrayList<>();
    List<double[]> expected = new ArrayList<>();
    for (int i = 0; i < n; i++) {
      all.add(new double[] {ours[0][i], ours[1][i]});
      all.add(new double[] {ours[0][i], -ours[1][i]});
    }
    for (int i = 0; i < 2 * n; i++) {
      expected.add(new double[] {theirs.getRealEigenvalues()[i], theirs.getImagEigenvalues()[i]});
    }
    Comparator<double[]> order =
        Comparator.<double[]>comparingDouble(v -> Math.rint(1e7 * v[0]))
            .thenComparingDouble(v -> v[1]);
    all.sort(order);
    expected.sort(order);
    for (int i = 0; i < 2 * n; i++) {
      assertThat(all.get(i)[0]).isCloseTo(expected.get(i)[0], within(1e-8));
      assertThat(all.get(i)[1]).isCloseTo(expected.get(i)[1], within(1e-8));
    }
  }

  /** det(I − M) is the product of 1 − eigenvalue; a root of it is an eigenvalue. */
  @Test
  void determinantIsTheProductOverTheEigenvalues() {
    ComplexMatrix m = random(12, 5);
    double[][] values = m.eigenvalues();
    double re = 1;
    double im = 0;
    for (int i = 0; i < 12; i++) {
      double a = 1 - 0.7 * values[0][i];
      double b = -0.7 * values[1][i];
      double next = re * a - im * b;
      im = re * b + im * a;
      re = next;
    }
    double[] det = m.determinantOfOneMinus(0.7);
    double size = Math.exp(det[2]);
    assertThat(size * det[0]).isCloseTo(re, within(1e-9 * Math.hypot(re, im)));
    assertThat(size * det[1]).isCloseTo(im, within(1e-9 * Math.hypot(re, im)));
  }

  @Test
  void inverseIterationFindsTheEigenvalueWithBothVectors() {
    int n = 15;
    ComplexMatrix m = random(n, 9);
    double[][] values = m.eigenvalues();
    ComplexMatrix.Eigen found = m.near(values[0][3] + 1e-3, values[1][3] - 2e-3, true);
    assertThat(found.re()).isCloseTo(values[0][3], within(1e-9));
    assertThat(found.im()).isCloseTo(values[1][3], within(1e-9));
    for (int i = 0; i < n; i++) {
      double re = 0;
      double im = 0;
      double leftRe = 0;
      double leftIm = 0;
      for (int j = 0; j < n; j++) {
        double ar = m.re[i * n + j];
        double ai = m.im[i * n + j];
        re += ar * found.rightRe()[j] - ai * found.rightIm()[j];
        im += ar * found.rightIm()[j] + ai * found.rightRe()[j];
        double br = m.re[j * n + i];
        double bi = m.im[j * n + i];
        leftRe += br * found.leftRe()[j] + bi * found.leftIm()[j];
        leftIm += bi * found.leftRe()[j] - br * found.leftIm()[j];
      }
      double vr = found.rightRe()[i];
      double vi = found.rightIm()[i];
      assertThat(re).isCloseTo(found.re() * vr - found.im() * vi, within(1e-8));
      assertThat(im).isCloseTo(found.re() * vi + found.im() * vr, within(1e-8));
      double zr = found.leftRe()[i];
      double zi = -found.leftIm()[i];
      assertThat(leftRe).isCloseTo(found.re() * zr - found.im() * zi, within(1e-8));
      assertThat(leftIm).isCloseTo(found.re() * zi + found.im() * zr, within(1e-8));
    }
  }

  @Test
  void crossApproximationGivesTheMatrixBackWithItsRank() {
    int n = 10;
    ComplexMatrix low = new ComplexMatrix(n);
    for (int i = 0; i < n; i++) {
      for (int j = 0; j < n; j++) {
        low.re[i * n + j] = Math.cos(0.4 * (i - j)) + 0.3 * Math.sin(i + 2.0 * j);
        low.im[i * n + j] = Math.sin(0.4 * (i - j));
      }
    }
    ComplexMatrix.Factors f = low.factors(1e-10);
    assertThat(f.rank()).isLessThanOrEqualTo(4);
    for (int i = 0; i < n; i++) {
      for (int j = 0; j < n; j++) {
        double re = 0;
        double im = 0;
        for (int r = 0; r < f.rank(); r++) {
          int u = i * f.rank() + r;
          int w = r * n + j;
          re += f.uRe()[u] * f.wRe()[w] - f.uIm()[u] * f.wIm()[w];
          im += f.uRe()[u] * f.wIm()[w] + f.uIm()[u] * f.wRe()[w];
        }
        assertThat(re).isCloseTo(low.re[i * n + j], within(1e-9));
        assertThat(im).isCloseTo(low.im[i * n + j], within(1e-9));
      }
    }
  }
}
