package ringtrue.ui.response;

import java.awt.BorderLayout;
import java.awt.Component;
import java.awt.Dimension;
import java.awt.Rectangle;
import javax.swing.JPanel;
import javax.swing.Scrollable;
import javax.swing.SwingUtilities;

/** Fills what it scrolls in; scrolls upwards only where even the least height does not fit. */
public final class FillPanel extends JPanel implements Scrollable {

  /**
   * @param inside what it shows
   */
  public FillPanel(Component inside) {
    super(new BorderLayout());
    add(inside);
  }

  @Override
  public Dimension getPreferredScrollableViewportSize() {
    return getMinimumSize();
  }

  @Override
  public Dimension getPreferredSize() {
    return getMinimumSize();
  }

  @Override
  public int getScrollableUnitIncrement(Rectangle r, int orientation, int direction) {
    return 24;
  }

  @Override
  public int getScrollableBlockIncrement(Rectangle r, int orientation, int direction) {
    return r.height;
  }

  @Override
  public boolean getScrollableTracksViewportWidth() {
    return true;
  }

  @Override
  public boolean getScrollableTracksViewportHeight() {
    Component around = SwingUtilities.getUnwrappedParent(this);
    return around != null && around.getHeight() >= getMinimumSize().height;
  }
}
