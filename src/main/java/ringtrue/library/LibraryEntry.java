package ringtrue.library;

import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;

/**
 * A set-up as a list of a library shows it.
 *
 * @param setUp what is clamped where
 * @param measured what was measured, the oldest first
 * @param quiet number of cuts that were quiet
 * @param chattered number of cuts that chattered
 * @param problems what could not be read, one sentence each
 */
public record LibraryEntry(
    SetUp setUp, List<Measured> measured, int quiet, int chattered, List<String> problems) {

  /**
   * A measurement in short.
   *
   * @param id name of its folder
   * @param date when it was measured
   * @param axis direction
   * @param point where
   * @param inputProfile with which input profile
   * @param frequenciesHz natural frequencies found, Hz, rising
   */
  public record Measured(
      String id,
      Instant date,
      String axis,
      String point,
      String inputProfile,
      List<Double> frequenciesHz) {

    public Measured {
      frequenciesHz = List.copyOf(frequenciesHz);
    }

    static Measured of(SavedMeasurement m) {
      return new Measured(
          m.id(),
          m.date(),
          m.axis(),
          m.point(),
          m.inputProfile(),
          m.modes().stream().map(SavedMeasurement.SavedMode::frequencyHz).toList());
    }
  }

  public LibraryEntry {
    measured = List.copyOf(measured);
    problems = List.copyOf(problems);
  }

  static LibraryEntry of(SavedSetUp saved) {
    List<Outcome> made = saved.outcomes().stream().filter(o -> !o.simulated()).toList();
    int quiet = (int) made.stream().filter(o -> o.result() == Outcome.Result.QUIET).count();
    return new LibraryEntry(
        saved.setUp(),
        saved.measurements().stream().map(Measured::of).toList(),
        quiet,
        made.size() - quiet,
        saved.problems());
  }

  /** Directions with how often each was measured, as "x 2x, y"; empty where none was. */
  public String directions() {
    Map<String, Integer> times = new TreeMap<>();
    measured.forEach(m -> times.merge(m.axis(), 1, Integer::sum));
    StringBuilder text = new StringBuilder();
    times.forEach(
        (axis, n) -> {
          text.append(text.isEmpty() ? "" : ", ").append(axis);
          if (n > 1) {
            text.append(' ').append(n).append('x');
          }
        });
    return text.toString();
  }

  /** When it was measured last, or described last where it never was. */
  public Instant lastDate() {
    return measured.isEmpty() ? setUp.changed() : measured.get(measured.size() - 1).date();
  }
}
