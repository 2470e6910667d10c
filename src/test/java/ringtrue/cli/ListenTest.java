package ringtrue.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Random;
import javax.imageio.ImageIO;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import ringtrue.acquisition.MemoryRecording;
import ringtrue.acquisition.WavWriter;

/** {@code listen} from files to what it prints. */
class ListenTest {
  private static final int RATE = 44_100;
  @TempDir Path folder;
  private Path cut;
  private Path wav;

  @BeforeEach
  void aCutThatChatters() throws IOException {
    cut = folder.resolve("cut.json");
    Files.writeString(
        cut,
        """
        {"format": "ringtrue-cut/1", "name": "trial", "operation": "milling",
         "machine": {"name": "m", "minSpeed": "3000 rpm", "maxSpeed": "12000 rpm"},
         "tool": {"diameter": "10 mm", "flutes": 4},
         "material": {"ktc": "695 MPa", "krc": "281 MPa"},
         "engagement": {"direction": "up", "radial": "5 mm", "axial": "0.8 mm"},
         "speed": "5000 rpm", "feedPerTooth": "0.05 mm",
         "dynamics": {"tool": {
           "x": {"modes": [{"frequency": "500 Hz", "damping": "2 %", "stiffness": "8e6 N/m"}]},
           "y": {"modes": [{"frequency": "500 Hz", "damping": "2 %", "stiffness": "8e6 N/m"}]}}}}
        """);
    wav = folder.resolve("cut.wav");
    double tooth = 4 * 4940 / 60.0;
    write(wav, tooth, 506);
  }

  private static void write(Path file, double tooth, double chatter) throws IOException {
    double[] s = new double[5 * RATE];
    Random random = new Random(3);
    for (int i = 0; i < s.length; i++) {
      double t = (double) i / RATE;
      s[i] = 0.002 * random.nextGaussian();
      if (t > 1.5) {
        for (int k = 1; k < 5; k++) {
          s[i] += 0.05 / k * Math.sin(2 * Math.PI * k * tooth * t + k);
        }
        for (int k = -1; k < 2; k++) {
          s[i] += 0.08 / (1 + 8 * k * k) * Math.sin(2 * Math.PI * (chatter + k * tooth) * t);
        }
      }
    }
    WavWriter.write(new MemoryRecording("cut", RATE, s), file, WavWriter.SampleFormat.INT16, true);
  }

  private static void fields(JsonNode json) {
    assertThat(json.get("verdict").asText()).isEqualTo("chatter");
    assertThat(json.get("chatterHz").asDouble()).isCloseTo(506, within(0.05));
    assertThat(json.get("toothPassHz").asDouble()).isCloseTo(4 * 4940 / 60.0, within(0.05));
    assertThat(json.get("spindleHz").asDouble()).isCloseTo(4940 / 60.0, within(0.02));
    assertThat(json.get("because").asText()).isNotBlank();
    JsonNode peak = json.get("peaks").get(0);
    assertThat(peak.get("frequencyHz").asDouble()).isCloseTo(506, within(0.05));
    assertThat(peak.get("level").asDouble()).isCloseTo(20 * Math.log10(0.08), within(0.5));
    assertThat(peak.get("is").asText()).isEqualTo("chatter");
    assertThat(peak.has("harmonic")).isTrue();
    // the rule: 60 · 506/4 = 7590 rpm
    assertThat(json.get("trySpeedsRpm"))
        .anySatisfy(v -> assertThat(v.asDouble()).isCloseTo(7590, within(2.0)));
  }

  @Test
  void aRecordingAsJsonCsvAndPicture() throws IOException {
    Path png = folder.resolve("sound.png");
    Path csv = folder.resolve("sound.csv");
    CommandRun run =
        CommandRun.of(
            "listen",
            wav.toString(),
            cut.toString(),
            "--json",
            "--png",
            png.toString(),
            "--csv",
            csv.toString());
    assertThat(run.err()).doesNotContain("ringtrue:");
    assertThat(run.code()).isZero();
    JsonNode json = new ObjectMapper().readTree(run.out());
    fields(json);
    assertThat(json.get("fromS").asDouble()).isBetween(1.4, 2.2);
    assertThat(json.get("mode").get("frequencyHz").asDouble()).isEqualTo(500);
    assertThat(ImageIO.read(png.toFile()).getWidth()).isEqualTo(1200);
    assertThat(Files.readAllLines(csv).get(0)).isEqualTo("frequency_hz,level_db,noise_db");
  }

  @Test
  void liveFromAReplayAndKept() throws IOException {
    Path kept = folder.resolve("kept.wav");
    CommandRun run =
        CommandRun.of(
            "listen",
            "--input",
            wav.toString(),
            "--pace",
            "1000",
            "--out",
            kept.toString(),
            cut.toString());
    assertThat(run.code()).as(run.err()).isZero();
    assertThat(run.out())
        .contains("no cut heard", "chatter at 506", "Speeds to try")
        .contains("not thereby a good or a safe one");
    fields(
        new ObjectMapper()
            .readTree(CommandRun.of("listen", kept.toString(), cut.toString(), "--json").out()));
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = ';',
      value = {
        "listen WAV;needs the recording and the cut file",
        "listen CUT WAV;must be the cut file",
        "listen WAV CUT --channel 2;has no channel 2",
        "listen WAV CUT --from 9;nothing of it lies from 9.00 s on",
        "listen WAV CUT --from 2 --to 1;must be later than --from",
        "listen WAV CUT --to NaN;--to",
        "listen WAV CUT --out x.wav;belongs to --input",
        "listen WAV CUT --scale 0;must be from 1 to 8",
        "listen WAV CUT --png WAV;must end in .png",
        "listen --input WAV WAV CUT;there is no recording to name",
        "listen --input WAV CUT --from 1;belongs to a recording",
        "listen --input no.wav CUT;there is no such file",
        "listen WAV CUT --air CUT;cut.json"
      })
  void badInputIsOneLine(String command, String complaint) {
    CommandRun run =
        CommandRun.of(
            command.replace("WAV", wav.toString()).replace("CUT", cut.toString()).split(" "));
    assertThat(run.code()).as(run.err()).isEqualTo(2);
    assertThat(run.err().strip().lines()).hasSize(1);
    assertThat(run.err()).contains(complaint);
  }
}
