package ringtrue.ui.plot;

/** Hears of handles that are moved by hand, on the event thread. */
@FunctionalInterface
public interface HandleListener {
  /**
   * @param id which handle
   * @param x where it is now, in the values of the x axis
   * @param y the same of the y axis
   * @param finished whether it was let go
   */
  void moved(String id, double x, double y, boolean finished);
}
