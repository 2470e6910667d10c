package ringtrue.fitting;

import java.util.Arrays;
import java.util.HashMap;
import java.util.Map;
import java.util.Optional;
import java.util.function.BiPredicate;
import java.util.function.DoubleUnaryOperator;
import java.util.stream.IntStream;
import org.jtransforms.fft.DoubleFFT_1D;
import ringtrue.fitting.DecayRefinement.Term;

/**
 * Looks for decaying exponentials in what no term explains yet. For a decay {@code e^(−αt) cos ωt}
 * of unknown amplitude and phase in white noise the likelihood gains {@code |Σ x e^(−αt) e^(−iωt)|²
 * / (σ² Σ e^(−2αt))} (the matched filter, for example Kay 1998, chapter 7): transforms through
 * exponential windows give it for all frequencies at once, and gains add up over the taps.
 */
final class DecaySearch {
  private static final double MOST_ZETA = 0.25;
  private static final double LEAST_ZETA = 5e-5;

  /** From one decay rate looked at to the next; a true one between loses 7 % of its gain. */
  private static final double STEP = 3;

  /** A peak is so many times, in power, what there is three times as far off on either side. */
  private static final double PROMINENT = 1.5;

  /** Time constants after which the window is cut off: a larger step there would ripple. */
  private static final double WINDOW = 10;

  /** A peak is the largest value within so many decay rates, as frequencies. */
  private static final double PEAK = 1.5;

  /**
   * Part of what is fitted at a place already, in energy, below which nothing new is looked for.
   */
  private static final double VISIBLE = 1e-4;

  private final DecaySpectra spectra;
  private final double lowHz;
  private final double highHz;
  private final Map<Integer, DoubleFFT_1D> plans = new HashMap<>();

  DecaySearch(DecaySpectra spectra, double lowHz, double highHz) {
    this.spectra = spectra;
    this.lowHz = lowHz;
    this.highHz = highHz;
  }

  /**
   * A place with its gain in log-likelihood; noise alone gives one for each tap on average.
   *
   * @param term where
   * @param gain how much
   * @param energy what it would explain, square of the unit
   */
  record Place(Term term, double gain, double energy) {}

  /**
   * The place that explains most energy, of those that gain enough. Choosing by gain would begin
   * with the far skirts of strong modes where noise is low.
   *
   * @param left what is left of each tap, in time
   * @param fitted what is fitted of each tap, in time
   * @param level noise over frequency
   * @param enough gain that is enough
   * @param allowed whether a frequency in Hz and a decay rate may be looked at
   */
  Optional<Place> best(
      double[][] left,
      double[][] fitted,
      DoubleUnaryOperator level,
      double enough,
      BiPredicate<Double, Double> allowed) {
    int longest = spectra.longest();
    double least = 0.5 * spectra.fs / longest;
    double most = MOST_ZETA * 2 * Math.PI * highHz;
    Place best = null;
    for (double alpha = least; alpha <= most; alpha *= STEP) {
      Place place = best(left, fitted, level, enough, allowed, alpha, alpha == least);
      if (place != null && (best == null || place.energy > best.energy)) {
        best = place;
      }
    }
    return Optional.ofNullable(best);
  }

  private Place best(
      double[][] left,
      double[][] fitted,
      DoubleUnaryOperator level,
      double enough,
      BiPredicate<Double, Double> allowed,
      double alpha,
      boolean slowest) {
    double fs = spectra.fs;
    int seen = (int) Math.max(16, Math.min(spectra.longest(), Math.ceil(WINDOW * fs / alpha)));
    int n = Integer.highestOneBit(Math.max(32, 2 * seen - 1));
    DoubleFFT_1D fft = plans.computeIfAbsent(n, length -> new DoubleFFT_1D(length));
    double[][] gains = new double[left.length][];
    double[][] there = new double[left.length][];
    IntStream.range(0, left.length)
        .parallel()
        .forEach(
            t -> {
              gains[t] = power(left[t], alpha, seen, n, fft);
              there[t] = power(fitted[t], alpha, seen, n, fft);
            });
    double df = fs / n;
    int from = (int) Math.max(1, Math.ceil(lowHz / df));
    int to = (int) Math.min(n / 2 - 1, Math.floor(highHz / df));
    double[] sum = sum(gains);
    double[] already = sum(there);
    int aside = (int) Math.max(1, Math.round(PEAK * alpha / (2 * Math.PI * df)));
    int at = -1;
    double most = 0;
    for (int k = from; k <= to; k++) {
      double zeta = alpha / (2 * Math.PI * k * df);
      if (zeta > MOST_ZETA || !slowest && zeta < LEAST_ZETA || sum[k] < VISIBLE * already[k]) {
        continue;
      }
      if (sum[k] > most
          && sum[k] >= enough * level.applyAsDouble(k * df)
          && isPeak(sum, k, aside)
          && allowed.test(k * df, alpha)) {
        most = sum[k];
        at = k;
      }
    }
    return at < 0
        ? null
        : new Place(
            new Term(alpha, 2 * Math.PI * at * df, false),
            most / Math.max(level.applyAsDouble(at * df), Double.MIN_NORMAL),
            most);
  }

