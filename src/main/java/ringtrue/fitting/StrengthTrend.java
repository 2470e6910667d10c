package ringtrue.fitting;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.function.IntFunction;
import java.util.stream.IntStream;
import org.apache.commons.math3.distribution.TDistribution;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.Mode;

/**
 * Whether the modes depend on how hard the taps were: a linear structure's do not, a loose joint's
 * frequency falls and its damping rises with strength. Each tap is fitted by itself from the
 * average's modes, and a line drawn through the results over the logarithm of the peak force.
 *
 * @param lightestN peak force of the lightest tap, N
 * @param hardestN peak force of the hardest tap, N
 * @param modes one for each mode; empty where the taps cannot tell
 */
public record StrengthTrend(double lightestN, double hardestN, List<Trend> modes) {

  /** Below this ratio of hardest to lightest tap nothing can be said. */
  private static final double LEAST_RATIO = 1.25;

  /** A line, its slope's error and a few degrees of freedom need so many taps. */
  private static final int FEWEST_TAPS = 4;

  private static final int MOST_TAPS = 100;

  /** Chance of a false alarm in a measurement, over all its modes. */
  private static final double CHANCE = 1e-4;

  private static final double SMALLEST_SHIFT = 1e-3;
  private static final double SMALLEST_SHIFT_BANDWIDTHS = 0.1;
  private static final double SMALLEST_DAMPING_CHANGE = 0.1;

  /**
   * How a mode changes.
   *
   * @param averageHz natural frequency in the average, Hz
   * @param lightestHz frequency on the line at the lightest tap, Hz
   * @param hardestHz frequency on the line at the hardest tap, Hz
   * @param hertzPerDoubling change of frequency per factor two of force, Hz
   * @param hertzPerDoublingSigma one-sigma uncertainty of it, Hz
   * @param frequencyChance probability of such a slope by chance (Student's t, both sides)
   * @param lightestDamping damping ratio on the line at the lightest tap
   * @param hardestDamping damping ratio on the line at the hardest tap
   * @param dampingChance probability of such a slope by chance
   */
  public record Trend(
      double averageHz,
      double lightestHz,
      double hardestHz,
      double hertzPerDoubling,
      double hertzPerDoublingSigma,
      double frequencyChance,
      double lightestDamping,
      double hardestDamping,
      double dampingChance) {

    private boolean movesClearly(int modes) {
      double shift = Math.abs(hardestHz - lightestHz);
      double bandwidth = (lightestDamping + hardestDamping) * averageHz;
      return frequencyChance < CHANCE / (2 * modes)
          && shift > Math.min(SMALLEST_SHIFT * averageHz, SMALLEST_SHIFT_BANDWIDTHS * bandwidth);
    }

    private boolean dampingChangesClearly(int modes) {
      double change = Math.abs(hardestDamping - lightestDamping);
      return dampingChance < CHANCE / (2 * modes)
          && change > SMALLEST_DAMPING_CHANGE * Math.max(lightestDamping, hardestDamping);
    }
  }

  public StrengthTrend {
    modes = List.copyOf(modes);
  }

  /**
   * Fits the taps one by one.
   *
   * @param fitted modes of the average over all taps
   * @param all the response that they were fitted to, or the part of it in the fitted band
   * @param peakForceN peak force of each tap, N
   * @param tap response of one tap, of the same lines; called from several threads
   * @return without modes if there are fewer than four taps, if they are all about as strong, or if
   *     there are no modes
   */
  public static StrengthTrend of(
      FittedModes fitted,
      FrequencyResponse all,
      double[] peakForceN,
      IntFunction<FrequencyResponse> tap) {
    double lightest = Arrays.stream(peakForceN).min().orElse(Double.NaN);
    double hardest = Arrays.stream(peakForceN).max().orElse(Double.NaN);
    if (!canTell(peakForceN) || fitted.model().modes().isEmpty()) {
      return new StrengthTrend(lightest, hardest, List.of());
    }
    List<Trend> trends = trends(new TapRefit(fitted, all), peakForceN, tap);
    StrengthTrend found = new StrengthTrend(lightest, hardest, trends);
    if (found.remarks().isEmpty() && TapRefit.canMerge(fitted)) {
      // a mode that moves from tap to tap looks like several in the average
      trends = trends(new TapRefit(fitted, all, true), peakForceN, tap);
      StrengthTrend merged = new StrengthTrend(lightest, hardest, trends);
      return merged.remarks().isEmpty() ? found : merged;
    }
    return found;
  }

  private static List<Trend> trends(
      TapRefit refit, double[] peakForceN, IntFunction<FrequencyResponse> tap) {
    int[] chosen = chosen(peakForceN);
    List<List<Mode>> results =
        IntStream.of(chosen).parallel().mapToObj(t -> refit.of(tap.apply(t))).toList();
    List<double[]> points = new ArrayList<>();
    List<List<Mode>> good = new ArrayList<>();
    double middle = median(peakForceN);
    for (int i = 0; i < chosen.length; i++) {
      if (!results.get(i).isEmpty()) {
        double force = peakForceN[chosen[i]];
        // noise falls as the force rises, other scatter does not
        double weight = Math.min(1, (force / middle) * (force / middle));
        points.add(new double[] {Math.log(force) / Math.log(2), weight});
        good.add(results.get(i));
      }
    }
    double low = Math.log(Arrays.stream(peakForceN).min().orElseThrow()) / Math.log(2);
    double high = Math.log(Arrays.stream(peakForceN).max().orElseThrow()) / Math.log(2);
    List<Trend> trends = new ArrayList<>();
    List<Mode> average = refit.average();
    for (int j = 0; j < average.size() && good.size() >= FEWEST_TAPS; j++) {
      trends.add(trend(points, good, j, average.get(j), low, high));
    }
    return trends;
  }

