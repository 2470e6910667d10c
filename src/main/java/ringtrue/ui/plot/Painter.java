package ringtrue.ui.plot;

import java.awt.BasicStroke;
import java.awt.Color;
import java.awt.Font;
import java.awt.Graphics2D;
import java.awt.RenderingHints;
import java.awt.geom.AffineTransform;
import java.awt.geom.Ellipse2D;
import java.awt.geom.Line2D;
import java.awt.geom.Path2D;
import java.awt.geom.Rectangle2D;
import java.awt.geom.RoundRectangle2D;
import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;
import java.util.Set;

/** Paints a scene: once for each zoom what is costly, and over it what follows the hand. */
final class Painter {
  private final Scene scene;
  private final Frame frame;
  private final Colours colours;
  private final Frame.Habit habit;
  private final double unit;
  private final Pen pen;

  /**
   * @param fine pixels of the screen for each unit of the surface
   */
  Painter(Scene scene, Frame frame, Colours colours, Frame.Habit habit, double fine) {
    this.scene = scene;
    this.frame = frame;
    this.colours = colours;
    this.habit = habit;
    this.unit = habit.unit();
    this.pen = new Pen(unit, fine);
  }

  static void smooth(Graphics2D g) {
    g.setRenderingHint(RenderingHints.KEY_ANTIALIASING, RenderingHints.VALUE_ANTIALIAS_ON);
    g.setRenderingHint(
        RenderingHints.KEY_TEXT_ANTIALIASING, RenderingHints.VALUE_TEXT_ANTIALIAS_ON);
    g.setRenderingHint(
        RenderingHints.KEY_FRACTIONALMETRICS, RenderingHints.VALUE_FRACTIONALMETRICS_ON);
    g.setRenderingHint(RenderingHints.KEY_STROKE_CONTROL, RenderingHints.VALUE_STROKE_PURE);
  }

  /**
   * Everything but cursor and handles.
   *
   * @param hidden names of layers that are switched off
   * @param vector whether it goes into a drawing rather than onto pixels
   */
  void paint(Graphics2D g, Set<String> hidden, boolean vector) {
    smooth(g);
    g.setColor(colours.around());
    g.fill(new Rectangle2D.Double(0, 0, frame.width(), frame.height()));
    if (scene.content.isEmpty()) {
      hint(g);
      return;
    }
    Rectangle2D plot = frame.plot();
    g.setColor(colours.inside());
    g.fill(plot);
    grid(g);
    Labels labels = new Labels(plot, habit.small());
    Graphics2D inside = (Graphics2D) g.create();
    inside.clip(plot);
    LayerPainter painter = new LayerPainter(scene, frame, colours, labels, pen, vector);
    for (Layer layer : scene.content.layers()) {
      if (!hidden.contains(layer.name()) || layer.name().isBlank()) {
        painter.paint(inside, layer);
      }
    }
    labels.paint(inside, colours.inside());
    inside.dispose();
    g.setColor(colours.frame());
    g.setStroke(pen.thin());
    g.draw(sharp(plot));
    axes(g);
    head(g, hidden);
  }

  private Rectangle2D sharp(Rectangle2D r) {
    Rectangle2D sharp = new Rectangle2D.Double();
    sharp.setFrameFromDiagonal(
        pen.sharp(r.getMinX()),
        pen.sharp(r.getMinY()),
        pen.sharp(r.getMaxX()),
        pen.sharp(r.getMaxY()));
    return sharp;
  }

  private void hint(Graphics2D g) {
    Font font = habit.font();
    g.setFont(font);
    g.setColor(colours.quiet());
    double line = Frame.Habit.lineHeight(font) * 1.2;
    List<String> lines = wrapped(font, scene.content.hint(), frame.width() - 24 * unit);
    double y = frame.height() / 2.0 - (lines.size() - 1) * line / 2 + line / 3;
    for (String text : lines) {
      double x = (frame.width() - Labels.width(font, text)) / 2;
      g.drawString(text, (float) x, (float) y);
      y += line;
    }
  }

  private static List<String> wrapped(Font font, String text, double room) {
    List<String> lines = new ArrayList<>();
    for (String paragraph : text.split("\n")) {
      String line = "";
      for (String word : paragraph.split(" ")) {
        String longer = line.isEmpty() ? word : line + " " + word;
        if (!line.isEmpty() && Labels.width(font, longer) > room) {
          lines.add(line);
          longer = word;
        }
        line = longer;
      }
      lines.add(line);
    }
    return lines;
  }

