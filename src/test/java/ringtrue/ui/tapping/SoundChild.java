package ringtrue.ui.tapping;

import java.awt.Component;
import java.awt.Robot;
import java.io.File;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Map;
import javax.swing.JComboBox;
import javax.swing.JLabel;
import javax.swing.JTextField;
import ringtrue.acquisition.BlowPlan;
import ringtrue.acquisition.RigChannel;
import ringtrue.acquisition.VirtualRig;
import ringtrue.acquisition.WavWriter;
import ringtrue.dynamics.Mode;
import ringtrue.ui.WindowHarness;
import ringtrue.ui.desk.StageId;
import ringtrue.ui.job.Direction;
import ringtrue.ui.job.Job;
import ringtrue.ui.kit.Notice;

/**
 * The real window in a process that hears a sound server of the test's own, worked as a person
 * would; writes what it saw in lines.
 */
final class SoundChild extends WindowHarness {
  private SoundChild() {}

  /**
   * @param args the user's folder, what to do, and the sound server's process
   */
  public static void main(String[] args) {
    int code = 1;
    try {
      SoundChild child = new SoundChild();
      child.home = Path.of(args[0]);
      child.robot = new Robot();
      child.robot.setAutoDelay(8);
      child.open();
      child.begin();
      switch (args[1]) {
        case "tap" -> child.tap();
        case "unplug" -> child.unplug(Long.parseLong(args[2]));
        default -> child.nothing();
      }
      child.close();
      code = 0;
    } catch (Throwable e) {
      e.printStackTrace(System.out);
    }
    System.out.flush();
    Runtime.getRuntime().halt(code);
  }

  private static void say(String line) {
    System.out.println(line);
    System.out.flush();
  }

  private void begin() throws Exception {
    onEvents(
        () -> {
          desk.settings(s -> s.with("sounds", false));
          frame.setSize(1380, 860);
          desk.begin(Job.EMPTY, () -> desk.go(StageId.TAPS));
          return null;
        });
    waitUntil("inputs were looked for", () -> find("taps-source-refresh") != null);
    robot.delay(300);
    waitUntil("inputs were looked for", () -> find("taps-source-refresh").isEnabled());
  }

  private String text(String name) {
    Component c = find(name);
    return c instanceof Notice n ? n.text() : c instanceof JLabel l ? l.getText() : "";
  }

  private boolean offers(String part) {
    JComboBox<?> sources = (JComboBox<?>) find("taps-source");
    for (int i = 0; i < sources.getItemCount(); i++) {
      if (String.valueOf(sources.getItemAt(i)).contains(part)) {
        return true;
      }
    }
    return false;
  }

  private void choose(String part) throws Exception {
    JComboBox<?> sources = seen(JComboBox.class, "taps-source");
    waitUntil(part + " is offered", () -> offers(part));
    String all =
        onEvents(
            () -> {
              StringBuilder words = new StringBuilder();
              for (int i = 0; i < sources.getItemCount(); i++) {
                String item = String.valueOf(sources.getItemAt(i));
                words.append(item).append(" | ");
                if (item.contains(part)) {
                  sources.setSelectedIndex(i);
                }
              }
              return words + "-> " + sources.getSelectedItem();
            });
    say("inputs " + all);
    robot.waitForIdle();
  }

  private void fill(String name, String text) throws Exception {
    onEvents(
        () -> {
          ((JTextField) find("taps-sensor-" + name)).setText(text);
          return null;
        });
  }

  private void sensors() throws Exception {
    for (Map.Entry<String, String> each :
        Map.of(
                "force-full-scale", "0.2 V",
                "force-sensitivity", "2.25 mV/N",
                "response-full-scale", "1 V",
                "response-sensitivity", "1.04 mV/(m/s^2)",
                "sensor-mass", "0.6 g")
            .entrySet()) {
      fill(each.getKey(), each.getValue());
    }
  }

