package ringtrue.ui.kit;

import java.awt.Dimension;
import java.awt.FontMetrics;
import java.awt.Graphics;
import java.awt.Graphics2D;
import java.awt.Toolkit;
import java.awt.font.TextAttribute;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import javax.swing.JLabel;
import javax.swing.SwingUtilities;

/**
 * Large words behind a sign; they go on in a second line where one is too narrow. In a MigLayout
 * give it {@code growx, wmin 0}.
 */
public final class Headline extends JLabel {

  /**
   * @param larger than a label's letters, by this factor
   */
  public Headline(double larger) {
    Letters.bold(this, larger);
  }

  private int left() {
    return getIcon() == null ? 0 : getIcon().getIconWidth() + getIconTextGap();
  }

  private List<String> lines(int room) {
    FontMetrics metrics = getFontMetrics(getFont());
    List<String> lines = new ArrayList<>();
    StringBuilder line = new StringBuilder();
    for (String word : getText() == null ? new String[0] : getText().split(" ")) {
      String longer = line.isEmpty() ? word : line + " " + word;
      if (!line.isEmpty() && metrics.stringWidth(longer) > room) {
        lines.add(line.toString());
        line.setLength(0);
        line.append(word);
      } else {
        line.setLength(0);
        line.append(longer);
      }
    }
    lines.add(line.toString());
    return lines;
  }

  /** Asks for another height when the width is another. */
  @Override
  public void setBounds(int x, int y, int width, int height) {
    boolean other = width != getWidth();
    super.setBounds(x, y, width, height);
    if (other && width > 0 && getPreferredSize().height != height) {
      SwingUtilities.invokeLater(this::revalidate);
    }
  }

  @Override
  public Dimension getPreferredSize() {
    Dimension one = super.getPreferredSize();
    int many = getWidth() <= 0 ? 1 : lines(getWidth() - left()).size();
    return many <= 1
        ? one
        : new Dimension(one.width, one.height + (many - 1) * getFontMetrics(getFont()).getHeight());
  }

  @Override
  public Dimension getMinimumSize() {
    return new Dimension(1, getPreferredSize().height);
  }

  @Override
  protected void paintComponent(Graphics graphics) {
    List<String> lines = lines(getWidth() - left());
    if (lines.size() <= 1) {
      super.paintComponent(graphics);
      return;
    }
    Graphics2D g = (Graphics2D) graphics.create();
    if (Toolkit.getDefaultToolkit().getDesktopProperty("awt.font.desktophints")
        instanceof Map<?, ?> hints) {
      g.addRenderingHints(hints);
    }
    FontMetrics metrics = g.getFontMetrics(getFont());
    int y = Math.max(0, (getHeight() - lines.size() * metrics.getHeight()) / 2);
    if (getIcon() != null) {
      getIcon()
          .paintIcon(
              this, g, 0, y + Math.max(0, (metrics.getHeight() - getIcon().getIconHeight()) / 2));
    }
    g.setFont(getFont().deriveFont(Map.of(TextAttribute.KERNING, TextAttribute.KERNING_ON)));
    g.setColor(getForeground());
    for (String line : lines) {
      g.drawString(line, left(), y + metrics.getAscent());
      y += metrics.getHeight();
    }
    g.dispose();
  }
}
