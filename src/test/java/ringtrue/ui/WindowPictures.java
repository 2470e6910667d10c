package ringtrue.ui;

import java.awt.Insets;
import java.awt.Rectangle;
import java.awt.image.BufferedImage;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Locale;
import javax.imageio.ImageIO;
import javax.swing.JButton;
import javax.swing.JLabel;
import ringtrue.ui.desk.Settings;
import ringtrue.ui.desk.StageId;

/**
 * Makes the pictures of the window: the job on the simulated machine, from the first page to
 * listening, pressing what the window suggests. Run by {@code src/site/window-pictures}.
 */
public final class WindowPictures extends WindowHarness {
  private static final double LONGEST_S = 120;

  private final Path folder;
  private final String ending;
  private final int width;
  private final int height;

  private WindowPictures(Path folder, String ending, int width, int height) {
    this.folder = folder;
    this.ending = ending;
    this.width = width;
    this.height = height;
  }

  /**
   * @param args folder for the pictures, light or dark, width and height of the window in pixels;
   *     the scale comes from the property {@code flatlaf.uiScale}
   */
  public static void main(String[] args) throws Exception {
    String scale = System.getProperty("flatlaf.uiScale", "1");
    WindowPictures pictures =
        new WindowPictures(
            Path.of(args[0]),
            String.format(
                Locale.ROOT,
                "%s-%sx%s-%.0f.png",
                args[1],
                args[2],
                args[3],
                100 * Double.parseDouble(scale)),
            Integer.parseInt(args[2]),
            Integer.parseInt(args[3]));
    pictures.make(args[1]);
    System.exit(0);
  }

  private void make(String theme) throws Exception {
    Files.createDirectories(folder);
    home = Files.createTempDirectory("ringtrue-pictures");
    Settings.NONE.with("theme", theme).with("sounds", false).write(home);
    openWindow();
    onEvents(
        () -> {
          frame.setBounds(0, 0, width, height);
          return null;
        });
    settle();
    picture("first-page");
    press("begin-simulated");
    waitUntil("a job is open", () -> desk.folder().isPresent());
    int same = 0;
    StageId seen = null;
    while (seen != StageId.LISTEN && same < 60) {
      settle();
      StageId now = onEvents(() -> desk.stage());
      same = now == seen ? same + 1 : 0;
      seen = now;
      String name = now.name().toLowerCase(Locale.ROOT).replace('_', '-');
      if (now != StageId.TAPS) {
        picture(name + (same > 0 ? same + 1 : ""));
      } else if (find("taps-cautions-so") != null) {
        picture("taps-cautions");
      } else if (find("taps-state") instanceof JLabel said && said.getText().contains("KEPT")) {
        picture("taps");
      }
      if (find("next-step") instanceof JButton next && next.isEnabled()) {
        press("next-step");
      }
    }
    Thread.sleep(4000); // the sound of the simulated cut comes in its own time
    settle();
    picture("listen2");
    press("stage-set-up");
    settle();
    picture("set-up");
    keys("ctrl S");
    settle();
    keys("ctrl shift L");
    settle();
    picture("saved");
    closeWindow();
  }

  /** Waits until nothing is being worked on and nothing is being tapped. */
  private void settle() throws InterruptedException {
    long end = System.nanoTime() + (long) (LONGEST_S * 1e9);
    int quiet = 0;
    while (quiet < 6 && System.nanoTime() < end) {
      Thread.sleep(200);
      try {
        boolean rests =
            onEvents(
                () -> desk.tasks().running().isEmpty() && (find("next-step") == null || usable()));
        quiet = rests ? quiet + 1 : 0;
      } catch (Exception e) {
        throw new IllegalStateException(e);
      }
    }
  }

  private boolean usable() {
    return find("next-step").isEnabled();
  }

  private void picture(String name) throws Exception {
    robot.mouseMove(width - 2, height - 2);
    robot.waitForIdle();
    Rectangle bounds = onEvents(() -> frame.getBounds());
    Insets insets = onEvents(() -> frame.getInsets());
    bounds.x += insets.left;
    bounds.y += insets.top;
    BufferedImage image = robot.createScreenCapture(bounds);
    ImageIO.write(image, "png", folder.resolve(name + "-" + ending).toFile());
  }
}
