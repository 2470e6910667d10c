package ringtrue.ui.listening;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import org.junit.jupiter.api.Test;
import ringtrue.signal.StatedCut;

class CombTest {
  private final StatedCut threeTeeth = StatedCut.even(13_000, 3);

  @Test
  void theTeethPassAtMultiplesOfSpeedTimesTeeth() {
    Comb teeth = Comb.teeth(threeTeeth, threeTeeth.spindleHz(), 3000);
    assertThat(teeth.hz()).hasSize(4);
    for (int k = 1; k <= 4; k++) {
      assertThat(teeth.hz().get(k - 1)).isCloseTo(k * 13_000.0 / 60 * 3, within(1e-9));
    }
    assertThat(teeth.labels().get(0)).isEqualTo("tooth passing 650 Hz");
    assertThat(teeth.labels().get(1)).startsWith("2 ");
  }

  @Test
  void turnsThatAreToothPassingAreNotNamedTwice() {
    Comb turns = Comb.turns(threeTeeth, 200, 1500);
    assertThat(turns.hz()).containsExactly(200.0, 400.0, 800.0, 1000.0, 1400.0);
    assertThat(turns.labels().get(0)).isEqualTo("spindle 200 Hz");
    assertThat(turns.labels().get(1)).contains("run-out");
  }

  @Test
  void turningHasTurnsOnly() {
    StatedCut turning = StatedCut.turning(1200);
    assertThat(Comb.teeth(turning, 20, 1000).hz()).isEmpty();
    assertThat(Comb.turns(turning, 20, 100).hz()).containsExactly(20.0, 40.0, 60.0, 80.0, 100.0);
  }

  @Test
  void whatIsShownReachesAboveTeethAndModes() {
    assertThat(Known.top(StatedCut.even(6000, 2), List.of())).isEqualTo(3000);
    assertThat(Known.top(threeTeeth, List.of())).isEqualTo(3500);
    assertThat(Known.top(threeTeeth, List.of(new Known.Named("tool x", 4000)))).isEqualTo(5500);
    assertThat(Known.top(threeTeeth, List.of(new Known.Named("tool x", 40_000)))).isEqualTo(10_000);
  }
}
