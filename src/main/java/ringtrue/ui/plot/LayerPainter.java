package ringtrue.ui.plot;

import java.awt.BasicStroke;
import java.awt.Color;
import java.awt.Graphics2D;
import java.awt.Rectangle;
import java.awt.RenderingHints;
import java.awt.Shape;
import java.awt.TexturePaint;
import java.awt.geom.AffineTransform;
import java.awt.geom.Ellipse2D;
import java.awt.geom.Line2D;
import java.awt.geom.Path2D;
import java.awt.geom.PathIterator;
import java.awt.geom.Rectangle2D;
import java.awt.image.BufferedImage;
import java.awt.image.DataBufferInt;

/** Paints the layers of a scene into a frame. */
final class LayerPainter {
  /** So many pixels up and down in each column on the average, and a line is a thicket. */
  private static final double THICKET = 4;

  private final Scene scene;
  private final Frame frame;
  private final Colours colours;
  private final Labels labels;
  private final Pen pen;

  /** Size of things against those at a font of 12. */
  private final double unit;

  /** Pixels of the screen for each unit of the surface. */
  private final double fine;

  /** Whether lines are kept as lines for a drawing, rather than textures. */
  private final boolean vector;

  LayerPainter(Scene scene, Frame frame, Colours colours, Labels labels, Pen pen, boolean vector) {
    this.scene = scene;
    this.frame = frame;
    this.colours = colours;
    this.labels = labels;
    this.pen = pen;
    this.unit = pen.unit();
    this.fine = pen.fine();
    this.vector = vector;
  }

  void paint(Graphics2D g, Layer layer) {
    if (layer instanceof Layer.Curve curve) {
      curve(g, curve);
    } else if (layer instanceof Layer.Band band) {
      band(g, band);
    } else if (layer instanceof Layer.Span span) {
      span(g, span);
    } else if (layer instanceof Layer.Shapes shapes) {
      shapes(g, shapes);
    } else if (layer instanceof Layer.Raster raster) {
      raster(g, raster);
    } else if (layer instanceof Layer.Lines lines) {
      lines(g, lines);
    } else if (layer instanceof Layer.Marks marks) {
      marks(g, marks);
    }
  }

  private Rectangle2D roomy() {
    Rectangle2D p = frame.plot();
    double more = 20 * unit;
    return new Rectangle2D.Double(
        p.getX() - more, p.getY() - more, p.getWidth() + 2 * more, p.getHeight() + 2 * more);
  }

  private void curve(Graphics2D g, Layer.Curve curve) {
    Track track = scene.track(curve);
    g.setColor(curve.ink.color(colours.dark()));
    if (curve.stroke != Stroke.NONE) {
      double[][] columns =
          track.isRising() ? Track.strip(track, track, frame.x(), fine) : new double[3][0];
      if (isThicket(columns)) {
        thicket(g, columns, curve.stroke);
      } else {
        ClippedPath path = new ClippedPath(roomy());
        track.draw(frame.x(), frame.y(), fine, path);
        g.setStroke(curve.stroke.of(1.5 * unit));
        g.draw(path.path());
      }
    }
    if (curve.mark != Mark.NONE) {
      curveMarks(g, curve, track);
    }
  }

  /** Whether a line goes up and down so much that it fills its pixel columns. */
  private boolean isThicket(double[][] columns) {
    double climbed = 0;
    for (int i = 0; i < columns[0].length; i++) {
      double high = frame.y().pixelOfPlace(columns[1][i]) - frame.y().pixelOfPlace(columns[2][i]);
      climbed += high > 0 ? Math.min(high, frame.plot().getHeight()) : 0;
    }
    return columns[0].length > 0.25 * frame.plot().getWidth() * fine
        && climbed > THICKET * columns[0].length;
  }

