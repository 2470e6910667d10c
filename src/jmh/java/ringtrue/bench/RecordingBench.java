package ringtrue.bench;

import java.io.BufferedInputStream;
import java.io.IOException;
import java.io.Reader;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.concurrent.TimeUnit;
import javax.sound.sampled.AudioInputStream;
import javax.sound.sampled.AudioSystem;
import javax.sound.sampled.UnsupportedAudioFileException;
import org.apache.commons.csv.CSVFormat;
import org.apache.commons.csv.CSVRecord;
import org.openjdk.jmh.annotations.Benchmark;
import org.openjdk.jmh.annotations.BenchmarkMode;
import org.openjdk.jmh.annotations.Fork;
import org.openjdk.jmh.annotations.Measurement;
import org.openjdk.jmh.annotations.Mode;
import org.openjdk.jmh.annotations.OutputTimeUnit;
import org.openjdk.jmh.annotations.Scope;
import org.openjdk.jmh.annotations.Setup;
import org.openjdk.jmh.annotations.State;
import org.openjdk.jmh.annotations.TearDown;
import org.openjdk.jmh.annotations.Warmup;
import ringtrue.acquisition.BlowPlan;
import ringtrue.acquisition.MemoryRecording;
import ringtrue.acquisition.Recording;
import ringtrue.acquisition.RigChannel;
import ringtrue.acquisition.TextRecording;
import ringtrue.acquisition.VirtualRig;
import ringtrue.acquisition.WavRecording;
import ringtrue.acquisition.WavWriter;

/**
 * Reading a stereo recording of a million frames to doubles: ours against the Java platform's sound
 * reader and against a general CSV library with {@link Double#parseDouble}.
 */
@State(Scope.Benchmark)
@BenchmarkMode(Mode.AverageTime)
@OutputTimeUnit(TimeUnit.MILLISECONDS)
@Fork(1)
@Warmup(iterations = 3, time = 2)
@Measurement(iterations = 5, time = 2)
public class RecordingBench {
  private static final int FRAMES = 1_000_000;
  private Path folder;
  private Path wav;
  private Path text;
  private final double[][] block = new double[2][1 << 14];
  private final double[][] columns = new double[3][1 << 14];
  private final VirtualRig rig =
      VirtualRig.of(
              ringtrue.dynamics.Mode.of(245, 0.04, 9e6),
              ringtrue.dynamics.Mode.of(900, 0.02, 9e6),
              ringtrue.dynamics.Mode.of(1620, 0.02, 7e6),
              ringtrue.dynamics.Mode.of(2350, 0.02, 2e7))
          .withInputs(
              RigChannel.of(2e-3, 1).withNoise(1e-5), RigChannel.of(1e-3, 1).withNoise(1e-5));

  @Setup
  public void write() throws IOException {
    folder = Files.createTempDirectory("bench");
    wav = folder.resolve("a.wav");
    text = folder.resolve("a.csv");
    Recording made = tenSeconds();
    WavWriter.write(made, wav, WavWriter.SampleFormat.INT24, false);
    MemoryRecording all = MemoryRecording.copyOf(made);
    double[] force = all.channel(1);
    double[] response = all.channel(2);
    StringBuilder rows = new StringBuilder();
    for (int i = 0; i < FRAMES; i++) {
      rows.append(String.format(java.util.Locale.ROOT, "%.6f,", i / 1e5));
      rows.append((float) force[i]).append(',').append((float) response[i]).append('\n');
    }
    Files.writeString(text, rows);
  }

  @TearDown
  public void remove() throws IOException {
    Files.delete(wav);
    Files.delete(text);
    Files.delete(folder);
  }

  private Recording tenSeconds() {
    return rig.record("a", 100_000, 10, BlowPlan.of(15, 0.6, 100, 3e-4).blows(1), 1);
  }

  @Benchmark
  public double wavOurs() throws IOException {
    return readAll(WavRecording.open(wav), block);
  }

  @Benchmark
  public double wavPlatform() throws IOException, UnsupportedAudioFileException {
    double sum = 0;
    byte[] bytes = new byte[6 << 14];
    try (AudioInputStream in = AudioSystem.getAudioInputStream(wav.toFile())) {
      for (int got = in.read(bytes); got > 0; got = in.read(bytes)) {
        for (int i = 0; i < got / 6; i++) {
          for (int c = 0; c < 2; c++) {
            int at = 6 * i + 3 * c;
            int number =
                (bytes[at] & 0xFF) | (bytes[at + 1] & 0xFF) << 8 | bytes[at + 2] << 16;
            block[c][i] = number / 8388608.0;
          }
        }
        sum += block[0][0];
      }
    }
    return sum;
  }

  @Benchmark
  public double textOursWithItsFirstScan() throws IOException {
    return readAll(TextRecording.open(text, TextRecording.Layout.timeIn(1)), columns);
  }

  @Benchmark
  public double textLibraryOnePass() throws IOException {
    double sum = 0;
    try (Reader in =
        new java.io.InputStreamReader(
            new BufferedInputStream(Files.newInputStream(text)),
            java.nio.charset.StandardCharsets.US_ASCII)) {
      for (CSVRecord row : CSVFormat.DEFAULT.parse(in)) {
        for (int c = 0; c < 3; c++) {
          sum += Double.parseDouble(row.get(c));
        }
      }
    }
    return sum;
  }

  @Benchmark
  public double rigTenSecondsFourModes() throws IOException {
    return readAll(tenSeconds(), block);
  }

  private static double readAll(Recording recording, double[][] into) throws IOException {
    double sum = 0;
    try (Recording.Cursor cursor = recording.from(0)) {
      for (int got = cursor.read(into, 0, 1 << 14); got > 0; got = cursor.read(into, 0, 1 << 14)) {
        sum += into[0][0];
      }
    }
    return sum;
  }
}
