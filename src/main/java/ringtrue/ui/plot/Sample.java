package ringtrue.ui.plot;

import java.awt.BasicStroke;
import java.awt.Color;
import java.awt.Graphics2D;
import java.awt.Shape;
import java.awt.geom.Line2D;
import java.awt.geom.Rectangle2D;

/** A small piece of a layer beside its name in the legend. */
record Sample(Graphics2D g, Rectangle2D box, Colours colours, double unit) {

  void of(Layer layer) {
    if (layer instanceof Layer.Curve curve) {
      line(curve.ink, curve.stroke, curve.mark, false);
    } else if (layer instanceof Layer.Band band) {
      area(band.ink, Pattern.PLAIN, 60, false);
    } else if (layer instanceof Layer.Span span) {
      area(span.ink(), Pattern.PLAIN, 60, false);
    } else if (layer instanceof Layer.Shapes shapes) {
      area(shapes.ink, shapes.pattern, 55, true);
    } else if (layer instanceof Layer.Raster raster) {
      run(raster.palette);
    } else if (layer instanceof Layer.Lines lines) {
      Stroke stroke = lines.stroke == Stroke.NONE ? Stroke.SOLID : lines.stroke;
      g.setColor(lines.ink.color(colours.dark()));
      g.setStroke(stroke.of(1.2 * unit));
      double x = new Pen(unit, 1).sharp(box.getMaxX() - 5 * unit);
      double y = box.getCenterY();
      g.draw(
          lines.vertical
              ? new Line2D.Double(x, box.getMinY(), x, box.getMaxY())
              : new Line2D.Double(box.getMinX(), y, box.getMaxX(), y));
    } else if (layer instanceof Layer.Marks marks) {
      Mark mark = marks.mark == Mark.NONE ? Mark.CIRCLE : marks.mark;
      line(marks.ink, Stroke.NONE, mark, true);
    }
  }

  private void line(Ink ink, Stroke stroke, Mark mark, boolean full) {
    Color color = ink.color(colours.dark());
    double y = box.getCenterY();
    g.setColor(color);
    if (stroke != Stroke.NONE) {
      g.setStroke(stroke.of(1.8 * unit));
      g.draw(new Line2D.Double(box.getMinX(), y, box.getMaxX(), y));
    }
    if (mark != Mark.NONE) {
      Shape shape = mark.at(box.getCenterX(), y, 3.4 * unit);
      g.setStroke(new BasicStroke((float) (1.4 * unit)));
      if (mark.isArea()) {
        g.setColor(full ? color : colours.inside());
        g.fill(shape);
      }
      g.setColor(color);
      g.draw(shape);
    }
  }

  private void area(Ink ink, Pattern pattern, int alpha, boolean edged) {
    Color c = ink.color(colours.dark());
    Rectangle2D r =
        new Rectangle2D.Double(box.getX(), box.getCenterY() - 4.5 * unit, box.getWidth(), 9 * unit);
    g.setColor(new Color(c.getRed(), c.getGreen(), c.getBlue(), alpha));
    g.fill(r);
    g.setColor(new Color(c.getRed(), c.getGreen(), c.getBlue(), 190));
    g.setStroke(new BasicStroke((float) unit));
    if (pattern != Pattern.PLAIN) {
      Graphics2D inside = (Graphics2D) g.create();
      inside.clip(r);
      LayerPainter.fillWith(inside, pattern, r, 6 * unit);
      inside.dispose();
    }
    if (edged) {
      g.draw(r);
    }
  }

  private void run(Palette palette) {
    int n = 24;
    double step = box.getWidth() / n;
    for (int i = 0; i < n; i++) {
      double value = palette.low() + (palette.high() - palette.low()) * (i + 0.5) / n;
      g.setColor(new Color(palette.argb(value, colours.dark()), true));
      g.fill(
          new Rectangle2D.Double(
              box.getX() + i * step, box.getCenterY() - 4.5 * unit, step, 9 * unit));
    }
  }
}
