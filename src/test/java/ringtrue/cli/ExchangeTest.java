package ringtrue.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Responses and modes out of one command and into another, in every format. */
class ExchangeTest {
  private static final ObjectMapper JSON = new ObjectMapper();

  @TempDir Path folder;
  private SmallJob job;

  @BeforeEach
  void goodFiles() throws IOException {
    job = SmallJob.in(folder);
  }

  private static CommandRun done(String... args) {
    CommandRun run = CommandRun.of(args);
    assertThat(run.code()).as(run.err()).isZero();
    return run;
  }

  private static JsonNode json(String... args) throws IOException {
    return JSON.readTree(done(args).out());
  }

  private String path(String name) {
    return folder.resolve(name).toString();
  }

  /** The small job's cut with other dynamics. */
  private String cut(String name, String dynamics) throws IOException {
    String text = Files.readString(Path.of(job.cut()));
    int start = text.indexOf("\"dynamics\":");
    Path file = folder.resolve(name);
    Files.writeString(file, text.substring(0, start) + "\"dynamics\": " + dynamics + "}");
    return file.toString();
  }

  @Test
  void aUniversalFileGivesTheSameModesAsTheCsv() throws IOException {
    JsonNode byCsv = json("modes", job.response().toString(), "--json").get("modes").get(0);
    for (String form : new String[] {"receptance", "accelerance"}) {
      String unv = path(form + ".unv");
      done("frf", job.measurement(), "--as", form, "--out", unv);
      JsonNode mode = json("modes", unv, "--json").get("modes").get(0);
      for (String field : new String[] {"frequencyHz", "dampingRatio", "stiffnessNPerM"}) {
        double wanted = byCsv.get(field).asDouble();
        // the random error, which weights the fit, is computed again from the coherence
        assertThat(mode.get(field).asDouble()).isCloseTo(wanted, within(1e-4 * wanted));
      }
      assertThat(mode.get("stiffnessNPerM").asDouble()).isCloseTo(2.1e6, within(3e4));
      assertThat(json("modes", unv, "--function", "1", "--json").get("modes")).isNotEmpty();
    }
    CommandRun wrong = CommandRun.of("modes", path("receptance.unv"), "--function", "2");
    assertThat(wrong.code()).isEqualTo(2);
    assertThat(wrong.err()).contains("function 2 is a coherence").hasLineCount(1);
    CommandRun csv = CommandRun.of("modes", job.response().toString(), "--function", "1");
    assertThat(csv.code()).isEqualTo(2);
    assertThat(csv.err()).contains("universal files");
  }

  @Test
  void aCutTakesResponsesAndModesInEveryFormat() throws IOException {
    done("frf", job.measurement(), "--out", path("tip.unv"));
    done("modes", job.response().toString(), "--csv", path("tip-modes.csv"));
    Files.writeString(
        folder.resolve("tip-modes.json"), done("modes", job.response().toString(), "--json").out());
    String x = "{\"tool\": {\"x\": %s, \"y\": %s}}";
    String modes =
        "{\"modes\": [{\"frequency\": \"1240 Hz\", \"damping\": \"1.6 %\", \"stiffness\": \"2.1e6 N/m\"}]}";
    double[] limits = new double[5];
    String[] ys = {
      "{\"frf\": \"tip-y.csv\"}",
      "{\"frf\": \"tip.unv\", \"function\": 1}",
      "{\"modes\": \"tip-modes.csv\"}",
      "{\"modes\": \"tip-modes.json\"}",
      modes
    };
    for (int i = 0; i < ys.length; i++) {
      JsonNode lobes =
          json(
              "lobes",
              cut("c" + i + ".json", String.format(x, modes, ys[i])),
              "--method",
              "zero-order",
              "--speeds",
              "12000:12100:100",
              "--json");
      limits[i] = lobes.get("limitM").get(0).asDouble();
    }
    assertThat(limits[0]).isPositive();
    assertThat(limits[1]).isCloseTo(limits[0], within(1e-6 * limits[0]));
    assertThat(limits[3]).isEqualTo(limits[2]);
    assertThat(limits[2]).isCloseTo(limits[4], within(0.02 * limits[4]));

    CommandRun wrong =
        CommandRun.of(
            "lobes",
            cut(
                "w.json",
                String.format(x, modes, "{\"modes\": \"tip-modes.csv\", \"function\": 1}")));
    assertThat(wrong.code()).isEqualTo(2);
    assertThat(wrong.err()).contains("function").contains("universal file");
    CommandRun missing =
        CommandRun.of("lobes", cut("w.json", String.format(x, modes, "{\"modes\": \"none.csv\"}")));
    assertThat(missing.code()).isEqualTo(2);
    assertThat(missing.err()).contains("none.csv: there is no such file").hasLineCount(1);
  }

  @Test
  void lobesAsCsvHoldWhatJsonHolds() throws IOException {
    String csv = path("lobes.csv");
    JsonNode lobes =
        json(
            "lobes",
            job.cut(),
            "--method",
            "zero-order",
            "--speeds",
            "6000:24000:3000",
            "--csv",
            csv,
            "--json");
    java.util.List<String> rows = Files.readAllLines(Path.of(csv));
    String[] header =
        rows.stream().filter(r -> !r.startsWith("#")).findFirst().orElseThrow().split(",", -1);
    int limit = java.util.Arrays.asList(header).indexOf("limit_m");
    assertThat(limit).as(String.join(",", header)).isNotNegative();
    int row = 0;
    for (String text : rows) {
      if (text.startsWith("#") || text.startsWith(header[0])) {
        continue;
      }
      String[] cells = text.split(",", -1);
      JsonNode wanted = lobes.get("limitM").get(row);
      if (wanted.isNull()) {
        assertThat(cells[limit]).isEmpty();
      } else {
        // to the last bit
        assertThat(Double.valueOf(cells[limit])).isEqualTo(wanted.doubleValue());
      }
      assertThat(Double.valueOf(cells[0])).isEqualTo(lobes.get("speedRpm").get(row).doubleValue());
      row++;
    }
    assertThat(row).isEqualTo(lobes.get("limitM").size());
  }
}
