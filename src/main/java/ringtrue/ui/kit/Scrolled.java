package ringtrue.ui.kit;

import java.awt.Dimension;
import java.awt.LayoutManager;
import java.awt.Rectangle;
import javax.swing.BorderFactory;
import javax.swing.JPanel;
import javax.swing.JScrollPane;
import javax.swing.Scrollable;

/** A panel as wide as the window on it, scrolled up and down only. */
public class Scrolled extends JPanel implements Scrollable {
  public Scrolled(LayoutManager layout) {
    super(layout);
  }

  /** The window on it. */
  public final JScrollPane pane(String name) {
    JScrollPane pane = new JScrollPane(this);
    pane.setName(name);
    pane.setBorder(BorderFactory.createEmptyBorder());
    pane.setHorizontalScrollBarPolicy(JScrollPane.HORIZONTAL_SCROLLBAR_NEVER);
    return pane;
  }

  private int line() {
    return 2 * getFontMetrics(getFont()).getHeight();
  }

  @Override
  public Dimension getPreferredScrollableViewportSize() {
    return getPreferredSize();
  }

  @Override
  public int getScrollableUnitIncrement(Rectangle visible, int orientation, int direction) {
    return line();
  }

  @Override
  public int getScrollableBlockIncrement(Rectangle visible, int orientation, int direction) {
    return Math.max(line(), visible.height - line());
  }

  @Override
  public boolean getScrollableTracksViewportWidth() {
    return true;
  }

  @Override
  public boolean getScrollableTracksViewportHeight() {
    return false;
  }
}
