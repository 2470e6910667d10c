package ringtrue.ui.tapping;

import java.awt.Color;
import java.awt.Dimension;
import java.awt.Font;
import java.awt.FontMetrics;
import java.awt.Graphics;
import java.awt.Graphics2D;
import java.awt.RenderingHints;
import java.util.List;
import java.util.Locale;
import javax.swing.JPanel;
import javax.swing.UIManager;
import ringtrue.ui.kit.Sign;
import ringtrue.ui.kit.Theme;

/** A bar for each channel: level of late, highest so far, and in words whether it clips. */
final class MeterView extends JPanel {
  private static final double LOWEST_DB = -80;
  private static final String REST = "Levels of hammer and sensor are shown here while you tap.";

  private List<LiveState.Meter> meters = List.of();

  MeterView() {
    setName("taps-meters");
    setOpaque(false);
  }

  void show(List<LiveState.Meter> other) {
    if (!other.equals(meters)) {
      boolean resize = other.size() != meters.size();
      meters = other;
      getAccessibleContext().setAccessibleName(words());
      if (resize) {
        revalidate();
      }
      repaint();
    }
  }

  /** All of it in words. */
  String words() {
    if (meters.isEmpty()) {
      return REST;
    }
    StringBuilder all = new StringBuilder("Meters");
    meters.forEach(m -> all.append("; ").append(m.name()).append(' ').append(text(m)));
    return all.toString();
  }

  static String text(LiveState.Meter meter) {
    if (meter.silent()) {
      return "silent: nothing comes on this channel";
    }
    return meter.clipped() > 0
        ? "AT FULL SCALE: " + remedy(meter)
        : String.format(
            Locale.ROOT, "%.0f dB, highest %.0f dB", db(meter.level()), db(meter.peak()));
  }

  private static String remedy(LiveState.Meter meter) {
    return meter.name().equals(LiveState.FORCE) ? "tap lighter" : "lower the input's gain";
  }

  /** No minus in front of a zero. */
  private static double db(double part) {
    double db = Math.max(-99, 20 * Math.log10(Math.max(part, 1e-6)));
    return Math.abs(db) < 0.5 ? 0 : db;
  }

  @Override
  public Dimension getPreferredSize() {
    Font font = UIManager.getFont("Label.font");
    return new Dimension(
        Math.round(font.getSize2D() * 30), Math.round(font.getSize2D() * 1.75f) * 2);
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
    Font font = UIManager.getFont("Label.font");
    g.setFont(font);
    FontMetrics metrics = g.getFontMetrics();
    if (meters.isEmpty()) {
      g.setColor(UIManager.getColor("Label.disabledForeground"));
      g.drawString(REST, 0, (getHeight() + metrics.getAscent() - metrics.getDescent()) / 2);
    }
    int row = getHeight() / 2;
    int name = metrics.stringWidth("acceleration  ");
    int bar = Math.max(20, (int) ((getWidth() - name) * 0.42));
    for (int i = 0; i < meters.size(); i++) {
      LiveState.Meter meter = meters.get(i);
      int base = i * row + (row + metrics.getAscent() - metrics.getDescent()) / 2;
      g.setColor(UIManager.getColor("Label.foreground"));
      g.drawString(meter.name(), 0, base);
      bar(g, meter, name, i * row + row / 5, bar, row * 3 / 5);
      Color ink =
          meter.clipped() > 0
              ? Theme.bad()
              : meter.silent() ? Theme.caution() : UIManager.getColor("Label.foreground");
      g.setColor(ink);
      int at = name + bar + metrics.charWidth('m');
      if (meter.clipped() > 0 || meter.silent()) {
        Sign sign = meter.clipped() > 0 ? Sign.BAD : Sign.CAUTION;
        sign.paintIcon(this, g, at, i * row + (row - sign.getIconHeight()) / 2);
        at += sign.getIconWidth() + metrics.charWidth('i');
      }
      g.setColor(ink);
      g.drawString(text(meter), at, base);
    }
    g.dispose();
  }

  private static void bar(
      Graphics2D g, LiveState.Meter meter, int x, int y, int width, int height) {
    g.setColor(UIManager.getColor("ProgressBar.background"));
    g.fillRect(x, y, width, height);
    g.setColor(meter.clipped() > 0 ? Theme.bad() : Theme.good());
    g.fillRect(x, y, (int) (width * part(meter.level())), height);
    g.setColor(UIManager.getColor("Label.foreground"));
    int peak = x + (int) ((width - 3) * part(meter.peak()));
    g.fillRect(peak, y - 2, 3, height + 4);
    g.drawRect(x, y, width, height);
  }

  private static double part(double size) {
    return Math.max(0, Math.min(1, 1 - db(size) / LOWEST_DB));
  }
}
