package ringtrue.signal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;

class RunningSpectrogramTest {
  private static final double RATE = 48_000;

  @Test
  void aSineStandsAtItsFrequencyWithItsLevelInWhateverPortionsItComes() {
    RunningSpectrogram running = new RunningSpectrogram(RATE, 3000, 2);
    double hz = 100 * running.stepHz();
    double[] block = new double[777];
    for (int from = 0; from < 5 * RATE; from += block.length) {
      for (int i = 0; i < block.length; i++) {
        block[i] = 0.1 * Math.sin(2 * Math.PI * hz * (from + i) / RATE);
      }
      running.take(block, block.length);
    }
    float[] mean = running.mean(1);
    assertThat(mean).hasSize(running.rows());
    assertThat(mean[100]).isCloseTo(-20f, within(0.01f));
    assertThat(mean[130]).isLessThan(-100f);
    assertThat(running.columns().get(0).timeS()).isGreaterThan(2.5);
    assertThat((running.rows() - 1) * running.stepHz()).isBetween(3000.0, 3010.0);
  }

  @Test
  void beforeTheFirstFrameThereIsNothing() {
    RunningSpectrogram running = new RunningSpectrogram(RATE, 3000, 2);
    running.take(new double[10], 10);
    assertThat(running.columns()).isEmpty();
    assertThat(running.mean(1)).isEmpty();
  }
}