  private void grid(Graphics2D g) {
    Rectangle2D p = frame.plot();
    g.setStroke(pen.thin());
    for (boolean major : new boolean[] {false, true}) {
      g.setColor(major ? colours.grid() : colours.faint());
      for (Ticks.Tick tick : frame.ticksX()) {
        if (tick.isMajor() == major && (major || scene.content.x().scale() == Scale.LOG)) {
          double x = pen.sharp(frame.x().pixelOfPlace(tick.place()));
          g.draw(new Line2D.Double(x, p.getMinY(), x, p.getMaxY()));
        }
      }
      for (Ticks.Tick tick : frame.ticksY()) {
        if (tick.isMajor() == major && (major || scene.content.y().scale() == Scale.LOG)) {
          double y = pen.sharp(frame.y().pixelOfPlace(tick.place()));
          g.draw(new Line2D.Double(p.getMinX(), y, p.getMaxX(), y));
        }
      }
    }
  }

  private void axes(Graphics2D g) {
    Rectangle2D p = frame.plot();
    Font small = habit.small();
    var metrics = small.getLineMetrics("Ag", Labels.MEASURE);
    double ascent = metrics.getAscent();
    double line = Frame.Habit.lineHeight(small);
    g.setFont(small);
    for (Ticks.Tick tick : frame.ticksX()) {
      double x = frame.x().pixelOfPlace(tick.place());
      double length = (tick.isMajor() ? 4 : 2) * unit;
      g.setColor(colours.frame());
      double at = pen.sharp(x);
      g.draw(new Line2D.Double(at, p.getMaxY(), at, p.getMaxY() + length));
      g.setColor(colours.text());
      double left = x - Labels.width(small, tick.text()) / 2;
      g.drawString(tick.text(), (float) left, (float) (p.getMaxY() + 5 * unit + ascent));
    }
    for (Ticks.Tick tick : frame.ticksY()) {
      double y = frame.y().pixelOfPlace(tick.place());
      double length = (tick.isMajor() ? 4 : 2) * unit;
      g.setColor(colours.frame());
      double at = pen.sharp(y);
      g.draw(new Line2D.Double(p.getMinX() - length, at, p.getMinX(), at));
      g.setColor(colours.text());
      double left = p.getMinX() - 6 * unit - Labels.width(small, tick.text());
      g.drawString(tick.text(), (float) left, (float) (y + 0.36 * ascent));
    }
    String labelX =
        Labels.cut(small, Labels.shown(scene.content.x().label()), frame.width() - 8 * unit);
    double middle = p.getCenterX() - Labels.width(small, labelX) / 2;
    double right = frame.width() - 4 * unit - Labels.width(small, labelX);
    g.drawString(
        labelX,
        (float) Math.max(4 * unit, Math.min(middle, right)),
        (float) (p.getMaxY() + 7 * unit + line + ascent));
    String labelY = labelY(small, frame.height() - p.getMinY());
    if (!labelY.isBlank()) {
      double length = Labels.width(small, labelY);
      double from = p.getCenterY() + length / 2;
      Graphics2D turned = (Graphics2D) g.create();
      turned.transform(
          AffineTransform.getTranslateInstance(
              p.getMinX() - frame.gutter() + 3 * unit + ascent,
              Math.min(frame.height() - 2 * unit, Math.max(from, p.getMinY() + length))));
      turned.rotate(-Math.PI / 2);
      turned.drawString(labelY, 0f, 0f);
      turned.dispose();
    }
  }

