package ringtrue.ui.desk;

import java.util.Optional;

/**
 * A result that may be there, on its way, or not to be had. While a newer one is on its way, the
 * one before it can still be shown.
 *
 * @param value what was found, perhaps of an earlier state
 * @param problem why there is none, one sentence; empty if nothing is wrong
 * @param working whether a newer one is on its way
 */
public record Finding<T>(Optional<T> value, String problem, boolean working) {

  /** Nothing yet, and nothing on its way. */
  public static <T> Finding<T> none(String why) {
    return new Finding<>(Optional.empty(), why, false);
  }

  /** Here it is. */
  public static <T> Finding<T> of(T value) {
    return new Finding<>(Optional.of(value), "", false);
  }

  /** The same while a newer one is on its way. */
  public Finding<T> stale() {
    return new Finding<>(value, "", true);
  }

  /** Whether it is there and the newest. */
  public boolean ready() {
    return value.isPresent() && !working && problem.isEmpty();
  }
}
