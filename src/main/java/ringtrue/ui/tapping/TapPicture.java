package ringtrue.ui.tapping;

import java.awt.BasicStroke;
import java.awt.Color;
import java.awt.Dimension;
import java.awt.Font;
import java.awt.Graphics;
import java.awt.Graphics2D;
import java.awt.RenderingHints;
import java.awt.geom.Ellipse2D;
import java.awt.geom.Line2D;
import java.awt.geom.Path2D;
import java.awt.geom.Rectangle2D;
import javax.swing.JPanel;
import javax.swing.UIManager;
import ringtrue.ui.job.Direction;
import ringtrue.ui.job.Direction.Part;
import ringtrue.ui.kit.Theme;
import ringtrue.ui.plot.Ink;

/** A small drawing: what is tapped, seen from above, where the sensor sits, where the blow goes. */
final class TapPicture extends JPanel {
  private Direction direction = Direction.TOOL_X;

  TapPicture() {
    setName("taps-picture");
    setOpaque(false);
  }

  void show(Direction other) {
    direction = other;
    getAccessibleContext()
        .setAccessibleName(
            "Drawing: sensor and blow along " + other.axis() + " at the " + Where.point(other));
    repaint();
  }

  @Override
  public Dimension getPreferredSize() {
    float em = UIManager.getFont("Label.font").getSize2D();
    return new Dimension(Math.round(20 * em), Math.round(9.5f * em));
  }

  @Override
  public Dimension getMinimumSize() {
    return new Dimension(40, getPreferredSize().height);
  }

  @Override
  protected void paintComponent(Graphics graphics) {
    Graphics2D g = (Graphics2D) graphics.create();
    g.setRenderingHint(RenderingHints.KEY_ANTIALIASING, RenderingHints.VALUE_ANTIALIAS_ON);
    g.setRenderingHint(
        RenderingHints.KEY_TEXT_ANTIALIASING, RenderingHints.VALUE_TEXT_ANTIALIAS_ON);
    Font font = UIManager.getFont("Label.font");
    g.setFont(font.deriveFont(font.getSize2D() * 0.9f));
    Color ink = UIManager.getColor("Label.foreground");
    double em = font.getSize2D();
    double cx = getWidth() / 2.0 + 1.2 * em;
    double cy = getHeight() / 2.0;
    boolean alongX = direction.axis().equals("x");
    g.setColor(ink);
    axes(g, em);
    g.setStroke(new BasicStroke((float) (em / 8)));
    double half =
        direction.part() == Part.TOOL ? cutter(g, cx, cy, em) : block(g, cx, cy, em, alongX);
    sensor(g, cx, cy, half, em, alongX);
    blow(g, cx, cy, half, em, alongX);
    g.dispose();
  }

  private void axes(Graphics2D g, double em) {
    double x = 0.8 * em;
    double y = getHeight() - 0.9 * em;
    g.setStroke(new BasicStroke((float) (em / 12)));
    arrow(g, x, y, x + 2.4 * em, y, em / 2);
    arrow(g, x, y, x, y - 2.4 * em, em / 2);
    g.drawString("X", (float) (x + 2.7 * em), (float) (y + 0.35 * em));
    g.drawString("Y", (float) (x - 0.3 * em), (float) (y - 2.8 * em));
  }

  /** An end mill from below: two lands and two flutes. */
  private static double cutter(Graphics2D g, double cx, double cy, double em) {
    double r = 1.8 * em;
    g.draw(new Ellipse2D.Double(cx - r, cy - r, 2 * r, 2 * r));
    for (int i = 0; i < 4; i++) {
      double a = Math.PI / 4 + i * Math.PI / 2;
      Path2D flute = new Path2D.Double();
      flute.moveTo(cx + r * Math.cos(a), cy + r * Math.sin(a));
      flute.quadTo(
          cx + 0.35 * r * Math.cos(a + 0.2),
          cy + 0.35 * r * Math.sin(a + 0.2),
          cx + r * Math.cos(a + 0.55),
          cy + r * Math.sin(a + 0.55));
      g.draw(flute);
    }
    return r;
  }

  private static double block(Graphics2D g, double cx, double cy, double em, boolean alongX) {
    double across = 1.8 * em;
    double along = 3 * em;
    double w = alongX ? across : along;
    double h = alongX ? along : across;
    g.draw(new Rectangle2D.Double(cx - w, cy - h, 2 * w, 2 * h));
    return across;
  }

  private void sensor(Graphics2D g, double cx, double cy, double half, double em, boolean alongX) {
    double s = 0.9 * em;
    g.setColor(Ink.FIRST.color(Theme.dark()));
    if (alongX) {
      g.fill(new Rectangle2D.Double(cx + half, cy - s / 2, s, s));
      g.drawString("sensor", (float) (cx + half + 1.3 * s), (float) (cy + 0.35 * em));
    } else {
      g.fill(new Rectangle2D.Double(cx - s / 2, cy - half - s, s, s));
      g.drawString("sensor", (float) (cx + s), (float) (cy - half - 0.3 * em));
    }
  }

  private void blow(Graphics2D g, double cx, double cy, double half, double em, boolean alongX) {
    g.setColor(Ink.SECOND.color(Theme.dark()));
    g.setStroke(new BasicStroke((float) (em / 5)));
    if (alongX) {
      arrow(g, cx - half - 3.4 * em, cy, cx - half - 0.2 * em, cy, 0.8 * em);
      g.drawString("blow", (float) (cx - half - 3.2 * em), (float) (cy - 0.7 * em));
    } else {
      arrow(g, cx, getHeight() - 0.2 * em, cx, cy + half + 0.2 * em, 0.8 * em);
      g.drawString("blow", (float) (cx + 0.8 * em), (float) (getHeight() - 0.6 * em));
    }
  }

  private static void arrow(Graphics2D g, double x0, double y0, double x1, double y1, double head) {
    g.draw(new Line2D.Double(x0, y0, x1, y1));
    double a = Math.atan2(y1 - y0, x1 - x0);
    Path2D tip = new Path2D.Double();
    tip.moveTo(x1 - head * Math.cos(a - 0.5), y1 - head * Math.sin(a - 0.5));
    tip.lineTo(x1, y1);
    tip.lineTo(x1 - head * Math.cos(a + 0.5), y1 - head * Math.sin(a + 0.5));
    g.draw(tip);
  }
}
