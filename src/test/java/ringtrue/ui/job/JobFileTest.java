package ringtrue.ui.job;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;
import ringtrue.fitting.FitSettings;
import ringtrue.library.SetUp;
import ringtrue.units.BadInputException;

/** A job as text comes back the same. */
class JobFileTest {
  private static final List<Direction> DIRECTIONS =
      List.of(Direction.TOOL_X, Direction.TOOL_Y, Direction.WORK_X, Direction.WORK_Y);

  private static Job any(Random random) {
    Job job = Job.EMPTY;
    for (SetUp.Field field : SetUp.Field.values()) {
      if (random.nextBoolean()) {
        job = job.with(field, "text \"" + random.nextInt() + "\" \u00e4\u4e2d\n2");
      }
    }
    for (Direction direction : DIRECTIONS) {
      if (random.nextBoolean()) {
        job = job.with(measured(direction, random));
      }
    }
    CutDraft cut = job.cut();
    for (CutField field : List.of(CutField.NAME, CutField.DIAMETER, CutField.SPEED)) {
      if (random.nextBoolean()) {
        cut = cut.with(field, random.nextInt(50) + " mm");
      }
    }
    job = job.with(cut);
    return new Job(
        job.setUp(),
        random.nextBoolean() ? Optional.of("id-" + random.nextInt()) : Optional.empty(),
        job.measured(),
        job.cut(),
        random.nextBoolean());
  }

  private static Measured measured(Direction direction, Random random) {
    Measured.Kind[] kinds = Measured.Kind.values();
    List<Double> picks = new ArrayList<>();
    for (int i = random.nextInt(4); i > 0; i--) {
      picks.add(100 + 3000 * random.nextDouble());
    }
    return new Measured(
        direction,
        kinds[random.nextInt(kinds.length)],
        "file-" + random.nextInt() + ".json",
        random.nextBoolean() ? "an input" : "",
        numbers(random),
        numbers(random),
        new FitSettings(
            random.nextBoolean() ? Optional.of(50 + random.nextDouble()) : Optional.empty(),
            random.nextBoolean() ? Optional.of(5000 + random.nextDouble()) : Optional.empty(),
            picks.isEmpty() && random.nextBoolean()
                ? Optional.of(1 + random.nextInt(6))
                : Optional.empty(),
            picks),
        1 + random.nextInt(9),
        random.nextBoolean()
            ? Optional.of(new TappedWith(java.util.Map.of(SetUp.Field.DIAMETER, "8 mm")))
            : Optional.empty(),
        random.nextInt(7));
  }

  private static Set<Integer> numbers(Random random) {
    Set<Integer> all = new TreeSet<>();
    for (int i = random.nextInt(4); i > 0; i--) {
      all.add(1 + random.nextInt(20));
    }
    return all;
  }

  @Test
  void anyJobComesBackTheSame() {
    for (int seed = 0; seed < 300; seed++) {
      Job job = any(new Random(seed));
      assertThat(JobFile.ofText(JobFile.toText(job))).as("seed " + seed).isEqualTo(job);
    }
  }

  @Test
  void cutShortAtAnyPlaceItIsRefusedInOneSentence() {
    String text = JobFile.toText(any(new Random(7)));
    for (int end = 0; end < text.stripTrailing().length(); end += 11) {
      String part = text.substring(0, end);
      assertThatThrownBy(() -> JobFile.ofText(part)).isInstanceOf(BadInputException.class);
    }
  }
}
