package ringtrue.ui.desk;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.Function;
import ringtrue.fitting.UnfittedPeaks;
import ringtrue.ui.job.Direction;
import ringtrue.ui.job.Direction.Part;
import ringtrue.ui.job.Job;
import ringtrue.ui.job.Measured;
import ringtrue.ui.job.TappedWith;

/**
 * Why the modes that a cut is judged by may not be those of the cut. Each is one sentence without
 * its full stop; where there is one, nothing is said to be good.
 */
public final class Doubts {
  /** From so many taps on their scatter is known; common practice, no source. */
  private static final int FEWEST = 3;

  private Doubts() {}

  /**
   * One of them.
   *
   * @param words a sentence without its full stop
   * @param mended the stage where something can be done about it
   */
  record Doubt(String words, StageId mended) {}

  /** All of them, the gravest first; none where nothing at all was measured. */
  static List<Doubt> of(Job job, Function<Direction, Finding<DirectionResult>> found) {
    List<Doubt> all = new ArrayList<>();
    TappedWith.mismatch(job).ifPresent(words -> all.add(new Doubt(words, StageId.TAPS)));
    List<Direction> directions = job.cut().directions();
    boolean something =
        directions.stream().anyMatch(d -> job.measured(d).isPresent() || job.cut().describes(d));
    if (!something) {
      return all;
    }
    for (Direction direction : directions) {
      Optional<Measured> measured = job.measured(direction);
      if (measured.isPresent()) {
        measured(direction, found.apply(direction))
            .ifPresent(words -> all.add(new Doubt(words, StageId.MODES)));
        few(measured.get(), found.apply(direction))
            .filter(few -> kept(found.apply(direction)).orElse(0) < FEWEST)
            .map(few -> new Doubt(direction.words() + ": " + few, StageId.TAPS))
            .ifPresent(all::add);
      } else if (direction.part() == Part.TOOL && !job.cut().describes(direction)) {
        String words = " was not tapped: it is taken as rigid, limits may be too high";
        all.add(new Doubt(direction.words() + words, StageId.TAPS));
      }
    }
    return all;
  }

  private static Optional<String> measured(Direction direction, Finding<DirectionResult> finding) {
    if (finding.working()) {
      return Optional.empty();
    }
    if (finding.value().flatMap(DirectionResult::model).isEmpty()) {
      return Optional.of(
          direction.words() + " has no mode: it is taken as rigid, limits may be too high");
    }
    return finding.value().flatMap(Doubts::unfitted).map(w -> direction.words() + ": " + w);
  }

  /** The most prominent peak that the modes leave out, in words. */
  public static Optional<String> unfitted(DirectionResult result) {
    return result.unfitted().stream().findFirst().map(UnfittedPeaks::words);
  }

  /** "2 of 5 taps: tap on" where fewer taps were kept than were asked for. */
  public static Optional<String> few(Measured measured, Finding<DirectionResult> finding) {
    return kept(finding)
        .filter(k -> k < measured.asked())
        .map(k -> k + " of " + measured.asked() + (measured.asked() == 1 ? " tap" : " taps"));
  }

  private static Optional<Integer> kept(Finding<DirectionResult> finding) {
    return finding
        .value()
        .flatMap(DirectionResult::taps)
        .map(t -> t.averaged().response().origin().averages());
  }
}
