package ringtrue.ui.plot;

import java.awt.geom.Path2D;
import java.awt.geom.Rectangle2D;

/** Gathers a line, cut off where it leaves a box, so that nothing far away is drawn. */
final class ClippedPath {
  private final Path2D.Float path = new Path2D.Float(Path2D.WIND_NON_ZERO, 256);
  private final double left;
  private final double right;
  private final double top;
  private final double bottom;
  private boolean down;
  private double lastX;
  private double lastY;
  private boolean drawn;
  private boolean alone;

  ClippedPath(Rectangle2D box) {
    left = box.getMinX();
    right = box.getMaxX();
    top = box.getMinY();
    bottom = box.getMaxY();
  }

  /** The line so far. */
  Path2D path() {
    lift();
    return path;
  }

  /** The next point begins a new piece; a point that stands alone becomes a dot. */
  void lift() {
    if (down && alone) {
      path.lineTo(lastX, lastY);
    }
    down = false;
    alone = false;
  }

  /** Goes on to a point; one that is not a number lifts the pen. */
  void to(double x, double y) {
    if (Double.isNaN(x) || Double.isNaN(y)) {
      lift();
      return;
    }
    if (!down) {
      down = true;
      drawn = false;
      if (inside(x, y)) {
        path.moveTo(x, y);
        drawn = true;
        alone = true;
      }
    } else if (drawn && inside(x, y)) {
      path.lineTo(x, y);
      alone = false;
    } else {
      alone = false;
      segment(x, y);
    }
    lastX = x;
    lastY = y;
  }

  private boolean inside(double x, double y) {
    return x >= left && x <= right && y >= top && y <= bottom;
  }

  /** Liang and Barsky 1984: the part of a segment inside the box. */
  private void segment(double x, double y) {
    double dx = x - lastX;
    double dy = y - lastY;
    double[] part = {0, 1};
    boolean seen =
        cut(-dx, lastX - left, part)
            && cut(dx, right - lastX, part)
            && cut(-dy, lastY - top, part)
            && cut(dy, bottom - lastY, part);
    if (!seen) {
      drawn = false;
      return;
    }
    if (!drawn || part[0] > 0) {
      path.moveTo(lastX + part[0] * dx, lastY + part[0] * dy);
    }
    path.lineTo(lastX + part[1] * dx, lastY + part[1] * dy);
    drawn = part[1] == 1;
  }

  private static boolean cut(double p, double q, double[] part) {
    if (p == 0) {
      return q >= 0;
    }
    double r = q / p;
    if (p < 0) {
      part[0] = Math.max(part[0], r);
    } else {
      part[1] = Math.min(part[1], r);
    }
    return part[0] <= part[1];
  }
}
