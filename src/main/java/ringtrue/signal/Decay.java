package ringtrue.signal;

import java.util.Arrays;
import java.util.List;
import org.jtransforms.fft.DoubleFFT_1D;

/**
 * How long a structure rings, read from the responses to a few taps.
 *
 * <p>Cutting a block off at time T changes the spectrum by that of the tail behind T. The energy of
 * that tail, as a part of the whole and in each third of an octave by itself, is what a block
 * length costs; a slow mode that is weak in acceleration counts as much as a loud one. Where the
 * noise hides the tail, its last visible decay rate is carried on; a weak mode that is lost in the
 * noise of the whole time is sought in its beginning.
 *
 * @param neededS time after the onset until what is left has fallen to {@link #SMALL} in every
 *     band, s; at most the time looked at
 * @param left amplitude left at the end of the time looked at, relative to the beginning, in the
 *     worst band
 */
record Decay(double neededS, double left) {

  /** Amplitude left that no longer matters: a tenth of a per cent, or seven time constants. */
  static final double SMALL = 1e-3;

  /** Tails behind T = 0, behind 1/1024, 1/512, … 1/2 of the time looked at, and behind 3/4. */
  private static final int STEPS = 12;

  /** Energy of a band has to stand this much above the noise to tell anything. */
  private static final double CLEAR = 100;

  /** A decay that is lost in noise is looked at again over half the time, if so many … */
  private static final int FEWEST_SAMPLES = 256;

  /** … samples and so many periods are in that. */
  private static final double PERIODS = 12;

  /** What three quarters of such a look have in common with half of it, at most. */
  private static final double CLEARLY_FALLING = 0.4;

  /**
   * @param responses stretches of equal length from the onset on, resting value 0
   * @param before the channel at rest before the first tap; may be empty
   * @param noise standard deviation at rest
   * @param sampleRateHz sample rate, Hz
   * @param lowHz lowest frequency that counts, Hz
   * @param highHz highest frequency that counts, Hz
   */
  static Decay of(
      List<double[]> responses,
      double[] before,
      double noise,
      double sampleRateHz,
      double lowHz,
      double highHz) {
    int length = responses.get(0).length;
    double df = sampleRateHz / Lengths.atLeast(length);
    double[] edgeHz = edges(Math.max(3 * df, Math.ceil(lowHz / df) * df), highHz);
    if (edgeHz.length < 2) {
      return new Decay(length / sampleRateHz, 0);
    }
    double[] needed = new double[responses.size()];
    double[] left = new double[responses.size()];
    double[] density = null;
    int bands = edgeHz.length - 1;
    boolean[][] lost = new boolean[responses.size()][bands];
    for (boolean[] of : lost) {
      Arrays.fill(of, true);
    }
    for (int look = length; look >= FEWEST_SAMPLES; look /= 2) {
      Stretch stretch = new Stretch(look, sampleRateHz, edgeHz);
      if (density == null) {
        density = noiseDensity(before, noise, sampleRateHz, stretch.df, stretch.edge);
      }
      boolean whole = look == length;
      for (int t = 0; t < needed.length; t++) {
        double[][] energy = stretch.energies(responses.get(t));
        for (int b = 0; b < bands; b++) {
          int lines = stretch.edge[b + 1] - stretch.edge[b];
          boolean fine = lines > 0 && (whole || look > PERIODS / edgeHz[b] * sampleRateHz);
          if (!fine || !lost[t][b]) {
            continue;
          }
          Band band = band(energy, b, stretch.cut, look, length, density[b] * lines, lines);
          lost[t][b] = band.lost;
          // what is lost in the noise of a longer look is not there at its end
          double most = whole ? length : Math.min(length, 8.0 * look);
          needed[t] = Math.max(needed[t], Math.min(band.needed, most));
          left[t] = Math.max(left[t], whole ? band.left : 0);
        }
      }
    }
    // One tap that bounced unnoticed must not decide.
    Arrays.sort(needed);
    Arrays.sort(left);
    return new Decay(needed[needed.length / 2] / sampleRateHz, left[left.length / 2]);
  }

  /** Edges of thirds of an octave, the last one cut short at the top. */
  private static double[] edges(double lowHz, double highHz) {
    if (!(highHz > lowHz)) {
      return new double[0];
    }
    int bands = (int) Math.ceil(3 * Math.log(highHz / lowHz) / Math.log(2));
    double[] edge = new double[bands + 1];
    for (int b = 0; b <= bands; b++) {
      edge[b] = Math.min(highHz, lowHz * Math.pow(2, b / 3.0));
    }
    return edge;
  }

  /** The beginning of a response, so long, and the energy of its tails in each band. */
  private static final class Stretch {
    final int length;
    final double df;
    final int[] edge;
    final int[] cut = new int[STEPS];
    private final DoubleFFT_1D fft;
    private final double[] buffer;

    Stretch(int length, double sampleRateHz, double[] edgeHz) {
      this.length = length;
      int n = Lengths.atLeast(length);
      fft = new DoubleFFT_1D(n);
      buffer = new double[n];
      df = sampleRateHz / n;
      edge = new int[edgeHz.length];
      for (int b = 0; b < edge.length; b++) {
        edge[b] = (int) Math.max(1, Math.min(n / 2.0, Math.round(edgeHz[b] / df)));
      }
      for (int j = 1; j < STEPS - 1; j++) {
        cut[j] = (int) Math.round(length * Math.pow(2, -(STEPS - 1 - j)));
      }
      // Half and three quarters: what both have in common with a longer tail tells the decay rate
      // although the tail itself is cut at the end.
      cut[STEPS - 2] = length / 2;
      cut[STEPS - 1] = length * 3 / 4;
    }

