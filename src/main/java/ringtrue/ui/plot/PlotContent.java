package ringtrue.ui.plot;

import java.awt.Shape;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;

/** What a plot shows; cannot be changed once built. */
public final class PlotContent {
  private static final PointWords NO_WORDS = (x, y) -> List.of();

  private final String title;
  private final String viewKey;
  private final Axis x;
  private final Axis y;
  private final boolean equalAspect;
  private final double stepX;
  private final double stepY;
  private final List<Layer> layers;
  private final String hint;
  private final PointWords pointWords;

  /** What is to be said about a point, in a few short lines. */
  @FunctionalInterface
  public interface PointWords {
    /** The words for a point, in the values of the axes; quick, as it is asked at each move. */
    List<String> at(double x, double y);
  }

  private PlotContent(Builder b, String hint) {
    title = b.title;
    viewKey = b.viewKey;
    x = b.x;
    y = b.y;
    equalAspect = b.equalAspect;
    stepX = b.stepX;
    stepY = b.stepY;
    layers = List.copyOf(b.layers);
    pointWords = b.pointWords;
    this.hint = hint;
  }

  /** Nothing to show yet, but a hint how to get there. */
  public static PlotContent empty(String hint) {
    return new PlotContent(
        new Builder(Axis.linear("", 0, 1), Axis.linear("", 0, 1)),
        Objects.requireNonNull(hint, "hint"));
  }

  /** Starts a content with its two axes. */
  public static Builder of(Axis x, Axis y) {
    return new Builder(x, y);
  }

  /** What is shown, in a few words; may be empty. */
  public String title() {
    return title;
  }

  /** While this stays the same, people keep their zoom when other content comes. */
  public String viewKey() {
    return viewKey;
  }

  public Axis x() {
    return x;
  }

  public Axis y() {
    return y;
  }

  /** Whether one unit is as long upwards as sideways. */
  public boolean equalAspect() {
    return equalAspect;
  }

  /** Layers in the order in which they are painted. */
  public List<Layer> layers() {
    return layers;
  }

  /** Whether there is nothing but a hint. */
  public boolean isEmpty() {
    return hint != null;
  }

  /** What to do to see something here; empty if something is shown. */
  public String hint() {
    return hint == null ? "" : hint;
  }

  /** How far one press of an arrow key moves a handle, in x; 0 for a hundredth of what is shown. */
  double stepX() {
    return stepX;
  }

  /** The same in y. */
  double stepY() {
    return stepY;
  }

  /** Whether anything is said about points. */
  boolean hasPointWords() {
    return pointWords != NO_WORDS;
  }

  /** What is said about a point. */
  public PointWords pointWords() {
    return pointWords;
  }

  List<Layer.Handle> handles() {
    List<Layer.Handle> handles = new ArrayList<>();
    for (Layer layer : layers) {
      if (layer instanceof Layer.Handle handle) {
        handles.add(handle);
      }
    }
    return handles;
  }

  /** Gathers what a plot shows. Layers are painted in the order in which they are added. */
  public static final class Builder {
    private final Axis x;
    private final Axis y;
    private final List<Layer> layers = new ArrayList<>();
    private String title = "";
    private String viewKey = "";
    private boolean equalAspect;
    private double stepX;
    private double stepY;
    private PointWords pointWords = NO_WORDS;

    private Builder(Axis x, Axis y) {
      this.x = Objects.requireNonNull(x, "x");
      this.y = Objects.requireNonNull(y, "y");
    }

    /** What is shown, in a few words. */
    public Builder title(String words) {
      title = Objects.requireNonNull(words, "title");
      return this;
    }

    /** While this stays the same, people keep their zoom when other content comes. */
    public Builder viewKey(String key) {
      viewKey = Objects.requireNonNull(key, "viewKey");
      return this;
    }

    /** One unit as long upwards as sideways; both axes must be linear. */
    public Builder equalAspect() {
      equalAspect = true;
      return this;
    }

    /**
     * How far one press of an arrow key moves a handle, in the values of linear axes.
     *
     * @param inX along x; 0 for a hundredth of what is shown
     * @param inY the same along y
     */
    public Builder step(double inX, double inY) {
      stepX = inX;
      stepY = inY;
      return this;
    }

    /** What is said about the point under the pointer, beside its place. */
    public Builder pointWords(PointWords words) {
      pointWords = Objects.requireNonNull(words, "words");
      return this;
    }

    public Builder add(Layer layer) {
      layers.add(Objects.requireNonNull(layer, "layer"));
      return this;
    }

    /** A solid line without marks. */
    public Builder curve(String name, double[] xs, double[] ys, Ink ink) {
      return curve(name, xs, ys, ink, Stroke.SOLID, Mark.NONE);
    }

    /** A line through points, with or without marks. */
    public Builder curve(String name, double[] xs, double[] ys, Ink ink, Stroke stroke, Mark mark) {
      return add(new Layer.Curve(name, xs, ys, ink, stroke, mark));
    }

    /** A tinted strip between two lines. */
    public Builder band(String name, double[] xs, double[] low, double[] high, Ink ink) {
      return add(new Layer.Band(name, xs, low, high, ink));
    }

    /** A tinted stretch of x. */
    public Builder span(String name, double fromX, double toX, Ink ink) {
      return add(new Layer.Span(name, fromX, toX, ink, false));
    }

    /** A veil over everything outside a stretch of x. */
    public Builder veil(String name, double fromX, double toX, Ink ink) {
      return add(new Layer.Span(name, fromX, toX, ink, true));
    }

    /** Areas. */
    public Builder shapes(String name, List<? extends Shape> shapes, Ink ink, Pattern pattern) {
      return add(new Layer.Shapes(name, shapes, ink, pattern));
    }

    /** Values over an area. */
    public Builder raster(
        String name, double[] xs, double[] ys, float[][] values, Palette palette) {
      return add(new Layer.Raster(name, xs, ys, values, palette));
    }

    /** Straight lines across the whole plot. */
    public Builder lines(
        String name, double[] at, List<String> labels, boolean vertical, Ink ink, Stroke stroke) {
      return add(new Layer.Lines(name, at, labels, vertical, ink, stroke));
    }

    /** Points that can be picked. */
    public Builder marks(
        String name,
        List<String> ids,
        double[] xs,
        double[] ys,
        Mark mark,
        Ink ink,
        List<String> labels) {
      return add(new Layer.Marks(name, ids, xs, ys, mark, ink, labels));
    }

    /** A point that can be moved by hand in both directions. */
    public Builder handle(String id, double atX, double atY, Ink ink, String label) {
      return add(new Layer.Handle(id, atX, atY, ink, label, true, true));
    }

    /** A point that can be moved by hand. */
    public Builder handle(
        String id, double atX, double atY, Ink ink, String label, boolean freeX, boolean freeY) {
      return add(new Layer.Handle(id, atX, atY, ink, label, freeX, freeY));
    }

    /**
     * @throws IllegalArgumentException if the aspect is to be equal and an axis is not linear
     */
    public PlotContent build() {
      if (equalAspect && (x.scale() != Scale.LINEAR || y.scale() != Scale.LINEAR)) {
        throw new IllegalArgumentException("an equal aspect needs two linear axes");
      }
      return new PlotContent(this, null);
    }
  }
}
