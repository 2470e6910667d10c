package ringtrue.ui.lobes;

import java.util.List;
import java.util.stream.Collectors;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.job.Direction;
import ringtrue.ui.job.Measured;

/**
 * Directions of the tool that the cut needs and nobody knows anything of: never tapped, or tapped
 * without a mode that was found. One that the cut itself describes, be it as rigid, is known.
 */
final class Unknown {
  private Unknown() {}

  /** Which those are; on the event thread. */
  static List<Direction> of(Desk desk) {
    return desk.job().cut().directions().stream()
        .filter(d -> d.part() == Direction.Part.TOOL)
        .filter(d -> !desk.job().cut().describes(d) && !known(desk, d))
        .toList();
  }

  private static boolean known(Desk desk, Direction direction) {
    boolean saved =
        desk.job().measured(direction).map(m -> m.kind() == Measured.Kind.SAVED).orElse(false);
    return saved
        || desk.results().of(direction).working()
        || desk.results().of(direction).value().flatMap(r -> r.model()).isPresent();
  }

  /** As "tool x is rigid". */
  static String rigid(List<Direction> directions) {
    return directions.stream().map(Direction::words).collect(Collectors.joining(" and "))
        + (directions.size() == 1 ? " is rigid" : " are rigid");
  }

  /** As "tool x not known". */
  static String words(List<Direction> directions) {
    return directions.stream().map(Direction::words).collect(Collectors.joining(" and "))
        + " not known";
  }
}
