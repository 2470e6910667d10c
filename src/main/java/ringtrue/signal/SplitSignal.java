package ringtrue.signal;

import java.io.IOException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import org.jtransforms.fft.DoubleFFT_1D;
import ringtrue.acquisition.Recording;
import ringtrue.units.BadInputException;

/**
 * How two channels differ that record one and the same signal, split to both: how much later the
 * second is sampled, and how much larger it reads. Any signal does that has enough frequencies:
 * taps, noise, speech.
 *
 * <p>The cross spectrum of overlapping Hann blocks has the phase ωτ for a channel sampled τ later.
 * Each line counts by its coherence γ², its phase having the variance (1 − γ²)/(2γ²n) for n blocks
 * (Bendat and Piersol, Random Data, 4th ed. 2010, ch. 9); a term in 1/ω takes up unequal AC
 * coupling. Whole samples are found first, by the peak of the cross correlation of evenly weighted
 * lines, and taken off; what is left moves the second channel's window.
 *
 * @param skewS how much later the second channel is sampled than the first, s; positive if its
 *     sample n was taken later
 * @param skewSigmaS its standard deviation, s
 * @param gainRatio what the second reads where the first reads 1
 * @param gainSigma its standard deviation
 * @param reversed whether the second has the other sign
 * @param lowHz lowest frequency used
 * @param highHz highest frequency used
 * @param largestPhaseDeg largest mean deviation from a pure delay over a third of an octave
 * @param largestGain largest relative deviation of the ratio over a third of an octave
 * @param remarks what the user should know
 */
