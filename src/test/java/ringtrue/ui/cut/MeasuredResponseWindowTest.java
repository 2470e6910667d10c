package ringtrue.ui.cut;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Map;
import javax.swing.JComboBox;
import org.junit.jupiter.api.Test;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Progress;
import ringtrue.library.FrequencyResponseCsv;
import ringtrue.library.MeasuredModes;
import ringtrue.library.ModalWay;
import ringtrue.stability.Method;
import ringtrue.ui.DemoCut;
import ringtrue.ui.WindowHarness;
import ringtrue.ui.desk.StageId;
import ringtrue.ui.job.Direction;
import ringtrue.ui.job.Job;
import ringtrue.ui.plot.Plot;

/** A cut file that names responses: they count as measured until the user wants their modes. */
class MeasuredResponseWindowTest extends WindowHarness {
  /** A plan from the responses themselves takes its time, more so beside other work, ns. */
  private static final long PATIENT = 120_000_000_000L;

  private Path cutFile() throws Exception {
    Path folder = Files.createDirectories(home.resolve("given"));
    Path demo = Path.of("demo-measurements");
    for (String axis : new String[] {"x", "y"}) {
      MeasuredModes all =
          MeasuredModes.of(demo.resolve("tool-8mm-" + axis + ".json"), Progress.NONE);
      Files.writeString(
          folder.resolve("tip-" + axis + ".csv"),
          FrequencyResponseCsv.toText(all.response().response()));
    }
    Path file = folder.resolve("cut.json");
    Files.writeString(
        file,
        DemoCut.at(DemoCut.QUIET)
            .file(
                Map.of(
                    Direction.TOOL_X, "{\"frf\": \"tip-x.csv\"}",
                    Direction.TOOL_Y, "{\"frf\": \"tip-y.csv\"}")));
    return file;
  }

  private boolean measured() {
    return desk.results().cut().ready()
        && ModalWay.measured(desk.results().cut().value().orElseThrow().process());
  }

  private boolean modal() {
    return desk.results().cut().ready()
        && desk.results().cut().value().orElseThrow().process().x().stream()
            .allMatch(ModalModel.class::isInstance);
  }

  @Test
  void responsesOfACutFileCountAsMeasuredUntilTheirModesAreWanted() throws Exception {
    Path file = cutFile();
    onEvents(
        () -> {
          desk.begin(Job.EMPTY, () -> desk.go(StageId.CUT));
          return null;
        });
    waitUntil("a new job", () -> desk.job().isEmpty() && desk.stage() == StageId.CUT);
    onEvents(
        () -> {
          frame.openFiles(java.util.List.of(file));
          return null;
        });
    waitUntil("the responses count", this::measured);
    assertThat(onEvents(() -> desk.job().measured())).hasSize(2);
    waitUntil("the plan is there", PATIENT, () -> desk.results().plan().ready());
    waitUntil("it says so", () -> find("cut-count-responses") != null);
    shoot("counts");
    onEvents(
        () -> {
          desk.go(StageId.LOBES);
          return null;
        });
    waitUntil("the stage is seen", () -> find("lobes-method") != null);
    onEvents(
        () -> {
          ((JComboBox<?>) find("lobes-method")).setSelectedItem(Method.MULTI_FREQUENCY.word());
          return null;
        });
    waitUntil(
        "the map is drawn",
        PATIENT,
        () -> find("lobes-plot") instanceof Plot plot && !plot.content().isEmpty());
    shoot("multi-frequency");
    onEvents(
        () -> {
          desk.go(StageId.CUT);
          return null;
        });
    press("cut-count-responses");
    waitUntil("the modes count", this::modal);
    keys("ctrl Z");
    waitUntil("the responses count again", this::measured);
  }
}