  /** Whether taps of such peak forces can tell anything, N. */
  public static boolean canTell(double[] peakForceN) {
    if (peakForceN.length < FEWEST_TAPS) {
      return false;
    }
    double[] sorted = peakForceN.clone();
    Arrays.sort(sorted);
    return sorted[0] > 0 && sorted[sorted.length - 1] > LEAST_RATIO * sorted[0];
  }

  private static double median(double[] values) {
    double[] sorted = values.clone();
    Arrays.sort(sorted);
    return sorted[sorted.length / 2];
  }

  /** Taps of all strengths, if there are more than needed. */
  private static int[] chosen(double[] force) {
    int n = force.length;
    int[] byForce =
        IntStream.range(0, n)
            .boxed()
            .sorted(Comparator.comparingDouble(i -> force[i]))
            .mapToInt(Integer::intValue)
            .toArray();
    int count = Math.min(n, MOST_TAPS);
    int[] some = new int[count];
    for (int i = 0; i < count; i++) {
      some[i] = byForce[count == 1 ? 0 : (int) ((long) i * (n - 1) / (count - 1))];
    }
    return some;
  }

  private static Trend trend(
      List<double[]> points,
      List<List<Mode>> results,
      int j,
      Mode average,
      double low,
      double high) {
    double[] hz = results.stream().mapToDouble(r -> r.get(j).frequencyHz()).toArray();
    double[] zeta = results.stream().mapToDouble(r -> r.get(j).dampingRatio()).toArray();
    Line frequency = Line.through(points, hz);
    Line damping = Line.through(points, zeta);
    return new Trend(
        average.frequencyHz(),
        frequency.at(low),
        frequency.at(high),
        frequency.slope,
        frequency.slopeSigma,
        frequency.chance,
        Math.max(0, damping.at(low)),
        Math.max(0, damping.at(high)),
        damping.chance);
  }

  /** A weighted straight line with the slope's error from the scatter about it. */
  private record Line(double middle, double value, double slope, double slopeSigma, double chance) {

    static Line through(List<double[]> points, double[] y) {
      int n = y.length;
      double all = 0;
      double x = 0;
      double mean = 0;
      for (int i = 0; i < n; i++) {
        double w = points.get(i)[1];
        all += w;
        x += w * points.get(i)[0];
        mean += w * y[i];
      }
      x /= all;
      mean /= all;
      double xx = 0;
      double xy = 0;
      for (int i = 0; i < n; i++) {
        double w = points.get(i)[1];
        double d = points.get(i)[0] - x;
        xx += w * d * d;
        xy += w * d * (y[i] - mean);
      }
      double slope = xy / xx;
      double left = 0;
      for (int i = 0; i < n; i++) {
        double off = y[i] - mean - slope * (points.get(i)[0] - x);
        left += points.get(i)[1] * off * off;
      }
      double sigma = Math.sqrt(left / (n - 2) / xx);
      double t = sigma > 0 ? Math.abs(slope) / sigma : slope == 0 ? 0 : Double.POSITIVE_INFINITY;
      double chance =
          Double.isInfinite(t) ? 0 : 2 * new TDistribution(n - 2).cumulativeProbability(-t);
      return new Line(x, mean, slope, sigma, chance);
    }

    double at(double where) {
      return value + slope * (where - middle);
    }
  }

  /** What a reader of the modes should know; empty where they do not clearly change. */
  public List<String> remarks() {
    List<String> remarks = new ArrayList<>();
    for (Trend t : modes) {
      boolean moves = t.movesClearly(modes.size());
      boolean damps = t.dampingChangesClearly(modes.size());
      if (!moves && !damps) {
        continue;
      }
      StringBuilder text = new StringBuilder("The mode at ");
      text.append(Sentence.hertz(t.averageHz))
          .append(" depends on how hard the tap is, so it is not linear: from the lightest tap (")
          .append(Sentence.digits(lightestN, 3))
          .append(" N) to the hardest (")
          .append(Sentence.digits(hardestN, 3))
          .append(" N) ");
      if (moves) {
        text.append("its frequency goes from ")
            .append(Sentence.hertz(t.lightestHz))
            .append(" to ")
            .append(Sentence.hertz(t.hardestHz))
            .append(", ")
            .append(Sentence.digits(t.hertzPerDoubling, 3))
            .append(" Hz for each factor of two in force");
      }
      if (damps) {
        text.append(moves ? ", and " : "")
            .append("its damping ratio from ")
            .append(Sentence.percent(t.lightestDamping))
            .append(" to ")
            .append(Sentence.percent(t.hardestDamping));
      }
      text.append(
          moves && t.hertzPerDoubling < 0
              ? ". A loose joint does that: check clamping, and tap as hard as the cut will push."
              : ". A gap that closes or rubbing surfaces do that: check clamping and contacts.");
      remarks.add(text.toString());
    }
    return remarks;
  }
}
