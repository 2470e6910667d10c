package ringtrue.ui.plot;

import java.awt.Font;
import java.awt.geom.Rectangle2D;
import java.util.ArrayList;
import java.util.List;

/**
 * Where everything of a plot lies, at one size and one zoom.
 *
 * @param width width of the whole
 * @param height height of the whole
 * @param plot the frame that the layers are in
 * @param title place and text of the title
 * @param legend places of the legend's entries
 * @param gutter room that this plot needs by itself to the left of the frame
 * @param x where values of x lie
 * @param y where values of y lie
 * @param view what is shown
 * @param ticksX ticks along x
 * @param ticksY ticks along y
 */
record Frame(
    int width,
    int height,
    Rectangle2D plot,
    Spot title,
    List<Spot> legend,
    double gutter,
    AxisMap x,
    AxisMap y,
    View view,
    List<Ticks.Tick> ticksX,
    List<Ticks.Tick> ticksY) {

  /**
   * A piece of text in the head of the plot.
   *
   * @param name what it stands for
   * @param text as much of it as fits
   * @param box all its room
   */
  record Spot(String name, String text, Rectangle2D box) {}

  /**
   * What decides the places besides size and zoom.
   *
   * @param font the usual font
   * @param gutter least room to the left of the frame
   * @param corner room that is kept free at the upper right
   */
  record Habit(Font font, double gutter, double corner) {
    double unit() {
      return font.getSize2D() / 12;
    }

    Font bold() {
      return font.deriveFont(Font.BOLD);
    }

    Font small() {
      return font.deriveFont(font.getSize2D() * 0.92f);
    }

    static double lineHeight(Font font) {
      var metrics = font.getLineMetrics("Ag", Labels.MEASURE);
      return metrics.getAscent() + metrics.getDescent();
    }
  }

  /** More rows than these would leave no room for the plot. */
  private static final int ROWS = 3;

  /** A plot of fewer lines of text in height has one row in its head. */
  private static final double FEW_LINES = 9;

  /** One of fewer lines than these has two. */
  private static final double MORE_LINES = 13;

  /** Width of a sample in the legend. */
  static double sampleWidth(double unit) {
    return 22 * unit;
  }

  /** The nearest pixel inside the frame, across. */
  double insideX(double pixel) {
    return Math.max(plot.getMinX(), Math.min(plot.getMaxX(), pixel));
  }

  /** The nearest pixel inside the frame, downwards. */
  double insideY(double pixel) {
    return Math.max(plot.getMinY(), Math.min(plot.getMaxY(), pixel));
  }

  static Frame of(Scene scene, View wanted, int width, int height, Habit habit) {
    PlotContent content = scene.content;
    double u = habit.unit();
    Font small = habit.small();
    double line = Habit.lineHeight(small);
    double row = Habit.lineHeight(habit.font) + 4 * u;
    List<Spot> legend = new ArrayList<>();
    Spot title = new Spot("", "", new Rectangle2D.Double());
    double x = 6 * u;
    double y = 2 * u;
    double right = width - 6 * u;
    if (!content.title().isBlank()) {
      String text = Labels.cut(habit.bold(), content.title(), right - habit.corner - x);
      double room = Labels.width(habit.bold(), text);
      title = new Spot("", text, new Rectangle2D.Double(x, y, room, row));
      x += room + 14 * u;
    }
    int rows = height < FEW_LINES * line ? 1 : height < MORE_LINES * line ? 2 : ROWS;
    int left = scene.legend().size();
    double rest = Labels.width(small, "+ 99 more") + 20 * u;
    for (String name : scene.legend().keySet()) {
      String whole = legendText(scene, name);
      double sample = sampleWidth(u) + 5 * u;
      String text = Labels.cut(small, whole, width - 14 * u - habit.corner - sample);
      double room = sample + Labels.width(small, text) + 4 * u;
      boolean last = y > (rows - 1.5) * row;
      double end = right - (y < row ? habit.corner : 0) - (last && left > 1 ? rest : 0);
      if (x + room > end && x > 6 * u) {
        if (last) {
          String more = "+ " + left + " more";
          legend.add(new Spot("", more, new Rectangle2D.Double(x, y, rest, row)));
          break;
        }
        x = 6 * u;
        y += row;
      }
      legend.add(new Spot(name, text, new Rectangle2D.Double(x, y, room, row)));
      x += room + 9 * u;
      left--;
    }
    double top = Math.ceil(y + Math.max(row, y < row ? habit.corner : 0) + 4 * u);
    double below = line + 7 * u + (content.x().label().isBlank() ? 0 : line + 2 * u);
    double bottom = Math.max(top + 1, Math.floor(height - below));
    double reach = Math.floor(width - 15 * u);
    double from = 0;
    double gutter = 0;
    View view = wanted;
    List<Ticks.Tick> ticksX = List.of();
    List<Ticks.Tick> ticksY = List.of();
    for (int pass = 0; pass < 2; pass++) {
      ticksY =
          Ticks.choose(
              content.y(),
              view.y0(),
              view.y1(),
              new Ticks.Room(
                  bottom - top,
                  t -> line,
                  0.25 * line,
                  Math.max(1.3 * line, Math.min(2.6 * line, (bottom - top) / 3))));
      double widest = Labels.width(small, "0.00"); // so that zooming seldom moves the frame
      for (Ticks.Tick tick : ticksY) {
        widest = Math.max(widest, Labels.width(small, tick.text()));
      }
      double own = widest + 11 * u + (content.y().label().isBlank() ? 0 : line + 3 * u);
      gutter = Math.max(gutter, own);
      from = Math.ceil(Math.min(Math.max(gutter, habit.gutter), width * 0.6));
      if (content.equalAspect() && reach > from + 1) {
        view = wanted.equalled(reach - from, bottom - top);
      }
      ticksX =
          Ticks.choose(
              content.x(),
              view.x0(),
              view.x1(),
              new Ticks.Room(reach - from, t -> Labels.width(small, t), 0.7 * line, 4.2 * line));
      for (Ticks.Tick tick : ticksX) {
        double at = from + (tick.place() - view.x0()) / (view.x1() - view.x0()) * (reach - from);
        double over = at + Labels.width(small, tick.text()) / 2 - (width - 2 * u);
        reach -= Math.ceil(Math.max(0, Math.min(over, width * 0.2)));
      }
    }
    double wide = Math.max(1, reach - from);
    Rectangle2D plot = new Rectangle2D.Double(from, top, wide, bottom - top);
    return new Frame(
        width,
        height,
        plot,
        title,
        legend,
        gutter,
        new AxisMap(content.x().scale(), view.x0(), view.x1(), from, from + wide),
        new AxisMap(content.y().scale(), view.y0(), view.y1(), bottom, top),
        view,
        ticksX,
        ticksY);
  }

  private static String legendText(Scene scene, String name) {
    for (Layer layer : scene.legend().get(name)) {
      if (layer instanceof Layer.Raster raster) {
        return name + ", " + raster.palette.words();
      }
    }
    return name;
  }
}
