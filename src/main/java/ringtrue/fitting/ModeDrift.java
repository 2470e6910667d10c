package ringtrue.fitting;

import java.util.ArrayList;
import java.util.List;
import java.util.function.ToDoubleFunction;
import org.apache.commons.math3.distribution.NormalDistribution;
import org.apache.commons.math3.distribution.TDistribution;
import ringtrue.dynamics.Mode;

/**
 * How one mode moved through the history of a set-up.
 *
 * @param track the mode in each measurement
 * @param frequency change of the natural frequency
 * @param damping change of the damping ratio
 * @param stiffness change of the stiffness
 */
public record ModeDrift(
    ModeTracks.Track track, Change frequency, Change damping, Change stiffness) {

  /** Fewest measurements whose scatter about a straight line says something. */
  public static final int FEWEST_FOR_TREND = 4;

  /**
   * Change of a value.
   *
   * @param sinceFirst last over first, less 1; NaN with one measurement
   * @param sigma one sigma of it by the two measurements alone, re-clamping left out; NaN where
   *     unknown
   * @param perDay slope of the logarithm by least squares, 1/day; NaN with fewer than four
   *     measurements or no time between them
   * @param perDaySigma one sigma of the slope by the scatter about the line, re-clamping included
   * @param chance chance of a slope as large without any drift (Student's t, two-sided); NaN where
   *     there is no slope
   */
  public record Change(
      double sinceFirst, double sigma, double perDay, double perDaySigma, double chance) {

    /** Whether the slope is more than scatter would show once in a hundred times. */
    public boolean isTrend() {
      return chance < 0.01;
    }

    /** Chance of a change since the first as large by the measurements' own errors alone. */
    public double chanceSinceFirst() {
      return Double.isNaN(sigma) || !(sigma > 0)
          ? Double.NaN
          : 2 * new NormalDistribution().cumulativeProbability(-Math.abs(sinceFirst) / sigma);
    }
  }

  /**
   * @param track the mode in each measurement
   * @param days when each was taken, in days from any start
   */
  public static ModeDrift of(ModeTracks.Track track, List<Double> days) {
    if (days.size() != track.modes().size()) {
      throw new IllegalArgumentException(
          days.size() + " times for " + track.modes().size() + " measurements");
    }
    return new ModeDrift(
        track,
        change(track, days, Mode::frequencyHz, Mode::frequencyHzSigma),
        change(track, days, Mode::dampingRatio, Mode::dampingRatioSigma),
        change(track, days, Mode::stiffnessNPerM, Mode::stiffnessNPerMSigma));
  }

  private static Change change(
      ModeTracks.Track track,
      List<Double> days,
      ToDoubleFunction<Mode> value,
      ToDoubleFunction<Mode> sigma) {
    List<double[]> points = new ArrayList<>();
    for (int i = 0; i < days.size(); i++) {
      Mode mode = track.modes().get(i);
      if (mode != null) {
        points.add(new double[] {days.get(i), Math.log(value.applyAsDouble(mode))});
      }
    }
    List<Mode> found = track.found();
    Mode first = found.get(0);
    Mode last = found.get(found.size() - 1);
    if (found.size() < 2) {
      return new Change(Double.NaN, Double.NaN, Double.NaN, Double.NaN, Double.NaN);
    }
    double ratio = value.applyAsDouble(last) / value.applyAsDouble(first);
    double own =
        ratio
            * Math.hypot(
                sigma.applyAsDouble(first) / value.applyAsDouble(first),
                sigma.applyAsDouble(last) / value.applyAsDouble(last));
    int n = points.size();
    double meanX = points.stream().mapToDouble(p -> p[0]).average().orElseThrow();
    double meanY = points.stream().mapToDouble(p -> p[1]).average().orElseThrow();
    double xx = 0;
    double xy = 0;
    for (double[] p : points) {
      xx += (p[0] - meanX) * (p[0] - meanX);
      xy += (p[0] - meanX) * (p[1] - meanY);
    }
    if (n < FEWEST_FOR_TREND || !(xx > 0)) {
      return new Change(ratio - 1, own, Double.NaN, Double.NaN, Double.NaN);
    }
    double slope = xy / xx;
    double left = 0;
    for (double[] p : points) {
      double off = p[1] - meanY - slope * (p[0] - meanX);
      left += off * off;
    }
    double slopeSigma = Math.sqrt(left / (n - 2) / xx);
    double chance =
        slopeSigma > 0
            ? 2 * new TDistribution(n - 2.0).cumulativeProbability(-Math.abs(slope) / slopeSigma)
            : slope == 0 ? 1 : 0;
    return new Change(ratio - 1, own, slope, slopeSigma, chance);
  }
}
