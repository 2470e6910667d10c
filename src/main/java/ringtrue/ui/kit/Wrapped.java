package ringtrue.ui.kit;

import java.awt.Dimension;
import java.awt.Font;
import javax.swing.BorderFactory;
import javax.swing.JTextArea;
import javax.swing.SwingUtilities;
import javax.swing.UIManager;
import javax.swing.text.DefaultCaret;

/**
 * Text that wraps at its width, can be selected and copied, and looks like a label. In a MigLayout
 * give it {@code growx, wmin 0}.
 */
public class Wrapped extends JTextArea {
  private float larger = 1;
  private boolean bold;

  @SuppressWarnings("this-escape") // what a subclass adds is not used before it is made
  public Wrapped(String text) {
    super(text);
    setEditable(false);
    setLineWrap(true);
    setWrapStyleWord(true);
    setOpaque(false);
    setFocusable(false);
    if (getCaret() instanceof DefaultCaret caret) {
      caret.setUpdatePolicy(DefaultCaret.NEVER_UPDATE); // new words must not scroll the page
    }
  }

  /**
   * Other letters than those of a label; they follow the look.
   *
   * @param larger by this factor
   * @param heavy in bold
   */
  public final void letters(float larger, boolean heavy) {
    this.larger = larger;
    bold = heavy;
    letters();
  }

  private void letters() {
    Font font = UIManager.getFont("Label.font");
    setFont(
        font.deriveFont(bold ? Font.BOLD : Font.PLAIN, font.getSize2D() * Math.max(larger, 0.1f)));
  }

  /** Asks for another height when the width is another. */
  @Override
  public void setBounds(int x, int y, int width, int height) {
    boolean other = width != getWidth();
    super.setBounds(x, y, width, height);
    if (other && width > 0 && getPreferredSize().height != height) {
      SwingUtilities.invokeLater(this::revalidate);
    }
  }

  @Override
  public void updateUI() {
    super.updateUI();
    if (larger == 0) {
      setFont(UIManager.getFont("Label.font")); // called before this object's own fields are set
    } else {
      letters();
    }
    setForeground(UIManager.getColor("Label.foreground"));
    setBackground(null);
    setBorder(BorderFactory.createEmptyBorder()); // one of its own, which a change of look leaves
    if (getCaret() instanceof DefaultCaret caret) {
      // new words must not scroll what they stand in to where they end
      caret.setUpdatePolicy(DefaultCaret.NEVER_UPDATE);
    }
  }

  @Override
  public Dimension getMinimumSize() {
    return new Dimension(1, getPreferredSize().height);
  }
}
