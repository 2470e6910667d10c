package ringtrue.ui.tapping;

import static org.assertj.core.api.Assertions.assertThat;

import com.formdev.flatlaf.util.UIScale;
import java.awt.event.KeyEvent;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import javax.swing.JButton;
import javax.swing.JLabel;
import javax.swing.JTable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.ui.WindowHarness;
import ringtrue.ui.desk.DirectionResult;
import ringtrue.ui.desk.StageId;
import ringtrue.ui.job.CutDraft;
import ringtrue.ui.job.Direction;
import ringtrue.ui.job.Job;
import ringtrue.ui.job.JobFolder;
import ringtrue.ui.job.Measured;
import ringtrue.ui.kit.Notice;
import ringtrue.ui.kit.Theme;

/** Tapping in a real window: live from the simulated machine, afterwards, and from files. */
@Timeout(value = 75, threadMode = Timeout.ThreadMode.SEPARATE_THREAD)
class TappingTest extends WindowHarness {
  private static final double PACE = 3;

  private void begin(boolean simulated) throws Exception {
    quickly();
    onEvents(
        () -> {
          frame.setSize(UIScale.scale(1280), UIScale.scale(UIScale.scale(1) > 1 ? 700 : 800));
          desk.begin(
              new Job(java.util.Map.of(), Optional.empty(), List.of(), CutDraft.NEW, simulated),
              () -> desk.go(StageId.TAPS));
          return null;
        });
    waitUntil("the stage is seen", () -> find("taps-view") != null);
  }

  /** The simulated machine strikes faster than a person would. */
  private void quickly() throws Exception {
    onEvents(
        () -> {
          desk.settings(s -> s.with("sounds", false).with("simulated-pace", PACE));
          return null;
        });
  }

  private String says(String name) {
    return find(name) instanceof JLabel label ? label.getText() : "";
  }

  /** A key as a pedal sends it: while taps come, the event queue is never idle for long. */
  private void pedal(int code) {
    robot.keyPress(code);
    robot.keyRelease(code);
  }

  private Optional<DirectionResult> result(Direction direction) {
    return desk.results()
        .of(direction)
        .value()
        .filter(r -> desk.job().measured(direction).filter(r.of()::equals).isPresent());
  }

  private Measured measured(Direction direction) {
    return desk.job().measured(direction).orElseThrow();
  }

  /** Space begins, Backspace sets the last one aside, and a switch changes the average at once. */
  @Test
  void tapsOfTheSimulatedMachine() throws Exception {
    begin(true);
    seen(java.awt.Component.class, "taps-cautions-so");
    shoot("cautions");
    keys("ENTER");
    waitUntil("cautions are confirmed", () -> find("taps-state") != null);
    shoot("ready");
    pedal(KeyEvent.VK_SPACE);
    waitUntil("it runs", () -> find("taps-stop") != null);
    waitUntil("a tap is kept", () -> says("taps-state").startsWith("KEPT"));
    for (int i = 0;
        i < 100 && onEvents(() -> measured(Direction.TOOL_X).setAside().isEmpty());
        i++) {
      waitUntil("a tap is kept last", () -> says("taps-state").startsWith("KEPT"));
      pedal(KeyEvent.VK_BACK_SPACE);
      Thread.sleep(150);
    }
    assertThat(measured(Direction.TOOL_X).setAside()).hasSize(1);
    int aside = measured(Direction.TOOL_X).setAside().iterator().next();
    waitUntil("a tap is set aside", () -> says("taps-state").startsWith("SET ASIDE"));
    shoot("aside");
    waitUntil(
        "it is done", () -> find("taps-start") != null && result(Direction.TOOL_X).isPresent());
    assertThat(measured(Direction.TOOL_X).edition()).isEqualTo(2);
    assertThat(measured(Direction.TOOL_X).setAside()).containsExactly(aside);
    DirectionResult before = result(Direction.TOOL_X).orElseThrow();
    assertThat(before.response().orElseThrow().origin().averages()).isEqualTo(5);
    Thread.sleep(600);
    shoot("done");
    double coherence = sum(before.response().orElseThrow());

    int other = aside == 1 ? 2 : 1; // both are good blows
    JTable table = seen(JTable.class, "taps-table");
    java.awt.Point cell =
        onEvents(
            () -> {
              java.awt.Rectangle r = table.getCellRect(other - 1, 0, true);
              java.awt.Point p = table.getLocationOnScreen();
              return new java.awt.Point(p.x + r.x + r.width / 2, p.y + r.y + r.height / 2);
            });
    robot.mouseMove(cell.x, cell.y);
    robot.mousePress(java.awt.event.InputEvent.BUTTON1_DOWN_MASK);
    robot.mouseRelease(java.awt.event.InputEvent.BUTTON1_DOWN_MASK);
    waitUntil(
        "that tap is aside",
        () ->
            result(Direction.TOOL_X)
                .flatMap(DirectionResult::response)
                .filter(r -> r.origin().averages() == 4)
                .isPresent());
    assertThat(measured(Direction.TOOL_X).setAside()).containsExactlyInAnyOrder(other, aside);
    assertThat(sum(result(Direction.TOOL_X).orElseThrow().response().orElseThrow()))
        .isNotEqualTo(coherence);
    shoot("switched");
    keys("ctrl Z");
    waitUntil(
        "undone",
        () ->
            result(Direction.TOOL_X)
                .flatMap(DirectionResult::response)
                .filter(r -> r.origin().averages() == 5)
                .isPresent());
  }

