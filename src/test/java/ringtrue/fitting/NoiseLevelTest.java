package ringtrue.fitting;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Random;
import org.apache.commons.math3.distribution.ChiSquaredDistribution;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.Mode;

class NoiseLevelTest {

  /** Median of chi-square with 2(n − 1) degrees of freedom; for two averages it is 2 ln 2. */
  @ParameterizedTest
  @ValueSource(ints = {2, 3, 5, 8, 20})
  void correctsTheMedianOfFewAverages(int averages) {
    double median =
        new ChiSquaredDistribution(2.0 * (averages - 1)).inverseCumulativeProbability(0.5);
    assertThat(NoiseLevel.medianCorrection(averages))
        .isCloseTo(Math.sqrt(2 * averages / median), within(0.02));
  }

  /** Noise of 1/ω², as from an accelerometer, under a resonance; averages or one tap alike. */
  @ParameterizedTest
  @ValueSource(ints = {1, 6})
  void findsTheNoiseUnderAResonance(int averages) {
    int n = 2000;
    double[] hz = new double[n];
    double[] re = new double[n];
    double[] im = new double[n];
    double[] error = new double[n];
    double[] truth = new double[n];
    Random random = new Random(4);
    Mode mode = Mode.of(600, 0.02, 5e6);
    double[] g = new double[2];
    for (int i = 0; i < n; i++) {
      hz[i] = 20 + i;
      mode.at(hz[i], g);
      truth[i] = 1e-9 * Math.pow(500 / hz[i], 2);
      re[i] = g[0] + truth[i] * random.nextGaussian();
      im[i] = g[1] + truth[i] * random.nextGaussian();
      // an estimate with 2(n − 1) degrees of freedom
      double sum = 0;
      for (int k = 0; k < 2 * (averages - 1); k++) {
        double x = random.nextGaussian();
        sum += x * x;
      }
      error[i] = truth[i] * Math.sqrt(sum / (2 * averages)) / Math.hypot(re[i], im[i]);
    }
    FrequencyResponse response =
        new FrequencyResponse(
            hz,
            re,
            im,
            null,
            averages > 1 ? error : null,
            new FrequencyResponse.Origin(
                "", "", averages, Double.POSITIVE_INFINITY, 20, 2019, "", java.util.List.of()));
    double[] sigma = NoiseLevel.of(response, 0, n);
    double logMean = 0;
    for (int i = 0; i < n; i++) {
      assertThat(sigma[i] / truth[i]).as("line at " + hz[i]).isBetween(0.4, 2.5);
      logMean += Math.log(sigma[i] / truth[i]) / n;
    }
    assertThat(Math.exp(logMean)).isCloseTo(1, within(0.05));
  }

  @Test
  void keepsTheErrorOfALineThatStandsOut() {
    SyntheticTaps taps = new SyntheticTaps(Mode.of(600, 0.02, 5e6));
    taps.blockLength = 8192;
    taps.sampleRateHz = 8192;
    taps.hum = 0.05;
    FrequencyResponse response = taps.measure(3);
    double[] sigma = NoiseLevel.of(response, 0, 1000);
    int hum = response.firstLineAtOrAbove(150);
    assertThat(sigma[hum]).isGreaterThan(5 * sigma[hum - 2]);
    assertThat(sigma[hum]).isGreaterThan(5 * sigma[hum + 2]);
  }
}
