package ringtrue.stability;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.function.Function;
import org.apache.commons.math3.analysis.integration.IterativeLegendreGaussIntegrator;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class DirectionalFactorsTest {

  /** Four digits of an independent script; Kr = 0.404026, and 0.07 for the last row. */
  @ParameterizedTest
  @CsvSource({
    "0, 180, 0.404026, -1.2693, -3.1416, 3.1416, -1.2693",
    "0, 90, 0.404026, -1.6346, -1.9748, 1.1668, 0.3654",
    "90, 180, 0.404026, 0.3654, -1.1668, 1.9748, -1.6346",
    "0, 60, 0.404026, -0.9981, -1.7832, 0.3112, 0.1520",
    "120, 180, 0.404026, 0.5019, -1.1772, 0.9172, -1.3480",
    "0, 180, 0.07, -0.2199, -3.1416, 3.1416, -0.2199"
  })
  void averagedFactorsOfKnownArcs(
      double entryDeg, double exitDeg, double kr, double axx, double axy, double ayx, double ayy) {
    DirectionalFactors a =
        DirectionalFactors.averaged(Math.toRadians(entryDeg), Math.toRadians(exitDeg), kr);
    assertThat(a.axx()).isCloseTo(axx, within(6e-5));
    assertThat(a.axy()).isCloseTo(axy, within(6e-5));
    assertThat(a.ayx()).isCloseTo(ayx, within(6e-5));
    assertThat(a.ayy()).isCloseTo(ayy, within(6e-5));
  }

  /** A tooth at 90° moves towards −y: it meets Ft along +y and Fr along −x, and sees x only. */
  @Test
  void toothAtNinetyDegrees() {
    DirectionalFactors a = DirectionalFactors.at(Math.PI / 2, 0.3);
    assertThat(a.axx()).isCloseTo(-0.6, within(1e-12));
    assertThat(a.ayx()).isCloseTo(2, within(1e-12));
    assertThat(a.axy()).isCloseTo(0, within(1e-12));
    assertThat(a.ayy()).isCloseTo(0, within(1e-12));
  }

  /** A tooth at 0 moves towards +x: it meets Ft along −x and Fr along −y, and sees y only. */
  @Test
  void toothAtZero() {
    DirectionalFactors a = DirectionalFactors.at(0, 0.3);
    assertThat(a.axy()).isCloseTo(-2, within(1e-12));
    assertThat(a.ayy()).isCloseTo(-0.6, within(1e-12));
  }

  @ParameterizedTest
  @CsvSource({"0, 0.4, 0.3", "2.5, 3.14159, -0.2", "0.3, 5.9, 0", "1, 1.000001, 0.5"})
  void averagedIsTheIntegralOfTheInstantaneous(double entry, double exit, double kr) {
    DirectionalFactors a = DirectionalFactors.averaged(entry, exit, kr);
    assertIntegral(a.axx(), entry, exit, kr, DirectionalFactors::axx);
    assertIntegral(a.axy(), entry, exit, kr, DirectionalFactors::axy);
    assertIntegral(a.ayx(), entry, exit, kr, DirectionalFactors::ayx);
    assertIntegral(a.ayy(), entry, exit, kr, DirectionalFactors::ayy);
  }

  private static void assertIntegral(
      double averaged,
      double entry,
      double exit,
      double kr,
      Function<DirectionalFactors, Double> part) {
    double integral =
        new IterativeLegendreGaussIntegrator(16, 1e-12, 1e-18)
            .integrate(1_000_000, p -> part.apply(DirectionalFactors.at(p, kr)), entry, exit);
    assertThat(averaged).isCloseTo(integral, within(1e-9 * (exit - entry)));
  }

  /**
   * Mirrored in the feed direction, down milling is up milling turning the other way: the
   * tangential force changes its sign, the radial force does not.
   */
  @Test
  void downMillingIsUpMillingInTheMirror() {
    for (double arc : new double[] {0.2, 1, 2.4}) {
      DirectionalFactors down = DirectionalFactors.averaged(Math.PI - arc, Math.PI, 0.35);
      DirectionalFactors up = DirectionalFactors.averaged(0, arc, -0.35);
      assertThat(down.axx()).isCloseTo(-up.axx(), within(1e-12));
      assertThat(down.ayy()).isCloseTo(-up.ayy(), within(1e-12));
      assertThat(down.axy()).isCloseTo(up.axy(), within(1e-12));
      assertThat(down.ayx()).isCloseTo(up.ayx(), within(1e-12));
    }
  }
}
