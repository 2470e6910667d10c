package ringtrue.acquisition;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Random;
import javax.sound.sampled.AudioFileFormat;
import javax.sound.sampled.AudioSystem;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import ringtrue.units.BadInputException;

class StreamedWavTest {
  @TempDir Path folder;

  private static double[] noise(int samples, int bits) {
    Random random = new Random(9);
    double[] noise = new double[samples];
    for (int i = 0; i < samples; i++) {
      noise[i] = Math.scalb((double) (random.nextInt() >> (32 - bits)), 1 - bits);
    }
    noise[0] = -1;
    noise[1] = 1 - Math.scalb(1.0, 1 - bits);
    return noise;
  }

  private static double[] interleaved(MemoryRecording read) {
    double[] all = new double[(int) read.frames() * read.channels()];
    for (int c = 0; c < read.channels(); c++) {
      double[] channel = read.channel(c + 1);
      for (int i = 0; i < channel.length; i++) {
        all[i * read.channels() + c] = channel[i];
      }
    }
    return all;
  }

  @ParameterizedTest
  @CsvSource({"16, 1", "16, 2", "24, 1", "24, 3", "32, 2"})
  void everySampleComesBackTheSame(int bits, int channels) throws IOException {
    double[] noise = noise(channels * 12_345, bits);
    Path file = folder.resolve("s.wav");
    try (StreamedWav wav = StreamedWav.create(file, 96_000, channels, bits, false)) {
      wav.write(noise, 5);
      double[] rest = java.util.Arrays.copyOfRange(noise, 5 * channels, noise.length);
      wav.write(rest, 12_340);
      assertThat(wav.frames()).isEqualTo(12_345);
    }
    WavRecording read = WavRecording.open(file);
    assertThat(read.sampleRateHz()).isEqualTo(96_000);
    assertThat(read.bits()).isEqualTo(bits);
    assertThat(read.remarks()).isEmpty();
    assertThat(interleaved(MemoryRecording.copyOf(read))).isEqualTo(noise);
  }

  /** Another reader, that of the Java library, agrees with the header while it is recorded too. */
  @Test
  void theHeaderHoldsForOtherReadersAtAnyTime() throws Exception {
    Path file = folder.resolve("s.wav");
    try (StreamedWav wav = StreamedWav.create(file, 48_000, 2, 16, false)) {
      wav.write(noise(2 * 10_000, 16), 10_000);
      wav.force();
      assertThat(AudioSystem.getAudioFileFormat(file.toFile()).getFrameLength()).isEqualTo(10_000);
    }
    AudioFileFormat finished = AudioSystem.getAudioFileFormat(file.toFile());
    assertThat(finished.getFrameLength()).isEqualTo(10_000);
    assertThat(finished.getFormat().getChannels()).isEqualTo(2);
  }

  @Test
  void numbersBetweenAndBeyondTheStepsGoToTheNearest() throws IOException {
    Path file = folder.resolve("s.wav");
    try (StreamedWav wav = StreamedWav.create(file, 8000, 1, 16, false)) {
      wav.write(new double[] {1.4 / 32768, 1, 3, -1e9, Double.POSITIVE_INFINITY}, 5);
      assertThatThrownBy(() -> wav.write(new double[] {Double.NaN}, 1))
          .isInstanceOf(IllegalArgumentException.class);
    }
    double top = 32767.0 / 32768;
    assertThat(MemoryRecording.copyOf(WavRecording.open(file)).channel(1))
        .containsExactly(1.0 / 32768, top, top, -1, top);
  }

  /** As a killed program leaves it: sizes of before, a mark, and perhaps half a frame. */
  @ParameterizedTest
  @ValueSource(ints = {0, 1, 5})
  void whatAStoppedProgramLeftIsAllThere(int halfFrame) throws IOException {
    double[] noise = noise(2 * 5000, 24);
    Path file = folder.resolve("s.wav");
    Path left = folder.resolve("left.wav");
    try (StreamedWav wav = StreamedWav.create(file, 48_000, 2, 24, false)) {
      wav.write(noise, 5000);
      wav.write(noise, 3);
      byte[] bytes = Files.readAllBytes(file);
      Files.write(left, java.util.Arrays.copyOf(bytes, bytes.length + halfFrame));
    }
    WavRecording read = WavRecording.open(left);
    assertThat(read.frames()).isEqualTo(5003);
    assertThat(read.remarks())
        .containsExactly(
            "left.wav: the recorder was stopped before it could finish the file; all 5003 frames"
                + " (0.104 s) that are there were taken"
                + (halfFrame > 0 ? ", half a frame at the end left out" : ""));
    assertThat(interleaved(MemoryRecording.copyOf(read))).startsWith(noise);
  }

