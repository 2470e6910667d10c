package ringtrue.ui.kit;

import javax.swing.JLabel;
import javax.swing.JPanel;

/** One sentence with its sign, put beside the thing that it concerns. Not seen while empty. */
public final class Notice extends JPanel {
  private final JLabel sign = new JLabel();
  private final Wrapped words = new Wrapped("");
  private Sign kind = Sign.NOTE;

  /**
   * @param name name of the component, for tests and readers of the screen
   */
  public Notice(String name) {
    super(new MigLayout("ins 2 0 2 0, fillx, hidemode 3", "[][grow,fill]", "[top]"));
    setOpaque(false);
    setName(name);
    add(sign, "aligny top");
    add(words, "growx, wmin 0");
    clear();
  }

  /** Shows a sentence. */
  public void say(Sign as, String sentence) {
    kind = as;
    sign.setIcon(as);
    words.setText(sentence);
    words.setForeground(as == Sign.NOTE ? null : as.color());
    getAccessibleContext().setAccessibleName(as.words() + ": " + sentence);
    setVisible(!sentence.isEmpty());
    revalidate();
  }

  /** Shows nothing. */
  public void clear() {
    words.setText("");
    setVisible(false);
  }

  /** What it says; empty while it says nothing. */
  public String text() {
    return words.getText();
  }

  @Override
  public void updateUI() {
    super.updateUI();
    if (words != null && kind != Sign.NOTE) {
      words.setForeground(kind.color());
    }
  }
}
