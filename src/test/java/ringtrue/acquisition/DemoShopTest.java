package ringtrue.acquisition;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import ringtrue.units.Dimension;
import ringtrue.units.Quantity;

class DemoShopTest {
  private static final Path DEMO = Path.of("demo-measurements");
  private static final ObjectMapper JSON = new ObjectMapper();

  @TempDir Path folder;

  @Test
  void theCommittedRecordingsAreWhatTheRecipeMakes() throws IOException {
    DemoShop.main(new String[] {folder.toString()});
    for (DemoShop.Series series : DemoShop.series()) {
      assertThat(folder.resolve(series.file())).hasSameBinaryContentAs(DEMO.resolve(series.file()));
    }
  }

  @Test
  void staysSmall() throws IOException {
    long sum = 0;
    try (var files = Files.list(DEMO)) {
      for (Path file : files.toList()) {
        sum += Files.size(file);
      }
    }
    assertThat(sum).isLessThan(8_000_000);
  }

  /**
   * What the measurement files say of the inputs is what the rig has, but for the sensor on the
   * block, which is there to be calibrated.
   */
  @Test
  void measurementFilesDescribeTheRig() throws IOException {
    for (DemoShop.Series series : DemoShop.series()) {
      String stem = series.file().replaceAll("\\.\\w+$", "");
      JsonNode file = JSON.readTree(DEMO.resolve(stem + ".json").toFile());
      assertThat(file.get("format").asText()).isEqualTo("ringtrue-measurement/1");
      assertThat(file.get("name").asText()).startsWith("simulated");
      assertThat(file.get("axis").asText()).isEqualTo(series.axis());
      assertThat(file.get("recordings").get(0).asText()).isEqualTo(series.file());
      VirtualRig rig = series.rig();
      JsonNode response = file.get("response");
      assertThat(response.get("quantity").asText()).isEqualTo(rig.quantity().word());
      if (series.file().endsWith(".wav")) {
        checkInput(file.get("force"), rig.force(), Dimension.VOLTAGE_PER_FORCE, 1);
        checkInput(
            response,
            rig.response(),
            rig.quantity().sensitivityDimension(),
            stem.startsWith("block") ? 0.966 : 1);
        assertThat(Quantity.parse(response.get("sensorMass").asText(), Dimension.MASS))
            .isCloseTo(rig.sensorMassKg(), within(1e-12));
      }
    }
  }

  private static void checkInput(
      JsonNode told, RigChannel input, Dimension sensitivity, double reads) {
    assertThat(reads * Quantity.parse(told.get("sensitivity").asText(), sensitivity))
        .isCloseTo(input.sensitivityVPerUnit(), within(1e-12));
    assertThat(Quantity.parse(told.get("fullScale").asText(), Dimension.VOLTAGE))
        .isCloseTo(input.fullScaleV(), within(1e-12));
    double highPass =
        told.has("highPass")
            ? Quantity.parse(told.get("highPass").asText(), Dimension.FREQUENCY)
            : 0;
    assertThat(highPass).isEqualTo(input.highPassHz());
  }

  private static Map<String, VirtualRig> rigs() {
    Map<String, VirtualRig> rigs = new java.util.HashMap<>();
    DemoShop.series().forEach(s -> rigs.put(s.file(), s.rig()));
    return rigs;
  }

  /** Only the tap that is meant to be an overload reaches the end of the scale. */
  @Test
  void onlyTheOverloadClips() throws IOException {
    for (DemoShop.Series series : DemoShop.series()) {
      if (!series.file().endsWith(".wav")) {
        continue;
      }
      MemoryRecording taken =
          MemoryRecording.copyOf(WavRecording.open(DEMO.resolve(series.file())));
      List<Blow> blows = series.blows();
      for (Blow blow : blows) {
        int from = (int) (blow.onsetS() * series.sampleRateHz());
        int to = from + (int) (0.1 * series.sampleRateHz());
        double force = Arrays.stream(taken.channel(1), from, to).map(Math::abs).max().orElseThrow();
        double answer =
            Arrays.stream(taken.channel(2), from, to).map(Math::abs).max().orElseThrow();
        boolean overload = series.file().equals("tool-8mm-x.wav") && blow.tap() == 5;
        assertThat(force > 0.99).isEqualTo(overload);
        assertThat(answer > 0.99).isEqualTo(overload);
      }
    }
  }

  @Test
  void theTextFileIsWhatTheMeasurementFileSays() throws IOException {
    TextRecording read =
        TextRecording.open(DEMO.resolve("turning-bar.csv"), TextRecording.Layout.timeIn(1));
    assertThat(read.channels()).isEqualTo(3);
    assertThat(read.sampleRateHz()).isEqualTo(10_000);
    MemoryRecording truth = MemoryRecording.copyOf(DemoShop.series().get(5).recording());
    double[] force = MemoryRecording.copyOf(read).channel(2);
    double[] wanted = truth.channel(1);
    assertThat(force).hasSize(wanted.length);
    for (int i = 0; i < force.length; i++) {
      assertThat(force[i]).isCloseTo(wanted[i], within(0.50001e-3));
    }
  }
}
