package ringtrue.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import javax.imageio.ImageIO;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The demo's block: a sensor that gives 0.966 of what its file says (the recipe's number). */
class CalibrateTest {
  private static final String BLOCK = "demo-measurements/block-750g.json";

  @TempDir Path folder;

  @Test
  void theBlockTellsWhatTheSensorHides() throws IOException {
    Path picture = folder.resolve("block.png");
    CommandRun run =
        CommandRun.of(
            "calibrate", BLOCK, "--mass", "0.75 kg", "--json", "--png", picture.toString());
    assertThat(run.code()).as(run.err()).isZero();
    JsonNode found = new ObjectMapper().readTree(run.out());
    double sigma = found.get("factorSigma").asDouble();
    assertThat(found.get("factor").asDouble()).isCloseTo(0.966, within(2 * sigma));
    assertThat(sigma).isBetween(0.001, 0.015);
    assertThat(found.get("skewS").asDouble()).isCloseTo(0, within(2e-7));
    assertThat(ImageIO.read(picture.toFile()).getWidth()).isEqualTo(1200);
  }

  /** Taps on the block, calibrated with its own factor, read 1. */
  @Test
  void theFactorGoesIntoTheFile() throws IOException {
    String plain = Files.readString(Path.of(BLOCK));
    Path wav = Path.of("demo-measurements/block-750g.wav");
    Files.copy(wav, folder.resolve("block-750g.wav"));
    Path file = folder.resolve("b.json");
    Files.writeString(
        file,
        plain.replace(
            "\"axis\"", "\"calibration\": {\"factor\": 0.966, \"sigma\": \"1 %\"}, \"axis\""));
    CommandRun run = CommandRun.of("calibrate", file.toString(), "--mass", "0.75 kg", "--json");
    assertThat(run.code()).as(run.err()).isZero();
    CommandRun before = CommandRun.of("calibrate", BLOCK, "--mass", "0.75 kg", "--json");
    double factor = new ObjectMapper().readTree(run.out()).get("factor").asDouble();
    double uncalibrated = new ObjectMapper().readTree(before.out()).get("factor").asDouble();
    assertThat(factor).isCloseTo(uncalibrated / 0.966, within(1e-9));
  }

  @Test
  void aToolIsNoBlock() {
    CommandRun run =
        CommandRun.of(
            "calibrate", "demo-measurements/tool-8mm-x.json", "--mass", "0.75 kg", "--json");
    assertThat(run.code()).isEqualTo(2);
    assertThat(run.err()).contains("no freely hanging mass");
    assertThat(run.out()).isEmpty();
  }
}
