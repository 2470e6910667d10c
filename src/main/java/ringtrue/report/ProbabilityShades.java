package ringtrue.report;

import java.awt.Color;
import java.awt.image.BufferedImage;
import java.util.Arrays;
import java.util.List;
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

  /** The shades as a picture of the plot's size. */
  BufferedImage raster(PlotFrame frame, double perMetre) {
    int width = frame.area().width;
    int height = frame.area().height;
    BufferedImage image = new BufferedImage(width, height, BufferedImage.TYPE_INT_ARGB);
    for (int column = 0; column < width; column++) {
      double rpm = frame.valueAcross(column + 0.5);
      for (int row = 0; row < height; row++) {
        image.setRGB(column, row, shade(at(rpm, frame.valueDown(row + 0.5) / perMetre)).getRGB());
      }
    }
    return image;
  }
}
