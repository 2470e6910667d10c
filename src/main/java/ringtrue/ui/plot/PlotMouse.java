package ringtrue.ui.plot;

import java.awt.Cursor;
import java.awt.Point;
import java.awt.event.MouseAdapter;
import java.awt.event.MouseEvent;
import java.awt.event.MouseWheelEvent;
import java.awt.geom.Rectangle2D;
import java.util.Optional;
import javax.swing.SwingUtilities;

/** What the mouse does to a plot. */
final class PlotMouse extends MouseAdapter {
  private static final double PICK_REACH = 8;
  private static final int STILL = 4;
  private static final long WHEEL_PAUSE_MS = 500;

  private enum Drag {
    NONE,
    ZOOM,
    PAN,
    HANDLE
  }

  private final Plot plot;
  private Drag drag = Drag.NONE;
  private Point start = new Point();
  private View startView;
  private boolean far;
  private double grabX;
  private double grabY;
  private double[] startPlace = new double[2];
  private long lastWheel;

  PlotMouse(Plot plot) {
    this.plot = plot;
  }

  private boolean idle() {
    return plot.content().isEmpty();
  }

  boolean isDragging() {
    return drag != Drag.NONE;
  }

  /** Gives up what is being dragged; false if nothing is. */
  boolean cancel() {
    if (drag == Drag.NONE) {
      return false;
    }
    if (drag == Drag.HANDLE) {
      plot.handleOf(plot.held()).ifPresent(h -> plot.move(h, startPlace[0], startPlace[1], true));
    } else if (drag == Drag.PAN) {
      plot.look(startView);
    }
    drag = Drag.NONE;
    plot.rubber(null);
    return true;
  }

  @Override
  public void mousePressed(MouseEvent e) {
    plot.requestFocusInWindow();
    plot.note("", false);
    if (popup(e) || idle()) {
      return;
    }
    Frame frame = plot.frame();
    start = e.getPoint();
    startView = frame.view();
    far = false;
    drag = Drag.NONE;
    if (!frame.plot().contains(start)) {
      return;
    }
    boolean left = SwingUtilities.isLeftMouseButton(e);
    Optional<Layer.Handle> handle = left ? handleAt(start) : Optional.empty();
    if (handle.isPresent()) {
      drag = Drag.HANDLE;
      startPlace = plot.placeOf(handle.get());
      grabX = frame.insideX(frame.x().pixel(startPlace[0])) - start.x;
      grabY = frame.insideY(frame.y().pixel(startPlace[1])) - start.y;
      plot.hold(handle.get().id());
      plot.target(handle.get().id());
    } else if (SwingUtilities.isMiddleMouseButton(e) || left && e.isShiftDown()) {
      drag = Drag.PAN;
      plot.setCursor(Cursor.getPredefinedCursor(Cursor.MOVE_CURSOR));
    } else if (left) {
      drag = Drag.ZOOM;
    }
  }

  private boolean popup(MouseEvent e) {
    if (e.isPopupTrigger() && !idle()) {
      PlotMenu.of(plot).show(plot, e.getX(), e.getY());
      return true;
    }
    return false;
  }

  /** The handle under a point; the last painted lies on top. */
  private Optional<Layer.Handle> handleAt(Point p) {
    Frame frame = plot.frame();
    double reach = 13 * plot.habit().unit();
    Layer.Handle found = null;
    for (Layer.Handle handle : plot.content().handles()) {
      double[] at = plot.placeOf(handle);
      double px = frame.insideX(frame.x().pixel(at[0]));
      double py = frame.insideY(frame.y().pixel(at[1]));
      double far = px == frame.x().pixel(at[0]) && py == frame.y().pixel(at[1]) ? 1 : 2;
      if (Math.hypot(px - p.x, py - p.y) <= far * reach && (handle.freeX() || handle.freeY())) {
        found = handle;
      }
    }
    return Optional.ofNullable(found);
  }

  @Override
  public void mouseDragged(MouseEvent e) {
    far |= e.getPoint().distance(start) >= STILL;
    Frame frame = plot.frame();
    if (drag != Drag.NONE) {
      follow(e);
    }
    if (drag == Drag.HANDLE && far) {
      plot.handleOf(plot.held()).ifPresent(h -> moveTo(h, e.getPoint(), false));
    } else if (drag == Drag.PAN) {
      Rectangle2D p = frame.plot();
      plot.look(
          startView.moved(
              (start.x - e.getX()) / p.getWidth(), (e.getY() - start.y) / p.getHeight()));
    } else if (drag == Drag.ZOOM && far) {
      plot.rubber(area(e.getPoint()));
    }
  }

  private void moveTo(Layer.Handle handle, Point p, boolean finished) {
    Frame frame = plot.frame();
    Rectangle2D box = frame.plot();
    double px = Math.max(box.getMinX(), Math.min(box.getMaxX(), p.x + grabX));
    double py = Math.max(box.getMinY(), Math.min(box.getMaxY(), p.y + grabY));
    plot.move(handle, frame.x().value(px), frame.y().value(py), finished);
  }

