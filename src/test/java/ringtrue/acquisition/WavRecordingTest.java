package ringtrue.acquisition;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.io.RandomAccessFile;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import ringtrue.units.BadInputException;

class WavRecordingTest {
  @TempDir Path folder;

  /** Files of SciPy's own writer, see fixtures/wav/make_wav.py. */
  @ParameterizedTest
  @ValueSource(strings = {"int16", "int32", "float32", "float64"})
  void readsWhatSciPyWrote(String file) throws IOException {
    MemoryRecording read =
        MemoryRecording.copyOf(WavRecording.open(Path.of("fixtures/wav", file + ".wav")));
    assertThat(read.sampleRateHz()).isEqualTo(44100);
    assertThat(read.frames()).isEqualTo(37);
    int compared = 0;
    for (String line : Files.readAllLines(Path.of("fixtures/wav/numbers.csv"))) {
      String[] cells = line.split(",");
      if (cells[0].equals(file)) {
        double[] channel = read.channel(Integer.parseInt(cells[2]));
        assertThat(channel[Integer.parseInt(cells[1])]).isEqualTo(Double.parseDouble(cells[3]));
        compared++;
      }
    }
    assertThat(compared).isEqualTo(37 * read.channels());
  }

  @Test
  void readsTwentyFourBitsToTheEndsOfTheirRange() throws IOException {
    byte[] data = {0, 0, (byte) 0x80, (byte) 0xFF, (byte) 0xFF, 0x7F, 1, 0, 0, -1, -1, -1};
    Path file = wav(fmt(1, 1, 1000, 24), data);
    assertThat(MemoryRecording.copyOf(WavRecording.open(file)).channel(1))
        .containsExactly(-1, 1 - 0x1p-23, 0x1p-23, -0x1p-23);
  }

  @Test
  void readsTwentyBitsAtTheTopOfTwentyFour() throws IOException {
    ByteBuffer fmt = extensible(1, 1, 48000, 24, 20);
    Path file = wav(fmt.array(), new byte[] {(byte) 0xF0, (byte) 0xFF, 0x7F, 0x10, 0, 0});
    assertThat(MemoryRecording.copyOf(WavRecording.open(file)).channel(1))
        .containsExactly(1 - 0x1p-19, 0x1p-19);
  }

  @Test
  void skipsUnknownChunksWithTheirPadding() throws IOException {
    Path file = folder.resolve("chunks.wav");
    ByteBuffer bytes = ByteBuffer.allocate(200).order(ByteOrder.LITTLE_ENDIAN);
    bytes.put(ascii("RIFF")).putInt(0).put(ascii("WAVE"));
    bytes.put(ascii("odd ")).putInt(3).put(new byte[] {'d', 'a', 't', 0});
    bytes.put(ascii("fmt ")).putInt(16).put(fmt(1, 2, 8000, 16));
    bytes.put(ascii("LIST")).putInt(5).put(new byte[6]);
    bytes.put(ascii("data")).putInt(8).putShort((short) 16384).putShort((short) -8192);
    bytes.putShort((short) 3).putShort((short) 4);
    bytes.put(ascii("cue ")).putInt(4).putInt(0);
    bytes.putInt(4, bytes.position() - 8);
    Files.write(file, java.util.Arrays.copyOf(bytes.array(), bytes.position()));
    MemoryRecording read = MemoryRecording.copyOf(WavRecording.open(file));
    assertThat(read.channel(1)).containsExactly(0.5, 3 * 0x1p-15);
    assertThat(read.channel(2)).containsExactly(-0.25, 4 * 0x1p-15);
  }

  @Test
  void readsRf64() throws IOException {
    Path file = folder.resolve("wide.wav");
    ByteBuffer bytes = ByteBuffer.allocate(84).order(ByteOrder.LITTLE_ENDIAN);
    bytes.put(ascii("RF64")).putInt(-1).put(ascii("WAVE"));
    bytes.put(ascii("ds64")).putInt(28).putLong(76).putLong(4).putLong(2).putInt(0);
    bytes.put(ascii("fmt ")).putInt(16).put(fmt(1, 1, 8000, 16));
    bytes.put(ascii("data")).putInt(-1).putShort((short) 1).putShort((short) 2);
    Files.write(file, bytes.array());
    assertThat(MemoryRecording.copyOf(WavRecording.open(file)).channel(1))
        .containsExactly(0x1p-15, 0x1p-14);
  }

  /** A recorder that was stopped hard leaves sizes of 0 or all ones, and perhaps half a frame. */
  @ParameterizedTest
  @ValueSource(ints = {0, -1})
  void readsWhatAStoppedRecorderLeft(int size) throws IOException {
    byte[] whole = Files.readAllBytes(wav(fmt(1, 2, 8000, 16), new byte[4 * 10 + 2]));
    ByteBuffer.wrap(whole).order(ByteOrder.LITTLE_ENDIAN).putInt(4, size).putInt(40, size);
    Path file = Files.write(folder.resolve("stopped.wav"), whole);
    assertThat(WavRecording.open(file).frames()).isEqualTo(10);
  }

