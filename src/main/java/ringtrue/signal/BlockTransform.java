package ringtrue.signal;

import org.jtransforms.fft.DoubleFFT_1D;
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
  private final DoubleFFT_1D fft;

  /** Force: recorded numbers, then N, then (from 0 to N+1) its spectrum as in {@link Averages}. */
  final double[] force;

  /** Response likewise, in the sensor's SI unit. */
  final double[] response;

  /**
   * @param forceWindow {@link BlockShape#force()}, shared between threads, not changed
   * @param exponential {@link BlockShape#exponential()}, or null for none
   */
  BlockTransform(
      BlockShape shape,
      Channel forceChannel,
      Channel responseChannel,
      double[] forceWindow,
      double[] exponential,
      DoubleFFT_1D fft) {
    this.shape = shape;
    this.forceChannel = forceChannel;
    this.responseChannel = responseChannel;
    this.forceWindow = forceWindow;
    this.exponential = exponential;
    this.fft = fft;
    this.force = new double[shape.samples() + 2];
    this.response = new double[shape.samples() + 2];
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

  /** SI values become spectra, windows included. */
  void transform() {
    int n = shape.samples();
    for (int i = 0; i < forceWindow.length; i++) {
      force[i] *= forceWindow[i];
    }
    for (int i = forceWindow.length; i < n; i++) {
      force[i] = 0;
    }
    if (exponential != null) {
      for (int i = 0; i < n; i++) {
        response[i] *= exponential[i];
      }
    }
    spectrum(force);
    spectrum(response);
  }

  private void spectrum(double[] values) {
    int n = shape.samples();
    fft.realForward(values);
    // The transform keeps the top line in place 1: its real part for an even length, its imaginary
    // part for an odd one. Either belongs into place n.
    values[n] = values[1];
    values[1] = 0;
    values[n + 1] = 0;
  }
}
