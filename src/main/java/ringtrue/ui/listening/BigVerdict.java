package ringtrue.ui.listening;

import java.awt.Component;
import java.awt.Graphics;
import java.awt.Graphics2D;
import javax.swing.Icon;
import javax.swing.JLabel;
import javax.swing.JPanel;
import ringtrue.ui.kit.MigLayout;
import ringtrue.ui.kit.Sign;
import ringtrue.ui.kit.Wrapped;

/** The verdict in type that is read from two metres, and why in a sentence. */
final class BigVerdict extends JPanel {
  private static final float LARGE = 2.9f;
  private static final float MORE = 1.5f;

  private final JLabel sign = new JLabel();
  private final Wrapped words = new Wrapped("");
  private final Wrapped more = new Wrapped("");
  private final Wrapped tag = new Wrapped("");
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
    words.letters(LARGE, true);
    more.setName(name + "-more");
    more.letters(MORE, true);
    tag.setName(name + "-tag");
    tag.setEnabled(false);
    why.setName(name + "-why");
    why.setFocusable(true);
    add(sign, "aligny top, gaptop 6");
    add(words, "growx, wmin 0, wrap");
    add(more, "skip 1, growx, wmin 0, wrap");
    add(tag, "span 2, growx, wmin 0, wrap");
    add(why, "span 2, growx, wmin 0");
  }

  /**
   * Shows it.
   *
   * @param large the verdict
   * @param less what belongs to it, in smaller type; may be empty
   * @param small where the sound came from and at what speed
   * @param sentence why
   */
  void show(Sign as, String large, String less, String small, String sentence) {
    sign.setIcon(new Enlarged(as));
    say(words, large);
    words.setForeground(as.color());
    say(more, less);
    more.setForeground(as.color());
    more.setVisible(!less.isEmpty());
    say(tag, small);
    tag.setVisible(!small.isEmpty());
    say(why, sentence);
    getAccessibleContext()
        .setAccessibleName(
            as.words() + ": " + large + (less.isEmpty() ? "" : ", " + less) + ". " + sentence);
  }

  private static void say(Wrapped in, String text) {
    if (!in.getText().equals(text)) {
      in.setText(text);
    }
  }
}
