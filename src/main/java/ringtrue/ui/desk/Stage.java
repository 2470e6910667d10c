package ringtrue.ui.desk;

import java.util.List;
import java.util.Optional;
import javax.swing.JComponent;

/** A stage of the job. Light to make; its view is made when it is shown first. */
public interface Stage {

  StageId id();

  /** What it shows; the same component at every call. */
  JComponent view();

  /**
   * What makes the view, in pieces, each of which holds the event thread for a short while only.
   * Each may be run again, or be left out; after all of them {@link #view} has little to do.
   */
  default List<Runnable> making() {
    return List.of(this::view);
  }

  /** Its view came to the front. */
  default void shown() {}

  /** Its view is not seen any more. */
  default void hidden() {}

  /** How far it has come, from the job and its results alone. */
  StageState state();

  /** What to press next, seen from this stage; empty where it has no suggestion. */
  Optional<NextStep> next();
}
