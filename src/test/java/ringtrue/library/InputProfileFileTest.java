package ringtrue.library;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import ringtrue.acquisition.Channel;
import ringtrue.acquisition.MemoryRecording;
import ringtrue.acquisition.ResponseQuantity;
import ringtrue.acquisition.TapRecording;
import ringtrue.library.InputProfile.Line;
import ringtrue.units.BadInputException;
import ringtrue.units.Dimension;
import ringtrue.units.Quantity;

class InputProfileFileTest {
  private static final String GOOD =
      """
      {"format": "ringtrue-input/1", "name": "bench box", "device": "Box", "sampleRate": "96 kHz",
       "bits": 24, "gain": "knobs at 2 o'clock",
       "force": {"channel": 1, "sensitivity": "2.25 mV/N", "fullScale": "0.95 V",
                 "fullScaleFrom": "measured", "fullScaleSigma": "0.6 %"},
       "response": {"channel": 2, "quantity": "acceleration", "sensitivity": "10.2 mV/g",
                    "fullScale": "1.0 V", "highPass": "8 Hz", "polarity": "-",
                    "sensorMass": "0.6 g"},
       "channelSkew": "12 us"}
      """;

  private static final double G = Quantity.parse("10.2 mV/g", Dimension.VOLTAGE_PER_ACCELERATION);

  @TempDir Path folder;

  private InputProfile read(String text) throws IOException {
    return InputProfileFile.read(Files.writeString(folder.resolve("box.json"), text));
  }

  @Test
  void readsEveryField() throws IOException {
    InputProfile profile = read(GOOD);
    assertThat(profile)
        .isEqualTo(
            new InputProfile(
                "bench box",
                "Box",
                96_000,
                24,
                "knobs at 2 o'clock",
                Optional.of(
                    new Line(
                        1,
                        Quantity.parse("2.25 mV/N", Dimension.VOLTAGE_PER_FORCE),
                        0.95,
                        true,
                        0.006,
                        0,
                        1)),
                new Line(2, G, 1, false, 0, 8, -1),
                ResponseQuantity.ACCELERATION,
                0.6e-3,
                12e-6,
                ""));
    assertThat(profile.channels()).isEqualTo(2);
    TapRecording taps =
        profile.measurement(
            "tip", "x", "tool tip", List.of(new MemoryRecording("a", 96_000, new double[2][9])));
    assertThat(taps.force())
        .contains(new Channel(1, 0.95 / profile.force().get().voltsPerUnit(), 1, 1, 0));
    assertThat(taps.response()).isEqualTo(new Channel(2, 1 / G, 1, -1, 8));
    assertThat(taps.skewS()).isEqualTo(12e-6);
    assertThat(taps.sensorMassKg()).isEqualTo(0.6e-3);
  }

  /** To the last bit, through text with units. */
  @Test
  void whatIsWrittenReadsTheSame() throws IOException {
    InputProfile profile =
        read(GOOD)
            .withSkew(-1.0 / 3 * 1e-6)
            .withForce(new Line(1, 1.0 / 447, 0.1 + 0.2, true, 1.0 / 300, 1.0 / 7, -1));
    Path file = folder.resolve("again.json");
    InputProfileFile.write(file, false, profile);
    assertThat(InputProfileFile.read(file)).isEqualTo(profile);
    assertThatThrownBy(() -> InputProfileFile.write(file, false, profile))
        .isInstanceOf(BadInputException.class)
        .hasMessageContaining("is there already");
    InputProfile noForce =
        new InputProfile(
            "mic",
            "",
            44_100,
            0,
            "",
            Optional.empty(),
            new Line(1, 0.012, 1, false, 0, 0, 1),
            ResponseQuantity.SOUND,
            0,
            0,
            "on a stand");
    InputProfileFile.write(file, true, noForce);
    assertThat(InputProfileFile.read(file)).isEqualTo(noForce);
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      quoteCharacter = '~',
      value = {
        "\"96 kHz\" | \"96 kHz\", \"rate\": 3 | rate: unknown field",
        "\"96 kHz\" | 96000 | sampleRate: 96000 has no unit",
        "\"96 kHz\" | \"999 kHz\" | sampleRate: must be a whole number of Hz up to 384 kHz",
        "24, | 20, | bits: must be 16, 24 or 32, is 20",
        "\"2.25 mV/N\" | \"2.25 mV\" | force.sensitivity:",
        "\"0.95 V\" | \"-1 V\" | force.fullScale: must be more than zero",
        "\"0.6 %\" | \"60 %\" | force.fullScaleSigma: must lie between 0 and 50 %",
        "\"measured\" | \"guessed\" | force.fullScaleFrom: \"guessed\" is not known",
        "\"channel\": 2 | \"channel\": 1 | response.channel: force and response cannot be the same",
        "\"acceleration\" | \"heat\" | response.quantity: \"heat\" is not known",
        "\"8 Hz\" | \"30 kHz\" | response.highPass: a corner of 30000.0 Hz is too high",
        "\"0.6 g\" | \"60 kg\" | response.sensorMass: 60.0 kg is no sensor",
        "\"12 us\" | \"12 s\" | channelSkew: 12.0 s is no shift",
        "\"bench box\" | \"\" | name: missing",
      })
  void namesTheFieldThatIsWrong(String from, String to, String message) {
    assertThat(GOOD).contains(from);
    assertThatThrownBy(() -> read(GOOD.replace(from, to)))
        .isInstanceOf(BadInputException.class)
        .hasMessageStartingWith("box.json: ")
        .hasMessageContaining(message);
  }

  @Test
  void anotherDeviceOrRateIsWarnedOf() throws IOException {
    InputProfile profile = read(GOOD);
    assertThat(profile.warnings("box", 96_000, 24)).isEmpty();
    assertThat(profile.warnings("Other", 48_000, 16)).hasSize(3);
    assertThat(profile.warnings("Box", 48_000, 24))
        .containsExactly(
            "the profile \"bench box\" was made at 96000 Hz, this is 48000 Hz: channel skew and"
                + " high-pass may be others");
  }

  @Test
  void isFoundByItsNameOrThatOfItsFile() throws IOException {
    read(GOOD);
    Files.writeString(folder.resolve("broken.json"), "{");
    assertThat(InputProfileFile.find(folder, "Bench Box").device()).isEqualTo("Box");
    assertThat(InputProfileFile.find(folder, "box").device()).isEqualTo("Box");
    assertThatThrownBy(() -> InputProfileFile.find(folder, "bench bix"))
        .isInstanceOf(BadInputException.class)
        .hasMessage(
            "there is no input profile \"bench bix\"; did you mean \"bench box\"? there are: bench"
                + " box");
    assertThatThrownBy(() -> InputProfileFile.find(folder, "broken"))
        .hasMessageStartingWith("broken.json: ");
    assertThatThrownBy(() -> InputProfileFile.find(folder.resolve("none"), "x"))
        .hasMessageContaining("holds none");
  }
}
