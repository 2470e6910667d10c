package ringtrue.signal;

import java.io.IOException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import org.apache.commons.math3.linear.Array2DRowRealMatrix;
import org.apache.commons.math3.linear.ArrayRealVector;
import org.apache.commons.math3.linear.QRDecomposition;
import org.apache.commons.math3.linear.SingularMatrixException;
import org.jtransforms.fft.DoubleFFT_1D;
import ringtrue.acquisition.Recording;
import ringtrue.units.BadInputException;

/**
 * Full scale of an input from a voltage that is known from elsewhere: a sine whose RMS or peak was
 * read from a meter, or a direct voltage.
 *
 * <p>A sine is fitted to pieces of the recording, its frequency included (the four-parameter fit of
 * IEEE Std 1057), so that noise, hum and offset do not count; the scatter of the pieces gives the
 * uncertainty.
 *
 * @param fullScaleV volts that are recorded as 1
 * @param fullScaleSigmaV its standard deviation, that of the known voltage included, V
 * @param frequencyHz frequency of the sine; 0 for a direct voltage
 * @param amplitude what was recorded, peak of the sine or level, as a fraction of full scale
 * @param remarks what the user should know: hum, distortion, parts left out
 */
public record KnownVoltage(
    double fullScaleV,
    double fullScaleSigmaV,
    double frequencyHz,
    double amplitude,
    List<String> remarks) {

  /** How the known voltage is told. */
  public enum Kind {
    RMS("rms"),
    PEAK("peak"),
    DC("dc");

    private final String word;

    Kind(String word) {
      this.word = word;
    }

    /** The word used in options. */
    public String word() {
      return word;
    }
  }

  private static final double PIECE_S = 0.1;
  private static final double LONGEST_S = 60;
  private static final double CLIPPED = 1 - 0x1p-14;
  private static final int LEAST_PIECES = 5;
  private static final int ROUNDS = 6;
  private static final double SAME = 0.02;

  public KnownVoltage {
    remarks = List.copyOf(remarks);
  }

  /**
   * Finds the full scale.
   *
   * @param recording of the known voltage
   * @param channel counted from 1
   * @param volts the known voltage
   * @param kind what of it is known
   * @param relativeSigma relative one-sigma uncertainty of the known voltage; 0 if unknown
   * @throws BadInputException if the recording clips, is silent or holds no such voltage
   */
  public static KnownVoltage of(
      Recording recording, int channel, double volts, Kind kind, double relativeSigma)
      throws IOException {
    if (!(volts > 0) || Double.isInfinite(volts) || !(relativeSigma >= 0)) {
      throw new IllegalArgumentException("a known voltage must be positive, was " + volts);
    }
    if (channel < 1 || channel > recording.channels()) {
      throw new BadInputException(
          recording.name() + ": has no channel " + channel + "; it has " + recording.channels());
    }
    double rate = recording.sampleRateHz();
    double[] samples = samples(recording, channel);
    if (samples.length < LEAST_PIECES * PIECE_S * rate) {
      throw bad(recording, "too short; record two seconds or more of the known voltage");
    }
    long clipped = Arrays.stream(samples).filter(x -> Math.abs(x) >= CLIPPED).count();
    if (clipped > 0) {
      throw bad(
          recording,
          "clips ("
              + clipped
              + " samples at full scale); lower the voltage or the gain and record it again");
    }
    return kind == Kind.DC
        ? level(recording, samples, volts, relativeSigma)
        : sine(recording, samples, kind == Kind.RMS ? volts * Math.sqrt(2) : volts, relativeSigma);
  }

  private static double[] samples(Recording recording, int channel) throws IOException {
    int most = (int) Math.min(recording.frames(), LONGEST_S * recording.sampleRateHz());
    double[][] into = new double[recording.channels()][];
    into[channel - 1] = new double[most];
    try (Recording.Cursor cursor = recording.from(0)) {
      int done = 0;
      while (done < most) {
        int got = cursor.read(into, done, most - done);
        if (got == 0) {
          throw new IOException(recording.name() + " became shorter while it was read");
        }
        done += got;
      }
    }
    return into[channel - 1];
  }

  private static BadInputException bad(Recording recording, String what) {
    return new BadInputException(recording.name() + ": " + what);
  }

  private static KnownVoltage level(
      Recording recording, double[] samples, double volts, double relativeSigma) {
    // a tenth of a second holds whole periods of 50 and of 60 Hz
    int length = (int) Math.round(PIECE_S * recording.sampleRateHz());
    double[] means = new double[samples.length / length];
    double ripple = 0;
    for (int p = 0; p < means.length; p++) {
      double sum = 0;
      double squares = 0;
      for (int i = p * length; i < (p + 1) * length; i++) {
        sum += samples[i];
        squares += samples[i] * samples[i];
      }
      means[p] = sum / length;
      ripple += Math.max(0, squares / length - means[p] * means[p]);
    }
    double middle = Medians.of(means);
    ripple = Math.sqrt(ripple / means.length);
    if (Math.abs(middle) < 10 * ripple / Math.sqrt(length) || Math.abs(middle) < 1e-4) {
      throw bad(
          recording,
          "holds no direct voltage; most sound inputs do not pass it: use a sine and its rms");
    }
    Kept kept = Kept.of(means, Math.abs(middle));
    if (kept.values.length < LEAST_PIECES) {
      throw bad(
          recording,
          "the level does not stay; the input may not pass direct voltage: use a sine and its rms");
    }
    List<String> remarks = new ArrayList<>();
    kept.remark(remarks);
    double drift = kept.values[kept.values.length - 1] / kept.values[0] - 1;
    if (Math.abs(drift) > 0.002) {
      remarks.add(
          text(
              "the level drifts by %.2g %%: the source, or an input that does not pass direct"
                  + " voltage",
              drift * 100));
    }
    if (ripple > 0.01 * Math.abs(kept.mean)) {
      remarks.add(text("ripple or hum of %.2g %% (rms) on it", 100 * ripple / Math.abs(kept.mean)));
    }
    if (kept.mean < 0) {
      remarks.add("the input reads the other sign");
    }
    return result(volts, Math.abs(kept.mean), kept, relativeSigma, 0, remarks);
  }

  private static KnownVoltage result(
      double peakV,
      double amplitude,
      Kept kept,
      double relativeSigma,
      double frequencyHz,
      List<String> remarks) {
    double fullScale = peakV / amplitude;
    double sigma = fullScale * Math.hypot(kept.sigma / amplitude, relativeSigma);
    if (relativeSigma == 0) {
      remarks.add(
          "the uncertainty of the known voltage itself is not in this: add \"± 1 %\" or what the"
              + " meter's sheet says");
    }
    if (amplitude < 0.05) {
      remarks.add(
          text("only %.2g %% of full scale was used; a larger voltage is better", 100 * amplitude));
    }
    return new KnownVoltage(fullScale, sigma, frequencyHz, amplitude, remarks);
  }

  /** Pieces that are like the middle one. */
  private record Kept(double[] values, int leftOut, double mean, double sigma) {

    static Kept of(double[] all, double size) {
      double middle = Medians.of(all);
      double[] values =
          Arrays.stream(all).filter(v -> Math.abs(v - middle) <= SAME * size).toArray();
      double mean = Arrays.stream(values).average().orElse(middle);
      double squares = Arrays.stream(values).map(v -> (v - mean) * (v - mean)).sum();
      double n = Math.max(2, values.length);
      // neighbouring pieces drift together: the scatter is not divided by more than two
      double sigma = Math.sqrt(squares / (n - 1)) / Math.min(2, Math.sqrt(n));
      return new Kept(values, all.length - values.length, mean, sigma);
    }

    void remark(List<String> remarks) {
      int all = values.length + leftOut;
      if (leftOut > 2) {
        remarks.add(
            leftOut
                + " of "
                + all
                + " pieces were left out, since their level is another one: only the steady part"
                + " counts");
      }
    }
  }

  private static KnownVoltage sine(
      Recording recording, double[] samples, double peakV, double relativeSigma) {
    double rate = recording.sampleRateHz();
    double hz = strongest(samples, rate);
    if (!(hz > 2)) {
      throw bad(recording, "holds no sine; feed one of some 100 to 1000 Hz and record it again");
    }
    int length = (int) Math.ceil(Math.max(PIECE_S, 8 / hz) * rate);
    int pieces = samples.length / length;
    if (pieces < LEAST_PIECES) {
      throw bad(recording, text("too short for a sine of %.3g Hz; record it longer", hz));
    }
    double[] amplitudes = new double[pieces];
    double[] frequencies = new double[pieces];
    double[] rests = new double[pieces];
    for (int p = 0; p < pieces; p++) {
      SineFit fit = SineFit.of(samples, p * length, length, rate, hz);
      amplitudes[p] = fit.amplitude;
      frequencies[p] = fit.frequencyHz;
      rests[p] = fit.restRms;
    }
    Kept kept = Kept.of(amplitudes, Medians.of(amplitudes));
    double frequency = Medians.of(frequencies);
    double rest = Medians.of(rests) * Math.sqrt(2) / kept.mean;
    if (kept.values.length < LEAST_PIECES || rest > 0.3 || kept.mean < 1e-4) {
      throw bad(
          recording,
          "holds no steady sine; feed one of some 100 to 1000 Hz, set it to a voltage that the"
              + " meter shows, and record it again");
    }
    List<String> remarks = new ArrayList<>();
    kept.remark(remarks);
    impurities(samples, rate, frequency, kept.mean, remarks);
    return result(peakV, kept.mean, kept, relativeSigma, frequency, remarks);
  }

  /** Frequency of the strongest line of up to two seconds from the middle. */
  private static double strongest(double[] samples, double rate) {
    int n = Integer.highestOneBit((int) Math.min(samples.length, 2 * rate));
    int start = (samples.length - n) / 2;
    double mean = Arrays.stream(samples, start, start + n).average().orElse(0);
    double[] x = new double[n];
    for (int i = 0; i < n; i++) {
      double window = 0.5 - 0.5 * Math.cos(2 * Math.PI * i / n);
      x[i] = (samples[start + i] - mean) * window;
    }
    new DoubleFFT_1D(n).realForward(x);
    int best = 1;
    for (int k = 2; k < n / 2 - 1; k++) {
      if (power(x, k) > power(x, best)) {
        best = k;
      }
    }
    if (power(x, best) == 0) {
      return 0;
    }
    // parabola through the logarithms
    double left = Math.log(power(x, Math.max(1, best - 1)) + 1e-300);
    double top = Math.log(power(x, best));
    double right = Math.log(power(x, best + 1) + 1e-300);
    double bend = left - 2 * top + right;
    double shift = bend < 0 ? 0.5 * (left - right) / bend : 0;
    return (best + Math.max(-0.5, Math.min(0.5, shift))) * rate / n;
  }

  private static double power(double[] x, int k) {
    return x[2 * k] * x[2 * k] + x[2 * k + 1] * x[2 * k + 1];
  }

  /** A sine with offset and its own frequency, by repeated least squares. */
  private record SineFit(double amplitude, double frequencyHz, double restRms) {

    static SineFit of(double[] samples, int from, int length, double rate, double startHz) {
      double omega = 2 * Math.PI * startHz / rate;
      double[] u = {0, 0, 0, 0};
      for (int round = 0; round < ROUNDS; round++) {
        double[][] normal = new double[4][4];
        double[] right = new double[4];
        for (int i = 0; i < length; i++) {
          double t = i - 0.5 * (length - 1);
          double c = Math.cos(omega * t);
          double s = Math.sin(omega * t);
          double slope = round == 0 ? 0 : t * (u[1] * c - u[0] * s);
          double[] row = {c, s, 1, slope};
          for (int a = 0; a < 4; a++) {
            for (int b = 0; b < 4; b++) {
              normal[a][b] += row[a] * row[b];
            }
            right[a] += row[a] * samples[from + i];
          }
        }
        if (round == 0) {
          normal[3][3] = 1;
        }
        try {
          u =
              new QRDecomposition(new Array2DRowRealMatrix(normal, false))
                  .getSolver()
                  .solve(new ArrayRealVector(right, false))
                  .toArray();
        } catch (SingularMatrixException silent) {
          break;
        }
        if (round > 0) {
          // a step of more than a line is no improvement of a good start
          omega += Math.max(-1.0 / length, Math.min(1.0 / length, u[3]));
        }
      }
      double squares = 0;
      for (int i = 0; i < length; i++) {
        double t = i - 0.5 * (length - 1);
        double rest =
            samples[from + i] - u[0] * Math.cos(omega * t) - u[1] * Math.sin(omega * t) - u[2];
        squares += rest * rest;
      }
      return new SineFit(
          Math.hypot(u[0], u[1]), omega * rate / (2 * Math.PI), Math.sqrt(squares / length));
    }
  }

  /** Hum and harmonics, from the spectrum of the middle of the recording. */
  private static void impurities(
      double[] samples, double rate, double hz, double amplitude, List<String> remarks) {
    for (double mains : new double[] {50, 60}) {
      double hum = 0;
      boolean near = false;
      for (int h = 1; h <= 3; h++) {
        near |= Math.abs(hz - h * mains) < 2;
        if (Math.abs(hz - h * mains) > 4) {
          double part = lineAt(samples, rate, h * mains, hz) / amplitude;
          hum += part * part;
        }
      }
      if (near) {
        remarks.add(
            text(
                "the sine of %.4g Hz sits on the mains (%.0f Hz): hum cannot be told from it; take"
                    + " another frequency",
                hz, mains));
      } else if (Math.sqrt(hum) > 2e-3) {
        remarks.add(
            text(
                "hum of %.2g %% at %.0f Hz and its multiples: it does not count here, but it does"
                    + " in a meter's reading; look for an earth loop",
                100 * Math.sqrt(hum), mains));
      }
    }
    double distortion = 0;
    for (int h = 2; h <= 5 && h * hz < 0.45 * rate; h++) {
      double part = lineAt(samples, rate, h * hz, hz) / amplitude;
      distortion += part * part;
    }
    if (Math.sqrt(distortion) > 0.01) {
      remarks.add(
          text(
              "harmonics of %.2g %%: the source or the input's amplifier is overloaded, or it is no"
                  + " sine; a lower voltage tells",
              100 * Math.sqrt(distortion)));
    }
  }

  /** Amplitude at a frequency, by a Blackman window over a second; that of the sine away. */
  private static double lineAt(double[] samples, double rate, double hz, double sineHz) {
    int n = (int) Math.min(samples.length, rate);
    int start = (samples.length - n) / 2;
    SineFit main = SineFit.of(samples, start, n, rate, sineHz);
    double[] sums = new double[3];
    double[] fundamental = new double[2];
    double mainOmega = 2 * Math.PI * main.frequencyHz / rate;
    double omega = 2 * Math.PI * hz / rate;
    double cc = 0;
    double cs = 0;
    for (int i = 0; i < n; i++) {
      double place = 2 * Math.PI * (i + 0.5) / n;
      double window = 0.42 - 0.5 * Math.cos(place) + 0.08 * Math.cos(2 * place);
      double x = samples[start + i] * window;
      sums[0] += x * Math.cos(omega * i);
      sums[1] += x * Math.sin(omega * i);
      sums[2] += window;
      fundamental[0] += samples[start + i] * Math.cos(mainOmega * i) * window;
      fundamental[1] += samples[start + i] * Math.sin(mainOmega * i) * window;
      cc += window * Math.cos((omega - mainOmega) * i);
      cs += window * Math.sin((omega - mainOmega) * i);
    }
    // what leaks from the sine itself through the window
    double a = 2 * fundamental[0] / sums[2];
    double b = 2 * fundamental[1] / sums[2];
    double leakedCos = 0.5 * (a * cc - b * cs);
    double leakedSin = 0.5 * (a * cs + b * cc);
    return 2 * Math.hypot(sums[0] - leakedCos, sums[1] - leakedSin) / sums[2];
  }

  private static String text(String format, Object... values) {
    return String.format(Locale.ROOT, format, values);
  }
}
