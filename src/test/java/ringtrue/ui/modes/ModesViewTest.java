package ringtrue.ui.modes;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.fitting.FitSettings;
import ringtrue.report.LengthUnit;

/** Rows, remarks and picks of the modes' view. */
class ModesViewTest {

  @Test
  void aRowSaysEachValueWithItsSigma() {
    Mode mode = new Mode(812.345, 0.0123, 5.432e6, 0.41, 0.0004, 0.16e6, -90);
    ModeRow row = ModeRow.of(ModalModel.of(mode), 0, LengthUnit.MILLIMETRE).get(0);
    assertThat(row.cells())
        .containsExactly(
            "812.35 ± 0.41", "1.230 ± 0.040", "5.43 ± 0.16  (±3 %)", "0.2085 ± 0.0061", "");
    assertThat(row.doubtful()).isFalse();
  }

  @Test
  void inInchesTheStiffnessIsInPoundsPerInch() {
    Mode mode = new Mode(812.345, 0.0123, 5.432e6, 0.41, 0.0004, 0.16e6, -90);
    ModeRow row = ModeRow.of(ModalModel.of(mode), 0, LengthUnit.INCH).get(0);
    assertThat(row.cells().get(2)).isEqualTo("31018 ± 914  (±3 %)");
  }

  @Test
  void aModeThatIsHardlyKnownIsDoubtful() {
    Mode mode = new Mode(812.345, 0.0123, 5e6, 0.41, 0.0004, 1.5e6, -90);
    ModeRow row = ModeRow.of(ModalModel.of(mode), 0, LengthUnit.MILLIMETRE).get(0);
    assertThat(row.doubtful()).isTrue();
    assertThat(row.standing()).isEqualTo("doubtful");
  }

  @Test
  void theSensorsMassLowersTheFrequencyByHalfItsShare() {
    Mode mode = Mode.of(1000, 0.01, 1e6 * 4 * Math.PI * Math.PI * 0.1);
    ModeRow row = ModeRow.of(ModalModel.of(mode), 0.001, LengthUnit.MILLIMETRE).get(0);
    assertThat(row.cells().get(4)).isEqualTo("995.0 (-5.0)"); // 1 g on 100 g
  }

  @Test
  void remarksGoToTheModesThatTheyName() {
    ModeRemarks sorted =
        ModeRemarks.of(
            List.of(
                "The mode at 812.35 Hz lies 12 Hz from the edge of the band, within two half-power"
                    + " bandwidths (20 Hz): a wider band would show it better.",
                "The sensor's 0.6 g lowered the mode at 812.35 Hz by 7.15 Hz (0.44 %), the mode at"
                    + " 2350 Hz by 6.8 Hz (0.29 %).",
                "The modes at 812.35 Hz, 2350 Hz hardly stand out of the noise.",
                "One tap alone says nothing about its own error.",
                "usable band 812.35 to 4493 Hz: coherence"),
            List.of(812.3456, 1620.0, 2350.0));
    assertThat(sorted.ofModes().get(0)).hasSize(3);
    assertThat(sorted.ofModes().get(1)).isEmpty();
    assertThat(sorted.ofModes().get(2)).hasSize(2);
    assertThat(sorted.rest()).hasSize(2);
  }

  @Test
  void aPickAddsAModeOrTakesItBack() {
    FitSettings band = FitSettings.AUTOMATIC.withBand(100, 4000).withCount(2);
    Picks.Picked added = Picks.toggle(band, List.of(500.0, 1500.0), 812);
    assertThat(added.words()).isEqualTo("pick a mode at 812 Hz");
    assertThat(added.settings().picksHz()).containsExactly(500.0, 812.0, 1500.0);
    assertThat(added.settings().count()).isEmpty();
    assertThat(added.settings().bandLowHz()).isEqualTo(Optional.of(100.0));
    Picks.Picked back = Picks.toggle(added.settings(), List.of(), 814);
    assertThat(back.words()).isEqualTo("leave out the mode at 814 Hz");
    assertThat(back.settings().picksHz()).containsExactly(500.0, 1500.0);
  }
}
