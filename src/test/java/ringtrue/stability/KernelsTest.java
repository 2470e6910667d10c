package ringtrue.stability;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Arrays;
import java.util.Random;
import org.apache.commons.math3.linear.Array2DRowRealMatrix;
import org.apache.commons.math3.linear.LUDecomposition;
import org.apache.commons.math3.linear.RealMatrix;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Matrices by rows against Commons Math. */
class KernelsTest {

  private static RealMatrix random(Random random, int rows, int columns) {
    RealMatrix m = new Array2DRowRealMatrix(rows, columns);
    for (int i = 0; i < rows; i++) {
      for (int j = 0; j < columns; j++) {
        m.setEntry(i, j, random.nextGaussian());
      }
    }
    return m;
  }

  private static double[] rows(RealMatrix m, int stride, int before) {
    double[] all = new double[before + m.getRowDimension() * stride];
    for (int i = 0; i < m.getRowDimension(); i++) {
      System.arraycopy(m.getRow(i), 0, all, before + i * stride, m.getColumnDimension());
    }
    return all;
  }

  private static void same(double[] all, int before, int stride, RealMatrix expected) {
    for (int i = 0; i < expected.getRowDimension(); i++) {
      double[] row =
          Arrays.copyOfRange(
              all, before + i * stride, before + i * stride + expected.getColumnDimension());
      assertThat(row).containsExactly(expected.getRow(i), within(1e-11));
      for (int j = expected.getColumnDimension(); j < stride; j++) {
        assertThat(all[before + i * stride + j]).as("padding").isZero();
      }
    }
  }

  @ParameterizedTest
  @ValueSource(ints = {1, 2, 3, 4, 5, 7, 8, 9, 16, 31, 50})
  void productsAndSolutions(int n) {
    Random random = new Random(n);
    int stride = Kernels.stride(n);
    assertThat(stride).isBetween(n, n + 7).matches(s -> s % 8 == 0);

    RealMatrix a = random(random, n, n);
    double[] square = new double[n * stride];
    Arrays.fill(square, 7);
    Kernels.square(rows(a, stride, 0), n, stride, square);
    same(square, 0, stride, a.multiply(a));

    RealMatrix left = random(random, n + 2, n);
    RealMatrix right = random(random, n, n);
    RealMatrix sum = random(random, n + 2, n);
    double[] added = rows(sum, stride, 5);
    Kernels.addProduct(
        rows(left, n, 0), n + 2, n, rows(right, stride, 3), 3, added, 5, stride, -0.7);
    same(added, 5, stride, sum.add(left.multiply(right).scalarMultiply(-0.7)));

    // no element on the diagonal: every step needs another row
    RealMatrix pivoted = a.copy();
    for (int i = 0; i < n && n > 1; i++) {
      pivoted.setEntry(i, i, 0);
    }
    RealMatrix solution = new LUDecomposition(pivoted).getSolver().solve(right);
    double[] v = rows(right, stride, 0);
    Kernels.solve(rows(pivoted, n, 0), n, v, stride);
    same(v, 0, stride, solution);
    double[] factors = Kernels.transposed(rows(pivoted, n, 0), n, n);
    int[] pivots = Kernels.factor(factors, n);
    for (int j = 0; j < n; j++) {
      double[] column = right.getColumn(j);
      Kernels.solve(factors, pivots, n, column);
      assertThat(column).containsExactly(solution.getColumn(j), within(1e-11));
    }

    double[] columns = Kernels.transposed(rows(left, n, 0), n + 2, n);
    double[] by = right.getColumn(0);
    double[] onto = new double[n + 5];
    Kernels.addColumns(columns, n, by, onto, 3, n + 2, -0.7);
    double[] expected = left.operate(by);
    for (int i = 0; i < n + 2; i++) {
      assertThat(onto[3 + i]).isCloseTo(-0.7 * expected[i], within(1e-12));
    }

    double[] one = random.doubles(n + 4).toArray();
    double[] other = random.doubles(n).toArray();
    double dot = 0;
    for (int i = 0; i < n; i++) {
      dot += one[4 + i] * other[i];
    }
    assertThat(Kernels.dot(one, 4, other, n)).isCloseTo(dot, within(1e-12));
  }
}
