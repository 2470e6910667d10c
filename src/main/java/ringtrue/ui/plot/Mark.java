package ringtrue.ui.plot;

import java.awt.Shape;
import java.awt.geom.Ellipse2D;
import java.awt.geom.Path2D;
import java.awt.geom.Rectangle2D;

/** What stands at a point, told apart without colours. */
public enum Mark {
  NONE,
  CIRCLE,
  SQUARE,
  TRIANGLE,
  CROSS,
  DIAMOND;

  /** Outline around a place, {@code r} from the middle to the side, in pixels. */
  Shape at(double x, double y, double r) {
    Path2D path = new Path2D.Double();
    switch (this) {
      case NONE -> {}
      case CIRCLE -> {
        return new Ellipse2D.Double(x - r, y - r, 2 * r, 2 * r);
      }
      case SQUARE -> {
        double h = 0.88 * r;
        return new Rectangle2D.Double(x - h, y - h, 2 * h, 2 * h);
      }
      case TRIANGLE -> {
        path.moveTo(x, y - 1.15 * r);
        path.lineTo(x + 1.1 * r, y + 0.8 * r);
        path.lineTo(x - 1.1 * r, y + 0.8 * r);
        path.closePath();
      }
      case CROSS -> {
        path.moveTo(x - r, y - r);
        path.lineTo(x + r, y + r);
        path.moveTo(x - r, y + r);
        path.lineTo(x + r, y - r);
      }
      case DIAMOND -> {
        path.moveTo(x, y - 1.25 * r);
        path.lineTo(x + 1.25 * r, y);
        path.lineTo(x, y + 1.25 * r);
        path.lineTo(x - 1.25 * r, y);
        path.closePath();
      }
    }
    return path;
  }

  /** Whether there is an inside to fill. */
  boolean isArea() {
    return this != NONE && this != CROSS;
  }
}