  private void head(Graphics2D g, Set<String> hidden) {
    Frame.Spot title = frame.title();
    if (!title.text().isEmpty()) {
      Font bold = habit.bold();
      g.setFont(bold);
      g.setColor(colours.text());
      g.drawString(title.text(), (float) title.box().getX(), (float) baseline(bold, title.box()));
    }
    Font small = habit.small();
    double wide = Frame.sampleWidth(unit);
    for (Frame.Spot spot : frame.legend()) {
      boolean off = hidden.contains(spot.name());
      Rectangle2D box = spot.box();
      Rectangle2D sample =
          new Rectangle2D.Double(
              box.getX() + 2 * unit, box.getY() + 2 * unit, wide, box.getHeight() - 4 * unit);
      if (spot.name().isEmpty()) {
        g.setFont(small);
        g.setColor(colours.quiet());
        g.drawString(spot.text(), (float) (box.getX() + 5 * unit), (float) baseline(small, box));
        continue;
      }
      if (!off) {
        for (Layer layer : scene.legend().get(spot.name())) {
          new Sample(g, sample, colours, unit).of(layer);
        }
      } else {
        g.setColor(colours.quiet());
        g.setStroke(pen.thin());
        double y = sample.getCenterY();
        g.draw(new Line2D.Double(sample.getMinX(), y, sample.getMinX() + 4 * unit, y));
        g.draw(new Line2D.Double(sample.getMaxX() - 4 * unit, y, sample.getMaxX(), y));
      }
      g.setFont(small);
      g.setColor(off ? colours.quiet() : colours.text());
      double x = sample.getMaxX() + 5 * unit;
      double y = baseline(small, box);
      g.drawString(spot.text(), (float) x, (float) y);
      if (off) {
        double through = y - 0.3 * small.getSize2D();
        g.setStroke(pen.thin());
        g.draw(new Line2D.Double(x, through, x + Labels.width(small, spot.text()), through));
      }
    }
  }

  private static double baseline(Font font, Rectangle2D box) {
    var metrics = font.getLineMetrics("Ag", Labels.MEASURE);
    return box.getCenterY() + (metrics.getAscent() - metrics.getDescent()) / 2;
  }

  /**
   * A handle: a ring with a cross hair, told from any mark.
   *
   * @param held whether the arrow keys move it now, or the mouse has it
   */
  void handle(Graphics2D g, Layer.Handle handle, double x, double y, boolean held) {
    double wantedX = frame.x().pixel(x);
    double wantedY = frame.y().pixel(y);
    if (Double.isNaN(wantedX) || Double.isNaN(wantedY)) {
      return;
    }
    Rectangle2D p = frame.plot();
    double px = frame.insideX(wantedX);
    double py = frame.insideY(wantedY);
    boolean beyond = Math.hypot(wantedX - px, wantedY - py) > 1;
    Color color = handle.ink().color(colours.dark());
    double r = (held ? 8 : 7) * unit;
    double arm = r + 6 * unit;
    if (beyond) {
      double room = arm + 2 * unit;
      px = Math.max(p.getMinX() + room, Math.min(p.getMaxX() - room, px));
      py = Math.max(p.getMinY() + room, Math.min(p.getMaxY() - room, py));
      arrow(g, color, px, py, Math.atan2(wantedY - py, wantedX - px), r);
      String at =
          handle.label()
              + ": "
              + scene.content.x().read(x)
              + (handle.freeY()
                  ? ", " + scene.content.y().read(y) + ", beyond what is shown"
                  : ""); // brief, as there may be another at the other side
      Labels labels = new Labels(p, habit.bold().deriveFont(habit.small().getSize2D()));
      labels.around(at.startsWith(": ") ? at.substring(2) : at, px, py, color, r + 6 * unit);
      labels.paint(g, colours.inside());
      return;
    }
    for (int coat = 0; coat < 2; coat++) {
      g.setColor(coat == 0 ? colours.inside() : color);
      g.setStroke(
          new BasicStroke(
              (float) ((coat == 0 ? 5 : held ? 2.6 : 2) * unit),
              BasicStroke.CAP_ROUND,
              BasicStroke.JOIN_ROUND));
      g.draw(new Ellipse2D.Double(px - r, py - r, 2 * r, 2 * r));
      if (handle.freeX()) {
        g.draw(new Line2D.Double(px - arm, py, px - r, py));
        g.draw(new Line2D.Double(px + r, py, px + arm, py));
      }
      if (handle.freeY()) {
        g.draw(new Line2D.Double(px, py - arm, px, py - r));
        g.draw(new Line2D.Double(px, py + r, px, py + arm));
      }
    }
    double dot = 1.6 * unit;
    g.fill(new Ellipse2D.Double(px - dot, py - dot, 2 * dot, 2 * dot));
    if (!handle.label().isBlank()) {
      Labels labels = new Labels(p, habit.bold().deriveFont(habit.small().getSize2D()));
      labels.around(handle.label(), px, py, color, r + 4 * unit);
      labels.paint(g, colours.inside());
    }
  }

