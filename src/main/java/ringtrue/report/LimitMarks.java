package ringtrue.report;

import java.awt.BasicStroke;
import java.awt.Color;
import java.awt.Graphics2D;
import java.awt.Rectangle;
import java.awt.geom.Ellipse2D;
import java.awt.geom.Line2D;
import java.awt.geom.Path2D;
import java.awt.geom.Rectangle2D;

/** Lines that are told apart by colour, dash and mark, so that any one of them will do. */
final class LimitMarks {
  private static final Color[] COLOURS = {
    Panels.ORANGE,
    Panels.BLUE,
    Panels.GREEN,
    new Color(170, 60, 120),
    Panels.DARK,
    new Color(0, 90, 130),
    new Color(150, 110, 0),
    new Color(110, 110, 110)
  };
  private static final float[][] DASHES = {
    {}, {10, 5}, {3, 4}, {14, 4, 3, 4}, {6, 3}, {18, 6}, {3, 3, 9, 3}, {2, 6}
  };
  private static final int SHAPES = 5;
  private static final double SIZE = 4.5;

  private LimitMarks() {}

  static Color colour(int i) {
    return COLOURS[i % COLOURS.length];
  }

  static BasicStroke stroke(int i) {
    float[] dash = DASHES[i % DASHES.length];
    return dash.length == 0
        ? new BasicStroke(2.2f)
        : new BasicStroke(2.2f, BasicStroke.CAP_BUTT, BasicStroke.JOIN_ROUND, 10, dash, 0);
  }

  /** Paints a mark with its centre at a place. */
  static void mark(Graphics2D g, int i, double x, double y) {
    g.setStroke(new BasicStroke(1.6f));
    g.setColor(colour(i));
    double s = SIZE;
    switch (i % SHAPES) {
      case 0 -> g.fill(new Ellipse2D.Double(x - s, y - s, 2 * s, 2 * s));
      case 1 -> {
        g.setColor(Color.WHITE);
        g.fill(new Rectangle2D.Double(x - s, y - s, 2 * s, 2 * s));
        g.setColor(colour(i));
        g.draw(new Rectangle2D.Double(x - s, y - s, 2 * s, 2 * s));
      }
      case 2 -> g.fill(triangle(x, y, s));
      case 3 -> {
        g.draw(new Line2D.Double(x - s, y - s, x + s, y + s));
        g.draw(new Line2D.Double(x - s, y + s, x + s, y - s));
      }
      default -> {
        g.setColor(Color.WHITE);
        g.fill(new Ellipse2D.Double(x - s, y - s, 2 * s, 2 * s));
        g.setColor(colour(i));
        g.draw(new Ellipse2D.Double(x - s, y - s, 2 * s, 2 * s));
      }
    }
  }

  private static Path2D triangle(double x, double y, double s) {
    Path2D path = new Path2D.Double();
    path.moveTo(x, y - 1.2 * s);
    path.lineTo(x + 1.1 * s, y + 0.9 * s);
    path.lineTo(x - 1.1 * s, y + 0.9 * s);
    path.closePath();
    return path;
  }

  /** A sample for a legend. */
  static void sample(Graphics2D g, Rectangle box, int i) {
    g.setColor(colour(i));
    g.setStroke(stroke(i));
    g.draw(new Line2D.Double(box.x, box.getCenterY(), box.x + box.width, box.getCenterY()));
    mark(g, i, box.getCenterX(), box.getCenterY());
  }
}
