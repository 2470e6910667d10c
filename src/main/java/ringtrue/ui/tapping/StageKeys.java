package ringtrue.ui.tapping;

import java.awt.Component;
import java.awt.KeyEventDispatcher;
import java.awt.KeyboardFocusManager;
import java.awt.event.KeyEvent;
import java.util.function.BooleanSupplier;
import javax.swing.AbstractButton;
import javax.swing.JComboBox;
import javax.swing.JComponent;
import javax.swing.JTable;
import javax.swing.JToggleButton;
import javax.swing.MenuSelectionManager;
import javax.swing.SwingUtilities;
import javax.swing.text.JTextComponent;
import ringtrue.ui.plot.Plot;

/**
 * The keys of the stage, as a foot pedal sends them: they work wherever the focus is, except in
 * text fields. While no session runs, the space bar still presses a button that was reached with
 * Tab; buttons of the stage do not take the focus when they are clicked.
 */
final class StageKeys implements KeyEventDispatcher {
  private final JComponent view;
  private final BooleanSupplier live;
  private final Keys keys;
  private boolean on;
  private boolean swallowTyped;

  /** What the keys do; each says whether it did anything. */
  interface Keys {
    boolean forward();

    boolean back();

    boolean end();
  }

  StageKeys(JComponent view, BooleanSupplier live, Keys keys) {
    this.view = view;
    this.live = live;
    this.keys = keys;
  }

  void on() {
    if (!on) {
      on = true;
      KeyboardFocusManager.getCurrentKeyboardFocusManager().addKeyEventDispatcher(this);
    }
  }

  void off() {
    if (on) {
      on = false;
      KeyboardFocusManager.getCurrentKeyboardFocusManager().removeKeyEventDispatcher(this);
    }
  }

  @Override
  public boolean dispatchKeyEvent(KeyEvent e) {
    if (e.getID() == KeyEvent.KEY_TYPED && swallowTyped) {
      swallowTyped = false;
      return true;
    }
    if (e.getID() == KeyEvent.KEY_RELEASED) {
      swallowTyped = false;
    }
    boolean plain = (e.getModifiersEx() & (KeyEvent.CTRL_DOWN_MASK | KeyEvent.ALT_DOWN_MASK)) == 0;
    if (e.getID() != KeyEvent.KEY_PRESSED || !plain || !view.isShowing() || belongsElsewhere(e)) {
      return false;
    }
    boolean done =
        switch (e.getKeyCode()) {
          case KeyEvent.VK_SPACE, KeyEvent.VK_ENTER, KeyEvent.VK_PAGE_DOWN -> keys.forward();
          case KeyEvent.VK_BACK_SPACE, KeyEvent.VK_PAGE_UP -> keys.back();
          case KeyEvent.VK_ESCAPE -> keys.end();
          default -> false;
        };
    swallowTyped = done;
    return done;
  }

  private boolean belongsElsewhere(KeyEvent e) {
    Component owner = KeyboardFocusManager.getCurrentKeyboardFocusManager().getFocusOwner();
    if (MenuSelectionManager.defaultManager().getSelectedPath().length > 0) {
      return true;
    }
    if (owner == null) {
      return false;
    }
    if (SwingUtilities.getWindowAncestor(owner) != SwingUtilities.getWindowAncestor(view)) {
      return true;
    }
    if (owner instanceof JTextComponent text && text.isEditable() && text.isEnabled()) {
      return true;
    }
    if (owner instanceof JComboBox<?> box && box.isPopupVisible()) {
      return true;
    }
    if (live.getAsBoolean()) {
      return false;
    }
    boolean space = e.getKeyCode() == KeyEvent.VK_SPACE;
    boolean escape = e.getKeyCode() == KeyEvent.VK_ESCAPE;
    boolean ofView = SwingUtilities.isDescendingFrom(owner, view);
    return ofView
        && (space
                && (owner instanceof AbstractButton button && !chosen(button)
                    || owner instanceof JComboBox
                    || owner instanceof JTable)
            || escape && owner instanceof Plot);
  }

  /** One of several that is chosen already: pressing it would do nothing. */
  private static boolean chosen(AbstractButton button) {
    return button.getClass() == JToggleButton.class && button.isSelected();
  }
}
