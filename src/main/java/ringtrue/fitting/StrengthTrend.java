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
 * average's modes, and lines are drawn through the results over the logarithm of the peak force,
 * over its root, over itself and over its square; the one that fits best counts.
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

  /** Laws by which a value may follow the force: powers of it, 0 for the logarithm. */
  private static final double[] POWERS = {0, 0.5, 1, 2};

  /** Over a power of the force one hard tap weighs much: without it this much has to be left. */
  private static final double CHANCE_WITHOUT_ONE = 0.01;

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
   * @param frequencyChance probability of such a slope by chance (Student's t, both sides), times
   *     the number of laws tried
   * @param evenly whether the frequency follows the logarithm of the force best: by as many hertz
   *     for each factor of two
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
      boolean evenly,
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
        points.add(new double[] {force, weight});
        good.add(results.get(i));
      }
    }
    double low = Arrays.stream(peakForceN).min().orElseThrow();
    double high = Arrays.stream(peakForceN).max().orElseThrow();
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
    Line frequency = Line.best(points, hz);
    Line damping = Line.best(points, zeta);
    Line even = Line.through(points, hz, 0);
    return new Trend(
        average.frequencyHz(),
        frequency.at(low),
        frequency.at(high),
        even.slope,
        even.slopeSigma,
        Math.min(1, POWERS.length * frequency.chance),
        frequency.power == 0,
        Math.max(0, damping.at(low)),
        Math.max(0, damping.at(high)),
        Math.min(1, POWERS.length * damping.chance));
  }

  /** A weighted straight line with the slope's error from the scatter about it. */
  private record Line(
      double power, double middle, double value, double slope, double slopeSigma, double chance) {

    /**
     * The line that leaves least to chance.
     *
     * @param force peak force, N, and weight
     */
    static Line best(List<double[]> force, double[] y) {
      Line best = through(force, y, 0);
      for (double power : POWERS) {
        Line line = through(force, y, power);
        if (line.chance < best.chance && (power == 0 || staysWithoutOne(force, y, power))) {
          best = line;
        }
      }
      return best;
    }

    /** Whether the slope is no work of the hardest tap alone. */
    private static boolean staysWithoutOne(List<double[]> force, double[] y, double power) {
      if (y.length <= FEWEST_TAPS) {
        return false;
      }
      int hardest = 0;
      for (int i = 1; i < y.length; i++) {
        hardest = force.get(i)[0] > force.get(hardest)[0] ? i : hardest;
      }
      int without = hardest;
      int[] others = IntStream.range(0, y.length).filter(i -> i != without).toArray();
      Line line =
          through(
              Arrays.stream(others).mapToObj(force::get).toList(),
              Arrays.stream(others).mapToDouble(i -> y[i]).toArray(),
              power);
      return line.chance < CHANCE_WITHOUT_ONE;
    }

    static Line through(List<double[]> force, double[] y, double power) {
      List<double[]> points =
          force.stream().map(f -> new double[] {abscissa(f[0], power), f[1]}).toList();
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
      return new Line(power, x, mean, slope, sigma, chance);
    }

    private static double abscissa(double forceN, double power) {
      return power == 0 ? Math.log(forceN) / Math.log(2) : Math.pow(forceN, power);
    }

    double at(double forceN) {
      return value + slope * (abscissa(forceN, power) - middle);
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
            .append(Sentence.hertz(t.hardestHz));
        if (t.evenly) {
          text.append(", ")
              .append(Sentence.digits(t.hertzPerDoubling, 3))
              .append(" Hz for each factor of two in force");
        }
      }
      if (damps) {
        text.append(moves ? ", and " : "")
            .append("its damping ratio from ")
            .append(Sentence.percent(t.lightestDamping))
            .append(" to ")
            .append(Sentence.percent(t.hardestDamping));
      }
      text.append(
          moves && t.hardestHz < t.lightestHz
              ? ". A loose joint does that: check clamping, and tap as hard as the cut will push."
              : ". A gap that closes or rubbing surfaces do that: check clamping and contacts.");
      remarks.add(text.toString());
    }
    return remarks;
  }
}
