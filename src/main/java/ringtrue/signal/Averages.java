package ringtrue.signal;

import java.util.Arrays;
import java.util.List;
import java.util.stream.IntStream;

/**
 * Spectra summed over taps, for the lines 1 to N/2 or a part of them: Sff, Sxx and Sfx = Σ conj(F)
 * X. Sums serve as well as means, since only their ratios are asked for.
 */
final class Averages {
  final double[] sff;
  final double[] sxx;
  final double[] sfxRe;
  final double[] sfxIm;
  private final int first;
  private int taps;

  /** All lines from the first one, fs/N, on. */
  Averages(int lines) {
    this(0, lines);
  }

  /**
   * @param first first line, counted from 0
   * @param lines how many
   */
  Averages(int first, int lines) {
    this.first = first;
    sff = new double[lines];
    sxx = new double[lines];
    sfxRe = new double[lines];
    sfxIm = new double[lines];
  }

  int lines() {
    return sff.length;
  }

  int taps() {
    return taps;
  }

  /** First line, counted from 0, which is fs/N. */
  int first() {
    return first;
  }

  /** Adds transformed taps, in their order, whatever the number of threads. */
  void add(List<BlockTransform> blocks) {
    int part = 4096;
    int parts = (sff.length + part - 1) / part;
    IntStream range = IntStream.range(0, parts);
    (parts > 4 ? range.parallel() : range)
        .forEach(
            p -> {
              int from = p * part;
              int to = Math.min(sff.length, from + part);
              for (BlockTransform block : blocks) {
                block.addTo(sff, sxx, sfxRe, sfxIm, first, first + from, first + to);
              }
            });
    taps += blocks.size();
  }

  /** Adds the sums of other taps, over the same lines, so many times. */
  void add(Averages other, int times) {
    for (int i = 0; i < sff.length; i++) {
      sff[i] += times * other.sff[i];
      sxx[i] += times * other.sxx[i];
      sfxRe[i] += times * other.sfxRe[i];
      sfxIm[i] += times * other.sfxIm[i];
    }
    taps += times * other.taps;
  }

  /** Takes a tap away again that was added before. */
  void remove(BlockTransform block) {
    taps--;
    if (taps == 0) {
      for (double[] sum : new double[][] {sff, sxx, sfxRe, sfxIm}) {
        Arrays.fill(sum, 0);
      }
      return;
    }
    Averages one = new Averages(first, sff.length);
    one.add(List.of(block));
    for (int i = 0; i < sff.length; i++) {
      sff[i] = Math.max(0, sff[i] - one.sff[i]);
      sxx[i] = Math.max(0, sxx[i] - one.sxx[i]);
      sfxRe[i] -= one.sfxRe[i];
      sfxIm[i] -= one.sfxIm[i];
    }
  }

  /** Ordinary coherence of line i (from 0), 0 to 1; 0 where there is no signal at all. */
  double coherence(int i) {
    double both = sff[i] * sxx[i];
    if (!(both > 0)) {
      return 0;
    }
    return Math.min(1, (sfxRe[i] * sfxRe[i] + sfxIm[i] * sfxIm[i]) / both);
  }

  /**
   * Response per force at line i in the sensor's own quantity.
   *
   * @param estimator which
   * @param into real and imaginary part; 0 where there is no force (H1, Hv) or nothing coherent
   *     (H2)
   */
  void ratio(Estimator estimator, int i, double[] into) {
    double re = sfxRe[i];
    double im = sfxIm[i];
    double scale =
        switch (estimator) {
          case H1 -> 1 / sff[i];
          // Sxx/Sxf, and Sxf is the conjugate of Sfx: Sxx Sfx/|Sfx|².
          case H2 -> sxx[i] / (re * re + im * im);
          case HV -> Math.sqrt(sxx[i] / sff[i] / (re * re + im * im));
        };
    boolean usable = Double.isFinite(scale);
    into[0] = usable ? re * scale : 0;
    into[1] = usable ? im * scale : 0;
  }
}
