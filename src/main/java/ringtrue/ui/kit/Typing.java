package ringtrue.ui.kit;

import java.awt.Component;
import java.awt.KeyboardFocusManager;
import java.awt.event.InputEvent;
import java.awt.event.KeyEvent;
import javax.swing.JComponent;
import javax.swing.JTable;
import javax.swing.SwingUtilities;
import javax.swing.text.JTextComponent;

/**
 * What is being written where the focus is. It counts before anything else is done: saving,
 * opening, going to another stage, undoing.
 */
public final class Typing {
  private static final String KEY = "ringtrue.takeOver";
  private static final String OWN = "ACVXZY";

  private Typing() {}

  /**
   * Says how to take over what stands in a text.
   *
   * @param takeOver does nothing where nothing else was written
   */
  public static void counts(JTextComponent text, Runnable takeOver) {
    text.putClientProperty(KEY, takeOver);
  }

  /** Takes over what is being written where the focus is, if anything is. */
  public static void takeOver() {
    Component owner =
        KeyboardFocusManager.getCurrentKeyboardFocusManager().getPermanentFocusOwner();
    if (owner == null) {
      return;
    }
    if (owner instanceof JComponent c && c.getClientProperty(KEY) instanceof Runnable takeOver) {
      takeOver.run();
    }
    if (SwingUtilities.getAncestorOfClass(JTable.class, owner) instanceof JTable table
        && table.isEditing()) {
      table.getCellEditor().stopCellEditing();
    }
  }

  /** Whether keys are no part of writing, but do something: with Alt, with Ctrl, F1 to F12. */
  public static boolean acts(KeyEvent e) {
    if (e.getID() != KeyEvent.KEY_PRESSED || e.isAltGraphDown()) {
      return false;
    }
    int code = e.getKeyCode();
    boolean letter = code >= KeyEvent.VK_A && code <= KeyEvent.VK_Z;
    boolean digit = code >= KeyEvent.VK_0 && code <= KeyEvent.VK_9;
    boolean other = code == KeyEvent.VK_ENTER || code == KeyEvent.VK_COMMA;
    if (code >= KeyEvent.VK_F1 && code <= KeyEvent.VK_F12) {
      return true;
    }
    boolean shift = (e.getModifiersEx() & InputEvent.SHIFT_DOWN_MASK) != 0;
    if (e.isControlDown()) {
      return digit || other || letter && (shift || OWN.indexOf(code) < 0) && code != KeyEvent.VK_Z;
    }
    return e.isAltDown() && (letter || digit);
  }
}
