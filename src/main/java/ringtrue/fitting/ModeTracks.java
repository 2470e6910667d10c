package ringtrue.fitting;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.stream.IntStream;
import ringtrue.dynamics.Mode;

/**
 * Which mode is which through several measurements of one set-up. The latest measurement leads;
 * each earlier one is matched to what is known by then as a whole, by frequency, damping and
 * stiffness.
 */
public final class ModeTracks {
  private ModeTracks() {}

  /**
   * One mode through all measurements.
   *
   * @param modes the mode in each measurement, in their order; null where it was not found
   */
  public record Track(List<Mode> modes) {

    public Track {
      modes = java.util.Collections.unmodifiableList(new ArrayList<>(modes));
      if (modes.stream().allMatch(m -> m == null)) {
        throw new IllegalArgumentException("a track without a mode");
      }
    }

    /** The mode where it was found, in the order of the measurements. */
    public List<Mode> found() {
      return modes.stream().filter(m -> m != null).toList();
    }

    /** The mode as it was found last. */
    public Mode latest() {
      List<Mode> found = found();
      return found.get(found.size() - 1);
    }
  }

  /**
   * @param measurements modes of each measurement, the oldest first
   * @return tracks by rising frequency of what was found last
   */
  public static List<Track> of(List<List<Mode>> measurements) {
    int count = measurements.size();
    List<Mode[]> tracks = new ArrayList<>();
    for (int i = count - 1; i >= 0; i--) {
      List<Mode> here = measurements.get(i);
      List<Mode> known = tracks.stream().map(t -> lastOf(t)).toList();
      int[] partner =
          here.isEmpty() || known.isEmpty()
              ? IntStream.generate(() -> -1).limit(here.size()).toArray()
              : ModeMatching.match(here, known);
      for (int k = 0; k < here.size(); k++) {
        Mode[] track;
        if (partner[k] >= 0) {
          track = tracks.get(partner[k]);
        } else {
          track = new Mode[count];
          tracks.add(track);
        }
        track[i] = here.get(k);
      }
    }
    return tracks.stream()
        .map(t -> new Track(Arrays.asList(t)))
        .sorted(Comparator.comparingDouble(t -> t.latest().frequencyHz()))
        .toList();
  }

  /** The earliest found so far: neighbours in time are the most alike. */
  private static Mode lastOf(Mode[] track) {
    for (Mode mode : track) {
      if (mode != null) {
        return mode;
      }
    }
    throw new IllegalStateException("a track without a mode");
  }
}
