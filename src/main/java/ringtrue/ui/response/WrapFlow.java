package ringtrue.ui.response;

import java.awt.Component;
import java.awt.Container;
import java.awt.Dimension;
import java.awt.FlowLayout;
import java.awt.event.ComponentAdapter;
import java.awt.event.ComponentEvent;
import javax.swing.JPanel;

/** Components in a row, and in further rows where one is too narrow. */
public final class WrapFlow extends FlowLayout {

  /**
   * @param gap between components, at a scale of 100 %
   */
  public WrapFlow(int gap) {
    super(LEFT, 0, 0);
    int scaled = com.formdev.flatlaf.util.UIScale.scale(gap);
    setHgap(scaled);
    setVgap(scaled);
  }

  /** A panel that is laid out in this way. */
  public static JPanel panel(int gap) {
    JPanel panel = new JPanel(new WrapFlow(gap));
    panel.setOpaque(false);
    panel.addComponentListener(
        new ComponentAdapter() {
          private int before;

          @Override
          public void componentResized(ComponentEvent e) {
            if (panel.getWidth() != before) {
              before = panel.getWidth();
              panel.revalidate(); // as tall as this width asks
            }
          }
        });
    return panel;
  }

  @Override
  public Dimension preferredLayoutSize(Container target) {
    synchronized (target.getTreeLock()) {
      int wide = target.getWidth() > 0 ? target.getWidth() : Integer.MAX_VALUE;
      int x = 0;
      int widest = 0;
      int height = 0;
      int row = 0;
      for (Component each : target.getComponents()) {
        if (!each.isVisible()) {
          continue;
        }
        Dimension d = each.getPreferredSize();
        if (x > 0 && x + d.width + 2 * getHgap() > wide) {
          height += row + getVgap();
          x = 0;
          row = 0;
        }
        x += d.width + getHgap();
        widest = Math.max(widest, x);
        row = Math.max(row, d.height);
      }
      return new Dimension(widest + getHgap(), height + row + 2 * getVgap());
    }
  }

  @Override
  public Dimension minimumLayoutSize(Container target) {
    return new Dimension(0, preferredLayoutSize(target).height);
  }
}
