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

  /**
   * A change.
   *
   * @param what in words, as "set tap 3 aside"
   * @param together steps with the same mark, one after the other, count as one; empty for none
   * @param place where it was made; empty if it does not matter
   * @param doubtful whether it cannot be right as it stands: put right, or followed by something
   *     else, it is no step by itself
   */
  public record Step(
      String what, String together, String place, boolean doubtful, Job before, Job after) {

    private Step with(Job first, Job last) {
      return new Step(what, together, place, doubtful, first, last);
    }
  }

  private final Deque<Step> done = new ArrayDeque<>();
  private final Deque<Step> undone = new ArrayDeque<>();
  private String place = "";

  /**
   * Notes a change.
   *
   * @param what in words, as "set tap 3 aside"
   * @param together steps with the same mark, one after the other, count as one; empty for none
   */
  public void add(String what, String together, Job before, Job after) {
    add(new Step(what, together, "", false, before, after));
  }

  /** Notes a change. */
  public void add(Step step) {
    undone.clear();
    Step last = done.peek();
    boolean goesOn =
        last != null
            && (last.doubtful
                ? last.what.equals(step.what)
                : !step.together.isEmpty() && last.together.equals(step.together));
    if (goesOn) {
      done.pop();
      if (!last.doubtful || !last.before.equals(step.after)) {
        done.push(step.with(last.before, step.after));
      }
      return;
    }
    done.push(step);
    while (done.size() > MOST) {
      done.removeLast();
    }
  }

  /** Ends a run of steps that belong together. */
  public void rest() {
    Step last = done.peek();
    if (last != null && !last.together.isEmpty()) {
      done.pop();
      done.push(new Step(last.what, "", last.place, last.doubtful, last.before, last.after));
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
    Job before = step.before;
    if (!step.doubtful) {
      while (!done.isEmpty() && done.peek().doubtful) {
        before = done.pop().before;
      }
      undone.push(step.with(before, step.after));
    }
    place = step.place;
    return Optional.of(before);
  }

  /** Does again what was undone last. */
  public Optional<Job> redo() {
    if (undone.isEmpty()) {
      return Optional.empty();
    }
    Step step = undone.pop();
    done.push(step);
    place = step.place;
    return Optional.of(step.after);
  }

  /** Where the change that was undone or redone last was made; empty if it does not matter. */
  public String place() {
    return place;
  }

  /** Forgets everything, as when another job is opened. */
  public void clear() {
    done.clear();
    undone.clear();
  }
}
