package ringtrue.stability;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.function.BiConsumer;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Largest eigenvalues by squaring, by Arnoldi's method and by all of them, against NumPy ({@code
 * fixtures/lobes/make_eigenvalues.py}) and closed forms.
 */
class MultipliersTest {

  /** A matrix and what NumPy says of it, largest first. */
  record Stored(String name, double[][] matrix, double[] re, double[] im) {
    double logSize() {
      return Math.log(Math.hypot(re[0], im[0]));
    }

    double angle() {
      return Math.abs(Math.atan2(im[0], re[0]));
    }

    @Override
    public String toString() {
      return name;
    }
  }

  static List<Stored> stored() throws IOException {
    List<Stored> all = new ArrayList<>();
    JsonNode cases =
        new ObjectMapper().readTree(Path.of("fixtures", "lobes", "eigenvalues.json").toFile());
    for (JsonNode one : cases) {
      JsonNode rows = one.get("matrix");
      double[][] matrix = new double[rows.size()][];
      for (int i = 0; i < matrix.length; i++) {
        matrix[i] = numbers(rows.get(i));
      }
      all.add(
          new Stored(
              one.get("name").asText(), matrix, numbers(one.get("re")), numbers(one.get("im"))));
    }
    return all;
  }

  private static double[] numbers(JsonNode array) {
    double[] v = new double[array.size()];
    for (int i = 0; i < v.length; i++) {
      v[i] = array.get(i).asDouble();
    }
    return v;
  }

  private static double[] padded(double[][] matrix) {
    int stride = Kernels.stride(matrix.length);
    double[] all = new double[matrix.length * stride];
    for (int i = 0; i < matrix.length; i++) {
      System.arraycopy(matrix[i], 0, all, i * stride, matrix.length);
    }
    return all;
  }

  private static BiConsumer<double[], double[]> map(double[][] matrix) {
    return (from, to) -> {
      for (int i = 0; i < matrix.length; i++) {
        to[i] = Kernels.dot(matrix[i], 0, from, matrix.length);
      }
    };
  }

  @ParameterizedTest
  @MethodSource("stored")
  void exactIsNumpys(Stored stored) {
    int n = stored.matrix.length;
    int stride = Kernels.stride(n);
    Multipliers.Largest found = new Multipliers().exact(padded(stored.matrix), n, stride);
    assertThat(found.logSize()).isCloseTo(stored.logSize(), within(1e-8));
    assertThat(found.angle()).isCloseTo(stored.angle(), within(1e-7));
    Multipliers.Largest all = KrylovSpace.all(padded(stored.matrix), n, stride);
    assertThat(all.logSize()).isCloseTo(stored.logSize(), within(1e-9));
    assertThat(all.angle()).isCloseTo(stored.angle(), within(1e-8));
  }

  /** The sign is right always, and the size where it is small enough to matter. */
  @ParameterizedTest
  @MethodSource("stored")
  void roughKnowsTheSide(Stored stored) {
    int n = stored.matrix.length;
    Multipliers.Largest found =
        new Multipliers().rough(padded(stored.matrix), n, Kernels.stride(n));
    assertThat(found.sure()).isTrue();
    assertThat(found.stable()).isEqualTo(stored.logSize() < 0);
    if (Math.abs(stored.logSize()) < 0.05) {
      double size = stored.logSize();
      assertThat(found.logSize()).isCloseTo(size, within(0.5 * Math.abs(size)));
    }
  }

  @ParameterizedTest
  @MethodSource("stored")
  void krylovSpaceIsNumpys(Stored stored) {
    int n = stored.matrix.length;
    KrylovSpace.Found found = KrylovSpace.largest(map(stored.matrix), n, false);
    assertThat(found.largest().sure()).isTrue();
    assertThat(found.largest().logSize()).isCloseTo(stored.logSize(), within(1e-8));
    assertThat(found.largest().angle()).isCloseTo(stored.angle(), within(1e-7));
    double size = Math.exp(stored.logSize());
    assertThat(residual(stored.matrix, found.vector(), stored.re[0], Math.abs(stored.im[0])))
        .isLessThan(1e-7 * size);
    KrylovSpace.Found side = KrylovSpace.largest(map(stored.matrix), n, true);
    assertThat(side.largest().stable()).isEqualTo(stored.logSize() < 0);
  }

  @ParameterizedTest
  @MethodSource("stored")
  void nullVectorsAreEigenvectors(Stored stored) {
    int n = stored.matrix.length;
    for (int k = 0; k < stored.re.length; k++) {
      double[] v =
          ComplexVectors.nullVector(
              padded(stored.matrix), n, Kernels.stride(n), stored.re[k], stored.im[k]);
      double norm = 0;
      for (double[] row : stored.matrix) {
        norm += Kernels.dot(row, 0, row, n);
      }
      assertThat(Kernels.dot(v, 0, v, 2 * n)).isCloseTo(1, within(1e-12));
      assertThat(residual(stored.matrix, v, stored.re[k], stored.im[k]))
          .isLessThan(1e-11 * Math.sqrt(norm));
    }
  }

