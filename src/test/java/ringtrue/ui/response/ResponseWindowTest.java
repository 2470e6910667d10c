package ringtrue.ui.response;

import static org.assertj.core.api.Assertions.assertThat;

import javax.swing.JComboBox;
import org.junit.jupiter.api.Test;
import ringtrue.ui.Jobs;
import ringtrue.ui.WindowHarness;
import ringtrue.ui.desk.StageId;
import ringtrue.ui.job.Direction;
import ringtrue.ui.plot.Plot;

/** The response of the demo tool, looked at from all sides. */
class ResponseWindowTest extends WindowHarness {

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
          desk.resume(job, () -> desk.go(StageId.RESPONSE));
          return null;
        });
    waitUntil("the modes are found", () -> desk.results().of(Direction.TOOL_Y).ready());
    waitUntil("the modes along x are found", () -> desk.results().of(Direction.TOOL_X).ready());
    waitUntil("something is drawn", () -> drawn("response-plot-magnitude"));
    robot.waitForIdle();
    fillScreen();
  }

  private boolean drawn(String name) {
    return find(name) instanceof Plot plot && !plot.content().isEmpty();
  }

  @Test
  void everyViewIsShownAndRemembered() throws Exception {
    openDemo();
    shoot("three");
    for (String keys : new String[] {"ctrl shift T", "ctrl shift I", "ctrl shift N"}) {
      keys(keys);
    }
    waitUntil("all views are drawn", () -> drawn("response-plot-nyquist"));
    waitUntil("the real part is drawn", () -> drawn("response-plot-real"));
    Thread.sleep(300);
    shoot("all");
    keys("ctrl shift C");
    keys("ctrl shift T");
    keys("ctrl shift I");
    waitUntil("coherence is gone", () -> find("response-plot-coherence") == null);
    assertThat(desk.settings().text("response-views", "")).isEqualTo("magnitude phase nyquist");
    press("response-log-frequency");
    keys("ctrl shift F");
    waitUntil(
        "accelerance follows receptance by way of mobility",
        () -> ((JComboBox<?>) find("response-form")).getSelectedItem().equals("mobility"));
    keys("ctrl U");
    waitUntil(
        "inches are shown",
        () ->
            ((Plot) find("response-plot-magnitude"))
                .content()
                .y()
                .label()
                .equals("mobility (in/(s lbf))"));
    keys("ctrl shift E");
    Thread.sleep(500);
    shoot("mobility-inch");
    keys("ctrl shift D");
    Thread.sleep(500);
    shoot("dark");
  }
}
