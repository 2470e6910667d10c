package ringtrue.signal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatExceptionOfType;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import ringtrue.acquisition.BlowPlan;
import ringtrue.acquisition.MemoryRecording;
import ringtrue.acquisition.Recording;
import ringtrue.acquisition.ResponseQuantity;
import ringtrue.acquisition.RigChannel;
import ringtrue.acquisition.VirtualRig;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.units.BadInputException;

/** Averages over any choice of the taps, against the estimator on recordings of that choice. */
class TapSpectraTest {
  private static final double FS = 16000;
  private static final VirtualRig RIG =
      VirtualRig.of(Mode.of(410, 0.02, 3e6), Mode.of(1100, 0.03, 8e6))
          .withSensor(ResponseQuantity.ACCELERATION, 0.01)
          .withInputs(
              RigChannel.PERFECT.withNoise(0.05), RigChannel.PERFECT.withNoise(0.3).withSkew(7e-6));
  private static final BlowPlan PLAN =
      BlowPlan.of(5, 0.5, 200, 0.5e-3).withSpread(0.1, 0.2, 0.05, 0.02);

  @ParameterizedTest
  @CsvSource({"H1, 0", "H2, 0", "HV, 0", "H1, 0.05", "HV, 0.05"})
  void allTapsOnceAreTheAverageExactly(Estimator estimator, double tau) throws IOException {
    AveragedTaps taps = taps(each(), estimator, tau);
    FrequencyResponse average = taps.averaged().response();
    FrequencyResponse again = taps.spectra(200, 1500, Progress.NONE).all();
    int first = average.firstLineAtOrAbove(200);
    assertThat(again.frequencyHz(again.lines() - 1)).isBetween(1497.0, 1500.0);
    for (int i = 0; i < again.lines(); i++) {
      assertThat(again.frequencyHz(i)).isEqualTo(average.frequencyHz(first + i));
      assertThat(again.real(i)).isEqualTo(average.real(first + i));
      assertThat(again.imag(i)).isEqualTo(average.imag(first + i));
      assertThat(again.coherence(i)).isEqualTo(average.coherence(first + i));
      assertThat(again.relativeError(i)).isEqualTo(average.relativeError(first + i));
    }
    assertThat(again.windowTimeConstantS()).isEqualTo(average.windowTimeConstantS());
    assertThat(again.origin().averages()).isEqualTo(5);
    assertThat(again.origin().bandHighHz()).isEqualTo(average.origin().bandHighHz());
  }

  /** A tap that counts twice is a recording that was given twice. */
  @Test
  void anyChoiceIsTheAverageOfThoseRecordings() throws IOException {
    List<Recording> each = each();
    TapSpectra spectra = taps(each, Estimator.H1, 0.05).spectra(200, 1500, Progress.NONE);
    List<Recording> chosen = List.of(each.get(0), each.get(2), each.get(2), each.get(4));
    FrequencyResponse expected = taps(chosen, Estimator.H1, 0.05).averaged().response();
    FrequencyResponse got = spectra.average(new int[] {1, 0, 2, 0, 1});
    int first = expected.firstLineAtOrAbove(200);
    for (int i = 0; i < got.lines(); i++) {
      double size = expected.magnitude(first + i);
      assertThat(got.real(i)).isCloseTo(expected.real(first + i), within(1e-11 * size));
      assertThat(got.imag(i)).isCloseTo(expected.imag(first + i), within(1e-11 * size));
      assertThat(got.coherence(i)).isCloseTo(expected.coherence(first + i), within(1e-11));
    }
    assertThat(got.origin().averages()).isEqualTo(4);
  }

