package ringtrue.ui.modes;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.Map;
import javax.swing.JComboBox;
import javax.swing.JTabbedPane;
import javax.swing.JTable;
import org.junit.jupiter.api.Test;
import ringtrue.library.MeasurementKeeper;
import ringtrue.library.SavedMeasurement;
import ringtrue.library.SetUp;
import ringtrue.library.SetUpLibrary;
import ringtrue.ui.Jobs;
import ringtrue.ui.WindowHarness;
import ringtrue.ui.desk.StageId;
import ringtrue.ui.job.Direction;
import ringtrue.ui.job.Job;
import ringtrue.ui.job.JobFolder;
import ringtrue.ui.job.Measured;
import ringtrue.ui.kit.Notice;
import ringtrue.ui.plot.Plot;

/** Modes that are not fitted to a response: from the library, and from taps without force. */
class ModesKindsTest extends WindowHarness {

  @Test
  void savedModesDecaysAndTheComparisonAreShown() throws Exception {
    Path folder = Jobs.demoJob(home);
    SetUpLibrary library = SetUpLibrary.in(home.resolve("library"));
    SetUp saved =
        library.create(Map.of(SetUp.Field.NAME, "invented tool"), Instant.EPOCH.plusSeconds(1000));
    MeasurementKeeper.Kept kept =
        MeasurementKeeper.of(
            Path.of("demo-measurements/tool-8mm-x.json"),
            new MeasurementKeeper.About(Instant.EPOCH.plusSeconds(2000), "", "", false, "", "test"),
            (done, what) -> {});
    SavedMeasurement older = library.add(saved.id(), kept.found(), kept.filling());
    String text = Files.readString(folder.resolve("tool-8mm-y.json"), StandardCharsets.UTF_8);
    Files.writeString(
        folder.resolve("no-force.json"), text.replaceFirst("(?m)^.*\"force\":.*\\R", ""));
    Job job =
        JobFolder.job(folder)
            .savedAs(saved.id())
            .with(Measured.of(Direction.WORK_X, Measured.Kind.SAVED, older.id(), ""))
            .with(Measured.of(Direction.TOOL_Y, Measured.Kind.TAPS, "no-force.json", ""));
    try (JobFolder open = JobFolder.open(folder)) {
      open.write(job);
    }
    onEvents(
        () -> {
          desk.resume(folder, () -> desk.go(StageId.MODES));
          return null;
        });
    waitUntil(
        "all directions are read",
        90_000_000_000L,
        () ->
            job.measured().stream().allMatch(m -> !desk.results().of(m.direction()).working())
                && find("modes-table") instanceof JTable table
                && table.getRowCount() == 3);
    onEvents(
        () -> {
          ((JTabbedPane) find("modes-tabs")).setSelectedIndex(1);
          ((JComboBox<?>) find("modes-compare-choice")).setSelectedIndex(1);
          return null;
        });
    waitUntil("it is compared", () -> find("modes-compare-verdict") instanceof Notice);
    assertThat(((Notice) find("modes-compare-verdict")).text()).containsIgnoringCase("nothing");
    shoot("compared");
    press("modes-direction-workpiece-x");
    waitUntil("saved modes are shown", () -> !drawn("modes-plot-fit") && rows() == 3);
    shoot("saved");
    press("modes-direction-tool-y");
    waitUntil("decays are shown", () -> find("modes-problem") != null && rows() >= 1);
    assertThat(((Notice) find("modes-problem")).text()).contains("without force");
    shoot("decays");
    onEvents(
        () -> {
          desk.go(StageId.RESPONSE);
          return null;
        });
    press("response-direction-tool-x");
    waitUntil("the response is drawn", () -> drawn("response-plot-magnitude"));
    press("response-overlay");
    press("response-over-fitted");
    press("response-overlay");
    press("response-over-older-1");
    waitUntil(
        "both lie over it",
        () ->
            ((Plot) find("response-plot-magnitude"))
                .content().layers().stream()
                    .map(l -> l.name())
                    .toList()
                    .toString()
                    .contains("(measured)"));
    Thread.sleep(500);
    shoot("overlaid");
  }

  private boolean drawn(String name) {
    return find(name) instanceof Plot plot && !plot.content().isEmpty();
  }

  /** Modes that are used. */
  private int rows() {
    if (!(find("modes-table") instanceof JTable table)) {
      return -1;
    }
    int used = 0;
    for (int row = 0; row < table.getRowCount(); row++) {
      used += Boolean.TRUE.equals(table.getValueAt(row, table.getColumnCount() - 1)) ? 1 : 0;
    }
    return used;
  }
}
