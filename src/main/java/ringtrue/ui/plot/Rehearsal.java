package ringtrue.ui.plot;

import java.awt.Font;
import java.awt.Graphics2D;
import java.awt.Shape;
import java.awt.geom.Path2D;
import java.awt.image.BufferedImage;
import java.util.List;
import java.util.Locale;
import java.util.Set;

/**
 * Paints plots of every kind of layer where nobody sees them, so that the first one that is seen
 * does not take longer than others. Touches no component; for any thread.
 */
public final class Rehearsal {
  private static final int WIDE = 700;
  private static final int HIGH = 420;
  private static final int POINTS = 900;
  private static final int CELLS = 60;

  private Rehearsal() {}

  /**
   * @param font the usual font
   * @param times how often; what runs several times runs faster afterwards
   */
  public static void run(Font font, int times) {
    for (int i = 0; i < times; i++) {
      for (Scale scale : Scale.values()) {
        paint(content(scale), font);
      }
    }
  }

  private static void paint(PlotContent content, Font font) {
    Scene scene = new Scene(content);
    Frame.Habit habit = new Frame.Habit(font, 0, 0);
    Frame frame = Frame.of(scene, scene.whole(), WIDE, HIGH, habit);
    Painter painter = new Painter(scene, frame, Colours.paper(), habit, 1);
    BufferedImage nowhere = new BufferedImage(WIDE, HIGH, BufferedImage.TYPE_INT_RGB);
    Graphics2D g = nowhere.createGraphics();
    painter.paint(g, Set.of(), false);
    for (Layer.Handle handle : content.handles()) {
      painter.handle(g, handle, handle.x(), handle.y(), true);
    }
    g.dispose();
  }

  private static PlotContent content(Scale scale) {
    double[] xs = new double[POINTS];
    double[] ys = new double[POINTS];
    double[] low = new double[POINTS];
    double[] high = new double[POINTS];
    for (int i = 0; i < POINTS; i++) {
      xs[i] = 10 + i;
      ys[i] = 20 + 12 * Math.sin(i / 9.0) + i % 5;
      low[i] = 0.8 * ys[i];
      high[i] = 1.2 * ys[i];
    }
    double[] cellX = new double[CELLS];
    double[] cellY = new double[CELLS];
    float[][] values = new float[CELLS][CELLS];
    for (int i = 0; i < CELLS; i++) {
      cellX[i] = 10 + 15 * i;
      cellY[i] = 5 + i;
      for (int j = 0; j < CELLS; j++) {
        values[i][j] = -60 + (i * j) % 60;
      }
    }
    Path2D.Double area = new Path2D.Double();
    area.moveTo(50, 8);
    area.curveTo(200, 60, 400, 10, 600, 50);
    area.lineTo(700, 8);
    area.closePath();
    List<Shape> areas = List.of(area);
    return PlotContent.of(
            new Axis("across", scale, 10, 900, v -> String.format(Locale.ROOT, "%.0f", v)),
            new Axis("up", scale, 5, 60, v -> String.format(Locale.ROOT, "%.1f", v)))
        .title("tried")
        .raster("level", cellX, cellY, values, Palette.rising(-60, 0, v -> "level"))
        .raster(
            "steps",
            cellX,
            cellY,
            values,
            Palette.steps(Ink.values()[2], new double[] {-40, -20}, v -> "step"))
        .shapes("hatched", areas, Ink.values()[0], Pattern.HATCHED)
        .shapes("dots", areas, Ink.values()[1], Pattern.DOTS)
        .band("band", xs, low, high, Ink.values()[2])
        .span("span", 100, 200, Ink.values()[0])
        .veil("veil", 20, 800, Ink.values()[1])
        .curve("line", xs, ys, Ink.values()[0])
        .curve("marked", cellX, cellY, Ink.values()[1], Stroke.DASHED, Mark.CIRCLE)
        .lines("lines", new double[] {300}, List.of("300"), true, Ink.values()[2], Stroke.DOTTED)
        .marks(
            "marks",
            List.of("a"),
            new double[] {400},
            new double[] {30},
            Mark.CIRCLE,
            Ink.values()[0],
            List.of("mark"))
        .handle("handle", 500, 30, Ink.values()[1], "handle")
        .build();
  }
}
