package ringtrue.signal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import ringtrue.acquisition.MemoryRecording;
import ringtrue.signal.KnownVoltage.Kind;
import ringtrue.units.BadInputException;

class KnownVoltageTest {
  private static final double RATE = 48_000;
  private static final double FULL_SCALE_V = 1.73;

  private interface Volts {
    double at(double t);
  }

  private static MemoryRecording recorded(double seconds, double noiseV, Volts volts) {
    Random random = new Random(8);
    double[] x = new double[(int) (seconds * RATE)];
    for (int i = 0; i < x.length; i++) {
      double number = (volts.at(i / RATE) + noiseV * random.nextGaussian()) / FULL_SCALE_V;
      x[i] = Math.rint(Math.max(-1, Math.min(1 - 0x1p-23, number)) * 0x1p23) * 0x1p-23;
    }
    return new MemoryRecording("sine.wav", RATE, x);
  }

  /** A sine of 0.5 V rms has a peak of 0.5 √2 V, whatever noise, hum and offset come with it. */
  @ParameterizedTest
  @CsvSource({"1000, 0", "997.3, 1e-3", "67.3, 1e-3", "11, 1e-4", "15000.1, 1e-3", "400, 2e-2"})
  void theFullScaleComesOutOfARmsReading(double hz, double noise) throws IOException {
    KnownVoltage found =
        KnownVoltage.of(
            recorded(
                10, noise, t -> 0.02 + 0.5 * Math.sqrt(2) * Math.sin(2 * Math.PI * hz * t + 0.3)),
            1,
            0.5,
            Kind.RMS,
            0.01);
    assertThat(found.fullScaleV()).isCloseTo(FULL_SCALE_V, within(FULL_SCALE_V * 1e-3));
    assertThat(found.frequencyHz()).isCloseTo(hz, within(hz * 1e-4));
    assertThat(found.fullScaleSigmaV()).isBetween(0.00999 * FULL_SCALE_V, 0.0101 * FULL_SCALE_V);
    assertThat(found.remarks()).isEmpty();
  }

  /** The sigma that comes from the recording alone covers the error that noise makes. */
  @Test
  void theScatterIsTheUncertainty() throws IOException {
    KnownVoltage found =
        KnownVoltage.of(
            recorded(10, 0.05, t -> 0.7 * Math.sin(2 * Math.PI * 440 * t)), 1, 0.7, Kind.PEAK, 0);
    assertThat(found.fullScaleV()).isCloseTo(FULL_SCALE_V, within(2 * found.fullScaleSigmaV()));
    assertThat(found.fullScaleSigmaV()).isBetween(1e-4, 5e-3);
    assertThat(found.remarks()).hasSize(1).first().asString().contains("is not in this");
  }

  @Test
  void aDirectVoltageIsALevel() throws IOException {
    KnownVoltage found = KnownVoltage.of(recorded(5, 1e-3, t -> -1.2), 1, 1.2, Kind.DC, 0.005);
    assertThat(found.fullScaleV()).isCloseTo(FULL_SCALE_V, within(1e-3));
    assertThat(found.remarks()).containsExactly("the input reads the other sign");
  }

  @Test
  void humIsSaidAndDoesNotCount() throws IOException {
    KnownVoltage found =
        KnownVoltage.of(
            recorded(
                5,
                1e-4,
                t ->
                    0.5 * Math.sin(2 * Math.PI * 1000 * t) + 0.01 * Math.sin(2 * Math.PI * 50 * t)),
            1,
            0.5,
            Kind.PEAK,
            0.01);
    assertThat(found.fullScaleV()).isCloseTo(FULL_SCALE_V, within(1e-3));
    assertThat(found.remarks()).hasSize(1).first().asString().contains("hum of 2.0 % at 50 Hz");
  }

  @Test
  void distortionAndTheMainsItselfAreSaid() throws IOException {
    KnownVoltage clipped =
        KnownVoltage.of(
            recorded(5, 0, t -> Math.min(0.45, 0.5 * Math.sin(2 * Math.PI * 1000 * t))),
            1,
            0.5,
            Kind.PEAK,
            0.01);
    assertThat(String.join(" ", clipped.remarks())).contains("harmonics of");
    KnownVoltage mains =
        KnownVoltage.of(
            recorded(5, 0, t -> 0.5 * Math.sin(2 * Math.PI * 50.02 * t)), 1, 0.5, Kind.PEAK, 0.01);
    assertThat(String.join(" ", mains.remarks())).contains("sits on the mains (50 Hz)");
  }

  /** Plugged in and out within the recording: only the steady part counts. */
  @Test
  void partsAtAnotherLevelAreLeftOut() throws IOException {
    KnownVoltage found =
        KnownVoltage.of(
            recorded(8, 1e-4, t -> t < 1 || t > 6.5 ? 0 : 0.5 * Math.sin(2 * Math.PI * 500 * t)),
            1,
            0.5,
            Kind.PEAK,
            0.01);
    assertThat(found.fullScaleV()).isCloseTo(FULL_SCALE_V, within(1e-3));
    assertThat(String.join(" ", found.remarks())).contains("were left out");
  }

  @Test
  void whatCannotBeUsedIsRefused() {
    refused("clips (", Kind.RMS, recorded(5, 0, t -> 2 * Math.sin(2 * Math.PI * 500 * t)));
    refused("holds no", Kind.RMS, recorded(5, 0, t -> 0));
    refused("holds no steady sine", Kind.RMS, recorded(5, 0.1, t -> 0));
    refused("holds no direct voltage", Kind.DC, recorded(5, 1e-3, t -> 0));
    refused("level does not stay", Kind.DC, recorded(5, 1e-4, t -> Math.exp(-t)));
    refused("too short", Kind.PEAK, recorded(0.2, 0, t -> Math.sin(2 * Math.PI * 500 * t)));
    assertThatThrownBy(() -> KnownVoltage.of(recorded(5, 0, t -> 0), 3, 1, Kind.DC, 0))
        .hasMessage("sine.wav: has no channel 3; it has 1");
  }

  private static void refused(String why, Kind kind, MemoryRecording recording) {
    assertThatThrownBy(() -> KnownVoltage.of(recording, 1, 0.5, kind, 0))
        .isInstanceOf(BadInputException.class)
        .hasMessageStartingWith("sine.wav: ")
        .hasMessageContaining(why);
  }
}
