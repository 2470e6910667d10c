package ringtrue.acquisition;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Map;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import ringtrue.acquisition.TapLog.Entry;
import ringtrue.units.BadInputException;

class TapLogTest {
  private static final Entry FIRST =
      new Entry(1, 0, 400, "kept", "", Map.of("peakForceN", 31.5, "contactS", 1e-3));
  private static final Entry SECOND =
      new Entry(
          2, 500, 400, "double hit", "a second blow of 45 % after 7.4 ms, \"bounced\"", Map.of());
  private static final Entry TAKEN_BACK = new Entry(2, 500, 400, "kept", "by the user", Map.of());

  @TempDir Path folder;
  private Path path;

  @BeforeEach
  void writeTwo() throws IOException {
    path = TapLog.beside(folder.resolve("bench.WAV"));
    try (StreamedWav wav = StreamedWav.create(folder.resolve("bench.WAV"), 48_000, 1, 16, false);
        TapLog log = TapLog.create(wav, 48_000, path, false)) {
      wav.write(new double[1000], 1000);
      log.append(FIRST);
      log.append(SECOND);
      assertThatThrownBy(() -> log.append(new Entry(3, 900, 101, "kept", "", Map.of())))
          .hasMessageContaining("beyond the 1000 frames written");
    }
  }

  @Test
  void readsWhatWasWritten() throws IOException {
    assertThat(path.getFileName()).hasToString("bench.taps.jsonl");
    TapLog.Content content = TapLog.read(path);
    assertThat(content.recording()).isEqualTo("bench.WAV");
    assertThat(content.sampleRateHz()).isEqualTo(48_000);
    assertThat(content.taps()).containsExactly(FIRST, SECOND);
    assertThat(content.remarks()).isEmpty();
    assertThat(Files.readAllLines(path).get(0))
        .isEqualTo(
            "{\"format\":\"ringtrue-taps/1\",\"recording\":\"bench.WAV\",\"sampleRateHz\":48000.0}");
  }

  @Test
  void theLastWordOnATapHolds() throws IOException {
    Path other = folder.resolve("other.taps.jsonl");
    try (StreamedWav wav = StreamedWav.create(folder.resolve("o.wav"), 48_000, 1, 16, false);
        TapLog log = TapLog.create(wav, 48_000, other, false)) {
      wav.write(new double[1000], 1000);
      log.append(SECOND);
      log.append(FIRST);
      log.append(TAKEN_BACK);
    }
    assertThat(TapLog.read(other).taps()).containsExactly(FIRST, TAKEN_BACK);
  }

  /** Cut at every place of the last line. */
  @Test
  void halfALastLineIsLeftOutAndSaid() throws IOException {
    byte[] whole = Files.readAllBytes(path);
    String text = Files.readString(path);
    int last = text.lastIndexOf('\n', text.length() - 2) + 1;
    for (int length = last + 1; length < whole.length - 1; length++) {
      Path cut = Files.write(folder.resolve("cut"), java.util.Arrays.copyOf(whole, length));
      TapLog.Content content = TapLog.read(cut);
      assertThat(content.taps()).containsExactly(FIRST);
      assertThat(content.remarks()).hasSize(1).first().asString().contains("was cut short");
    }
  }

  @Test
  void saysWhatIsNoLog() throws IOException {
    Path text = Files.writeString(folder.resolve("x"), "hello\n");
    assertThatThrownBy(() -> TapLog.read(text))
        .isInstanceOf(BadInputException.class)
        .hasMessageStartingWith("x: line 1: must be");
    Path middle =
        Files.writeString(
            folder.resolve("y"), Files.readString(path).replace("\"tap\":1,", "\"tap\":0,"));
    assertThatThrownBy(() -> TapLog.read(middle))
        .hasMessage("y: line 2: is neither a tap nor a gap");
    assertThatThrownBy(() -> TapLog.read(folder.resolve("z"))).hasMessageContaining("no such file");
  }
}
