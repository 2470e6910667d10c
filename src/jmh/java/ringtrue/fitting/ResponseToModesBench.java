package ringtrue.fitting;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Locale;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.dynamics.Residual;

/**
 * From frequency response to modes, 8 taps, 8,192 lines, model orders to 40, against the same
 * estimator written plainly in NumPy, in turn on the same machine. NumPy works on all lines, as one
 * would write it, and, for a second ratio, looks for poles on our thinned lines. Both sides are
 * warm and must find the same modes. Needs python3 with numpy; run from the project's folder:
 *
 * <pre>mvn -q -Pbench test-compile exec:java -Dexec.classpathScope=test \
 *   -Dexec.mainClass=ringtrue.fitting.ResponseToModesBench</pre>
 */
public final class ResponseToModesBench {
  private static final int ROUNDS = 3;
  private static final double SECONDS = 4;

  private ResponseToModesBench() {}

  public static void main(String[] args) throws IOException, InterruptedException {
    SyntheticTaps taps = taps();
    FrequencyResponse response = taps.measure(1);
    FitSettings band =
        FitSettings.AUTOMATIC.withBand(
            response.frequencyHz(0), response.frequencyHz(response.lines() - 1));
    FitLines lines = FitLines.of(response, band);
    Path all = written(lines);
    Path few = written(LineThinning.of(lines));
    try {
      List<Double> java = new ArrayList<>();
      List<Double> search = new ArrayList<>();
      List<Double> plain = new ArrayList<>();
      List<Double> thinned = new ArrayList<>();
      for (int round = 0; round < ROUNDS; round++) {
        java.add(median(() -> ModeFitter.fit(response, band, Progress.NONE)));
        search.add(median(() -> PoleSearch.of(lines, Progress.NONE)));
        plain.add(checked(baseline(all, all), response, band));
        thinned.add(checked(baseline(few, all), response, band));
      }
      double ours = middle(java);
      System.out.printf(
          Locale.ROOT,
          "%d taps, %d lines, orders to %d: %.1f ms, of which poles %.1f ms%n",
          taps.averages,
          lines.size(),
          PoleSearch.HIGHEST_ORDER,
          1e3 * ours,
          1e3 * middle(search));
      System.out.printf(
          Locale.ROOT,
          "NumPy on all lines %.1f ms, ratio %.1f; with our thinned lines %.1f ms, ratio %.1f%n",
          1e3 * middle(plain),
          middle(plain) / ours,
          1e3 * middle(thinned),
          middle(thinned) / ours);
    } finally {
      Files.delete(all);
      Files.delete(few);
    }
  }

  private static SyntheticTaps taps() {
    SyntheticTaps taps =
        new SyntheticTaps(
            Mode.of(310, 0.02, 5e6),
            Mode.of(620, 0.015, 9e6),
            Mode.of(980, 0.03, 4e6),
            Mode.of(1500, 0.012, 1.2e7),
            Mode.of(2100, 0.02, 2e7),
            Mode.of(3900, 0.01, 6e7));
    taps.sampleRateHz = 16386;
    taps.blockLength = 16386;
    taps.contactS = 0.1e-3;
    taps.averages = 8;
    taps.residual = new Residual(1e-8, 0.05);
    return taps;
  }

  private static Path written(FitLines lines) throws IOException {
    Path file = Files.createTempFile("lines", ".txt");
    try (PrintWriter out = new PrintWriter(Files.newBufferedWriter(file))) {
      for (double[] row : new double[][] {lines.omega, lines.re, lines.im, lines.sigma}) {
        StringBuilder text = new StringBuilder();
        for (double value : row) {
          text.append(value).append(' ');
        }
        out.println(text);
      }
    }
    return file;
  }

  /** Median of warm calls, s; the first third is warming up. */
  private static double median(Runnable call) {
    List<Double> times = new ArrayList<>();
    long end = System.nanoTime() + (long) (1e9 * SECONDS);
    while (System.nanoTime() < end) {
      long start = System.nanoTime();
      call.run();
      times.add(1e-9 * (System.nanoTime() - start));
    }
    return middle(times.subList(times.size() / 3, times.size()));
  }

  private static double middle(List<Double> values) {
    List<Double> sorted = new ArrayList<>(values);
    Collections.sort(sorted);
    return sorted.get(sorted.size() / 2);
  }

  /** NumPy's median time, if it found the same modes. */
  private static double checked(double[] numpy, FrequencyResponse response, FitSettings band) {
    List<Mode> modes = ModeFitter.fit(response, band, Progress.NONE).model().modes();
    if (modes.size() != numpy.length - 2) {
      throw new IllegalStateException(
          modes.size() + " modes here, " + (numpy.length - 2) + " in NumPy");
    }
    for (int j = 0; j < modes.size(); j++) {
      if (!(Math.abs(modes.get(j).frequencyHz() / numpy[2 + j] - 1) < 1e-5)) {
        throw new IllegalStateException(modes.get(j).frequencyHz() + " and " + numpy[2 + j]);
      }
    }
    return numpy[1];
  }

  private static double[] baseline(Path few, Path all) throws IOException, InterruptedException {
    ProcessBuilder builder =
        new ProcessBuilder(
            "python3",
            Path.of("src", "jmh", "python", "modes_baseline.py").toString(),
            few.toString(),
            all.toString(),
            Double.toString(SECONDS));
    builder.environment().put("MALLOC_MMAP_THRESHOLD_", "1000000000");
    builder.environment().put("MALLOC_TRIM_THRESHOLD_", "1000000000");
    builder.redirectError(ProcessBuilder.Redirect.INHERIT);
    Process python = builder.start();
    String line =
        new String(python.getInputStream().readAllBytes(), StandardCharsets.UTF_8).trim();
    if (python.waitFor() != 0) {
      throw new IOException("the NumPy side failed: " + line);
    }
    String[] parts = line.split(" ");
    double[] numbers = new double[parts.length];
    for (int i = 0; i < parts.length; i++) {
      numbers[i] = Double.parseDouble(parts[i]);
    }
    return numbers;
  }
}
