package ringtrue.signal;

import java.util.Arrays;
import org.jtransforms.fft.DoubleFFT_1D;

/**
 * Short spectra of a sound, one after the other, each of a frame of n samples, a quarter of a frame
 * apart. A sine of amplitude A gives A² at its line; noise gives its mean power times {@value
 * #NOISE_BINS} / (n/2).
 *
 * <p>The window is the four-term one of Blackman and Harris: what lies more than four lines beside
 * a tone is 92 dB below it (Harris 1978, Table I).
 */
final class SoundFrames {
  /** Half the width of the window's main lobe, in lines. */
  static final int LOBE = 4;

  /** Width of a line for noise: Harris 1978, Table I, 2.00. */
  static final double NOISE_BINS = 2.0044;

  /** Nothing above is looked at: cutters and their modes sing lower. */
  static final double TOP_HZ = 12_000;

  private static final double[] TERMS = {0.35875, -0.48829, 0.14128, -0.01168};
  private static final int HOPS = 4;

  private final double sampleRateHz;
  private final int size;
  private final int bins;
  private final float[][] power;

  private SoundFrames(double sampleRateHz, int size, int bins, float[][] power) {
    this.sampleRateHz = sampleRateHz;
    this.size = size;
    this.bins = bins;
    this.power = power;
  }

  /**
   * Transforms a stretch.
   *
   * @param samples the sound
   * @param from first sample
   * @param to end, exclusive
   * @param size samples of a frame, a power of two, not more than there are
   */
  static SoundFrames of(double[] samples, int from, int to, double sampleRateHz, int size) {
    int hop = size / HOPS;
    int count = (to - from - size) / hop + 1;
    int bins = (int) Math.min(size / 2.0, TOP_HZ / sampleRateHz * size);
    double[] window = window(size);
    double scale = 2 / Arrays.stream(window).sum();
    DoubleFFT_1D transform = new DoubleFFT_1D(size);
    double[] work = new double[size];
    float[][] power = new float[Math.max(0, count)][];
    for (int t = 0; t < power.length; t++) {
      int start = from + t * hop;
      for (int i = 0; i < size; i++) {
        work[i] = samples[start + i] * window[i];
      }
      transform.realForward(work);
      float[] p = new float[bins];
      for (int k = 1; k < bins; k++) {
        double re = scale * work[2 * k];
        double im = scale * work[2 * k + 1];
        p[k] = (float) (re * re + im * im);
      }
      power[t] = p;
    }
    return new SoundFrames(sampleRateHz, size, bins, power);
  }

  static double[] window(int size) {
    double[] w = new double[size];
    for (int i = 0; i < size; i++) {
      for (int j = 0; j < TERMS.length; j++) {
        w[i] += TERMS[j] * Math.cos(2 * Math.PI * j * i / size);
      }
    }
    return w;
  }

  /**
   * How many independent frames say as much as so many overlapping ones (Welch 1967, eq. (10) and
   * what follows): frames j steps apart share the part ρ(j) = (Σ w(i) w(i + jD) / Σ w²)² of their
   * scatter.
   */
  static double independent(int frames, int size) {
    double[] w = window(Math.min(size, 1024));
    double[] share = new double[HOPS];
    double all = 0;
    for (double v : w) {
      all += v * v;
    }
    double sum = 1;
    for (int j = 1; j < HOPS; j++) {
      double with = 0;
      for (int i = 0; i + j * w.length / HOPS < w.length; i++) {
        with += w[i] * w[i + j * w.length / HOPS];
      }
      share[j] = with / all * (with / all);
      sum += 2 * Math.max(0, 1 - (double) j / Math.max(1, frames)) * share[j];
    }
    return frames / sum;
  }

  double sampleRateHz() {
    return sampleRateHz;
  }

  int size() {
    return size;
  }

  int hop() {
    return size / HOPS;
  }

  int count() {
    return power.length;
  }

  int bins() {
    return bins;
  }

  /** Hz between lines. */
  double binHz() {
    return sampleRateHz / size;
  }

  /** The lines of a frame; not to be changed. */
  float[] frame(int t) {
    return power[t];
  }

  /** First sample of a frame, counted from the first of the stretch. */
  int start(int t) {
    return t * hop();
  }

  /** Middle of a frame, s from the first sample of the stretch. */
  double middleS(int t) {
    return (start(t) + size / 2.0) / sampleRateHz;
  }

  /**
   * Largest power at a frequency, of the lines within so many of it, with the top of a parabola
   * through logarithms.
   *
   * @param within how many lines beside it may hold the top
   * @param into the top's frequency, in lines, in {@code into[0]}; its power in {@code into[1]}
   */
  static void top(float[] p, double line, double within, double[] into) {
    int low = (int) Math.max(1, Math.ceil(line - within));
    int high = (int) Math.min(p.length - 2.0, Math.floor(line + within));
    if (high < low) {
      low = (int) Math.max(1, Math.min(p.length - 2.0, Math.rint(line)));
      high = low;
    }
    int best = low;
    for (int k = low + 1; k <= high; k++) {
      if (p[k] > p[best]) {
        best = k;
      }
    }
    double a = Math.log(p[best - 1] + 1e-40);
    double b = Math.log(p[best] + 1e-40);
    double c = Math.log(p[best + 1] + 1e-40);
    double bend = a - 2 * b + c;
    double off = bend < 0 && b >= a && b >= c ? 0.5 * (a - c) / bend : 0;
    into[0] = best + off;
    into[1] = Math.exp(b - 0.25 * (a - c) * off);
  }
}
