package ringtrue.bench;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.PrintWriter;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import java.util.concurrent.TimeUnit;
import org.openjdk.jmh.annotations.Benchmark;
import org.openjdk.jmh.annotations.BenchmarkMode;
import org.openjdk.jmh.annotations.Fork;
import org.openjdk.jmh.annotations.Measurement;
import org.openjdk.jmh.annotations.Mode;
import org.openjdk.jmh.annotations.OutputTimeUnit;
import org.openjdk.jmh.annotations.Scope;
import org.openjdk.jmh.annotations.State;
import org.openjdk.jmh.annotations.Warmup;
import ringtrue.acquisition.Channel;
import ringtrue.acquisition.MemoryRecording;
import ringtrue.acquisition.ResponseQuantity;
import ringtrue.acquisition.TapRecording;
import ringtrue.dynamics.Progress;
import ringtrue.signal.AveragedResponse;
import ringtrue.signal.Estimator;
import ringtrue.signal.Processing;
import ringtrue.signal.ResponseEstimator;
import ringtrue.signal.ToldStarts;

/**
 * Ten taps of one second, two channels at 96 kHz, from samples in memory to the averaged receptance.
 * The NumPy side ({@code src/jmh/python/frf_baseline.py}) is told where the blocks begin, and so is
 * the Java side in the main figure: both cut, window, transform, average, and form receptance,
 * coherence and error. The second figure is the whole estimate, in which the Java side finds and
 * judges the taps as well.
 *
 * <p>{@link #main} runs both in turn, so that a busy machine troubles both alike, and prints the
 * median of the ratios. The JMH benchmark measures the whole estimate alone.
 */
@State(Scope.Benchmark)
@BenchmarkMode(Mode.AverageTime)
@OutputTimeUnit(TimeUnit.MILLISECONDS)
@Fork(1)
@Warmup(iterations = 5, time = 2)
@Measurement(iterations = 10, time = 2)
public class FrequencyResponseBench {
  private static final int FS = 96000;
  private static final int TAPS = 10;
  private static final int PRE = 480;
  private static final double TAU_S = 0.25;
  private static final int WINDOW = 480;
  private static final int TAPER = 96;
  private static final int FIRST = 20000;
  private static final int EVERY = 105600;

  private final double[][] samples = samples();
  private final TapRecording recording =
      new TapRecording(
          "benchmark",
          "x",
          "",
          List.of(new MemoryRecording("benchmark", FS, samples)),
          Optional.of(new Channel(1, 1, Double.POSITIVE_INFINITY, 1, 0)),
          new Channel(2, 1, Double.POSITIVE_INFINITY, 1, 0),
          ResponseQuantity.ACCELERATION,
          0,
          0);
  private final Processing processing =
      new Processing(
          Optional.of(1.0),
          Optional.of((double) PRE / FS),
          Optional.of(0.05),
          Optional.of(new Processing.ForceWindow((double) WINDOW / FS, (double) TAPER / FS)),
          Optional.of(TAU_S),
          Optional.empty(),
          Optional.of(Estimator.H1),
          Set.of(),
          Set.of(),
          List.of(),
          Optional.empty(),
          Optional.empty());

  @Benchmark
  public AveragedResponse estimate() {
    return ResponseEstimator.estimate(recording, processing, Progress.NONE);
  }

  /** Blows of 100 N and 0.3 ms on a mode of 900 Hz, with noise. */
  private static double[][] samples() {
    Random random = new Random(5);
    double[][] channels = new double[2][FIRST + TAPS * EVERY];
    double omega = 2 * Math.PI * 900;
    for (int tap = 0; tap < TAPS; tap++) {
      int at = FIRST + tap * EVERY;
      for (int i = 0; i < 29; i++) {
        channels[0][at + i] = 100 * Math.sin(Math.PI * (i + 0.5) / 29);
      }
      for (int i = 0; i < EVERY; i++) {
        double t = (double) i / FS;
        channels[1][at + i] = 50 * Math.exp(-0.012 * omega * t) * Math.sin(omega * t);
      }
    }
    for (int i = 0; i < channels[0].length; i++) {
      channels[0][i] += 0.01 * random.nextGaussian();
      channels[1][i] += 0.01 * random.nextGaussian();
    }
    return channels;
  }

