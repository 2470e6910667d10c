package ringtrue.ui.plot;

import java.util.Optional;

/** Hears of clicks into a plot, on the event thread. */
@FunctionalInterface
public interface PickListener {
  /**
   * @param x where, in the values of the x axis
   * @param y the same of the y axis
   * @param mark the nearest of the marks if one is within 8 pixels
   */
  void picked(double x, double y, Optional<String> mark);
}
