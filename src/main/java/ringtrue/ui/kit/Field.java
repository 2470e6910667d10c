package ringtrue.ui.kit;

import java.awt.Component;
import java.awt.KeyboardFocusManager;
import java.awt.Point;
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
import javax.swing.JViewport;
import javax.swing.KeyStroke;
import javax.swing.SwingUtilities;
import javax.swing.event.DocumentEvent;
import javax.swing.event.DocumentListener;
import net.miginfocom.swing.MigLayout;

/**
 * A line to write in. What is written counts on Enter, when the field is left, or when anything
 * else is done with keys; Escape brings back what stood there. What a value comes to in other words
 * stands below it, and so does a complaint about it, until something else is written. Put {@link
 * #label()} in front of it.
 *
 * <p>The text field inside carries the name that is given; the complaint that name with {@code
 * -complaint}.
 */
public final class Field extends JPanel {
  /** Letters of a unit that has room behind the field. */
  private static final int SHORT = 8;

  private final JTextField text;
  private final JLabel label = new JLabel();
  private final JLabel suffix = new JLabel();
  private final JLabel hint = new JLabel();
  private final Notice notice;
  private final List<Consumer<String>> listeners = new ArrayList<>();
  private String shown = "";
  private boolean telling;
  private boolean away;

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
    hint.setVisible(false);
    hint.setEnabled(false);
    add(text, "cell 0 0, growx, wmin 40");
    add(suffix, "cell 1 0");
    add(hint, "cell 0 1 2 1, growx, wmin 0");
    add(notice, "cell 0 1 2 1, growx, wmin 0");
    TextUndo.install(text);
    text.addActionListener(e -> commit());
    text.addFocusListener(
        new FocusAdapter() {
          @Override
          public void focusGained(FocusEvent e) {
            away = false;
          }

          @Override
          public void focusLost(FocusEvent e) {
            away = e.isTemporary();
            if (!away) {
              commit();
            }
          }
        });
    Typing.counts(text, this::commit);
    text.getDocument()
        .addDocumentListener(
            new DocumentListener() {
              @Override
              public void insertUpdate(DocumentEvent e) {
                written();
              }

              @Override
              public void removeUpdate(DocumentEvent e) {
                written();
              }

              @Override
              public void changedUpdate(DocumentEvent e) {
                // letters stay the same
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
    boolean writing = writing();
    shown = value;
    if (!writing && !text.getText().equals(value)) {
      text.setText(value);
      text.setCaretPosition(0);
      TextUndo.forget(text);
    }
  }

  /** Whether something else is being written than what was shown last. */
  private boolean writing() {
    return (text.isFocusOwner() || away) && !text.getText().equals(shown) && !telling;
  }

  /** A complaint was about what stood there before. */
  private void written() {
    if (writing() && !notice.text().isEmpty()) {
      complain("");
    }
  }

  /**
   * One sentence about what stands in it; empty if there is nothing to say. While the user is
   * writing something else, what is said of the text before does not count.
   */
  public void complain(String sentence) {
    boolean same = notice.text().equals(sentence);
    if (same || !sentence.isEmpty() && writing()) {
      return;
    }
    Component anchor =
        KeyboardFocusManager.getCurrentKeyboardFocusManager().getPermanentFocusOwner();
    int before = heightInScroll(anchor);
    if (sentence.isEmpty()) {
      notice.clear();
      text.putClientProperty("JComponent.outline", null);
    } else {
      notice.say(Sign.BAD, sentence);
      text.putClientProperty("JComponent.outline", "error");
    }
    hint.setVisible(sentence.isEmpty() && !hint.getText().isEmpty());
    text.getAccessibleContext().setAccessibleDescription(sentence);
    revalidate();
    stay(anchor, before);
  }

  /** How far below the upper edge of the scrolled page something stands; -1 if elsewhere. */
  private int heightInScroll(Component c) {
    JViewport page = (JViewport) SwingUtilities.getAncestorOfClass(JViewport.class, this);
    return c == null || page == null || page.getView() == null
        ? -1
        : SwingUtilities.isDescendingFrom(c, page.getView())
            ? SwingUtilities.convertPoint(c, 0, 0, page.getView()).y
            : -1;
  }

  /** Scrolls the page by as much as the focus has moved on it: nothing moves under the pointer. */
  private void stay(Component anchor, int before) {
    if (before < 0) {
      return;
    }
    SwingUtilities.invokeLater(
        () -> {
          JViewport page = (JViewport) SwingUtilities.getAncestorOfClass(JViewport.class, this);
          if (page == null) {
            return;
          }
          page.validate();
          int after = heightInScroll(anchor);
          if (after >= 0 && after != before) {
            Point at = page.getViewPosition();
            int most = Math.max(0, page.getView().getHeight() - page.getHeight());
            page.setViewPosition(
                new Point(at.x, Math.max(0, Math.min(most, at.y + after - before))));
          }
        });
  }

  /** What could be written there, seen while it is empty. */
  public Field example(String words) {
    text.putClientProperty("JTextField.placeholderText", words);
    return this;
  }

  /**
   * The unit that counts where none is written, shown behind the field; longer words, as what the
   * value comes to in other units, stand below it.
   */
  public Field suffix(String words) {
    boolean below = words.length() > SHORT;
    suffix.setText(below ? "" : words);
    suffix.setVisible(!below && !words.isEmpty());
    hint.setText(below ? words : "");
    hint.setToolTipText(below ? words : null);
    hint.setVisible(below && notice.text().isEmpty());
    return this;
  }

  /** What is written comes to this, shown below the field however short it is; after suffix. */
  public Field below(String words) {
    hint.setText(words);
    hint.setToolTipText(words.isEmpty() ? null : words);
    hint.setVisible(!words.isEmpty() && notice.text().isEmpty());
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