  private static double sum(FrequencyResponse response) {
    double sum = 0;
    for (int i = 0; i < response.lines(); i++) {
      sum += response.coherence(i);
    }
    return sum;
  }

  /** A newcomer presses what is suggested, and both directions of the tool are there. */
  @Test
  void onlyTheSuggestedSteps() throws Exception {
    quickly();
    press("begin-simulated");
    waitUntil("a job is open", () -> desk.folder().isPresent());
    int steps = 0;
    while (onEvents(() -> desk.stage() != StageId.RESPONSE)) {
      assertThat(++steps).as("steps").isLessThan(8);
      String before = onEvents(this::suggested);
      press("next-step");
      waitUntil(
          "something else is suggested than " + before,
          () -> !suggested().isEmpty() && !suggested().equals(before));
      shoot("step-" + steps);
    }
    assertThat(result(Direction.TOOL_X)).isPresent();
    assertThat(result(Direction.TOOL_Y)).isPresent();
  }

  /** Where it is and what the button at the lower right suggests; empty while it is away. */
  private String suggested() {
    return find("next-step") instanceof JButton next && next.isEnabled()
        ? desk.stage() + ": " + next.getText()
        : "";
  }

  /** Closing in the middle of tapping holds nothing up, and what was struck is there. */
  @Test
  void closingWhileTapsCome() throws Exception {
    begin(true);
    press("taps-cautions-so");
    press("taps-start");
    waitUntil("a tap is kept", () -> says("taps-state").startsWith("KEPT"));
    Path folder = desk.folder().orElseThrow().path();
    long from = System.nanoTime();
    onEvents(
        () -> {
          frame.end();
          return null;
        });
    assertThat((System.nanoTime() - from) / 1e6).as("ms on the event thread").isLessThan(250);
    close();
    Job job = JobFolder.job(folder);
    Measured measured = job.measured(Direction.TOOL_X).orElseThrow();
    assertThat(measured.edition()).as("ended in order").isEqualTo(2);
    assertThat(JobFolder.in(home.resolve("jobs")).get(0).brokenOff()).isFalse();
    open();
    onEvents(
        () -> {
          desk.resume(folder, () -> desk.go(StageId.TAPS));
          return null;
        });
    waitUntil("its taps are there", () -> result(Direction.TOOL_X).isPresent());
  }

