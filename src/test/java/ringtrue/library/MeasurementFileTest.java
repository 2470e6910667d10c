package ringtrue.library;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import ringtrue.acquisition.ResponseQuantity;
import ringtrue.acquisition.TapRecording;
import ringtrue.signal.Estimator;
import ringtrue.signal.Processing;
import ringtrue.units.BadInputException;

class MeasurementFileTest {
  private static final String TEXT_RECORDING =
      "time;force;response\n0,000;0,1;0,2\n0,001;0,3;0,4\n0,002;0,5;0,6\n";
  private static final String GOOD =
      """
      {
        "format": "ringtrue-measurement/1",
        "name": "a tool", "axis": "x", "point": "tool tip",
        "recordings": ["taps.csv"],
        "response": {"sensorMass": "0.6 g", "polarity": "-"},
        "columns": {"time": 1, "force": 2, "response": 3, "forceUnit": "lbf", "responseUnit": "g"},
        "channelSkew": "-12 us",
        "processing": {
          "blockLength": "0.5 s", "preTrigger": "5 ms", "triggerLevel": "5 %",
          "forceWindow": {"length": "3 ms", "taper": "0.5 ms"},
          "responseWindow": {"endValue": "5 %"}, "estimator": "Hv", "rejected": [2, 5],
          "blockStarts": ["0.2607 s", "1.5 s"],
          "usableBand": {"coherence": "0.9", "forceDrop": "10 dB"}
        }
      }
      """;

  @TempDir Path folder;

  @BeforeEach
  void recording() throws IOException {
    Files.writeString(folder.resolve("taps.csv"), TEXT_RECORDING);
  }

  private Measurement read(String json) throws IOException {
    Path file = folder.resolve("m.json");
    Files.writeString(file, json);
    return MeasurementFile.read(file);
  }

  @Test
  void everyFieldArrivesInSi() throws IOException {
    Measurement measurement = read(GOOD);
    TapRecording taps = measurement.recording();
    assertThat(taps.name()).isEqualTo("a tool");
    assertThat(taps.axis()).isEqualTo("x");
    assertThat(taps.quantity()).isEqualTo(ResponseQuantity.ACCELERATION);
    assertThat(taps.force().orElseThrow().unitsPerNumber()).isCloseTo(4.4482216, within(1e-7));
    assertThat(taps.response().unitsPerNumber()).isEqualTo(9.80665);
    assertThat(taps.response().polarity()).isEqualTo(-1);
    assertThat(taps.sensorMassKg()).isCloseTo(6e-4, within(1e-18));
    assertThat(taps.skewS()).isCloseTo(-12e-6, within(1e-18));
    assertThat(taps.sampleRateHz()).isCloseTo(1000, within(1e-6));
    Processing p = measurement.processing();
    assertThat(p.blockLengthS()).contains(0.5);
    assertThat(p.preTriggerS()).contains(0.005);
    assertThat(p.triggerFraction()).contains(0.05);
    assertThat(p.forceWindow()).contains(new Processing.ForceWindow(0.003, 0.0005));
    assertThat(p.responseTimeConstantS()).isEmpty();
    assertThat(p.responseEndValue()).contains(0.05);
    assertThat(p.estimator()).contains(Estimator.HV);
    assertThat(p.rejected()).containsExactlyInAnyOrder(2, 5);
    assertThat(p.blockStartsS()).isEqualTo(List.of(0.2607, 1.5));
    assertThat(p.minCoherence()).contains(0.9);
    assertThat(p.forceDropDb()).contains(10.0);
  }

  /** What reads 1.25 times too much is divided by that; text files can be calibrated as well. */
  @Test
  void aCalibrationScalesTheResponse() throws IOException {
    Measurement measurement =
        read(
            GOOD.replace(
                "\"axis\": \"x\"",
                "\"axis\": \"x\", \"calibration\": {\"factor\": 1.25, \"sigma\": \"0.4 %\"}"));
    assertThat(measurement.recording().response().unitsPerNumber())
        .isCloseTo(9.80665 / 1.25, within(1e-12));
    assertThat(measurement.calibrationSigma()).isCloseTo(0.004, within(1e-12));
    assertThat(read(GOOD).calibrationSigma()).isZero();
  }

