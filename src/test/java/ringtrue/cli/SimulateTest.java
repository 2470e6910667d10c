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
}
