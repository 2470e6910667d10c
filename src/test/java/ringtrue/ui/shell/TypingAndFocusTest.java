package ringtrue.ui.shell;

import static org.assertj.core.api.Assertions.assertThat;

import java.awt.Component;
import java.awt.KeyboardFocusManager;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import javax.swing.JComboBox;
import javax.swing.JDialog;
import javax.swing.JLabel;
import javax.swing.JToggleButton;
import javax.swing.KeyStroke;
import javax.swing.MenuSelectionManager;
import javax.swing.text.JTextComponent;
import org.junit.jupiter.api.Test;
import ringtrue.library.SetUp;
import ringtrue.ui.DemoCut;
import ringtrue.ui.WindowHarness;
import ringtrue.ui.desk.Act;
import ringtrue.ui.desk.StageId;
import ringtrue.ui.job.CutField;
import ringtrue.ui.job.Job;

/** What is being written counts, undo says what it did, and the focus stays where work is done. */
class TypingAndFocusTest extends WindowHarness {

  private void begin(Job job, StageId at) throws Exception {
    onEvents(
        () -> {
          desk.begin(job, () -> desk.go(at));
          return null;
        });
    waitUntil("a job is open", () -> desk.folder().isPresent());
    robot.waitForIdle();
  }

  private String said() {
    return find("foot-said") instanceof JLabel label ? label.getText() : "";
  }

  private static Component owner() {
    return KeyboardFocusManager.getCurrentKeyboardFocusManager().getFocusOwner();
  }

  @Test
  void whatIsWrittenCountsBeforeKeysSaveOrShowAnotherStage() throws Exception {
    begin(Job.EMPTY.with(SetUp.Field.NAME, "one (invented)"), StageId.SET_UP);
    type("setup-holder", "collet");
    keys("ctrl 6");
    waitUntil("the cut is seen", () -> desk.stage() == StageId.CUT);
    assertThat(desk.job().setUp()).containsEntry(SetUp.Field.HOLDER, "collet");
    keys("ctrl 1");
    type("setup-tool", "end mill");
    keys("ctrl S");
    waitUntil(
        "it is in the job", () -> "end mill".equals(desk.job().setUp().get(SetUp.Field.TOOL)));
    type("setup-machine", "router");
    onEvents(
        () -> {
          desk.acts().stream()
              .filter(a -> a.id().equals("first-page"))
              .toList()
              .get(0)
              .action()
              .run();
          return null;
        });
    waitUntil("the job is offered", () -> find("job-open-0") != null);
    waitUntil("going on has the focus", () -> find("job-open-0").isFocusOwner());
    keys("SPACE");
    waitUntil("it is open", () -> desk.folder().isPresent());
    assertThat(desk.job().setUp()).containsEntry(SetUp.Field.MACHINE, "router");
  }

  @Test
  void wrongTextStaysAndIsNoStepOfUndo() throws Exception {
    begin(Job.EMPTY.with(DemoCut.at(DemoCut.QUIET)), StageId.CUT);
    type("cut-flutes", "abc");
    keys("ctrl 1");
    waitUntil("another stage is seen", () -> desk.stage() == StageId.SET_UP);
    keys("ctrl 6");
    waitUntil("the cut is seen", () -> desk.stage() == StageId.CUT);
    waitUntil(
        "the text is there with its complaint",
        () ->
            find("cut-flutes") instanceof JTextComponent text
                && text.getText().equals("abc")
                && find("cut-flutes-complaint") != null);
    type("cut-flutes", "4");
    assertThat(find("cut-flutes-complaint")).as("what was said is of another text").isNull();
    keys("ENTER");
    waitUntil("it counts", () -> desk.job().cut().text(CutField.FLUTES).equals("4"));
    keys("ctrl 2");
    waitUntil("the taps are seen", () -> desk.stage() == StageId.TAPS);
    keys("ctrl Z");
    waitUntil("three again", () -> desk.job().cut().text(CutField.FLUTES).equals("3"));
    assertThat(desk.stage()).as("where it was done").isEqualTo(StageId.CUT);
    assertThat(said()).startsWith("undone: set flutes");
    keys("ctrl Y");
    waitUntil("four again", () -> desk.job().cut().text(CutField.FLUTES).equals("4"));
    assertThat(said()).startsWith("redone: set flutes");
  }

  @Test
  void tabSelectsTheOldValueAndUndoTakesAllThatWasTyped() throws Exception {
    begin(Job.EMPTY.with(DemoCut.at(DemoCut.QUIET)), StageId.CUT);
    press("cut-diameter");
    keys("TAB");
    JTextComponent flutes = seen(JTextComponent.class, "cut-flutes");
    assertThat(flutes.isFocusOwner()).isTrue();
    assertThat(flutes.getSelectedText()).isEqualTo("3");
    keys("4");
    keys("5");
    assertThat(flutes.getText()).isEqualTo("45");
    keys("ctrl Z");
    assertThat(flutes.getText()).isEqualTo("3");
  }

