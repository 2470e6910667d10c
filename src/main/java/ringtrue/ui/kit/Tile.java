package ringtrue.ui.kit;

import java.awt.Dimension;
import java.awt.Font;
import java.awt.Graphics;
import java.awt.Insets;
import javax.swing.AbstractButton;
import javax.swing.Icon;
import javax.swing.JButton;
import javax.swing.JComponent;
import javax.swing.JLabel;
import javax.swing.JToggleButton;
import javax.swing.UIManager;
import net.miginfocom.swing.MigLayout;

/** Buttons that hold a sign, a title and a line of words that wraps. */
public final class Tile {
  private final AbstractButton button;
  private final JLabel sign = new JLabel();
  private final JLabel title = new JLabel();
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
    button.add(sign, "spany 2, aligny top");
    button.add(this.title, "growx, wmin 0, wrap");
    button.add(words, "growx, wmin 0");
    look();
  }

  /** A button for a choice, with large title. */
  public static Tile choice(String name, String title, String words) {
    Tile[] made = new Tile[1];
    JButton button =
        new JButton() {
          @Override
          public Dimension getPreferredSize() {
            return getLayout().preferredLayoutSize(this);
          }

          @Override
          public void updateUI() {
            super.updateUI();
            if (made[0] != null) {
              made[0].look();
            }
          }
        };
    button.setLayout(new MigLayout("ins 16 16 16 16, hidemode 3", "[]12[grow,fill]", "[]6[]"));
    made[0] = new Tile(button, name, title, 1.25f);
    made[0].bold(true);
    made[0].say(words);
    button.getAccessibleContext().setAccessibleName(title);
    button.getAccessibleContext().setAccessibleDescription(words);
    return made[0];
  }

  /** A button that stays pressed, marked by a bar at its left. */
  public static Tile toggle(String name, String title) {
    Tile[] made = new Tile[1];
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

          @Override
          public void updateUI() {
            super.updateUI();
            if (made[0] != null) {
              made[0].look();
            }
          }
        };
    button.setLayout(
        new MigLayout("ins 7 10 7 6, hidemode 3, aligny center", "[]9[grow,fill]", "[]1[]"));
    button.putClientProperty("JButton.buttonType", "toolBarButton");
    made[0] = new Tile(button, name, title, 1);
    return made[0];
  }

  /** The button. */
  public AbstractButton button() {
    return button;
  }

  /** Shows a sign in front. */
  public void sign(Icon icon) {
    if (sign.getIcon() != icon) {
      sign.setIcon(icon);
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
    Font font = UIManager.getFont("Button.font");
    title.setFont(font.deriveFont(bold ? Font.BOLD : Font.PLAIN, font.getSize2D() * large));
    words.setFont(large > 1 ? font : font.deriveFont(font.getSize2D() * 0.88f));
    Insets none = new Insets(0, 0, 0, 0);
    button.setMargin(none);
    for (JComponent each : new JComponent[] {sign, title, words}) {
      each.setFocusable(false);
    }
  }
}
