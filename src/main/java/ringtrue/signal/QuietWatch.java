package ringtrue.signal;

import java.util.Arrays;
import ringtrue.acquisition.Channel;

/**
 * Listens to a channel until it has been quiet for some time, and says what it is like at rest:
 * stretches of 10 ms of which none stands out. Afterwards it follows a resting value that drifts.
 */
final class QuietWatch {
  private static final double STRETCH_S = 0.01;

  /** A stretch that swings this many times more than usual is no rest. */
  private static final double SWINGS = 4;

  /** Nor is one that departs this many times the noise from the others. */
  private static final double DEPARTS = 10;

  /** One step of a converter of 16 bits, as a part of full scale: less than that is no knock. */
  private static final double STEP = 1 / 32768.0;

  private final double scale;
  private final double floor;
  private final int stretch;
  private final double[] means;
  private final double[] sigmas;
  private final double[] farthest;
  private int count;
  private int inStretch;
  private double shift;
  private double sum;
  private double squares;
  private double highest;
  private double lowest;
  private boolean done;
  private boolean disturbed;
  private double rest;
  private double noise;
  private int followed;

  /**
   * @param channel what its numbers mean
   * @param quietS how long it has to be quiet, s
   */
  QuietWatch(Channel channel, double sampleRateHz, double quietS) {
    scale = channel.scale();
    floor = Double.isInfinite(channel.clipsAtNumber()) ? 0 : channel.clipsAtNumber() * STEP;
    stretch = (int) Math.max(16, Math.round(STRETCH_S * sampleRateHz));
    int stretches = (int) Math.max(10, Math.ceil(quietS * sampleRateHz / stretch));
    means = new double[stretches];
    sigmas = new double[stretches];
    farthest = new double[stretches];
  }

  /** Whether it has been quiet long enough. */
  boolean isDone() {
    return done;
  }

  /** Whether it had to begin again since this was last asked. */
  boolean wasDisturbed() {
    boolean was = disturbed;
    disturbed = false;
    return was;
  }

  /** Resting value in SI, followed as it drifts. */
  double rest() {
    return rest;
  }

  /** Standard deviation at rest, in SI, as it was found first. */
  double noise() {
    return noise;
  }

  /** Takes recorded numbers. */
  void take(double[] numbers, int n) {
    for (int i = 0; i < n; i++) {
      double v = numbers[i];
      if (inStretch == 0) {
        shift = v;
        sum = 0;
        squares = 0;
        highest = v;
        lowest = v;
      }
      sum += v - shift;
      squares += (v - shift) * (v - shift);
      highest = Math.max(highest, v);
      lowest = Math.min(lowest, v);
      if (++inStretch == stretch) {
        endStretch();
      }
    }
  }

  private void endStretch() {
    inStretch = 0;
    double mean = sum / stretch;
    double sigma = Math.sqrt(Math.max(0, squares / stretch - mean * mean));
    if (done) {
      follow(shift + mean, sigma);
      return;
    }
    means[count] = shift + mean;
    sigmas[count] = sigma;
    farthest[count] = Math.max(highest - shift - mean, shift + mean - lowest);
    count++;
    if (count == means.length) {
      judge();
    }
  }

  private void judge() {
    double[] sorted = sigmas.clone();
    Arrays.sort(sorted);
    double usual = Math.max(sorted[count / 2], floor);
    double middle = Medians.of(means);
    int last = -1;
    for (int i = 0; i < count; i++) {
      boolean swings = usual > 0 && sigmas[i] > SWINGS * usual;
      boolean jumps = usual > 0 && farthest[i] > DEPARTS * usual;
      boolean elsewhere = usual > 0 && Math.abs(means[i] - middle) > DEPARTS * usual;
      if (swings || jumps || elsewhere) {
        last = i;
      }
    }
    if (last >= 0) {
      disturbed = true;
      count -= last + 1;
      System.arraycopy(means, last + 1, means, 0, count);
      System.arraycopy(sigmas, last + 1, sigmas, 0, count);
      System.arraycopy(farthest, last + 1, farthest, 0, count);
      return;
    }
    done = true;
    noise = sorted[count / 5] * Math.abs(scale);
    rest = middle * scale;
  }

  /** Enough of it: takes what a whole stretch of time has shown, although it was never quiet. */
  void settleFor(double restSi, double noiseSi) {
    done = true;
    rest = restSi;
    noise = noiseSi;
    Arrays.fill(means, restSi / scale);
  }

  private void follow(double mean, double sigma) {
    if (sigma * Math.abs(scale) > 2 * noise) {
      return;
    }
    means[followed++ % means.length] = mean;
    if (followed % 10 == 0) {
      rest = Medians.of(means) * scale;
    }
  }
}
