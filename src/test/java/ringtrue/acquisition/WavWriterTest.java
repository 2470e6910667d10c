package ringtrue.acquisition;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Random;
import java.util.stream.Stream;
import javax.sound.sampled.AudioFormat;
import javax.sound.sampled.AudioInputStream;
import javax.sound.sampled.AudioSystem;
import javax.sound.sampled.UnsupportedAudioFileException;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import ringtrue.units.BadInputException;

class WavWriterTest {
  @TempDir Path folder;

  @ParameterizedTest
  @EnumSource
  void comesBackToWithinHalfAStep(WavWriter.SampleFormat format) throws IOException {
    for (int channels : new int[] {1, 2, 5}) {
      Random random = new Random(3);
      double[][] samples = new double[channels][20_001];
      for (double[] channel : samples) {
        for (int i = 0; i < channel.length; i++) {
          channel[i] = 1.8 * random.nextDouble() - 0.9;
        }
      }
      Path file = folder.resolve(format + "-" + channels + ".wav");
      MemoryRecording made = new MemoryRecording("made", 44_100, samples);
      WavWriter.write(made, file, format, false);
      WavRecording read = WavRecording.open(file);
      assertThat(read.bits()).isEqualTo(format.bits);
      assertThat(read.floating()).isEqualTo(format.floating);
      assertThat(read.sampleRateHz()).isEqualTo(44_100);
      MemoryRecording back = MemoryRecording.copyOf(read);
      double step =
          format == WavWriter.SampleFormat.FLOAT64
              ? 0
              : format.floating ? 0x1p-24 : Math.scalb(0.5, 1 - format.bits);
      double worst = 0;
      for (int c = 0; c < channels; c++) {
        double[] got = back.channel(c + 1);
        for (int i = 0; i < got.length; i++) {
          worst = Math.max(worst, Math.abs(got[i] - samples[c][i]));
        }
      }
      assertThat(worst).isLessThanOrEqualTo(step);
    }
  }

  /** The Java platform's own sound reader sees the same file. */
  @Test
  void thePlatformReadsIt() throws IOException, UnsupportedAudioFileException {
    double[] left = {0.5, -0.25, 0.125};
    double[] right = {-1, 0, 2};
    MemoryRecording made = new MemoryRecording("made", 96_000, left, right);
    Path sixteen = folder.resolve("sixteen.wav");
    WavWriter.write(made, sixteen, WavWriter.SampleFormat.INT16, false);
    try (AudioInputStream stream = AudioSystem.getAudioInputStream(sixteen.toFile())) {
      AudioFormat format = stream.getFormat();
      assertThat(format.getSampleRate()).isEqualTo(96_000f);
      assertThat(format.getChannels()).isEqualTo(2);
      assertThat(stream.getFrameLength()).isEqualTo(3);
      assertThat(stream.readAllBytes())
          .containsExactly(0, 0x40, 0, 0x80, 0, 0xE0, 0, 0, 0, 0x10, 0xFF, 0x7F);
    }
    Path twentyFour = folder.resolve("twentyfour.wav");
    WavWriter.write(made, twentyFour, WavWriter.SampleFormat.INT24, false);
    try (AudioInputStream stream = AudioSystem.getAudioInputStream(twentyFour.toFile())) {
      assertThat(stream.getFormat().getSampleSizeInBits()).isEqualTo(24);
      assertThat(stream.getFrameLength()).isEqualTo(3);
      assertThat(stream.readAllBytes()).startsWith(0, 0, 0x40, 0, 0, 0x80);
    }
  }

  @Test
  void refusesToOverwriteUnlessAsked() throws IOException {
    Path file = Files.writeString(folder.resolve("mine.wav"), "precious");
    MemoryRecording made = new MemoryRecording("made", 8000, new double[] {1});
    assertThatThrownBy(() -> WavWriter.write(made, file, WavWriter.SampleFormat.INT16, false))
        .isInstanceOf(BadInputException.class)
        .hasMessageStartingWith("mine.wav: the file exists already");
    assertThat(Files.readString(file)).isEqualTo("precious");
    WavWriter.write(made, file, WavWriter.SampleFormat.INT16, true);
    assertThat(WavRecording.open(file).frames()).isEqualTo(1);
    assertThat(files()).containsExactly("mine.wav");
  }

  @Test
  void isNeverSeenHalfWritten() throws IOException {
    Path file = folder.resolve("taps.wav");
    double[][] block = {new double[1000], new double[1000]};
    try (WavWriter writer =
        WavWriter.create(file, WavWriter.SampleFormat.INT24, 2, 48_000, false)) {
      writer.write(block, 0, 1000);
      writer.flush();
      writer.write(block, 0, 10);
      assertThat(file).doesNotExist();
      // what a power cut would leave can be read
      Path part = folder.resolve(files().get(0));
      assertThat(WavRecording.open(part).frames()).isEqualTo(1000);
      assertThat(writer.frames()).isEqualTo(1010);
    }
    assertThat(files()).isEmpty();
  }

  @Test
  void padsAnOddNumberOfBytes() throws IOException {
    Path file = folder.resolve("odd.wav");
    WavWriter.write(
        new MemoryRecording("made", 8000, new double[3]),
        file,
        WavWriter.SampleFormat.INT24,
        false);
    assertThat(Files.size(file)).isEqualTo(80 + 9 + 1);
    assertThat(WavRecording.open(file).frames()).isEqualTo(3);
  }

  @Test
  void saysWhatItCannotWrite() {
    MemoryRecording uneven = new MemoryRecording("slow.csv", 1000.5, new double[1]);
    assertThatThrownBy(
            () ->
                WavWriter.write(
                    uneven, folder.resolve("a.wav"), WavWriter.SampleFormat.INT16, false))
        .isInstanceOf(BadInputException.class)
        .hasMessageContaining("1000.5");
    MemoryRecording nan = new MemoryRecording("nan", 1000, new double[] {Double.NaN});
    assertThatThrownBy(
            () ->
                WavWriter.write(nan, folder.resolve("a.wav"), WavWriter.SampleFormat.INT16, false))
        .isInstanceOf(IllegalArgumentException.class);
    assertThatThrownBy(
            () ->
                WavWriter.write(
                    new MemoryRecording("m", 1000, new double[1]),
                    folder.resolve("no/such/a.wav"),
                    WavWriter.SampleFormat.INT16,
                    false))
        .isInstanceOf(BadInputException.class);
    assertThat(folder).isEmptyDirectory();
  }

  private List<String> files() throws IOException {
    try (Stream<Path> all = Files.list(folder)) {
      return all.map(p -> p.getFileName().toString()).toList();
    }
  }
}
