package ringtrue.stability;

import java.util.Arrays;
import org.apache.commons.math3.linear.Array2DRowRealMatrix;
import org.apache.commons.math3.linear.LUDecomposition;
import org.jtransforms.fft.DoubleFFT_1D;

/**
 * What becomes of a small disturbance of the periodic motion: the modes, looked at once in each
 * period and subtracted from what they were one lag before. In the linear range the difference is
 * multiplied in each period as the disturbance itself is, so its growth, its turning (flip or Hopf)
 * and its frequency are those of linear theory.
 */
final class Chatter {
  /** Differences beyond this part of the largest chip are no longer called small. */
  static final double SMALL = 0.1;

  private static final int LONGEST = 200;

  /** One real multiplier explains the differences if this part at most is left. */
  private static final double REAL = 0.03;

  private static final int LARGEST_TRANSFORM = 1 << 16;

  /** Half the width of a line under the squared Hann window, in lines of the transform. */
  private static final double LOBE = 3.2;

  /** Power against the strongest line below which nothing is taken for a line. */
  private static final double FAINT = 1e-4;

  private final int size;
  private final int lag;
  private final double[] weights;
  private final double chipM;
  private double[] states = new double[1024];
  private double[] energy = new double[256];
  private double[] reach = new double[256];
  private int samples;

