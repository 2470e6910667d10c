package ringtrue.signal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.util.Random;
import org.apache.commons.math3.complex.Complex;
import org.apache.commons.math3.transform.DftNormalization;
import org.apache.commons.math3.transform.FastFourierTransformer;
import org.apache.commons.math3.transform.TransformType;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import ringtrue.acquisition.MemoryRecording;
import ringtrue.units.BadInputException;

/** Signals that are shifted exactly, by turning the phases of their spectrum. */
class SplitSignalTest {
  private static final double RATE = 48_000;
  private static final int N = 1 << 17;

  /** What a channel that samples later has: x(t + τ), exact for a periodic signal. */
  private static double[] later(double[] x, double seconds) {
    FastFourierTransformer fft = new FastFourierTransformer(DftNormalization.STANDARD);
    Complex[] spectrum = fft.transform(x, TransformType.FORWARD);
    for (int k = 1; k < N / 2; k++) {
      double phase = 2 * Math.PI * k * RATE / N * seconds;
      spectrum[k] = spectrum[k].multiply(new Complex(Math.cos(phase), Math.sin(phase)));
      spectrum[N - k] = spectrum[k].conjugate();
    }
    spectrum[N / 2] = Complex.ZERO;
    Complex[] moved = fft.transform(spectrum, TransformType.INVERSE);
    double[] out = new double[N];
    for (int i = 0; i < N; i++) {
      out[i] = moved[i].getReal();
    }
    return out;
  }

  /** What may be split: white noise, taps, or something like speech (low, uneven, with pauses). */
  private static double[] signal(String kind, Random random) {
    double[] x = new double[N];
    double low = 0;
    for (int i = 0; i < N; i++) {
      double noise = random.nextGaussian();
      low += 0.15 * (noise - low);
      double loud = Math.max(0, Math.sin(2 * Math.PI * i / (0.4 * RATE)));
      x[i] =
          switch (kind) {
            case "noise" -> 0.05 * noise;
            case "speech" -> 0.2 * loud * low;
            default -> {
              int since = i % 20_000;
              yield since < 4000
                  ? 0.5 * Math.exp(-since / 300.0) * Math.sin(2 * Math.PI * 1700 * since / RATE)
                  : 0;
            }
          };
    }
    return x;
  }

  private static void noise(double[] x, double rms, Random random) {
    for (int i = 0; i < x.length; i++) {
      x[i] += rms * random.nextGaussian();
    }
  }

  @ParameterizedTest
  @CsvSource({
    "noise, 0, 1, 1e-5",
    "noise, 3.7e-6, 0.98, 1e-5",
    "noise, -20.9e-6, 1.02, 1e-3",
    "noise, 900e-6, 1, 1e-5",
    "noise, -2.5e-3, -1, 1e-5",
    "taps, 11e-6, 1.001, 1e-5",
    "taps, -260e-6, 0.97, 1e-5",
    "speech, 5.3e-6, 0.5, 1e-5",
    "speech, 30e-6, -1.3, 1e-4",
  })
  void skewAndGainAreFoundWithinTheirSigma(String kind, double skew, double gain, double noise)
      throws IOException {
    double largest = 0;
    double squares = 0;
    double gainSquares = 0;
    int rounds = 12;
    for (int seed = 0; seed < rounds; seed++) {
      Random random = new Random(seed);
      double[] x = signal(kind, random);
      double[] y = later(x, skew);
      for (int i = 0; i < N; i++) {
        y[i] *= gain;
      }
      noise(x, noise, random);
      noise(y, noise, random);
      SplitSignal found = SplitSignal.of(new MemoryRecording("split", RATE, x, y), 1, 2);
      double z = (found.skewS() - skew) / found.skewSigmaS();
      double zGain = (found.gainRatio() - Math.abs(gain)) / found.gainSigma();
      squares += z * z / rounds;
      gainSquares += zGain * zGain / rounds;
      largest = Math.max(largest, Math.abs(found.skewS() - skew));
      assertThat(found.reversed()).isEqualTo(gain < 0);
      assertThat(found.gainRatio()).isCloseTo(Math.abs(gain), within(2e-3));
    }
    assertThat(largest).isLessThan(0.2e-6);
    assertThat(Math.sqrt(squares)).isBetween(0.05, 1.8);
    assertThat(Math.sqrt(gainSquares)).isBetween(0.05, 1.8);
  }

  /** Inputs whose AC coupling differs: the delay stays right, and it is said. */
  @Test
  void unequalCouplingIsNoDelay() throws IOException {
    Random random = new Random(4);
    double[] x = signal("noise", random);
    double[] y = later(x, 8e-6);
    double alpha = Math.exp(-2 * Math.PI * 8 / RATE);
    double[] high = new double[N];
    for (int i = 1; i < N; i++) {
      high[i] = alpha * high[i - 1] + 0.5 * (1 + alpha) * (y[i] - y[i - 1]);
    }
    noise(x, 1e-5, random);
    noise(high, 1e-5, random);
    SplitSignal found = SplitSignal.of(new MemoryRecording("split", RATE, x, high), 1, 2);
    assertThat(found.skewS()).isCloseTo(8e-6, within(0.1e-6));
    assertThat(String.join(" ", found.remarks())).contains("AC coupling");
  }

  @Test
  void otherSignalsAreRefused() {
    Random random = new Random(5);
    double[] x = signal("noise", random);
    double[] y = signal("noise", random);
    assertRefused("do not hold the same signal", RATE, x, y);
    assertRefused("a channel is silent", RATE, x, new double[N]);
    assertRefused("too short", RATE, new double[500], new double[500]);
    double[] loud = new double[N];
    for (int i = 0; i < N; i++) {
      loud[i] = Math.max(-1, Math.min(1, 100 * x[i]));
    }
    assertRefused("the signal clips", RATE, loud, loud.clone());
    assertThatThrownBy(() -> SplitSignal.of(new MemoryRecording("m", RATE, x), 1, 2))
        .isInstanceOf(BadInputException.class)
        .hasMessage("m: has 1 channel, channel 2 was asked for");
  }

  private static void assertRefused(String why, double rate, double[]... channels) {
    assertThatThrownBy(() -> SplitSignal.of(new MemoryRecording("m", rate, channels), 1, 2))
        .isInstanceOf(BadInputException.class)
        .hasMessageStartingWith("m: ")
        .hasMessageContaining(why);
  }
}
