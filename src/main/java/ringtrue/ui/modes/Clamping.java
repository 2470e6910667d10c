package ringtrue.ui.modes;

import java.util.List;
import java.util.Optional;
import ringtrue.dynamics.ModalModel;
import ringtrue.fitting.SetUpScatter;
import ringtrue.library.SavedComparison;
import ringtrue.library.SavedMeasurement;
import ringtrue.library.SetUpHistory;

/**
 * What clamping again does by itself, where the measurement at hand is held against a saved one.
 *
 * @param scatter it counts as this much
 * @param words what was assumed, a sentence
 */
record Clamping(SetUpScatter scatter, String words) {

  /**
   * From the history of the set-up. The measurement at hand does not count as its own history, and
   * counts as clamped again unless it was saved as not.
   *
   * @param known the saved ones in its direction
   * @param before the one that it is compared with
   * @param now its modes
   */
  static Clamping of(List<SavedMeasurement> known, SavedMeasurement before, ModalModel now) {
    Optional<SavedMeasurement> itself = known.stream().filter(m -> isOf(m, now)).findFirst();
    if (itself.filter(m -> m.equals(before)).isPresent()) {
      return new Clamping(
          SetUpScatter.NONE,
          "This is the measurement at hand, as it was saved: nothing can differ.");
    }
    if (itself.filter(m -> !m.clampedAgain()).isPresent()) {
      return new Clamping(
          SetUpScatter.NONE,
          "Saved as taken in the same clamping: only the scatter of the taps was counted.");
    }
    SetUpScatter scatter =
        SetUpHistory.scatter(known.stream().filter(m -> !Optional.of(m).equals(itself)).toList());
    return new Clamping(
        scatter, "Taken as clamped again since: " + SavedComparison.assumed(scatter) + ".");
  }

  /** Whether a saved measurement has these very modes. */
  private static boolean isOf(SavedMeasurement saved, ModalModel now) {
    List<SavedMeasurement.SavedMode> its = saved.modes();
    if (its.isEmpty() || its.size() != now.modes().size()) {
      return false;
    }
    for (int i = 0; i < its.size(); i++) {
      double hz = now.modes().get(i).frequencyHz();
      if (!(Math.abs(its.get(i).frequencyHz() - hz) < 1e-9 * hz)) {
        return false;
      }
    }
    return true;
  }
}
