package ringtrue.ui;

import static org.assertj.core.api.Assertions.assertThat;

import java.awt.Component;
import java.awt.Point;
import java.awt.Rectangle;
import java.awt.event.InputEvent;
import java.util.Locale;
import javax.swing.JTable;
import org.junit.jupiter.api.Test;
import ringtrue.library.SavedSetUp;
import ringtrue.library.SetUpLibrary;
import ringtrue.ui.desk.DirectionResult;
import ringtrue.ui.desk.StageId;
import ringtrue.ui.desk.StageState;
import ringtrue.ui.job.CutField;
import ringtrue.ui.job.Direction;
import ringtrue.ui.plot.Plot;

/**
 * The main job by hand in a real window: simulated machine, taps in both directions by pressing
 * what is suggested, one tap set aside, modes, lobes, the cut dragged, the plan, saved, closed,
 * opened again.
 */
class WholeJobTest extends WindowHarness {
  private static final double MINUTE_S = 60;

  private int averages() {
    return desk.results()
        .of(Direction.TOOL_X)
        .value()
        .filter(r -> desk.job().measured(Direction.TOOL_X).filter(r.of()::equals).isPresent())
        .flatMap(DirectionResult::response)
        .map(r -> r.origin().averages())
        .orElse(0);
  }

  /** Presses what is suggested until a stage is seen. */
  private void suggestedUntil(StageId wanted) throws Exception {
    long end = System.nanoTime() + 90_000_000_000L;
    while (onEvents(() -> desk.stage()) != wanted && System.nanoTime() < end) {
      press("next-step");
      Thread.sleep(300);
    }
    assertThat(onEvents(() -> desk.stage())).isEqualTo(wanted);
  }

  private Point middleOf(JTable table, int row, int column) throws Exception {
    return onEvents(
        () -> {
          Rectangle r = table.getCellRect(row, column, true);
          table.scrollRectToVisible(r);
          Point p = table.getLocationOnScreen();
          return new Point(p.x + r.x + r.width / 2, p.y + r.y + r.height / 2);
        });
  }

  @Test
  void fromTheFirstPageToASavedCut() throws Exception {
    long begun = System.nanoTime();
    press("begin-simulated");
    waitUntil("a job is open", () -> desk.folder().isPresent() && desk.stage() == StageId.TAPS);
    suggestedUntil(StageId.CUT);
    waitUntil("there is a plan", () -> desk.results().plan().ready());
    double seconds = (System.nanoTime() - begun) / 1e9;
    assertThat(seconds).as("from the first page to a plan, s").isLessThan(MINUTE_S);

    press("stage-taps");
    press("direction-tool-x");
    JTable taps = seen(JTable.class, "taps-table");
    int before = onEvents(this::averages);
    assertThat(before).isEqualTo(5);
    int kept = onEvents(() -> firstKept(taps));
    Point use = middleOf(taps, kept, 0);
    robot.mouseMove(use.x, use.y);
    robot.mousePress(InputEvent.BUTTON1_DOWN_MASK);
    robot.mouseRelease(InputEvent.BUTTON1_DOWN_MASK);
    waitUntil("one tap fewer is averaged", () -> averages() == 4);
    shoot("set-aside");

    press("stage-modes");
    waitUntil(
        "modes are fitted to the rest",
        () ->
            desk.results().of(Direction.TOOL_X).ready()
                && desk.results().of(Direction.TOOL_X).value().get().model().isPresent());
    shoot("modes");

    press("stage-lobes");
    waitUntil(
        "the lobes say what happens",
        () -> desk.stage(StageId.LOBES).state().kind() == StageState.Kind.ATTENTION);
    Plot lobes = seen(Plot.class, "lobes-plot");
    waitUntil("the cut is in the picture", () -> lobes.content().title() != null);
    Thread.sleep(1500);
    Point from = onEvents(() -> onScreen(lobes, 13000, 3));
    Point to = onEvents(() -> onScreen(lobes, 16000, 1));
    drag(from, to);
    waitUntil(
        "the cut was dragged", () -> !desk.job().cut().text(CutField.SPEED).equals("13000 rpm"));
    waitUntil(
        "the lobes say it is quiet there",
        () -> desk.stage(StageId.LOBES).state().kind() == StageState.Kind.DONE);
    shoot("dragged");

    press("stage-cut");
    waitUntil("there is a plan for it", () -> desk.results().plan().ready());
    waitUntil(
        "it is inside all limits",
        () -> desk.stage(StageId.CUT).state().kind() == StageState.Kind.DONE);
    shoot("plan");
    String speed = onEvents(() -> desk.job().cut().text(CutField.SPEED));

    keys("ctrl S");
    waitUntil("it is saved", () -> desk.job().savedId().isPresent());
    String id = onEvents(() -> desk.job().savedId().orElseThrow());
    SavedSetUp saved = SetUpLibrary.in(home.resolve("library")).read(id);
    assertThat(saved.measurements()).hasSize(2);
    assertThat(saved.along("x").get(0).averages()).isEqualTo(4);
    close();

    open();
    press("job-open-0");
    waitUntil("the job is open again", () -> desk.folder().isPresent());
    waitUntil("with its plan", () -> desk.results().plan().ready());
    assertThat(desk.job().cut().text(CutField.SPEED)).isEqualTo(speed);
    assertThat(onEvents(this::averages)).isEqualTo(4);
    shoot("again");
    System.out.printf(Locale.ROOT, "first page to plan: %.1f s%n", seconds);
  }

  private static int firstKept(JTable taps) {
    for (int row = 0; row < taps.getRowCount(); row++) {
      if (Boolean.TRUE.equals(taps.getValueAt(row, 0))) {
        return row;
      }
    }
    throw new AssertionError("no tap is kept");
  }

  private static Point onScreen(Plot plot, double x, double y) {
    Point p = plot.toScreen(x, y);
    Point corner = ((Component) plot).getLocationOnScreen();
    return new Point(corner.x + p.x, corner.y + p.y);
  }
}
