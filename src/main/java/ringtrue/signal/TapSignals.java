package ringtrue.signal;

import java.io.IOException;
import java.util.Arrays;
import java.util.Optional;
import org.jtransforms.fft.DoubleFFT_1D;
import ringtrue.acquisition.Channel;
import ringtrue.acquisition.Recording;
import ringtrue.acquisition.TapRecording;

/**
 * What the sensors gave around one tap, to be looked at: force and response in time, and the size
 * of the force's spectrum. Nothing is averaged, windowed or corrected here; the mean of what came
 * before the blow is taken off.
 *
 * @param tap its number, from 1
 * @param startS time of the first sample from the onset, s; negative
 * @param stepS time from one sample to the next, s
 * @param force N; empty without a force channel
 * @param response in the SI unit of its quantity
 * @param lineHz distance between two lines of the spectrum, Hz
 * @param spectrum size of the force's Fourier transform at each line from 0 on, N s; empty without
 *     a force channel
 */
public record TapSignals(
    int tap,
    double startS,
    double stepS,
    double[] force,
    double[] response,
    double lineHz,
    double[] spectrum) {
  private static final int LEAST = 16;

  /** Longest part of a block that is shown, s. */
  private static final double LONGEST_S = 2;

  /** Length of the force's spectrum, s: a blow is over long before. */
  private static final double BLOW_S = 0.05;

  private static final double BEFORE_S = 0.003;

  /** How many frames from the onset on are of use for a block of this length. */
  public static int frames(int block, double sampleRateHz) {
    return (int) Math.max(LEAST, Math.min(block, Math.round(LONGEST_S * sampleRateHz)));
  }

  /** The frame to begin with for a tap whose onset is known. */
  public static long first(long onsetFrame, double sampleRateHz) {
    return Math.max(0, onsetFrame - Math.round(BEFORE_S * sampleRateHz));
  }

  /**
   * From frames that came.
   *
   * @param tap its number
   * @param about what the channels mean
   * @param first frame that the numbers begin with, counted like the onset
   * @param onset frame of the onset
   * @param numbers frames one after the other, channel by channel within each
   * @param count frames
   */
  public static TapSignals of(
      int tap, TapRecording about, long first, long onset, double[] numbers, int count) {
    int channels = about.recordings().get(0).channels();
    double step = 1 / about.sampleRateHz();
    int before = (int) Math.max(1, Math.min(count, onset - first));
    double[] response = scaled(about.response(), numbers, channels, count, before);
    Optional<Channel> channel = about.force();
    double[] force =
        channel.isPresent()
            ? scaled(channel.get(), numbers, channels, count, before)
            : new double[0];
    int wanted = (int) Math.round(BLOW_S / step);
    int n = Lengths.atMost(Math.max(LEAST, Math.min(count, wanted)));
    boolean enough = force.length >= n;
    return new TapSignals(
        tap,
        (first - onset) * step,
        step,
        force,
        response,
        1 / (n * step),
        enough ? spectrum(force, n, step) : new double[0]);
  }

  /**
   * Reads a tap out of a recording.
   *
   * @param about what is measured
   * @param tap tells recording and onset
   * @param blockS length of its block, s
   * @throws IOException if it cannot be read
   */
  public static TapSignals read(TapRecording about, Tap tap, double blockS) throws IOException {
    Recording from =
        about.recordings().stream()
            .filter(r -> r.name().equals(tap.recording()))
            .findFirst()
            .orElse(about.recordings().get(0));
    double fs = about.sampleRateHz();
    long onset = Math.min(from.frames(), Math.round(tap.onsetS() * fs));
    long first = first(onset, fs);
    int block = (int) Math.min(Integer.MAX_VALUE, Math.round(blockS * fs));
    int count = (int) Math.min(frames(block, fs), from.frames() - first);
    double[][] split = new double[from.channels()][count];
    int got = 0;
    try (Recording.Cursor cursor = from.from(first)) {
      for (int n = 1; got < count && n > 0; got += n) {
        n = cursor.read(split, got, count - got);
      }
    }
    double[] frames = new double[got * from.channels()];
    for (int i = 0; i < got; i++) {
      for (int c = 0; c < from.channels(); c++) {
        frames[i * from.channels() + c] = split[c][i];
      }
    }
    return of(tap.number(), about, first, onset, frames, got);
  }

  private static double[] scaled(Channel channel, double[] numbers, int step, int n, int before) {
    double[] all = new double[n];
    double rest = 0;
    for (int i = 0; i < n; i++) {
      all[i] = numbers[i * step + channel.number() - 1] * channel.scale();
      if (i < before) {
        rest += all[i] / before;
      }
    }
    for (int i = 0; i < n; i++) {
      all[i] -= rest;
    }
    return all;
  }

  /** F(f) = Δt |Σ f(n) exp(−2πi kn/N)|, of a piece that holds the whole blow. */
  private static double[] spectrum(double[] force, int n, double step) {
    DoubleFFT_1D fft = new DoubleFFT_1D(n);
    double[] full = Arrays.copyOf(Arrays.copyOf(force, n), 2 * n);
    fft.realForwardFull(full);
    double[] size = new double[n / 2];
    for (int k = 0; k < size.length; k++) {
      size[k] = step * Math.hypot(full[2 * k], full[2 * k + 1]);
    }
    return size;
  }
}
