package ringtrue.ui.kit;

import java.awt.BasicStroke;
import java.awt.Color;
import java.awt.Component;
import java.awt.Graphics;
import java.awt.Graphics2D;
import java.awt.RenderingHints;
import java.awt.geom.Ellipse2D;
import java.awt.geom.Line2D;
import java.awt.geom.Path2D;
import javax.swing.Icon;
import javax.swing.UIManager;

/**
 * A sign whose shape alone tells what it means; its colour only helps. As tall as the text beside
 * it.
 */
public enum Sign implements Icon {
  /** An empty ring: nothing yet. */
  OPEN,
  /** A ring half filled: some of it. */
  BEGUN,
  /** A tick. */
  DONE,
  /** A triangle with a mark in it. */
  CAUTION,
  /** A cross. */
  BAD,
  /** A ring with a dot: for your information. */
  NOTE;

  @Override
  public void paintIcon(Component c, Graphics graphics, int x, int y) {
    Graphics2D g = (Graphics2D) graphics.create();
    g.setRenderingHint(RenderingHints.KEY_ANTIALIASING, RenderingHints.VALUE_ANTIALIAS_ON);
    g.setRenderingHint(RenderingHints.KEY_STROKE_CONTROL, RenderingHints.VALUE_STROKE_PURE);
    double s = getIconWidth();
    g.translate(x, y);
    g.setColor(onSelection(c) ? c.getForeground() : color());
    g.setStroke(new BasicStroke((float) (s / 8), BasicStroke.CAP_ROUND, BasicStroke.JOIN_ROUND));
    double m = s / 8;
    Ellipse2D ring = new Ellipse2D.Double(m, m, s - 2 * m, s - 2 * m);
    switch (this) {
      case OPEN -> g.draw(ring);
      case BEGUN -> {
        g.draw(ring);
        g.fill(new java.awt.geom.Arc2D.Double(m, m, s - 2 * m, s - 2 * m, 90, 180, 1));
      }
      case DONE -> {
        Path2D tick = new Path2D.Double();
        tick.moveTo(1.2 * m, 0.55 * s);
        tick.lineTo(0.42 * s, s - 1.6 * m);
        tick.lineTo(s - m, 1.6 * m);
        g.draw(tick);
      }
      case CAUTION -> {
        Path2D triangle = new Path2D.Double();
        triangle.moveTo(s / 2, m);
        triangle.lineTo(s - m, s - m);
        triangle.lineTo(m, s - m);
        triangle.closePath();
        g.draw(triangle);
        g.draw(new Line2D.Double(s / 2, 0.42 * s, s / 2, 0.62 * s));
        g.draw(new Line2D.Double(s / 2, 0.76 * s, s / 2, 0.76 * s));
      }
      case BAD -> {
        g.draw(new Line2D.Double(1.5 * m, 1.5 * m, s - 1.5 * m, s - 1.5 * m));
        g.draw(new Line2D.Double(s - 1.5 * m, 1.5 * m, 1.5 * m, s - 1.5 * m));
      }
      case NOTE -> {
        g.draw(ring);
        g.draw(new Line2D.Double(s / 2, s / 2, s / 2, 0.72 * s));
        g.draw(new Line2D.Double(s / 2, 0.3 * s, s / 2, 0.3 * s));
      }
    }
    g.dispose();
  }

  /** Whether it stands on a selected row, where only the row's own ink can be seen. */
  private static boolean onSelection(Component c) {
    if (c == null || !c.isOpaque() || c.getBackground() == null) {
      return false;
    }
    for (String of : new String[] {"Table", "List"}) {
      Color selected = UIManager.getColor(of + ".selectionBackground");
      if (selected != null && selected.getRGB() == c.getBackground().getRGB()) {
        return true;
      }
    }
    return false;
  }

  /** Its colour on the look's background. */
  public Color color() {
    return switch (this) {
      case DONE -> Theme.good();
      case BAD -> Theme.bad();
      case CAUTION -> Theme.caution();
      case OPEN, BEGUN, NOTE -> UIManager.getColor("Label.foreground");
    };
  }

  /** For readers of the screen. */
  public String words() {
    return switch (this) {
      case OPEN -> "not begun";
      case BEGUN -> "begun";
      case DONE -> "done";
      case CAUTION -> "caution";
      case BAD -> "not good";
      case NOTE -> "note";
    };
  }

  @Override
  public int getIconWidth() {
    java.awt.Font font = UIManager.getFont("Label.font");
    return font == null ? 14 : Math.round(font.getSize2D() * 1.1f);
  }

  @Override
  public int getIconHeight() {
    return getIconWidth();
  }
}