  /**
   * Fills each pixel column from the smallest to the largest value: what the line would do, in a
   * tenth of the time. Columns that are left out stand for dashes and dots.
   */
  private void thicket(Graphics2D g, double[][] columns, Stroke stroke) {
    Graphics2D inside = (Graphics2D) g.create();
    AffineTransform to = g.getTransform();
    if (!vector) {
      inside.setTransform(new AffineTransform());
    }
    double sizeX = vector ? 1 : to.getScaleX();
    double sizeY = vector ? 1 : to.getScaleY();
    double fromX = vector ? 0 : to.getTranslateX();
    double fromY = vector ? 0 : to.getTranslateY();
    double half = 0.75 * unit * sizeY;
    double period = (stroke == Stroke.DASHED ? 9 : 4) * unit * sizeX;
    double drawn = stroke == Stroke.SOLID ? 1 : stroke == Stroke.DASHED ? 0.65 : 0.5;
    double limitLow = fromY + frame.plot().getMaxY() * sizeY + 4;
    double limitHigh = fromY + frame.plot().getMinY() * sizeY - 4;
    double perPlace = frame.plot().getWidth() * fine / frame.view().width();
    double lastLow = Double.NaN;
    double lastHigh = Double.NaN;
    for (int i = 0; i < columns[0].length; i++) {
      double low = fromY + frame.y().pixelOfPlace(columns[1][i]) * sizeY;
      double high = fromY + frame.y().pixelOfPlace(columns[2][i]) * sizeY;
      // bridges to the column before where the line jumps
      double bottom = lastHigh > low ? lastHigh : low;
      double top = lastLow < high ? lastLow : high;
      lastLow = low;
      lastHigh = high;
      bottom = Math.min(limitLow, bottom + half);
      top = Math.max(limitHigh, top - half);
      double column = Math.floor((columns[0][i] - frame.x().u0()) * perPlace);
      int x = (int) Math.round(fromX + frame.plot().getMinX() * sizeX + column);
      if (bottom > top && x / period - Math.floor(x / period) <= drawn) {
        int y = (int) Math.round(top);
        inside.fillRect(x, y, 1, Math.max(1, (int) Math.round(bottom) - y));
      }
    }
    inside.dispose();
  }

  /** Marks on a long line would be one smear: those too near to the last one are left out. */
  private void curveMarks(Graphics2D g, Layer.Curve curve, Track track) {
    double r = 3.4 * unit;
    double apart = curve.stroke == Stroke.NONE ? 1 / fine : 7 * unit;
    double lastX = Double.NaN;
    double lastY = Double.NaN;
    Rectangle2D room = roomy();
    int from = track.isRising() ? track.firstShown(frame.x().u0()) : track.from();
    int to = track.isRising() ? track.endShown(frame.x().u1()) : track.to();
    g.setStroke(new BasicStroke((float) (1.4 * unit)));
    for (int i = from; i < to; i++) {
      double px = frame.x().pixelOfPlace(track.x(i));
      double py = frame.y().pixelOfPlace(track.y(i));
      if (room.contains(px, py) && !(Math.hypot(px - lastX, py - lastY) < apart)) {
        mark(g, curve.mark, px, py, r, curve.ink.color(colours.dark()), false);
        lastX = px;
        lastY = py;
      }
    }
  }

  private void mark(
      Graphics2D g, Mark mark, double x, double y, double r, Color color, boolean full) {
    Shape shape = mark.at(x, y, r);
    if (full) {
      java.awt.Stroke line = g.getStroke();
      g.setColor(colours.inside());
      g.setStroke(new BasicStroke((float) (4 * unit)));
      g.draw(shape);
      g.setStroke(line);
    }
    if (mark.isArea()) {
      g.setColor(full ? color : colours.inside());
      g.fill(shape);
    }
    g.setColor(color);
    g.draw(shape);
  }

  private void band(Graphics2D g, Layer.Band band) {
    double[][] strip = Track.strip(scene.track(band), scene.upper(band), frame.x(), fine);
    double top = frame.plot().getMinY() - 50;
    double bottom = frame.plot().getMaxY() + 50;
    Path2D.Float area = new Path2D.Float();
    int n = strip[0].length;
    int i = 0;
    while (i < n) {
      int end = i;
      while (end < n && !Double.isNaN(strip[2][end])) {
        end++;
      }
      if (end > i) {
        for (int k = i; k < end; k++) {
          double px = sideways(strip[0][k]);
          double py = Math.max(top, Math.min(bottom, frame.y().pixelOfPlace(strip[2][k])));
          if (k == i) {
            area.moveTo(px, py);
          } else {
            area.lineTo(px, py);
          }
        }
        for (int k = end - 1; k >= i; k--) {
          double low = frame.y().pixelOfPlace(strip[1][k]);
          // no place on the scale: below all that is shown
          area.lineTo(
              sideways(strip[0][k]),
              Double.isNaN(low) ? bottom : Math.max(top, Math.min(bottom, low)));
        }
        area.closePath();
      }
      i = Math.max(end, i + 1);
      while (i < n && Double.isNaN(strip[2][i])) {
        i++;
      }
    }
    g.setColor(tint(band.ink, colours.dark() ? 75 : 60));
    g.fill(area);
  }