  /**
   * @param args number of rounds, 60 unless given
   */
  public static void main(String[] args) throws IOException, InterruptedException {
    int rounds = args.length > 0 ? Integer.parseInt(args[0]) : 60;
    FrequencyResponseBench bench = new FrequencyResponseBench();
    AveragedResponse first = bench.estimate();
    List<String> command = new ArrayList<>(List.of("python3", "src/jmh/python/frf_baseline.py"));
    Path file = Files.createTempFile("frf", ".f64");
    try {
      ByteBuffer bytes =
          ByteBuffer.allocate(16 * bench.samples[0].length).order(ByteOrder.LITTLE_ENDIAN);
      for (double[] channel : bench.samples) {
        for (double v : channel) {
          bytes.putDouble(v);
        }
      }
      Files.write(file, bytes.array());
      command.add(file.toString());
      for (double v : new double[] {FS, FS, PRE, TAU_S, WINDOW, TAPER}) {
        command.add(Double.toString(v));
      }
      List<Long> starts =
          first.taps().stream().map(tap -> Math.round(tap.onsetS() * FS) - PRE).toList();
      starts.forEach(start -> command.add(Long.toString(start)));
      ToldStarts told = new ToldStarts(bench.recording, bench.processing, starts);
      ProcessBuilder builder = new ProcessBuilder(command);
      builder.redirectError(ProcessBuilder.Redirect.INHERIT);
      // Otherwise NumPy asks the system for its work arrays anew in every run.
      builder
          .environment()
          .putAll(
              Map.of(
                  "MALLOC_MMAP_THRESHOLD_", "1073741824",
                  "MALLOC_TRIM_THRESHOLD_", "4294967296",
                  "MALLOC_TOP_PAD_", "268435456"));
      Process python = builder.start();
      try (BufferedReader answers =
              new BufferedReader(
                  new InputStreamReader(python.getInputStream(), StandardCharsets.US_ASCII));
          PrintWriter asks =
              new PrintWriter(python.getOutputStream(), true, StandardCharsets.US_ASCII)) {
        double largest = Double.parseDouble(answers.readLine());
        compare(largest, largest(first));
        compare(largest, told.largestReceptance());
        double[] java = new double[rounds];
        double[] numpy = new double[rounds];
        double[] ratio = new double[rounds];
        double[] full = new double[rounds];
        double[] fullRatio = new double[rounds];
        for (int i = -40; i < rounds; i++) {
          asks.println();
          double theirs = Double.parseDouble(answers.readLine()) / 1e6;
          long begin = System.nanoTime();
          told.largestReceptance();
          double ours = (System.nanoTime() - begin) / 1e6;
          begin = System.nanoTime();
          bench.estimate();
          double all = (System.nanoTime() - begin) / 1e6;
          if (i >= 0) {
            java[i] = ours;
            numpy[i] = theirs;
            ratio[i] = ours / theirs;
            full[i] = all;
            fullRatio[i] = all / theirs;
          }
        }
        System.out.printf(
            Locale.ROOT,
            "10 taps of 1 s, 2 channels at 96 kHz, %d rounds, medians (fastest), ratios in pairs%n"
                + "both told the block starts: Java %.1f (%.1f) ms, NumPy %.1f (%.1f) ms,"
                + " Java/NumPy %.2f%n"
                + "Java finding and judging the taps as well: %.1f (%.1f) ms, Java/NumPy %.2f%n",
            rounds,
            median(java),
            least(java),
            median(numpy),
            least(numpy),
            median(ratio),
            median(full),
            least(full),
            median(fullRatio));
      }
      python.waitFor();
    } finally {
      Files.deleteIfExists(file);
    }
  }

  private static double largest(AveragedResponse ours) {
    double most = 0;
    for (int i = 0; i < ours.response().lines(); i++) {
      most = Math.max(most, ours.response().magnitude(i));
    }
    return most;
  }

  /** Both sides must have done the same work. */
  private static void compare(double theirs, double ours) {
    if (Math.abs(ours - theirs) > 1e-9 * theirs) {
      throw new IllegalStateException("largest receptance " + ours + " here, NumPy " + theirs);
    }
  }

  private static double least(double[] values) {
    return Arrays.stream(values).min().orElseThrow();
  }

  private static double median(double[] values) {
    double[] sorted = values.clone();
    Arrays.sort(sorted);
    return sorted[sorted.length / 2];
  }
}
