package ringtrue.acquisition;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import ringtrue.dynamics.Mode;
import ringtrue.units.BadInputException;

/** Inputs that are no sound card: replays, the rig, raw streams. */
class OtherInputsTest {
  @TempDir Path folder;

  private static double[] all(LiveInput input, int frames) throws IOException {
    double[] all = new double[frames * input.channels()];
    double[] block = new double[1000 * input.channels()];
    Random random = new Random(1);
    int done = 0;
    for (int got = input.read(block, 1000); got > 0; ) {
      System.arraycopy(block, 0, all, done * input.channels(), got * input.channels());
      done += got;
      got = input.read(block, 1 + random.nextInt(1000));
    }
    assertThat(done).isEqualTo(frames);
    assertThat(input.read(block, 1)).isEqualTo(-1);
    return all;
  }

  private static double[] interleaved(Recording recording) throws IOException {
    MemoryRecording read = MemoryRecording.copyOf(recording);
    double[] all = new double[(int) read.frames() * read.channels()];
    for (int c = 0; c < read.channels(); c++) {
      double[] channel = read.channel(c + 1);
      for (int i = 0; i < channel.length; i++) {
        all[i * read.channels() + c] = channel[i];
      }
    }
    return all;
  }

  @Test
  void aWavFileComesAsItIs() throws IOException {
    WavRecording wav = WavRecording.open(Path.of("fixtures/wav/int16.wav"));
    try (ReplayInput input = ReplayInput.of(wav, Pace.AS_FAST_AS_POSSIBLE)) {
      assertThat(input.name()).isEqualTo("int16.wav (replayed)");
      assertThat(input.bits()).isEqualTo(16);
      assertThat(input.sampleRateHz()).isEqualTo(44_100);
      assertThat(all(input, 37)).isEqualTo(interleaved(wav));
      assertThat(input.gaps()).isEmpty();
    }
  }

  /** Numbers of a text file may be newtons; they are brought below 1 and can be brought back. */
  @Test
  void otherNumbersAreScaledByAPowerOfTwo() throws IOException {
    MemoryRecording text =
        new MemoryRecording(
            "taps.csv", 1000, new double[] {0, 120.3, -8, 1}, new double[] {0.25, 0.5, -1, 0});
    try (ReplayInput input = ReplayInput.of(text, Pace.AS_FAST_AS_POSSIBLE)) {
      assertThat(input.bits()).isEqualTo(32);
      assertThat(input.fullScale(1)).isEqualTo(128);
      assertThat(input.fullScale(2)).isEqualTo(2);
      assertThat(all(input, 4))
          .containsExactly(0, 0.125, 120.3 / 128, 0.25, -0.0625, -0.5, 1.0 / 128, 0);
    }
    MemoryRecording odd = new MemoryRecording("odd.csv", 999.5, new double[4]);
    assertThatThrownBy(() -> ReplayInput.of(odd, Pace.REAL_TIME))
        .isInstanceOf(BadInputException.class)
        .hasMessageContaining("odd.csv: a live input needs a whole number of Hz");
  }

  /** Half a second at twice real time takes a quarter of a second, not less. */
  @Test
  void pacedFramesAreNotEarly() throws IOException {
    MemoryRecording recording = new MemoryRecording("r", 10_000, new double[5000]);
    long start = System.nanoTime();
    try (ReplayInput input = ReplayInput.of(recording, new Pace(2))) {
      all(input, 5000);
    }
    assertThat(System.nanoTime() - start).isGreaterThanOrEqualTo(249_000_000L);
  }

  @Test
  void theRigSaysThatItIsSimulatedAndCanBeWrittenExactly() throws IOException {
    VirtualRig rig =
        VirtualRig.of(Mode.of(1240, 0.02, 8e6))
            .withInputs(
                RigChannel.of(2e-3, 0.5).withNoise(1e-5), RigChannel.of(1e-3, 1).withNoise(1e-4));
    BlowPlan plan = BlowPlan.of(3, 0.3, 40, 1e-3);
    Path file = folder.resolve("rig.wav");
    int frames = (int) Math.round(plan.durationS(4) * 48_000);
    double[] live = new double[2 * frames];
    try (RigInput input = RigInput.of(rig, "mill", 48_000, plan, 4, Pace.AS_FAST_AS_POSSIBLE)) {
      assertThat(input.name()).isEqualTo("mill (simulated)");
      assertThat(input.bits()).isEqualTo(24);
      System.arraycopy(all(input, frames), 0, live, 0, live.length);
    }
    try (StreamedWav wav = StreamedWav.create(file, 48_000, 2, 24, false)) {
      wav.write(live, frames);
    }
    // adding zero turns -0 into 0, which is all that an integer knows
    Arrays.setAll(live, i -> live[i] + 0.0);
    double[] written = interleaved(WavRecording.open(file));
    double[] rigs = interleaved(rig.record("mill", 48_000, plan.durationS(4), plan.blows(4), 4));
    Arrays.setAll(rigs, i -> rigs[i] + 0.0);
    assertThat(Arrays.mismatch(written, live)).isEqualTo(-1);
    assertThat(Arrays.mismatch(live, rigs)).isEqualTo(-1);
  }

  /** A pipe gives bytes in pieces of any size. */
  @Test
  void rawBytesInPieces() throws IOException {
    byte[] bytes = new byte[6 * 5000];
    new Random(6).nextBytes(bytes);
    InputStream pipe =
        new ByteArrayInputStream(bytes) {
          private final Random random = new Random(2);

          @Override
          public int read(byte[] into, int offset, int length) {
            return super.read(into, offset, Math.min(length, 1 + random.nextInt(40)));
          }
        };
    PcmFormat format = new PcmFormat(96_000, 2, 24, 3, true);
    double[] expected = new double[2 * 5000];
    format.decode(bytes, 5000, expected);
    try (RawPcmInput input = new RawPcmInput("standard input", pipe, format)) {
      assertThat(all(input, 5000)).isEqualTo(expected);
      assertThat(input.gaps()).isEmpty();
    }
  }

  @Test
  void anOddByteAtTheEndIsSaid() throws IOException {
    PcmFormat format = PcmFormat.packed(48_000, 2, 16);
    try (RawPcmInput input =
        new RawPcmInput("standard input", new ByteArrayInputStream(new byte[41]), format)) {
      all(input, 10);
      assertThat(input.gaps()).hasSize(1);
      assertThat(input.gaps().get(0).atFrame()).isEqualTo(10);
      assertThat(input.gaps().get(0).why())
          .contains("ended within a frame of 4 bytes: 1 byte of it is left out");
    }
  }

  @Test
  void aStreamThatFailsSaysSoInOneSentence() {
    InputStream broken =
        new InputStream() {
          @Override
          public int read() throws IOException {
            throw new IOException("Broken pipe");
          }
        };
    RawPcmInput input = new RawPcmInput("standard input", broken, PcmFormat.packed(48_000, 2, 16));
    assertThatThrownBy(() -> input.read(new double[10], 5))
        .isInstanceOf(IOException.class)
        .hasMessage(
            "standard input: cannot be read any further: Broken pipe; what came before is kept");
  }
}