  /**
   * @param weights energy of a unit of each coordinate
   * @param lag periods between what is subtracted
   * @param chipM largest chip of the cut at rest, m
   */
  Chatter(double[] weights, int lag, double chipM) {
    this.size = weights.length;
    this.weights = weights;
    this.lag = lag;
    this.chipM = chipM;
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

  /** Whether the latest difference is smaller than some periods ago. */
  boolean falling(int periods) {
    int before = samples - 1 - periods;
    return before >= lag && energy[samples - 1] < energy[before];
  }

  /** Whether the latest difference is small against the chip. */
  boolean small() {
    return reachM() < SMALL * chipM;
  }

  /**
   * Number of the difference after the last of the linear range: where the disturbance, once small,
   * has left it.
   */
  int linearEnd() {
    int i = lag;
    while (i < samples && reach[i] > SMALL * chipM) {
      i++;
    }
    int begin = i;
    while (i < samples && reach[i] <= SMALL * chipM) {
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
    if (n < 2 || most == 0) {
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

  /**
   * Factor by which the differences up to an end have changed over their later two thirds, by the
   * slope of the logarithm over all of these: motion that keeps its size gives about one, however
   * long it was watched and however it swells and ebbs. NaN where there are fewer than four.
   */
  double change(int end) {
    int from = lag + (end - lag) / 3;
    int n = end - from;
    double least = Double.MIN_NORMAL;
    if (n < 2) {
      return Double.NaN;
    }
    double mean = (n - 1) / 2.0;
    double above = 0;
    double below = 0;
    for (int i = 0; i < n; i++) {
      above += (i - mean) * Math.log(Math.max(least, energy[from + i]));
      below += (i - mean) * (i - mean);
    }
    return Math.exp(above / below * n);
  }

  /**
   * Whether the latest samples repeat after two periods but not after one: the part of the spread
   * that is left in every second sample is small. For motion that is no longer small.
   */
  boolean everySecondAlike() {
    int n = Math.min(100, samples);
    double after1 = 0;
    double after2 = 0;
    int apart = lag % 2 == 0 ? lag : 2 * lag;
    for (int i = samples - n + apart; i < samples; i++) {
      for (int k = 0; k < 2 * size; k++) {
        double w = weights[k % size] * weights[k % size];
        double now = states[2 * size * i + k];
        double one = now - states[2 * size * (i - 1) + k];
        double two = now - states[2 * size * (i - apart) + k];
        after1 += w * one * one;
        after2 += w * two * two;
      }
    }
    return n > apart + 8 && after2 < 1e-3 * after1;
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

  /**
   * Frequency of the strongest line of a settled motion away from a comb.
   *
   * @param x velocity along the feed, evenly in time
   * @param y the same across it
   * @param stepS time between values, s
   * @param combHz lines at whole multiples of it are left out
   * @param halves only lines at its odd halves count, to which the answer is rounded
   * @return Hz; NaN if there is none with a ten-thousandth of the power of the strongest line
   */
  static double besideHz(double[] x, double[] y, double stepS, double combHz, boolean halves) {
    int n = x.length;
    if (n < 64) {
      return Double.NaN;
    }
    int padded = Integer.highestOneBit(4 * n - 1);
    double[] power = new double[padded / 2];
    DoubleFFT_1D transform = new DoubleFFT_1D(padded);
    for (double[] part : new double[][] {x, y}) {
      double[] values = new double[padded];
      for (int i = 0; i < n; i++) {
        double hann = 0.5 - 0.5 * Math.cos(2 * Math.PI * (i + 0.5) / n);
        values[i] = part[i] * hann * hann;
      }
      transform.realForward(values);
      for (int k = 1; k < padded / 2; k++) {
        power[k] += values[2 * k] * values[2 * k] + values[2 * k + 1] * values[2 * k + 1];
      }
    }
    double bin = 1 / (padded * stepS);
    double near = LOBE / (n * stepS);
    double most = 0;
    int best = 0;
    for (int k = (int) Math.ceil(near / bin); k < padded / 2 - 1; k++) {
      double hz = k * bin;
      double off = hz - combHz * Math.rint(hz / combHz);
      boolean counts = halves ? Math.abs(Math.abs(off) - combHz / 2) < near : Math.abs(off) > near;
      most = Math.max(most, power[k]);
      if (counts
          && power[k] >= power[k - 1]
          && power[k] >= power[k + 1]
          && (best == 0 || power[k] > power[best])) {
        best = k;
      }
    }
    if (best < 2 || power[best] < FAINT * most) {
      return Double.NaN;
    }
    double a = Math.log(power[best - 1]);
    double b = Math.log(power[best]);
    double c = Math.log(power[best + 1]);
    double off = 0.5 * (a - c) / (a - 2 * b + c);
    double hz = (best + (Double.isFinite(off) ? off : 0)) * bin;
    return halves ? (Math.floor(hz / combHz) + 0.5) * combHz : hz;
  }

  /** The two frequencies near a line that turn by an angle from period to period, nearest first. */
  static double[] aliases(double nearHz, double turningRad, double periodHz) {
    double[] both = new double[2];
    for (int i = 0; i < 2; i++) {
      double fraction = (i == 0 ? turningRad : -turningRad) / (2 * Math.PI);
      both[i] = (Math.rint(nearHz / periodHz - fraction) + fraction) * periodHz;
    }
    if (Math.abs(both[1] - nearHz) < Math.abs(both[0] - nearHz)) {
      return new double[] {both[1], both[0]};
    }
    if (Math.abs(both[1] - both[0]) < 1e-9 * periodHz) {
      both[1] = both[0];
    }
    return both;
  }

  /**
   * Which of two lines is the stronger, by least squares under a Hann window; they may lie closer
   * than a transform can part them.
   */
  static boolean firstIsStronger(
      double[] x, double[] y, double stepS, double growthPerStep, double[] hz) {
    int n = x.length;
    double[][] normal = new double[4][4];
    double[][] right = new double[4][2];
    double[] basis = new double[4];
    double scale = 1;
    for (int i = 0; i < n; i++) {
      double w = 0.5 - 0.5 * Math.cos(2 * Math.PI * (i + 0.5) / n);
      for (int f = 0; f < 2; f++) {
        double angle = 2 * Math.PI * hz[f] * i * stepS;
        basis[2 * f] = Math.cos(angle);
        basis[2 * f + 1] = Math.sin(angle);
      }
      for (int r = 0; r < 4; r++) {
        for (int c = 0; c < 4; c++) {
          normal[r][c] += w * basis[r] * basis[c];
        }
        right[r][0] += w * basis[r] * x[i] * scale;
        right[r][1] += w * basis[r] * y[i] * scale;
      }
      scale /= growthPerStep;
    }
    double[][] a =
        new LUDecomposition(new Array2DRowRealMatrix(normal), 0)
            .getSolver()
            .solve(new Array2DRowRealMatrix(right))
            .getData();
    double[] power = new double[2];
    for (int r = 0; r < 4; r++) {
      power[r / 2] += a[r][0] * a[r][0] + a[r][1] * a[r][1];
    }
    return power[0] >= power[1];
  }
}
