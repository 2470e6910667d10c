package ringtrue.ui.listening;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.function.IntToDoubleFunction;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import ringtrue.dynamics.Progress;
import ringtrue.library.Catalogue;
import ringtrue.library.CutFile;
import ringtrue.library.SetUpLibrary;
import ringtrue.ui.DemoCut;
import ringtrue.ui.job.Direction;
import ringtrue.units.BadInputException;

/** Recordings that are no cut: each gets a plain sentence. */
class OtherRecordingsTest {
  private static final String MODES =
      "{\"modes\": [{\"frequency\": \"1620 Hz\", \"damping\": \"2 %\","
          + " \"stiffness\": \"9 N/um\"}]}";

  @TempDir Path folder;

  /** A WAV file of samples between -1 and 1, the same in every channel. */
  private Path wav(
      String name, int hz, int bits, int channels, int frames, IntToDoubleFunction sample)
      throws Exception {
    int bytes = bits / 8;
    int size = frames * channels * bytes;
    ByteBuffer all = ByteBuffer.allocate(44 + size).order(ByteOrder.LITTLE_ENDIAN);
    all.put("RIFF".getBytes(StandardCharsets.US_ASCII)).putInt(36 + size);
    all.put("WAVEfmt ".getBytes(StandardCharsets.US_ASCII)).putInt(16);
    all.putShort((short) 1).putShort((short) channels).putInt(hz);
    all.putInt(hz * channels * bytes).putShort((short) (channels * bytes)).putShort((short) bits);
    all.put("data".getBytes(StandardCharsets.US_ASCII)).putInt(size);
    double full = Math.pow(2, bits - 1.0) - 1;
    for (int i = 0; i < frames; i++) {
      int value = (int) Math.round(full * Math.max(-1, Math.min(1, sample.applyAsDouble(i))));
      for (int c = 0; c < channels; c++) {
        for (int b = 0; b < bytes; b++) {
          all.put((byte) (value >> (8 * b)));
        }
      }
    }
    Path file = folder.resolve(name);
    Files.write(file, all.array());
    return file;
  }

  private Heard read(Path file, int channel) throws Exception {
    String text =
        DemoCut.at(DemoCut.QUIET).file(Map.of(Direction.TOOL_X, MODES, Direction.TOOL_Y, MODES));
    var cut =
        CutFile.ofText(
            folder.resolve("cut.json"),
            text,
            Catalogue.bundled(),
            SetUpLibrary.in(folder.resolve("library")),
            Progress.NONE);
    Known known = Known.of(cut, List.of(), Progress.NONE);
    return new Listener(known, false, Optional.empty(), channel, "test ", Progress.NONE)
        .read(file, 0, Double.POSITIVE_INFINITY, Heard.Source.RECORDING, "");
  }

  private String told(Path file, int channel) throws Exception {
    try {
      Heard heard = read(file, channel);
      return heard.sound().verdict()
          + ": "
          + heard.sound().because()
          + " | "
          + String.join(" | ", heard.remarks());
    } catch (BadInputException e) {
      return e.getMessage();
    }
  }

  private static double teeth(int i, double hz) {
    double t = i / hz;
    return 0.4 * Math.sin(2 * Math.PI * 650 * t) + 0.1 * Math.sin(2 * Math.PI * 1300 * t);
  }

  @Test
  void whatIsNoCutIsSaidPlainly() throws Exception {
    assertThat(told(wav("silence.wav", 48000, 16, 1, 96000, i -> 0), 1))
        .startsWith("NOTHING_HEARD: There is no sound in it.");
    Random random = new Random(1);
    assertThat(told(wav("noise.wav", 48000, 16, 1, 96000, i -> 0.1 * random.nextGaussian()), 1))
        .startsWith("NOTHING_HEARD: Teeth are not heard");
    assertThat(told(wav("one.wav", 48000, 16, 1, 1, i -> 0.5), 1))
        .isEqualTo("one.wav: is only 2.1e-05 s long; some seconds of the cut are needed");
    assertThat(told(wav("none.wav", 48000, 16, 1, 0, i -> 0), 1))
        .isEqualTo("none.wav: it holds no samples (0 frames)");
    Path text = folder.resolve("text.wav");
    Files.writeString(text, "no recording but a text that was renamed\n".repeat(20));
    assertThat(told(text, 1)).startsWith("text.wav: not a WAV sound file");
    assertThat(told(folder.resolve("gone.wav"), 1)).isEqualTo("gone.wav: there is no such file");
    assertThat(told(folder, 1)).contains("this is a folder, a file is needed");
  }

  @Test
  void aCutIsReadInEveryUsualShape() throws Exception {
    assertThat(told(wav("8k.wav", 8000, 16, 1, 24000, i -> teeth(i, 8000)), 1)).startsWith("CLEAN");
    assertThat(told(wav("24.wav", 48000, 24, 1, 96000, i -> teeth(i, 48000)), 1))
        .startsWith("CLEAN");
    Path stereo = wav("stereo.wav", 48000, 16, 2, 96000, i -> teeth(i, 48000));
    assertThat(told(stereo, 2)).startsWith("CLEAN");
    assertThat(told(stereo, 3)).isEqualTo("stereo.wav: has no channel 3, but 2 channels");
    assertThat(told(wav("clipped.wav", 48000, 16, 1, 96000, i -> 6 * teeth(i, 48000)), 1))
        .contains("the recording is clipped");
  }
}
