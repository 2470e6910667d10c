package ringtrue.fitting;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Arrays;
import java.util.List;
import org.junit.jupiter.api.Test;
import ringtrue.fitting.VectorFitting.Pole;

class PoleGroupsTest {
  private static final double HZ = 2 * Math.PI;

  /** Lines from 50 to 549 Hz, so close that their distance says nothing. */
  private static PoleGroups groups() {
    int n = 500;
    double[] omega = new double[n];
    double[] ones = new double[n];
    Arrays.fill(ones, 1);
    for (int i = 0; i < n; i++) {
      omega[i] = HZ * (50 + i);
    }
    return new PoleGroups(new FitLines(omega, ones, ones, ones, 0, 1e-9));
  }

  private static Pole pole(double hz, double zeta) {
    return new Pole(-zeta * HZ * hz, HZ * hz * Math.sqrt(1 - zeta * zeta));
  }

  /** |p − q|/|p + q*| by hand: 0.3333 for decays 2:1, 1/√2 one half-power bandwidth apart. */
  @Test
  void measuresHowFarPolesAreApart() {
    PoleGroups groups = groups();
    assertThat(groups.distance(new Pole(-1, 100), new Pole(-2, 100)))
        .isCloseTo(1 / 3.0, within(1e-9));
    assertThat(groups.distance(new Pole(-3, 100), new Pole(-3, 106)))
        .isCloseTo(Math.sqrt(0.5), within(1e-9));
    assertThat(groups.distance(new Pole(-3, 100), new Pole(-3, 100))).isZero();
  }

  @Test
  void groupsWhatComesBackAndLeavesTheRestAlone() {
    PoleGroups groups = groups();
    double[] wandering = {80, 520, 130, 400, 95};
    for (int k = 0; k < 5; k++) {
      groups.add(
          2 * k + 2,
          List.of(
              pole(200 + 0.1 * k, 0.02 + 0.0001 * k),
              pole(wandering[k], 0.03),
              new Pole(-50, 0),
              pole(700, 0.01)));
    }
    PoleGroups.Grouped grouped = groups.grouped(5);
    assertThat(grouped.starts()).hasSize(2); // one of them beyond the band
    List<Stabilisation.Group> shown = grouped.stabilisation().groups();
    assertThat(shown).hasSize(1);
    Stabilisation.Group group = shown.get(0);
    assertThat(group.frequencyHz()).isCloseTo(200.2, within(1e-9));
    assertThat(group.frequencySpreadHz()).isCloseTo(0.1, within(1e-9));
    assertThat(group.dampingRatio()).isCloseTo(0.0202, within(1e-12));
    assertThat(group.dampingSpread()).isCloseTo(0.0001, within(1e-12));
    assertThat(group.orders()).isEqualTo(5);
    List<Stabilisation.Pole> poles = grouped.stabilisation().poles();
    assertThat(poles).hasSize(10);
    assertThat(poles.stream().filter(p -> p.group() < 0))
        .hasSize(5)
        .noneMatch(Stabilisation.Pole::comesBack);
    assertThat(poles.stream().filter(Stabilisation.Pole::comesBack)).hasSize(4);
  }

  /** Two modes one half-power bandwidth apart are two groups, whatever their order. */
  @Test
  void keepsCloseModesApart() {
    PoleGroups groups = groups();
    for (int k = 0; k < 4; k++) {
      groups.add(2 * k + 4, List.of(pole(308 + 0.5 * k, 0.02), pole(296 + 0.5 * k, 0.02)));
    }
    assertThat(groups.grouped(4).starts()).hasSize(2);
  }

  /** What settles only where higher orders fit noise is shown, but not taken. */
  @Test
  void takesOnlyWhatCameBackInTime() {
    PoleGroups groups = groups();
    for (int k = 0; k < 8; k++) {
      groups.add(
          2 * k + 4, k < 4 ? List.of(pole(200, 0.02)) : List.of(pole(200, 0.02), pole(420, 0.01)));
    }
    PoleGroups.Grouped grouped = groups.grouped(4);
    assertThat(grouped.starts()).hasSize(1);
    assertThat(grouped.stabilisation().groups())
        .extracting(Stabilisation.Group::taken)
        .containsExactly(true, false);
  }
}
