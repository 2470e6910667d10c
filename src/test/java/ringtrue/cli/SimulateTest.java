package ringtrue.cli;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import javax.imageio.ImageIO;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import ringtrue.acquisition.WavRecording;

/** The simulate command, from the outside. */
class SimulateTest {
  private static final String CUT =
      """
      {"format": "ringtrue-cut/1", "name": "try", "operation": "milling",
       "tool": {"diameter": "8 mm", "flutes": 3, "helix": "30 deg"},
       "material": {"ktc": "700 MPa", "krc": "250 MPa", "kte": "15 N/mm", "kre": "18 N/mm"},
       "engagement": {"direction": "down", "radial": "0.5 mm", "axial": "1 mm"},
       "speed": "14000 rpm", "feedPerTooth": "0.05 mm",
       "dynamics": {"tool": {"x": {"modes": [{"frequency": "1240 Hz", "damping": "3 %", "stiffness": "8e6 N/m"}]},
                             "y": {"modes": [{"frequency": "1310 Hz", "damping": "3 %", "stiffness": "8e6 N/m"}]}}}}
      """;

  /** Chatters by its edge forces alone, though lobes call it stable. */
  private static final String BESIDE_THE_LOBES =
      """
      {"format": "ringtrue-cut/1", "name": "deep", "operation": "milling",
       "tool": {"diameter": "6 mm", "flutes": 4, "helix": "35 deg", "runout": "5 um"},
       "material": "mild steel",
       "engagement": {"direction": "down", "radial": "0.3 mm", "axial": "6 mm"},
       "speed": "18000 rpm", "feedPerTooth": "0.03 mm",
       "dynamics": {"tool": {"x": {"modes": [{"frequency": "1240 Hz", "damping": "1.6 %", "stiffness": "2.1e6 N/m"}]},
                             "y": {"modes": [{"frequency": "1310 Hz", "damping": "1.6 %", "stiffness": "2.4e6 N/m"}]}},
                    "workpiece": {"y": {"modes": [{"frequency": "310 Hz", "damping": "3 %", "stiffness": "9e6 N/m"}]}}}}
      """;

  @TempDir Path folder;

  private record Run(int code, String out, String err) {}

  private static Run run(String... args) {
    StringWriter out = new StringWriter();
    StringWriter err = new StringWriter();
    int code = Ringtrue.run(new PrintWriter(out), new PrintWriter(err), args);
    return new Run(code, out.toString(), err.toString());
  }

  private String cut() throws Exception {
    Path file = folder.resolve("cut.json");
    Files.writeString(file, CUT);
    return file.toString();
  }

  @Test
  void writesEverythingItIsAskedFor() throws Exception {
    Path csv = folder.resolve("o.csv");
    Path wav = folder.resolve("o.wav");
    Path png = folder.resolve("o.png");
    Run run =
        run(
            "simulate",
            cut(),
            "--turns",
            "30",
            "--json",
            "--csv",
            csv.toString(),
            "--wav",
            wav.toString(),
            "--seconds",
            "0.2",
            "--png",
            png.toString());
    assertThat(run.code).isZero();
    JsonNode json = new ObjectMapper().readTree(run.out);
    for (String field :
        List.of(
            "verdict",
            "turns",
            "peakDisplacementM",
            "peakForceN",
            "meanPowerW",
            "missedTeethFraction",
            "surfaceErrorM",
            "oncePerToothSpreadM",
            "chatterHz",
            "remarks")) {
      assertThat(json.has(field)).as(field).isTrue();
    }
    assertThat(json.get("verdict").asText()).isEqualTo("stable");
    assertThat(json.get("turns").asInt()).isEqualTo(30);
    assertThat(json.get("chatterHz").isNull()).isTrue();
    List<String> rows = Files.readAllLines(csv);
    assertThat(rows.get(0)).startsWith("time_s,x_m,y_m,fx_n,fy_n,chip_1_m,chip_2_m,chip_3_m");
    assertThat(rows).hasSize(1 + 20 * json.get("stepsPerTurn").asInt());
    assertThat(ImageIO.read(png.toFile()).getWidth()).isEqualTo(1200);
    WavRecording sound = WavRecording.open(wav);
    assertThat(sound.sampleRateHz()).isEqualTo(48_000);
    assertThat(sound.frames()).isEqualTo(9_600);
    assertThat(json.get("sound").get("fullScale").asDouble())
        .isGreaterThan(json.get("sound").get("peak").asDouble());
  }

