package ringtrue.report;

import java.awt.Rectangle;

/**
 * Where a chart's plot lies on the picture and which values its edges stand for; both axes linear.
 *
 * @param area the plot, in pixels of the chart
 * @param fromX value at the left edge
 * @param toX value at the right edge
 * @param fromY value at the lower edge
 * @param toY value at the upper edge
 */
record PlotFrame(Rectangle area, double fromX, double toX, double fromY, double toY)
    implements StableAreas.Onto {

  /** Pixels from the left of the chart. */
  @Override
  public double pixelX(double value) {
    return area.x + (value - fromX) / (toX - fromX) * area.width;
  }

  /** Pixels from the top of the chart. */
  @Override
  public double pixelY(double value) {
    return area.y + (toY - value) / (toY - fromY) * area.height;
  }

  /** Value at so many pixels from the plot's left edge. */
  double valueAcross(double pixels) {
    return fromX + pixels / area.width * (toX - fromX);
  }

  /** Value at so many pixels from the plot's upper edge. */
  double valueDown(double pixels) {
    return toY - pixels / area.height * (toY - fromY);
  }
}
