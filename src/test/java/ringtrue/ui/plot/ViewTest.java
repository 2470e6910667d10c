package ringtrue.ui.plot;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;

class ViewTest {
  private static final View UNIT = new View(0, 10, 0, 4);

  @Test
  void zoomKeepsThePointUnderThePointer() {
    assertThat(UNIT.zoomed(2, 1, 0.5, 0.25)).isEqualTo(new View(1, 6, 0.75, 1.75));
    assertThat(UNIT.zoomed(2, 1, 0.5, 1)).isEqualTo(new View(1, 6, 0, 4));
  }

  @Test
  void zoomInAndOutComesBack() {
    View there = UNIT.zoomed(3, 3, 0.3, 0.3).zoomed(3, 3, 1 / 0.3, 1 / 0.3);
    assertThat(there.x0()).isCloseTo(0, within(1e-12));
    assertThat(there.x1()).isCloseTo(10, within(1e-12));
    assertThat(there.y1()).isCloseTo(4, within(1e-12));
  }

  @Test
  void movesByPartsOfWhatIsShown() {
    assertThat(UNIT.moved(0.1, -0.5)).isEqualTo(new View(1, 11, -2, 2));
  }

  @Test
  void equalledShowsEverythingWithOneUnit() {
    View square = UNIT.equalled(500, 500);
    assertThat(square).isEqualTo(new View(0, 10, -3, 7));
  }

  @Test
  void wholeIsInPlacesOfTheScales() {
    View whole = View.whole(Axis.log("x", 10, 1000), Axis.decibel("y", 0.1, 10));
    assertThat(whole).isEqualTo(new View(1, 3, -20, 20));
  }

  @Test
  void doesNotGoWhereNumbersEnd() {
    assertThat(UNIT.zoomed(5, 2, 1e-12, 1).isSensible(UNIT)).isFalse();
    assertThat(UNIT.zoomed(5, 2, 1e4, 1).isSensible(UNIT)).isFalse();
    assertThat(UNIT.zoomed(5, 2, 1e-6, 1).isSensible(UNIT)).isTrue();
    assertThat(new View(Double.NaN, 1, 0, 1).isSensible(UNIT)).isFalse();
  }

  @Test
  void mapsBothWays() {
    AxisMap map = new AxisMap(Scale.LOG, 0, 3, 100, 400);
    assertThat(map.pixel(10)).isCloseTo(200, within(1e-9));
    assertThat(map.value(300)).isCloseTo(100, within(1e-9));
    assertThat(map.pixel(0)).isNaN();
    assertThat(map.pixel(-5)).isNaN();
  }

  @Test
  void axesMendEqualEndsAndRefuseImpossibleOnes() {
    Axis flat = Axis.linear("x", 5, 5);
    assertThat(flat.to()).isGreaterThan(flat.from());
    assertThat(Axis.linear("x", 2, 1).from()).isEqualTo(1);
    assertThatIllegalArgumentException().isThrownBy(() -> Axis.log("x", 0, 1));
    assertThatIllegalArgumentException().isThrownBy(() -> Axis.linear("x", 0, Double.NaN));
  }

  @Test
  void readOutHasTheUnitOnce() {
    assertThat(Axis.linear("frequency (Hz)", 0, 1).read(1240.5)).isEqualTo("1240.5 Hz");
    assertThat(Axis.linear("coherence", 0, 1).read(0.25)).isEqualTo("0.25");
    assertThat(Axis.linear("x (m)", 0, 1).withFormat(v -> v * 1000 + " mm").read(2))
        .isEqualTo("2000.0 mm");
    assertThat(Axis.log("receptance (m/N)", 1, 2).read(2.61841e-6)).isEqualTo("2.6184e-6 m/N");
    assertThat(Axis.linear("x (1)", 0, 1).read(0)).isEqualTo("0");
    assertThat(Axis.linear("x", 0, 1).read(Double.NaN)).isEqualTo("–");
  }
}
