package ringtrue.fitting;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import org.junit.jupiter.api.Test;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.units.BadInputException;

class PickedModesTest {

  private static SyntheticTaps three() {
    SyntheticTaps taps =
        new SyntheticTaps(
            Mode.of(280, 0.03, 5e6), Mode.of(500, 0.02, 9e6), Mode.of(900, 0.02, 7e6));
    taps.sampleRateHz = 8192;
    taps.blockLength = 8192;
    return taps;
  }

  private static FittedModes fit(FrequencyResponse response, Double... picks) {
    return ModeFitter.fit(response, FitSettings.AUTOMATIC.withPicks(List.of(picks)), Progress.NONE);
  }

  @Test
  void givesTheModesNearAllPicks() {
    SyntheticTaps taps = three();
    List<Mode> modes = fit(taps.measure(1), 890.0, 285.0, 495.0).model().modes();
    assertThat(modes).hasSize(3);
    for (int j = 0; j < 3; j++) {
      Mode truth = taps.modes.get(j);
      assertThat(modes.get(j).frequencyHz() / truth.frequencyHz()).isCloseTo(1, within(5e-4));
      assertThat(modes.get(j).dampingRatio() / truth.dampingRatio()).isCloseTo(1, within(0.01));
      assertThat(modes.get(j).stiffnessNPerM() / truth.stiffnessNPerM()).isCloseTo(1, within(0.01));
    }
  }

  @Test
  void fitsNoModeElsewhere() {
    FittedModes fitted = fit(three().measure(1), 505.0);
    assertThat(fitted.model().modes())
        .singleElement()
        .satisfies(m -> assertThat(m.frequencyHz()).isCloseTo(500, within(15.0)));
  }

  /** Two modes one half-power bandwidth apart, picked roughly. */
  @Test
  void tellsPickedCloseModesApart() {
    SyntheticTaps taps = new SyntheticTaps(Mode.of(400, 0.02, 5e6), Mode.of(416, 0.02, 6e6));
    taps.sampleRateHz = 8192;
    taps.blockLength = 8192;
    List<Mode> modes = fit(taps.measure(2), 396.0, 420.0).model().modes();
    assertThat(modes).hasSize(2);
    assertThat(modes.get(0).frequencyHz()).isCloseTo(400, within(1.0));
    assertThat(modes.get(1).frequencyHz()).isCloseTo(416, within(1.0));
  }

  /** A mode that the data do not support on their own is fitted where the user wants it. */
  @Test
  void fitsWhereNothingStandsOut() {
    FrequencyResponse response = three().measure(1);
    List<Mode> modes = fit(response, 280.0, 500.0, 620.0, 900.0).model().modes();
    assertThat(modes.size()).isBetween(3, 4);
    assertThat(modes).anyMatch(m -> Math.abs(m.frequencyHz() - 500) < 1);
    FittedModes fitted = fit(response, 280.0, 500.0, 620.0, 900.0);
    boolean has =
        fitted.model().modes().stream().anyMatch(m -> Math.abs(m.frequencyHz() - 620) < 60);
    boolean says = fitted.remarks().stream().anyMatch(r -> r.contains("near the picked 620 Hz"));
    assertThat(has).isNotEqualTo(says);
  }

  /** A response that is the mirror image at 700 Hz has no positive stiffness there. */
  @Test
  void saysWhereNoPositiveStiffnessCanBeHad() {
    int n = 1000;
    double[] hz = new double[n];
    double[] re = new double[n];
    double[] im = new double[n];
    java.util.Random random = new java.util.Random(5);
    double[] a = new double[2];
    double[] b = new double[2];
    for (int i = 0; i < n; i++) {
      hz[i] = 100 + i;
      Mode.of(300, 0.03, 3e6).at(hz[i], a);
      Mode.of(700, 0.02, 9e6).at(hz[i], b);
      re[i] = a[0] - b[0] + 1e-9 * random.nextGaussian();
      im[i] = a[1] - b[1] + 1e-9 * random.nextGaussian();
    }
    FittedModes fitted =
        fit(
            new FrequencyResponse(
                hz, re, im, null, null, FrequencyResponse.Origin.unknown(100, 1099)),
            300.0,
            700.0);
    List<String> about =
        fitted.remarks().stream().filter(r -> r.contains("near the picked 700 Hz")).toList();
    List<Mode> there =
        fitted.model().modes().stream().filter(m -> Math.abs(m.frequencyHz() - 700) < 70).toList();
    assertThat(there).isEmpty();
    assertThat(about)
        .containsExactly("No mode with positive stiffness can be fitted near the picked 700 Hz.");
  }

  @Test
  void refusesAPickOutsideTheBandAndSaysTheBand() {
    FrequencyResponse response = three().measure(1);
    FitSettings settings =
        FitSettings.AUTOMATIC.withBand(200, 600).withPicks(List.of(500.0, 900.0));
    assertThatThrownBy(() -> ModeFitter.fit(response, settings, Progress.NONE))
        .isInstanceOf(BadInputException.class)
        .hasMessageContaining("pick: 900 Hz lies outside the band of 200 Hz to 600 Hz");
  }
}
