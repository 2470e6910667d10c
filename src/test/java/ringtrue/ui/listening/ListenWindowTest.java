package ringtrue.ui.listening;

import static org.assertj.core.api.Assertions.assertThat;

import java.awt.Component;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.IntStream;
import javax.swing.JList;
import javax.swing.JRadioButton;
import javax.swing.text.JTextComponent;
import org.junit.jupiter.api.Test;
import ringtrue.library.Outcome;
import ringtrue.library.SetUp;
import ringtrue.ui.DemoCut;
import ringtrue.ui.Jobs;
import ringtrue.ui.WindowHarness;
import ringtrue.ui.desk.FileTaker;
import ringtrue.ui.desk.StageId;
import ringtrue.ui.desk.StageState;
import ringtrue.ui.job.Job;
import ringtrue.ui.kit.Notice;

/** Listening in a real window. */
class ListenWindowTest extends WindowHarness {

  private void demo(String depth, boolean simulated) throws Exception {
    Path folder = Jobs.demoJob(home);
    onEvents(
        () -> {
          desk.resume(folder, () -> {});
          return null;
        });
    waitUntil("the job is open", () -> desk.folder().isPresent());
    onEvents(
        () -> {
          desk.amend(
              j -> new Job(j.setUp(), j.savedId(), j.measured(), DemoCut.at(depth), simulated));
          desk.go(StageId.LISTEN);
          return null;
        });
    waitUntil("the cut is there", () -> desk.results().cut().ready());
    waitUntil("the plan is there", () -> desk.results().plan().ready());
    robot.waitForIdle();
  }

  private String words(String name) {
    return find(name) instanceof javax.swing.text.JTextComponent text ? text.getText() : "";
  }

  @Test
  void theSimulatedSoundOfAnUnstableCutIsChatterAndIsSavedWithTheSetUp() throws Exception {
    demo(DemoCut.CHATTERS, true);
    shoot("before");
    press("listen-simulated");
    waitUntil(
        "a verdict of the first seconds", () -> words("listen-verdict-words").contains("Chatters"));
    shoot("live");
    keys("SPACE");
    waitUntil("it is frozen", () -> find("listen-freeze") != null);
    waitUntil("all is read", () -> find("listen-again") != null);
    assertThat(words("listen-verdict-words")).startsWith("Chatters near 1");
    assertThat(onEvents(() -> desk.stage(StageId.LISTEN).state()).kind())
        .isEqualTo(StageState.Kind.ATTENTION);
    assertThat(onEvents(() -> desk.stage(StageId.LISTEN).next()).orElseThrow().words())
        .isEqualTo("Save the set-up");
    shoot("chatter");
    assertThat(find("listen-save").isEnabled()).isFalse();
    assertThat(find("listen-go-setup")).isNotNull();
    String id = savedSetUp();
    press("listen-save");
    waitUntil(
        "it is saved",
        () -> find("listen-save-notice") instanceof Notice n && n.text().startsWith("Saved"));
    List<Outcome> all = desk.library().read(id).outcomes();
    assertThat(all).hasSize(1);
    assertThat(all.get(0).result()).isEqualTo(Outcome.Result.CHATTERED);
    assertThat(all.get(0).chatterHz()).isBetween(1500.0, 2000.0);
    assertThat(all.get(0).simulated()).isTrue();
    assertThat(find("listen-outcomes")).isNotNull();
    shoot("saved");
  }

