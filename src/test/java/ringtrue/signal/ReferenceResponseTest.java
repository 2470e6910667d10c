package ringtrue.signal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import ringtrue.acquisition.Channel;
import ringtrue.acquisition.Recording;
import ringtrue.acquisition.ResponseQuantity;
import ringtrue.acquisition.TapRecording;
import ringtrue.acquisition.TextRecording;
import ringtrue.acquisition.WavRecording;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.Progress;

/**
 * Against an implementation of its own in NumPy: {@code fixtures/frf/make_reference.py}, which also
 * made the recordings.
 */
class ReferenceResponseTest {

  private static final Path FIXTURES = Path.of("fixtures", "frf");

  @ParameterizedTest
  @EnumSource(Estimator.class)
  void accelerometerWithBothWindows(Estimator estimator) throws IOException {
    Recording wav = WavRecording.open(FIXTURES.resolve("accelerometer.wav"));
    TapRecording taps =
        recording(
            wav,
            new Channel(1, 400, 1, 1, 0),
            new Channel(2, 1000, 1, 1, 0),
            ResponseQuantity.ACCELERATION);
    AveragedResponse averaged =
        ResponseEstimator.estimate(
            taps,
            processing(
                4000.0 / 16000,
                80.0 / 16000,
                new Processing.ForceWindow(3e-3, 1.5e-3),
                0.045,
                estimator,
                1680.0 / 16000,
                9040.0 / 16000,
                16560.0 / 16000),
            Progress.NONE);
    assertThat(averaged.response().origin().averages()).isEqualTo(3);
    compare(averaged.response(), "accelerometer", estimator);
  }

  @ParameterizedTest
  @EnumSource(Estimator.class)
  void velocityWithoutWindowsAtAnOddLength(Estimator estimator) throws IOException {
    Recording wav = WavRecording.open(FIXTURES.resolve("velocity.wav"));
    TapRecording taps =
        recording(
            wav,
            new Channel(1, 50, 1, 1, 0),
            new Channel(2, 0.5, 1, 1, 0),
            ResponseQuantity.VELOCITY);
    AveragedResponse averaged =
        ResponseEstimator.estimate(
            taps,
            processing(
                3853.0 / 44100,
                133.0 / 44100,
                Processing.ForceWindow.NONE,
                Double.POSITIVE_INFINITY,
                estimator,
                310.0 / 44100,
                4655.0 / 44100),
            Progress.NONE);
    compare(averaged.response(), "velocity", estimator);
  }

  @ParameterizedTest
  @EnumSource(Estimator.class)
  void displacementFromText(Estimator estimator) throws IOException {
    Recording text =
        TextRecording.open(FIXTURES.resolve("displacement.csv"), TextRecording.Layout.timeIn(1));
    TapRecording taps =
        recording(
            text,
            new Channel(2, 1, Double.POSITIVE_INFINITY, 1, 0),
            new Channel(3, 1, Double.POSITIVE_INFINITY, 1, 0),
            ResponseQuantity.DISPLACEMENT);
    AveragedResponse averaged =
        ResponseEstimator.estimate(
            taps,
            processing(
                0.15,
                0.006,
                Processing.ForceWindow.NONE,
                0.03,
                estimator,
                0.354,
                0.014,
                0.524,
                0.184),
            Progress.NONE);
    compare(averaged.response(), "displacement", estimator);
  }

  /** The trigger finds the blows where the recipe put them: at 0.11, 0.57 and 1.04 s. */
  @Test
  void findsTheTapsOfTheAccelerometerRecording() throws IOException {
    Recording wav = WavRecording.open(FIXTURES.resolve("accelerometer.wav"));
    TapRecording taps =
        recording(
            wav,
            new Channel(1, 400, 1, 1, 0),
            new Channel(2, 1000, 1, 1, 0),
            ResponseQuantity.ACCELERATION);
    AveragedResponse averaged =
        ResponseEstimator.estimate(taps, Processing.AUTOMATIC, Progress.NONE);
    assertThat(averaged.taps()).extracting(Tap::verdict).containsOnly(Tap.Verdict.KEPT);
    double[] onsets = averaged.taps().stream().mapToDouble(Tap::onsetS).toArray();
    // Half-sine blows: 5 % of the largest peak is reached within two samples of the start.
    assertThat(onsets).hasSize(3);
    assertThat(onsets[0]).isBetween(0.11, 0.11 + 2.0 / 16000);
    assertThat(onsets[1]).isBetween(0.57, 0.57 + 2.0 / 16000);
    assertThat(onsets[2]).isBetween(1.04, 1.04 + 2.0 / 16000);
    assertThat(averaged.taps().get(2).peakForceN()).isCloseTo(118, within(1.5));
  }

  private static void compare(FrequencyResponse response, String name, Estimator estimator)
      throws IOException {
    int column =
        switch (estimator) {
          case H1 -> 1;
          case H2 -> 3;
          case HV -> 5;
        };
    List<double[]> rows =
        Files.readAllLines(FIXTURES.resolve(name + ".response.csv")).stream()
            .filter(line -> !line.startsWith("#"))
            .map(line -> Arrays.stream(line.split(",")).mapToDouble(Double::parseDouble).toArray())
            .toList();
    assertThat(response.lines()).isEqualTo(rows.size());
    double worst = 0;
    for (int i = 0; i < rows.size(); i++) {
      double[] row = rows.get(i);
      assertThat(response.frequencyHz(i)).isCloseTo(row[0], within(1e-9 * row[0]));
      double size = Math.hypot(row[column], row[column + 1]);
      double off =
          Math.hypot(response.real(i) - row[column], response.imag(i) - row[column + 1]) / size;
      worst = Math.max(worst, off);
      assertThat(response.coherence(i)).isCloseTo(row[7], within(1e-9 * row[7] + 1e-12));
      int n = response.origin().averages();
      double error = Math.sqrt(1 - row[7]) / Math.sqrt(row[7]) / Math.sqrt(2 * n);
      assertThat(response.relativeError(i)).isCloseTo(error, within(1e-6 * error + 1e-6));
    }
    assertThat(worst).as("largest relative difference of " + name).isLessThan(1e-9);
  }

  private static TapRecording recording(
      Recording recording, Channel force, Channel response, ResponseQuantity quantity) {
    return new TapRecording(
        recording.name(),
        "x",
        "tool tip",
        List.of(recording),
        Optional.of(force),
        response,
        quantity,
        0,
        0);
  }

  private static Processing processing(
      double blockLengthS,
      double preTriggerS,
      Processing.ForceWindow window,
      double timeConstantS,
      Estimator estimator,
      Double... blockStartsS) {
    return new Processing(
        Optional.of(blockLengthS),
        Optional.of(preTriggerS),
        Optional.empty(),
        Optional.of(window),
        Optional.of(timeConstantS),
        Optional.empty(),
        Optional.of(estimator),
        Set.of(),
        Set.of(),
        List.of(blockStartsS),
        Optional.empty(),
        Optional.empty());
  }
}
