package ringtrue.ui.shell;

import java.awt.Toolkit;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import javax.swing.JFileChooser;
import javax.swing.SwingUtilities;
import javax.swing.Timer;
import ringtrue.ui.desk.StageId;

/**
 * Makes the views of the stages while nothing else is to be done: piece by piece, each an event of
 * its own, and only when no other event waits. What is asked for before it was made comes first.
 */
final class Ahead {
  private static final int PAUSE_MS = 15;

  /** How long what is asked for waits for its classes. */
  private static final int LATEST_MS = 1500;

  private final StageCards cards;
  private final Deque<Runnable> kinds = new ArrayDeque<>();
  private final Map<StageId, Deque<Runnable>> pieces = new HashMap<>();
  private final List<StageId> order = new ArrayList<>();
  private final Timer idle = new Timer(PAUSE_MS, e -> onePiece());
  private final Timer latest = new Timer(LATEST_MS, e -> begin());
  private boolean loaded;
  private boolean ended;
  private StageId wanted;
  private Runnable then = () -> {};

  Ahead(StageCards cards) {
    this.cards = cards;
    latest.setRepeats(false);
  }

  /** Begins, as soon as the classes are loaded, with the stages that a job is begun with. */
  void begin() {
    if (ended || loaded) {
      return;
    }
    loaded = true;
    kinds.addAll(StageCards.kinds());
    SwingUtilities.invokeLater(this::nextWanted);
    order.addAll(List.of(StageId.TAPS, StageId.SET_UP));
    for (StageId id : StageId.values()) {
      if (!order.contains(id)) {
        order.add(id);
      }
    }
    idle.start();
  }

  /** Makes no more. */
  void end() {
    ended = true;
    idle.stop();
    latest.stop();
    order.clear();
    wanted = null;
  }

  /**
   * Makes a view now, in pieces between which other events have their turn.
   *
   * @param when run when it is there, unless another was asked for meanwhile
   */
  void now(StageId id, Runnable when) {
    boolean goesOn = wanted != null;
    wanted = id;
    then = when;
    if (!loaded) {
      latest.start(); // not longer than that
    } else if (!goesOn) {
      SwingUtilities.invokeLater(this::nextWanted);
    }
  }

  /** None is asked for any more. */
  void forget() {
    wanted = null;
  }

  /** Whether nothing is left to be made of a view. */
  boolean has(StageId id) {
    return of(id).isEmpty();
  }

  private Deque<Runnable> of(StageId id) {
    return pieces.computeIfAbsent(id, i -> new ArrayDeque<>(cards.making(i)));
  }

  private void nextWanted() {
    if (wanted == null) {
      return;
    }
    Deque<Runnable> left = kinds.isEmpty() ? of(wanted) : kinds;
    if (left.isEmpty()) {
      wanted = null;
      then.run();
    } else {
      SwingUtilities.invokeLater(this::nextWanted); // first, as a piece may fail
      left.poll().run();
    }
  }

  private void onePiece() {
    if (wanted != null || Toolkit.getDefaultToolkit().getSystemEventQueue().peekEvent() != null) {
      return;
    }
    if (order.isEmpty()) {
      idle.stop();
      new JFileChooser(); // the first one takes longer than those that are seen later
      return;
    }
    StageId id = order.get(0);
    Deque<Runnable> left = kinds.isEmpty() ? of(id) : kinds;
    if (left.isEmpty()) {
      order.remove(0);
      cards.tryToPaint(id);
    } else {
      left.poll().run();
    }
  }
}