  /** Far points beside the frame are drawn nearer; a strip runs out of the frame all the same. */
  private double sideways(double place) {
    double px = frame.x().pixelOfPlace(place);
    return Math.max(frame.plot().getMinX() - 2000, Math.min(frame.plot().getMaxX() + 2000, px));
  }

  private Color tint(Ink ink, int alpha) {
    Color c = ink.color(colours.dark());
    return new Color(c.getRed(), c.getGreen(), c.getBlue(), alpha);
  }

  private void span(Graphics2D g, Layer.Span span) {
    double a = sidewaysOf(span.fromX());
    double b = sidewaysOf(span.toX());
    double from = Math.min(a, b);
    double to = Math.max(a, b);
    Rectangle2D p = frame.plot();
    g.setColor(tint(span.ink(), colours.dark() ? 60 : 45));
    if (span.outside()) {
      g.fill(new Rectangle2D.Double(p.getX(), p.getY(), from - p.getX(), p.getHeight()));
      g.fill(new Rectangle2D.Double(to, p.getY(), p.getMaxX() - to, p.getHeight()));
    } else {
      g.fill(new Rectangle2D.Double(from, p.getY(), to - from, p.getHeight()));
    }
    g.setColor(tint(span.ink(), 150));
    g.setStroke(Stroke.DOTTED.of(unit));
    for (double x : new double[] {from, to}) {
      if (x > p.getX() && x < p.getMaxX()) {
        double at = pen.sharp(x);
        g.draw(new Line2D.Double(at, p.getY(), at, p.getMaxY()));
      }
    }
  }

  /** Pixel of an x, at the frame's side if it is beyond; without a place it is at the left. */
  private double sidewaysOf(double x) {
    double px = frame.x().pixel(x);
    Rectangle2D p = frame.plot();
    return Double.isNaN(px) ? p.getMinX() : Math.max(p.getMinX(), Math.min(p.getMaxX(), px));
  }

  private void shapes(Graphics2D g, Layer.Shapes layer) {
    Path2D.Double all = new Path2D.Double(Path2D.WIND_NON_ZERO);
    for (Shape shape : layer.shapes) {
      append(shape, all);
    }
    g.setColor(tint(layer.ink, colours.dark() ? 60 : 50));
    g.fill(all);
    pattern(g, all, layer.ink, layer.pattern);
    g.setColor(tint(layer.ink, 190));
    g.setStroke(Stroke.SOLID.of(unit));
    g.draw(all);
  }

  private void append(Shape shape, Path2D to) {
    Rectangle2D p = frame.plot();
    double low = p.getMaxY() + 4000; // where there is no place on the scale
    double left = p.getMinX() - 4000;
    double[] c = new double[6];
    for (PathIterator i = flat(shape); !i.isDone(); i.next()) {
      int kind = i.currentSegment(c);
      double px = frame.x().pixel(c[0]);
      double py = frame.y().pixel(c[1]);
      px = Double.isNaN(px) ? left : Math.max(left, Math.min(p.getMaxX() + 4000, px));
      py = Double.isNaN(py) ? low : Math.max(p.getMinY() - 4000, Math.min(low, py));
      switch (kind) {
        case PathIterator.SEG_MOVETO -> to.moveTo(px, py);
        case PathIterator.SEG_LINETO -> to.lineTo(px, py);
        default -> to.closePath();
      }
    }
  }

  /** Curved sides as short straight ones, each axis by the size of the shape. */
  private static PathIterator flat(Shape shape) {
    Rectangle2D size = shape.getBounds2D();
    if (!(size.getWidth() > 0 && size.getHeight() > 0)) {
      return shape.getPathIterator(null, 1e-6);
    }
    AffineTransform back =
        new AffineTransform(size.getWidth(), 0, 0, size.getHeight(), size.getX(), size.getY());
    AffineTransform there =
        AffineTransform.getScaleInstance(1 / size.getWidth(), 1 / size.getHeight());
    there.translate(-size.getX(), -size.getY());
    Path2D.Double straight = new Path2D.Double();
    straight.append(shape.getPathIterator(there, 5e-4), false);
    return straight.getPathIterator(back);
  }

