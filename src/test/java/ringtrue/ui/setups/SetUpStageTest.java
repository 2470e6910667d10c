package ringtrue.ui.setups;

import static org.assertj.core.api.Assertions.assertThat;

import java.awt.Component;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import javax.swing.JLabel;
import javax.swing.JList;
import javax.swing.JTable;
import javax.swing.JTextArea;
import javax.swing.JTextField;
import org.junit.jupiter.api.Test;
import ringtrue.library.SavedMeasurement;
import ringtrue.library.SavedSetUp;
import ringtrue.library.SetUp;
import ringtrue.library.SetUpLibrary;
import ringtrue.ui.Jobs;
import ringtrue.ui.WindowHarness;
import ringtrue.ui.desk.StageId;
import ringtrue.ui.desk.StageState;
import ringtrue.ui.job.Direction;
import ringtrue.ui.job.Job;
import ringtrue.ui.job.Measured;

/** Describing, saving, finding again, all in the window. */
class SetUpStageTest extends WindowHarness {

  private SetUpLibrary library() {
    return SetUpLibrary.in(home.resolve("library"));
  }

  private void begin() throws Exception {
    onEvents(
        () -> {
          desk.begin(Job.EMPTY, () -> desk.go(StageId.SET_UP));
          return null;
        });
    seen(Component.class, "setup-tool");
  }

  private void shelf() {
    keys("ctrl shift L");
    waitUntil("the list is read", () -> table() != null && table().getRowCount() > 0);
  }

  private JTable table() {
    return (JTable) find("saved-table");
  }

  private String first(int column) {
    return String.valueOf(table().getValueAt(0, column));
  }

  @Test
  void whatWasSeenIsSavedAndComesBackAfterTheWindowWasClosed() throws Exception {
    Path demo = Jobs.demoJob(home);
    onEvents(
        () -> {
          desk.resume(demo, () -> desk.go(StageId.SET_UP));
          return null;
        });
    type("setup-tool", "8 mm end mill");
    type("setup-diameter", "8");
    type("setup-stickout", "28 mm");
    type("setup-flutes", "many");
    keys("ENTER");
    waitUntil("the complaint is seen", () -> find("setup-flutes-complaint") != null);
    type("setup-flutes", "4");
    keys("ENTER");
    waitUntil("it is gone", () -> find("setup-flutes-complaint") == null);
    assertThat(desk.job().setUp()).containsEntry(SetUp.Field.DIAMETER, "8 mm");
    onEvents(
        () -> {
          desk.change(
              "set tap 2 aside", j -> j.with(j.measured(Direction.TOOL_X).get().withTap(2, false)));
          return null;
        });
    waitUntil(
        "both directions are worked out",
        () ->
            desk.results().of(Direction.TOOL_X).ready()
                && desk.results().of(Direction.TOOL_Y).ready()
                && desk.results().of(Direction.TOOL_X).value().get().model().isPresent());
    shoot("described");
    assertThat(desk.stage(StageId.SET_UP).state().words()).isEqualTo("set-up not saved");
    List<Double> seen =
        desk.results().of(Direction.TOOL_X).value().get().model().get().modes().stream()
            .map(m -> m.frequencyHz())
            .toList();
    keys("ctrl S");
    waitUntil(
        "it is saved", () -> desk.stage(StageId.SET_UP).state().kind() == StageState.Kind.DONE);
    shoot("saved");
    assertThat(desk.stage(StageId.SET_UP).state().words()).startsWith("set-up saved ");
    String id = desk.job().savedId().orElseThrow();
    SavedSetUp saved = library().read(id);
    assertThat(
            saved.along("x").get(0).modes().stream().map(SavedMeasurement.SavedMode::frequencyHz))
        .containsExactlyElementsOf(seen);
    assertThat(saved.measurements()).hasSize(2);

    // once more with nothing new: no second measurement; said otherwise: another revision
    type("setup-notes", "still sharp");
    press("setup-tool");
    keys("ctrl S");
    waitUntil(
        "revision 2 is saved",
        () -> {
          String words = ((JLabel) find("save-state")).getText();
          return words.contains("revision 2") && !words.contains("Not saved");
        });
    assertThat(library().read(id).measurements()).hasSize(2);
    close();

    open();
    onEvents(
        () -> {
          desk.begin(Job.EMPTY, () -> desk.go(StageId.SET_UP));
          return null;
        });
    seen(Component.class, "setup-tool");
    shelf();
    assertThat(first(0)).contains("8 mm end mill");
    keys("ENTER");
    waitUntil("it is open", () -> desk.job().savedId().equals(java.util.Optional.of(id)));
    assertThat(desk.job().measured(Direction.TOOL_X).get().kind()).isEqualTo(Measured.Kind.TAPS);
    waitUntil(
        "it counts as saved",
        () -> desk.stage(StageId.SET_UP).state().words().equals("set-up saved"));
    waitUntil(
        "the same modes are found",
        () -> desk.results().of(Direction.TOOL_X).value().flatMap(r -> r.model()).isPresent());
    assertThat(
            desk.results().of(Direction.TOOL_X).value().get().model().get().modes().stream()
                .map(m -> m.frequencyHz()))
        .containsExactlyElementsOf(seen);
    shoot("reopened");
  }