  private static double[] sum(double[][] all) {
    double[] sum = all[0].clone();
    for (int t = 1; t < all.length; t++) {
      for (int k = 0; k < sum.length; k++) {
        sum[k] += all[t][k];
      }
    }
    return sum;
  }

  /** The skirts of a mode elsewhere, and the jump where a decay begins, have no peak. */
  private static boolean isPeak(double[] power, int k, int aside) {
    for (int i = Math.max(1, k - aside); i <= Math.min(power.length - 1, k + aside); i++) {
      if (power[i] > power[k]) {
        return false;
      }
    }
    int far = 3 * aside;
    return k - far < 1
        || power[k] > PROMINENT * power[k - far]
            && (k + far >= power.length || power[k] > PROMINENT * power[k + far]);
  }

  /** Power of each line through the window e^(−αt), over the window's energy. */
  private double[] power(double[] x, double alpha, int seen, int n, DoubleFFT_1D fft) {
    double[] a = new double[n];
    int m = Math.min(seen, x.length);
    double step = Math.exp(-alpha / spectra.fs);
    double w = 1;
    double energy = 0;
    for (int i = 0; i < m; i++) {
      a[i] = w * x[i];
      energy += w * w;
      w *= step;
    }
    fft.realForward(a);
    double[] power = new double[n / 2];
    for (int k = 1; k < n / 2; k++) {
      power[k] = (a[2 * k] * a[2 * k] + a[2 * k + 1] * a[2 * k + 1]) / energy;
    }
    return power;
  }

  /** Level of what is left over frequency, as variance of white noise: medians by octaves. */
  static DoubleUnaryOperator levelOf(double[][] left, double fs, double lowHz, double highHz) {
    double octaves = Math.log(highHz / lowHz) / Math.log(2);
    int bands = (int) Math.max(1, Math.floor(octaves));
    double[][] power = new double[left.length][];
    IntStream.range(0, left.length)
        .parallel()
        .forEach(
            t -> {
              double[] a = left[t].clone();
              new DoubleFFT_1D(a.length).realForward(a);
              power[t] = new double[a.length / 2];
              for (int k = 1; k < power[t].length; k++) {
                power[t][k] = (a[2 * k] * a[2 * k] + a[2 * k + 1] * a[2 * k + 1]) / a.length;
              }
            });
    double[] level = new double[bands];
    for (int b = 0; b < bands; b++) {
      double from = lowHz * Math.pow(highHz / lowHz, (double) b / bands);
      double to = lowHz * Math.pow(highHz / lowHz, (b + 1.0) / bands);
      double[] all =
          IntStream.range(0, left.length)
              .boxed()
              .flatMapToDouble(
                  t -> {
                    double df = fs / left[t].length;
                    int first = (int) Math.max(1, Math.ceil(from / df));
                    int end = (int) Math.min(power[t].length, Math.ceil(to / df));
                    return Arrays.stream(power[t], Math.min(first, end), end);
                  })
              .toArray();
      level[b] = all.length < 8 ? Double.NaN : DecayNoise.median(all) / Math.log(2);
    }
    for (int b = bands - 2; b >= 0; b--) {
      level[b] = Double.isNaN(level[b]) ? level[b + 1] : level[b];
    }
    double width = Math.log(highHz / lowHz) / bands;
    return hz -> {
      double place = Math.log(Math.max(hz, lowHz) / lowHz) / width - 0.5;
      int low = (int) Math.floor(place);
      double part = place - low;
      double a = level[Math.max(0, Math.min(bands - 1, low))];
      double b = level[Math.max(0, Math.min(bands - 1, low + 1))];
      double value = a + part * (b - a);
      return Double.isNaN(value) ? 0 : value;
    };
  }
}
