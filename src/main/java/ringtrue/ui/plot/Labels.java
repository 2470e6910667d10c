package ringtrue.ui.plot;

import java.awt.Color;
import java.awt.Font;
import java.awt.Graphics2D;
import java.awt.font.FontRenderContext;
import java.awt.geom.Rectangle2D;
import java.awt.geom.RoundRectangle2D;
import java.util.ArrayList;
import java.util.List;

/** Words inside the frame: each finds a free place or is left out. */
final class Labels {
  /** Text as wide at every scale. */
  static final FontRenderContext MEASURE = new FontRenderContext(null, true, true);

  private final List<Placed> placed = new ArrayList<>();
  private final Rectangle2D box;
  private final Font font;
  private final double ascent;
  private final double height;

  private record Placed(String text, Rectangle2D room, Color color) {}

  /**
   * @param box where words may stand
   */
  Labels(Rectangle2D box, Font font) {
    this.box = box;
    this.font = font;
    var metrics = font.getLineMetrics("Ag", MEASURE);
    ascent = metrics.getAscent();
    height = metrics.getAscent() + metrics.getDescent();
  }

  static double width(Font font, String text) {
    return text.isEmpty() ? 0 : font.getStringBounds(text, MEASURE).getWidth();
  }

  /** Words with the letters of units that plain text goes without. */
  static String shown(String words) {
    return words.replaceAll("\\bum\\b", "µm").replace("m/s^2", "m/s²");
  }

  /** As much of a text as fits, with dots where it was cut. */
  static String cut(Font font, String text, double room) {
    if (width(font, text) <= room) {
      return text;
    }
    for (int n = text.length() - 1; n > 0; n--) {
      String shorter = text.substring(0, n).stripTrailing() + "…";
      if (width(font, shorter) <= room) {
        return shorter;
      }
    }
    return "";
  }

  /** Keeps words away from an area. */
  void keepFree(Rectangle2D room) {
    placed.add(new Placed("", room, null));
  }

  /** Beside a vertical line, near the top, in one of three rows. */
  boolean besideVertical(String text, double x, Color color, double gap) {
    double width = width(font, text);
    for (int row = 0; row < 3; row++) {
      double y = box.getY() + gap + row * (height + gap);
      if (place(text, x + gap, y, width, color) || place(text, x - gap - width, y, width, color)) {
        return true;
      }
    }
    return false;
  }

  /** Above or below a horizontal line, at the right end or further in. */
  boolean besideHorizontal(String text, double y, Color color, double gap) {
    double width = width(font, text);
    double x = box.getMaxX() - width - gap;
    while (x > box.getX()) {
      if (place(text, x, y - height - gap / 2, width, color)
          || place(text, x, y + gap / 2, width, color)) {
        return true;
      }
      x -= width + 2 * gap;
    }
    return false;
  }

  /** Around a point. */
  boolean around(String text, double x, double y, Color color, double gap) {
    double width = width(font, text);
    return place(text, x + gap, y - height - gap / 2, width, color)
        || place(text, x + gap, y + gap / 2, width, color)
        || place(text, x - gap - width, y - height - gap / 2, width, color)
        || place(text, x - gap - width, y + gap / 2, width, color);
  }

  private boolean place(String text, double x, double y, double width, Color color) {
    Rectangle2D room = new Rectangle2D.Double(x, y, width, height);
    if (!box.contains(room)) {
      return false;
    }
    Rectangle2D apart =
        new Rectangle2D.Double(x - height / 4, y, width + height / 2, height); // words stay apart
    for (Placed other : placed) {
      if (other.room.intersects(other.text.isEmpty() ? room : apart)) {
        return false;
      }
    }
    placed.add(new Placed(text, room, color));
    return true;
  }

  /** Writes them, each on a patch of ground so that lines below do not disturb. */
  void paint(Graphics2D g, Color ground) {
    g.setFont(font);
    Color patch = new Color(ground.getRed(), ground.getGreen(), ground.getBlue(), 205);
    for (Placed label : placed) {
      if (!label.text.isEmpty()) {
        g.setColor(patch);
        Rectangle2D room = label.room;
        g.fill(
            new RoundRectangle2D.Double(
                room.getX() - 2, room.getY(), room.getWidth() + 4, room.getHeight(), 4, 4));
        g.setColor(label.color);
        g.drawString(label.text, (float) room.getX(), (float) (room.getY() + ascent));
      }
    }
  }
}
