package ringtrue.dynamics;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.apache.commons.math3.complex.Complex;
import org.junit.jupiter.api.Test;

class ResponseFormTest {

  /** ISO 7626-1: A/F = −ω² X/F, V/F = iω X/F. */
  @Test
  void withoutAWindowEachFormIsIOmegaTimesTheOneBefore() {
    double[] g = {3e-7, -2e-7};
    double omega = 2 * Math.PI * 410;
    double[] v = g.clone();
    ResponseForm.MOBILITY.fromReceptance(410, Double.POSITIVE_INFINITY, v);
    assertThat(v[0]).isCloseTo(2e-7 * omega, within(1e-15));
    assertThat(v[1]).isCloseTo(3e-7 * omega, within(1e-15));
    double[] a = g.clone();
    ResponseForm.ACCELERANCE.fromReceptance(410, Double.POSITIVE_INFINITY, a);
    assertThat(a[0]).isCloseTo(-omega * omega * 3e-7, within(1e-11));
    assertThat(a[1]).isCloseTo(omega * omega * 2e-7, within(1e-11));
    double[] x = g.clone();
    ResponseForm.RECEPTANCE.fromReceptance(410, 0.02, x);
    assertThat(x).containsExactly(g);
  }

  @Test
  void withAWindowItIsSInPlaceOfIOmega() {
    Complex s = new Complex(1 / 0.02, 2 * Math.PI * 410);
    Complex expected = new Complex(3e-7, -2e-7).multiply(s).multiply(s);
    double[] a = {3e-7, -2e-7};
    ResponseForm.ACCELERANCE.fromReceptance(410, 0.02, a);
    assertThat(a[0]).isCloseTo(expected.getReal(), within(1e-12));
    assertThat(a[1]).isCloseTo(expected.getImaginary(), within(1e-12));
  }

  /** Far above its natural frequency a mode's accelerance is the inverse of its mass. */
  @Test
  void accelerancePastAModeIsOneOverItsMass() {
    Mode mode = Mode.of(200, 0.02, 1e6);
    double[] a = new double[2];
    mode.at(2e6, a);
    ResponseForm.ACCELERANCE.fromReceptance(2e6, Double.POSITIVE_INFINITY, a);
    assertThat(a[0]).isCloseTo(1 / mode.massKg(), within(1e-6 / mode.massKg()));
  }
}