  private void pattern(Graphics2D g, Shape area, Ink ink, Pattern pattern) {
    if (pattern == Pattern.PLAIN) {
      return;
    }
    Graphics2D inside = (Graphics2D) g.create();
    double tile = 8 * unit;
    inside.setColor(tint(ink, 150));
    if (vector) {
      Rectangle2D p = frame.plot();
      Rectangle2D part = area.getBounds2D().createIntersection(p);
      if (!part.isEmpty()) {
        inside.clip(area);
        inside.setStroke(Stroke.SOLID.of(unit));
        fillWith(inside, pattern, part, tile);
      }
    } else {
      int pixels = (int) Math.max(4, Math.round(tile * fine));
      BufferedImage image = new BufferedImage(pixels, pixels, BufferedImage.TYPE_INT_ARGB);
      Graphics2D t = image.createGraphics();
      t.setRenderingHint(RenderingHints.KEY_ANTIALIASING, RenderingHints.VALUE_ANTIALIAS_ON);
      t.setRenderingHint(RenderingHints.KEY_STROKE_CONTROL, RenderingHints.VALUE_STROKE_PURE);
      t.setColor(tint(ink, 150));
      t.setStroke(Stroke.SOLID.of(unit * fine));
      fillWith(t, pattern, new Rectangle(0, 0, pixels, pixels), pixels);
      t.dispose();
      inside.setPaint(
          new TexturePaint(image, new Rectangle2D.Double(0, 0, pixels / fine, pixels / fine)));
      inside.fill(area);
    }
    inside.dispose();
  }

  /** Lines or dots at multiples of a distance, over an area. */
  static void fillWith(Graphics2D g, Pattern pattern, Rectangle2D area, double tile) {
    if (pattern == Pattern.HATCHED) {
      double from = Math.floor((area.getMinX() + area.getMinY()) / tile) * tile;
      for (double sum = from; sum <= area.getMaxX() + area.getMaxY() + tile; sum += tile) {
        double top = area.getMinY() - tile;
        double bottom = area.getMaxY() + tile;
        g.draw(new Line2D.Double(sum - top, top, sum - bottom, bottom));
      }
    } else if (pattern == Pattern.DOTS) {
      double r = tile / 8;
      double fromX = Math.floor(area.getMinX() / tile) * tile;
      double fromY = Math.floor(area.getMinY() / tile) * tile;
      for (double x = fromX; x < area.getMaxX(); x += tile) {
        for (double y = fromY; y < area.getMaxY(); y += tile) {
          g.fill(new Ellipse2D.Double(x + tile / 4 - r, y + tile / 4 - r, 2 * r, 2 * r));
          g.fill(new Ellipse2D.Double(x + tile * 3 / 4 - r, y + tile * 3 / 4 - r, 2 * r, 2 * r));
        }
      }
    }
  }

  private void raster(Graphics2D g, Layer.Raster layer) {
    Rectangle2D p = frame.plot();
    double dense = dense();
    int width = (int) Math.ceil(p.getWidth() * dense);
    int height = (int) Math.ceil(p.getHeight() * dense);
    if (width < 1 || height < 1 || layer.x.length == 0 || layer.y.length == 0) {
      return;
    }
    BufferedImage image = new BufferedImage(width, height, BufferedImage.TYPE_INT_ARGB);
    int[] pixels = ((DataBufferInt) image.getRaster().getDataBuffer()).getData();
    Scene.Cells cells = scene.cells(layer);
    if (layer.palette.isStepped()) {
      smooth(layer, cells, width, height, pixels);
    } else {
      cellwise(layer, cells, width, height, pixels);
    }
    AffineTransform place = AffineTransform.getTranslateInstance(p.getX(), p.getY());
    place.scale(1 / dense, 1 / dense);
    g.drawImage(image, place, null);
  }

  /** Pixels of a raster for each unit of the surface. */
  private double dense() {
    return vector ? 2 : fine;
  }

  private void cellwise(
      Layer.Raster layer, Scene.Cells cells, int width, int height, int[] pixels) {
    Rectangle2D p = frame.plot();
    int[] columns = new int[width + 1];
    int[] rows = new int[height + 1];
    for (int i = 0; i <= width; i++) {
      columns[i] = Scene.Cells.find(cells.edgesX(), frame.x().place(p.getX() + i / dense()));
    }
    for (int j = 0; j <= height; j++) {
      rows[j] = Scene.Cells.find(cells.edgesY(), frame.y().place(p.getY() + j / dense()));
    }
    for (int i = 0; i < width; i++) {
      if (columns[i] < 0) {
        continue;
      }
      int lastColumn = Math.max(columns[i], columns[i + 1] - 1);
      for (int j = 0; j < height; j++) {
        int low = rows[j + 1] < 0 ? rows[j] : Math.min(rows[j], rows[j + 1] + 1);
        if (rows[j] >= 0) {
          double value = most(layer.values, columns[i], lastColumn, low, rows[j]);
          pixels[j * width + i] = layer.palette.argb(value, colours.dark());
        }
      }
    }
  }

