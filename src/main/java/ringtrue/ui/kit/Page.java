package ringtrue.ui.kit;

import com.formdev.flatlaf.util.UIScale;
import java.awt.BorderLayout;
import java.awt.Component;
import java.awt.Dimension;
import java.awt.Rectangle;
import javax.swing.BorderFactory;
import javax.swing.JComponent;
import javax.swing.JPanel;
import javax.swing.JScrollPane;
import javax.swing.Scrollable;
import javax.swing.SwingUtilities;

/**
 * A page that keeps a size in which everything on it can be read, and scrolls where the window is
 * smaller than that, as with large letters.
 */
public final class Page extends JScrollPane {
  /** Least size at letters of 100 %, pixels. */
  private static final Dimension LEAST = new Dimension(700, 540);

  /** What lies on it. */
  private static final class Sheet extends JPanel implements Scrollable {
    Sheet(JComponent view) {
      super(new BorderLayout());
      setOpaque(false);
      add(view);
    }

    private static Dimension least() {
      return new Dimension(UIScale.scale(LEAST.width), UIScale.scale(LEAST.height));
    }

    @Override
    public Dimension getPreferredSize() {
      return least();
    }

    @Override
    public Dimension getPreferredScrollableViewportSize() {
      return least();
    }

    @Override
    public int getScrollableUnitIncrement(Rectangle seen, int way, int by) {
      return 2 * getFontMetrics(getFont()).getHeight();
    }

    @Override
    public int getScrollableBlockIncrement(Rectangle seen, int way, int by) {
      return Math.max(1, seen.height * 7 / 8);
    }

    @Override
    public boolean getScrollableTracksViewportWidth() {
      return getParent() != null && getParent().getWidth() >= least().width;
    }

    @Override
    public boolean getScrollableTracksViewportHeight() {
      return getParent() != null && getParent().getHeight() >= least().height;
    }
  }

  /**
   * @param view what is seen on it
   */
  public Page(JComponent view) {
    super(new Sheet(view));
    setBorder(BorderFactory.createEmptyBorder());
    setName(view.getName() == null ? "page" : view.getName() + "-page");
    setFocusable(false);
  }

  /** Scrolls to what has the focus, if it lies on a page and is not seen whole. */
  public static void reveal(Component focused) {
    if (!(SwingUtilities.getAncestorOfClass(Page.class, focused) instanceof Page page)) {
      return;
    }
    Rectangle seen = page.getViewport().getVisibleRect();
    boolean large = focused.getHeight() > seen.height || focused.getWidth() > seen.width;
    if (!large && focused.getParent() instanceof JComponent around) {
      around.scrollRectToVisible(focused.getBounds());
    }
  }
}