  @Test
  void startsAtAnyFrameAndReadsOnlyWantedChannels() throws IOException {
    Random random = new Random(7);
    double[][] samples = new double[3][100_000];
    for (double[] channel : samples) {
      for (int i = 0; i < channel.length; i++) {
        channel[i] = random.nextInt(1 << 24) * 0x1p-23 - 1;
      }
    }
    MemoryRecording truth = new MemoryRecording("truth", 192_000, samples);
    Path file = folder.resolve("random.wav");
    WavWriter.write(truth, file, WavWriter.SampleFormat.INT24, false);
    WavRecording read = WavRecording.open(file);
    for (long from : new long[] {0, 1, 29_126, 29_127, 99_999, 100_000}) {
      double[] third = new double[60_005];
      try (Recording.Cursor cursor = read.from(from)) {
        int expected = (int) Math.min(60_000, 100_000 - from);
        assertThat(cursor.read(new double[][] {null, null, third}, 5, 60_000)).isEqualTo(expected);
        for (int i = 0; i < expected; i++) {
          if (third[5 + i] != samples[2][(int) from + i]) {
            assertThat(third[5 + i]).isEqualTo(samples[2][(int) from + i]);
          }
        }
      }
    }
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "2 | 1 | 8000 | 16 | 2 | format code 0x0002 (ADPCM) is not supported",
        "1 | 1 | 8000 | 8 | 1 | 8-bit integer samples are not supported; 16, 24 or 32 bits are",
        "3 | 1 | 8000 | 16 | 2 | 16-bit float samples are not supported; 32 or 64 bits are",
        "1 | 0 | 8000 | 16 | 0 | it claims 0 channels; 1 to 16 can be read",
        "1 | 17 | 8000 | 16 | 34 | it claims 17 channels; 1 to 16 can be read",
        "1 | 2 | 8000 | 16 | 2 | make frames of 4 bytes, it claims 2",
        "1 | 2 | 0 | 16 | 4 | a sample rate of 0 Hz",
        "1 | 2 | 384001 | 16 | 4 | a sample rate of 384001 Hz; 1 to 384000 can be read",
      })
  void refusesAFormatInOneLine(
      int code, int channels, int rate, int bits, int align, String message) throws IOException {
    byte[] fmt = fmt(code, channels, rate, bits);
    ByteBuffer.wrap(fmt).order(ByteOrder.LITTLE_ENDIAN).putShort(12, (short) align);
    Path file = wav(fmt, new byte[64]);
    assertThatThrownBy(() -> WavRecording.open(file))
        .isInstanceOf(BadInputException.class)
        .hasMessageStartingWith("made.wav: ")
        .hasMessageContaining(message);
  }

  @Test
  void saysHowMuchOfATruncatedFileIsThere() throws IOException {
    byte[] whole = Files.readAllBytes(wav(fmt(1, 2, 8000, 16), new byte[400]));
    Path file = Files.write(folder.resolve("cut.wav"), java.util.Arrays.copyOf(whole, 44 + 122));
    assertThatThrownBy(() -> WavRecording.open(file))
        .hasMessage(
            "cut.wav: truncated: its header claims 100 frames, 30 are there; record or copy it"
                + " again");
  }

  @Test
  void refusesFilesThatHoldNothing() throws IOException {
    Path empty = Files.write(folder.resolve("empty.wav"), new byte[0]);
    assertThatThrownBy(() -> WavRecording.open(empty)).hasMessage("empty.wav: the file is empty");
    Path text = Files.writeString(folder.resolve("text.wav"), "time;force\n0;1\n2;3\n");
    assertThatThrownBy(() -> WavRecording.open(text)).hasMessageContaining("not a WAV sound file");
    Path none = wav(fmt(1, 2, 8000, 16), new byte[0]);
    assertThatThrownBy(() -> WavRecording.open(none)).hasMessageContaining("no samples (0 frames)");
    byte[] whole = Files.readAllBytes(none);
    Path noData = Files.write(folder.resolve("nodata.wav"), java.util.Arrays.copyOf(whole, 36));
    assertThatThrownBy(() -> WavRecording.open(noData)).hasMessageContaining("no data chunk");
    Path noFormat = Files.write(folder.resolve("nofmt.wav"), java.util.Arrays.copyOf(whole, 12));
    assertThatThrownBy(() -> WavRecording.open(noFormat)).hasMessageContaining("no fmt chunk");
    assertThatThrownBy(() -> WavRecording.open(folder.resolve("gone.wav"), "taps/gone.wav"))
        .isInstanceOf(BadInputException.class)
        .hasMessage("taps/gone.wav: there is no such file");
    assertThatThrownBy(() -> WavRecording.open(folder, "taps")).hasMessageContaining("folder");
  }

  /** Whatever the bytes are, the answer is a recording or one line, never another exception. */
  @Test
  void neverStumblesOverDamagedHeaders() throws IOException {
    byte[] good = Files.readAllBytes(wav(extensible(1, 2, 8000, 24, 24).array(), new byte[60]));
    Random random = new Random(11);
    Path file = folder.resolve("damaged.wav");
    int refused = 0;
    for (int round = 0; round < 2000; round++) {
      byte[] bytes = good.clone();
      for (int k = random.nextInt(3); k >= 0; k--) {
        bytes[random.nextInt(68)] = (byte) random.nextInt();
      }
      int length = random.nextBoolean() ? bytes.length : random.nextInt(bytes.length);
      Files.write(file, java.util.Arrays.copyOf(bytes, length));
      try {
        WavRecording read = WavRecording.open(file);
        assertThat(MemoryRecording.copyOf(read).frames()).isPositive();
      } catch (BadInputException e) {
        refused++;
        assertThat(e.getMessage()).startsWith("damaged.wav: ").doesNotContain("\n");
      }
    }
    assertThat(refused).isBetween(1000, 1999);
  }

  @Test
  void namesThePlaceOfANumberThatIsNone() throws IOException {
    ByteBuffer data = ByteBuffer.allocate(32).order(ByteOrder.LITTLE_ENDIAN);
    data.putFloat(20, Float.NaN);
    Path file = wav(fmt(3, 2, 8000, 32), data.array());
    WavRecording read = WavRecording.open(file);
    try (Recording.Cursor cursor = read.from(1)) {
      assertThat(cursor.read(new double[][] {new double[4], null}, 0, 4)).isEqualTo(3);
    }
    try (Recording.Cursor cursor = read.from(1)) {
      assertThatThrownBy(() -> cursor.read(new double[2][4], 0, 4))
          .isInstanceOf(BadInputException.class)
          .hasMessage("made.wav: frame 2 of channel 2 is not a finite number (NaN)");
    }
  }

  /**
   * Half an hour at 192 kHz in two channels of 24 bits, as a file with a hole in it: what a reader
   * holds does not grow with the length, so the memory bound of the design holds at any length.
   */
  @Test
  void seeksInATwoGigabyteFileWithoutHoldingIt() throws IOException {
    long frames = 1800L * 192_000;
    Path file = folder.resolve("long.wav");
    byte[] header = Files.readAllBytes(wav(fmt(1, 2, 192_000, 24), new byte[0]));
    ByteBuffer sizes = ByteBuffer.wrap(header).order(ByteOrder.LITTLE_ENDIAN);
    sizes.putInt(4, (int) (36 + frames * 6)).putInt(40, (int) (frames * 6));
    try (RandomAccessFile sparse = new RandomAccessFile(file.toFile(), "rw")) {
      sparse.write(header);
      sparse.setLength(44 + frames * 6);
      sparse.seek(44 + (frames - 1) * 6);
      sparse.write(new byte[] {0, 0, 0x40, 0, 0, (byte) 0xC0});
    }
    WavRecording read = WavRecording.open(file);
    assertThat(read.frames()).isEqualTo(frames);
    double[][] last = new double[2][3];
    try (Recording.Cursor cursor = read.from(frames - 2)) {
      assertThat(cursor.read(last, 0, 3)).isEqualTo(2);
    }
    assertThat(last[0]).containsExactly(0, 0.5, 0);
    assertThat(last[1]).containsExactly(0, -0.5, 0);
  }

  private Path wav(byte[] fmt, byte[] data) throws IOException {
    ByteBuffer bytes =
        ByteBuffer.allocate(28 + fmt.length + data.length + (data.length & 1))
            .order(ByteOrder.LITTLE_ENDIAN);
    bytes.put(ascii("RIFF")).putInt(bytes.capacity() - 8).put(ascii("WAVE"));
    bytes.put(ascii("fmt ")).putInt(fmt.length).put(fmt);
    bytes.put(ascii("data")).putInt(data.length).put(data);
    return Files.write(folder.resolve("made.wav"), bytes.array());
  }

  private static byte[] fmt(int code, int channels, int rate, int bits) {
    int align = channels * bits / 8;
    return ByteBuffer.allocate(16)
        .order(ByteOrder.LITTLE_ENDIAN)
        .putShort((short) code)
        .putShort((short) channels)
        .putInt(rate)
        .putInt(rate * align)
        .putShort((short) align)
        .putShort((short) bits)
        .array();
  }

  private static ByteBuffer extensible(int code, int channels, int rate, int bits, int valid) {
    ByteBuffer bytes = ByteBuffer.allocate(40).order(ByteOrder.LITTLE_ENDIAN);
    bytes.put(fmt(code, channels, rate, bits)).putShort(0, (short) 0xFFFE);
    bytes.putShort((short) 22).putShort((short) valid).putInt(0).putInt(code);
    // 0000-0010-8000-00AA00389B71
    bytes.put(
        new byte[] {0, 0, 0x10, 0, (byte) 0x80, 0, 0, (byte) 0xAA, 0, 0x38, (byte) 0x9B, 0x71});
    return bytes;
  }

  private static byte[] ascii(String text) {
    return text.getBytes(StandardCharsets.US_ASCII);
  }
}