  /** Wrong calibration is said beside its field, and the corrected value goes on. */
  @Test
  void aRecordingWithBadCalibration() throws Exception {
    begin(false);
    Path wav = Path.of("demo-measurements", "tool-8mm-x.wav").toAbsolutePath();
    onEvents(
        () -> {
          frameOpens(wav);
          return null;
        });
    seen(java.awt.Component.class, "import-take");
    fill("import-sensor-force-full-scale", "1 V");
    fill("import-sensor-response-full-scale", "1 V");
    fill("import-sensor-response-sensitivity", "10.2 mV/g");
    for (String wrong : List.of("0 mV/N", "2.25 mV", "2.25", "")) {
      complains("import-sensor-force-sensitivity", wrong);
    }
    shoot("bad-sensitivity");
    fill("import-sensor-force-sensitivity", "2.25 mV/N");
    complains("import-sensor-response-channel", "3");
    shoot("bad-channel");
    fill("import-sensor-response-channel", "1");
    complains("import-sensor-force-channel", "2");
    shoot("swapped");
    fill("import-sensor-response-channel", "2");
    fill("import-sensor-force-channel", "1");
    press("import-take");
    waitUntil("it is taken", () -> result(Direction.TOOL_X).isPresent());
    Thread.sleep(500);
    shoot("taken");
    assertThat(measured(Direction.TOOL_X).input()).isEqualTo("tool-8mm-x.wav");
    try (var files = Files.list(desk.folder().orElseThrow().path())) {
      assertThat(files.filter(f -> f.toString().endsWith(".wav"))).hasSize(1);
    }
  }

  /** A measurement of several recordings comes with all of them. */
  @Test
  void aMeasurementFile() throws Exception {
    begin(false);
    Path json = Path.of("demo-measurements", "tool-10mm-y.json").toAbsolutePath();
    onEvents(
        () -> {
          frameOpens(json);
          return null;
        });
    seen(java.awt.Component.class, "import-take");
    shoot("measurement");
    keys("ENTER");
    waitUntil("it is taken", () -> result(Direction.TOOL_Y).isPresent());
    assertThat(find("import-take")).isNull();
  }

  private void frameOpens(Path file) {
    frame.openFiles(List.of(file));
  }

  private void fill(String name, String text) throws Exception {
    onEvents(
        () -> {
          ((javax.swing.JTextField) find(name)).setText(text);
          return null;
        });
  }

  private void complains(String name, String wrong) throws Exception {
    fill(name, wrong);
    press("import-take");
    waitUntil(
        name + " complains of " + wrong,
        () -> find(name + "-complaint") instanceof Notice n && !n.text().isEmpty());
    waitUntil("it can be tried again", () -> find("import-take").isEnabled());
    assertThat(desk.job().measured()).isEmpty();
    fill(name, "");
  }

  /** Every state in the dark look as well. */
  @Test
  void inTheDark() throws Exception {
    onEvents(
        () -> {
          desk.settings(s -> s.with("theme", "dark"));
          return null;
        });
    try {
      begin(true);
      assertThat(Theme.dark()).isTrue();
      waitUntil("cautions", () -> find("taps-cautions-so") != null);
      shoot("dark-cautions");
      press("taps-cautions-so");
      press("taps-start");
      waitUntil("a tap is set aside", () -> says("taps-state").startsWith("SET ASIDE"));
      shoot("dark-aside");
      pedal(KeyEvent.VK_ESCAPE);
      waitUntil("it has stopped", () -> result(Direction.TOOL_X).isPresent());
      Thread.sleep(500);
      shoot("dark-stopped");
      pedal(KeyEvent.VK_F8);
      waitUntil("it goes again", () -> says("taps-state").equals("TAP NOW"));
      shoot("dark-tap-now");
      waitUntil("a new file", () -> measured(Direction.TOOL_X).file().equals("tool-x-2.json"));
      pedal(KeyEvent.VK_ESCAPE);
      waitUntil("stopped", () -> find("taps-start") != null);
      waitUntil(
          "the earlier taps stay in use",
          () -> measured(Direction.TOOL_X).file().equals("tool-x.json"));
      shoot("dark-earlier-kept");
      keys("ctrl Z");
      waitUntil("the new ones", () -> measured(Direction.TOOL_X).file().equals("tool-x-2.json"));
    } finally {
      onEvents(
          () -> {
            Theme.change(false, 100, () -> {});
            return null;
          });
    }
  }
}