  /** An arrow head in a ring that points to where a handle is, outside the frame. */
  private void arrow(Graphics2D g, Color color, double px, double py, double angle, double r) {
    Path2D head = new Path2D.Double();
    head.moveTo(px + 1.9 * r * Math.cos(angle), py + 1.9 * r * Math.sin(angle));
    head.lineTo(px + r * Math.cos(angle + 1.1), py + r * Math.sin(angle + 1.1));
    head.lineTo(px + r * Math.cos(angle - 1.1), py + r * Math.sin(angle - 1.1));
    head.closePath();
    Ellipse2D ring = new Ellipse2D.Double(px - r, py - r, 2 * r, 2 * r);
    g.setColor(colours.inside());
    g.setStroke(new BasicStroke((float) (5 * unit)));
    g.draw(ring);
    g.draw(head);
    g.setColor(color);
    g.setStroke(new BasicStroke((float) (2 * unit)));
    g.draw(ring);
    g.fill(head);
  }

  /** The label of the upright axis; where there is no room, what is measured without more words. */
  private String labelY(Font font, double room) {
    String whole = Labels.shown(scene.content.y().label());
    if (Labels.width(font, whole) <= room || !whole.endsWith(")")) {
      return Labels.cut(font, whole, room);
    }
    String unit = whole.substring(whole.lastIndexOf('(') + 1, whole.length() - 1);
    String[] words = whole.substring(0, whole.lastIndexOf('(')).strip().split(" ");
    String last = words[words.length - 1];
    String brief = (last.equals("part") ? words[0] : last) + " (" + unit + ")";
    return Labels.width(font, brief) <= room ? brief : Labels.cut(font, unit, room);
  }

  /**
   * The hair line with its box.
   *
   * @param pointerY pixel of the pointer, NaN if it is elsewhere
   */
  void cursor(Graphics2D g, double x, double pointerY, Set<String> hidden) {
    double px = frame.x().pixel(x);
    Rectangle2D p = frame.plot();
    if (!(px >= p.getMinX() && px <= p.getMaxX())) {
      return;
    }
    Color ground = colours.inside();
    g.setColor(new Color(ground.getRed(), ground.getGreen(), ground.getBlue(), 150));
    g.setStroke(new BasicStroke((float) (3 * unit)));
    double hair = pen.sharp(px);
    g.draw(new Line2D.Double(hair, p.getMinY(), hair, p.getMaxY()));
    g.setColor(colours.text());
    g.setStroke(pen.thin());
    g.draw(new Line2D.Double(hair, p.getMinY(), hair, p.getMaxY()));
    List<Layer.Curve> curves = scene.curves(hidden);
    List<String> words = new ArrayList<>();
    List<Layer> samples = new ArrayList<>();
    for (Layer.Curve curve : curves) {
      if (!scene.track(curve).isRising()) {
        continue;
      }
      OptionalDouble value = scene.at(curve, x);
      if (value.isPresent()) {
        double py = frame.y().pixel(value.getAsDouble());
        if (p.contains(px, py)) {
          double r = 3 * unit;
          g.setColor(colours.inside());
          g.fill(new Ellipse2D.Double(px - r, py - r, 2 * r, 2 * r));
          g.setColor(curve.ink.color(colours.dark()));
          g.draw(new Ellipse2D.Double(px - r, py - r, 2 * r, 2 * r));
        }
      }
      boolean silent = value.isEmpty() && scene.content.hasPointWords(); // they say it better
      if (words.size() < 12 && !silent) {
        String read = value.isPresent() ? scene.content.y().read(value.getAsDouble()) : "–";
        words.add(curve.name.isBlank() ? read : curve.name + "  " + read);
        samples.add(curve);
      }
    }
    if (!Double.isNaN(pointerY)) {
      String y = scene.content.y().read(frame.y().value(pointerY));
      words.add("pointer at  " + y);
      samples.add(null);
      for (String each : scene.content.pointWords().at(x, frame.y().value(pointerY))) {
        words.add(each);
        samples.add(null);
      }
      for (Layer layer : scene.content.layers()) {
        if (layer instanceof Layer.Raster raster && !hidden.contains(layer.name())) {
          double value = scene.at(raster, x, frame.y().value(pointerY));
          if (!Double.isNaN(value)) {
            words.add(raster.name + "  " + raster.palette.read(value));
            samples.add(null);
          }
        }
      }
    }
    box(g, scene.content.x().read(x), words, samples, px);
  }

