package ringtrue.cli;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import ringtrue.acquisition.LiveInput;
import ringtrue.acquisition.Pace;
import ringtrue.acquisition.ReplayInput;
import ringtrue.acquisition.StreamedWav;
import ringtrue.acquisition.WavRecording;

/** A session that was killed gives the same response as one that was finished, and says so. */
class UnfinishedRecordingTest {
  private static final Path DEMO = Path.of("demo-measurements");

  @TempDir Path folder;

  @Test
  void whatAKilledSessionLeftIsUsedAndSaid() throws IOException {
    Path left = folder.resolve("tool-8mm-x.wav");
    Path stream = folder.resolve("stream.wav");
    WavRecording demo = WavRecording.open(DEMO.resolve("tool-8mm-x.wav"));
    double[] frames = new double[2 * 1000];
    try (LiveInput input = ReplayInput.of(demo, Pace.AS_FAST_AS_POSSIBLE);
        StreamedWav wav = StreamedWav.create(stream, 48_000, 2, input.bits(), false)) {
      for (int got = input.read(frames, 1000); got > 0; got = input.read(frames, 1000)) {
        wav.write(frames, got);
      }
      Files.copy(stream, left);
    }
    Path file = Files.copy(DEMO.resolve("tool-8mm-x.json"), folder.resolve("m.json"));
    JsonNode killed = frf(file);
    JsonNode whole = frf(DEMO.resolve("tool-8mm-x.json"));
    assertThat(killed.get("remarks").toString())
        .contains(
            "tool-8mm-x.wav: the recorder was stopped before it could finish the file; all "
                + demo.frames()
                + " frames");
    assertThat(whole.get("remarks").toString()).doesNotContain("was stopped");
    assertThat(killed.get("realMPerN")).isEqualTo(whole.get("realMPerN"));
  }

  private static JsonNode frf(Path file) throws IOException {
    CommandRun run = CommandRun.of("frf", file.toString(), "--json");
    assertThat(run.code()).as(run.err()).isZero();
    return new ObjectMapper().readTree(run.out());
  }
}