  private static double residual(double[][] m, double[] v, double re, double im) {
    double sum = 0;
    for (int i = 0; i < m.length; i++) {
      double a = -(re * v[2 * i] - im * v[2 * i + 1]);
      double b = -(re * v[2 * i + 1] + im * v[2 * i]);
      for (int j = 0; j < m.length; j++) {
        a += m[i][j] * v[2 * j];
        b += m[i][j] * v[2 * j + 1];
      }
      sum += a * a + b * b;
    }
    return Math.sqrt(sum / Kernels.dot(v, 0, v, v.length));
  }

  /**
   * Jordan blocks, J = μ + N, seen through an integer basis of determinant one: the multiplier is μ
   * and has one vector only. A residual of 1e-9, with which the program is content, moves it by the
   * square or cube root of that.
   */
  @ParameterizedTest
  @ValueSource(doubles = {0.9375, -1.0625, -0.984375})
  void defective(double mu) {
    for (int block = 2; block <= 3; block++) {
      int n = 9;
      double[][] j = new double[n][n];
      for (int i = 0; i < n; i++) {
        j[i][i] = i < block ? mu : 0.0625 * (i - 4);
        if (i + 1 < block) {
          j[i][i + 1] = 1;
        }
      }
      double[][] matrix = throughIntegers(j);
      double[] padded = padded(matrix);
      int stride = Kernels.stride(n);
      double near = block == 2 ? 1e-4 : 3e-3;
      double log = Math.log(Math.abs(mu));
      double angle = mu < 0 ? Math.PI : 0;
      Multipliers.Largest exact = new Multipliers().exact(padded, n, stride);
      assertThat(exact.logSize()).isCloseTo(log, within(near));
      assertThat(exact.angle()).isCloseTo(angle, within(near));
      assertThat(new Multipliers().rough(padded, n, stride).stable()).isEqualTo(log < 0);
      KrylovSpace.Found found = KrylovSpace.largest(map(matrix), n, false);
      assertThat(found.largest().logSize()).isCloseTo(log, within(near));
      assertThat(found.largest().angle()).isCloseTo(angle, within(near));
    }
  }

  /** L J L⁻¹ with ones on and below the diagonal of L: sums and differences, without rounding. */
  private static double[][] throughIntegers(double[][] j) {
    int n = j.length;
    double[][] m = new double[n][n];
    for (int r = 0; r < n; r++) {
      for (int c = 0; c < n; c++) {
        m[r][c] = j[r][c] + (r > 0 ? m[r - 1][c] : 0);
      }
    }
    for (int r = 0; r < n; r++) {
      for (int c = 0; c + 1 < n; c++) {
        m[r][c] -= m[r][c + 1];
      }
    }
    return m;
  }

  /** A cyclic permutation times 0.98: nine multipliers of one size, no largest among them. */
  @Test
  void allOfOneSize() {
    int n = 9;
    double[][] m = new double[n][n];
    for (int i = 0; i < n; i++) {
      m[i][(i + 1) % n] = 0.98;
    }
    Multipliers.Largest exact = new Multipliers().exact(padded(m), n, Kernels.stride(n));
    assertThat(exact.logSize()).isCloseTo(Math.log(0.98), within(1e-10));
    assertThat(new Multipliers().rough(padded(m), n, Kernels.stride(n)).stable()).isTrue();
    assertThat(KrylovSpace.largest(map(m), n, false).largest().logSize())
        .isCloseTo(Math.log(0.98), within(1e-10));
  }

  /** Nothing comes back: everything has died out after a few periods. */
  @Test
  void nothingAndNilpotent() {
    Multipliers none = new Multipliers();
    assertThat(none.exact(new double[0], 0, 0)).isEqualTo(Multipliers.REST);
    int n = 7;
    int stride = Kernels.stride(n);
    double[][] m = new double[n][n];
    assertThat(none.exact(padded(m), n, stride)).isEqualTo(Multipliers.REST);
    assertThat(none.rough(padded(m), n, stride)).isEqualTo(Multipliers.REST);
    assertThat(KrylovSpace.largest(map(m), n, true).largest().stable()).isTrue();
    for (int i = 0; i + 1 < n; i++) {
      m[i][i + 1] = 3;
    }
    assertThat(none.exact(padded(m), n, stride)).isEqualTo(Multipliers.REST);
    assertThat(none.rough(padded(m), n, stride).stable()).isTrue();
    assertThat(KrylovSpace.largest(map(m), n, true).largest().logSize()).isLessThan(-1);
  }
}