  /** Forty blows at an invented tool, one after the other, with a person's pauses. */
  private Path blows() throws Exception {
    Path file = home.resolve("blows.wav");
    if (!Files.exists(file)) {
      VirtualRig rig =
          VirtualRig.of(Mode.of(1240, 0.02, 8e6), Mode.of(310, 0.03, 2e7))
              .withInputs(
                  RigChannel.of(2.25e-3, 0.2).withNoise(2e-5).withBits(16),
                  RigChannel.of(1.04e-3, 1).withNoise(1e-4).withBits(16));
      BlowPlan plan = BlowPlan.of(40, 1.5, 40, 1e-3).withSpread(0.1, 0.1, 0.05, 0);
      WavWriter.write(
          rig.record("blows", 48_000, 60, plan.blows(5), 5),
          file,
          WavWriter.SampleFormat.INT16,
          false);
    }
    return file;
  }

  private Process play() throws Exception {
    return new ProcessBuilder("paplay", "--device=taps", blows().toString())
        .redirectErrorStream(true)
        .redirectOutput(new File("/dev/null"))
        .start();
  }

  /** Starts where a sound input gives the taps, once without saying what the sensors are. */
  private Process start() throws Exception {
    choose("(sound input)");
    shoot("chosen");
    if (find("taps-cautions-so") != null) {
      press("taps-cautions-so");
    }
    press("taps-start");
    robot.delay(400);
    say("without sensors " + text("taps-state"));
    shoot("no-sensors");
    sensors();
    Process player = play();
    press("taps-start");
    waitUntil("it runs", () -> find("taps-stop") != null);
    waitUntil("it waits for a tap", () -> !text("taps-state").equals("WAIT"));
    say("runs " + text("taps-state"));
    shoot("waits");
    return player;
  }

  private void tap() throws Exception {
    Process player = start();
    waitUntil("a tap is kept", () -> text("taps-state").startsWith("KEPT"));
    shoot("kept");
    waitUntil(
        "five are kept",
        () ->
            find("taps-start") != null && desk.results().of(Direction.TOOL_X).value().isPresent());
    player.destroy();
    robot.delay(500);
    shoot("done");
    say("done " + text("taps-state"));
    say("notice " + text("taps-notice"));
    // the same sensors as a profile, used after the window was opened again
    onEvents(
        () -> {
          ((JTextField) find("taps-profile-name")).setText("bench box");
          return null;
        });
    press("taps-profile-keep");
    waitUntil(
        "the profile is chosen",
        () ->
            String.valueOf(((JComboBox<?>) find("taps-source")).getSelectedItem())
                .equals("bench box (profile)"));
    shoot("profile");
    close();
    Files.writeString(home.resolve("inputs").resolve("broken.json"), "{ half");
    open();
    begin();
    waitUntil("the profile is there", () -> text("taps-source-about").contains("broken.json"));
    JComboBox<?> sources = seen(JComboBox.class, "taps-source");
    say("after restart " + onEvents(sources::getSelectedItem));
    say("about " + text("taps-source-about"));
    shoot("restarted");
    press("taps-cautions-so");
    player = play();
    press("taps-start");
    waitUntil("it runs", () -> find("taps-stop") != null);
    waitUntil("a tap is kept", () -> text("taps-state").startsWith("KEPT"));
    keys("ESCAPE");
    waitUntil("stopped", () -> find("taps-start") != null);
    waitUntil("it is read", () -> desk.results().of(Direction.TOOL_X).value().isPresent());
    player.destroy();
    shoot("by-profile");
    say("by profile " + text("taps-state"));
  }

  private void unplug(long server) throws Exception {
    Process player = start();
    waitUntil("a tap is kept", () -> text("taps-state").startsWith("KEPT"));
    ProcessHandle.of(server).orElseThrow().destroyForcibly();
    waitUntil("it has ended", () -> find("taps-start") != null);
    player.destroy();
    waitUntil("it is read", () -> desk.results().of(Direction.TOOL_X).value().isPresent());
    robot.delay(300);
    shoot("unplugged");
    say("notice " + text("taps-notice"));
    say("state " + text("taps-state"));
    say("kept " + desk.results().of(Direction.TOOL_X).value().get().taps().isPresent());
    press("taps-source-refresh");
    robot.delay(400);
    waitUntil("looked again", () -> find("taps-source-refresh").isEnabled());
    shoot("looked-again");
    say("about " + text("taps-source-about"));
  }

  private void nothing() throws Exception {
    waitUntil("it is said", () -> text("taps-source-about").contains("Look again"));
    shoot("nothing");
    say("about " + text("taps-source-about"));
  }
}
