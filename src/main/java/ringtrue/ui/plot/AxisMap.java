package ringtrue.ui.plot;

/**
 * Where values of one axis lie on the screen.
 *
 * @param scale how values are spread
 * @param u0 place on the scale at {@code p0}
 * @param u1 place on the scale at {@code p1}
 * @param p0 pixel of one end
 * @param p1 pixel of the other end
 */
record AxisMap(Scale scale, double u0, double u1, double p0, double p1) {
  /** Pixel of a value; NaN where it has no place. */
  double pixel(double value) {
    return pixelOfPlace(scale.forward(value));
  }

  double pixelOfPlace(double place) {
    return p0 + (place - u0) / (u1 - u0) * (p1 - p0);
  }

  double place(double pixel) {
    return u0 + (pixel - p0) / (p1 - p0) * (u1 - u0);
  }

  double value(double pixel) {
    return scale.back(place(pixel));
  }
}
