package ringtrue.ui.cut;

import static org.assertj.core.api.Assertions.assertThat;

import java.awt.Component;
import java.nio.file.Files;
import java.nio.file.Path;
import javax.swing.JTabbedPane;
import javax.swing.text.JTextComponent;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import ringtrue.ui.Jobs;
import ringtrue.ui.WindowHarness;
import ringtrue.ui.desk.StageId;
import ringtrue.ui.job.CutDraft;
import ringtrue.ui.job.CutField;

/** The cut's stage in a real window, on the demo measurements. */
class CutStageWindowTest extends WindowHarness {
  private static final Path DEMO = Path.of("demo-measurements");

  @BeforeEach
  void demoJob() throws Exception {
    Path folder = Jobs.demoJob(home);
    CutDraft demo = CutFiles.withoutDynamics(Files.readString(DEMO.resolve("cut-pocket-8mm.json")));
    onEvents(
        () -> {
          desk.resume(
              folder,
              () -> {
                desk.change("a cut", job -> job.with(demo));
                desk.go(StageId.CUT);
              });
          return null;
        });
    planReady();
    forgetHeld();
  }

  private void planReady() {
    waitUntil("the plan is there", () -> desk.results().plan().ready());
    robot.waitForIdle();
  }

  private void change(CutField field, String text) throws Exception {
    onEvents(
        () -> {
          desk.change("set", job -> job.with(job.cut().with(field, text)));
          return null;
        });
    waitUntil("the plan is worked on", () -> !desk.results().plan().ready());
    planReady();
  }

  private String text(String name) throws Exception {
    return onEvents(() -> ((JTextComponent) find(name)).getText());
  }

  private String cut(CutField field) throws Exception {
    return onEvents(() -> desk.job().cut().text(field));
  }

  private void tab(int index) throws Exception {
    onEvents(
        () -> {
          ((JTabbedPane) find("cut-tabs")).setSelectedIndex(index);
          return null;
        });
    robot.waitForIdle();
  }

  private void noLongEvents() {
    assertThat(heldLongerThan(50)).isEmpty();
  }

  @Test
  void limitsAreShown() throws Exception {
    seen(Component.class, "cut-limit-0");
    shoot("good");
    change(CutField.AXIAL, "14 mm");
    shoot("bad");
    tab(1);
    shoot("offers");
    noLongEvents();
  }
}