  /** Steps have smooth borders: values are taken straight between the middles of cells. */
  private void smooth(Layer.Raster layer, Scene.Cells cells, int width, int height, int[] pixels) {
    Rectangle2D p = frame.plot();
    int[] rows = new int[height];
    float[] partsY = new float[height];
    for (int j = 0; j < height; j++) {
      double at = cells.between(cells.middlesY(), frame.y().place(p.getY() + (j + 0.5) / dense()));
      rows[j] = (int) at;
      partsY[j] = (float) (at - rows[j]);
    }
    for (int i = 0; i < width; i++) {
      double at = cells.between(cells.middlesX(), frame.x().place(p.getX() + (i + 0.5) / dense()));
      if (at < 0) {
        continue;
      }
      int column = (int) at;
      float part = (float) (at - column);
      float[] left = layer.values[column];
      float[] right = layer.values[Math.min(column + 1, layer.values.length - 1)];
      for (int j = 0; j < height; j++) {
        int row = rows[j];
        if (row >= 0) {
          int above = Math.min(row + 1, left.length - 1);
          float low = left[row] + part * (right[row] - left[row]);
          float high = left[above] + part * (right[above] - left[above]);
          float value = low + partsY[j] * (high - low);
          pixels[j * width + i] = layer.palette.argb(value, colours.dark());
        }
      }
    }
  }

  /** The greatest of the cells that share a pixel, so that no line is lost. */
  private static double most(float[][] values, int fromX, int toX, int fromY, int toY) {
    int strideX = 1 + (toX - fromX) / 16;
    int strideY = 1 + (toY - fromY) / 16;
    double most = Double.NaN;
    for (int x = fromX; x <= toX; x += strideX) {
      for (int y = fromY; y <= toY; y += strideY) {
        float value = values[x][y];
        most = Double.isNaN(most) || value > most ? value : most;
      }
    }
    return most;
  }

  private void lines(Graphics2D g, Layer.Lines layer) {
    Rectangle2D p = frame.plot();
    Color color = layer.ink.color(colours.dark());
    g.setColor(color);
    g.setStroke((layer.stroke == Stroke.NONE ? Stroke.SOLID : layer.stroke).of(1.2 * unit));
    for (int i = 0; i < layer.at.length; i++) {
      double at = layer.vertical ? frame.x().pixel(layer.at[i]) : frame.y().pixel(layer.at[i]);
      boolean shown =
          layer.vertical
              ? at >= p.getMinX() && at <= p.getMaxX()
              : at >= p.getMinY() && at <= p.getMaxY();
      if (shown) {
        at = pen.sharp(at);
        g.draw(
            layer.vertical
                ? new Line2D.Double(at, p.getMinY(), at, p.getMaxY())
                : new Line2D.Double(p.getMinX(), at, p.getMaxX(), at));
        if (!layer.labels.get(i).isEmpty()) {
          if (layer.vertical) {
            labels.besideVertical(layer.labels.get(i), at, color, 3 * unit);
          } else {
            labels.besideHorizontal(layer.labels.get(i), at, color, 3 * unit);
          }
        }
      }
    }
  }

  private void marks(Graphics2D g, Layer.Marks layer) {
    Color color = layer.ink.color(colours.dark());
    double r = 4.2 * unit;
    g.setStroke(new BasicStroke((float) (1.5 * unit)));
    Rectangle2D room = roomy();
    Mark mark = layer.mark == Mark.NONE ? Mark.CIRCLE : layer.mark;
    for (int i = 0; i < layer.x.length; i++) {
      double px = frame.x().pixel(layer.x[i]);
      double py = frame.y().pixel(layer.y[i]);
      if (room.contains(px, py)) {
        mark(g, mark, px, py, r, color, true);
        labels.keepFree(new Rectangle2D.Double(px - r, py - r, 2 * r, 2 * r));
      }
    }
    for (int i = 0; i < layer.x.length; i++) {
      double px = frame.x().pixel(layer.x[i]);
      double py = frame.y().pixel(layer.y[i]);
      if (!layer.labels.get(i).isEmpty() && frame.plot().contains(px, py)) {
        labels.around(layer.labels.get(i), px, py, color, r + 2 * unit);
      }
    }
  }
}
