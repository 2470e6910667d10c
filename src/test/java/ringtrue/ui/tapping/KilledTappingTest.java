package ringtrue.ui.tapping;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.File;
import java.net.URL;
import java.net.URLClassLoader;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import ringtrue.acquisition.Child;
import ringtrue.acquisition.TapLog;
import ringtrue.signal.Tap;
import ringtrue.ui.WindowHarness;
import ringtrue.ui.desk.DirectionResult;
import ringtrue.ui.desk.StageId;
import ringtrue.ui.job.Direction;
import ringtrue.ui.job.JobFolder;

/** The window is killed in the middle of tapping. */
@Timeout(value = 120, threadMode = Timeout.ThreadMode.SEPARATE_THREAD)
class KilledTappingTest extends WindowHarness {

  @Test
  void everyAnnouncedTapIsThere() throws Exception {
    try (Child child = Child.start(Map.of(), command(TappingChild.class, home.toString()))) {
      assertThat(child.says("KEPT 3", 60)).as("%s", child.lines()).isTrue();
      child.process.destroyForcibly();
      child.ends(10);
    }
    List<JobFolder.Found> jobs = JobFolder.in(home.resolve("jobs"));
    assertThat(jobs).hasSize(1);
    assertThat(jobs.get(0).brokenOff()).isTrue();
    assertThat(jobs.get(0).job().measured(Direction.TOOL_X)).isPresent();
    Path folder = jobs.get(0).folder();
    List<TapLog.Entry> announced = TapLog.read(folder.resolve("tool-x.taps.jsonl")).taps();

    List<String> said = new ArrayList<>();
    onEvents(
        () -> {
          desk.onSay(said::add);
          desk.resume(folder, () -> desk.go(StageId.TAPS));
          return null;
        });
    waitUntil(
        "taps are there or something is said",
        () -> !said.isEmpty() || desk.results().of(Direction.TOOL_X).value().isPresent());
    assertThat(said).isEmpty();
    waitUntil("taps are there", () -> desk.results().of(Direction.TOOL_X).value().isPresent());
    DirectionResult result = desk.results().of(Direction.TOOL_X).value().orElseThrow();
    List<Tap> taps = result.taps().orElseThrow().averaged().taps();
    long kept = announced.stream().filter(t -> t.verdict().equals("kept")).count();
    assertThat(kept).isGreaterThanOrEqualTo(3);
    for (TapLog.Entry each : announced) {
      Tap tap = taps.get(each.tap() - 1);
      assertThat(tap.onsetS()).isEqualTo(each.numbers().get("onsetS"), within(0.002));
      assertThat(tap.verdict().word()).as("tap %d", each.tap()).isEqualTo(each.verdict());
    }
    shoot("recovered");
    keys("F8");
    waitUntil(
        "cautions come first", () -> find("taps-cautions-so") != null || find("taps-stop") != null);
    try (Stream<Path> files = Files.list(folder)) {
      assertThat(files.map(f -> f.getFileName().toString()))
          .contains("tool-x.wav", "tool-x.json", "tool-x.taps.jsonl");
    }
  }

  private static org.assertj.core.data.Offset<Double> within(double s) {
    return org.assertj.core.data.Offset.offset(s);
  }

  /** That starts a main class of the tests in a process of its own. */
  static String[] command(Class<?> main, String... args) {
    List<String> command = new ArrayList<>();
    command.add(Path.of(System.getProperty("java.home"), "bin", "java").toString());
    command.addAll(List.of("-Xmx512m", "-XX:TieredStopAtLevel=1", "-cp", classPath()));
    command.add(main.getName());
    command.addAll(List.of(args));
    return command.toArray(String[]::new);
  }

  /** That of the tests, however they were started. */
  private static String classPath() {
    ClassLoader loader = TappingChild.class.getClassLoader();
    if (loader instanceof URLClassLoader urls) {
      return Arrays.stream(urls.getURLs())
          .map(URL::getPath)
          .collect(Collectors.joining(File.pathSeparator));
    }
    return System.getProperty("java.class.path");
  }
}
