package ringtrue.fitting;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.apache.commons.math3.complex.Complex;
import org.apache.commons.math3.linear.Array2DRowRealMatrix;
import org.apache.commons.math3.linear.ArrayRealVector;
import org.apache.commons.math3.linear.QRDecomposition;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;

/** The fit against the classical ways of the textbooks, on data where those are exact. */
class OlderMethodsTest {
  private static final int LINES = 4000;

  private static FrequencyResponse single(double fn, double zeta, double k, double[] hz) {
    double[] re = new double[hz.length];
    double[] im = new double[hz.length];
    for (int i = 0; i < hz.length; i++) {
      double r = hz[i] / fn;
      Complex g = new Complex(1 - r * r, 2 * zeta * r).multiply(k).reciprocal();
      re[i] = g.getReal();
      im[i] = g.getImaginary();
    }
    return new FrequencyResponse(
        hz, re, im, null, null, FrequencyResponse.Origin.unknown(hz[0], hz[hz.length - 1]));
  }

  private static double[] around(double fn, double zeta) {
    double[] hz = new double[LINES];
    for (int i = 0; i < LINES; i++) {
      hz[i] = fn * (1 + 12 * zeta * (i - LINES / 2.0) / LINES);
    }
    return hz;
  }

  private static Mode fitted(FrequencyResponse response) {
    List<Mode> modes =
        ModeFitter.fit(response, FitSettings.AUTOMATIC, Progress.NONE).model().modes();
    assertThat(modes).hasSize(1);
    return modes.get(0);
  }

  /**
   * Half-power points (peak amplitude method, for example Ewins, Modal Testing, chapter on modal
   * analysis methods, from memory), without the usual approximation: the receptance is largest at
   * r² = 1 − 2ζ² with 1/(2kζ√(1 − ζ²)), and √½ of that at r² = 1 − 2ζ² ± 2ζ√(1 − ζ²).
   */
  @ParameterizedTest
  @CsvSource({"120, 0.005, 2e6", "640, 0.02, 9e6", "640, 0.07, 9e6"})
  void agreesWithHalfPowerPoints(double fn, double zeta, double k) {
    FrequencyResponse response = single(fn, zeta, k, around(fn, zeta));
    int top = 0;
    for (int i = 0; i < LINES; i++) {
      top = response.magnitude(i) > response.magnitude(top) ? i : top;
    }
    double level = response.magnitude(top) / Math.sqrt(2);
    double below = crossing(response, level, top, -1);
    double above = crossing(response, level, top, 1);
    Mode mode = fitted(response);
    double f = mode.frequencyHz();
    double z = mode.dampingRatio();
    assertThat((above * above - below * below) / (4 * f * f))
        .isCloseTo(z * Math.sqrt(1 - z * z), within(1e-5 * z));
    assertThat((above * above + below * below) / (2 * f * f))
        .isCloseTo(1 - 2 * z * z, within(1e-6));
    assertThat(1 / (2 * z * Math.sqrt(1 - z * z) * mode.stiffnessNPerM()) / response.magnitude(top))
        .isCloseTo(1, within(1e-5));
  }

  private static double crossing(FrequencyResponse g, double level, int top, int direction) {
    int i = top;
    while (g.magnitude(i) > level) {
      i += direction;
    }
    double inside = g.magnitude(i - direction);
    double part = (inside - level) / (inside - g.magnitude(i));
    double from = g.frequencyHz(i - direction);
    return from + part * (g.frequencyHz(i) - from);
  }