  /** What happens at 4 GiB, at a smaller size. */
  @Test
  void turnsIntoRf64WhenItGrowsTooLarge() throws IOException {
    double[] noise = noise(2 * 1000, 24);
    Path file = folder.resolve("s.wav");
    Path left = folder.resolve("left.wav");
    try (StreamedWav wav = StreamedWav.create(file, 1000, 2, 24, false, 15_000)) {
      wav.write(noise, 1000);
      assertThat(Files.readString(file, java.nio.charset.StandardCharsets.ISO_8859_1))
          .startsWith("RIFF");
      wav.write(noise, 1000);
      wav.write(noise, 1000);
      wav.write(noise, 7);
      Files.copy(file, left);
    }
    for (Path each : List.of(file, left)) {
      assertThat(Files.readString(each, java.nio.charset.StandardCharsets.ISO_8859_1))
          .startsWith("RF64");
      WavRecording read = WavRecording.open(each);
      assertThat(read.frames()).isEqualTo(3007);
      double[] got = interleaved(MemoryRecording.copyOf(read));
      assertThat(java.util.Arrays.copyOfRange(got, 4000, 6000)).isEqualTo(noise);
    }
    assertThat(WavRecording.open(file).remarks()).isEmpty();
    assertThat(WavRecording.open(left).remarks()).hasSize(1);
  }

  @Test
  void nothingIsReplacedUnlessAsked() throws IOException {
    Path file = Files.writeString(folder.resolve("s.wav"), "mine");
    assertThatThrownBy(() -> StreamedWav.create(file, 48_000, 2, 16, false))
        .isInstanceOf(BadInputException.class)
        .hasMessageContaining("is there already; add --overwrite");
    assertThat(Files.readString(file)).isEqualTo("mine");
    StreamedWav.create(file, 48_000, 2, 16, true).close();
    assertThat(Files.size(file)).isEqualTo(128);
    assertThatThrownBy(() -> StreamedWav.create(folder, 48_000, 2, 16, false))
        .hasMessageContaining("is a folder");
    assertThatThrownBy(() -> StreamedWav.create(folder.resolve("no/s.wav"), 48_000, 2, 16, false))
        .hasMessageContaining("the folder it shall go to does not exist");
  }

  /** A shell's limit on the size of files stands in for a full disk: the write fails half-way. */
  @Test
  void aFullDiskKeepsWhatWasThere() throws IOException, InterruptedException {
    assumeTrue(Files.isExecutable(Path.of("/bin/bash")), "skipped: needs bash and its ulimit");
    Path file = folder.resolve("s.wav");
    StringBuilder command = new StringBuilder("ulimit -f 300; exec");
    for (String word : Child.javaCommand(Filler.class, file.toString())) {
      command.append(" '").append(word).append('\'');
    }
    try (Child child = Child.start(Map.of(), "/bin/bash", "-c", command.toString())) {
      assertThat(child.ends(60)).as("%s", child.lines()).isZero();
      assertThat(child.lines("failed")).as("%s", child.lines()).hasSize(2);
      long kept = Long.parseLong(child.lines("frames").get(0));
      assertThat(child.lines("failed").get(0))
          .startsWith("s.wav: cannot be written any further: ")
          .endsWith("; the first " + kept + " frames are kept");
      assertThat(kept * 6).isBetween(250_000L, 300 * 1024L);
      WavRecording read = WavRecording.open(file);
      assertThat(read.frames()).isEqualTo(kept);
      assertThat(read.remarks()).isEmpty();
      assertThat(interleaved(MemoryRecording.copyOf(read))).startsWith(noise(2 * 1000, 24));
    }
  }

  /** Writes until it fails. */
  static final class Filler {
    private Filler() {}

    public static void main(String[] args) throws IOException {
      double[] noise = noise(2 * 1000, 24);
      try (StreamedWav wav = StreamedWav.create(Path.of(args[0]), 48_000, 2, 24, false)) {
        for (int i = 0; i < 2; i++) {
          try {
            for (int block = 0; block < 1000; block++) {
              wav.write(noise, 1000);
            }
          } catch (IOException e) {
            System.out.println("failed " + e.getMessage());
          }
        }
        System.out.println("frames " + wav.frames());
      }
    }
  }
}
