package ringtrue.stability;

import java.util.Arrays;
import org.jtransforms.fft.DoubleFFT_1D;

/**
 * What becomes of a small disturbance of the periodic motion: the modes, looked at once in each
 * period and subtracted from what they were one lag before. In the linear range the difference is
 * multiplied in each period as the disturbance itself is, so its growth, its turning (flip or Hopf)
 * and its frequency are those of linear theory.
 */
final class Chatter {
  /** Differences beyond this part of the feed per tooth are no longer called small. */
  static final double SMALL = 0.25;

  private static final int LONGEST = 200;

  /** One real multiplier explains the differences if this part at most is left. */
  private static final double REAL = 0.03;

  private static final int LARGEST_TRANSFORM = 1 << 16;

  private final int size;
  private final int lag;
  private final double[] weights;
  private final double feedM;
  private double[] states = new double[1024];
  private double[] energy = new double[256];
  private double[] reach = new double[256];
  private int samples;

  /**
   * @param weights energy of a unit of each coordinate
   * @param lag periods between what is subtracted
   * @param feedM feed per tooth, m
   */
  Chatter(double[] weights, int lag, double feedM) {
    this.size = weights.length;
    this.weights = weights;
    this.lag = lag;
    this.feedM = feedM;
  }

  /** Looks at the modes. */
  void sample(double[] re, double[] im) {
    int first = 2 * size * samples;
    if (first + 2 * size > states.length) {
      states = Arrays.copyOf(states, Math.max(2 * states.length, first + 2 * size));
    }
    if (samples == energy.length) {
      energy = Arrays.copyOf(energy, 2 * samples);
      reach = Arrays.copyOf(reach, 2 * samples);
    }
    System.arraycopy(re, 0, states, first, size);
    System.arraycopy(im, 0, states, first + size, size);
    if (samples >= lag) {
      double sum = 0;
      double most = 0;
      for (int k = 0; k < size; k++) {
        double a = difference(samples, k);
        double b = difference(samples, size + k);
        sum += weights[k] * weights[k] * (a * a + b * b);
        most += Math.hypot(a, b);
      }
      energy[samples] = Math.sqrt(sum);
      reach[samples] = most;
    }
    samples++;
  }

  private double difference(int sample, int k) {
    return states[2 * size * sample + k] - states[2 * size * (sample - lag) + k];
  }

  int samples() {
    return samples;
  }

  /** Number of the first difference. */
  int first() {
    return lag;
  }

  /** Largest displacement in the latest difference, m. */
  double reachM() {
    return samples > lag ? reach[samples - 1] : 0;
  }

  /** Size of a difference against the largest so far; 0 where there is none. */
  double left() {
    double most = 0;
    for (int i = lag; i < samples; i++) {
      most = Math.max(most, energy[i]);
    }
    return most == 0 ? 0 : energy[samples - 1] / most;
  }

  /** Whether the latest difference is small against the feed. */
  boolean small() {
    return reachM() < SMALL * feedM;
  }

  /**
   * Number of the difference after the last of the linear range: where the disturbance, once small,
   * has left it.
   */
  int linearEnd() {
    int i = lag;
    while (i < samples && reach[i] > SMALL * feedM) {
      i++;
    }
    int begin = i;
    while (i < samples && reach[i] <= SMALL * feedM) {
      i++;
    }
    return i - begin >= 4 ? i : samples;
  }

  /**
   * Growth per period by the slope of the logarithm over the later two thirds of the differences up
   * to an end, at most 200; those that have died to rounding are left out. NaN where there are
   * fewer than four.
   */
  double growth(int end) {
    int last = end;
    double most = 0;
    for (int i = lag; i < last; i++) {
      most = Math.max(most, energy[i]);
    }
    while (last > lag && energy[last - 1] < 1e-8 * most) {
      last--;
    }
    int from = Math.max(lag + (last - lag) / 3, last - LONGEST);
    int n = last - from;
    if (n < 4 || most == 0) {
      return Double.NaN;
    }
    double mean = (n - 1) / 2.0;
    double above = 0;
    double below = 0;
    for (int i = 0; i < n; i++) {
      above += (i - mean) * Math.log(energy[from + i]);
      below += (i - mean) * (i - mean);
    }
    return Math.exp(above / below);
  }

