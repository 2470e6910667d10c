package ringtrue.cli;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class LibraryCommandTest {
  private static final ObjectMapper JSON = new ObjectMapper();
  private static final Path DEMO = Path.of("demo-measurements").toAbsolutePath();

  @TempDir Path folder;

  private CommandRun library(String... words) {
    List<String> all = new ArrayList<>(List.of("library"));
    all.addAll(List.of(words));
    all.addAll(List.of("--library", folder.resolve("library").toString()));
    return CommandRun.of(all.toArray(String[]::new));
  }

  private JsonNode json(String... words) throws IOException {
    List<String> all = new ArrayList<>(List.of(words));
    all.add("--json");
    CommandRun run = library(all.toArray(String[]::new));
    assertThat(run.code()).as(run.err()).isZero();
    return JSON.readTree(run.out());
  }

  private Path cut(String dynamics) throws IOException {
    Path file = Files.createTempFile(folder, "cut", ".json");
    Files.writeString(
        file,
        """
        {"format": "ringtrue-cut/1", "name": "trial", "operation": "milling",
         "machine": {"minSpeed": "8000 rpm", "maxSpeed": "20000 rpm"},
         "tool": {"diameter": "8 mm", "flutes": 2, "fluteLength": "20 mm"},
         "material": {"ktc": "800 MPa", "krc": "250 MPa", "range": "20 %%"},
         "engagement": {"direction": "down", "radial": "1 mm", "axial": "2 mm"},
         "speed": "12000 rpm", "feedPerTooth": "0.05 mm", "dynamics": {"tool": %s}}
        """
            .formatted(dynamics));
    return file;
  }

  private CommandRun lobes(Path cut) {
    CommandRun run =
        CommandRun.of(
            "lobes",
            cut.toString(),
            "--speeds",
            "9000:18000:3000",
            "--samples",
            "100",
            "--json",
            "--library",
            folder.resolve("library").toString());
    assertThat(run.code()).as(run.err()).isZero();
    return run;
  }

  /** One saved measurement is that measurement; more clampings widen what the lobes say. */
  @Test
  void aSavedSetUpGivesTheLobesOfItsMeasurement() throws IOException {
    String x = DEMO.resolve("tool-8mm-x.json").toString();
    String y = DEMO.resolve("tool-8mm-y.json").toString();
    JsonNode saved =
        json(
            "save",
            x,
            y,
            "--tool",
            "8 mm three-flute",
            "--stick-out",
            "30 mm",
            "--machine",
            "mill");
    String id = saved.get("id").asText();
    JsonNode whole = JSON.readTree(lobes(cut("{\"saved\": \"" + id + "\"}")).out());
    JsonNode each =
        JSON.readTree(
            lobes(cut("{\"x\": {\"saved\": \"" + id + "\"}, \"y\": {\"saved\": \"" + id + "\"}}"))
                .out());
    JsonNode measured =
        JSON.readTree(
            lobes(
                    cut(
                        "{\"x\": {\"measurement\": \""
                            + x
                            + "\"}, \"y\": {\"measurement\": \""
                            + y
                            + "\"}}"))
                .out());
    for (String field : List.of("limitM", "stableM", "chatterHz", "probability")) {
      assertThat(whole.get(field)).as(field).isEqualTo(measured.get(field));
      assertThat(each.get(field)).as(field).isEqualTo(measured.get(field));
    }
    // clamped again, with another tool's modes near: the mean of both, far less sure
    json("save", DEMO.resolve("tool-10mm-x.json").toString(), "--to", id);
    JsonNode wider = JSON.readTree(lobes(cut("{\"saved\": \"" + id + "\"}")).out());
    assertThat(wider.get("remarks").toString()).contains("mean of 2 clampings");
    assertThat(wider.get("probability").get("limit95M").get(0).asDouble())
        .isLessThan(0.9 * measured.get("probability").get("limit95M").get(0).asDouble());
    String first = saved.get("measurements").get(0).get("id").asText();
    JsonNode named =
        JSON.readTree(
            lobes(
                    cut(
                        "{\"x\": {\"saved\": \""
                            + id
                            + "\", \"measurement\": \""
                            + first
                            + "\"}, \"y\": {\"saved\": \""
                            + id
                            + "\"}}"))
                .out());
    assertThat(named.get("limitM")).isEqualTo(measured.get("limitM"));
    CommandRun compared = library("compare", id, "--axis", "x");
    assertThat(compared.code()).as(compared.err()).isZero();
    assertThat(compared.out()).containsPattern("x, measured [-0-9: ]+: changed");
    assertThat(library("history", id).out()).contains("since the first").contains("2 clampings");
    assertThat(library("show", id).out()).contains("stick-out").contains("30 mm");
    assertThat(json("list", "--axis", "x", "--mode", "1500:1700").get("setUps")).hasSize(1);
    assertThat(json("list", "--machine", "router").get("setUps")).isEmpty();
    outcomes(id);
    bin(id);
  }

  private void outcomes(String id) throws IOException {
    Path cut = cut("{\"saved\": \"" + id + "\"}");
    JsonNode outcome = json("outcome", id, cut.toString(), "chattered", "--at", "1700 Hz");
    assertThat(outcome.get("outcomes")).hasSize(1);
    assertThat(outcome.get("outcomes").get(0).get("chatterHz").asDouble()).isEqualTo(1700);
    Path png = folder.resolve("lobes.png");
    CommandRun lobes =
        CommandRun.of(
            "lobes",
            cut.toString(),
            "--speeds",
            "11000,12000",
            "--png",
            png.toString(),
            "--library",
            folder.resolve("library").toString());
    assertThat(lobes.code()).as(lobes.err()).isZero();
    assertThat(lobes.out()).contains("What cuts did").contains("x chattered at 1700 Hz");
    assertThat(png).isNotEmptyFile();
    Path page = folder.resolve("page.html");
    CommandRun report =
        CommandRun.of(
            "report",
            cut.toString(),
            "--out",
            page.toString(),
            "--library",
            folder.resolve("library").toString());
    assertThat(report.code()).as(report.err()).isZero();
    assertThat(Files.readString(page))
        .contains("What cuts did", "chattered at 1700 Hz", "made and chattered", "--library")
        .contains(" deep, chattered, but the map calls it stable")
        .contains("set-up.json", "modes.json");
    cutWithFiles(id);
  }

  /** What the cut names is kept with it, whatever its format. */
  private void cutWithFiles(String id) throws IOException {
    ringtrue.dynamics.ModalModel model =
        new ringtrue.dynamics.ModalModel(
            List.of(ringtrue.dynamics.Mode.of(1240, 0.016, 2.1e6)),
            ringtrue.dynamics.Residual.NONE);
    Files.writeString(folder.resolve("m.CSV"), ringtrue.library.ModesCsv.toText(model));
    Path cut = cut("{\"x\": {\"modes\": \"m.CSV\"}, \"y\": {\"saved\": \"" + id + "\"}}");
    String kept = json("outcome", id, cut.toString(), "quiet").get("cut").asText();
    Path copy = folder.resolve("library").resolve(id).resolve("cuts").resolve(kept);
    assertThat(copy.resolve("tool-x-modes.csv")).hasSameTextualContentAs(folder.resolve("m.CSV"));
    assertThat(copy.resolve("cut.json")).content().contains("\"tool-x-modes.csv\"");
  }

  private void bin(String id) throws IOException {
    Path zip = folder.resolve("one.zip");
    assertThat(library("export", id, "--out", zip.toString()).code()).isZero();
    assertThat(library("export", id, "--out", zip.toString()).code()).isEqualTo(2);
    assertThat(library("remove", id).code()).isZero();
    assertThat(json("list").get("setUps")).isEmpty();
    assertThat(library("restore", id).code()).isZero();
    String second = json("import", zip.toString()).get("imported").get(0).get("id").asText();
    assertThat(json("compare", second, id).get("differences")).isEmpty();
    assertThat(library("check").code()).isZero();
  }

  @Test
  void complaintsAreOneLine() throws IOException {
    Path notes =
        Files.writeString(folder.resolve("notes.json"), "{\"format\": \"ringtrue-setup/9\"}");
    String[][] bad = {
      {"lst"},
      {"show", "nothing"},
      {"save"},
      {"save", "--tool", "t", "--stick-out", "22"},
      {"save", "--tool", "t", "--flutes", "0"},
      {"save", "--tool", "t", "--set-up", notes.toString()},
      {"save", "missing.json", "--tool", "t"},
      {"save", "--to", "nothing", "--tool", "t"},
      {"list", "--since", "yesterday"},
      {"list", "--mode", "5"},
      {"list", "--outcome", "loud"},
      {"nearest"},
      {"nearest", "--tool", "t", "--count", "0"},
      {"compare", "nothing"},
      {"history", "../.."},
      {"outcome", "nothing", "cut.json", "quiet"},
      {"outcome", "nothing", "cut.json", "loud"},
      {"remove", "nothing"},
      {"restore", "nothing"},
      {"export", "nothing", "--out", "x.txt"},
      {"import", "missing.zip"},
    };
    for (String[] words : bad) {
      CommandRun run = library(words);
      assertThat(run.code()).as(String.join(" ", words)).isEqualTo(2);
      assertThat(run.err()).as(String.join(" ", words)).startsWith("ringtrue: ").hasLineCount(1);
      assertThat(run.out()).as(String.join(" ", words)).isEmpty();
    }
    assertThat(folder.resolve("library")).doesNotExist();
  }
}
