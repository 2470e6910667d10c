package ringtrue.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.Random;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.Arguments;
import org.junit.jupiter.params.provider.MethodSource;
import ringtrue.acquisition.MemoryRecording;
import ringtrue.acquisition.WavWriter;

/** {@code calibrate --known} and {@code --split}. */
class CalibrateInputTest {
  private static final double RATE = 48_000;

  @TempDir Path folder;
  private String sine;
  private String split;
  private String profile;

  /**
   * A sine of 0.4 in channel 2; noise in both channels, the second two samples later and reversed.
   */
  @BeforeEach
  void files() throws IOException {
    int n = 4 * 48_000;
    Random random = new Random(3);
    double[][] x = new double[2][n];
    double[] noise = new double[n + 2];
    Arrays.setAll(noise, i -> 0.05 * random.nextGaussian());
    double[][] pair = new double[2][n];
    for (int i = 0; i < n; i++) {
      x[1][i] = 0.4 * Math.sin(2 * Math.PI * 997 * i / RATE);
      pair[0][i] = noise[i];
      pair[1][i] = -1.1 * noise[i + 2];
    }
    sine = write("sine.wav", x);
    split = write("split.wav", pair);
    profile = folder.resolve("box.json").toString();
    Files.writeString(
        Path.of(profile),
        """
        {"format": "ringtrue-input/1", "name": "bench box", "sampleRate": "96 kHz",
         "force": {"channel": 1, "sensitivity": "2.25 mV/N", "fullScale": "1 V"},
         "response": {"channel": 2, "quantity": "acceleration", "sensitivity": "10.2 mV/g",
                      "fullScale": "1.0 V"}}
        """);
  }

  private String write(String name, double[][] samples) throws IOException {
    Path file = folder.resolve(name);
    WavWriter.write(
        new MemoryRecording(name, RATE, samples), file, WavWriter.SampleFormat.INT24, false);
    return file.toString();
  }

  private static JsonNode json(String... args) throws IOException {
    CommandRun run = CommandRun.of(args);
    assertThat(run.code()).as(run.err()).isZero();
    return new ObjectMapper().readTree(run.out());
  }

  @Test
  void fullScaleOfAKnownSine() throws IOException {
    JsonNode found =
        json("calibrate", sine, "--known", "0.5 V rms ± 1 %", "--channel", "2", "--json");
    double expected = 0.5 * Math.sqrt(2) / 0.4;
    assertThat(found.get("fullScaleV").asDouble()).isCloseTo(expected, within(1e-6));
    assertThat(found.get("fullScaleVSigma").asDouble()).isCloseTo(expected * 0.01, within(1e-5));
    assertThat(found.get("frequencyHz").asDouble()).isCloseTo(997, within(1e-3));
    CommandRun text = CommandRun.of("calibrate", sine, "--known", "700mV peak", "--channel", "2");
    assertThat(text.out()).contains("\"fullScale\": \"1.7500 V\"");
  }

  /** Sampled two samples later, reversed, 1.1 times as much. */
  @Test
  void skewAndGainOfASplitSignal() throws IOException {
    JsonNode found = json("calibrate", split, "--split", "--json");
    assertThat(found.get("skewS").asDouble()).isCloseTo(2 / RATE, within(1e-9));
    assertThat(found.get("gainRatio").asDouble()).isCloseTo(1.1, within(1e-5));
    assertThat(found.get("reversed").asBoolean()).isTrue();
    JsonNode turned = json("calibrate", split, "--split", "--channels", "2,1", "--json");
    assertThat(turned.get("skewS").asDouble()).isCloseTo(-2 / RATE, within(1e-9));
    assertThat(CommandRun.of("calibrate", split, "--split").out())
        .contains("41.67 us later", "\"channelSkew\": \"41.67 us\"", "other sign");
  }

  @Test
  void theResultGoesIntoTheProfileWhenAsked() throws IOException {
    CommandRun refused = CommandRun.of("calibrate", split, "--split", "--profile", profile);
    assertThat(refused.code()).isEqualTo(2);
    assertThat(refused.err()).contains("only with --overwrite");
    json("calibrate", split, "--split", "--profile", profile, "--overwrite", "--json");
    JsonNode told =
        json(
            "calibrate",
            sine,
            "--known",
            "0.5 V rms",
            "--channel",
            "2",
            "--profile",
            profile,
            "--overwrite",
            "--json");
    assertThat(told.get("remarks").toString()).contains("was made at 96000 Hz");
    JsonNode kept = new ObjectMapper().readTree(Path.of(profile).toFile());
    assertThat(kept.get("channelSkew").asText()).startsWith("0.0000416666");
    assertThat(kept.get("response").get("fullScaleFrom").asText()).isEqualTo("measured");
    assertThat(kept.get("response").get("fullScale").asText()).startsWith("1.76776");
    assertThat(kept.get("force").get("fullScaleFrom").asText()).isEqualTo("entered");
  }

  static Stream<Arguments> complaints() {
    return Stream.of(
            "SPLIT | needs one of --mass",
            "SPLIT --split --mass 1kg | needs one of --mass",
            "SPLIT --known 0.5V | must be a voltage and what of it is known",
            "SPLIT --known 0.5_rms | has no unit",
            "SPLIT --known 0.5_A_rms | has an unknown unit",
            "SPLIT --known 0_V_rms | must be more than zero",
            "SPLIT --known 0.5_V_rms | split.wav: holds no steady sine",
            "SINE --known 0.5_V_rms --channel 3 | sine.wav: has no channel 3",
            "SINE --split | sine.wav: a channel is silent",
            "SPLIT --split --channels 1 | --channels: \"1\" must be two numbers",
            "SPLIT --split --channels 1,3 | split.wav: has 2 channels, channel 3 was asked for",
            "SPLIT --split --channel 2 | --channel belongs to --known",
            "SPLIT --split --png x.png | --png belongs to --mass",
            "gone.wav --split | gone.wav: there is no such file")
        .map(row -> Arguments.of((Object[]) row.split(" \\| ")));
  }

  @ParameterizedTest
  @MethodSource("complaints")
  void badInputIsOneLine(String args, String why) {
    String[] words = ("calibrate " + args.replace("SPLIT", split).replace("SINE", sine)).split(" ");
    for (int i = 0; i < words.length; i++) {
      words[i] = words[i].startsWith("0") ? words[i].replace('_', ' ') : words[i];
    }
    CommandRun run = CommandRun.of(words);
    assertThat(run.code()).isEqualTo(2);
    assertThat(run.err().strip().lines()).hasSize(1);
    assertThat(run.err()).contains(why);
    assertThat(run.out()).isEmpty();
  }
}