    double[][] energies(double[] response) {
      double[][] energy = new double[STEPS][edge.length - 1];
      for (int j = 0; j < STEPS; j++) {
        Arrays.fill(buffer, 0);
        System.arraycopy(response, cut[j], buffer, 0, length - cut[j]);
        fft.realForward(buffer);
        for (int b = 0; b + 1 < edge.length; b++) {
          energy[j][b] = energy(buffer, edge[b], edge[b + 1]);
        }
      }
      return energy;
    }
  }

  /**
   * What a band tells.
   *
   * @param needed samples until what is left is small
   * @param left amplitude left at the end
   * @param lost whether the noise hides the end of the decay
   */
  private record Band(double needed, double left, boolean lost) {}

  /**
   * @param length samples looked at
   * @param room samples there are, over which a decay is carried on
   */
  private static Band band(
      double[][] energy, int b, int[] cut, int length, int room, double noisePerSample, int lines) {
    double whole = energy[0][b] - noisePerSample * length;
    if (!(whole > CLEAR * noisePerSample * length)) {
      return new Band(0, 0, true);
    }
    // few lines scatter more
    double visible = length == room ? 2 : 2 + 6 / Math.sqrt(lines);
    double before = 1;
    int beforeCut = 0;
    double rate = 0;
    for (int j = 1; j < STEPS; j++) {
      double hidden = noisePerSample * (length - cut[j]);
      double tail = energy[j][b] - hidden;
      if (!(tail > visible * hidden)) {
        // The rest is in the noise: carry the last rate on, or the one that it takes to get there.
        double most = Math.sqrt((1 + visible) * hidden / whole);
        double atLeast = Math.log(before / most) / (cut[j] - beforeCut);
        return carriedOn(before, beforeCut, Math.max(rate, atLeast), room, true);
      }
      double amplitude = Math.sqrt(tail / whole);
      if (amplitude <= SMALL) {
        double part = Math.log(before / SMALL) / Math.log(before / amplitude);
        return new Band(beforeCut + part * (cut[j] - beforeCut), 0, false);
      }
      if (j == STEPS - 1) {
        double ratio =
            Math.min(0.5, tail / (energy[j - 1][b] - noisePerSample * (length - cut[j - 1])));
        if (length < room && ratio > CLEARLY_FALLING) {
          // a longer look tells more of what has hardly begun to fall here
          return new Band(0, 0, true);
        }
        // E(3/4)/E(1/2) = p/(1 + p), p the energy decay over a quarter of the length.
        double p = ratio / (1 - ratio);
        double untruncated = amplitude / Math.sqrt(Math.max(1e-12, 1 - p));
        double perSample = -Math.log(p) / (2 * (length / 4.0));
        return carriedOn(Math.min(1, untruncated), cut[j], perSample, room, false);
      }
      rate = Math.max(0, Math.log(before / amplitude) / (cut[j] - beforeCut));
      before = amplitude;
      beforeCut = cut[j];
    }
    throw new IllegalStateException("the last step returns");
  }

  private static Band carriedOn(
      double amplitude, int at, double ratePerSample, int length, boolean lost) {
    double leftAtEnd = amplitude * Math.exp(-ratePerSample * (length - at));
    if (leftAtEnd > SMALL) {
      return new Band(length, leftAtEnd, lost);
    }
    return new Band(at + Math.log(amplitude / SMALL) / ratePerSample, 0, lost);
  }

  private static double energy(double[] spectrum, int from, int to) {
    double sum = 0;
    for (int k = from; k < to; k++) {
      sum += spectrum[2 * k] * spectrum[2 * k] + spectrum[2 * k + 1] * spectrum[2 * k + 1];
    }
    return sum;
  }

  /** Noise power per line and sample of record, in each band. */
  private static double[] noiseDensity(
      double[] before, double noise, double sampleRateHz, double df, int[] edge) {
    int bands = edge.length - 1;
    double[] density = new double[bands];
    Arrays.fill(density, noise * noise);
    if (before.length < 64) {
      return density;
    }
    // A tapered stretch shows what lies in a band. A stretch cut off like the responses shows what
    // leaks into it besides, from mains hum above all. Whichever is more hides a decay.
    int n = Lengths.atMost(before.length);
    for (boolean tapered : new boolean[] {true, false}) {
      double[] seen = Arrays.copyOf(before, n);
      double power = 0;
      for (int i = 0; i < n; i++) {
        double weight = tapered ? 0.5 - 0.5 * Math.cos(2 * Math.PI * i / n) : 1;
        seen[i] *= weight;
        power += weight * weight;
      }
      new DoubleFFT_1D(n).realForward(seen);
      double dfBefore = sampleRateHz / n;
      for (int b = 0; b < bands; b++) {
        int from = (int) Math.max(1, Math.floor(edge[b] * df / dfBefore));
        int to = (int) Math.min(n / 2.0, Math.ceil(edge[b + 1] * df / dfBefore));
        if (to - from >= 3 || !tapered && to > from) {
          density[b] = Math.max(density[b], energy(seen, from, to) / (to - from) / power);
        }
      }
    }
    return density;
  }
}
