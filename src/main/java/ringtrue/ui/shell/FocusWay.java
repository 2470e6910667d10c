package ringtrue.ui.shell;

import java.awt.AWTEvent;
import java.awt.Component;
import java.awt.Container;
import java.awt.EventQueue;
import java.awt.event.KeyEvent;
import java.util.function.Supplier;
import javax.swing.LayoutFocusTraversalPolicy;
import javax.swing.SwingUtilities;

/**
 * The way of the focus. Where Tab leads is the usual order. Where what has the focus goes away or
 * cannot be used any more, the focus goes to what is next to it on the same page, or else to a
 * place where no key changes anything.
 */
final class FocusWay extends LayoutFocusTraversalPolicy {
  private static final int MOST = 40;

  private final transient Container pages;
  private final transient Supplier<Component> harmless;

  /**
   * @param pages what holds the pages of the stages
   * @param harmless where keys change nothing
   */
  FocusWay(Container pages, Supplier<Component> harmless) {
    this.pages = pages;
    this.harmless = harmless;
  }

  private static boolean byKeys() {
    AWTEvent event = EventQueue.getCurrentEvent();
    return event instanceof KeyEvent key && key.getKeyCode() == KeyEvent.VK_TAB;
  }

  @Override
  public Component getComponentAfter(Container root, Component from) {
    return byKeys() || !(root instanceof MainFrame)
        ? super.getComponentAfter(root, from)
        : whenGone(root, from);
  }

  private Component whenGone(Container root, Component from) {
    if (SwingUtilities.isDescendingFrom(from, pages)) {
      Component next = from;
      for (int i = 0; i < MOST && next != null; i++) {
        next = super.getComponentAfter(root, next);
        if (usable(next, from)) {
          return next;
        }
      }
    }
    return harmless.get();
  }

  private boolean usable(Component c, Component from) {
    return c != null
        && c != from
        && SwingUtilities.isDescendingFrom(c, pages)
        && !SwingUtilities.isDescendingFrom(c, from)
        && c.isShowing()
        && c.isEnabled();
  }

  /** The first on a page; null if there is none. */
  Component firstOn(Container page) {
    Component first = super.getFirstComponent(page);
    return first == null || !SwingUtilities.isDescendingFrom(first, page) ? null : first;
  }

  @Override
  public Component getDefaultComponent(Container root) {
    return root instanceof MainFrame ? harmless.get() : super.getDefaultComponent(root);
  }
}
