package ringtrue.ui.plot;

import java.util.Arrays;

/**
 * A curve by its places along the scales of both axes, ready to be drawn at any zoom. In each pixel
 * column it draws the smallest and the largest value, in their order, so that no peak is lost.
 */
final class Track {
  private final double[] x;
  private final double[] y;

  /** First and one past the last point that has a place in x. */
  private final int from;

  private final int to;
  private final boolean rising;

  Track(double[] xs, double[] ys, Scale scaleX, Scale scaleY) {
    x = places(xs, scaleX);
    y = places(ys, scaleY);
    int first = 0;
    while (first < x.length && Double.isNaN(x[first])) {
      first++;
    }
    int last = x.length;
    while (last > first && Double.isNaN(x[last - 1])) {
      last--;
    }
    from = first;
    to = last;
    boolean up = true;
    for (int i = from + 1; i < to && up; i++) {
      up = x[i] >= x[i - 1];
    }
    rising = up;
  }

  static double[] places(double[] values, Scale scale) {
    double[] places = new double[values.length];
    for (int i = 0; i < places.length; i++) {
      double place = scale.forward(values[i]);
      places[i] = Double.isInfinite(place) ? Double.NaN : place;
    }
    return places;
  }

  /** Whether x never goes back, so that it has one value at each x. */
  boolean isRising() {
    return rising && to > from;
  }

  double x(int i) {
    return x[i];
  }

  double y(int i) {
    return y[i];
  }

  int from() {
    return from;
  }

  int to() {
    return to;
  }

  /** First point that is drawn when a range is shown: the last before it. */
  int firstShown(double x0) {
    return Math.max(from, search(x0) - 1);
  }

  /** One past the last that is drawn: one beyond the range is still needed. */
  int endShown(double x1) {
    int i = search(x1);
    while (i < to && x[i] == x1) {
      i++;
    }
    return Math.min(to, i + 1);
  }

  /** First point at or beyond a place. */
  private int search(double place) {
    int low = from;
    int high = to;
    while (low < high) {
      int middle = (low + high) >>> 1;
      if (x[middle] < place) {
        low = middle + 1;
      } else {
        high = middle;
      }
    }
    return low;
  }

  /** Place in y at a place in x, straight between two points; NaN outside and in gaps. */
  double at(double place) {
    if (!isRising() || !(place >= x[from] && place <= x[to - 1])) {
      return Double.NaN;
    }
    int right = search(place);
    if (x[right] == place) {
      return y[right];
    }
    double part = (place - x[right - 1]) / (x[right] - x[right - 1]);
    return y[right - 1] + part * (y[right] - y[right - 1]);
  }

  /** The nearest point to a place in x that has a value; -1 if there is none. */
  int nearest(double place) {
    if (!isRising()) {
      return -1;
    }
    int right = Math.min(to - 1, search(place));
    int left = Math.max(from, right - 1);
    return Math.abs(x[left] - place) < Math.abs(x[right] - place) ? left : right;
  }

  /**
   * Draws it.
   *
   * @param fine pixels of the screen for each unit of the maps
   */
  void draw(AxisMap mapX, AxisMap mapY, double fine, ClippedPath path) {
    if (rising) {
      thinned(mapX, mapY, fine, path);
    } else {
      whole(mapX, mapY, 0.3 / fine, path);
    }
  }

  private void whole(AxisMap mapX, AxisMap mapY, double near, ClippedPath path) {
    double lastX = Double.NaN;
    double lastY = Double.NaN;
    for (int i = from; i < to; i++) {
      double px = mapX.pixelOfPlace(x[i]);
      double py = mapY.pixelOfPlace(y[i]);
      boolean same = Math.abs(px - lastX) < near && Math.abs(py - lastY) < near;
      if (!same || i == to - 1) {
        path.to(px, py);
        lastX = px;
        lastY = py;
      }
    }
  }

  private void thinned(AxisMap mapX, AxisMap mapY, double fine, ClippedPath path) {
    int end = endShown(mapX.u1());
    int i = firstShown(mapX.u0());
    double perPlace = (mapX.p1() - mapX.p0()) / (mapX.u1() - mapX.u0()) * fine;
    while (i < end) {
      if (Double.isNaN(y[i])) {
        path.lift();
        i++;
        continue;
      }
      double column = Math.floor((x[i] - mapX.u0()) * perPlace);
      int low = i;
      int high = i;
      while (++i < end
          && !Double.isNaN(y[i])
          && Math.floor((x[i] - mapX.u0()) * perPlace) == column) {
        low = y[i] < y[low] ? i : low;
        high = y[i] > y[high] ? i : high;
      }
      int earlier = Math.min(low, high);
      int later = Math.max(low, high);
      path.to(mapX.pixelOfPlace(x[earlier]), mapY.pixelOfPlace(y[earlier]));
      if (later != earlier) {
        path.to(mapX.pixelOfPlace(x[later]), mapY.pixelOfPlace(y[later]));
      }
    }
  }

  /** The same places thinned to pixel columns: for each its x, least of one, most of the other. */
  static double[][] strip(Track low, Track high, AxisMap mapX, double fine) {
    int end = low.endShown(mapX.u1());
    int i = low.firstShown(mapX.u0());
    double perPlace = (mapX.p1() - mapX.p0()) / (mapX.u1() - mapX.u0()) * fine;
    double[][] strip = new double[3][Math.max(0, end - i)];
    int size = 0;
    while (i < end) {
      double column = Math.floor((low.x[i] - mapX.u0()) * perPlace);
      strip[0][size] = low.x[i];
      strip[1][size] = low.y[i];
      strip[2][size] = high.y[i];
      while (++i < end && Math.floor((low.x[i] - mapX.u0()) * perPlace) == column) {
        strip[1][size] = lesser(strip[1][size], low.y[i]);
        strip[2][size] = -lesser(-strip[2][size], -high.y[i]);
      }
      size++;
    }
    for (int k = 0; k < 3; k++) {
      strip[k] = Arrays.copyOf(strip[k], size);
    }
    return strip;
  }

  private static double lesser(double a, double b) {
    return Double.isNaN(a) || b < a ? b : a;
  }
}