  private void box(Graphics2D g, String first, List<String> words, List<Layer> samples, double px) {
    Rectangle2D p = frame.plot();
    Font small = habit.small();
    Font strong = small.deriveFont(Font.BOLD);
    double line = Frame.Habit.lineHeight(small);
    double sample = 16 * unit;
    double widest = Labels.width(strong, first);
    for (String word : words) {
      widest = Math.max(widest, Labels.width(small, word) + sample + 4 * unit);
    }
    double wide = widest + 10 * unit;
    double high = line * (words.size() + 1) + 6 * unit;
    double x = px + 8 * unit;
    if (x + wide > p.getMaxX()) {
      x = px - 8 * unit - wide;
    }
    x = Math.max(2 * unit, Math.min(x, frame.width() - wide - 2 * unit));
    double y = Math.max(2 * unit, Math.min(p.getMinY() + 6 * unit, frame.height() - high));
    Color ground = colours.inside();
    g.setColor(new Color(ground.getRed(), ground.getGreen(), ground.getBlue(), 242));
    RoundRectangle2D room = new RoundRectangle2D.Double(x, y, wide, high, 6 * unit, 6 * unit);
    g.fill(room);
    g.setColor(colours.frame());
    g.setStroke(pen.thin());
    g.draw(room);
    double base = y + 3 * unit + small.getLineMetrics("Ag", Labels.MEASURE).getAscent();
    g.setFont(strong);
    g.setColor(colours.text());
    g.drawString(first, (float) (x + 5 * unit), (float) base);
    g.setFont(small);
    for (int i = 0; i < words.size(); i++) {
      base += line;
      if (samples.get(i) != null) {
        Rectangle2D place =
            new Rectangle2D.Double(x + 5 * unit, base - line * 0.75, sample, line * 0.85);
        new Sample(g, place, colours, unit).of(samples.get(i));
      }
      g.setColor(colours.text());
      g.drawString(words.get(i), (float) (x + 9 * unit + sample), (float) base);
    }
  }

  /** A wide ring around the mark that the keyboard is at. */
  void ring(Graphics2D g, double x, double y) {
    double px = frame.x().pixel(x);
    double py = frame.y().pixel(y);
    if (frame.plot().contains(px, py)) {
      double r = 9 * unit;
      g.setColor(Ink.ACCENT.color(colours.dark()));
      g.setStroke(new BasicStroke((float) (2 * unit)));
      g.draw(new Ellipse2D.Double(px - r, py - r, 2 * r, 2 * r));
    }
  }

  /** Shows that keys go to this plot. */
  void focus(Graphics2D g) {
    double half = 0.75 * unit;
    g.setColor(Ink.ACCENT.color(colours.dark()));
    g.setStroke(new BasicStroke((float) (1.5 * unit)));
    g.draw(new Rectangle2D.Double(half, half, frame.width() - 2 * half, frame.height() - 2 * half));
  }

  /** A rectangle that is being drawn to zoom into. */
  void rubber(Graphics2D g, Rectangle2D area) {
    Color c = Ink.ACCENT.color(colours.dark());
    g.setColor(new Color(c.getRed(), c.getGreen(), c.getBlue(), 40));
    g.fill(area);
    g.setColor(c);
    g.setStroke(Stroke.DASHED.of(unit));
    g.draw(area);
  }

  /** A short message at the lower left, inside the frame. */
  void note(Graphics2D g, String words, boolean wrong) {
    Rectangle2D p = frame.plot();
    Font small = habit.small();
    double line = Frame.Habit.lineHeight(small);
    List<String> lines = wrapped(small, words, Math.max(60, p.getWidth() - 24 * unit));
    double wide = 0;
    for (String text : lines) {
      wide = Math.max(wide, Labels.width(small, text));
    }
    double high = line * lines.size() + 8 * unit;
    double x = p.getMinX() + 6 * unit;
    double y = p.getMaxY() - high - 6 * unit;
    RoundRectangle2D room =
        new RoundRectangle2D.Double(x, y, wide + 12 * unit, high, 6 * unit, 6 * unit);
    g.setColor(colours.inside());
    g.fill(room);
    g.setColor(wrong ? Ink.BAD.color(colours.dark()) : colours.frame());
    g.setStroke(new BasicStroke((float) ((wrong ? 2 : 1) * unit)));
    g.draw(room);
    g.setFont(small);
    g.setColor(colours.text());
    double base = y + 4 * unit + small.getLineMetrics("Ag", Labels.MEASURE).getAscent();
    for (String text : lines) {
      g.drawString(text, (float) (x + 6 * unit), (float) base);
      base += line;
    }
  }
}