  /** How the differences up to an end turn from period to period: 0 to π rad. */
  double turningRad(int end) {
    int from = Math.max(lag + 2, Math.max(end - 60, lag + (end - lag) / 2));
    double d11 = 0;
    double d12 = 0;
    double d22 = 0;
    double d01 = 0;
    double d02 = 0;
    double d00 = 0;
    for (int i = from; i < end; i++) {
      // each counts alike, however far the motion has grown
      double scale = 1 / Math.max(energy[i - 1], Double.MIN_NORMAL);
      for (int k = 0; k < 2 * size; k++) {
        double w = weights[k % size] * scale;
        double a = w * difference(i, k);
        double b = w * difference(i - 1, k);
        double c = w * difference(i - 2, k);
        d00 += a * a;
        d01 += a * b;
        d02 += a * c;
        d11 += b * b;
        d12 += b * c;
        d22 += c * c;
      }
    }
    double real = d01 / d11;
    if (d00 - real * d01 <= REAL * REAL * d00) {
      return real < 0 ? Math.PI : 0;
    }
    double det = d11 * d22 - d12 * d12;
    double p = (d01 * d22 - d02 * d12) / det;
    double q = (d02 * d11 - d01 * d12) / det;
    // μ² − p μ − q = 0
    double inside = p * p / 4 + q;
    if (inside >= 0) {
      double root = Math.sqrt(inside);
      return p / 2 + root > -(p / 2 - root) ? 0 : Math.PI;
    }
    return Math.atan2(Math.sqrt(-inside), p / 2);
  }

  /**
   * Frequency of the strongest line of a difference of motions.
   *
   * @param x difference of the displacements along the feed, evenly in time
   * @param y the same across it
   * @param stepS time between values, s
   * @param growthPerStep what it grows by in a step; taken out
   * @return Hz; NaN for none
   */
  static double strongestHz(double[] x, double[] y, double stepS, double growthPerStep) {
    int thin = 1 + (x.length - 1) / LARGEST_TRANSFORM;
    int n = x.length / thin;
    if (n < 16) {
      return Double.NaN;
    }
    int padded = Integer.highestOneBit(4 * n - 1);
    double[] power = new double[padded / 2];
    for (double[] part : new double[][] {x, y}) {
      double[] values = new double[padded];
      double scale = 1;
      double shrink = Math.pow(growthPerStep, -thin);
      for (int i = 0; i < n; i++) {
        double sum = 0;
        for (int l = 0; l < thin; l++) {
          sum += part[i * thin + l];
        }
        double window = 0.5 - 0.5 * Math.cos(2 * Math.PI * (i + 0.5) / n);
        values[i] = sum * scale * window;
        scale *= shrink;
      }
      new DoubleFFT_1D(padded).realForward(values);
      for (int k = 1; k < padded / 2; k++) {
        power[k] += values[2 * k] * values[2 * k] + values[2 * k + 1] * values[2 * k + 1];
      }
    }
    int best = 1;
    for (int k = 2; k < padded / 2 - 1; k++) {
      if (power[k] > power[best]) {
        best = k;
      }
    }
    if (!(power[best] > 0) || best < 2) {
      return Double.NaN;
    }
    double a = Math.log(power[best - 1]);
    double b = Math.log(power[best]);
    double c = Math.log(power[best + 1]);
    double off = 0.5 * (a - c) / (a - 2 * b + c);
    return (best + (Double.isFinite(off) ? off : 0)) / (padded * stepS * thin);
  }

  /** The frequency near a line that turns by an angle from period to period, Hz. */
  static double alias(double nearHz, double turningRad, double periodS) {
    double best = Double.NaN;
    double periods = nearHz * periodS;
    for (double part : new double[] {turningRad, -turningRad}) {
      double fraction = part / (2 * Math.PI);
      double hz = (Math.rint(periods - fraction) + fraction) / periodS;
      if (Double.isNaN(best) || Math.abs(hz - nearHz) < Math.abs(best - nearHz)) {
        best = hz;
      }
    }
    return best;
  }
}
