package ringtrue.ui.setups;

import static org.assertj.core.api.Assertions.assertThat;

import java.awt.Component;
import java.awt.event.InputEvent;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.concurrent.atomic.AtomicReference;
import javax.swing.JFileChooser;
import javax.swing.JLabel;
import javax.swing.text.JTextComponent;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import ringtrue.library.Catalogue;
import ringtrue.library.SetUpLibrary;
import ringtrue.ui.Jobs;
import ringtrue.ui.WindowHarness;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.desk.Settings;
import ringtrue.ui.desk.StageId;
import ringtrue.ui.job.Job;
import ringtrue.ui.kit.Notice;
import ringtrue.ui.shell.RingtrueWindow;

/** Folders that cannot be used, jobs that are damaged or open twice, and choosing files. */
@Timeout(value = 100, threadMode = Timeout.ThreadMode.SEPARATE_THREAD)
class TroubleWindowTest extends WindowHarness {

  private String text(String name) {
    Component c = find(name);
    return c instanceof Notice n
        ? n.text()
        : c instanceof JLabel l ? l.getText() : c instanceof JTextComponent t ? t.getText() : "";
  }

  @Test
  void aJobThatIsDamagedOrOpenTwice() throws Exception {
    Path job = Jobs.demoJob(home);
    Path other = Jobs.demoJob(home);
    Files.writeString(other.resolve("job.json"), "{\"format\": \"ringtr");
    close();
    open();
    waitUntil("jobs are listed", () -> find("job-open-0") != null);
    waitUntil("the damaged one is said", () -> !text("first-problem").isEmpty());
    assertThat(text("first-problem"))
        .startsWith(other + ": the job cannot be read")
        .contains("lies in that folder still");
    shoot("damaged");
    onEvents(
        () -> {
          desk.resume(job, () -> desk.go(StageId.SET_UP));
          return null;
        });
    waitUntil("it is open", () -> desk.folder().isPresent());
    Desk second =
        onEvents(
            () ->
                RingtrueWindow.desk(
                    home,
                    Settings.read(home),
                    SetUpLibrary.in(home.resolve("library")),
                    Catalogue.bundled()));
    AtomicReference<String> said = new AtomicReference<>("");
    onEvents(
        () -> {
          second.onSay(said::set);
          second.resume(job, () -> said.set("opened"));
          return null;
        });
    waitUntil("something is said", () -> !said.get().isEmpty());
    assertThat(said.get()).endsWith("another window works on this one already");
    onEvents(
        () -> {
          said.set("");
          second.resume(other, () -> said.set("opened"));
          return null;
        });
    waitUntil("something is said", () -> !said.get().isEmpty());
    assertThat(said.get()).isEqualTo("the job cannot be read: it is no JSON");
  }

  @Test
  void aLibraryThatCannotBeWritten() throws Exception {
    Files.deleteIfExists(home.resolve("library"));
    Files.writeString(home.resolve("library"), "a file where a folder should be");
    onEvents(
        () -> {
          desk.begin(Job.EMPTY, () -> desk.go(StageId.SET_UP));
          return null;
        });
    type("setup-tool", "end mill");
    keys("ENTER");
    keys("ctrl S");
    waitUntil("it is said", () -> !text("save-notice").isEmpty());
    shoot("library");
    assertThat(text("save-notice")).endsWith("is a file; a library is a folder");
    assertThat(desk.job().savedId()).isEmpty();
    keys("ctrl shift L");
    waitUntil(
        "it is said there as well",
        () -> text("saved-notice").endsWith("is a file; a library is a folder"));
    shoot("library-list");
  }

  private JFileChooser chooser() {
    return (JFileChooser) find("open-files");
  }

  /** Where no window manager gives the focus back, a click does. */
  private void choose() {
    robot.mouseMove(700, 700);
    robot.mousePress(InputEvent.BUTTON1_DOWN_MASK);
    robot.mouseRelease(InputEvent.BUTTON1_DOWN_MASK);
    waitUntil("the window has the focus", () -> frame.isFocused());
    keys("ctrl O");
    waitUntil("the chooser is seen", () -> chooser() != null);
  }

  @Test
  void filesAreChosenByKeys() throws Exception {
    Path wav = home.resolve("by keys.wav");
    Files.copy(Path.of("demo-measurements", "tool-8mm-x.wav"), wav);
    choose();
    shoot("chooser");
    keys("ESCAPE");
    waitUntil("it is gone", () -> chooser() == null);
    assertThat(desk.folder()).isEmpty();
    choose();
    onEvents(
        () -> {
          chooser().setSelectedFile(wav.toFile());
          return null;
        });
    keys("ENTER");
    waitUntil("it is asked about", () -> text("import-title").equals("by keys.wav"));
    assertThat(desk.settings().text("open-folder", "")).isEqualTo(home.toString());
    shoot("chosen");
  }
}
