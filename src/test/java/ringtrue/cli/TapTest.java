package ringtrue.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class TapTest {
  private static final ObjectMapper JSON = new ObjectMapper();

  @TempDir Path folder;

  @Test
  void tapsOfTheSimulatedMachineGoOnToTheResponse() throws IOException {
    CommandRun run =
        tap("--input", "rig:tool-8mm-x", "--taps", "4", "--json", "--pace", "1000", "--quiet");
    assertThat(run.code()).as(run.err()).isZero();
    assertThat(run.err()).contains("locked out").contains("edges covered").contains("Eye");
    List<JsonNode> events = events(run);
    assertThat(events)
        .extracting(e -> e.get("event").asText())
        .contains("listening", "ready", "tap");
    JsonNode result = events.get(events.size() - 1);
    assertThat(result.get("event").asText()).isEqualTo("result");
    assertThat(result.get("kept").asInt()).isEqualTo(4);

    CommandRun frf = CommandRun.of("frf", file("try.json"), "--json");
    assertThat(frf.code()).as(frf.err()).isZero();
    JsonNode later = JSON.readTree(frf.out());
    assertThat(later.get("averages").asInt()).isEqualTo(4);
    assertThat(later.get("frequencyHz")).isEqualTo(result.get("frequencyHz"));
    for (String part : List.of("realMPerN", "imagMPerN", "coherence")) {
      for (int i = 0; i < later.get(part).size(); i++) {
        double wanted = later.get(part).get(i).asDouble();
        assertThat(result.get(part).get(i).asDouble())
            .isCloseTo(wanted, within(1e-9 * Math.abs(wanted)));
      }
    }
    // The second tap's hammer bounces in this series: its verdict is kept beside the recording.
    List<String> log = Files.readAllLines(folder.resolve("try.taps.jsonl"));
    assertThat(log).anyMatch(l -> l.contains("\"double hit\"") && l.contains("\"tap\":3"));
  }

  @Test
  void aRecordingIsReplayedWithItsOwnSensors() throws IOException {
    String described = Files.readString(Path.of("demo-measurements/tool-10mm-y.json"));
    Files.writeString(
        folder.resolve("try.json"), described.replaceAll("\"recordings\": \\[[^\\]]*\\],", ""));
    CommandRun run =
        tap(
            "--input",
            "demo-measurements/tool-10mm-y.wav",
            "--taps",
            "0",
            "--pace",
            "1000",
            "--quiet");
    assertThat(run.code()).as(run.err()).isZero();
    assertThat(run.out()).contains("LISTENING").contains("TAP NOW").contains("KEPT 1");
    assertThat(run.out()).contains("SET ASIDE: double hit").contains("take sensor, cable");
    JsonNode written = JSON.readTree(Files.readString(folder.resolve("try.json")));
    assertThat(written.get("recordings").get(0).asText()).isEqualTo("try.wav");
    assertThat(written.get("force").get("sensitivity").asText()).isEqualTo("2.25 mV/N");
    assertThat(written.get("processing").get("rejected")).isNotEmpty();
  }

  @Test
  void nothingIsReplacedUnlessAsked() throws IOException {
    String[] some = {"--input", "rig:tool-8mm-y", "--taps", "1", "--pace", "1000", "--quiet"};
    assertThat(tap(some).code()).isZero();
    byte[] before = Files.readAllBytes(folder.resolve("try.wav"));
    CommandRun again = tap(some);
    assertThat(again.code()).isEqualTo(2);
    assertThat(again.err()).contains("is there already");
    assertThat(Files.readAllBytes(folder.resolve("try.wav"))).isEqualTo(before);
    Files.delete(folder.resolve("try.wav"));
    Files.delete(folder.resolve("try.taps.jsonl"));
    assertThat(tap(some).err()).contains("names recordings already");
    List<String> more = new ArrayList<>(List.of(some));
    more.add("--overwrite");
    assertThat(tap(more.toArray(new String[0])).code()).isZero();
  }

  @Test
  void whatCannotBeIsSaidInOneLine() throws IOException {
    assertProblem("there is no input \"mixer\"", "--input", "mixer");
    assertProblem("did you mean rig:tool-8mm-x", "--input", "rig:tool-8mm-z");
    assertProblem("must be LO:HI", "--input", "rig:tool-8mm-x", "--band", "3000");
    assertProblem("must rise", "--input", "rig:tool-8mm-x", "--band", "3000:50");
    assertProblem(
        "more than half the sample rate", "--input", "rig:tool-8mm-x", "--band", "50:30000");
    assertProblem("must lie between 0 and 1", "--input", "rig:tool-8mm-x", "--coherence", "2");
    assertProblem(
        "it must say what the sensors are", "--input", "demo-measurements/tool-8mm-x.wav");
    assertThat(folder).isEmptyDirectory();
  }

  private void assertProblem(String part, String... options) {
    CommandRun run = tap(options);
    assertThat(run.code()).isEqualTo(2);
    String complaint = run.err().substring(run.err().indexOf("ringtrue:"));
    assertThat(complaint).contains(part);
    assertThat(complaint.trim()).doesNotContain("\n");
  }

  private CommandRun tap(String... options) {
    List<String> all = new ArrayList<>(List.of("tap"));
    all.addAll(List.of(options));
    all.addAll(List.of("--yes", "--out", file("try.wav"), file("try.json")));
    return CommandRun.of(all.toArray(new String[0]));
  }

  private String file(String name) {
    return folder.resolve(name).toString();
  }

  private static List<JsonNode> events(CommandRun run) throws IOException {
    List<JsonNode> events = new ArrayList<>();
    for (String line : run.out().split("\n")) {
      events.add(JSON.readTree(line));
    }
    return events;
  }
}