  @Test
  void whatIsLeftOutIsLeftToTheProgram() throws IOException {
    Measurement measurement =
        read(
            """
            {"format": "ringtrue-measurement/1", "recordings": ["taps.csv"],
             "columns": {"response": 3, "responseUnit": "mm", "sampleRate": "2 kHz"}}
            """);
    assertThat(measurement.processing()).isEqualTo(Processing.AUTOMATIC);
    assertThat(measurement.recording().force()).isEqualTo(Optional.empty());
    assertThat(measurement.recording().quantity()).isEqualTo(ResponseQuantity.DISPLACEMENT);
    assertThat(measurement.recording().sampleRateHz()).isEqualTo(2000);
    assertThat(measurement.recording().name()).isEqualTo("m");
  }

  @Test
  void explicitNoneIsNotTheSameAsLeftOut() throws IOException {
    Processing p =
        read(GOOD.replace("{\"endValue\": \"5 %\"}", "\"none\"")
                .replace("{\"length\": \"3 ms\", \"taper\": \"0.5 ms\"}", "\"none\"")
                .replace("\"0.5 s\"", "\"file\""))
            .processing();
    assertThat(p.responseTimeConstantS()).contains(Double.POSITIVE_INFINITY);
    assertThat(p.forceWindow()).contains(Processing.ForceWindow.NONE);
    assertThat(p.blockLengthS()).contains(Double.POSITIVE_INFINITY);
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      quoteCharacter = '~',
      value = {
        "ringtrue-measurement/1 | ringtrue-measurement/2 | format: \"ringtrue-measurement/2\" is newer",
        "ringtrue-measurement/1 | ringtrue-cut/1 | \"ringtrue-measurement/1\" is needed here",
        "ringtrue-measurement/1 | ringtrue-measurement | has no version",
        "\"format\" | \"fromat\" | format: missing",
        "\"axis\": \"x\" | \"axes\": \"x\" | axes: unknown field; did you mean \"axis\"?",
        "\"axis\": \"x\" | \"axis\": 3 | axis: must be text in quotes, is 3",
        "\"axis\": \"x\" | \"name\": \"x\" | not valid JSON: Duplicate field 'name'",
        "[\"taps.csv\"] | [] | recordings: missing; give something like [\"taps.wav\"]",
        "[\"taps.csv\"] | \"taps.csv\" | recordings: must be a list in brackets",
        "[\"taps.csv\"] | [\"tops.csv\"] | recordings: there is no file \"tops.csv\"",
        "[\"taps.csv\"] | [\".\"] | recordings: \".\" is a folder",
        "\"force\": 2 | \"force\": 7 | force: channel 7 is not in taps.csv, which has 3",
        "\"force\": 2 | \"force\": 0 | columns.force: must be a whole number from 1 to 1000, is 0",
        "\"force\": 2 | \"force\": 3 | columns: force and response cannot be the same column",
        "\"force\": 2 | \"force\": 2.5 | columns.force: must be a whole number",
        "\"lbf\" | \"kg\" | columns.forceUnit: \"kg\" is not a force (kg measures something else)",
        "\"responseUnit\": \"g\" | \"responseUnit\": \"V\" | is no unit of acceleration, velocity",
        "\"time\": 1, | | columns.time: missing; give something like 1, or \"sampleRate\"",
        "\"0.6 g\" | \"0.6\" | response.sensorMass: \"0.6\" has no unit; write a mass like \"0.6 g\"",
        "\"0.6 g\" | 0.6 | response.sensorMass: 0.6 has no unit; write a mass as text",
        "\"0.6 g\" | \"-0.6 g\" | response.sensorMass: must not be negative",
        "\"0.6 g\" | \"0.6 mm\" | response.sensorMass: \"0.6 mm\" is not a mass",
        "\"0.6 g\" | \"600 kg\" | response.sensorMass: 600.0 kg is no sensor",
        "\"-12 us\" | \"-12 s\" | channelSkew: -12.0 s is no shift between two channels",
        "\"polarity\": \"-\" | \"highPass\": \"8 kHz\" | response.highPass: a corner of 8000.0 Hz is too high",
        "\"-\" | \"minus\" | response.polarity: \"minus\" is not known",
        "\"0.5 s\" | \"0 s\" | processing.blockLength: must be more than zero",
        "\"0.5 s\" | \"3 ms\" | processing.preTrigger: must be shorter than the block",
        "\"5 %\", | \"500 %\", | processing.triggerLevel: must lie between 0 and 1",
        "\"length\": \"3 ms\", | | processing.forceWindow.length: missing",
        "\"endValue\": \"5 %\" | \"endValue\": \"5 %\", \"timeConstant\": \"1 s\" | processing.responseWindow: give either",
        "\"endValue\": \"5 %\" | | processing.responseWindow: give either",
        "{\"endValue\": \"5 %\"} | \"hann\" | processing.responseWindow: \"hann\" is not known",
        "\"Hv\" | \"H3\" | processing.estimator: \"H3\" is not known",
        "[2, 5] | [0] | processing.rejected[0]: must be a whole number from 1, is 0",
        "[2, 5] | 2 | processing.rejected: must be a list in brackets",
        "[2, 5] | [2], \"kept\": [2] | processing.kept: tap 2 is in \"rejected\" too",
        "\"1.5 s\" | \"0.1 s\" | processing.blockStarts[1]: times must not be negative and must rise",
        "\"10 dB\" | \"10\" | processing.usableBand.forceDrop: \"10\" is not a drop",
        "\"axis\": \"x\" | \"calibration\": {\"sigma\": \"1 %\"} | calibration.factor: missing",
        "\"axis\": \"x\" | \"calibration\": {\"factor\": \"1.1\"} | calibration.factor: must be a number without quotes",
        "\"axis\": \"x\" | \"calibration\": {\"factor\": -1.1} | calibration.factor: -1.1 is no calibration",
        "\"axis\": \"x\" | \"calibration\": {\"factor\": 1, \"sigma\": \"90 %\"} | calibration.sigma: must lie between 0 and 50 %",
        "} | ] | not valid JSON",
      })
  void badFieldsAreNamedInOneLine(String from, String to, String why) throws IOException {
    assertThat(GOOD).contains(from);
    String json = GOOD.replace(from, to == null ? "" : to);
    assertThatThrownBy(() -> read(json))
        .isInstanceOf(BadInputException.class)
        .hasMessageStartingWith("m.json: ")
        .hasMessageContaining(why)
        .message()
        .doesNotContain("\n");
  }

  @Test
  void aFileThatIsNoJsonOrNotThereIsSaid() throws IOException {
    assertThatThrownBy(() -> read("")).hasMessage("m.json: is empty; a JSON object is needed");
    assertThatThrownBy(() -> read("[1]")).hasMessageContaining("one JSON object");
    assertThatThrownBy(() -> read(GOOD + "{}")).hasMessageContaining("not valid JSON");
    assertThatThrownBy(() -> read("[".repeat(5000))).hasMessageContaining("not valid JSON");
    Files.write(folder.resolve("n.json"), new byte[] {'{', (byte) 0xff, (byte) 0xfe, '}'});
    assertThatThrownBy(() -> MeasurementFile.read(folder.resolve("n.json")))
        .hasMessageContaining("not UTF-8");
    assertThatThrownBy(() -> MeasurementFile.read(folder.resolve("none.json")))
        .hasMessageContaining("there is no such file");
    assertThatThrownBy(() -> MeasurementFile.read(folder)).hasMessageContaining("is a folder");
  }
}