  @Test
  void whatTheCutDidIsSeenInTheSavedSetUpAndSurvivesReopening() throws Exception {
    demo(DemoCut.CHATTERS, true);
    onEvents(
        () -> {
          desk.go(StageId.SET_UP);
          return null;
        });
    type("setup-tool", "8 mm end mill");
    keys("ENTER");
    keys("ctrl S");
    waitUntil(
        "the set-up is saved",
        () -> desk.stage(StageId.SET_UP).state().kind() == StageState.Kind.DONE);
    String id = onEvents(() -> desk.job().savedId().orElseThrow());
    onEvents(
        () -> {
          desk.go(StageId.LISTEN);
          return null;
        });
    press("listen-simulated");
    waitUntil("all is read", () -> find("listen-again") != null);
    press("listen-save");
    waitUntil(
        "it is saved",
        () -> find("listen-save-notice") instanceof Notice n && n.text().startsWith("Saved"));
    Outcome kept = desk.library().read(id).outcomes().get(0);
    close();

    open();
    onEvents(
        () -> {
          desk.begin(Job.EMPTY, () -> desk.go(StageId.SET_UP));
          return null;
        });
    seen(Component.class, "setup-tool");
    keys("ctrl shift L");
    waitUntil(
        "it is listed with what the cut did",
        () ->
            find("saved-parts") instanceof JList<?> list
                && IntStream.range(0, list.getModel().getSize())
                    .mapToObj(i -> list.getModel().getElementAt(i).toString())
                    .anyMatch(line -> line.startsWith("cut chattered")));
    shoot("in-the-list");
    waitUntil("the list has the keys", () -> find("saved-table").isFocusOwner());
    keys("ENTER");
    waitUntil("it is open", () -> desk.job().savedId().equals(Optional.of(id)));
    onEvents(
        () -> {
          desk.go(StageId.LISTEN);
          return null;
        });
    waitUntil(
        "what the cut did is seen",
        () ->
            find("listen-outcomes") instanceof JTextComponent list
                && list.getText().contains("chattered at " + kept.chatterFrequency()));
    shoot("reopened");
  }

  private String savedSetUp() throws Exception {
    SetUp setUp =
        desk.library()
            .create(
                Map.of(
                    SetUp.Field.MACHINE, "light gantry mill (invented)",
                    SetUp.Field.TOOL, "8 mm three-flute (invented)"),
                java.time.Instant.now());
    onEvents(
        () -> {
          desk.amend(j -> j.savedAs(setUp.id()));
          return null;
        });
    return setUp.id();
  }

  @Test
  void aQuietCutIsQuietAndItsRecordingIsReadAgain() throws Exception {
    demo(DemoCut.QUIET, false);
    press("listen-simulated");
    waitUntil("all is read", () -> find("listen-again") != null);
    assertThat(words("listen-verdict-words")).isEqualTo("Quiet");
    assertThat(((JRadioButton) find("listen-did-quiet")).isSelected()).isTrue();
    assertThat(find("listen-save").isEnabled()).isFalse();
    shoot("quiet");
    Path other = home.resolve("cut.wav");
    onEvents(() -> Files.copy(desk.folder().get().file("simulated-cut.wav"), other));
    take(other);
    waitUntil("the recording is read", () -> words("listen-verdict-tag").contains("cut.wav"));
    waitUntil("it is read", () -> words("listen-verdict-words").equals("Quiet"));
    type("listen-from", "2");
    type("listen-to", "4");
    press("listen-again");
    waitUntil("a stretch is read", () -> words("listen-verdict-tag").contains("2.0 to 4.0 s"));
    shoot("file");
  }

  private void take(Path file) throws Exception {
    onEvents(
        () -> {
          desk.takers().stream()
              .filter(t -> t.takes(file, FileTaker.WAV))
              .findFirst()
              .orElseThrow()
              .take(file);
          return null;
        });
  }

  @Test
  void aFileThatIsNoRecordingIsComplainedOfInOneLine() throws Exception {
    demo(DemoCut.QUIET, false);
    Path bad = home.resolve("bad.wav");
    Files.writeString(bad, "this is no sound");
    take(bad);
    waitUntil(
        "there is a complaint",
        () ->
            find("listen-notice") != null
                && ((Notice) find("listen-notice")).text().contains("bad.wav"));
    assertThat(((Notice) find("listen-notice")).text()).doesNotContain("\n");
    type("listen-speed", "no speed");
    keys("ENTER");
    waitUntil("the field complains", () -> find("listen-speed-complaint") != null);
    shoot("complaints");
  }
}
