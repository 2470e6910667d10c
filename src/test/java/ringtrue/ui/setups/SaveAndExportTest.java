package ringtrue.ui.setups;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.Progress;
import ringtrue.library.Dataset58;
import ringtrue.library.FrequencyResponseCsv;
import ringtrue.library.ModesCsv;
import ringtrue.library.SavedMeasurement;
import ringtrue.library.SetUp.Field;
import ringtrue.library.SetUpLibrary;
import ringtrue.ui.job.Direction;
import ringtrue.ui.job.Direction.Part;
import ringtrue.ui.job.Job;
import ringtrue.ui.job.JobFolder;
import ringtrue.ui.job.Measured;
import ringtrue.units.BadInputException;

/** A tool and a workpiece are saved, opened again and written into files, without a window. */
class SaveAndExportTest {
  @TempDir Path home;

  private SetUpLibrary library;
  private SaveLog log;
  private Saver.Saved saved;

  @BeforeEach
  void save() throws IOException {
    library = SetUpLibrary.in(home.resolve("library"));
    try (JobFolder folder = JobFolder.create(home.resolve("jobs"))) {
      Job job =
          Job.EMPTY
              .with(Field.TOOL, "8 mm end mill, invented")
              .with(Field.WORKPIECE, "bracket, invented")
              .with(taps(folder, Direction.TOOL_X, "tool-8mm-x"))
              .with(taps(folder, Direction.WORK_Y, "bracket-y"));
      folder.write(job);
      saved =
          new Saver(library, folder, new Saver.Wish(false, true))
              .save(job, SaveLog.NOTHING, Progress.NONE);
      log = SaveLog.read(folder.path());
      assertThat(log.holds(job)).isTrue();
    }
  }

  private static Measured taps(JobFolder folder, Direction direction, String name)
      throws IOException {
    for (String ending : List.of(".json", ".wav")) {
      Files.copy(Path.of("demo-measurements", name + ending), folder.file(name + ending));
    }
    return Measured.of(direction, Measured.Kind.TAPS, name + ".json", "demo measurement");
  }

  private String id(Part part) {
    return log.setUps().get(part).id();
  }

  @Test
  void aWorkpieceIsSavedBesideTheToolAndEitherBringsBoth() {
    assertThat(saved.id()).isEqualTo(id(Part.TOOL)).isNotEqualTo(id(Part.WORKPIECE));
    assertThat(saved.sentence()).contains("of the workpiece");
    assertThat(library.read(id(Part.TOOL)).along("x")).hasSize(1);
    assertThat(library.read(id(Part.WORKPIECE)).along("y")).hasSize(1);
    assertThat(opened(Part.TOOL)).containsExactly(Direction.TOOL_X, Direction.WORK_Y);
    assertThat(opened(Part.WORKPIECE)).containsExactly(Direction.TOOL_X, Direction.WORK_Y);
    library.remove(id(Part.WORKPIECE), Instant.now());
    assertThat(opened(Part.TOOL)).containsExactly(Direction.TOOL_X);
  }

  /** What is tapped and saved later belongs to what was saved before; a new one does not. */
  @Test
  void aWorkpieceThatIsSavedLaterBelongsToTheToolAsWell() throws IOException {
    library = SetUpLibrary.in(home.resolve("other"));
    try (JobFolder folder = JobFolder.create(home.resolve("jobs"))) {
      Job tool =
          Job.EMPTY
              .with(Field.TOOL, "8 mm end mill, invented")
              .with(Field.WORKPIECE, "bracket, invented")
              .with(taps(folder, Direction.TOOL_X, "tool-8mm-x"));
      String before = words(tool);
      log = save(folder, tool, SaveLog.NOTHING, false);
      Job both = tool.with(taps(folder, Direction.WORK_Y, "bracket-y"));
      assertThat(before).doesNotContain("two set-ups");
      assertThat(words(both)).contains("two set-ups");
      log = save(folder, both, log, false);
      assertThat(SaveState.of(both, log, Instant.now()).sentence())
          .contains("Saved as \"8 mm end mill", "the workpiece as \"bracket, invented\"")
          .doesNotContain(id(Part.TOOL));
      assertThat(opened(Part.WORKPIECE)).containsExactly(Direction.TOOL_X, Direction.WORK_Y);
      Instant first = log.setUps().get(Part.TOOL).created();
      while (Instant.now().getEpochSecond() == first.getEpochSecond()) {
        Thread.onSpinWait(); // set-ups tell their pair by the second in which they came
      }
      SaveLog again = save(folder, both, log, true);
      assertThat(library.ids()).hasSize(4);
      assertThat(again.setUps().get(Part.TOOL).created())
          .isEqualTo(again.setUps().get(Part.WORKPIECE).created())
          .isNotEqualTo(log.setUps().get(Part.TOOL).created());
    }
  }

  private static String words(Job job) {
    return SaveState.of(job, SaveLog.NOTHING, Instant.now()).sentence();
  }

  private SaveLog save(JobFolder folder, Job job, SaveLog before, boolean asNew) {
    new Saver(library, folder, new Saver.Wish(asNew, true)).save(job, before, Progress.NONE);
    return SaveLog.read(folder.path());
  }

  private List<Direction> opened(Part part) {
    Path path = SavedOpener.open(library, id(part), home.resolve("jobs"));
    Job job = JobFolder.job(path);
    assertThat(SaveLog.read(path).holds(job)).isTrue();
    return job.measured().stream().map(Measured::direction).toList();
  }

  private Path write(Exporter.What what, String id, String axis) {
    Path to = home.resolve("out" + what.ending());
    Exporter.write(library, id, what, axis, to, false, Progress.NONE);
    return to;
  }

  @Test
  void modesAndResponsesAreWrittenAndReadBackAlike() {
    String id = id(Part.WORKPIECE);
    SavedMeasurement its = library.read(id).along("y").get(0);
    assertThat(ModesCsv.read(write(Exporter.What.MODES, id, "y")).modes())
        .hasSameSizeAs(its.modes());
    FrequencyResponse table = FrequencyResponseCsv.read(write(Exporter.What.RESPONSE, id, "y"));
    FrequencyResponse universal =
        Dataset58.read(write(Exporter.What.UNIVERSAL, id, "y"), Dataset58.Wanted.ONLY);
    assertThat(universal.lines()).isEqualTo(table.lines());
    double most = 0;
    double apart = 0;
    for (int i = 0; i < table.lines(); i++) {
      most = Math.max(most, table.magnitude(i));
      apart =
          Math.max(
              apart,
              Math.hypot(table.real(i) - universal.real(i), table.imag(i) - universal.imag(i)));
    }
    assertThat(apart).isLessThan(1e-5 * most);
    assertThatThrownBy(() -> write(Exporter.What.MODES, id, "y"))
        .isInstanceOf(BadInputException.class);
    assertThatThrownBy(() -> write(Exporter.What.RESPONSE, id(Part.TOOL), "y"))
        .hasMessageContaining("not measured in y");
  }
}
