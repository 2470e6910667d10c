package ringtrue.signal;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;

/**
 * The band in which an averaged response can be used.
 *
 * <p>A line is good if the force spectrum is within the allowed drop of its low-frequency level
 * (the median of the lines up to 0.3/contact time, where a half-sine pulse is down by less than 1
 * dB), if the noise measured at rest explains less than 1 − minimum coherence of the response and
 * of the force, and, with two taps or more, if the coherence is above the minimum. Runs of good
 * lines grow together over gaps of up to a fifth of their frequency, since coherence dips at every
 * antiresonance; of the runs the one with the most coherent response is taken, together with others
 * that hold a tenth of its receptance or of its response and what lies between them.
 *
 * @param lowHz lowest usable frequency, Hz
 * @param highHz highest usable frequency, Hz
 * @param remark how it came about
 */
record UsableBand(double lowHz, double highHz, String remark) {

  private static final double GAP = 0.2;

  /** A stretch of fewer good lines may be chance. */
  private static final int SOLID_LINES = 8;

  /**
   * @param averages spectra
   * @param shape block
   * @param contactS typical contact time, s; NaN if unknown
   * @param forceNoise power that the force's noise at rest puts into each line of one tap, N²
   * @param responseNoise likewise for the response
   * @param derivatives how many times the response is the derivative of displacement
   * @param minCoherence smallest coherence
   * @param dropDb how far the force spectrum may drop, dB
   */
  static UsableBand of(
      Averages averages,
      BlockShape shape,
      double contactS,
      double forceNoise,
      double responseNoise,
      int derivatives,
      double minCoherence,
      double dropDb) {
    int lines = averages.lines();
    int taps = averages.taps();
    double df = shape.resolutionHz();
    double floor = lowLevel(i -> averages.sff[i], lines, df, contactS) * Math.pow(10, -dropDb / 10);
    int forceEnd = forceEnd(i -> averages.sff[i], lines, df, contactS, floor);
    double noisePart = 1 - minCoherence;
    boolean[] good = new boolean[lines];
    for (int i = 0; i < forceEnd; i++) {
      good[i] =
          averages.sff[i] >= floor
              && averages.sxx[i] > 0
              && taps * responseNoise <= noisePart * averages.sxx[i]
              && taps * forceNoise <= noisePart * averages.sff[i]
              && (taps < 2 || averages.coherence(i) > minCoherence);
    }
    List<Run> runs = runs(good, averages.sxx);
    Run best =
        runs.stream().max(Comparator.comparingDouble(Run::strength)).orElse(new Run(-1, -1, 0));
    int bestFrom = best.from;
    int bestTo = best.to;
    double compliance = largestCompliance(averages.sxx, best, derivatives);
    for (Run run : runs) {
      // Beyond a wide trough there may be another mode, measured as well as the strongest one.
      boolean counts =
          run.to - run.from + 1 >= SOLID_LINES
              && (run.strength > 0.01 * best.strength
                  || largestCompliance(averages.sxx, run, derivatives) > 0.01 * compliance);
      if (counts) {
        bestFrom = Math.min(bestFrom, run.from);
        bestTo = Math.max(bestTo, run.to);
      }
    }
    if (bestFrom < 0) {
      return new UsableBand(
          df,
          df,
          String.format(
              Locale.ROOT,
              "no usable band: at no frequency is the force spectrum within %.3g dB of its"
                  + " low-frequency level, above the noise, and the coherence above %.3g",
              dropDb,
              minCoherence));
    }
    double low = (bestFrom + 1) * df;
    double high = (bestTo + 1) * df;
    String upper =
        bestTo + 1 >= forceEnd
            ? (forceEnd == lines
                ? "above it the recording ends"
                : String.format(
                    Locale.ROOT,
                    "above it the force spectrum is more than %.3g dB below its low-frequency level",
                    dropDb))
            : taps < 2
                ? "above it the response is lost in the noise"
                : String.format(
                    Locale.ROOT, "above it the coherence stays below %.3g", minCoherence);
    String lower =
        bestFrom == 0
            ? "it begins at the first line"
            : "below it the noise at rest"
                + (taps < 2 ? "" : " or the coherence")
                + " leaves the receptance uncertain";
    return new UsableBand(
        low,
        high,
        String.format(
            Locale.ROOT,
            "usable band %.4g to %.4g Hz: %s; %s (dips of coherence up to a fifth of the frequency"
                + " wide are bridged)",
            low,
            high,
            lower,
            upper));
  }

  /** Good lines that hang together, first and last, and the response's power in them. */
  private record Run(int from, int to, double strength) {}

  private static List<Run> runs(boolean[] good, double[] power) {
    List<Run> runs = new ArrayList<>();
    int from = -1;
    int to = -1;
    double strength = 0;
    for (int i = 0; i <= good.length; i++) {
      boolean is = i < good.length && good[i];
      if (from >= 0 && (i == good.length || is && i - to > 1 && gap(to, i))) {
        runs.add(new Run(from, to, strength));
        from = -1;
      }
      if (is) {
        if (from < 0) {
          from = i;
          strength = 0;
        }
        to = i;
        strength += power[i];
      }
    }
    return runs;
  }

  /** Largest power of the displacement in a run, up to a factor that is the same for all lines. */
  private static double largestCompliance(double[] power, Run run, int derivatives) {
    double largest = 0;
    for (int i = Math.max(0, run.from); i <= run.to; i++) {
      largest = Math.max(largest, power[i] / Math.pow(i + 1, 2 * derivatives));
    }
    return largest;
  }

  private static boolean gap(int to, int from) {
    return from - to - 1 > Math.max(3, GAP * (to + from + 2) / 2);
  }

  /** Power of a force spectrum at line 1 + i. */
  @FunctionalInterface
  interface Power {
    double at(int i);
  }

  /**
   * Level of a force spectrum at low frequency.
   *
   * @param power |F|² of line 1 + i
   * @param lines number of lines
   * @param df line spacing, Hz
   * @param contactS contact time, s
   * @return the median up to 0.3/contact time, at least of three lines
   */
  static double lowLevel(Power power, int lines, double df, double contactS) {
    int n = lowLines(lines, df, contactS);
    double[] low = new double[Math.min(n, 201)];
    for (int i = 0; i < low.length; i++) {
      low[i] = power.at((int) ((long) i * n / low.length));
    }
    Arrays.sort(low);
    return low[low.length / 2];
  }

  private static int lowLines(int lines, double df, double contactS) {
    double top = Double.isNaN(contactS) ? 0.02 * lines : 0.3 / contactS / df;
    return (int) Math.max(Math.min(3, lines), Math.min(lines, top));
  }

  /**
   * Number of lines up to the one, above the low-frequency part, at which the force spectrum
   * smoothed over five lines first falls below a level.
   */
  static int forceEnd(Power power, int lines, double df, double contactS, double floor) {
    for (int i = lowLines(lines, df, contactS); i < lines; i++) {
      double sum = 0;
      int count = 0;
      for (int j = Math.max(0, i - 2); j <= Math.min(lines - 1, i + 2); j++) {
        sum += power.at(j);
        count++;
      }
      if (sum < floor * count) {
        return i;
      }
    }
    return lines;
  }
}
