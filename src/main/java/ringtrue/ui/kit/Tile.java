package ringtrue.ui.kit;

import java.awt.Dimension;
import java.awt.Graphics;
import java.awt.Insets;
import javax.swing.AbstractButton;
import javax.swing.Icon;
import javax.swing.JButton;
import javax.swing.JLabel;
import javax.swing.JToggleButton;
import javax.swing.UIManager;

/** Buttons that hold a sign, a title and a line of words that wraps. */
public final class Tile {
  private final AbstractButton button;
  private final JLabel sign = new JLabel();
  private final Words title = new Words();
  private final Words words = new Words();
  private final float large;
  private boolean bold;

  private static final class Words extends Wrapped {
    Words() {
      super("");
    }

    @Override
    public boolean contains(int x, int y) {
      return false; // the button below is pressed
    }
  }

  private Tile(AbstractButton button, String name, String title, float large) {
    this.button = button;
    this.large = large;
    button.setName(name);
    this.title.setText(title);
    sign.setVisible(false);
    button.add(sign, "cell 0 0 1 2, aligny top, gapright 9");
    button.add(this.title, "cell 1 0, growx, wmin 0");
    button.add(words, "cell 1 1, growx, wmin 0");
    look();
  }

  /** A button for a choice, with large title. */
  public static Tile choice(String name, String title, String words) {
    JButton button =
        new JButton() {
          @Override
          public Dimension getPreferredSize() {
            return getLayout().preferredLayoutSize(this);
          }
        };
    button.setLayout(
        new MigLayout("ins 16 16 16 16, fillx, hidemode 3", "[]0[grow,fill]", "[]6[]"));
    Tile made = new Tile(button, name, title, 1.25f);
    made.bold(true);
    made.say(words);
    button.getAccessibleContext().setAccessibleName(title);
    button.getAccessibleContext().setAccessibleDescription(words);
    return made;
  }

  /** A button that stays pressed, marked by a bar at its left. */
  public static Tile toggle(String name, String title) {
    JToggleButton button =
        new JToggleButton() {
          @Override
          public Dimension getPreferredSize() {
            return getLayout().preferredLayoutSize(this);
          }

          @Override
          protected void paintComponent(Graphics g) {
            super.paintComponent(g);
            if (isSelected()) {
              g.setColor(UIManager.getColor("Component.accentColor"));
              int wide = Math.max(3, getFont().getSize() / 4);
              g.fillRect(0, wide, wide, getHeight() - 2 * wide);
            }
          }
        };
    button.setLayout(
        new MigLayout("ins 7 10 7 6, fillx, hidemode 3, aligny center", "[]0[grow,fill]", "[]1[]"));
    button.putClientProperty("JButton.buttonType", "toolBarButton");
    Tile made = new Tile(button, name, title, 1);
    return made;
  }

  /** The button. */
  public AbstractButton button() {
    return button;
  }

  /** Shows a sign in front. */
  public void sign(Icon icon) {
    if (sign.getIcon() != icon) {
      sign.setIcon(icon);
      sign.setVisible(icon != null);
    }
  }

  /** Shows words under the title; empty for none. */
  public void say(String text) {
    if (!text.equals(words.getText())) {
      words.setText(text);
    }
    if (words.isVisible() == text.isEmpty()) {
      words.setVisible(!text.isEmpty());
    }
  }

  /** Shows the title in bold or plain letters. */
  public void bold(boolean heavy) {
    if (bold != heavy) {
      bold = heavy;
      look();
    }
  }

  private void look() {
    title.letters(large, bold);
    words.letters(large > 1 ? 1 : 0.88f, false);
    button.setMargin(new Insets(0, 0, 0, 0));
  }
}
