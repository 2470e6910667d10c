package ringtrue.report;

import java.awt.Color;
import java.awt.Graphics2D;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import ringtrue.stability.StabilityMap.Interval;
import ringtrue.stability.StabilityMap.Line;
import ringtrue.stability.StabilityMap.Loss;
import ringtrue.stability.StabilityProbability;

/**
 * The chance of being stable as a few shades of one colour, darker for surer: told apart without
 * seeing colours.
 */
final class ProbabilityShades {
  private static final double[] FROM = {0.95, 0.75, 0.5, 0.25, 0.05};
  private static final Color[] SHADES = {
    new Color(70, 166, 132),
    new Color(124, 196, 168),
    new Color(172, 218, 200),
    new Color(210, 235, 225),
    new Color(237, 247, 243)
  };
  private static final List<String> WORDS =
      List.of("95 % and more", "75 to 95 %", "50 to 75 %", "25 to 50 %", "5 to 25 %");

  private final double[] speeds;
  private final List<double[]> stable;
  private final double[] lengths;

  /**
   * @param speeds speeds of the columns, rpm, rising
   * @param stable probability for each speed and length
   */
  ProbabilityShades(double[] speeds, List<double[]> stable, StabilityProbability probability) {
    this.speeds = speeds;
    this.stable = stable;
    this.lengths = probability.lengthsM().stream().mapToDouble(m -> m).toArray();
  }

  static void explain(Legend legend) {
    for (int i = 0; i < SHADES.length; i++) {
      legend.area((i == 0 ? "chance of no chatter: " : "") + WORDS.get(i), SHADES[i]);
    }
  }

  /** The shade of a probability; clear where it is hardly possible. */
  static Color shade(double probability) {
    for (int i = 0; i < FROM.length; i++) {
      if (probability >= FROM[i]) {
        return SHADES[i];
      }
    }
    return Panels.CLEAR;
  }

  /** Probability between the computed speeds and lengths; NaN outside. Nothing cut is stable. */
  double at(double rpm, double lengthM) {
    int n = lengths.length;
    if (n == 0 || lengthM > lengths[n - 1] || lengthM < 0) {
      return Double.NaN;
    }
    int right = Arrays.binarySearch(speeds, rpm);
    right = right >= 0 ? right : -right - 1;
    if (right == speeds.length || (right == 0 && rpm < speeds[0])) {
      return Double.NaN;
    }
    int left = speeds[right] == rpm ? right : right - 1;
    double part = left == right ? 0 : (rpm - speeds[left]) / (speeds[right] - speeds[left]);
    return (1 - part) * along(stable.get(left), lengthM) + part * along(stable.get(right), lengthM);
  }

  private double along(double[] row, double lengthM) {
    int above = Arrays.binarySearch(lengths, lengthM);
    if (above >= 0) {
      return row[above];
    }
    above = -above - 1;
    double low = above == 0 ? 0 : lengths[above - 1];
    double atLow = above == 0 ? 1 : row[above - 1];
    return atLow + (lengthM - low) / (lengths[above] - low) * (row[above] - atLow);
  }

  /** Fills the plot with the shades, surer ones over less sure ones. */
  void fill(Graphics2D g, PlotFrame frame, double perMetre) {
    for (int level = FROM.length - 1; level >= 0; level--) {
      List<Line> lines = new ArrayList<>();
      for (int i = 0; i < speeds.length; i++) {
        lines.add(
            new Line(speeds[i], 0, atLeast(stable.get(i), FROM[level]), Loss.NONE, Double.NaN, -1));
      }
      g.setColor(SHADES[level]);
      g.fill(new StableAreas(lines).outline(frame, perMetre));
    }
  }

  /** Where the probability of one speed is at least so much, straight between its lengths. */
  private List<Interval> atLeast(double[] row, double least) {
    List<Interval> found = new ArrayList<>();
    double from = 0; // nothing cut is stable
    boolean inside = true;
    double lengthBefore = 0;
    double before = 1;
    for (int k = 0; k < lengths.length; k++) {
      if (row[k] >= least != inside) {
        double crossing =
            lengthBefore + (before - least) / (before - row[k]) * (lengths[k] - lengthBefore);
        if (inside) {
          found.add(new Interval(from, crossing));
        }
        from = crossing;
        inside = !inside;
      }
      before = row[k];
      lengthBefore = lengths[k];
    }
    if (inside && lengthBefore > from) {
      found.add(new Interval(from, lengthBefore));
    }
    return found;
  }
}
