package ringtrue.ui.tapping;

import static org.assertj.core.api.Assertions.assertThat;
import static org.junit.jupiter.api.Assumptions.assumeFalse;

import java.awt.GraphicsEnvironment;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;
import ringtrue.acquisition.Child;
import ringtrue.acquisition.SoundServer;

/** Tapping at a sound input in the real window; the input is a sound server of our own. */
@Timeout(value = 150, threadMode = Timeout.ThreadMode.SEPARATE_THREAD)
class SoundWindowTest {
  @TempDir Path folder;

  @BeforeEach
  void there() {
    assumeFalse(GraphicsEnvironment.isHeadless(), "there is no display");
    for (String each : List.of("/usr/bin/pulseaudio", "/usr/bin/paplay", "/usr/bin/pactl")) {
      assumeFalse(!Files.exists(Path.of(each)), "there is no sound server");
    }
  }

  private List<String> child(Map<String, String> environment, String... args) throws Exception {
    String[] all = new String[args.length + 1];
    all[0] = Files.createDirectories(folder.resolve("home")).toString();
    System.arraycopy(args, 0, all, 1, args.length);
    try (Child child = Child.start(environment, KilledTappingTest.command(SoundChild.class, all))) {
      int code = child.ends(140);
      assertThat(code).as("%s", child.lines()).isZero();
      return child.lines();
    }
  }

  @Test
  void tapsThatAreHeard() throws Exception {
    try (SoundServer server = SoundServer.start(folder, 48_000)) {
      List<String> said = child(server.environment(), "tap");
      assertThat(said)
          .contains("done TOOL X: 5 of 5 KEPT", "after restart bench box (profile)")
          .anyMatch(l -> l.startsWith("about An input profile cannot be used: broken.json"))
          .anyMatch(l -> l.startsWith("by profile TOOL X: ") && l.endsWith(" KEPT"));
    }
  }

  @Test
  void theInputGoesWhileTapsCome() throws Exception {
    try (SoundServer server = SoundServer.start(folder, 48_000)) {
      List<String> said = child(server.environment(), "unplug", "" + server.daemon().process.pid());
      assertThat(said)
          .anyMatch(l -> l.startsWith("notice ") && l.endsWith("what was recorded before is kept."))
          .anyMatch(l -> l.startsWith("state TOOL X: ") && l.endsWith(" KEPT"))
          .contains("kept true")
          .anyMatch(l -> l.startsWith("about It is not there now."));
    }
  }

  @Test
  void noInputAtAll() throws Exception {
    assertThat(child(Map.of(), "nothing"))
        .anyMatch(l -> l.startsWith("about ") && l.contains("No sound input was found"))
        .anyMatch(l -> l.endsWith("Connect one, then press Look again."));
  }
}
