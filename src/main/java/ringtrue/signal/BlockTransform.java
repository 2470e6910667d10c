package ringtrue.signal;

import java.util.Arrays;
import ringtrue.acquisition.Channel;

/**
 * One block on its way from recorded numbers to two spectra. Holds its own buffers; one object per
 * thread.
 */
final class BlockTransform {
  private final BlockShape shape;
  private final Channel forceChannel;
  private final Channel responseChannel;
  private final double[] forceWindow;
  private final double[] exponential;
  private final SplitFft fft;
  private double forcePart;
  private double responsePart;

  /** Force: recorded numbers, then N, then the real part of both spectra in one. */
  final double[] force;

  /** Response likewise, in the sensor's SI unit, then the imaginary part. */
  final double[] response;

  /**
   * @param forceWindow {@link BlockShape#force()}, shared between threads, not changed
   * @param exponential {@link BlockShape#exponential()}, or null for none
   * @param plan for the block's length
   */
  BlockTransform(
      BlockShape shape,
      Channel forceChannel,
      Channel responseChannel,
      double[] forceWindow,
      double[] exponential,
      SplitFft.Plan plan) {
    this.shape = shape;
    this.forceChannel = forceChannel;
    this.responseChannel = responseChannel;
    this.forceWindow = forceWindow;
    this.exponential = exponential;
    this.fft = new SplitFft(plan);
    this.force = new double[shape.samples()];
    this.response = new double[shape.samples()];
  }

  /**
   * Recorded numbers become SI values, at rest 0; a known high-pass is undone.
   *
   * @param forceRest resting force, N; NaN to take it from the block's pre-trigger part
   * @param responseRest resting response likewise
   */
  void convert(double forceRest, double responseRest) {
    toSi(force, forceChannel, forceRest);
    toSi(response, responseChannel, responseRest);
  }

  private void toSi(double[] values, Channel channel, double knownRest) {
    int n = shape.samples();
    double scale = channel.scale();
    int resting = shape.restingSamples();
    double rest = knownRest;
    if (Double.isNaN(rest)) {
      rest = resting > 0 ? mean(values, resting) * scale : 0;
    }
    for (int i = 0; i < n; i++) {
      values[i] = values[i] * scale - rest;
    }
    if (channel.highPassHz() > 0) {
      HighPassInverse.apply(values, n, channel.highPassHz(), shape.sampleRateHz());
      if (resting > 0) {
        double still = mean(values, resting);
        for (int i = 0; i < n; i++) {
          values[i] -= still;
        }
      }
    }
  }

  private static double mean(double[] values, int n) {
    double sum = 0;
    for (int i = 0; i < n; i++) {
      sum += values[i];
    }
    return sum / n;
  }

  /**
   * SI values become spectra, windows included. One transform does both channels, force as real and
   * response as imaginary part; the response is first brought to the size of the force (by a power
   * of two, which rounds nothing), so that neither disturbs the other by more than its own
   * rounding.
   */
  void transform() {
    int n = shape.samples();
    for (int i = 0; i < forceWindow.length; i++) {
      force[i] *= forceWindow[i];
    }
    Arrays.fill(force, forceWindow.length, n, 0);
    if (exponential != null) {
      for (int i = 0; i < n; i++) {
        response[i] *= exponential[i];
      }
    }
    double forceEnergy = energy(force, forceWindow.length);
    double responseEnergy = energy(response, n);
    double scale = 1;
    if (forceEnergy > 0 && responseEnergy > 0) {
      int difference = Math.getExponent(forceEnergy) - Math.getExponent(responseEnergy);
      scale = Math.scalb(1.0, difference / 2);
      for (int i = 0; i < n; i++) {
        response[i] *= scale;
      }
    }
    forcePart = forceEnergy > 0 ? 0.5 : 0;
    responsePart = responseEnergy > 0 ? 0.5 / scale : 0;
    fft.transform(force, response);
  }

  /** Σ v², in two sums side by side: one alone would wait for itself at every step. */
  private static double energy(double[] values, int n) {
    double a = 0;
    double b = 0;
    int i = 0;
    for (; i + 1 < n; i += 2) {
      a += values[i] * values[i];
      b += values[i + 1] * values[i + 1];
    }
    if (i < n) {
      a += values[i] * values[i];
    }
    return a + b;
  }

  /** |F|² at line i (from 0, which is fs/N), after {@link #transform}. */
  double forcePower(int i) {
    int k = i + 1;
    int m = shape.samples() - k;
    double re = forcePart * (force[k] + force[m]);
    double im = forcePart * (response[k] - response[m]);
    return re * re + im * im;
  }

  /**
   * Adds |F|², |X|² and conj(F) X of lines from to to − 1 to sums that begin at line first, after
   * {@link #transform}. With f and x real, Z = F + i s X gives F(k) = (Z(k) + conj Z(N−k))/2 and s
   * X(k) = (Z(k) − conj Z(N−k))/2i.
   */
  void addTo(
      double[] sff, double[] sxx, double[] sfxRe, double[] sfxIm, int first, int from, int to) {
    double[] re = force;
    double[] im = response;
    int n = shape.samples();
    for (int i = from; i < to; i++) {
      double rk = re[i + 1];
      double ik = im[i + 1];
      double rm = re[n - 1 - i];
      double jm = im[n - 1 - i];
      double fr = forcePart * (rk + rm);
      double fi = forcePart * (ik - jm);
      double xr = responsePart * (ik + jm);
      double xi = responsePart * (rm - rk);
      int at = i - first;
      sff[at] += fr * fr + fi * fi;
      sxx[at] += xr * xr + xi * xi;
      sfxRe[at] += fr * xr + fi * xi;
      sfxIm[at] += fr * xi - fi * xr;
    }
  }

  /**
   * Sums over lines from to to − 1: real and imaginary part of Σ conj(F) X, and Σ |F|².
   *
   * @param sums three numbers, replaced
   */
  void sums(int from, int to, double[] sums) {
    double[] re = force;
    double[] im = response;
    int n = shape.samples();
    double real = 0;
    double imag = 0;
    double power = 0;
    for (int i = from; i < to; i++) {
      double rk = re[i + 1];
      double ik = im[i + 1];
      double rm = re[n - 1 - i];
      double jm = im[n - 1 - i];
      double fr = forcePart * (rk + rm);
      double fi = forcePart * (ik - jm);
      double xr = responsePart * (ik + jm);
      double xi = responsePart * (rm - rk);
      real += fr * xr + fi * xi;
      imag += fr * xi - fi * xr;
      power += fr * fr + fi * fi;
    }
    sums[0] = real;
    sums[1] = imag;
    sums[2] = power;
  }
}
