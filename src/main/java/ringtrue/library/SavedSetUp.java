package ringtrue.library;

import java.io.IOException;
import java.nio.file.DirectoryIteratorException;
import java.nio.file.DirectoryStream;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

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

  private static final Pattern DIRECTION = Pattern.compile("([a-z0-9-]+)-\\d{8}-\\d{6}-[a-z0-9]+");

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

  /** Measurements that cannot be read, one sentence each, in whatever direction. */
  public List<String> damagedMeasurements() {
    String place = setUp.id() + "/" + SetUpFolder.MEASUREMENTS + "/";
    return problems.stream().filter(p -> p.startsWith(place)).toList();
  }

  /**
   * Measurements in a direction that cannot be read, those that were set aside included, one
   * sentence each. The direction is known from their names; a name that tells of none may be of
   * any.
   */
  public List<String> damagedAlong(String axis) {
    String place = setUp.id() + "/" + SetUpFolder.MEASUREMENTS + "/";
    List<String> all = new ArrayList<>();
    for (String problem : damagedMeasurements()) {
      if (mayBeAlong(axis, problem.substring(place.length()))) {
        all.add(problem);
      }
    }
    String aside = place.replace('/', SetUpFolder.INSIDE);
    Path damaged = folder.resolveSibling(SetUpFolder.DAMAGED);
    if (Files.isDirectory(damaged, LinkOption.NOFOLLOW_LINKS)) {
      try (DirectoryStream<Path> names = Files.newDirectoryStream(damaged)) {
        for (Path each : names) {
          String name = each.getFileName().toString();
          if (name.startsWith(aside) && mayBeAlong(axis, name.substring(aside.length()))) {
            all.add(SetUpFolder.DAMAGED + "/" + name + ": was set aside as damaged");
          }
        }
      } catch (IOException | DirectoryIteratorException e) {
        all.add(SetUpFolder.DAMAGED + ": cannot be listed: " + e.getMessage());
      }
    }
    all.sort(Comparator.naturalOrder());
    return all;
  }

  /** Names of measurements begin with their direction. */
  private static boolean mayBeAlong(String axis, String name) {
    Matcher direction = DIRECTION.matcher(name);
    return !direction.lookingAt() || direction.group(1).equals(SetUpId.words(axis));
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
