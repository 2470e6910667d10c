package ringtrue.ui.kit;

import java.awt.event.ActionEvent;
import java.awt.event.FocusAdapter;
import java.awt.event.FocusEvent;
import java.util.ArrayList;
import java.util.List;
import java.util.function.Consumer;
import javax.swing.AbstractAction;
import javax.swing.JComponent;
import javax.swing.JLabel;
import javax.swing.JPanel;
import javax.swing.JTextField;
import javax.swing.KeyStroke;

/**
 * A line to write in. What is written counts on Enter or when the field is left; Escape brings back
 * what stood there. A complaint about it stands below it. Put {@link #label()} in front of it.
 *
 * <p>The text field inside carries the name that is given; the complaint that name with {@code
 * -complaint}.
 */
public final class Field extends JPanel {
  private final JTextField text;
  private final JLabel label = new JLabel();
  private final JLabel suffix = new JLabel();
  private final JLabel below = new JLabel();
  private final Notice notice;
  private final List<Consumer<String>> listeners = new ArrayList<>();
  private String shown = "";
  private boolean telling;

  /**
   * @param name name of the text field, kebab-case
   * @param label what it is, for the label and for readers of the screen
   * @param columns width in letters
   */
  public Field(String name, String label, int columns) {
    super(new MigLayout("ins 0, gap 0 2, hidemode 3, fillx", "[grow,fill]4[]", "[][][]"));
    setOpaque(false);
    setName(name + "-field");
    text = new JTextField(columns);
    text.setName(name);
    text.getAccessibleContext().setAccessibleName(label);
    this.label.setText(label);
    this.label.setLabelFor(text);
    notice = new Notice(name + "-complaint");
    suffix.setVisible(false);
    suffix.setEnabled(false);
    add(text, "cell 0 0, growx, wmin 40");
    add(suffix, "cell 1 0");
    add(below, "cell 0 1 2 1, growx, wmin 0");
    add(notice, "cell 0 2 2 1, growx, wmin 0");
    below.setVisible(false);
    below.setEnabled(false);
    TextUndo.install(text);
    text.addActionListener(e -> commit());
    text.addFocusListener(
        new FocusAdapter() {
          @Override
          public void focusLost(FocusEvent e) {
            if (!e.isTemporary()) {
              commit();
            }
          }
        });
    text.getActionMap()
        .put(
            "as-it-was",
            new AbstractAction() {
              @Override
              public boolean isEnabled() {
                return !text.getText().equals(shown);
              }

              @Override
              public void actionPerformed(ActionEvent e) {
                restore();
              }
            });
    text.getInputMap(JComponent.WHEN_FOCUSED).put(KeyStroke.getKeyStroke("ESCAPE"), "as-it-was");
  }

  /** The label in front of it. */
  public JLabel label() {
    return label;
  }

  /** Told what was written, when it counts and differs from what was shown. */
  public Field onCommit(Consumer<String> listener) {
    listeners.add(listener);
    return this;
  }

  /** Shows a value; while the user is writing something else, his text stays. */
  public void show(String value) {
    boolean writing = text.isFocusOwner() && !text.getText().equals(shown) && !telling;
    shown = value;
    if (!writing && !text.getText().equals(value)) {
      text.setText(value);
      text.setCaretPosition(0);
      TextUndo.forget(text);
    }
  }

  /** One sentence about what stands in it; empty if there is nothing to say. */
  public void complain(String sentence) {
    if (sentence.isEmpty()) {
      notice.clear();
      text.putClientProperty("JComponent.outline", null);
    } else if (!notice.text().equals(sentence)) {
      notice.say(Sign.BAD, sentence);
      text.putClientProperty("JComponent.outline", "error");
    }
    text.getAccessibleContext().setAccessibleDescription(sentence);
    revalidate();
  }

  /** What could be written there, seen while it is empty. */
  public Field example(String words) {
    text.putClientProperty("JTextField.placeholderText", words);
    return this;
  }

  /** The unit that counts where none is written, shown behind the field. */
  public Field suffix(String words) {
    suffix.setText(words);
    suffix.setVisible(!words.isEmpty());
    return this;
  }

  /** What is written comes to this, shown below the field; empty for nothing. */
  public Field below(String words) {
    below.setText(words);
    below.setVisible(!words.isEmpty());
    return this;
  }

  /** What stands in it now. */
  public String text() {
    return text.getText();
  }

  /** The text field inside, as for completion. */
  public JTextField input() {
    return text;
  }

  private void commit() {
    String written = text.getText();
    TextUndo.forget(text);
    if (written.equals(shown) || telling) {
      return;
    }
    shown = written;
    telling = true;
    try {
      List.copyOf(listeners).forEach(l -> l.accept(written));
    } finally {
      telling = false;
    }
  }

  private void restore() {
    text.setText(shown);
    TextUndo.forget(text);
    text.selectAll();
  }

  @Override
  public void setEnabled(boolean enabled) {
    super.setEnabled(enabled);
    text.setEnabled(enabled);
    label.setEnabled(enabled);
  }

  @Override
  public void setToolTipText(String words) {
    super.setToolTipText(words);
    text.setToolTipText(words);
    label.setToolTipText(words);
  }

  @Override
  public boolean requestFocusInWindow() {
    return text.requestFocusInWindow();
  }
}