  @Test
  void setUpsAreFoundComparedBinnedAndBroughtBack() throws Exception {
    Shelves.fill(library(), 8);
    String drifting = library().ids().get(0);
    Shelves.drift(library(), drifting, 5);
    begin();
    shelf();
    assertThat(table().getRowCount()).isEqualTo(8);
    shoot("list");

    type("saved-search", "router");
    waitUntil("few are left", () -> table().getRowCount() == 3);
    type("saved-search", "");
    keys("BACK_SPACE");
    waitUntil("all are back", () -> table().getRowCount() == 8);
    type("saved-diameter", "5 mm");
    waitUntil("one is left", () -> table().getRowCount() == 1);
    keys("ctrl A");
    keys("BACK_SPACE");
    waitUntil("all are back again", () -> table().getRowCount() == 8);

    keys("DOWN");
    waitUntil("the list has the focus", () -> table().isFocusOwner());
    keys("HOME");
    keys("shift DOWN");
    keys("C");
    waitUntil("they are compared", () -> ((JTable) find("compare-modes")).getRowCount() >= 4);
    assertThat(((JTextArea) find("compare-words")).getText()).contains("Said otherwise");
    shoot("compare");
    keys("ctrl HOME");
    keys("H");
    waitUntil("history is seen", () -> find("history-plot") != null);
    onEvents(
        () -> {
          for (int i = 0; i < table().getRowCount(); i++) {
            if (((SavedModel) table().getModel()).row(i).id().equals(drifting)) {
              table().setRowSelectionInterval(i, i);
            }
          }
          return null;
        });
    waitUntil(
        "the drift is said",
        () -> ((JTextArea) find("history-words")).getText().contains("Measured in 6 clampings"));
    shoot("history");

    String gone = first(0);
    keys("ctrl HOME");
    onEvents(
        () -> {
          table().setRowSelectionInterval(0, 0);
          return null;
        });
    keys("DELETE");
    waitUntil("it is gone", () -> table().getRowCount() == 7);
    keys("ctrl B");
    waitUntil("it is back", () -> table().getRowCount() == 8);
    assertThat(first(0)).isEqualTo(gone);
    keys("DELETE");
    waitUntil("it is gone again", () -> table().getRowCount() == 7);
    keys("B");
    waitUntil(
        "the bin is seen",
        () -> find("bin-list") != null && ((JList<?>) find("bin-list")).getModel().getSize() == 1);
    shoot("bin");
    press("bin-restore");
    waitUntil("it is back from the bin", () -> table().getRowCount() == 8);
    assertThat(library().bin()).isEmpty();
  }

  @Test
  void aSetUpGoesOutAsOneFileAndComesBackIn() throws Exception {
    Shelves.fill(library(), 2);
    begin();
    shelf();
    Path zip = home.resolve("out.zip");
    keys("E");
    waitUntil("export is seen", () -> find("export-path") != null);
    onEvents(
        () -> {
          ((JTextField) find("export-path")).setText(zip.toString());
          return null;
        });
    press("export-write");
    waitUntil("it is written", () -> Files.exists(zip));
    waitUntil("that is said", () -> find("export-notice") != null);
    shoot("export");
    press("saved-import");
    onEvents(
        () -> {
          ((JTextField) find("import-path")).setText(zip.toString());
          return null;
        });
    press("import-take");
    waitUntil("it is there twice", () -> table().getRowCount() == 3);
    shoot("import");
    onEvents(
        () -> {
          desk.go(StageId.TAPS);
          frame.openFiles(List.of(zip)); // as when it is dropped on the window
          return null;
        });
    waitUntil("it is there three times", () -> table() != null && table().getRowCount() == 4);
    waitUntil("that is said", () -> find("import-notice") != null);
    press("saved-check");
    waitUntil("it was checked", () -> find("check-notice") != null && library().ids().size() == 4);
  }

  @Test
  void manySetUpsHoldNothingUp() throws Exception {
    Shelves.fill(library(), Integer.getInteger("ringtrue.manySetUps", 200));
    begin();
    shelf();
    waitUntil("all are listed", () -> table().getRowCount() >= 200);
    type("saved-search", "router");
    waitUntil("few are left", () -> table().getRowCount() < 200);
    keys("DOWN");
    keys("END");
    keys("PAGE_UP");
    keys("HOME");
    keys("ctrl shift H");
    keys("ctrl shift L");
    waitUntil("the list is seen again", () -> table() != null && table().getRowCount() > 0);
  }
}
