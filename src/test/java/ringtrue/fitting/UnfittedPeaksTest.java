package ringtrue.fitting;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import org.junit.jupiter.api.Test;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;

class UnfittedPeaksTest {

  private static FrequencyResponse three() {
    SyntheticTaps taps =
        new SyntheticTaps(
            Mode.of(280, 0.03, 5e6), Mode.of(500, 0.02, 9e6), Mode.of(900, 0.02, 7e6));
    taps.sampleRateHz = 8192;
    taps.blockLength = 8192;
    return taps.measure(1);
  }

  private static List<UnfittedPeaks.Peak> left(FrequencyResponse response, FitSettings settings) {
    return UnfittedPeaks.of(response, ModeFitter.fit(response, settings, Progress.NONE).model());
  }

  @Test
  void nothingIsLeftOutOfAFitOfEverything() {
    assertThat(left(three(), FitSettings.AUTOMATIC)).isEmpty();
  }

  @Test
  void thePeakOfAModeThatWasLeftOutIsTold() {
    List<UnfittedPeaks.Peak> peaks =
        left(three(), FitSettings.AUTOMATIC.withPicks(List.of(280.0, 500.0)));
    assertThat(peaks).hasSize(1);
    assertThat(peaks.get(0).hz()).isCloseTo(900, within(10.0));
    assertThat(peaks.get(0).times()).isGreaterThan(3);
    assertThat(UnfittedPeaks.words(peaks.get(0)))
        .matches("a peak at (89|90)\\d Hz is not fitted: lobes would be too hopeful");
  }
}