  @Test
  void readsLikeASentence() throws Exception {
    Run run = run("simulate", cut(), "--units", "in");
    assertThat(run.code).isZero();
    assertThat(run.out)
        .contains("STABLE")
        .contains("thou")
        .contains("Cautions")
        .contains("teeth that missed");
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "--turns 0|--turns",
        "--turns many|--turns",
        "--keep -3|--keep",
        "--seconds 2|belongs to --wav",
        "--wav a.mp3|must end in .wav",
        "--wav a.wav --seconds NaN|--seconds",
        "--wav a.wav --seconds 1e9|--seconds",
        "--wav a.wav --rate 12|--rate",
        "--wav a.wav --sound forse|did you mean force",
        "--units furlong|--units",
        "--csv cut.json|must end in",
        "--png there.png|is there already"
      })
  void badInputIsOneLine(String args, String complaint) throws Exception {
    Files.writeString(folder.resolve("there.png"), "mine");
    String[] words = ("simulate " + cut() + " " + args).split(" ");
    for (int i = 2; i < words.length; i++) {
      if (words[i].contains(".") && !words[i].startsWith("-")) {
        words[i] = folder.resolve(words[i]).toString();
      }
    }
    Run run = run(words);
    assertThat(run.code).isEqualTo(2);
    assertThat(run.out).isEmpty();
    assertThat(run.err.strip()).contains(complaint).doesNotContain("\n");
    assertThat(Files.readString(folder.resolve("there.png"))).isEqualTo("mine");
  }

  private String written(String name, String content) throws Exception {
    Path file = folder.resolve(name);
    Files.writeString(file, content);
    return file.toString();
  }

  private static JsonNode json(String... args) throws Exception {
    Run run = run(args);
    assertThat(run.code).as(run.err).isZero();
    return new ObjectMapper().readTree(run.out);
  }

  /**
   * Chatter that keeps its size is chatter, however long it is watched; and the lobes are asked.
   */
  @ParameterizedTest
  @CsvSource({"100", "250", "600", "1000"})
  void theVerdictIsThatOfTheMotionNotOfTheTurns(int turns) throws Exception {
    JsonNode cut =
        json(
            "simulate",
            written("deep.json", BESIDE_THE_LOBES),
            "--turns",
            Integer.toString(turns),
            "--json");
    assertThat(cut.get("verdict").asText()).isEqualTo("hopf");
    assertThat(cut.get("oncePerToothSpreadM").asDouble()).isBetween(10e-6, 20e-6);
    assertThat(cut.get("remarks").toString())
        .contains("lobes call this cut stable: without its edge forces")
        .contains("take the simulation for it");
  }

  /** What cannot vibrate has forces, and no verdict. */
  @Test
  void whereNothingGivesWayThereAreForcesOnly() throws Exception {
    String rigid = CUT.substring(0, CUT.indexOf("\"dynamics\"")) + "\"dynamics\": {}}";
    String file = written("rigid.json", rigid);
    JsonNode cut = json("simulate", file, "--json");
    assertThat(cut.get("verdict").asText()).isEqualTo("cannot tell");
    assertThat(cut.get("growth").isNull()).isTrue();
    assertThat(cut.get("chatterHz").isNull()).isTrue();
    assertThat(cut.get("peakForceN").asDouble()).isPositive();
    assertThat(cut.get("remarks").toString())
        .contains("chatter cannot be judged")
        .doesNotContain("fastest motion")
        .doesNotContain("border");
    assertThat(run("simulate", file).out)
        .contains("FORCES ONLY")
        .doesNotContain("STABLE")
        .doesNotContain("border");
  }

  @Test
  void severalCutsAreDoneOneByOne() throws Exception {
    Path out = folder.resolve("out");
    String bad = written("bad.json", "{");
    String second = written("second.json", CUT);
    String[] words = {
      "simulate",
      cut(),
      bad,
      second,
      "--csv",
      out.toString(),
      "--png",
      out.toString(),
      "--wav",
      out.toString(),
      "--seconds",
      "0.1",
      "--keep",
      "3",
      "--turns",
      "12"
    };
    Run run = run(words);
    assertThat(run.code).isEqualTo(2);
    assertThat(run.out).contains("3 files, 1 failed").contains("STABLE");
    assertThat(run.err.lines()).hasSize(1);
    try (var there = Files.list(out)) {
      assertThat(there.map(f -> f.getFileName().toString()))
          .containsExactlyInAnyOrder(
              "cut-simulated.csv",
              "cut-simulated.png",
              "cut-simulated.wav",
              "second-simulated.csv",
              "second-simulated.png",
              "second-simulated.wav");
    }
    Run both = run("simulate", cut(), bad, second, "--json", "--turns", "12");
    JsonNode cuts = new ObjectMapper().readTree(both.out).get("cuts");
    assertThat(cuts).hasSize(3);
    assertThat(cuts.get(0).get("verdict").asText()).isEqualTo("stable");
    assertThat(cuts.get(1).get("problem").asText()).contains("bad.json");
    assertThat(cuts.get(2).get("turns").asInt()).isEqualTo(12);
  }

  /**
   * Where nothing can be written is said before anything is read or computed, and leaves nothing.
   */
  @ParameterizedTest
  @ValueSource(strings = {"simulate", "plan", "lobes"})
  void whatCannotBeWrittenIsRefusedFirst(String command) throws Exception {
    String broken = written("broken.json", "{");
    Run inFile = run(command, broken, "--png", broken + "/deep/o.png");
    assertThat(inFile.code).isEqualTo(2);
    assertThat(inFile.err.strip()).contains("a folder is needed there").doesNotContain("\n");
    // a later folder may be made: only then is the cut looked at, and nothing is left behind
    Run toBeMade = run(command, broken, "--png", folder.resolve("new/deep/o.png").toString());
    assertThat(toBeMade.code).isEqualTo(2);
    assertThat(toBeMade.err).contains("broken.json");
    try (var there = Files.list(folder)) {
      assertThat(there.map(f -> f.getFileName().toString())).containsExactly("broken.json");
    }
    Path closed = Path.of("/proc");
    if (Files.isDirectory(closed)) { // a folder in which even the system's owner cannot write
      Run run = run(command, broken, "--png", "/proc/o.png");
      assertThat(run.code).isEqualTo(2);
      assertThat(run.err.strip()).contains("/proc/o.png: cannot be written").doesNotContain("\n");
    }
  }
}
