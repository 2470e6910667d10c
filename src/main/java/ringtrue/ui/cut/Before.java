package ringtrue.ui.cut;

import java.awt.AlphaComposite;
import java.awt.BorderLayout;
import java.awt.Graphics;
import java.awt.Graphics2D;
import javax.swing.JComponent;
import javax.swing.JPanel;

/** Holds what is shown of a cut; greyed while it is that of the cut before. */
final class Before extends JPanel {
  private static final float FAINT = 0.4f;

  private boolean old;

  Before(JComponent of) {
    super(new BorderLayout());
    setOpaque(false);
    add(of);
  }

  /** Says whether it is of the cut before. */
  void is(boolean before) {
    if (before != old) {
      old = before;
      repaint();
    }
  }

  /** Whatever is painted in it is painted by way of this. */
  @Override
  protected boolean isPaintingOrigin() {
    return old;
  }

  @Override
  public void paint(Graphics graphics) {
    Graphics2D g = (Graphics2D) graphics.create();
    if (old) {
      g.setComposite(AlphaComposite.getInstance(AlphaComposite.SRC_OVER, FAINT));
    }
    super.paint(g);
    g.dispose();
  }
}
