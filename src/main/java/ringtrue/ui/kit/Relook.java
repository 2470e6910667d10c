package ringtrue.ui.kit;

import java.awt.Component;
import java.awt.Container;
import java.awt.Window;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.List;
import javax.swing.JComponent;
import javax.swing.JMenu;
import javax.swing.SwingUtilities;

/**
 * Gives all windows another look in short pieces, so that they answer meanwhile: first what is
 * seen, then the rest. Of the event thread only.
 */
final class Relook {
  private static final long SLICE_NANOS = 12_000_000;

  private static Relook newest;

  private final List<Window> windows = List.of(Window.getWindows());
  private final Deque<Component> seen = new ArrayDeque<>();
  private final Deque<Component> unseen = new ArrayDeque<>();
  private final Runnable then;
  private boolean laidOut;

  private Relook(Runnable then) {
    this.then = then;
    for (Window each : windows) {
      queue(each);
    }
  }

  /** Begins; what another one has left to do is left to this one. */
  static void begin(Runnable then) {
    newest = new Relook(then);
    SwingUtilities.invokeLater(newest::goOn);
  }

  private void queue(Component each) {
    if (each.isVisible()) {
      seen.push(each);
    } else {
      unseen.add(each);
    }
  }

  private void goOn() {
    if (newest != this) {
      return;
    }
    long end = System.nanoTime() + SLICE_NANOS;
    while (System.nanoTime() < end && !seen.isEmpty()) {
      update(seen.pop());
    }
    if (seen.isEmpty() && !laidOut) {
      laidOut = true;
      SwingUtilities.invokeLater(this::layOut);
    } else if (!seen.isEmpty() || !unseen.isEmpty()) {
      if (seen.isEmpty()) {
        seen.push(unseen.poll());
      }
      SwingUtilities.invokeLater(this::goOn);
    } else {
      newest = null;
    }
  }

  private void layOut() {
    for (Window each : windows) {
      if (each.isVisible()) {
        each.invalidate();
        each.validate();
        each.repaint();
      }
    }
    SwingUtilities.invokeLater(then);
    SwingUtilities.invokeLater(this::goOn);
  }

  private void update(Component each) {
    if (each instanceof JComponent component) {
      component.updateUI();
      if (component.getComponentPopupMenu() != null) {
        unseen.add(component.getComponentPopupMenu());
      }
    }
    if (each instanceof JMenu menu) {
      unseen.addAll(List.of(menu.getMenuComponents()));
    } else if (each instanceof Container container) {
      for (Component child : container.getComponents()) {
        queue(child);
      }
    }
  }
}
