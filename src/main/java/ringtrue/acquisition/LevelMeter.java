package ringtrue.acquisition;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import ringtrue.acquisition.TapFinder.Level;

/**
 * Gathers what a channel holds, stretch by stretch, from numbers that come in any portions: those
 * of recordings one after the other, or those of an input that is still running.
 */
public final class LevelMeter {

  private final double scale;
  private final List<Double> offsets = new ArrayList<>();
  private final List<Double> means = new ArrayList<>();
  private final List<Double> noises = new ArrayList<>();
  private double highest;
  private double lowest;
  private double largest = Double.NEGATIVE_INFINITY;
  private double smallest = Double.POSITIVE_INFINITY;

  private int stretch;
  private double[] stretchMean = new double[64];
  private double[] stretchSigma = new double[64];
  private int stretches;
  private int inStretch;
  private double sum;
  private double sumSquares;
  private double shift;
  private double total;
  private long frames;
  private double recordingLargest;
  private double recordingSmallest;

  /**
   * @param channel what its numbers mean
   */
  public LevelMeter(Channel channel) {
    this.scale = channel.scale();
  }

  /**
   * Begins a recording.
   *
   * @param sampleRateHz samples per second
   * @param frames how long it is; {@link Long#MAX_VALUE} where nobody knows
   */
  public void begin(double sampleRateHz, long frames) {
    stretch = (int) Math.max(16, Math.min(Math.round(0.01 * sampleRateHz), frames / 40));
    stretches = 0;
    inStretch = 0;
    sum = 0;
    sumSquares = 0;
    total = 0;
    this.frames = 0;
    recordingLargest = Double.NEGATIVE_INFINITY;
    recordingSmallest = Double.POSITIVE_INFINITY;
  }

  /**
   * Takes the next numbers of the recording.
   *
   * @param numbers recorded numbers
   * @param n how many of them
   */
  public void take(double[] numbers, int n) {
    int at = 0;
    while (at < n) {
      if (inStretch == 0) {
        // The first number of a stretch is taken off, so that a large offset costs no digits.
        shift = numbers[at];
      }
      int end = Math.min(n, at + stretch - inStretch);
      add(numbers, at, end);
      inStretch += end - at;
      at = end;
      if (inStretch == stretch) {
        endStretch();
      }
    }
    frames += n;
  }

  private void add(double[] numbers, int from, int to) {
    double most = recordingLargest;
    double least = recordingSmallest;
    double off = shift;
    // Two sums side by side: one alone would wait for itself at every step.
    double sumA = 0;
    double sumB = 0;
    double squaresA = 0;
    double squaresB = 0;
    int i = from;
    for (; i + 1 < to; i += 2) {
      double a = numbers[i];
      double b = numbers[i + 1];
      most = a > most ? a : most;
      least = a < least ? a : least;
      most = b > most ? b : most;
      least = b < least ? b : least;
      a -= off;
      b -= off;
      sumA += a;
      sumB += b;
      squaresA += a * a;
      squaresB += b * b;
    }
    if (i < to) {
      double a = numbers[i];
      most = a > most ? a : most;
      least = a < least ? a : least;
      sumA += a - off;
      squaresA += (a - off) * (a - off);
    }
    recordingLargest = most;
    recordingSmallest = least;
    sum += sumA + sumB;
    sumSquares += squaresA + squaresB;
  }

  private void endStretch() {
    double mean = sum / inStretch;
    if (stretches == stretchMean.length) {
      stretchMean = Arrays.copyOf(stretchMean, 2 * stretches);
      stretchSigma = Arrays.copyOf(stretchSigma, 2 * stretches);
    }
    stretchMean[stretches] = shift + mean;
    stretchSigma[stretches] = Math.sqrt(Math.max(0, sumSquares / inStretch - mean * mean));
    stretches++;
    total += sum + shift * inStretch;
    sum = 0;
    sumSquares = 0;
    inStretch = 0;
  }

  /** Ends the recording that was begun. */
  public void end() {
    if (inStretch > 0 && (inStretch >= stretch / 2 || stretches == 0)) {
      endStretch();
    } else {
      total += sum + shift * inStretch;
    }
    Seen seen = seen(total / Math.max(1, frames));
    offsets.add(seen.rest);
    means.add(seen.mean);
    noises.add(seen.noise);
    highest = Math.max(highest, seen.highest);
    lowest = Math.min(lowest, seen.lowest);
    largest = Math.max(largest, recordingLargest);
    smallest = Math.min(smallest, recordingSmallest);
  }

  /** What the recordings that have ended hold. */
  public Level level() {
    double[] sorted = noises.stream().mapToDouble(Double::doubleValue).sorted().toArray();
    return new Level(offsets, means, sorted[sorted.length / 2], highest, lowest, largest, smallest);
  }

  /** Whether the running recording is long enough to say what it holds. */
  public boolean tellsSomething() {
    return stretches > 0;
  }

  /** What the running recording holds so far, once it {@link #tellsSomething}. */
  public Level soFar() {
    Seen seen = seen((total + sum + shift * inStretch) / Math.max(1, frames));
    return new Level(
        List.of(seen.rest),
        List.of(seen.mean),
        seen.noise,
        Math.max(0, seen.highest),
        Math.min(0, seen.lowest),
        recordingLargest,
        recordingSmallest);
  }

  /** One recording, in SI. */
  private record Seen(double rest, double mean, double noise, double highest, double lowest) {}

  private Seen seen(double mean) {
    double[] sorted = Arrays.copyOf(stretchSigma, stretches);
    Arrays.sort(sorted);
    double sigma = sorted[sorted.length / 5];
    double[] quiet = new double[stretches];
    int q = 0;
    for (int i = 0; i < stretches; i++) {
      if (stretchSigma[i] <= 2 * sigma) {
        quiet[q++] = stretchMean[i];
      }
    }
    Arrays.sort(quiet, 0, q);
    double rest = q % 2 == 1 ? quiet[q / 2] : (quiet[q / 2 - 1] + quiet[q / 2]) / 2;
    double above = (recordingLargest - rest) * scale;
    double below = (recordingSmallest - rest) * scale;
    return new Seen(
        rest * scale,
        mean * scale,
        sigma * Math.abs(scale),
        Math.max(above, below),
        Math.min(above, below));
  }
}
