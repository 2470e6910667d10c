package ringtrue.ui.tapping;

import java.awt.Component;
import java.awt.Font;
import java.awt.Graphics;
import java.awt.Graphics2D;
import javax.swing.Icon;
import javax.swing.JPanel;
import javax.swing.JTextArea;
import javax.swing.UIManager;
import ringtrue.ui.kit.Headline;
import ringtrue.ui.kit.MigLayout;
import ringtrue.ui.kit.Sign;

/** The state of tapping, readable from two metres: sign, words, and the reason below. */
final class StateView extends JPanel {
  private static final float LARGE = 3.4f;
  private static final float REASON = 1.55f;

  private final Headline words = new Headline(LARGE);
  private final JTextArea reason = new JTextArea(" ", 2, 20);
  private Banner banner = new Banner(Sign.OPEN, " ", " ");

  StateView() {
    super(new MigLayout("ins 4 10 4 10, fillx, wrap 1, gapy 0", "[grow,fill]", "[][]"));
    setOpaque(false);
    setFocusable(true);
    setName("taps-state-view");
    words.setName("taps-state");
    reason.setName("taps-reason");
    words.setText(" ");
    words.setIconTextGap(14);
    add(words, "growx, wmin 0");
    reason.setEditable(false);
    reason.setFocusable(false);
    reason.setLineWrap(true);
    reason.setWrapStyleWord(true);
    reason.setOpaque(false);
    reason.setBorder(null);
    add(reason, "growx, wmin 0");
    updateUI();
  }

  void show(Banner other) {
    if (other.equals(banner)) {
      return;
    }
    banner = other;
    words.setText(other.words());
    words.setIcon(new Large(other.sign()));
    words.setForeground(other.sign().color());
    reason.setText(other.reason());
    reason.setToolTipText(other.reason());
    String all = other.words() + ". " + other.reason();
    words.getAccessibleContext().setAccessibleName(all);
    getAccessibleContext().setAccessibleName("State of tapping: " + all);
  }

  Banner banner() {
    return banner;
  }

  @Override
  public void updateUI() {
    super.updateUI();
    if (words != null) {
      Font font = UIManager.getFont("Label.font");
      reason.setFont(font.deriveFont(font.getSize2D() * REASON));
      reason.setForeground(UIManager.getColor("Label.foreground"));
      reason.setBackground(null);
      words.setForeground(banner.sign().color());
    }
  }

  /** A sign as tall as the large words. */
  private record Large(Sign sign) implements Icon {
    @Override
    public void paintIcon(Component c, Graphics graphics, int x, int y) {
      Graphics2D g = (Graphics2D) graphics.create();
      g.translate(x, y);
      double scale = getIconWidth() / (double) sign.getIconWidth();
      g.scale(scale, scale);
      sign.paintIcon(c, g, 0, 0);
      g.dispose();
    }

    @Override
    public int getIconWidth() {
      return Math.round(sign.getIconWidth() * LARGE * 0.85f);
    }

    @Override
    public int getIconHeight() {
      return getIconWidth();
    }
  }
}