  /** What the rectangle covers: a flat or narrow one takes the whole height or width. */
  private Rectangle2D area(Point p) {
    Rectangle2D box = plot.frame().plot();
    double x0 = Math.max(box.getMinX(), Math.min(start.x, p.x));
    double x1 = Math.min(box.getMaxX(), Math.max(start.x, p.x));
    double y0 = Math.max(box.getMinY(), Math.min(start.y, p.y));
    double y1 = Math.min(box.getMaxY(), Math.max(start.y, p.y));
    double slight = 8 * plot.habit().unit();
    if (y1 - y0 < slight && x1 - x0 >= slight) {
      y0 = box.getMinY();
      y1 = box.getMaxY();
    } else if (x1 - x0 < slight && y1 - y0 >= slight) {
      x0 = box.getMinX();
      x1 = box.getMaxX();
    }
    return new Rectangle2D.Double(x0, y0, Math.max(0, x1 - x0), Math.max(0, y1 - y0));
  }

  @Override
  public void mouseReleased(MouseEvent e) {
    Drag ended = drag;
    drag = Drag.NONE;
    plot.rubber(null);
    if (ended == Drag.PAN) {
      plot.setCursor(Cursor.getDefaultCursor());
      if (!plot.frame().view().equals(startView)) {
        plot.remember(startView);
      }
    } else if (ended == Drag.HANDLE) {
      Optional<Layer.Handle> handle = plot.handleOf(plot.held());
      if (far) {
        handle.ifPresent(h -> moveTo(h, e.getPoint(), true));
      } else {
        plot.hold("");
      }
    } else if (ended == Drag.ZOOM && far) {
      zoomInto(area(e.getPoint()));
    }
    popup(e);
  }

  private void zoomInto(Rectangle2D area) {
    double slight = 4;
    if (area.getWidth() < slight || area.getHeight() < slight) {
      return;
    }
    Frame frame = plot.frame();
    plot.remember();
    plot.look(
        new View(
            frame.x().place(area.getMinX()),
            frame.x().place(area.getMaxX()),
            frame.y().place(area.getMaxY()),
            frame.y().place(area.getMinY())));
  }

  @Override
  public void mouseClicked(MouseEvent e) {
    if (idle() || !SwingUtilities.isLeftMouseButton(e)) {
      return;
    }
    Frame frame = plot.frame();
    for (Frame.Spot spot : frame.legend()) {
      if (spot.box().contains(e.getPoint())) {
        if (spot.name().isEmpty()) {
          PlotMenu.of(plot).show(plot, e.getX(), e.getY());
          return;
        }
        plot.setShown(spot.name(), !plot.isShown(spot.name()));
        return;
      }
    }
    if (!frame.plot().contains(e.getPoint())) {
      return;
    }
    if (e.getClickCount() == 2 && plot.markAt(e.getPoint(), PICK_REACH).isEmpty()) {
      plot.resetView();
    } else if (!far) {
      plot.pick(
          frame.x().value(e.getX()),
          frame.y().value(e.getY()),
          plot.markAt(e.getPoint(), PICK_REACH));
    }
  }

  @Override
  public void mouseMoved(MouseEvent e) {
    if (idle()) {
      return;
    }
    follow(e);
    Frame frame = plot.frame();
    boolean onLegend = frame.legend().stream().anyMatch(s -> s.box().contains(e.getPoint()));
    boolean onMark =
        frame.plot().contains(e.getPoint()) && plot.markAt(e.getPoint(), PICK_REACH).isPresent();
    int kind =
        onLegend || onMark
            ? Cursor.HAND_CURSOR
            : handleAt(e.getPoint()).isPresent() ? Cursor.MOVE_CURSOR : Cursor.DEFAULT_CURSOR;
    if (plot.getCursor().getType() != kind) {
      plot.setCursor(Cursor.getPredefinedCursor(kind));
    }
  }

  private void follow(MouseEvent e) {
    Frame frame = plot.frame();
    if (frame.plot().contains(e.getPoint())) {
      plot.cursor(frame.x().value(e.getX()), e.getY());
    } else {
      plot.cursor(Double.NaN, Double.NaN);
    }
  }

  @Override
  public void mouseExited(MouseEvent e) {
    if (drag == Drag.NONE) {
      plot.cursor(Double.NaN, Double.NaN);
    }
  }

  private boolean wheelX(MouseWheelEvent e) {
    return !e.isControlDown() && !(plot.wheelsAlongX() && e.isShiftDown());
  }

  private boolean wheelY(MouseWheelEvent e) {
    return plot.wheelsAlongX() ? e.isShiftDown() || e.isControlDown() : !e.isShiftDown();
  }

  @Override
  public void mouseWheelMoved(MouseWheelEvent e) {
    plot.hideHelp();
    Frame frame = plot.frame();
    if (idle() || !frame.plot().contains(e.getPoint())) {
      return;
    }
    if (e.getWhen() - lastWheel > WHEEL_PAUSE_MS) {
      plot.remember();
    }
    lastWheel = e.getWhen();
    double by = Math.pow(1.2, Math.max(-4, Math.min(4, e.getPreciseWheelRotation())));
    plot.look(
        frame
            .view()
            .zoomed(
                frame.x().place(e.getX()),
                frame.y().place(e.getY()),
                wheelX(e) ? by : 1,
                wheelY(e) ? by : 1));
    follow(e);
  }
}