public record SplitSignal(
    double skewS,
    double skewSigmaS,
    double gainRatio,
    double gainSigma,
    boolean reversed,
    double lowHz,
    double highHz,
    double largestPhaseDeg,
    double largestGain,
    List<String> remarks) {

  private static final double LEAST_COHERENCE = 0.8;
  private static final double CLOSEST = 1e-9;
  private static final int LEAST_BLOCKS = 8;
  private static final int LEAST_LINES = 20;
  private static final double THIRD = Math.cbrt(2);

  /** Neighbouring lines share noise, as wide as the window's noise bandwidth, in lines. */
  private static final double HANN_LINES = 1.5;

  public SplitSignal {
    remarks = List.copyOf(remarks);
  }

  /**
   * Compares two channels.
   *
   * @param recording holds the split signal
   * @param first channel that counts as right, from 1
   * @param second channel that is compared with it
   * @throws BadInputException if the channels do not hold the same signal, or too little of it
   */
  public static SplitSignal of(Recording recording, int first, int second) throws IOException {
    for (int channel : new int[] {first, second}) {
      if (channel < 1 || channel > recording.channels()) {
        throw new BadInputException(
            recording.name()
                + ": has "
                + recording.channels()
                + (recording.channels() == 1 ? " channel" : " channels")
                + ", channel "
                + channel
                + " was asked for");
      }
    }
    if (first == second) {
      throw new BadInputException("two different channels are needed, not twice " + first);
    }
    double rate = recording.sampleRateHz();
    int n = blockLength(rate, recording.frames(), recording.name());
    Spectra coarse = new Spectra(n).of(recording, first, second, 0, 0);
    if (!(coarse.clipped < 0.01 * recording.frames())) {
      throw new BadInputException(
          recording.name() + ": the signal clips; turn it down and record it again");
    }
    int lag = coarse.lag(recording.name());
    Spectra fine = lag == 0 ? coarse : new Spectra(n).of(recording, first, second, lag, 0);
    double rest = new Fit(recording.name(), fine, rate, lag).result().skewS * rate - lag;
    Spectra finest = new Spectra(n).of(recording, first, second, lag, rest);
    return new Fit(recording.name(), finest, rate, lag).result();
  }

  private static int blockLength(double rate, long frames, String name) {
    int n = 1024;
    while (n < rate / 12) {
      n *= 2;
    }
    while (n > 256 && frames < (LEAST_BLOCKS + 1) * n / 2) {
      n /= 2;
    }
    if (frames < (LEAST_BLOCKS + 1) * n / 2) {
      throw new BadInputException(
          name + ": too short (" + frames + " frames); record a second or more");
    }
    return n;
  }

  /** Auto and cross spectra. */
  private static final class Spectra {
    final int n;
    final double[] xx;
    final double[] yy;
    final double[] re;
    final double[] im;
    int blocks;
    long clipped;

    Spectra(int n) {
      this.n = n;
      xx = new double[n / 2];
      yy = new double[n / 2];
      re = new double[n / 2];
      im = new double[n / 2];
    }

    /**
     * Adds up all blocks.
     *
     * @param lag frames by which the first channel is read later
     * @param rest what is left of the delay, in frames; the second channel's window moves with it,
     *     since a window at another place of a tap changes its size
     */
    Spectra of(Recording recording, int first, int second, int lag, double rest)
        throws IOException {
      DoubleFFT_1D fft = new DoubleFFT_1D(n);
      double[] window = hann(0);
      double[] moved = hann(rest);
      double[][] a = new double[recording.channels()][];
      double[][] b = new double[recording.channels()][];
      a[first - 1] = new double[n];
      b[second - 1] = new double[n];
      double[] x = new double[n];
      double[] y = new double[n];
      long last = recording.frames() - Math.abs(lag) - n;
      try (Recording.Cursor atA = recording.from(Math.max(0, lag));
          Recording.Cursor atB = recording.from(Math.max(0, -lag))) {
        fill(atA, a, n / 2, n / 2);
        fill(atB, b, n / 2, n / 2);
        for (long start = 0; start <= last; start += n / 2) {
          shift(atA, a, first - 1);
          shift(atB, b, second - 1);
          clipped += clips(a[first - 1], n / 2) + clips(b[second - 1], n / 2);
          windowed(a[first - 1], window, x);
          windowed(b[second - 1], moved, y);
          fft.realForward(x);
          fft.realForward(y);
          for (int k = 1; k < n / 2; k++) {
            double xr = x[2 * k];
            double xi = x[2 * k + 1];
            double yr = y[2 * k];
            double yi = y[2 * k + 1];
            xx[k] += xr * xr + xi * xi;
            yy[k] += yr * yr + yi * yi;
            re[k] += xr * yr + xi * yi;
            im[k] += xr * yi - xi * yr;
          }
          blocks++;
        }
      }
      return this;
    }

    private double[] hann(double later) {
      double[] window = new double[n];
      for (int i = 0; i < n; i++) {
        window[i] = 0.5 - 0.5 * Math.cos(2 * Math.PI * (i + 0.5 + later) / n);
      }
      return window;
    }

    private void shift(Recording.Cursor cursor, double[][] into, int channel) throws IOException {
      System.arraycopy(into[channel], n / 2, into[channel], 0, n / 2);
      fill(cursor, into, n / 2, n / 2);
    }

    private static void fill(Recording.Cursor cursor, double[][] into, int offset, int frames)
        throws IOException {
      int done = 0;
      while (done < frames) {
        int got = cursor.read(into, offset + done, frames - done);
        if (got == 0) {
          throw new IOException("the recording became shorter while it was read");
        }
        done += got;
      }
    }

    private static int clips(double[] samples, int from) {
      int count = 0;
      for (int i = from; i < samples.length; i++) {
        count += Math.abs(samples[i]) >= 1 - 0x1p-14 ? 1 : 0;
      }
      return count;
    }

    /** Windowed, rest level taken off. */
    private static void windowed(double[] samples, double[] window, double[] into) {
      double mean = Arrays.stream(samples).average().orElse(0);
      for (int i = 0; i < window.length; i++) {
        into[i] = (samples[i] - mean) * window[i];
      }
    }

    double coherence(int k) {
      double power = xx[k] * yy[k];
      return power > 0 ? Math.min(1, (re[k] * re[k] + im[k] * im[k]) / power) : 0;
    }

    /** Whole samples by which the second channel is sampled later, from coherent lines. */
    int lag(String name) {
      if (Arrays.stream(xx).sum() == 0 || Arrays.stream(yy).sum() == 0) {
        throw new BadInputException(name + ": a channel is silent; split one signal to both");
      }
      double[] z = new double[2 * n];
      int good = 0;
      for (int k = 2; k < n / 2; k++) {
        double size = Math.hypot(re[k], im[k]);
        double coherence = coherence(k);
        // a few blocks look coherent by chance
        if (size > 0 && coherence > Math.max(0.1, 4.0 / blocks)) {
          z[2 * k] = coherence * re[k] / size;
          z[2 * k + 1] = coherence * im[k] / size;
          good++;
        }
      }
      if (good < LEAST_LINES) {
        throw notTheSame(name);
      }
      new DoubleFFT_1D(n).complexInverse(z, false);
      int best = 0;
      for (int i = 0; i < n; i++) {
        if (Math.hypot(z[2 * i], z[2 * i + 1]) > Math.hypot(z[2 * best], z[2 * best + 1])) {
          best = i;
        }
      }
      // the peak of a channel that is sampled later lies at a negative shift
      return best > n / 2 ? n - best : -best;
    }
  }

  private static BadInputException notTheSame(String name) {
    return new BadInputException(
        name
            + ": the two channels do not hold the same signal; split one signal to both inputs and"
            + " record it louder");
  }

  /** Delay and ratio from the spectra of channels that are alike to a sample. */
  private static final class Fit {
    final String name;
    final Spectra s;
    final double rate;
    final int lag;
    final double effective;
    final List<Integer> lines = new ArrayList<>();
    double sign = 1;

    Fit(String name, Spectra s, double rate, int lag) {
      this.name = name;
      this.s = s;
      this.rate = rate;
      this.lag = lag;
      // Hann blocks that overlap by half are nearly independent (Welch 1967)
      this.effective = 0.95 * s.blocks;
      for (int k = 2; k < 0.45 * s.n; k++) {
        if (s.coherence(k) > LEAST_COHERENCE) {
          lines.add(k);
        }
      }
      if (lines.size() < LEAST_LINES) {
        throw notTheSame(name);
      }
    }

    private double weight(int k) {
      double c = s.coherence(k);
      return 1 / ((1 - c) / (2 * c * effective) + CLOSEST);
    }

    private double omega(int k) {
      return 2 * Math.PI * k * rate / s.n;
    }

    SplitSignal result() {
      double balance = 0;
      for (int k : lines) {
        balance += weight(k) * s.re[k] / Math.hypot(s.re[k], s.im[k]);
      }
      sign = balance < 0 ? -1 : 1;
      double[][] normal = new double[2][2];
      double[] right = new double[2];
      for (int k : lines) {
        double[] shape = shape(k);
        for (int i = 0; i < 2; i++) {
          for (int j = 0; j < 2; j++) {
            normal[i][j] += weight(k) * shape[i] * shape[j];
          }
          right[i] += weight(k) * shape[i] * phase(k);
        }
      }
      double det = normal[0][0] * normal[1][1] - normal[0][1] * normal[1][0];
      boolean wide = det > 1e-3 * normal[0][0] * normal[1][1];
      double delay =
          wide
              ? (right[0] * normal[1][1] - right[1] * normal[0][1]) / det
              : right[0] / normal[0][0];
      double coupling = wide ? (right[1] * normal[0][0] - right[0] * normal[1][0]) / det : 0;
      double variance = wide ? normal[1][1] / det : 1 / normal[0][0];
      double phaseScatter = scatter(k -> phase(k) - delay * shape(k)[0] - coupling * shape(k)[1]);
      double gain = mean(this::logRatio);
      double gainScatter = scatter(k -> logRatio(k) - gain);
      double weights = lines.stream().mapToDouble(this::weight).sum();
      double top = omega(s.n / 2);
      double sigma = Math.sqrt(variance * HANN_LINES * phaseScatter) / top;
      double ratio = Math.exp(gain);
      double ratioSigma = ratio * Math.sqrt(HANN_LINES * gainScatter / weights);
      double skew = delay / top + lag / rate;
      double worstPhase = Math.toDegrees(largest(k -> phase(k) - delay * shape(k)[0]));
      double worstGain = largest(k -> logRatio(k) - gain);
      return new SplitSignal(
          skew,
          sigma,
          ratio,
          ratioSigma,
          sign < 0,
          lines.get(0) * rate / s.n,
          lines.get(lines.size() - 1) * rate / s.n,
          worstPhase,
          worstGain,
          remarks(skew, ratio, worstPhase, worstGain));
    }

    /** Frequency as a part of half the rate, and its inverse. */
    private double[] shape(int k) {
      double part = 2.0 * k / s.n;
      return new double[] {part, 0.01 / part};
    }

    private double phase(int k) {
      return Math.atan2(sign * s.im[k], sign * s.re[k]);
    }

    private double logRatio(int k) {
      return 0.5 * Math.log(s.yy[k] / s.xx[k]);
    }

    private interface Line {
      double at(int k);
    }

    private double mean(Line value) {
      double sum = 0;
      double weights = 0;
      for (int k : lines) {
        sum += weight(k) * value.at(k);
        weights += weight(k);
      }
      return sum / weights;
    }

    /** Variance over what the coherence says; at least 1, since that is a bound from below. */
    private double scatter(Line off) {
      double sum = 0;
      for (int k : lines) {
        sum += weight(k) * off.at(k) * off.at(k);
      }
      return Math.max(1, sum / Math.max(1, lines.size() - 2));
    }

    /** Largest mean over a third of an octave. */
    private double largest(Line off) {
      double worst = 0;
      int at = 0;
      while (at < lines.size()) {
        double end = lines.get(at) * THIRD;
        double sum = 0;
        double weights = 0;
        for (; at < lines.size() && lines.get(at) <= end; at++) {
          sum += weight(lines.get(at)) * off.at(lines.get(at));
          weights += weight(lines.get(at));
        }
        worst = Math.max(worst, Math.abs(sum / weights));
      }
      return worst;
    }

    private List<String> remarks(double skew, double ratio, double phaseDeg, double gain) {
      List<String> remarks = new ArrayList<>();
      if (sign < 0) {
        remarks.add(
            "the second channel has the other sign: a plug or an input is wired the other way"
                + " round");
      }
      if (s.clipped > 0) {
        remarks.add(s.clipped + " samples clip; turn the signal down for a better answer");
      }
      if (Math.abs(skew) > 0.01) {
        remarks.add(
            text(
                "%.4g ms is more than two channels of one device differ by: are they one device?",
                skew * 1e3));
      }
      if (phaseDeg > 1) {
        remarks.add(
            text(
                "the phase strays by up to %.2g degrees from that of a pure delay: the inputs have"
                    + " different filters or AC coupling",
                phaseDeg));
      }
      if (gain > 0.01) {
        remarks.add(
            text(
                "the ratio strays by up to %.2g %% over frequency: the inputs have different"
                    + " filters, or one of them is loaded",
                gain * 100));
      }
      if (Math.abs(Math.log(ratio)) > Math.log(1.05)) {
        remarks.add(
            text(
                "the second channel reads %.4g times the first: set the gains alike, or give each"
                    + " channel its own full scale",
                ratio));
      }
      return remarks;
    }
  }

  private static String text(String format, Object... values) {
    return String.format(Locale.ROOT, format, values);
  }
}