  /**
   * Circle fit to the mobility (Kennedy and Pancu 1947, J. Aeronautical Sciences 14; as in Ewins,
   * Modal Testing, from memory): the circle's diameter is ωn/(2ζk); points above and below, at
   * angles θ from the point of resonance, give ζ = (ωa² − ωb²)/(2ωn(ωa tan θa/2 + ωb tan θb/2)).
   * The circle goes through some lines by linear least squares, as a drawing would have it.
   */
  @ParameterizedTest
  @CsvSource({"120, 0.005, 2e6", "640, 0.02, 9e6", "640, 0.07, 9e6"})
  void agreesWithTheCircleFit(double fn, double zeta, double k) {
    FrequencyResponse response = single(fn, zeta, k, around(fn, zeta));
    double[][] rows = new double[LINES][];
    double[] right = new double[LINES];
    Complex[] mobility = new Complex[LINES];
    for (int i = 0; i < LINES; i++) {
      double w = 2 * Math.PI * response.frequencyHz(i);
      mobility[i] = new Complex(-w * response.imag(i), w * response.real(i)).multiply(1e6 / fn);
      rows[i] = new double[] {mobility[i].getReal(), mobility[i].getImaginary(), 1};
      right[i] = Math.pow(mobility[i].abs(), 2);
    }
    double[] x =
        new QRDecomposition(new Array2DRowRealMatrix(rows))
            .getSolver()
            .solve(new ArrayRealVector(right))
            .toArray();
    Complex centre = new Complex(x[0] / 2, x[1] / 2);
    double radius = Math.sqrt(x[2] + Math.pow(centre.abs(), 2));
    // resonance: the point opposite the origin, where the angle about the centre passes 0
    int next = 0;
    while (angle(mobility[next], centre) > 0) {
      next++;
    }
    double part =
        angle(mobility[next - 1], centre)
            / (angle(mobility[next - 1], centre) - angle(mobility[next], centre));
    double f =
        response.frequencyHz(next - 1)
            + part * (response.frequencyHz(next) - response.frequencyHz(next - 1));
    int b = next - LINES / 20;
    int a = next + LINES / 25;
    double fa = response.frequencyHz(a);
    double fb = response.frequencyHz(b);
    double z =
        (fa * fa - fb * fb)
            / (2
                * f
                * (fa * Math.tan(-angle(mobility[a], centre) / 2)
                    + fb * Math.tan(angle(mobility[b], centre) / 2)));
    Mode mode = fitted(response);
    assertThat(mode.frequencyHz() / f).isCloseTo(1, within(1e-6));
    assertThat(mode.dampingRatio() / z).isCloseTo(1, within(1e-5));
    double diameter = 2 * radius * fn / 1e6;
    assertThat(2 * Math.PI * f / (2 * z * mode.stiffnessNPerM()) / diameter)
        .isCloseTo(1, within(1e-5));
  }

  private static double angle(Complex point, Complex centre) {
    return point.subtract(centre).getArgument();
  }

  /**
   * Rational fraction polynomials after Richardson and Formenti 1982, made independently in NumPy:
   * {@code fixtures/fitting/make_rational_fraction.py}.
   */
  @Test
  void agreesWithRationalFractionPolynomials() throws IOException {
    List<String> rows = Files.readAllLines(Path.of("fixtures", "fitting", "three_modes.csv"));
    int n = rows.size() - 1;
    double[][] c = new double[3][n];
    for (int i = 0; i < n; i++) {
      String[] cells = rows.get(i + 1).split(",");
      for (int k = 0; k < 3; k++) {
        c[k][i] = Double.parseDouble(cells[k]);
      }
    }
    FrequencyResponse response =
        new FrequencyResponse(
            c[0], c[1], c[2], null, null, FrequencyResponse.Origin.unknown(c[0][0], c[0][n - 1]));
    List<Mode> modes =
        ModeFitter.fit(response, FitSettings.AUTOMATIC, Progress.NONE).model().modes();
    List<String> other =
        Files.readAllLines(Path.of("fixtures", "fitting", "rational_fraction.csv"));
    assertThat(modes).hasSize(3);
    for (int j = 0; j < 3; j++) {
      String[] cells = other.get(j + 1).split(",");
      Mode m = modes.get(j);
      assertThat(m.frequencyHz() / Double.parseDouble(cells[0])).isCloseTo(1, within(1e-7));
      assertThat(m.dampingRatio() / Double.parseDouble(cells[1])).isCloseTo(1, within(1e-5));
      assertThat(m.stiffnessNPerM() / Double.parseDouble(cells[2])).isCloseTo(1, within(1e-5));
    }
  }
}
