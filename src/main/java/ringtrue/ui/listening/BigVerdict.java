package ringtrue.ui.listening;

import java.awt.Component;
import java.awt.Graphics;
import java.awt.Graphics2D;
import javax.swing.Icon;
import javax.swing.JLabel;
import javax.swing.JPanel;
import net.miginfocom.swing.MigLayout;
import ringtrue.ui.kit.Headline;
import ringtrue.ui.kit.Sign;
import ringtrue.ui.kit.Wrapped;

/** The verdict in type that is read from two metres, and why in a sentence. */
final class BigVerdict extends JPanel {
  private static final float LARGE = 2.9f;

  private final JLabel sign = new JLabel();
  private final Headline words = new Headline(LARGE);
  private final JLabel tag = new JLabel();
  private final Wrapped why = new Wrapped("");

  /** A sign as large as the words. */
  private record Enlarged(Sign sign) implements Icon {
    @Override
    public void paintIcon(Component c, Graphics graphics, int x, int y) {
      Graphics2D g = (Graphics2D) graphics.create();
      g.translate(x, y);
      g.scale(LARGE * 0.8, LARGE * 0.8);
      sign.paintIcon(c, g, 0, 0);
      g.dispose();
    }

    @Override
    public int getIconWidth() {
      return Math.round(sign.getIconWidth() * LARGE * 0.8f);
    }

    @Override
    public int getIconHeight() {
      return getIconWidth();
    }
  }

  BigVerdict(String name) {
    super(new MigLayout("ins 0, fillx, hidemode 3, gap 8 2", "[][grow,fill]", "[]"));
    setName(name);
    setFocusable(true);
    setOpaque(false);
    words.setName(name + "-words");
    tag.setName(name + "-tag");
    tag.setEnabled(false);
    why.setName(name + "-why");
    why.setFocusable(true);
    add(sign);
    add(words, "wmin 0, wrap");
    add(tag, "span 2, wrap");
    add(why, "span 2, growx, wmin 0");
  }

  /**
   * Shows it.
   *
   * @param large the verdict
   * @param small where the sound came from and at what speed
   * @param sentence why
   */
  void show(Sign as, String large, String small, String sentence) {
    sign.setIcon(new Enlarged(as));
    words.setText(large);
    words.setForeground(as.color());
    tag.setText(small);
    tag.setVisible(!small.isEmpty());
    if (!why.getText().equals(sentence)) {
      why.setText(sentence);
    }
    getAccessibleContext().setAccessibleName(as.words() + ": " + large + ". " + sentence);
  }

  String words() {
    return words.getText();
  }
}
