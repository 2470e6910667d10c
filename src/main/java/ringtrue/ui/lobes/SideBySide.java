package ringtrue.ui.lobes;

import com.formdev.flatlaf.util.UIScale;
import java.awt.BorderLayout;
import java.awt.Dimension;
import java.awt.Insets;
import java.awt.Rectangle;
import java.util.function.Consumer;
import javax.swing.JComponent;
import javax.swing.JPanel;
import javax.swing.JScrollPane;
import javax.swing.JViewport;
import javax.swing.Scrollable;
import javax.swing.SwingUtilities;

/**
 * Map and panel side by side where there is room for both, each as high as the window; otherwise
 * one below the other on a page that scrolls.
 */
final class SideBySide extends JPanel implements Scrollable {
  private static final int PANEL = 390;
  private static final int LEAST_MAP = 440;
  private static final int LEAST_HEIGHT = 380;
  private static final int GAP = 12;

  private final JComponent map;
  private final JComponent panel;
  private final JScrollPane own;
  private final Consumer<Boolean> arranged;
  private boolean beside;
  private boolean made;

  /**
   * @param map takes all the room there is
   * @param panel as high as its content asks
   * @param own what the panel scrolls in while it stands beside the map
   * @param arranged told whether they are side by side now
   */
  SideBySide(JComponent map, JComponent panel, JScrollPane own, Consumer<Boolean> arranged) {
    super(new BorderLayout());
    this.map = map;
    this.panel = panel;
    this.own = own;
    this.arranged = arranged;
    add(map, BorderLayout.CENTER);
  }

  /** What it needs to be side by side: a panel and a map that is not a mere strip. */
  private static boolean roomFor(int width) {
    return width >= UIScale.scale(PANEL + LEAST_MAP);
  }

  private int gap() {
    return UIScale.scale(GAP);
  }

  /** Puts the panel where it fits. */
  @Override
  public void setBounds(int x, int y, int width, int height) {
    super.setBounds(x, y, width, height);
    if (width > 0 && (!made || roomFor(width) != beside)) {
      made = true;
      beside = roomFor(width);
      arrange();
      arranged.accept(beside);
      SwingUtilities.invokeLater(this::revalidate);
    }
  }

  private void arrange() {
    removeAll();
    own.setViewportView(null);
    add(map);
    if (beside) {
      own.setViewportView(panel);
      add(own);
    } else {
      add(panel);
    }
  }

  @Override
  public void doLayout() {
    Insets in = getInsets();
    int wide = getWidth() - in.left - in.right;
    int high = getHeight() - in.top - in.bottom;
    if (beside) {
      int right = UIScale.scale(PANEL);
      map.setBounds(in.left, in.top, Math.max(0, wide - right - gap()), high);
      own.setBounds(in.left + wide - right, in.top, right, high);
    } else {
      int below = panel.getPreferredSize().height;
      int above = Math.max(leastMap(), high - below - gap());
      map.setBounds(in.left, in.top, wide, above);
      panel.setBounds(in.left, in.top + above + gap(), wide, below);
    }
  }

  private int leastMap() {
    return Math.max(map.getMinimumSize().height, UIScale.scale(LEAST_HEIGHT));
  }

  @Override
  public Dimension getPreferredSize() {
    Insets in = getInsets();
    int high = leastMap() + in.top + in.bottom;
    if (made && !beside) {
      high += gap() + panel.getPreferredSize().height;
    }
    return new Dimension(UIScale.scale(PANEL + LEAST_MAP), high);
  }

  @Override
  public Dimension getMinimumSize() {
    return new Dimension(1, 1);
  }

  @Override
  public Dimension getPreferredScrollableViewportSize() {
    return getPreferredSize();
  }

  @Override
  public int getScrollableUnitIncrement(Rectangle visible, int orientation, int direction) {
    return 2 * getFontMetrics(getFont()).getHeight();
  }

  @Override
  public int getScrollableBlockIncrement(Rectangle visible, int orientation, int direction) {
    return Math.max(
        1, visible.height - getScrollableUnitIncrement(visible, orientation, direction));
  }

  @Override
  public boolean getScrollableTracksViewportWidth() {
    return true;
  }

  @Override
  public boolean getScrollableTracksViewportHeight() {
    return getParent() instanceof JViewport port && port.getHeight() >= getPreferredSize().height;
  }
}
