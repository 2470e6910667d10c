package ringtrue.ui.tapping;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import ringtrue.signal.SessionTap;
import ringtrue.signal.TapSignals;

/**
 * What is known of a session at a moment. Immutable; made by the thread that runs the session.
 *
 * @param banner what is to be read from afar
 * @param meters one for each channel that means something
 * @param taps all taps so far
 * @param kept how many of them are kept
 * @param last what the sensors gave at the last tap
 * @param averaged the average so far
 * @param seconds how long it has been recording, s
 */
record LiveState(
    Banner banner,
    List<Meter> meters,
    List<SessionTap> taps,
    int kept,
    Optional<TapSignals> last,
    Optional<Averaged> averaged,
    double seconds) {
  /** Name of the hammer's meter. */
  static final String FORCE = "force";

  /**
   * What a channel shows.
   *
   * @param name what it is
   * @param level largest size of late, part of full scale
   * @param peak largest size since the last blow
   * @param clipped samples at full scale since the last blow began
   * @param silent whether nothing at all comes
   */
  record Meter(String name, double level, double peak, long clipped, boolean silent) {
    /** The levels of now with what was highest in either. */
    static List<Meter> loudest(List<Meter> before, List<Meter> now) {
      if (before.size() != now.size()) {
        return now;
      }
      List<Meter> all = new ArrayList<>();
      for (int i = 0; i < now.size(); i++) {
        Meter a = before.get(i);
        Meter b = now.get(i);
        all.add(
            new Meter(
                b.name,
                b.level,
                Math.max(a.peak, b.peak),
                Math.max(a.clipped, b.clipped),
                b.silent));
      }
      return all;
    }
  }
}
