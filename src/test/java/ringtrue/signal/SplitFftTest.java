package ringtrue.signal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Random;
import org.jtransforms.fft.DoubleFFT_1D;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class SplitFftTest {

  /** Every factor, odd and even lengths, single and several strips, and lengths left to others. */
  @ParameterizedTest
  @ValueSource(
      ints = {
        16, 17, 18, 27, 30, 77, 125, 375, 1000, 1155, 4096, 4374, 15625, 44100, 65536, 96000, 196830
      })
  void agreesWithJTransforms(int n) {
    Random random = new Random(n);
    double[] re = random.doubles(n, -1, 1).toArray();
    double[] im = random.doubles(n, -1, 1).toArray();
    double[] both = new double[2 * n];
    for (int j = 0; j < n; j++) {
      both[2 * j] = re[j];
      both[2 * j + 1] = im[j];
    }
    new DoubleFFT_1D(n).complexForward(both);
    new SplitFft(new SplitFft.Plan(n)).transform(re, im);
    double allowed = 1e-14 * Math.sqrt(n);
    for (int k = 0; k < n; k++) {
      assertThat(re[k]).isCloseTo(both[2 * k], within(allowed));
      assertThat(im[k]).isCloseTo(both[2 * k + 1], within(allowed));
    }
  }

  /** A single wave has one line, of its size, closed form. */
  @Test
  void findsASingleWave() {
    int n = 96000;
    int line = 12345;
    double[] re = new double[n];
    double[] im = new double[n];
    for (int j = 0; j < n; j++) {
      double angle = 2 * Math.PI * ((long) line * j % n) / n;
      re[j] = Math.cos(angle);
      im[j] = Math.sin(angle);
    }
    new SplitFft(new SplitFft.Plan(n)).transform(re, im);
    for (int k = 0; k < n; k++) {
      assertThat(re[k]).isCloseTo(k == line ? n : 0, within(1e-9));
      assertThat(im[k]).isCloseTo(0, within(1e-9));
    }
  }
}
