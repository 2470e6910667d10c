package ringtrue.ui.setups;

import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import ringtrue.library.LibraryEntry;
import ringtrue.library.SetUp;
import ringtrue.library.SetUp.Field;
import ringtrue.ui.job.Direction;
import ringtrue.ui.job.Direction.Part;
import ringtrue.ui.job.Job;
import ringtrue.ui.job.Measured;

/**
 * Tool and workpiece of a job. A library keeps directions of one structure in a set-up, so that its
 * history is that of one thing; what was tapped on the workpiece is saved as a set-up of its own.
 * The two are known by the same moment of creation, and opening one brings the other.
 */
final class Parts {
  private static final Set<Field> OF_TOOL =
      Set.of(
          Field.HOLDER,
          Field.COLLET,
          Field.TIGHTENING,
          Field.TOOL,
          Field.DIAMETER,
          Field.FLUTES,
          Field.STICKOUT,
          Field.FLUTE_LENGTH);

  private Parts() {}

  /** Which parts of the job are saved, the one that the job belongs to first. */
  static List<Part> of(Job job) {
    boolean tool = has(job, Part.TOOL);
    boolean workpiece = has(job, Part.WORKPIECE);
    if (tool && workpiece) {
      return List.of(Part.TOOL, Part.WORKPIECE);
    }
    return List.of(
        workpiece || !tool && saysOnlyWorkpiece(job.setUp()) ? Part.WORKPIECE : Part.TOOL);
  }

  private static boolean has(Job job, Part part) {
    return job.measured().stream().anyMatch(m -> m.direction().part() == part);
  }

  private static boolean saysOnlyWorkpiece(Map<Field, String> said) {
    return said.containsKey(Field.WORKPIECE) && said.keySet().stream().noneMatch(OF_TOOL::contains);
  }

  /** What is said of a part. */
  static Map<Field, String> said(Job job, Part part) {
    Map<Field, String> all = new EnumMap<>(Field.class);
    all.putAll(job.setUp());
    if (part == Part.WORKPIECE) {
      all.keySet().removeAll(OF_TOOL);
      all.remove(Field.SPINDLE);
      all.putIfAbsent(Field.WORKPIECE, "workpiece of " + job.title());
      if (of(job).size() > 1) {
        all.computeIfPresent(Field.NAME, (f, name) -> name + ", workpiece");
      }
    }
    return all;
  }

  /** What was measured of a part. */
  static List<Measured> measured(Job job, Part part) {
    return job.measured().stream().filter(m -> m.direction().part() == part).toList();
  }

  /** Whether a saved set-up is a workpiece's or a tool's. */
  static Part of(SetUp saved) {
    return saysOnlyWorkpiece(saved.said()) ? Part.WORKPIECE : Part.TOOL;
  }

  /** The set-up that was saved of the other part of the same job, if it is in the library still. */
  static Optional<String> partner(SetUp saved, List<LibraryEntry> library) {
    return library.stream()
        .map(LibraryEntry::setUp)
        .filter(s -> s.created().equals(saved.created()) && !s.id().equals(saved.id()))
        .filter(s -> of(s) != of(saved))
        .map(SetUp::id)
        .findFirst();
  }

  /** The direction of an axis; null where the axis is none that a job has. */
  static Direction direction(Part part, String axis) {
    return axis.equals("x") || axis.equals("y") ? new Direction(part, axis) : null;
  }
}
