package ringtrue.signal;

import java.util.Arrays;
import java.util.List;

/**
 * Errors of an average that neighbouring lines share: taps differ in gain where the hammer is not
 * held alike, and noise in a short force window is smooth over frequency. Averaging over lines does
 * not lower them. They come from how the taps scatter about their mean in stretches of the
 * spectrum. Immutable.
 */
public final class SharedError {

  /** Half width of a stretch, as a part of its middle. */
  private static final double HALF_WIDTH = 0.15;

  private static final int LEAST_GROUPS = 2;
  private static final double NEXT_STRETCH = 1.15;

  private final double[] hz;
  private final double[] gainVariance;
  private final double[] phaseVariance;
  private final double meanFactor;

  private SharedError(
      double[] hz, double[] gainVariance, double[] phaseVariance, double meanFactor) {
    this.hz = hz;
    this.gainVariance = gainVariance;
    this.phaseVariance = phaseVariance;
    this.meanFactor = meanFactor;
  }

  /**
   * @param taps kept taps
   * @param groupHz width of their groups of lines, Hz
   */
  static SharedError of(List<JudgedTap> taps, double groupHz) {
    List<JudgedTap> known = taps.stream().filter(t -> t.signature != null).toList();
    int n = known.size();
    if (n < 2) {
      return new SharedError(new double[0], new double[0], new double[0], Double.NaN);
    }
    int groups = known.get(0).forceEnergy.length;
    double[] energy = new double[groups];
    double[] mean = new double[2 * groups];
    double all = 0;
    double squares = 0;
    for (JudgedTap tap : known) {
      double own = 0;
      for (int g = 0; g < groups; g++) {
        double e = tap.forceEnergy[g];
        energy[g] += e;
        mean[2 * g] += e * tap.signature[2 * g];
        mean[2 * g + 1] += e * tap.signature[2 * g + 1];
        own += e;
      }
      all += own;
      squares += own * own;
    }
    for (int g = 0; g < groups; g++) {
      mean[2 * g] /= energy[g] > 0 ? energy[g] : 1;
      mean[2 * g + 1] /= energy[g] > 0 ? energy[g] : 1;
    }
    double[] hz = new double[groups];
    double[] gain = new double[groups];
    double[] phase = new double[groups];
    int count = 0;
    for (double middle = LEAST_GROUPS;
        middle < groups;
        middle = Math.max(middle + 1, middle * NEXT_STRETCH)) {
      double half = Math.max(LEAST_GROUPS, HALF_WIDTH * middle);
      int from = (int) Math.max(0, middle - half);
      int to = (int) Math.min(groups, middle + half + 1);
      double[] variance = variance(known, energy, mean, from, to);
      hz[count] = (middle + 0.5) * groupHz;
      gain[count] = variance[0];
      phase[count] = variance[1];
      count++;
    }
    return new SharedError(
        Arrays.copyOf(hz, count),
        Arrays.copyOf(gain, count),
        Arrays.copyOf(phase, count),
        all > 0 ? Math.sqrt(squares) / all : Double.NaN);
  }

  /** Variance over the taps of the real and of the imaginary part of their ratio to the mean. */
  private static double[] variance(
      List<JudgedTap> taps, double[] energy, double[] mean, int from, int to) {
    int n = taps.size();
    double[] re = new double[n];
    double[] im = new double[n];
    for (int t = 0; t < n; t++) {
      double[] h = taps.get(t).signature;
      double size = 0;
      for (int g = from; g < to; g++) {
        double mr = mean[2 * g];
        double mi = mean[2 * g + 1];
        re[t] += energy[g] * (mr * h[2 * g] + mi * h[2 * g + 1]);
        im[t] += energy[g] * (mr * h[2 * g + 1] - mi * h[2 * g]);
        size += energy[g] * (mr * mr + mi * mi);
      }
      re[t] = size > 0 ? re[t] / size : 1;
      im[t] = size > 0 ? im[t] / size : 0;
    }
    return new double[] {variance(re), variance(im)};
  }

  private static double variance(double[] values) {
    double mean = Arrays.stream(values).average().orElse(0);
    double sum = 0;
    for (double v : values) {
      sum += (v - mean) * (v - mean);
    }
    return sum / (values.length - 1);
  }

  /**
   * Relative one-sigma error of the average's magnitude around a frequency, NaN for a single tap.
   */
  public double gain(double atHz) {
    return meanFactor * Math.sqrt(at(gainVariance, atHz));
  }

  /** One-sigma error of the average's phase around a frequency, rad; NaN for a single tap. */
  public double phaseRad(double atHz) {
    return meanFactor * Math.sqrt(at(phaseVariance, atHz));
  }

  /** Relative variance of a single tap's value around a frequency; 0 where unknown. */
  double variance(double atHz) {
    return hz.length == 0 ? 0 : at(gainVariance, atHz) + at(phaseVariance, atHz);
  }

  private double at(double[] values, double atHz) {
    if (hz.length == 0) {
      return Double.NaN;
    }
    int above = Arrays.binarySearch(hz, atHz);
    above = above >= 0 ? above : -above - 1;
    if (above == 0 || above == hz.length) {
      return values[Math.min(above, hz.length - 1)];
    }
    double part = (atHz - hz[above - 1]) / (hz[above] - hz[above - 1]);
    return values[above - 1] + part * (values[above] - values[above - 1]);
  }
}
