package ringtrue.ui.cut;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.awt.Component;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import javax.swing.JTabbedPane;
import javax.swing.text.JTextComponent;
import org.junit.jupiter.api.Test;
import ringtrue.library.Catalogue;
import ringtrue.library.Cut;
import ringtrue.library.CutFile;
import ringtrue.planning.CutPlan;
import ringtrue.report.LengthUnit;
import ringtrue.ui.Jobs;
import ringtrue.ui.WindowHarness;
import ringtrue.ui.desk.StageId;
import ringtrue.ui.job.CutDraft;
import ringtrue.ui.job.CutField;
import ringtrue.ui.job.Job;
import ringtrue.ui.job.Measured;
import ringtrue.ui.kit.Notice;
import ringtrue.ui.kit.Theme;
import ringtrue.ui.plot.Plot;

/** The cut's stage in a real window, on the demo measurements. */
class CutStageWindowTest extends WindowHarness {
  /** Plans take their time beside other work, ns. */
  private static final long PATIENT = 90_000_000_000L;

  private static final Path DEMO = Path.of("demo-measurements");

  /** On the event thread. */
  private String said(CutField field) {
    return desk.job().cut().text(field);
  }

  private String shown(String name) {
    return ((JTextComponent) find(name)).getText();
  }

  private void demoJob() throws Exception {
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
    press("cut-axial"); // the first key and press of all take longest
    keys("END");
  }

  private void planReady() {
    waitUntil("the plan is there", PATIENT, () -> desk.results().plan().ready());
    robot.waitForIdle();
  }