  @Test
  void oneTapIsWhatIsLeftWhenTheOthersAreRejected() throws IOException {
    List<Recording> each = each();
    TapSpectra spectra = taps(each, Estimator.H1, 0).spectra(200, 1500, Progress.NONE);
    FrequencyResponse expected = taps(List.of(each.get(3)), Estimator.H1, 0).averaged().response();
    FrequencyResponse got = spectra.of(3);
    int first = expected.firstLineAtOrAbove(200);
    for (int i = 0; i < got.lines(); i++) {
      double size = expected.magnitude(first + i);
      assertThat(got.real(i)).isCloseTo(expected.real(first + i), within(1e-11 * size));
      assertThat(got.coherence(i)).isNaN();
    }
    assertThat(spectra.peakForceN(3))
        .isEqualTo(taps(each, Estimator.H1, 0).averaged().taps().get(3).peakForceN());
  }

  @Test
  void tooManyNumbersAreRefusedInOneLine() throws IOException {
    AveragedTaps taps = taps(each(), Estimator.H1, 0);
    assertThat(taps.canBeHeld(200, 1500)).isTrue();
    assertThatExceptionOfType(BadInputException.class)
        .isThrownBy(() -> taps.spectra(200, 1500, 5000, Progress.NONE))
        .withMessageContaining("5 taps with 521 lines")
        .withMessageContaining("narrower band");
    assertThatExceptionOfType(BadInputException.class)
        .isThrownBy(() -> taps.spectra(200.1, 200.2, Progress.NONE))
        .withMessageContaining("fewer than two");
    TapSpectra spectra = taps.spectra(200, 1500, Progress.NONE);
    assertThatIllegalArgumentException().isThrownBy(() -> spectra.average(new int[5]));
    assertThatIllegalArgumentException().isThrownBy(() -> spectra.average(new int[] {1, 1}));
  }

  /** Taps whose gains are 0.9, 0.95 … 1.1 of the middle one: known scatter, no phase error. */
  @Test
  void sharedErrorIsTheScatterOfTheGains() throws IOException {
    VirtualRig rig = VirtualRig.of(Mode.of(410, 0.02, 3e6));
    List<Recording> each = new ArrayList<>();
    double squares = 0;
    for (int t = 0; t < 5; t++) {
      double gain = 0.9 + 0.05 * t;
      Recording one =
          rig.recordEach("tap", FS, 0.02, 0.4, BlowPlan.of(1, 1, 200, 0.5e-3).blows(1), 1).get(0);
      double[] force = MemoryRecording.copyOf(one).channel(1);
      double[] response = MemoryRecording.copyOf(one).channel(2);
      for (int i = 0; i < response.length; i++) {
        response[i] *= gain;
      }
      each.add(new MemoryRecording("tap " + t, FS, force, response));
      squares += (gain - 1) * (gain - 1);
    }
    SharedError shared = taps(rig, each, Estimator.H1, 0).averaged().shared();
    double expected = Math.sqrt(squares / 4 / 5);
    assertThat(shared.gain(410)).isCloseTo(expected, within(1e-6));
    assertThat(shared.gain(1000)).isCloseTo(expected, within(1e-6));
    assertThat(shared.phaseRad(410)).isCloseTo(0, within(1e-9));
  }

  private static List<Recording> each() throws IOException {
    List<Recording> each = new ArrayList<>();
    for (Recording one : RIG.recordEach("tap", FS, 0.02, 0.4, PLAN.blows(3), 7)) {
      each.add(MemoryRecording.copyOf(one));
    }
    return each;
  }

  private static AveragedTaps taps(List<Recording> each, Estimator estimator, double tau) {
    return taps(RIG, each, estimator, tau);
  }

  private static AveragedTaps taps(
      VirtualRig rig, List<Recording> each, Estimator estimator, double tau) {
    Processing processing =
        new Processing(
            Optional.of(Double.POSITIVE_INFINITY),
            Optional.of(0.01),
            Optional.of(0.1),
            Optional.of(Processing.ForceWindow.NONE),
            Optional.of(tau == 0 ? Double.POSITIVE_INFINITY : tau),
            Optional.empty(),
            Optional.of(estimator),
            Set.of(),
            Set.of(),
            List.of(),
            Optional.empty(),
            Optional.empty());
    return ResponseEstimator.estimateTaps(
        rig.measurement("rig", "x", "tip", each), processing, Progress.NONE);
  }
}
