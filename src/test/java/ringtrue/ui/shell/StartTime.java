package ringtrue.ui.shell;

import java.awt.Window;
import java.lang.management.ManagementFactory;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import javax.swing.SwingUtilities;

/**
 * How long it takes from the start of the process until the window is seen and painted; writes it
 * to a file and ends.
 */
final class StartTime {
  private StartTime() {}

  public static void main(String[] arguments) throws Exception {
    long began = ManagementFactory.getRuntimeMXBean().getStartTime();
    RingtrueWindow.open(List.of(), "measured");
    while (true) {
      boolean[] there = new boolean[1];
      SwingUtilities.invokeAndWait(
          () -> {
            for (Window each : Window.getWindows()) {
              if ("main-window".equals(each.getName()) && each.isShowing()) {
                there[0] = true;
              }
            }
          });
      if (there[0]) {
        break;
      }
      Thread.sleep(5);
    }
    SwingUtilities.invokeAndWait(() -> {}); // what was to be painted is painted
    long ms = System.currentTimeMillis() - began;
    Files.writeString(Path.of(arguments[0]), ms + " ms\n");
    Runtime.getRuntime().halt(0);
  }
}
