package ringtrue.ui.plot;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;
import static org.junit.jupiter.api.Assumptions.assumeFalse;

import com.formdev.flatlaf.FlatLightLaf;
import java.awt.GraphicsEnvironment;
import java.awt.Point;
import java.awt.Robot;
import java.awt.event.InputEvent;
import java.awt.event.KeyEvent;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Callable;
import java.util.concurrent.FutureTask;
import javax.swing.JFrame;
import javax.swing.SwingUtilities;
import javax.swing.UIManager;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

/** A plot in a real window, pressed by a robot; left out where there is no screen. */
@Timeout(90)
class PlotWindowTest {
  private JFrame window;
  private Plot plot;
  private Robot robot;
  private String lookBefore;
  private final List<String> moved = new ArrayList<>();
  private final List<Optional<String>> picked = new ArrayList<>();

  @BeforeEach
  void open() throws Exception {
    assumeFalse(GraphicsEnvironment.isHeadless(), "there is no screen");
    lookBefore = UIManager.getLookAndFeel().getClass().getName();
    robot = new Robot();
    robot.setAutoDelay(30);
    SwingUtilities.invokeAndWait(
        () -> {
          FlatLightLaf.setup();
          plot = new Plot("window test");
          plot.show(
              PlotContent.of(Axis.linear("x", 0, 100), Axis.linear("y", 0, 10))
                  .title("Window test")
                  .viewKey("w")
                  .curve("line", new double[] {0, 100}, new double[] {0, 10}, Ink.FIRST)
                  .marks(
                      "marks",
                      List.of("a", "b"),
                      new double[] {20, 30},
                      new double[] {8, 8},
                      Mark.CIRCLE,
                      Ink.BAD,
                      List.of("a", "b"))
                  .handle("cut", 70, 3, Ink.ACCENT, "cut")
                  .build());
          plot.onHandle((id, x, y, done) -> moved.add(String.format("%s %s", id, done)));
          plot.onPick((x, y, mark) -> picked.add(mark));
          window = new JFrame("plot");
          window.add(plot);
          window.setSize(700, 500);
          window.setLocation(40, 40);
          window.setVisible(true);
        });
    until(() -> plot.isShowing());
    robot.waitForIdle();
  }

  @AfterEach
  void close() throws Exception {
    if (window != null) {
      SwingUtilities.invokeAndWait(() -> window.dispose());
      UIManager.setLookAndFeel(lookBefore);
    }
  }

  private static <T> T ask(Callable<T> question) throws Exception {
    FutureTask<T> task = new FutureTask<>(question);
    SwingUtilities.invokeAndWait(task);
    return task.get();
  }

  private static void until(Callable<Boolean> condition) throws Exception {
    long end = System.nanoTime() + 10_000_000_000L;
    while (!ask(condition) && System.nanoTime() < end) {
      Thread.sleep(20);
    }
    assertThat(ask(condition)).isTrue();
  }

  private Point screen(double x, double y) throws Exception {
    return ask(
        () -> {
          Point p = plot.toScreen(x, y);
          SwingUtilities.convertPointToScreen(p, plot);
          return p;
        });
  }

  private void drag(Point from, Point to) {
    robot.mouseMove(from.x, from.y);
    robot.mousePress(InputEvent.BUTTON1_DOWN_MASK);
    for (int i = 1; i <= 5; i++) {
      robot.mouseMove(from.x + (to.x - from.x) * i / 5, from.y + (to.y - from.y) * i / 5);
    }
    robot.mouseRelease(InputEvent.BUTTON1_DOWN_MASK);
    robot.waitForIdle();
  }

  @Test
  void zoomPanDragPickAndKeys() throws Exception {
    drag(screen(10, 9), screen(50, 5));
    assertThat(ask(plot::shownX)).containsExactly(new double[] {10, 50}, within(0.5));

    robot.keyPress(KeyEvent.VK_SHIFT);
    drag(screen(20, 6), screen(30, 6));
    robot.keyRelease(KeyEvent.VK_SHIFT);
    robot.waitForIdle();
    assertThat(ask(plot::shownX)).containsExactly(new double[] {0, 40}, within(1.0));

    until(plot::isFocusOwner);
    robot.keyPress(KeyEvent.VK_0);
    robot.keyRelease(KeyEvent.VK_0);
    robot.waitForIdle();
    assertThat(ask(plot::shownX)).containsExactly(0, 100);

    Point here = screen(50, 5);
    robot.mouseMove(here.x, here.y);
    robot.mouseWheel(-2);
    robot.waitForIdle();
    assertThat(ask(() -> plot.shownX()[1] - plot.shownX()[0])).isCloseTo(100 / 1.44, within(0.5));
    assertThat(ask(plot::cursorX)).isCloseTo(50, within(0.5));
    robot.keyPress(KeyEvent.VK_BACK_SPACE);
    robot.keyRelease(KeyEvent.VK_BACK_SPACE);
    robot.waitForIdle();
    assertThat(ask(plot::shownX)).containsExactly(0, 100);

    drag(screen(70, 3), screen(60, 5));
    assertThat(moved).contains("cut false").endsWith("cut true");
    assertThat(ask(() -> plot.placeOf(plot.handleOf("cut").orElseThrow())))
        .containsExactly(new double[] {60, 5}, within(0.5));

    Point mark = screen(30, 8);
    robot.mouseMove(mark.x + 3, mark.y + 2);
    robot.mousePress(InputEvent.BUTTON1_DOWN_MASK);
    robot.mouseRelease(InputEvent.BUTTON1_DOWN_MASK);
    robot.waitForIdle();
    assertThat(picked).containsExactly(Optional.of("b"));
  }

  @Test
  void theMenuOpensByKeyboard() throws Exception {
    Point here = screen(50, 9);
    robot.mouseMove(here.x, here.y);
    robot.mousePress(InputEvent.BUTTON1_DOWN_MASK);
    robot.mouseRelease(InputEvent.BUTTON1_DOWN_MASK);
    until(plot::isFocusOwner);
    robot.keyPress(KeyEvent.VK_SHIFT);
    robot.keyPress(KeyEvent.VK_F10);
    robot.keyRelease(KeyEvent.VK_F10);
    robot.keyRelease(KeyEvent.VK_SHIFT);
    robot.waitForIdle();
    until(() -> javax.swing.MenuSelectionManager.defaultManager().getSelectedPath().length > 0);
    robot.keyPress(KeyEvent.VK_M);
    robot.keyRelease(KeyEvent.VK_M);
    robot.waitForIdle();
    until(() -> plot.noteShown().contains("Wheel"));
  }
}
