package ringtrue.fitting;

import java.util.Arrays;
import java.util.List;
import java.util.stream.IntStream;
import org.jtransforms.fft.DoubleFFT_1D;
import ringtrue.dynamics.FreeDecays;

/**
 * Free decays from where the blow is over, in time and as discrete Fourier transforms of their own
 * length, together with the noise.
 *
 * <p>At its own lines the transform of a decay that is cut off after N samples, {@code Σ R zⁿ, n =
 * 0…N−1}, is exactly {@code R(1 − z^N)/(1 − z e^(−iω))}: no leakage has to be allowed for.
 */
final class DecaySpectra {
  final double fs;
  final int[] samples;
  final double[][] time;
  final double[][] re;
  final double[][] im;
  final double[] slowPoles;
  private final DecayNoise noise;

  /**
   * @param decays responses from the onset on
   * @param skipS what to leave out at the beginning of each, s
   */
  DecaySpectra(FreeDecays decays, double skipS) {
    this(decays, skipS, Double.POSITIVE_INFINITY, DecayNoise.of(decays));
  }

  /**
   * @param fromS where each decay begins after its onset, s
   * @param toS where it ends at the latest, s
   */
  DecaySpectra(FreeDecays decays, double fromS, double toS, DecayNoise noise) {
    this.fs = decays.sampleRateHz();
    this.noise = noise;
    this.slowPoles = decays.slowPoles().stream().mapToDouble(Double::doubleValue).toArray();
    int taps = decays.taps().size();
    samples = new int[taps];
    time = new double[taps][];
    re = new double[taps][];
    im = new double[taps][];
    int skip = (int) Math.ceil(fromS * fs - 1e-9);
    IntStream.range(0, taps)
        .parallel()
        .forEach(
            t -> {
              FreeDecays.Stretch all = decays.taps().get(t);
              int end = (int) Math.min(all.size(), Math.ceil(toS * fs));
              int n = quick(Math.max(8, end - skip));
              int from = Math.min(skip, Math.max(0, end - n));
              time[t] = Arrays.copyOf(all.copy(from, Math.min(end, from + n)), n);
              samples[t] = n;
              transform(t);
            });
  }

  /** The same taps with other samples. */
  private DecaySpectra(DecaySpectra like, double[][] other) {
    this.fs = like.fs;
    this.noise = like.noise;
    this.slowPoles = like.slowPoles;
    this.samples = like.samples;
    this.time = other;
    this.re = new double[other.length][];
    this.im = new double[other.length][];
    IntStream.range(0, other.length).parallel().forEach(this::transform);
  }

  DecaySpectra with(double[][] other) {
    return new DecaySpectra(this, other);
  }

  private void transform(int t) {
    int n = samples[t];
    double[] a = time[t].clone();
    new DoubleFFT_1D(n).realForward(a);
    re[t] = new double[n / 2];
    im[t] = new double[n / 2];
    for (int k = 1; k < n / 2; k++) {
      re[t][k] = a[2 * k];
      im[t][k] = a[2 * k + 1];
    }
    re[t][0] = a[0];
  }

  int taps() {
    return samples.length;
  }

  DecayNoise noise() {
    return noise;
  }

  int longest() {
    return Arrays.stream(samples).max().orElse(0);
  }

  int shortest() {
    return Arrays.stream(samples).min().orElse(0);
  }

  /** Line spacing of the longest decay, Hz. */
  double spacingHz() {
    return fs / longest();
  }

  /** Largest even length of at most n that transforms quickly; n itself, made even, if short. */
  static int quick(int n) {
    int m = n - (n & 1);
    if (m < 400) {
      return m;
    }
    while (true) {
      int rest = m;
      for (int p : new int[] {2, 3, 5}) {
        while (rest % p == 0) {
          rest /= p;
        }
      }
      if (rest == 1) {
        return m;
      }
      m -= 2;
    }
  }

  /** Lines of one tap inside some bands, rising. */
  int[] lines(int tap, List<double[]> bandsHz) {
    double df = fs / samples[tap];
    int most = samples[tap] / 2;
    return IntStream.range(1, most)
        .filter(
            k -> {
              double f = k * df;
              for (double[] b : bandsHz) {
                if (f >= b[0] && f <= b[1]) {
                  return true;
                }
              }
              return false;
            })
        .toArray();
  }
}
