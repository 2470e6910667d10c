package ringtrue.report;

import java.util.Arrays;
import java.util.function.IntToDoubleFunction;

/**
 * Thins a long curve to what a picture can show: in each pixel column the smallest and the largest
 * value, in their order, so that no peak is lost.
 */
final class PixelColumns {
  final double[] x;
  final double[] y;

  private PixelColumns(double[] x, double[] y) {
    this.x = x;
    this.y = y;
  }

  /**
   * @param from first index
   * @param to one past the last index
   * @param xs rising abscissa by index
   * @param ys ordinate by index; values that are not finite are left out
   * @param logarithmic whether columns are even in log x rather than in x
   * @param columns how many columns
   */
  static PixelColumns of(
      int from,
      int to,
      IntToDoubleFunction xs,
      IntToDoubleFunction ys,
      boolean logarithmic,
      int columns) {
    double[] x = new double[2 * columns + 4];
    double[] y = new double[x.length];
    int size = 0;
    double first = scale(xs.applyAsDouble(from), logarithmic);
    double width = (scale(xs.applyAsDouble(to - 1), logarithmic) - first) / columns;
    int i = from;
    while (i < to) {
      int column = column(xs, i, first, width, logarithmic);
      int low = -1;
      int high = -1;
      while (i < to && column(xs, i, first, width, logarithmic) == column) {
        double value = ys.applyAsDouble(i);
        if (Double.isFinite(value)) {
          low = low < 0 || value < ys.applyAsDouble(low) ? i : low;
          high = high < 0 || value > ys.applyAsDouble(high) ? i : high;
        }
        i++;
      }
      if (low >= 0) {
        int earlier = Math.min(low, high);
        int later = Math.max(low, high);
        x[size] = xs.applyAsDouble(earlier);
        y[size++] = ys.applyAsDouble(earlier);
        if (later != earlier) {
          x[size] = xs.applyAsDouble(later);
          y[size++] = ys.applyAsDouble(later);
        }
      }
    }
    return new PixelColumns(Arrays.copyOf(x, size), Arrays.copyOf(y, size));
  }

  private static int column(
      IntToDoubleFunction xs, int i, double first, double width, boolean logarithmic) {
    return width == 0 ? 0 : (int) ((scale(xs.applyAsDouble(i), logarithmic) - first) / width);
  }

  private static double scale(double x, boolean logarithmic) {
    return logarithmic ? Math.log(x) : x;
  }
}
