package ringtrue.dynamics;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import org.apache.commons.math3.complex.Complex;
import org.junit.jupiter.api.Test;

/** Closed forms of the damped oscillator, as any textbook on vibration has them. */
class ModeTest {
  private static final Mode MODE = Mode.of(500, 0.02, 8e6);

  private static double[] at(Receptance receptance, double hz) {
    double[] g = new double[2];
    receptance.at(hz, g);
    return g;
  }

  private static double size(Receptance receptance, double hz) {
    double[] g = at(receptance, hz);
    return Math.hypot(g[0], g[1]);
  }

  @Test
  void farBelowItIsASpring() {
    assertThat(at(MODE, 1e-3)[0]).isCloseTo(1 / 8e6, within(1e-12 / 8e6 * 10));
  }

  @Test
  void atResonanceItIsMinusIOverTwoKZeta() {
    double[] g = at(MODE, 500);
    assertThat(g[0]).isZero();
    assertThat(g[1]).isCloseTo(-1 / (2 * 8e6 * 0.02), within(1e-20));
  }

  @Test
  void farAboveItIsAMass() {
    double hz = 5e6;
    double omega = 2 * Math.PI * hz;
    assertThat(at(MODE, hz)[0] * omega * omega)
        .isCloseTo(-1 / MODE.massKg(), within(1e-7 / MODE.massKg()));
  }

  /**
   * Half power in velocity, exactly: |mobility| falls to 1/√2 of its peak where r = √(1 + ζ²) ± ζ,
   * so the distance is exactly 2ζ fn.
   */
  @Test
  void halfPowerPointsOfTheMobilityAreTwoZetaApart() {
    double zeta = MODE.dampingRatio();
    double upper = 500 * (Math.sqrt(1 + zeta * zeta) + zeta);
    double lower = 500 * (Math.sqrt(1 + zeta * zeta) - zeta);
    double peak = size(MODE, 500) * 500;
    assertThat(size(MODE, upper) * upper).isCloseTo(peak / Math.sqrt(2), within(peak * 1e-13));
    assertThat(size(MODE, lower) * lower).isCloseTo(peak / Math.sqrt(2), within(peak * 1e-13));
    assertThat(upper - lower).isCloseTo(MODE.halfPowerBandwidthHz(), within(1e-9));
  }

  /**
   * Most negative real part at fn √(1 + 2ζ): −1/(4kζ(1 + ζ)); from setting the derivative to zero.
   */
  @Test
  void mostNegativeRealPart() {
    double hz = 500 * Math.sqrt(1.04);
    assertThat(hz).isCloseTo(509.902, within(5e-4));
    assertThat(at(MODE, hz)[0]).isCloseTo(-1 / (4 * 8e6 * 0.02 * 1.02), within(1e-18));
    assertThat(at(MODE, hz)[0]).isCloseTo(-1.531863e-6, within(5e-13));
    double imag = -Math.sqrt(1.04) / (4 * 8e6 * 0.02 * 1.02);
    assertThat(at(MODE, hz)[1]).isCloseTo(imag, within(1e-18));
    assertThat(at(MODE, hz * 1.001)[0]).isGreaterThan(at(MODE, hz)[0]);
    assertThat(at(MODE, hz * 0.999)[0]).isGreaterThan(at(MODE, hz)[0]);
  }

  @Test
  void aModelIsTheSumOfItsModesAndResidual() {
    Mode other = Mode.of(1200, 0.03, 2e7);
    ModalModel model = new ModalModel(List.of(other, MODE), new Residual(3e-9, 0.4));
    assertThat(model.modes()).containsExactly(MODE, other);
    double omega = 2 * Math.PI * 700;
    double[] sum = at(model, 700);
    assertThat(sum[0])
        .isCloseTo(
            at(MODE, 700)[0] + at(other, 700)[0] + 3e-9 - 0.4 / (omega * omega), within(1e-20));
    assertThat(sum[1]).isCloseTo(at(MODE, 700)[1] + at(other, 700)[1], within(1e-20));
  }

  /** The windowed response is G(iω + 1/τ), checked with complex arithmetic of another library. */
  @Test
  void throughAWindowThePolesMoveByOneOverTau() {
    double tau = 0.03;
    ModalModel model =
        new ModalModel(List.of(MODE, Mode.of(1200, 0.03, 2e7)), new Residual(3e-9, 0.4));
    for (double hz : new double[] {20, 480, 500, 800, 1201, 5000}) {
      Complex s = new Complex(1 / tau, 2 * Math.PI * hz);
      Complex expected = new Complex(3e-9).add(new Complex(0.4).divide(s.multiply(s)));
      for (Mode mode : model.modes()) {
        double wn = 2 * Math.PI * mode.frequencyHz();
        Complex below = s.multiply(s).add(s.multiply(2 * mode.dampingRatio() * wn)).add(wn * wn);
        expected = expected.add(new Complex(wn * wn / mode.stiffnessNPerM()).divide(below));
      }
      double[] g = at(model.throughWindow(tau), hz);
      assertThat(g[0]).isCloseTo(expected.getReal(), within(expected.abs() * 1e-12));
      assertThat(g[1]).isCloseTo(expected.getImaginary(), within(expected.abs() * 1e-12));
    }
    assertThat(model.throughWindow(Double.POSITIVE_INFINITY)).isSameAs(model);
  }

  @Test
  void nonsenseIsRefused() {
    assertThatThrownBy(() -> Mode.of(-1, 0.02, 1e6)).hasMessageContaining("natural frequency");
    assertThatThrownBy(() -> Mode.of(500, 2, 1e6)).hasMessageContaining("damping ratio");
    assertThatThrownBy(() -> Mode.of(500, 0.02, -1e6)).hasMessageContaining("stiffness");
  }
}
