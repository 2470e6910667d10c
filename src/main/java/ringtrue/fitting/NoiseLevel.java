package ringtrue.fitting;

import java.util.Arrays;
import ringtrue.dynamics.FrequencyResponse;

/**
 * Noise of a response, line by line.
 *
 * <p>With two averages or more it comes from the relative error that goes with the coherence. That
 * error is itself known poorly (as chi-square with 2(n − 1) degrees of freedom for n averages), and
 * weights that follow its chance would follow the data's chance, so it is smoothed by a running
 * median over neighbouring lines. With a single tap the noise is what remains of the values after
 * fourth differences over the lines, which take out every smooth curve.
 */
final class NoiseLevel {
  /** Half the running median's longest window, lines. */
  private static final int HALF_WINDOW = 12;

  /** No measurement follows a linear modal model more closely than this part of its value. */
  private static final double CLOSEST = 3e-5;

  /** A line whose own error stands out of its neighbours' by this keeps its own: hum, for one. */
  private static final double STANDS_OUT = 4;

  private NoiseLevel() {}

  /**
   * @param from first line
   * @param to line after the last
   * @return one-sigma noise of real and imaginary part for each line, m/N, positive
   */
  static double[] of(FrequencyResponse response, int from, int to) {
    int n = to - from;
    double[] own = new double[n];
    double[] magnitude = new double[n];
    double largest = 0;
    boolean known = response.origin().averages() > 1;
    for (int i = 0; i < n; i++) {
      magnitude[i] = response.magnitude(from + i);
      largest = Math.max(largest, magnitude[i]);
      own[i] = response.relativeError(from + i) * magnitude[i];
      known &= Double.isFinite(own[i]);
    }
    double firstLine = response.frequencyHz(from) / response.resolutionHz();
    double[] sigma;
    if (known) {
      double correction = medianCorrection(response.origin().averages());
      for (int i = 0; i < n; i++) {
        own[i] *= correction;
      }
      sigma = runningMedian(own, firstLine);
      addScatter(sigma, own, magnitude);
      for (int i = 0; i < n; i++) {
        if (own[i] > STANDS_OUT * sigma[i]) {
          sigma[i] = own[i];
        }
      }
    } else {
      sigma = runningMedian(fromDifferences(response, from, to), firstLine);
    }
    // The tiny last term keeps exact zeros from weighing infinitely.
    double least = Math.max(1e-9 * largest, Double.MIN_NORMAL);
    for (int i = 0; i < n; i++) {
      sigma[i] = Math.max(Math.max(sigma[i], CLOSEST * magnitude[i]), least);
    }
    return sigma;
  }

  /**
   * From the median of estimated errors to the true error: the estimated variance is σ² χ²/(2n)
   * with 2(n − 1) degrees of freedom, and the median of χ² with ν is nearly ν(1 − 2/(9ν))³ (Wilson
   * and Hilferty 1931).
   */
  static double medianCorrection(int averages) {
    double freedom = 2.0 * (averages - 1);
    double median = freedom * Math.pow(1 - 2 / (9 * freedom), 3);
    return Math.sqrt(2 * averages / median);
  }

  /**
   * Error that goes with the value itself, as from taps that do not hit quite alike: at peaks that
   * are narrower than the median's window it would be lost.
   */
  private static void addScatter(double[] sigma, double[] own, double[] magnitude) {
    int n = sigma.length;
    double[] clear = new double[n];
    for (int i = 0; i < n; i++) {
      clear[i] = magnitude[i] / sigma[i];
    }
    int top = Math.min(n, Math.max(5, n / 50));
    double[] sorted = clear.clone();
    Arrays.sort(sorted);
    double limit = sorted[n - top];
    double[] squares = new double[top];
    int found = 0;
    for (int i = 0; i < n && found < top; i++) {
      if (clear[i] >= limit) {
        squares[found++] = (own[i] * own[i] - sigma[i] * sigma[i]) / (magnitude[i] * magnitude[i]);
      }
    }
    Arrays.sort(squares);
    double scatter = Math.sqrt(Math.max(0, squares[top / 2]));
    for (int i = 0; i < n; i++) {
      sigma[i] = Math.max(sigma[i], scatter * magnitude[i]);
    }
  }

  /**
   * Fourth differences (1, −4, 6, −4, 1)/√70 have the noise's variance for white noise; the median
   * of a complex value's magnitude is √(2 ln 2) σ.
   */
  private static double[] fromDifferences(FrequencyResponse response, int from, int to) {
    int n = to - from;
    double[] all = new double[n];
    for (int i = 2; i < n - 2; i++) {
      int k = from + i;
      double re =
          response.real(k - 2)
              - 4 * response.real(k - 1)
              + 6 * response.real(k)
              - 4 * response.real(k + 1)
              + response.real(k + 2);
      double im =
          response.imag(k - 2)
              - 4 * response.imag(k - 1)
              + 6 * response.imag(k)
              - 4 * response.imag(k + 1)
              + response.imag(k + 2);
      all[i] = Math.hypot(re, im) / Math.sqrt(70 * 2 * Math.log(2));
    }
    all[0] = all[2];
    all[1] = all[2];
    all[n - 1] = all[n - 3];
    all[n - 2] = all[n - 3];
    return all;
  }

  /**
   * Running median. The window shrinks towards low frequencies, where noise of an acceleration
   * sensor falls as 1/ω² within a few lines.
   */
  private static double[] runningMedian(double[] values, double firstLine) {
    int n = values.length;
    double[] smooth = new double[n];
    double[] window = new double[2 * HALF_WINDOW + 1];
    int from = 0;
    int to = 0;
    for (int i = 0; i < n; i++) {
      int half = (int) Math.max(3, Math.min(HALF_WINDOW, 0.15 * (firstLine + i)));
      int a = Math.max(0, i - half);
      int b = Math.min(n, i + half + 1);
      // the window is kept sorted while lines leave and come
      while (from < a) {
        int at = place(window, to - from, values[from]);
        System.arraycopy(window, at + 1, window, at, to - from - at - 1);
        from++;
      }
      while (to < b) {
        int at = place(window, to - from, values[to]);
        System.arraycopy(window, at, window, at + 1, to - from - at);
        window[at] = values[to];
        to++;
      }
      smooth[i] = window[(b - a - 1) / 2];
    }
    return smooth;
  }

  private static int place(double[] sorted, int length, double value) {
    int at = Arrays.binarySearch(sorted, 0, length, value);
    return at >= 0 ? at : -at - 1;
  }
}
