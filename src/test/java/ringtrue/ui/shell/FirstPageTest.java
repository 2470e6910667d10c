package ringtrue.ui.shell;

import static org.assertj.core.api.Assertions.assertThat;

import java.awt.Component;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Map;
import javax.swing.AbstractButton;
import org.junit.jupiter.api.Test;
import ringtrue.library.SetUp;
import ringtrue.ui.WindowHarness;
import ringtrue.ui.desk.StageId;
import ringtrue.ui.job.Job;
import ringtrue.ui.job.JobFolder;
import ringtrue.ui.kit.Notice;

/** The page without a job. */
class FirstPageTest extends WindowHarness {

  private Path job(String name) {
    JobFolder folder = JobFolder.create(home.resolve("jobs"));
    folder.write(Job.EMPTY.with(SetUp.Field.NAME, name));
    folder.close();
    return folder.path();
  }

  private void again() throws Exception {
    close();
    open();
  }

  @Test
  void theSimulatedMachineOpensAWholeJobAtTheTaps() throws Exception {
    shoot("empty");
    press("begin-simulated");
    waitUntil("the taps are seen", () -> desk.folder().isPresent() && desk.stage() == StageId.TAPS);
    assertThat(desk.job().simulated()).isTrue();
    assertThat(desk.job().setUp()).containsKey(SetUp.Field.TOOL);
    assertThat(desk.job().title()).contains("invented");
    shoot("simulated");
    again();
    waitUntil("the job can be gone on with", () -> find("job-open-0") != null);
    shoot("before");
    press("job-open-0");
    waitUntil("it is open again", () -> desk.folder().isPresent());
    assertThat(desk.stage()).isEqualTo(StageId.TAPS);
  }

  @Test
  void aSoundInputOpensAnEmptyJob() {
    press("begin-input");
    waitUntil("a job is open", () -> desk.folder().isPresent());
    assertThat(desk.job()).isEqualTo(Job.EMPTY);
    assertThat(desk.stage()).isEqualTo(StageId.TAPS);
  }

  @Test
  void aJobGoesToTheBinAfterAskingAndComesBack() throws Exception {
    Path one = job("one (invented)");
    again();
    press("job-bin-0");
    press("job-bin-no-0");
    assertThat(one).exists();
    press("job-bin-0");
    shoot("sure");
    press("job-bin-yes-0");
    waitUntil("it is gone", () -> find("job-0") == null && find("bring-back") != null);
    assertThat(one).doesNotExist();
    shoot("binned");
    press("bring-back");
    waitUntil("it is back", () -> find("job-0") != null);
    assertThat(one).exists();
  }

  @Test
  void whatAKillLeftIsOfferedFirst() throws Exception {
    Path killed = job("killed (invented)");
    Files.writeString(killed.resolve("in-use"), "");
    again();
    waitUntil("the notice is seen", () -> find("recovery-notice") != null);
    assertThat(((Notice) find("recovery-notice")).text())
        .contains("ended without closing")
        .containsPattern("up to \\d\\d:\\d\\d:\\d\\d is here");
    shoot("recovery");
    press("recover");
    waitUntil("it is open", () -> desk.folder().isPresent());
    assertThat(desk.job().setUp()).isEqualTo(Map.of(SetUp.Field.NAME, "killed (invented)"));
  }

  @Test
  void everyChoiceIsLargeAndNamed() {
    for (String name : new String[] {"begin-simulated", "begin-input", "begin-file"}) {
      AbstractButton button = seen(AbstractButton.class, name);
      assertThat(button.getAccessibleContext().getAccessibleName()).isNotBlank();
      Component c = button;
      assertThat(c.getHeight()).isGreaterThan(80);
    }
  }
}
