package ringtrue.ui.plot;

import java.util.ArrayList;
import java.util.IdentityHashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;

/** A content with what is worked out once for all zooms. */
final class Scene {
  final PlotContent content;
  private final Map<Layer, Track> tracks = new IdentityHashMap<>();
  private final Map<Layer, Track> upper = new IdentityHashMap<>();
  private final Map<Layer, Cells> cells = new IdentityHashMap<>();
  private final Map<String, List<Layer>> legend = new LinkedHashMap<>();

  Scene(PlotContent content) {
    this.content = content;
    Scale scaleX = content.x().scale();
    Scale scaleY = content.y().scale();
    for (Layer layer : content.layers()) {
      if (layer instanceof Layer.Curve curve) {
        tracks.put(layer, new Track(curve.x, curve.y, scaleX, scaleY));
      } else if (layer instanceof Layer.Band band) {
        tracks.put(layer, new Track(band.x, band.low, scaleX, scaleY));
        upper.put(layer, new Track(band.x, band.high, scaleX, scaleY));
      } else if (layer instanceof Layer.Raster raster) {
        cells.put(layer, new Cells(Track.places(raster.x, scaleX), Track.places(raster.y, scaleY)));
      }
      if (!layer.name().isBlank()) {
        legend.computeIfAbsent(layer.name(), n -> new ArrayList<>()).add(layer);
      }
    }
  }

  /** The curve, or the lower side of a band. */
  Track track(Layer layer) {
    return tracks.get(layer);
  }

  Track upper(Layer.Band band) {
    return upper.get(band);
  }

  Cells cells(Layer.Raster raster) {
    return cells.get(raster);
  }

  /** Layers by the name that the legend shows, in their order. */
  Map<String, List<Layer>> legend() {
    return legend;
  }

  View whole() {
    return View.whole(content.x(), content.y());
  }

  List<Layer.Curve> curves(Set<String> hidden) {
    List<Layer.Curve> found = new ArrayList<>();
    for (Layer layer : content.layers()) {
      if (layer instanceof Layer.Curve curve && !hidden.contains(layer.name())) {
        found.add(curve);
      }
    }
    return found;
  }

  /** Value of a curve at a value of x, on the line that is drawn; nothing where there is none. */
  OptionalDouble at(Layer.Curve curve, double x) {
    Track track = tracks.get(curve);
    double place = content.x().scale().forward(x);
    double y = curve.stroke == Stroke.NONE ? ofNearest(track, place) : track.at(place);
    return Double.isNaN(y)
        ? OptionalDouble.empty()
        : OptionalDouble.of(content.y().scale().back(y));
  }

  private static double ofNearest(Track track, double place) {
    int i = track.nearest(place);
    return i < 0 ? Double.NaN : track.y(i);
  }

  /** Value of a raster's cell; NaN outside. */
  double at(Layer.Raster raster, double x, double y) {
    Cells grid = cells.get(raster);
    int column = Cells.find(grid.edgesX, content.x().scale().forward(x));
    int row = Cells.find(grid.edgesY, content.y().scale().forward(y));
    return column < 0 || row < 0 ? Double.NaN : raster.values[column][row];
  }

  /** Nearest pickable mark within some pixels of a point. */
  Optional<String> markAt(
      double px, double py, double reach, AxisMap mapX, AxisMap mapY, Set<String> hidden) {
    String best = null;
    double nearest = reach;
    for (Layer layer : content.layers()) {
      if (layer instanceof Layer.Marks marks && !hidden.contains(layer.name())) {
        for (int i = 0; i < marks.x.length; i++) {
          double apart = Math.hypot(mapX.pixel(marks.x[i]) - px, mapY.pixel(marks.y[i]) - py);
          if (apart <= nearest) {
            nearest = apart;
            best = marks.ids.get(i);
          }
        }
      }
    }
    return Optional.ofNullable(best);
  }

  /** Where the cells of a raster begin and end, along both scales. */
  static final class Cells {
    private final double[] edgesX;
    private final double[] edgesY;
    private final double[] middlesX;
    private final double[] middlesY;

    private Cells(double[] x, double[] y) {
      middlesX = x;
      middlesY = y;
      edgesX = edges(x);
      edgesY = edges(y);
    }

    double[] edgesX() {
      return edgesX;
    }

    double[] edgesY() {
      return edgesY;
    }

    double[] middlesX() {
      return middlesX;
    }

    double[] middlesY() {
      return middlesY;
    }

    /**
     * Where a place is among middles, as a number of the middle before it and a part of the way to
     * the next; in the outer half of the outermost cells that of its middle; -1 outside.
     */
    double between(double[] middles, double place) {
      double[] edges = middles == middlesX ? edgesX : edgesY;
      int cell = find(edges, place);
      if (cell < 0) {
        return -1;
      }
      int before = place < middles[cell] ? cell - 1 : cell;
      if (before < 0 || Double.isNaN(middles[before])) {
        return cell;
      }
      if (before + 1 == middles.length) {
        return before;
      }
      return before + (place - middles[before]) / (middles[before + 1] - middles[before]);
    }

    /** Which cell a place is in; -1 outside. */
    static int find(double[] edges, double place) {
      int n = edges.length - 1;
      int first = 0;
      while (first < n && Double.isNaN(edges[first])) {
        first++;
      }
      if (!(place >= edges[first] && place <= edges[n])) {
        return -1;
      }
      int low = first;
      int high = n;
      while (high - low > 1) {
        int middle = (low + high) >>> 1;
        if (edges[middle] <= place) {
          low = middle;
        } else {
          high = middle;
        }
      }
      return low;
    }

    /** Halfway between middles; the outermost cells are as wide to both sides. */
    private static double[] edges(double[] middles) {
      int n = middles.length;
      double[] edges = new double[n + 1];
      for (int i = 1; i < n; i++) {
        edges[i] = (middles[i - 1] + middles[i]) / 2;
        if (Double.isNaN(edges[i])) { // the cell before has no place on this scale
          edges[i] = middles[i] - (i + 1 < n ? (middles[i + 1] - middles[i]) / 2 : 0.5);
        }
      }
      if (n == 1) {
        edges[0] = middles[0] - 0.5;
        edges[1] = middles[0] + 0.5;
      } else if (n > 1) {
        edges[0] = 2 * middles[0] - edges[1];
        edges[n] = 2 * middles[n - 1] - edges[n - 1];
      }
      return edges;
    }
  }
}
