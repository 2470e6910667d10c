package ringtrue.ui.job;

import java.util.ArrayDeque;
import java.util.Deque;
import java.util.Optional;

/**
 * What was, for undo, and what was undone, for redo. Steps that belong together, as those of a
 * slider being dragged, become one.
 */
public final class History {
  private static final int MOST = 200;

  private record Step(String what, String together, Job before, Job after) {}

  private final Deque<Step> done = new ArrayDeque<>();
  private final Deque<Step> undone = new ArrayDeque<>();

  /**
   * Notes a change.
   *
   * @param what in words, as "set tap 3 aside"
   * @param together steps with the same mark, one after the other, count as one; empty for none
   */
  public void add(String what, String together, Job before, Job after) {
    undone.clear();
    Step last = done.peek();
    if (last != null && !together.isEmpty() && last.together.equals(together)) {
      done.pop();
      done.push(new Step(what, together, last.before, after));
      return;
    }
    done.push(new Step(what, together, before, after));
    while (done.size() > MOST) {
      done.removeLast();
    }
  }

  /** Ends a run of steps that belong together. */
  public void rest() {
    Step last = done.peek();
    if (last != null && !last.together.isEmpty()) {
      done.pop();
      done.push(new Step(last.what, "", last.before, last.after));
    }
  }

  /** What undo would take back, in words. */
  public Optional<String> undoWords() {
    return Optional.ofNullable(done.peek()).map(Step::what);
  }

  /** What redo would do again, in words. */
  public Optional<String> redoWords() {
    return Optional.ofNullable(undone.peek()).map(Step::what);
  }

  /** Takes the last change back: what was before it. */
  public Optional<Job> undo() {
    if (done.isEmpty()) {
      return Optional.empty();
    }
    Step step = done.pop();
    undone.push(step);
    return Optional.of(step.before);
  }

  /** Does again what was undone last. */
  public Optional<Job> redo() {
    if (undone.isEmpty()) {
      return Optional.empty();
    }
    Step step = undone.pop();
    done.push(step);
    return Optional.of(step.after);
  }

  /** Forgets everything, as when another job is opened. */
  public void clear() {
    done.clear();
    undone.clear();
  }
}
