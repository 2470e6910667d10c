package ringtrue.library;

import java.nio.file.Path;
import java.util.List;
import java.util.Optional;

/**
 * A set-up with all that is kept of it.
 *
 * @param setUp what is clamped where
 * @param folder its folder
 * @param measurements what was measured, the oldest first
 * @param outcomes what cuts did, the oldest first
 * @param cuts ids of the saved cuts
 * @param problems what could not be read, one sentence each
 */
public record SavedSetUp(
    SetUp setUp,
    Path folder,
    List<SavedMeasurement> measurements,
    List<Outcome> outcomes,
    List<String> cuts,
    List<String> problems) {

  public SavedSetUp {
    measurements = List.copyOf(measurements);
    outcomes = List.copyOf(outcomes);
    cuts = List.copyOf(cuts);
    problems = List.copyOf(problems);
  }

  /** Measurements in a direction, the oldest first. */
  public List<SavedMeasurement> along(String axis) {
    return measurements.stream().filter(m -> m.axis().equals(axis)).toList();
  }

  /** A measurement by its id. */
  public Optional<SavedMeasurement> measurement(String id) {
    return measurements.stream().filter(m -> m.id().equals(id)).findFirst();
  }

  /** Measurements that cannot be read, one sentence each; in which direction is not known. */
  public List<String> damagedMeasurements() {
    String place = setUp.id() + "/" + SetUpFolder.MEASUREMENTS + "/";
    return problems.stream().filter(p -> p.startsWith(place)).toList();
  }

  /** The folder of a measurement. */
  public Path folder(SavedMeasurement measurement) {
    return folder.resolve(SetUpFolder.MEASUREMENTS).resolve(measurement.id());
  }

  /** The file of a saved cut. */
  public Path cutFile(String cut) {
    return folder.resolve(SetUpFolder.CUTS).resolve(SetUpId.require(cut)).resolve(SetUpFolder.CUT);
  }
}
