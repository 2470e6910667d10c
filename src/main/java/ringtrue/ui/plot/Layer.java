package ringtrue.ui.plot;

import java.awt.Shape;
import java.awt.geom.Path2D;
import java.util.Collections;
import java.util.List;
import java.util.Objects;

/**
 * One thing that a plot shows. Layers with the same name are one entry of the legend and are
 * switched together; those without a name are always shown and not in the legend. All arrays are
 * copied.
 */
public sealed interface Layer {

  /** What the legend calls it; empty if it is not in the legend. */
  String name();

  /** A line through points, with or without marks. Not a number breaks it. */
  final class Curve implements Layer {
    final String name;
    final double[] x;
    final double[] y;
    final Ink ink;
    final Stroke stroke;
    final Mark mark;

    /**
     * @throws IllegalArgumentException if the arrays differ in length
     */
    public Curve(String name, double[] x, double[] y, Ink ink, Stroke stroke, Mark mark) {
      this.name = Objects.requireNonNull(name, "name");
      this.x = x.clone();
      this.y = y.clone();
      this.ink = Objects.requireNonNull(ink, "ink");
      this.stroke = Objects.requireNonNull(stroke, "stroke");
      this.mark = Objects.requireNonNull(mark, "mark");
      same(name, x.length, y.length);
    }

    @Override
    public String name() {
      return name;
    }
  }

  /** A tinted strip between two lines, such as two sigma around a curve. */
  final class Band implements Layer {
    final String name;
    final double[] x;
    final double[] low;
    final double[] high;
    final Ink ink;

    /**
     * @param x rising
     * @throws IllegalArgumentException if the arrays differ in length
     */
    public Band(String name, double[] x, double[] low, double[] high, Ink ink) {
      this.name = Objects.requireNonNull(name, "name");
      this.x = x.clone();
      this.low = low.clone();
      this.high = high.clone();
      this.ink = Objects.requireNonNull(ink, "ink");
      same(name, x.length, low.length);
      same(name, x.length, high.length);
    }

    @Override
    public String name() {
      return name;
    }
  }

  /**
   * A stretch of x that is tinted over the whole height, or everything but that stretch.
   *
   * @param fromX where it begins
   * @param toX where it ends
   * @param outside whether the tint covers what is not in the stretch
   */
  record Span(String name, double fromX, double toX, Ink ink, boolean outside) implements Layer {
    public Span {
      Objects.requireNonNull(name, "name");
      Objects.requireNonNull(ink, "ink");
    }

    /** A tinted stretch. */
    public Span(String name, double fromX, double toX, Ink ink) {
      this(name, fromX, toX, ink, false);
    }
  }

  /** Areas whose outlines are in the values of the axes. */
  final class Shapes implements Layer {
    final String name;
    final List<Shape> shapes;
    final Ink ink;
    final Pattern pattern;

    public Shapes(String name, List<? extends Shape> shapes, Ink ink, Pattern pattern) {
      this.name = Objects.requireNonNull(name, "name");
      this.shapes = shapes.stream().<Shape>map(Path2D.Double::new).toList();
      this.ink = Objects.requireNonNull(ink, "ink");
      this.pattern = Objects.requireNonNull(pattern, "pattern");
    }

    @Override
    public String name() {
      return name;
    }
  }

  /** Values over an area, shown as colours. */
  final class Raster implements Layer {
    final String name;
    final double[] x;
    final double[] y;
    final float[][] values;
    final Palette palette;

    /**
     * @param x middle of each column, rising
     * @param y middle of each row, rising
     * @param values by column, then by row; not a number is clear
     * @throws IllegalArgumentException if there are not as many values as places
     */
    public Raster(String name, double[] x, double[] y, float[][] values, Palette palette) {
      this.name = Objects.requireNonNull(name, "name");
      this.x = x.clone();
      this.y = y.clone();
      this.values = new float[values.length][];
      this.palette = Objects.requireNonNull(palette, "palette");
      same(name, x.length, values.length);
      for (int i = 0; i < values.length; i++) {
        this.values[i] = values[i].clone();
        same(name, y.length, values[i].length);
      }
    }

    @Override
    public String name() {
      return name;
    }
  }

  /** Straight lines across the whole plot at some values, with words beside them. */
  final class Lines implements Layer {
    final String name;
    final double[] at;
    final List<String> labels;
    final boolean vertical;
    final Ink ink;
    final Stroke stroke;

    /**
     * @param at where, in the values of the x axis if they are vertical
     * @param labels one for each, or none at all; those that would lie over another are left out
     * @throws IllegalArgumentException if there is another number of labels
     */
    public Lines(
        String name, double[] at, List<String> labels, boolean vertical, Ink ink, Stroke stroke) {
      this.name = Objects.requireNonNull(name, "name");
      this.at = at.clone();
      this.labels = labels.isEmpty() ? Collections.nCopies(at.length, "") : List.copyOf(labels);
      this.vertical = vertical;
      this.ink = Objects.requireNonNull(ink, "ink");
      this.stroke = Objects.requireNonNull(stroke, "stroke");
      same(name, at.length, this.labels.size());
    }

    @Override
    public String name() {
      return name;
    }
  }

  /** Points that can be picked. */
  final class Marks implements Layer {
    final String name;
    final List<String> ids;
    final double[] x;
    final double[] y;
    final Mark mark;
    final Ink ink;
    final List<String> labels;

    /**
     * @param ids what a pick reports, one for each point
     * @param labels one for each, or none at all; those that would lie over another are left out
     * @throws IllegalArgumentException if there are not as many of each
     */
    public Marks(
        String name,
        List<String> ids,
        double[] x,
        double[] y,
        Mark mark,
        Ink ink,
        List<String> labels) {
      this.name = Objects.requireNonNull(name, "name");
      this.ids = List.copyOf(ids);
      this.x = x.clone();
      this.y = y.clone();
      this.mark = Objects.requireNonNull(mark, "mark");
      this.ink = Objects.requireNonNull(ink, "ink");
      this.labels = labels.isEmpty() ? Collections.nCopies(x.length, "") : List.copyOf(labels);
      same(name, x.length, y.length);
      same(name, x.length, this.ids.size());
      same(name, x.length, this.labels.size());
    }

    @Override
    public String name() {
      return name;
    }
  }

  /**
   * A point that can be moved by hand; always on top and not in the legend.
   *
   * @param id what a move reports
   * @param x where it is, in the values of the axes
   * @param y the same
   * @param label a short word beside it, also its name when it is moved by keyboard
   * @param freeX whether it can be moved along x
   * @param freeY whether it can be moved along y
   */
  record Handle(String id, double x, double y, Ink ink, String label, boolean freeX, boolean freeY)
      implements Layer {
    public Handle {
      Objects.requireNonNull(id, "id");
      Objects.requireNonNull(ink, "ink");
      Objects.requireNonNull(label, "label");
    }

    @Override
    public String name() {
      return "";
    }
  }

  private static void same(String name, int one, int other) {
    if (one != other) {
      throw new IllegalArgumentException(
          "layer " + name + ": " + one + " values against " + other + ": they belong together");
    }
  }
}
