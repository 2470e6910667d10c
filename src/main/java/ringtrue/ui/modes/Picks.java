package ringtrue.ui.modes;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import ringtrue.fitting.FitSettings;

/** Modes picked by hand: what a pick changes. */
final class Picks {
  /** Picks closer than this part of their frequency are the same mode. */
  private static final double ALIKE = 0.01;

  private Picks() {}

  /**
   * What a pick makes of a wish.
   *
   * @param words what is done, for undo
   * @param settings the new wish
   */
  record Picked(String words, FitSettings settings) {}

  /**
   * Picks a mode, or takes it back if it is there. Before the first pick those that the data gave
   * count as picked, so that one more or one less is what one press does.
   *
   * @param before the wish so far
   * @param fittedHz what is fitted now
   * @param hz where was pressed
   */
  static Picked toggle(FitSettings before, List<Double> fittedHz, double hz) {
    List<Double> all = new ArrayList<>(before.picksHz().isEmpty() ? fittedHz : before.picksHz());
    Optional<Double> there =
        all.stream()
            .filter(p -> Math.abs(p - hz) < ALIKE * hz)
            .min((a, b) -> Double.compare(Math.abs(a - hz), Math.abs(b - hz)));
    String what;
    if (there.isPresent()) {
      all.remove(there.get());
      what = "leave out the mode at";
    } else {
      all.add(hz);
      what = "pick a mode at";
    }
    return new Picked(
        String.format(Locale.ROOT, "%s %.0f Hz", what, hz),
        new FitSettings(before.bandLowHz(), before.bandHighHz(), Optional.empty(), all));
  }
}
