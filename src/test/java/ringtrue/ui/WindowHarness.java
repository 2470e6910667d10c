package ringtrue.ui;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.fail;

import java.awt.AWTException;
import java.awt.Component;
import java.awt.Container;
import java.awt.GraphicsEnvironment;
import java.awt.Point;
import java.awt.Rectangle;
import java.awt.Robot;
import java.awt.Toolkit;
import java.awt.Window;
import java.awt.event.InputEvent;
import java.awt.event.KeyEvent;
import java.awt.image.BufferedImage;
import java.io.File;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.lang.management.ManagementFactory;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collections;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.Callable;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.FutureTask;
import java.util.concurrent.TimeUnit;
import java.util.function.BooleanSupplier;
import java.util.stream.Stream;
import javax.imageio.ImageIO;
import javax.swing.KeyStroke;
import javax.swing.SwingUtilities;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Assumptions;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.io.CleanupMode;
import org.junit.jupiter.api.io.TempDir;
import ringtrue.library.Catalogue;
import ringtrue.library.SetUpLibrary;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.desk.Settings;
import ringtrue.ui.kit.Theme;
import ringtrue.ui.shell.MainFrame;
import ringtrue.ui.shell.RingtrueWindow;

/**
 * A real window on a display, worked by {@link Robot} the way a person works it: by pressing what
 * is seen. Components are found by their names. Each test has a user's folder of its own. At its
 * end each asserts that no event held the event thread for long; with {@code -Dringtrue.held=30}
 * what held it for more than 30 ms is told instead.
 *
 * <p>Needs a display: {@code mvn test -Dringtrue.headless=false -Dtest=...}; skipped without one.
 */
public abstract class WindowHarness {
  /**
   * Own time that no event should exceed, of the processor and waiting, ms; told where one does.
   */
  private static final double AIM_MS = 50;

  /** Own time with which a test fails, ms: what runs for the first time is not compiled yet. */
  private static final double LONGEST_MS = 100;

  /** The same while more programs run than there are processors, ms. */
  private static final double LONGEST_BUSY_MS = 200;

  /** From which load on, for each processor, the machine is busy. */
  private static final double BUSY = 1.5;

  /** The same on the clock, which counts what else goes on in the machine, ms. */
  private static final double LATEST_MS = 1000;

  private static final long PATIENCE_NANOS = 30_000_000_000L;

  /** Removed by {@link #closeWindow}: work in the background may still end when a test does. */
  @TempDir(cleanup = CleanupMode.NEVER)
  protected Path home;

  protected Robot robot;
  protected Desk desk;
  protected MainFrame frame;
  private CountDownLatch ended;
  private CpuWatch watch;

  /** One that waits for a window that is never idle, as while taps come, a short time only. */
  private static final class Patient extends Robot {
    private static final long IDLE_MS = 700;

    private final Robot asking = new Robot();
    private Thread waiting;

    Patient() throws AWTException {}

    @Override
    public synchronized void waitForIdle() {
      try {
        if (waiting == null || !waiting.isAlive()) {
          waiting = new Thread(asking::waitForIdle, "idle");
          waiting.setDaemon(true);
          waiting.start();
          waiting.join(IDLE_MS);
        } else {
          Thread.sleep(IDLE_MS / 4);
        }
      } catch (InterruptedException e) {
        Thread.currentThread().interrupt();
      }
    }
  }

  @BeforeEach
  void openWindow() throws Exception {
    Assumptions.assumeFalse(GraphicsEnvironment.isHeadless(), "there is no display");
    robot = new Patient();
    robot.setAutoDelay(8);
    open();
    watch = CpuWatch.begin();
  }

  /** Opens a window on what lies in the user's folder. */
  protected void open() throws Exception {
    Settings settings = Settings.read(home);
    Catalogue catalogue = Catalogue.bundled();
    ended = new CountDownLatch(1);
    onEvents(
        () -> {
          if (watch != null) {
            watch.leaveOut(); // nothing is seen yet
          }
          Theme.prepare(settings);
          desk =
              RingtrueWindow.desk(
                  home, settings, SetUpLibrary.in(home.resolve("library")), catalogue);
          frame = new MainFrame(desk, "test", ended::countDown);
          frame.open();
          frame.setLocation(0, 0);
          return null;
        });
    waitUntil("the window is seen", () -> frame.isShowing());
    robot.waitForIdle();
  }

