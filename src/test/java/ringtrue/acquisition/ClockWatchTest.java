package ringtrue.acquisition;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** A simulated sound system: true rate, buffers, delays and losses are known. */
class ClockWatchTest {
  private static final double RATE = 48_000;

  /** Blocks of 10 ms as they come from a device of another true rate. */
  private static final class Device {
    final Random random = new Random(3);
    final double trueRate;
    final ClockWatch watch = new ClockWatch(RATE, 0);
    final List<long[]> found = new ArrayList<>();
    double lost;
    long frames;
    double busyUntil;

    Device(double partsPerMillion) {
      trueRate = RATE * (1 + partsPerMillion * 1e-6);
    }

    /** Runs up to a time; now and then the computer is busy for up to so many seconds. */
    void runTo(double seconds, double busyS, double everyS) {
      while (true) {
        double ready = (frames + lost + 480) / trueRate + 0.002;
        if (ready > seconds) {
          return;
        }
        if (everyS > 0 && random.nextDouble() < 0.01 / everyS) {
          busyUntil = ready + busyS * random.nextDouble();
        }
        double jitter = 0.004 * Math.abs(random.nextGaussian());
        frames += 480;
        double at = Math.max(ready + jitter, busyUntil);
        long missing = watch.arrived(frames, (long) (at * 1e9));
        if (missing > 0) {
          found.add(new long[] {frames, missing});
        }
      }
    }
  }

  @ParameterizedTest
  @ValueSource(doubles = {-900, -150, -20, 0, 20, 150, 900})
  void anHourOfDriftAndDelaysIsNoGap(double partsPerMillion) {
    Device device = new Device(partsPerMillion);
    device.runTo(3600, 0.4, 5);
    assertThat(device.found).isEmpty();
  }

  @ParameterizedTest
  @ValueSource(doubles = {-150, 0, 150})
  void lostFramesAreFoundAndMeasured(double partsPerMillion) {
    for (double lostS : new double[] {0.04, 0.1, 0.5, 3}) {
      Device device = new Device(partsPerMillion);
      device.runTo(20, 0.2, 3);
      device.lost += lostS * RATE;
      device.runTo(40, 0.2, 3);
      assertThat(device.found).hasSize(1);
      assertThat(device.found.get(0)[1] / RATE).isCloseTo(lostS, within(0.015));
      // known within a second and a half after frames come again
      assertThat(device.found.get(0)[0] / RATE).isBetween(20.0, 21.5);
    }
  }

  @Test
  void twoLossesAreTwoGaps() {
    Device device = new Device(30);
    device.runTo(10, 0.2, 3);
    device.lost += 0.1 * RATE;
    device.runTo(20, 0.2, 3);
    device.lost += 0.2 * RATE;
    device.runTo(30, 0.2, 3);
    assertThat(device.found).hasSize(2);
  }

  /** Frames of before the start, and a source that is not paced at all. */
  @Test
  void fasterThanTheClockIsNoGap() {
    ClockWatch watch = new ClockWatch(RATE, 0);
    for (int block = 1; block < 10_000; block++) {
      assertThat(watch.arrived(block * 480L, block * 1_000_000L)).isZero();
    }
  }
}