  private void verdict(String word) {
    waitUntil(
        "it says " + word,
        () ->
            desk.results().plan().ready()
                && ((JTextComponent) find("cut-verdict")).getText().matches(word + "[^…]*"));
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

  private void openAlone(String file) throws Exception {
    onEvents(
        () -> {
          desk.begin(Job.EMPTY, () -> desk.go(StageId.CUT));
          return null;
        });
    waitUntil("a new job", () -> desk.job().isEmpty() && desk.stage() == StageId.CUT);
    open(DEMO.resolve(file));
  }

  private void open(Path file) throws Exception {
    onEvents(
        () -> {
          frame.openFiles(List.of(file));
          return null;
        });
    waitUntil("it is opened", () -> desk.results().cut().ready());
  }

  private void whatIfIsWorkedOut() {
    keys("F6");
    waitUntil(
        "it is drawn and has ended",
        () ->
            find("cut-sweep-plot") instanceof Plot
                && find("cut-sweep-says") != null
                && find("cut-sweep-cancel") == null);
  }

  @Test
  void limitsFollowTheCutWhichIsBetteredAndWrittenDown() throws Exception {
    demoJob();
    aBetterCutIsTakenAndGivenBack();
    limits();
    whatIfIsWorkedOut();
    assertThat(onEvents(() -> ((Notice) find("cut-sweep-says")).text())).contains("limit");
    shoot("sweep");
    aReportIsWritten();
    aSavedCutFileOpensAsTheSameCut();
  }

  private void limits() throws Exception {
    tab(0);
    waitUntil(
        "a limit is outside",
        () -> desk.stage(StageId.CUT).state().words().contains("limit exceeded: chatter"));
    seen(Component.class, "cut-limit-0");
    shoot("one-outside");
    change(CutField.AXIAL, "1 mm");
    waitUntil(
        "it is good", () -> desk.stage(StageId.CUT).state().words().equals("inside all limits"));
    assertThat(text("cut-verdict")).startsWith("GO");
    shoot("good");
  }

  private void aBetterCutIsTakenAndGivenBack() throws Exception {
    String before = onEvents(() -> desk.job().cut().json());
    CutPlan.Suggestion best =
        onEvents(() -> desk.results().plan().value().orElseThrow().suggestions().get(0));
    keys("alt B");
    seen(Component.class, "cut-offers");
    shoot("offers");
    press("cut-take");
    planReady();
    assertThat(CutValues.si(CutField.AXIAL, cut(CutField.AXIAL)).orElseThrow())
        .isEqualTo(best.axialM(), within(1e-9));
    assertThat(text("cut-speed")).isEqualTo(Math.round(best.speedRpm()) + " rpm");
    verdict("GO");
    shoot("taken");
    assertThat(onEvents(() -> desk.undoWords().orElse(""))).isEqualTo("take a better cut");
    onEvents(
        () -> {
          desk.undo();
          return null;
        });
    verdict("CHANGE");
    assertThat(onEvents(() -> desk.job().cut().json())).isEqualTo(before);
  }

  private void aReportIsWritten() throws Exception {
    Path file = home.resolve("page.html");
    CutReport report = onEvents(() -> CutReport.of(desk));
    report.write(CutReport.files(file), false, (done, what) -> {});
    assertThat(home.resolve("page.pdf")).isNotEmptyFile();
    assertThat(Files.readString(file)).contains("direction: tool x").contains("mount plate");
    assertThat(CutReport.freeName(home, "page").getFileName()).hasToString("page-2.html");
  }

  private void aSavedCutFileOpensAsTheSameCut() throws Exception {
    Path file = home.resolve("mine.json");
    Cut before = onEvents(() -> desk.results().cut().value().orElseThrow());
    onEvents(
        () -> {
          new CutView(
                  desk,
                  new CutForm(desk),
                  new LimitsView(desk),
                  new OffersView(desk),
                  new SweepView(desk))
              .saveFile(file);
          return null;
        });
    waitUntil("it is saved", () -> Files.exists(file));
    assertThat(home.resolve("mine-tool-x-modes.csv")).exists();
    assertThat(CutFile.read(file, Catalogue.bundled(), (done, what) -> {}).process())
        .isEqualTo(before.process());
    openAlone(file.toAbsolutePath().toString());
    Cut after = onEvents(() -> desk.results().cut().value().orElseThrow());
    assertThat(after.process()).isEqualTo(before.process());
    assertThat(after.machine()).isEqualTo(before.machine());
    planReady();
  }

  @Test
  void valuesAreTypedInEitherUnit() throws Exception {
    demoJob();
    type("cut-axial", "3 kg");
    keys("ENTER");
    waitUntil("the complaint is seen", () -> find("cut-axial-complaint") != null);
    waitUntil("3 kg" + " is taken", () -> said(CutField.AXIAL).equals("3 kg")); // kept as written
    shoot("complaint");
    type("cut-speed", "15000");
    keys("ENTER");
    waitUntil("15000 rpm" + " is taken", () -> said(CutField.SPEED).equals("15000 rpm"));
    waitUntil("it is shown with its unit", () -> shown("cut-speed").equals("15000 rpm"));
    type("cut-axial", "1.2");
    keys("ENTER");
    waitUntil("1.2 mm" + " is taken", () -> said(CutField.AXIAL).equals("1.2 mm"));
    planReady();
    assertThat(find("cut-axial-complaint")).isNull();
    onEvents(
        () -> {
          desk.settings(s -> s.withUnit(LengthUnit.INCH));
          return null;
        });
    type("cut-axial", "0.04");
    keys("ENTER");
    waitUntil("0.04 in" + " is taken", () -> said(CutField.AXIAL).equals("0.04 in"));
    type("cut-cutting-speed", "800");
    keys("ENTER");
    waitUntil("it is shown in sfm", () -> shown("cut-cutting-speed").equals("800 sfm"));
    assertThat(cut(CutField.SPEED)).endsWith(" rpm");
    type("cut-feed", "60");
    keys("ENTER");
    waitUntil("60 in/min" + " is taken", () -> said(CutField.FEED).equals("60 in/min"));
    assertThat(cut(CutField.FEED_PER_TOOTH)).isEmpty();
    planReady();
    shoot("inches");
    assertThat(text("cut-facts")).contains("0.0400 in deep").contains("sfm");
  }

  @Test
  void cutFilesAreOpenedAlsoInTheDark() throws Exception {
    openAlone("cut-turning.json");
    planReady();
    assertThat(find("cut-flutes")).isNull();
    seen(Component.class, "cut-work-diameter");
    shoot("turning");
    try {
      onEvents(
          () -> {
            Theme.change(true, 100, () -> {});
            return null;
          });
      openAlone("cut-bracket-10mm.json");
      assertThat(onEvents(() -> desk.job().measured()))
          .hasSizeGreaterThanOrEqualTo(2)
          .allMatch(m -> m.kind() == Measured.Kind.TAPS);
      planReady();
      shoot("dark-bracket");
      tab(1);
      shoot("dark-offers");
      whatIfIsWorkedOut();
      shoot("dark-sweep");
    } finally {
      onEvents(
          () -> {
            Theme.change(false, 100, () -> {});
            return null;
          });
    }
  }

  @Test
  void aPlanThatWasStoppedIsMadeAgain() throws Exception {
    demoJob();
    onEvents(
        () -> {
          desk.change("set", job -> job.with(job.cut().with(CutField.AXIAL, "1.1 mm")));
          return null;
        });
    waitUntil(
        "it is planned", () -> desk.tasks().running().stream().anyMatch(t -> isPlan(t.name())));
    onEvents(
        () -> {
          desk.tasks().running().stream()
              .filter(t -> isPlan(t.name()))
              .forEach(ringtrue.ui.desk.Tasks.Task::cancel);
          return null;
        });
    waitUntil(
        "it says so",
        () -> find("cut-plan-again") != null && shown("cut-verdict").contains("Stop"));
    press("cut-plan-again");
    planReady();
    waitUntil("nothing is to be made again", () -> find("cut-plan-again") == null);
  }

  private static boolean isPlan(String task) {
    return task.equals("the plan");
  }
}