  @AfterEach
  void closeWindow() throws Exception {
    if (frame != null) {
      close();
    }
    if (home != null) {
      removeHome();
    }
    if (watch != null) {
      watch.close();
      nothingHeld();
    }
  }

  private void removeHome() throws InterruptedException {
    for (int i = 0; i < 30 && Files.exists(home); i++) {
      try (Stream<Path> all = Files.walk(home)) {
        for (Path each : all.sorted(Comparator.reverseOrder()).toList()) {
          Files.deleteIfExists(each);
        }
      } catch (IOException | UncheckedIOException e) {
        Thread.sleep(100); // something is still being written there
      }
    }
  }

  /** Closes the window in order. */
  protected void close() throws Exception {
    onEvents(
        () -> {
          frame.end();
          return null;
        });
    assertThat(ended.await(20, TimeUnit.SECONDS)).as("the window has ended in order").isTrue();
    frame = null;
  }

  // ---- asking

  /** Runs something on the event thread and waits for its answer, half a minute at most. */
  protected <T> T onEvents(Callable<T> what) throws Exception {
    FutureTask<T> task = new FutureTask<>(what);
    SwingUtilities.invokeLater(task);
    return task.get(PATIENCE_NANOS, TimeUnit.NANOSECONDS);
  }

  /** Waits until something asked on the event thread holds; fails after half a minute. */
  protected void waitUntil(String what, BooleanSupplier holds) {
    waitUntil(what, PATIENCE_NANOS, holds);
  }

  protected void waitUntil(String what, long patienceNanos, BooleanSupplier holds) {
    long end = System.nanoTime() + patienceNanos;
    try {
      while (System.nanoTime() < end) {
        if (onEvents(holds::getAsBoolean)) {
          return;
        }
        Thread.sleep(20);
      }
    } catch (Exception e) {
      throw new AssertionError("while waiting until " + what, e);
    }
    shoot("failed");
    fail("waited in vain until " + what);
  }

  /** Finds a component that is seen, by its name; null if there is none. */
  protected Component find(String name) {
    for (Window window : Window.getWindows()) {
      if (window.isShowing()) {
        Component found = find(window, name);
        if (found != null) {
          return found;
        }
      }
    }
    return null;
  }

  private static Component find(Component in, String name) {
    if (name.equals(in.getName()) && in.isShowing()) {
      return in;
    }
    if (in instanceof Container container) {
      for (Component child : container.getComponents()) {
        Component found = find(child, name);
        if (found != null) {
          return found;
        }
      }
    }
    return null;
  }

  /** Waits for a component to be seen and usable. */
  protected <T extends Component> T seen(Class<T> type, String name) {
    waitUntil(
        name + " is seen and can be used", () -> find(name) != null && find(name).isEnabled());
    Component found = find(name);
    assertThat(found).as(name).isInstanceOf(type);
    return type.cast(found);
  }

  // ---- doing

  /** Presses what is seen, in its middle. */
  protected void press(String name) {
    Point at = resting(name);
    robot.mouseMove(at.x, at.y);
    robot.mousePress(InputEvent.BUTTON1_DOWN_MASK);
    robot.mouseRelease(InputEvent.BUTTON1_DOWN_MASK);
    robot.waitForIdle();
  }

  /** Where something is once it does not move any more, as while what is around it comes. */
  private Point resting(String name) {
    Point before = middle(seen(Component.class, name));
    for (int i = 0; i < 20; i++) {
      robot.delay(70);
      Point now = middle(seen(Component.class, name));
      if (now.equals(before)) {
        return now;
      }
      before = now;
    }
    return before;
  }

