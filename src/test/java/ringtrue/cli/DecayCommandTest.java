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
import ringtrue.acquisition.BlowPlan;
import ringtrue.acquisition.ResponseQuantity;
import ringtrue.acquisition.RigChannel;
import ringtrue.acquisition.VirtualRig;
import ringtrue.acquisition.WavWriter;
import ringtrue.acquisition.WavWriter.SampleFormat;
import ringtrue.dynamics.Mode;

/** Measurements without force, through the command line. */
class DecayCommandTest {
  private static final Mode MODE = Mode.of(640, 0.015, 3e6);
  private static final String GOOD =
      """
      {
        "format": "ringtrue-measurement/1",
        "name": "invented bar", "recordings": ["plain.wav"],
        "response": {"channel": 2, "quantity": "acceleration", "sensitivity": "10.2 mV/g", "fullScale": "1.0 V"}
      }
      """;

  @TempDir Path folder;

  @BeforeEach
  void recordings() throws IOException {
    record("plain.wav", 0, 1);
    record("loaded.wav", 0.012, 2);
  }

  private void record(String name, double extraKg, long seed) throws IOException {
    VirtualRig rig =
        VirtualRig.of(MODE)
            .withSensor(ResponseQuantity.ACCELERATION, extraKg)
            .withInputs(RigChannel.PERFECT, RigChannel.of(0.00104, 1).withNoise(3e-5));
    BlowPlan plan =
        BlowPlan.of(4, 0.6, 20, 0.0004).withFirstOnset(0.2).withSpread(0.1, 0.1, 0.05, 0);
    WavWriter.write(
        rig.record(name, 12_000, plan.durationS(seed), plan.blows(seed), seed),
        folder.resolve(name),
        SampleFormat.INT24,
        false);
  }

  private String file(String text) throws IOException {
    Path file = folder.resolve("m.json");
    Files.writeString(file, text);
    return file.toString();
  }

  private static String withMass(String added) {
    return GOOD.replace("\"response\"", "\"addedMass\": " + added + ", \"response\"");
  }

  @Test
  void frequencyAndDampingAndNothingMore() throws IOException {
    Path csv = folder.resolve("modes.csv");
    Path png = folder.resolve("modes.png");
    CommandRun run =
        CommandRun.of("modes", file(GOOD), "--csv", csv.toString(), "--png", png.toString());
    assertThat(run.code()).as(run.err()).isZero();
    assertThat(run.out()).contains("unknown", "no force measured", "only speeds can be judged");
    assertThat(Files.readAllLines(csv).get(1)).startsWith("6").contains(",,,,");
    assertThat(png).isNotEmptyFile();
    JsonNode json = new ObjectMapper().readTree(CommandRun.of("modes", file(GOOD), "--json").out());
    JsonNode mode = json.get("modes").get(0);
    assertThat(mode.get("frequencyHz").asDouble()).isCloseTo(640, within(0.05));
    assertThat(mode.get("dampingRatio").asDouble()).isCloseTo(0.015, within(1e-4));
    assertThat(mode.get("stiffnessNPerM").isNull()).isTrue();
    assertThat(mode.get("massKg").isNull()).isTrue();
    assertThat(json.get("forceMeasured").asBoolean()).isFalse();
    assertThat(json.get("taps")).hasSize(4);
    assertThat(json.get("taps").get(2).get("verdict").asText()).isEqualTo("kept");
  }

  @Test
  void anAddedMassGivesStiffness() throws IOException {
    String measurement = file(withMass("{\"recordings\": [\"loaded.wav\"], \"mass\": \"12 g\"}"));
    JsonNode json =
        new ObjectMapper().readTree(CommandRun.of("modes", measurement, "--json").out());
    JsonNode mode = json.get("modes").get(0);
    assertThat(mode.get("stiffnessNPerM").asDouble() / 3e6).isCloseTo(1, within(0.01));
    assertThat(mode.get("massKg").asDouble() / MODE.massKg()).isCloseTo(1, within(0.01));
    assertThat(json.get("modesWithAddedMass")).hasSize(1);
  }

  @Test
  void oneClearLineEach() throws IOException {
    refused("use modes", "frf", file(GOOD));
    refused("is silent", "modes", file(GOOD.replace("plain.wav", "silent.wav")));
    refused(
        "there is no tap 9",
        "modes",
        file(GOOD.replace("\"response\"", "\"processing\": {\"rejected\": [9]}, \"response\"")));
    refused("the band asked for lies outside", "modes", file(GOOD), "--band", "7000:9000");
    refused(
        "addedMass.mass: missing", "modes", file(withMass("{\"recordings\": [\"loaded.wav\"]}")));
    refused(
        "addedMass.mass: must be more than zero",
        "modes",
        file(withMass("{\"recordings\": [\"loaded.wav\"], \"mass\": \"0 g\"}")));
    refused(
        "addedMass.recordings", "modes", file(withMass("{\"recordings\": [], \"mass\": \"5 g\"}")));
    refused(
        "there is no file \"gone.wav\"",
        "modes",
        file(withMass("{\"recordings\": [\"gone.wav\"], \"mass\": \"5 g\"}")));
    refused(
        "addedMass.massSigma",
        "modes",
        file(
            withMass(
                "{\"recordings\": [\"loaded.wav\"], \"mass\": \"5 g\", \"massSigma\": \"4 g\"}")));
  }

  @Test
  void modesWithoutStiffnessMakeNoLobes() throws IOException {
    file(GOOD);
    Path cut = folder.resolve("cut.json");
    Files.writeString(
        cut,
        """
        {
          "format": "ringtrue-cut/1", "operation": "turning", "material": "mild steel",
          "engagement": {"axial": "1 mm"}, "speed": "900 rpm", "feedPerTooth": "0.1 mm",
          "dynamics": {"tool": {"x": {"measurement": "m.json"}}}
        }
        """);
    refused("measured without a force", "lobes", cut.toString(), "--speeds", "500:1000:100");
  }

  private void refused(String why, String... args) throws IOException {
    WavWriter.write(
        new ringtrue.acquisition.MemoryRecording(
            "silent", 12_000, new double[6000], new double[6000]),
        folder.resolve("silent.wav"),
        SampleFormat.INT24,
        true);
    CommandRun run = CommandRun.of(args);
    assertThat(run.err()).contains(why);
    assertThat(run.code()).isEqualTo(2);
    assertThat(run.err().strip().lines()).hasSize(1);
    assertThat(run.err()).startsWith("ringtrue: ").doesNotContain("Exception");
    assertThat(run.out()).isEmpty();
  }
}
