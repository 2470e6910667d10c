package ringtrue.ui.modes;

import static org.assertj.core.api.Assertions.assertThat;

import java.awt.Point;
import java.awt.event.InputEvent;
import javax.swing.JTable;
import javax.swing.SwingUtilities;
import org.junit.jupiter.api.Test;
import ringtrue.fitting.FitSettings;
import ringtrue.fitting.FittedModes;
import ringtrue.ui.Jobs;
import ringtrue.ui.WindowHarness;
import ringtrue.ui.desk.DirectionResult;
import ringtrue.ui.desk.StageId;
import ringtrue.ui.job.Direction;
import ringtrue.ui.plot.Axis;
import ringtrue.ui.plot.Plot;

/** The modes of the demo tool: picked, unpicked, fitted over other bands. */
class ModesWindowTest extends WindowHarness {

  /** On a large display the whole of it, as at a scale of 200 %. */
  private void fillScreen() throws Exception {
    java.awt.Dimension screen = java.awt.Toolkit.getDefaultToolkit().getScreenSize();
    if (screen.width > 2000) {
      onEvents(
          () -> {
            frame.setSize(screen);
            frame.validate();
            return null;
          });
    }
  }

  private void openDemo() throws Exception {
    java.nio.file.Path job = Jobs.demoJob(home);
    onEvents(
        () -> {
          desk.resume(job, () -> desk.go(StageId.MODES));
          return null;
        });
    waitUntil("the modes are found", () -> desk.results().of(Direction.TOOL_Y).ready());
    waitUntil("the modes along x are found", () -> ready());
    waitUntil("something is drawn", () -> drawn("modes-plot-poles") && rows() == 3);
    robot.waitForIdle();
    fillScreen();
  }

  private boolean ready() {
    return desk.results().of(Direction.TOOL_X).ready();
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

  private FitSettings wanted() {
    return desk.job().measured(Direction.TOOL_X).orElseThrow().fit();
  }

  private FittedModes fitted() {
    return desk.results()
        .of(Direction.TOOL_X)
        .value()
        .flatMap(DirectionResult::modes)
        .orElseThrow();
  }

  private Point at(String plot, double x, double y) throws Exception {
    return onEvents(
        () -> {
          Plot p = (Plot) find(plot);
          Point point = p.toScreen(x, y);
          SwingUtilities.convertPointToScreen(point, p);
          return point;
        });
  }

  private void click(Point at) {
    robot.mouseMove(at.x, at.y);
    robot.mousePress(InputEvent.BUTTON1_DOWN_MASK);
    robot.mouseRelease(InputEvent.BUTTON1_DOWN_MASK);
    robot.waitForIdle();
  }

  private double pole(int mode) throws Exception {
    double hz = onEvents(() -> fitted().model().modes().get(mode).frequencyHz());
    return onEvents(
        () ->
            fitted().stabilisation().poles().stream()
                .filter(p -> p.group() >= 0 && Math.abs(p.frequencyHz() - hz) < 0.01 * hz)
                .mapToDouble(p -> p.frequencyHz())
                .findFirst()
                .orElseThrow());
  }

  private int order(double hz) throws Exception {
    return onEvents(
        () ->
            fitted().stabilisation().poles().stream()
                .filter(p -> p.frequencyHz() == hz)
                .findFirst()
                .orElseThrow()
                .order());
  }

  @Test
  void aPickByMouseChangesTheTableAndUndoBringsItBack() throws Exception {
    openDemo();
    shoot("first");
    double hz = pole(1);
    click(at("modes-plot-poles", hz, order(hz)));
    waitUntil("one mode less is fitted", () -> ready() && rows() == 2);
    shoot("unpicked");
    click(at("modes-plot-poles", hz, order(hz)));
    waitUntil("it is back", () -> ready() && rows() == 3);
    assertThat(wanted().picksHz()).hasSize(3);
    keys("ctrl Z");
    waitUntil("undo takes it out again", () -> ready() && rows() == 2);
    press("modes-to-data");
    waitUntil("the data decide again", () -> ready() && rows() == 3);
    assertThat(wanted().picksHz()).isEmpty();
  }

  @Test
  void aPickByKeyboardDoesTheSame() throws Exception {
    openDemo();
    onEvents(() -> find("modes-plot-poles").requestFocusInWindow());
    robot.waitForIdle();
    keys("M");
    keys("ENTER");
    waitUntil("a mode changed", () -> !wanted().picksHz().isEmpty());
    waitUntil("it is fitted", this::ready);
    keys("ctrl Z");
    waitUntil("three are back", () -> ready() && rows() == 3);
    double hz = pole(2);
    onEvents(
        () -> {
          ((Plot) find("modes-plot-poles")).setCursorX(hz);
          return null;
        });
    keys("F9");
    waitUntil("the mode at the cursor is left out", () -> ready() && rows() == 2);
  }

  @Test
  void draggingTheBandRefits() throws Exception {
    openDemo();
    double high = onEvents(() -> fitted().bandHighHz());
    double y =
        onEvents(
            () -> {
              Axis axis = ((Plot) find("modes-plot-fit")).content().y();
              return Math.sqrt(axis.from() * axis.to());
            });
    drag(at("modes-plot-fit", high, y), at("modes-plot-fit", 2000, y));
    waitUntil("the band is narrower", () -> ready() && fitted().bandHighHz() < 2300 && rows() == 2);
    shoot("narrow");
    keys("ctrl Z");
    waitUntil("the usable band is back", () -> ready() && rows() == 3);
    assertThat(wanted().bandHighHz()).isEmpty();
    type("modes-band-high", "2000");
    keys("ENTER");
    waitUntil("what was typed is fitted", () -> ready() && rows() == 2);
  }

  @Test
  void aRowZoomsThePlots() throws Exception {
    openDemo();
    onEvents(
        () -> {
          ((JTable) find("modes-table")).setRowSelectionInterval(1, 1);
          return null;
        });
    double[] shown = onEvents(() -> ((Plot) find("modes-plot-fit")).shownX());
    double hz = onEvents(() -> fitted().model().modes().get(1).frequencyHz());
    assertThat(shown[0]).isBetween(hz / 3, hz);
    assertThat(shown[1]).isBetween(hz, 2 * hz);
    Thread.sleep(500);
    shoot("zoomed");
    keys("ctrl shift D");
    Thread.sleep(600);
    shoot("dark");
    keys("ctrl shift W");
    assertThat(onEvents(() -> ((Plot) find("modes-plot-fit")).shownX()[1])).isGreaterThan(4000);
  }
}