  private Point middle(Component c) {
    try {
      return onEvents(
          () -> {
            if (c.getParent() instanceof javax.swing.JComponent around) {
              around.scrollRectToVisible(c.getBounds()); // a text field scrolls its text only
            }
            Point p = c.getLocationOnScreen();
            return new Point(p.x + c.getWidth() / 2, p.y + c.getHeight() / 2);
          });
    } catch (Exception e) {
      throw new AssertionError(e);
    }
  }

  /** Drags from one place on the screen to another in small steps. */
  protected void drag(Point from, Point to) {
    robot.mouseMove(from.x, from.y);
    robot.mousePress(InputEvent.BUTTON1_DOWN_MASK);
    int steps = 12;
    for (int i = 1; i <= steps; i++) {
      robot.mouseMove(from.x + (to.x - from.x) * i / steps, from.y + (to.y - from.y) * i / steps);
    }
    robot.mouseRelease(InputEvent.BUTTON1_DOWN_MASK);
    robot.waitForIdle();
  }

  /** Presses keys, as "ctrl Z" or "SPACE". */
  protected void keys(String keys) {
    KeyStroke stroke = KeyStroke.getKeyStroke(keys);
    List<Integer> held = new ArrayList<>();
    if ((stroke.getModifiers() & InputEvent.CTRL_DOWN_MASK) != 0) {
      held.add(KeyEvent.VK_CONTROL);
    }
    if ((stroke.getModifiers() & InputEvent.SHIFT_DOWN_MASK) != 0) {
      held.add(KeyEvent.VK_SHIFT);
    }
    if ((stroke.getModifiers() & InputEvent.ALT_DOWN_MASK) != 0) {
      held.add(KeyEvent.VK_ALT);
    }
    held.forEach(robot::keyPress);
    robot.keyPress(stroke.getKeyCode());
    robot.keyRelease(stroke.getKeyCode());
    Collections.reverse(held);
    held.forEach(robot::keyRelease);
    robot.waitForIdle();
  }

  /** Presses a text field, empties it, and types lower-case letters, digits, space, dot, minus. */
  protected void type(String name, String text) {
    press(name);
    keys("ctrl A");
    for (char c : text.toCharArray()) {
      boolean upper = Character.isUpperCase(c);
      if (upper) {
        robot.keyPress(KeyEvent.VK_SHIFT);
      }
      int code = KeyEvent.getExtendedKeyCodeForChar(c);
      robot.keyPress(code);
      robot.keyRelease(code);
      if (upper) {
        robot.keyRelease(KeyEvent.VK_SHIFT);
      }
    }
    robot.waitForIdle();
  }

  /** A picture of the whole display, into target/window-pictures. */
  protected void shoot(String name) {
    try {
      robot.waitForIdle();
      Rectangle screen = new Rectangle(Toolkit.getDefaultToolkit().getScreenSize());
      BufferedImage image = robot.createScreenCapture(screen);
      Path folder = Path.of("target", "window-pictures");
      Files.createDirectories(folder);
      File file = folder.resolve(getClass().getSimpleName() + "-" + name + ".png").toFile();
      ImageIO.write(image, "png", file);
    } catch (Exception e) {
      throw new AssertionError(e);
    }
  }

  /**
   * Nothing may have held the event thread; what did for longer than is aimed at is told. While
   * other programs take the cores, work takes more of the processor too, as they take its caches;
   * then a wider limit is asserted.
   */
  private void nothingHeld() {
    double load = ManagementFactory.getOperatingSystemMXBean().getSystemLoadAverage();
    boolean busy = load > BUSY * Runtime.getRuntime().availableProcessors();
    String told = System.getProperty("ringtrue.held");
    if (told != null) {
      watch.heavy(Double.parseDouble(told)).forEach(System.out::println);
      return;
    }
    watch
        .heavy(AIM_MS)
        .forEach(
            h -> System.out.printf(Locale.ROOT, "held for %.0f ms: %.90s%n", h.ownMs(), h.event()));
    double longest = busy ? LONGEST_BUSY_MS : LONGEST_MS;
    assertThat(watch.heavy(longest)).as("held the event thread").isEmpty();
    if (!busy) {
      assertThat(watch.late(LATEST_MS)).as("held the event thread, on the clock").isEmpty();
    }
  }
}
