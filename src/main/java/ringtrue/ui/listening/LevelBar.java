package ringtrue.ui.listening;

import java.awt.Color;
import java.awt.Dimension;
import java.awt.FontMetrics;
import java.awt.Graphics;
import java.awt.Graphics2D;
import java.awt.RenderingHints;
import java.util.Locale;
import javax.swing.JPanel;
import javax.swing.UIManager;
import ringtrue.ui.kit.Theme;

/** How loud the input is, with the loudest of the last while, and in words. */
final class LevelBar extends JPanel {
  private static final double LOW_DB = -60;
  private static final double QUIET_DB = -50;
  private static final double FALL_DB = 1.5;

  private double levelDb = Double.NEGATIVE_INFINITY;
  private double heldDb = Double.NEGATIVE_INFINITY;
  private boolean clipped;

  LevelBar(String name) {
    setName(name);
    setOpaque(false);
    getAccessibleContext().setAccessibleName("Level of the sound");
  }

  /**
   * Shows a level.
   *
   * @param peak largest part of full scale
   * @param atEnd whether the input went to its end
   */
  void show(double peak, boolean atEnd) {
    levelDb = 20 * Math.log10(Math.max(peak, 1e-6));
    heldDb = Math.max(levelDb, heldDb - FALL_DB);
    clipped |= atEnd;
    getAccessibleContext().setAccessibleDescription(words());
    repaint();
  }

  /** No sound comes. */
  void rest() {
    levelDb = Double.NEGATIVE_INFINITY;
    heldDb = Double.NEGATIVE_INFINITY;
    clipped = false;
    repaint();
  }

  String words() {
    if (Double.isInfinite(levelDb)) {
      return "no sound comes";
    }
    return String.format(
        Locale.ROOT,
        "%.0f dB of full scale%s",
        levelDb,
        clipped
            ? ": went to its end, turn the gain down"
            : heldDb < QUIET_DB ? ": very quiet, turn the gain up" : "");
  }

  @Override
  public Dimension getPreferredSize() {
    FontMetrics m = getFontMetrics(UIManager.getFont("Label.font"));
    return new Dimension(m.charWidth('m') * 30, m.getHeight() + 4);
  }

  @Override
  public Dimension getMinimumSize() {
    return new Dimension(60, getPreferredSize().height);
  }

  @Override
  protected void paintComponent(Graphics graphics) {
    Graphics2D g = (Graphics2D) graphics.create();
    g.setRenderingHint(
        RenderingHints.KEY_TEXT_ANTIALIASING, RenderingHints.VALUE_TEXT_ANTIALIAS_ON);
    int h = getHeight();
    int wide = getWidth() / 2;
    g.setColor(UIManager.getColor("ProgressBar.background"));
    g.fillRect(0, 2, wide, h - 4);
    g.setColor(clipped ? Theme.bad() : UIManager.getColor("ProgressBar.foreground"));
    g.fillRect(0, 2, place(levelDb, wide), h - 4);
    g.setColor(UIManager.getColor("Label.foreground"));
    int held = place(heldDb, wide);
    if (held > 0) {
      g.fillRect(held - 2, 2, 2, h - 4);
    }
    Color words = clipped ? Theme.bad() : UIManager.getColor("Label.foreground");
    g.setColor(words);
    g.setFont(UIManager.getFont("Label.font"));
    FontMetrics m = g.getFontMetrics();
    g.drawString(words(), wide + m.charWidth('m'), (h + m.getAscent() - m.getDescent()) / 2);
    g.dispose();
  }

  private static int place(double db, int wide) {
    return (int) Math.round(wide * Math.max(0, Math.min(1, (db - LOW_DB) / -LOW_DB)));
  }
}
