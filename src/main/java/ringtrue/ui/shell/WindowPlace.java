package ringtrue.ui.shell;

import java.awt.Dimension;
import java.awt.Rectangle;
import java.util.List;
import java.util.Locale;

/** Where a window stood, as text, and whether it can stand there now. */
final class WindowPlace {
  private WindowPlace() {}

  /** As text, {@code "x y width height"} in pixels. */
  static String text(Rectangle at) {
    return String.format(Locale.ROOT, "%d %d %d %d", at.x, at.y, at.width, at.height);
  }

  /**
   * Where it can stand.
   *
   * @param text as {@link #text} wrote it; anything else counts as nothing
   * @param screens what there is now
   * @param least size
   * @return null if most of its upper edge would be outside every screen
   */
  static Rectangle of(String text, List<Rectangle> screens, Dimension least) {
    Rectangle at = read(text);
    if (at == null) {
      return null;
    }
    at.width = Math.max(least.width, at.width);
    at.height = Math.max(least.height, at.height);
    Rectangle edge = new Rectangle(at.x, at.y, at.width, 24);
    for (Rectangle screen : screens) {
      Rectangle seen = screen.intersection(edge);
      if (!seen.isEmpty() && seen.width * 2 >= edge.width && seen.height * 2 >= edge.height) {
        at.width = Math.min(at.width, Math.max(least.width, screen.width));
        at.height = Math.min(at.height, Math.max(least.height, screen.height));
        return at;
      }
    }
    return null;
  }

  private static Rectangle read(String text) {
    String[] parts = text.split(" ");
    if (parts.length != 4) {
      return null;
    }
    try {
      return new Rectangle(
          Integer.parseInt(parts[0]),
          Integer.parseInt(parts[1]),
          Integer.parseInt(parts[2]),
          Integer.parseInt(parts[3]));
    } catch (NumberFormatException e) {
      return null;
    }
  }
}
