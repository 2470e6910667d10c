package ringtrue.fitting;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import org.apache.commons.math3.linear.Array2DRowRealMatrix;
import org.apache.commons.math3.linear.EigenDecomposition;
import org.apache.commons.math3.linear.LUDecomposition;
import org.apache.commons.math3.linear.RealMatrix;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Residual;

/** Masses on structures whose loaded modes are known in closed form or as eigenvalues. */
class SensorMassTest {

  /** One mode: M + m in place of M, with spring and damper as they were. */
  @ParameterizedTest
  @ValueSource(doubles = {-0.002, 0.0008, 0.005, 0.02})
  void aSingleModeIsClosedForm(double mass) {
    double omega = 2 * Math.PI * 2600;
    double own = 0.0078;
    ModalModel model = ModalModel.of(Mode.of(2600, 0.012, own * omega * omega));
    Mode loaded = SensorMass.loaded(model, 0, mass);
    double root = Math.sqrt(own / (own + mass));
    assertThat(loaded.frequencyHz()).isCloseTo(2600 * root, within(1e-9 * 2600));
    assertThat(loaded.dampingRatio()).isCloseTo(0.012 * root, within(1e-9));
    assertThat(loaded.stiffnessNPerM() / (own * omega * omega)).isCloseTo(1, within(1e-9));
  }

  /**
   * A compliance above the band is a spring between the tip and the sensor: with one mode that is a
   * chain of two masses, whose eigenvalues are known.
   */
  @Test
  void theResidualIsASpringInSeries() {
    double k1 = 2e6;
    double m1 = 0.0078;
    double k2 = 1.5e7;
    double m2 = 0.003;
    ModalModel model =
        new ModalModel(
            List.of(Mode.of(Math.sqrt(k1 / m1) / (2 * Math.PI), 1e-9, k1)),
            new Residual(1 / k2, 0));
    double a = m1 * m2;
    double b = -(m1 * k2 + m2 * (k1 + k2));
    double c = k1 * k2;
    double lower = Math.sqrt((-b - Math.sqrt(b * b - 4 * a * c)) / (2 * a)) / (2 * Math.PI);
    assertThat(SensorMass.loaded(model, 0, m2).frequencyHz()).isCloseTo(lower, within(1e-7));
  }

  /** Three modes in mass-normalised coordinates: M + m 1 1ᵀ, eigenvalues of the state matrix. */
  @Test
  void severalModesAgreeWithTheirEigenvalues() {
    List<Mode> modes =
        List.of(Mode.of(900, 0.02, 9e5), Mode.of(1400, 0.01, 4e6), Mode.of(4200, 0.02, 2e7));
    double mass = 0.005;
    double[][] m = new double[3][3];
    double[][] k = new double[3][3];
    double[][] c = new double[3][3];
    for (int i = 0; i < 3; i++) {
      Mode mode = modes.get(i);
      double omega = 2 * Math.PI * mode.frequencyHz();
      for (int j = 0; j < 3; j++) {
        m[i][j] = mass + (i == j ? mode.massKg() : 0);
      }
      k[i][i] = mode.stiffnessNPerM();
      c[i][i] = 2 * mode.dampingRatio() * omega * mode.massKg();
    }
    RealMatrix inverse = new LUDecomposition(new Array2DRowRealMatrix(m)).getSolver().getInverse();
    RealMatrix state = new Array2DRowRealMatrix(6, 6);
    state.setSubMatrix(new double[][] {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}, 0, 3);
    state.setSubMatrix(
        inverse.multiply(new Array2DRowRealMatrix(k)).scalarMultiply(-1).getData(), 3, 0);
    state.setSubMatrix(
        inverse.multiply(new Array2DRowRealMatrix(c)).scalarMultiply(-1).getData(), 3, 3);
    EigenDecomposition eigen = new EigenDecomposition(state);
    ModalModel model = new ModalModel(modes, Residual.NONE);
    for (int j = 0; j < 3; j++) {
      Mode loaded = SensorMass.loaded(model, j, mass);
      double nearest = Double.POSITIVE_INFINITY;
      for (int i = 0; i < 6; i++) {
        double re = eigen.getRealEigenvalue(i);
        double im = eigen.getImagEigenvalue(i);
        double fn = Math.hypot(re, im) / (2 * Math.PI);
        nearest =
            Math.min(
                nearest,
                Math.abs(fn / loaded.frequencyHz() - 1)
                    + Math.abs(-re / Math.hypot(re, im) / loaded.dampingRatio() - 1));
      }
      assertThat(nearest).isLessThan(1e-6);
      // what was put on can be taken off again
      assertThat(loaded.frequencyHz()).isLessThan(modes.get(j).frequencyHz());
    }
  }

  @Test
  void saysHowFarTheSensorMovedEachMode() {
    double omega = 2 * Math.PI * 2600;
    ModalModel model = ModalModel.of(Mode.of(2600, 0.012, 0.0078 * omega * omega));
    List<String> remarks = SensorMass.takenOff(model, 0.005);
    double shift = 2600 * (1 - Math.sqrt(0.0078 / 0.0128));
    assertThat(remarks.get(0))
        .contains("5 g lowered the mode at 2600 Hz by " + Math.round(shift) + " Hz (22 %)");
    // ½ m/M of one per cent
    assertThat(remarks.get(1)).contains("moves the frequency by 0.319 %");
    assertThat(SensorMass.takenOff(model, 1e-6)).isEmpty();
    assertThat(SensorMass.takenOff(ModalModel.of(Mode.of(300, 0.02, 2e7)), 0.005)).isEmpty();
  }

  /** Half of 1 g over 50 g is 1 %, of 1 g over 5 kg nothing worth a word. */
  @Test
  void saysWhatAGramDoesWhereTheMassIsNotKnown() {
    double omega = 2 * Math.PI * 800;
    assertThat(SensorMass.unknown(ModalModel.of(Mode.of(800, 0.02, 0.05 * omega * omega))))
        .singleElement()
        .asString()
        .contains("lowers the mode at 800 Hz by about 8 Hz (1 %)")
        .contains("sensorMass");
    assertThat(SensorMass.unknown(ModalModel.of(Mode.of(800, 0.02, 5 * omega * omega)))).isEmpty();
  }

  /** dfn/fn = ½ m/M g, dζ/ζ the same, and k by g itself. */
  @Test
  void anErrorOfTheGainActsAsAWrongMass() {
    double omega = 2 * Math.PI * 2600;
    double k = 0.0078 * omega * omega;
    ModalModel model =
        new ModalModel(List.of(new Mode(2600, 0.012, k, 0, 0, 0, -90)), Residual.NONE);
    Mode wide = SensorMass.widened(model, 0.005, hz -> 0.004, hz -> 0).modes().get(0);
    double expected = 0.5 * 0.005 / 0.0078 * 0.004;
    assertThat(wide.frequencyHzSigma() / 2600).isCloseTo(expected, within(0.01 * expected));
    assertThat(wide.dampingRatioSigma() / 0.012).isCloseTo(expected, within(0.01 * expected));
    assertThat(wide.stiffnessNPerMSigma() / k).isCloseTo(0.004, within(1e-6));
    // a phase error φ of the mass is a loss: ζ changes by ½ m/M φ
    Mode turned = SensorMass.widened(model, 0.005, hz -> 0, hz -> 0.002).modes().get(0);
    assertThat(turned.dampingRatioSigma()).isCloseTo(0.5 * 0.005 / 0.0078 * 0.002, within(1e-5));
    assertThat(SensorMass.widened(model, 0.005, hz -> Double.NaN, hz -> 0)).isSameAs(model);
  }
}
