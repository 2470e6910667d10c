package ringtrue.stability;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.ejml.data.Complex_F64;
import org.ejml.data.DMatrixRMaj;
import org.ejml.dense.row.factory.DecompositionFactory_DDRM;
import org.ejml.interfaces.decomposition.EigenDecomposition_F64;
import org.junit.jupiter.api.Test;

/** Against the general solver of a library, and closed forms. */
class HessenbergValuesTest {

  private static List<double[]> sorted(List<double[]> values) {
    values.sort(
        (a, b) ->
            Math.abs(a[0] - b[0]) > 1e-6 ? Double.compare(a[0], b[0]) : Double.compare(a[1], b[1]));
    return values;
  }

  private static List<double[]> own(double[] a, int n) {
    HessenbergValues values = new HessenbergValues(a.clone(), n);
    assertThat(values.find()).isTrue();
    List<double[]> all = new ArrayList<>();
    for (int i = 0; i < n; i++) {
      all.add(new double[] {values.re(i), values.im(i)});
    }
    return sorted(all);
  }

  @Test
  void randomOnesAgreeWithTheLibrary() {
    Random random = new Random(8);
    for (int n : new int[] {1, 2, 3, 4, 5, 8, 20, 60}) {
      for (int round = 0; round < 10; round++) {
        double[] a = new double[n * n];
        for (int i = 0; i < n; i++) {
          for (int j = Math.max(0, i - 1); j < n; j++) {
            a[i * n + j] = random.nextGaussian();
          }
        }
        EigenDecomposition_F64<DMatrixRMaj> eigen = DecompositionFactory_DDRM.eig(n, false);
        assertThat(eigen.decompose(new DMatrixRMaj(n, n, true, a.clone()))).isTrue();
        List<double[]> expected = new ArrayList<>();
        for (int i = 0; i < n; i++) {
          Complex_F64 v = eigen.getEigenvalue(i);
          expected.add(new double[] {v.real, v.imaginary});
        }
        sorted(expected);
        List<double[]> found = own(a, n);
        for (int i = 0; i < n; i++) {
          assertThat(found.get(i)).containsExactly(expected.get(i), within(1e-8));
        }
      }
    }
  }

  /** A cyclic shift, on which plain shifts stand still: the roots of one. */
  @Test
  void rootsOfOne() {
    int n = 12;
    double[] a = new double[n * n];
    a[n - 1] = 1;
    for (int i = 1; i < n; i++) {
      a[i * n + i - 1] = 1;
    }
    for (double[] v : own(a, n)) {
      assertThat(Math.hypot(v[0], v[1])).isCloseTo(1, within(1e-12));
      assertThat(Math.IEEEremainder(12 * Math.atan2(v[1], v[0]), 2 * Math.PI))
          .isCloseTo(0, within(1e-10));
    }
  }

  @Test
  void somethingBelowTheSubdiagonalDoesNotFit() {
    assertThat(HessenbergValues.fits(new double[] {1, 2, 3, 4, 5, 6, 0, 8, 9}, 3)).isTrue();
    assertThat(HessenbergValues.fits(new double[] {1, 2, 3, 4, 5, 6, 7, 8, 9}, 3)).isFalse();
  }
}
