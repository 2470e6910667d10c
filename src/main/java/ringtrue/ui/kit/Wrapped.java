package ringtrue.ui.kit;

import java.awt.Dimension;
import javax.swing.JTextArea;
import javax.swing.UIManager;
import javax.swing.text.DefaultCaret;

/**
 * Text that wraps at its width, can be selected and copied, and looks like a label. In a MigLayout
 * give it {@code growx, wmin 0}.
 */
public final class Wrapped extends JTextArea {

  public Wrapped(String text) {
    super(text);
    setEditable(false);
    setLineWrap(true);
    setWrapStyleWord(true);
    setOpaque(false);
    setBorder(null);
    setFocusable(false);
    if (getCaret() instanceof DefaultCaret caret) {
      caret.setUpdatePolicy(DefaultCaret.NEVER_UPDATE); // new text must not scroll what it lies in
    }
  }

  @Override
  public void updateUI() {
    super.updateUI();
    setFont(UIManager.getFont("Label.font"));
    setForeground(UIManager.getColor("Label.foreground"));
    setBackground(null);
  }

  @Override
  public Dimension getMinimumSize() {
    return new Dimension(1, getPreferredSize().height);
  }
}
