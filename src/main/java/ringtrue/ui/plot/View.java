package ringtrue.ui.plot;

/**
 * The part of the plane that is shown, in places along the axes' scales.
 *
 * @param x0 left end
 * @param x1 right end, greater
 * @param y0 lower end
 * @param y1 upper end, greater
 */
record View(double x0, double x1, double y0, double y1) {
  /** The closest that one can look, against the size of the numbers. */
  private static final double CLOSEST = 1e-9;

  /** All that the axes ask for. */
  static View whole(Axis x, Axis y) {
    return new View(
        x.scale().forward(x.from()),
        x.scale().forward(x.to()),
        y.scale().forward(y.from()),
        y.scale().forward(y.to()));
  }

  double width() {
    return x1 - x0;
  }

  double height() {
    return y1 - y0;
  }

  /**
   * Closer to, or further from, a point that stays where it is on the screen.
   *
   * @param byX what becomes of the width: below 1 to come closer
   * @param byY the same for the height
   */
  View zoomed(double atX, double atY, double byX, double byY) {
    return new View(
        atX + (x0 - atX) * byX,
        atX + (x1 - atX) * byX,
        atY + (y0 - atY) * byY,
        atY + (y1 - atY) * byY);
  }

  /** Moved by parts of its width and height. */
  View moved(double partX, double partY) {
    double dx = partX * width();
    double dy = partY * height();
    return new View(x0 + dx, x1 + dx, y0 + dy, y1 + dy);
  }

  View withX(double from, double to) {
    return new View(from, to, y0, y1);
  }

  /**
   * Grown in one direction until a unit is as long upwards as sideways.
   *
   * @param widthPx width of the frame
   * @param heightPx height of the frame
   */
  View equalled(double widthPx, double heightPx) {
    double unit = Math.max(width() / widthPx, height() / heightPx);
    return zoomed(
        (x0 + x1) / 2, (y0 + y1) / 2, unit * widthPx / width(), unit * heightPx / height());
  }

  /** Whether numbers can still tell its ends apart, and none is lost in the distance. */
  boolean isSensible(View whole) {
    return isSensible(x0, x1, whole.width()) && isSensible(y0, y1, whole.height());
  }

  private static boolean isSensible(double from, double to, double whole) {
    double size = Math.max(Math.abs(from), Math.abs(to));
    return to - from > CLOSEST * size && to - from > CLOSEST * whole && to - from < 100 * whole;
  }
}
