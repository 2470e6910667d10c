package ringtrue.ui.kit;

import java.awt.event.ActionEvent;
import java.awt.event.FocusAdapter;
import java.awt.event.FocusEvent;
import java.util.function.BooleanSupplier;
import javax.swing.AbstractAction;
import javax.swing.JComponent;
import javax.swing.JTextField;
import javax.swing.KeyStroke;
import javax.swing.text.JTextComponent;
import javax.swing.undo.UndoManager;

/**
 * Undo of typing within a text component. While there is typing to take back, undo takes it back:
 * all of it in a line, letter by letter in a longer text; after that it is the window's undo again.
 */
public final class TextUndo {
  private static final String KEY = "ringtrue.textUndo";

  private TextUndo() {}

  /** Gives a text component its own undo; again does nothing. */
  public static void install(JTextComponent text) {
    if (text.getClientProperty(KEY) != null) {
      return;
    }
    UndoManager typed = new UndoManager();
    text.putClientProperty(KEY, typed);
    text.getDocument().addUndoableEditListener(typed);
    boolean line = text instanceof JTextField;
    bind(
        text,
        "typed-undo",
        typed::canUndo,
        () -> {
          do {
            typed.undo();
          } while (line && typed.canUndo());
        },
        "ctrl Z");
    bind(
        text,
        "typed-redo",
        typed::canRedo,
        () -> {
          do {
            typed.redo();
          } while (line && typed.canRedo());
        },
        "ctrl Y",
        "ctrl shift Z");
    text.addFocusListener(
        new FocusAdapter() {
          @Override
          public void focusLost(FocusEvent e) {
            if (!e.isTemporary()) {
              typed.discardAllEdits();
            }
          }
        });
  }

  /** Forgets what was typed, as when it has been committed. */
  public static void forget(JTextComponent text) {
    if (text.getClientProperty(KEY) instanceof UndoManager typed) {
      typed.discardAllEdits();
    }
  }

  private static void bind(
      JTextComponent text, String id, BooleanSupplier possible, Runnable run, String... keys) {
    text.getActionMap()
        .put(
            id,
            new AbstractAction() {
              @Override
              public boolean isEnabled() {
                return possible.getAsBoolean();
              }

              @Override
              public void actionPerformed(ActionEvent e) {
                run.run();
              }
            });
    for (String each : keys) {
      text.getInputMap(JComponent.WHEN_FOCUSED).put(KeyStroke.getKeyStroke(each), id);
    }
  }
}
