package ringtrue.ui.plot;

import java.awt.AWTEvent;
import java.awt.EventQueue;
import java.lang.ref.WeakReference;

/**
 * Whose turn it is to be painted: where several plots changed at once, and painting one took its
 * time, each of the others has an event of its own. Of the event thread only.
 */
final class Turn {
  private static final long LONG_NANOS = 12_000_000;

  private static WeakReference<AWTEvent> last = new WeakReference<>(null);
  private static long spentNanos;

  private Turn() {}

  /** Whether the event that goes on has painted enough. */
  static boolean isTaken() {
    AWTEvent now = EventQueue.getCurrentEvent();
    return now != null && last.get() == now && spentNanos > LONG_NANOS;
  }

  /** Tells how long a plot took. */
  static void take(long nanos) {
    AWTEvent now = EventQueue.getCurrentEvent();
    if (last.get() != now) {
      last = new WeakReference<>(now);
      spentNanos = 0;
    }
    spentNanos += nanos;
  }
}
