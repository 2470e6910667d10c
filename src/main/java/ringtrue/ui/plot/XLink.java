package ringtrue.ui.plot;

import java.lang.ref.WeakReference;
import java.util.ArrayList;
import java.util.List;

/**
 * What plots share that show the same x: its range, the cursor, and the room to the left of the
 * frame, so that plots below each other line up. Event thread only.
 */
public final class XLink {
  private final List<WeakReference<Plot>> plots = new ArrayList<>();

  /** Places on the shared axis's scale; not a number while everything is shown. */
  private double from = Double.NaN;

  private double to = Double.NaN;
  private double cursor = Double.NaN;

  void add(Plot plot) {
    plots.removeIf(p -> p.get() == null);
    plots.add(new WeakReference<>(plot));
  }

  void remove(Plot plot) {
    plots.removeIf(p -> p.get() == null || p.get() == plot);
  }

  boolean zoomed() {
    return !Double.isNaN(from);
  }

  double from() {
    return from;
  }

  double to() {
    return to;
  }

  double cursor() {
    return cursor;
  }

  /** Shows another range everywhere; in values of x, not a number for everything. */
  void range(double newFrom, double newTo, Plot source) {
    from = newFrom;
    to = newTo;
    for (Plot plot : others(source)) {
      plot.linkedRange();
    }
  }

  void cursor(double x, Plot source) {
    cursor = x;
    for (Plot plot : others(source)) {
      plot.linkedCursor(x);
    }
  }

  /** The widest room that any of the plots needs left of its frame. */
  double gutter() {
    double widest = 0;
    for (Plot plot : others(null)) {
      widest = Math.max(widest, plot.ownGutter());
    }
    return widest;
  }

  void gutterChanged(Plot source) {
    for (Plot plot : others(source)) {
      plot.stale();
    }
  }

  private List<Plot> others(Plot source) {
    List<Plot> found = new ArrayList<>();
    for (WeakReference<Plot> reference : plots) {
      Plot plot = reference.get();
      if (plot != null && plot != source) {
        found.add(plot);
      }
    }
    return found;
  }
}