  @Test
  void theFocusDoesNotGoToTheUnitsByItself() throws Exception {
    begin(Job.EMPTY.with(DemoCut.at(DemoCut.CHATTERS)), StageId.CUT);
    onEvents(() -> find("next-step") == null || find("next-step").requestFocusInWindow());
    robot.waitForIdle();
    for (int i = 1; i <= 7; i++) {
      keys("ctrl " + i);
      robot.delay(150);
      Component now = onEvents(TypingAndFocusTest::owner);
      assertThat(now == null ? "" : String.valueOf(now.getName()))
          .as("after ctrl " + i)
          .doesNotStartWith("head-");
    }
    press("head-inch");
    assertThat(seen(JToggleButton.class, "head-inch").isSelected()).isTrue();
    assertThat(seen(JToggleButton.class, "head-mm").isSelected()).isFalse();
    press("stage-cut");
    onEvents(
        () -> {
          Component button = find("cut-diameter");
          button.requestFocusInWindow();
          return null;
        });
    robot.waitForIdle();
    onEvents(
        () -> {
          find("cut-diameter").setEnabled(false);
          return null;
        });
    robot.waitForIdle();
    assertThat(onEvents(() -> owner().getName())).startsWith("cut-");
  }

  @Test
  void noTwoActsThatCanBeDoneTogetherHaveTheSameKeys() throws Exception {
    begin(Job.EMPTY.with(DemoCut.at(DemoCut.QUIET)), StageId.SET_UP);
    List<String> twice = new ArrayList<>();
    for (StageId id : StageId.values()) {
      onEvents(
          () -> {
            desk.go(id);
            return null;
          });
      robot.waitForIdle();
      onEvents(
          () -> {
            Map<KeyStroke, Act> taken = new HashMap<>();
            for (Act act : desk.acts()) {
              boolean offered = act.keys() != null && act.enabled().getAsBoolean();
              Act before = offered ? taken.put(act.keys(), act) : null;
              if (before != null) {
                twice.add(id + ": " + before.id() + " and " + act.id());
              }
            }
            return null;
          });
    }
    assertThat(twice).isEmpty();
  }

  @Test
  void escapeClosesAMenuThatWasOpenedWithTheMouse() throws Exception {
    press("menu-view");
    waitUntil(
        "it is open", () -> MenuSelectionManager.defaultManager().getSelectedPath().length > 0);
    keys("ESCAPE");
    waitUntil(
        "it is closed", () -> MenuSelectionManager.defaultManager().getSelectedPath().length == 0);
  }

  @Test
  void theSizeIsChosenWithArrowKeysAndPreferencesStayOnTheScreen() throws Exception {
    List<Throwable> thrown = new ArrayList<>();
    Thread.UncaughtExceptionHandler before = Thread.getDefaultUncaughtExceptionHandler();
    Thread.setDefaultUncaughtExceptionHandler((thread, e) -> thrown.add(e));
    try {
      keys("ctrl COMMA");
      seen(JDialog.class, "preferences");
      JComboBox<?> size = seen(JComboBox.class, "prefs-size");
      press("prefs-size");
      waitUntil("the list is open", size::isPopupVisible);
      for (int i = 0; i < 4; i++) {
        keys("DOWN");
      }
      assertThat(desk.settings().number("scale", 100)).as("the list is still open").isEqualTo(100);
      keys("ENTER");
      waitUntil("it counts", () -> desk.settings().number("scale", 100) == 200);
      keys("DOWN");
      waitUntil("one more", () -> desk.settings().number("scale", 100) == 225);
      robot.waitForIdle();
      shoot("prefs-225");
      assertThat(thrown).isEmpty();
      JDialog dialog = seen(JDialog.class, "preferences");
      assertThat(dialog.getGraphicsConfiguration().getBounds().contains(dialog.getBounds()))
          .as(dialog.getBounds().toString())
          .isTrue();
    } finally {
      Thread.setDefaultUncaughtExceptionHandler(before);
    }
  }

  @Test
  void headingsFollowTheSize() throws Exception {
    begin(Job.EMPTY.with(DemoCut.at(DemoCut.QUIET)), StageId.CUT);
    Component verdict = seen(Component.class, "cut-verdict");
    float at100 = onEvents(() -> verdict.getFont().getSize2D());
    onEvents(
        () -> {
          desk.settings(s -> s.with("scale", 150).with("theme", "dark"));
          return null;
        });
    robot.waitForIdle();
    assertThat(onEvents(() -> verdict.getFont().getSize2D()) / at100).isBetween(1.4f, 1.6f);
    assertThat(verdict.getFont().isBold()).isTrue();
  }
}
