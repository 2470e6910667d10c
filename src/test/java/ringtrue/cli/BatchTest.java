package ringtrue.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import ringtrue.units.BadInputException;

/** Several files in one command. */
class BatchTest {
  @TempDir Path folder;
  private SmallJob job;

  @BeforeEach
  void job() throws IOException {
    job = SmallJob.in(folder);
    Files.copy(folder.resolve("m.json"), folder.resolve("n.json"));
    Files.writeString(folder.resolve("bad.json"), "{\"format\": \"ringtrue-measurement/1\"");
  }

  private String at(String name) {
    return folder.resolve(name).toString();
  }

  @Test
  void oneBadFileDoesNotStopTheOthers() throws IOException {
    Path out = folder.resolve("out");
    CommandRun run =
        CommandRun.of("frf", at("m.json"), at("bad.json"), at("n.json"), "--out", out.toString());
    assertThat(run.code()).isEqualTo(2);
    assertThat(run.err().lines()).hasSize(1);
    assertThat(run.err()).contains("bad.json");
    assertThat(run.out()).contains("3 of 3 taps, usable", "FAILED: bad.json", "3 files, 1 failed");
    try (Stream<Path> written = Files.list(out)) {
      assertThat(written.map(f -> f.getFileName().toString()))
          .containsExactlyInAnyOrder("m.csv", "n.csv");
    }
  }

  @Test
  void jsonHoldsAnEntryForEachFileErrorsIncluded() throws IOException {
    for (String command : List.of("frf", "modes")) {
      CommandRun run = CommandRun.of(command, at("m.json"), at("bad.json"), "--json");
      JsonNode all = new ObjectMapper().readTree(run.out());
      assertThat(run.code()).isEqualTo(2);
      assertThat(all.get("files").asInt()).isEqualTo(2);
      assertThat(all.get("failed").asInt()).isEqualTo(1);
      JsonNode alone =
          new ObjectMapper().readTree(CommandRun.of(command, at("m.json"), "--json").out());
      JsonNode first = all.get("measurements").get(0);
      alone.properties().forEach(f -> assertThat(first.get(f.getKey())).isEqualTo(f.getValue()));
      assertThat(all.get("measurements").get(1).get("problem").asText()).contains("bad.json");
    }
  }

  @Test
  void cutsAreDoneOneByOneAsWell() throws IOException {
    Files.writeString(folder.resolve("cut.json"), ReportTest.turning());
    Files.copy(folder.resolve("cut.json"), folder.resolve("second.json"));
    for (String command : List.of("lobes", "plan")) {
      String[] speeds =
          command.equals("lobes") ? new String[] {"--speeds", "1200,1800"} : new String[0];
      List<String> args =
          new java.util.ArrayList<>(
              List.of(command, at("cut.json"), at("bad.json"), at("second.json"), "--json"));
      args.addAll(List.of(speeds));
      CommandRun run = CommandRun.of(args.toArray(new String[0]));
      assertThat(run.code()).isEqualTo(2);
      JsonNode cuts = new ObjectMapper().readTree(run.out()).get("cuts");
      assertThat(cuts).hasSize(3);
      assertThat(cuts.get(1).has("problem")).isTrue();
      JsonNode first = cuts.get(0);
      JsonNode third = cuts.get(2);
      first
          .properties()
          .forEach(
              f -> {
                if (!f.getKey().equals("file")) {
                  assertThat(third.get(f.getKey())).as(f.getKey()).isEqualTo(f.getValue());
                }
              });
    }
  }

  @Test
  void starsAreLookedUpWhereTheShellHasNotDoneSo() {
    assertThat(Batch.files(List.of(at("?.json"))))
        .containsExactly(folder.resolve("m.json"), folder.resolve("n.json"));
    assertThat(Batch.files(List.of(at("*.json"))))
        .extracting(p -> p.getFileName().toString())
        .containsExactly("bad.json", "cut.json", "m.json", "n.json");
    assertThat(Batch.files(List.of(at("m.json"), at("m*.json")))).hasSize(1);
    assertThatThrownBy(() -> Batch.files(List.of(at("*.xyz"))))
        .isInstanceOf(BadInputException.class)
        .hasMessageContaining("no file fits");
    assertThatThrownBy(() -> Batch.files(List.of(at("*/m.json"))))
        .hasMessageContaining("not in its folder's");
  }

  @Test
  void neverTwoInputsOntoOneOutput() {
    List<Path> inputs =
        Stream.of("a.json", "b/a.json", "A.csv", "a-1.json", "a-2.json", "A-2.json", "c.json")
            .map(Path::of)
            .toList();
    List<Path> outputs = Batch.outputs(Path.of("out"), inputs, ".png");
    assertThat(outputs).hasSameSizeAs(inputs);
    assertThat(
            new HashSet<>(
                outputs.stream().map(p -> p.toString().toLowerCase(Locale.ROOT)).toList()))
        .hasSameSizeAs(inputs);
    assertThat(outputs.get(6)).isEqualTo(Path.of("out", "c.png"));
  }

  @Test
  void theGravestRemarkIsShown() {
    assertThat(
            Batch.worst(
                List.of(
                    "block length 0.5 s",
                    "the sensor is too heavy",
                    "force and response look swapped")))
        .hasValueSatisfying(r -> assertThat(r).contains("swapped"));
    assertThat(Batch.worst(List.of("pre-trigger 5 ms", "block length 1 s"))).isEmpty();
  }

  @Test
  void severalFilesNeedAFolder() throws IOException {
    Path file = Files.writeString(folder.resolve("x.png"), "mine");
    CommandRun run = CommandRun.of("frf", at("m.json"), at("n.json"), "--png", file.toString());
    assertThat(run.code()).isEqualTo(2);
    assertThat(run.err()).contains("--png", "a folder is needed");
    assertThat(file).hasContent("mine");
  }
}
