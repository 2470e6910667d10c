package ringtrue.fitting;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.jtransforms.fft.DoubleFFT_1D;
import ringtrue.dynamics.FreeDecays;

/**
 * Noise of a sensor at rest: its level over frequency, and the tones in it (mains hum, fans), which
 * are there before the taps and do not decay.
 */
final class DecayNoise {
  /** A tone stands so many times above the noise around it, in power. */
  private static final double TONE = 30;

  private static final int MOST_TONES = 24;
  private static final int SHORT = 512;

  /** Level of each band, variance of white noise that would have the same density. */
  private final double[] level;

  private final double bandHz;
  private final List<Double> tonesHz;
  private final boolean known;

  private DecayNoise(double[] level, double bandHz, List<Double> tonesHz, boolean known) {
    this.level = level;
    this.bandHz = bandHz;
    this.tonesHz = tonesHz;
    this.known = known;
  }

  /** Noise of the quiet stretch; unknown where there is none. */
  static DecayNoise of(FreeDecays decays) {
    int n = decays.quiet().size();
    double fs = decays.sampleRateHz();
    if (n < 16) {
      return new DecayNoise(new double[] {0}, fs, List.of(), false);
    }
    double[] x = decays.quiet().copy(0, n);
    double mean = Arrays.stream(x).average().orElse(0);
    for (int i = 0; i < n; i++) {
      x[i] -= mean;
    }
    if (n < SHORT) {
      double power = Arrays.stream(x).map(v -> v * v).sum() / (n - 1);
      return new DecayNoise(new double[] {power}, fs, List.of(), power > 0);
    }
    // One long transform: the median over neighbouring lines does not mind tones.
    int m = DecaySpectra.quick(n);
    double[] power = hann(x, n - m, m);
    int bands = Math.max(1, Math.min(64, power.length / 24));
    double[] level = new double[bands];
    for (int b = 0; b < bands; b++) {
      int from = Math.max(2, (int) ((long) b * power.length / bands));
      int to = (int) ((long) (b + 1) * power.length / bands);
      level[b] = median(Arrays.copyOfRange(power, from, to)) / Math.log(2);
    }
    DecayNoise floor = new DecayNoise(level, fs / 2 / bands, List.of(), true);
    return new DecayNoise(level, fs / 2 / bands, tones(x, power, floor, fs), level[0] > 0);
  }

  /** Whether there was a quiet stretch with noise in it. */
  boolean isKnown() {
    return known;
  }

  List<Double> tonesHz() {
    return tonesHz;
  }

  /** Variance of white noise with the density at a frequency. */
  double at(double hz) {
    double place = hz / bandHz - 0.5;
    int low = (int) Math.floor(place);
    double part = place - low;
    double a = level[Math.max(0, Math.min(level.length - 1, low))];
    double b = level[Math.max(0, Math.min(level.length - 1, low + 1))];
    return a + part * (b - a);
  }

  /** Power of each line through a Hann window, as variance of white noise. */
  private static double[] hann(double[] x, int from, int n) {
    double[] a = new double[n];
    double weight = 0;
    for (int i = 0; i < n; i++) {
      double w = 0.5 - 0.5 * Math.cos(2 * Math.PI * i / n);
      a[i] = w * x[from + i];
      weight += w * w;
    }
    new DoubleFFT_1D(n).realForward(a);
    double[] power = new double[n / 2];
    for (int k = 1; k < n / 2; k++) {
      power[k] = (a[2 * k] * a[2 * k] + a[2 * k + 1] * a[2 * k + 1]) / weight;
    }
    return power;
  }

  private static List<Double> tones(double[] x, double[] power, DecayNoise floor, double fs) {
    double df = fs / 2 / power.length;
    List<Integer> peaks = new ArrayList<>();
    for (int k = 3; k + 2 < power.length; k++) {
      if (power[k] >= power[k - 1]
          && power[k] > power[k + 1]
          && power[k] > TONE * floor.at(k * df)
          && power[k] > 3 * Math.min(power[k - 2], power[k + 2])) {
        peaks.add(k);
      }
    }
    peaks.sort((a, b) -> Double.compare(power[b], power[a]));
    List<Double> tones = new ArrayList<>();
    for (int k : peaks.subList(0, Math.min(MOST_TONES, peaks.size()))) {
      // Frequency between the lines from the ratio of a Hann window's two largest (Grandke 1983).
      boolean up = power[k + 1] > power[k - 1];
      double ratio = Math.sqrt((up ? power[k + 1] : power[k - 1]) / power[k]);
      double shift = Math.max(-0.5, Math.min(0.5, (2 * ratio - 1) / (ratio + 1)));
      double hz = (k + (up ? shift : -shift)) * df;
      if (tones.stream().noneMatch(t -> Math.abs(t - hz) < 3 * df)) {
        tones.add(hz);
      }
    }
    return tones.stream().sorted().toList();
  }

  static double median(double[] values) {
    double[] sorted = values.clone();
    Arrays.sort(sorted);
    int n = sorted.length;
    return n == 0 ? 0 : n % 2 == 1 ? sorted[n / 2] : (sorted[n / 2 - 1] + sorted[n / 2]) / 2;
  }
}
