package ringtrue.bench;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.stability.CuttingCoefficients;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.Engagement;
import ringtrue.stability.LobeCurves;
import ringtrue.stability.Lobes;
import ringtrue.stability.LobesRequest;
import ringtrue.stability.StabilityMap;
import ringtrue.stability.Tool;
import ringtrue.stability.ZeroOrderLobes;

/**
 * Lobes as curves against the same in vectorised NumPy, in turn on the same machine: 4,000
 * frequencies × 20 lobes, two modes in each direction. Both sides are warm; NumPy keeps its memory
 * ({@code MALLOC_MMAP_THRESHOLD_}). Needs python3 with numpy; run from the project's folder:
 *
 * <pre>mvn -q -Pbench test-compile exec:java -Dexec.classpathScope=test \
 *   -Dexec.mainClass=ringtrue.bench.ZeroOrderLobesBench</pre>
 */
public final class ZeroOrderLobesBench {
  private static final int POINTS = 4000;
  private static final int LOBES = 20;
  private static final int ROUNDS = 5;
  private static final double SECONDS = 2;

  private ZeroOrderLobesBench() {}

  public static void main(String[] args) throws IOException, InterruptedException {
    CuttingProcess process = process();
    double[] hz = new double[POINTS];
    for (int i = 0; i < POINTS; i++) {
      hz[i] = 500 + 2000.0 * i / POINTS;
    }
    List<Double> java = new ArrayList<>();
    List<Double> numpy = new ArrayList<>();
    for (int round = 0; round < ROUNDS; round++) {
      java.add(median(process, hz));
      double[] other = baseline();
      numpy.add(other[3]);
      double[] mine = sums(ZeroOrderLobes.curves(process, hz, LOBES));
      for (int i = 0; i < 2; i++) {
        if (!(Math.abs(mine[i] / other[i] - 1) < 1e-9)) {
          throw new IllegalStateException(
              "the two sides compute different lobes: " + mine[i] + " and " + other[i]);
        }
      }
    }
    Collections.sort(java);
    Collections.sort(numpy);
    double ours = java.get(ROUNDS / 2);
    double theirs = numpy.get(ROUNDS / 2);
    System.out.printf(
        Locale.ROOT,
        "lobe curves, %d frequencies x %d lobes: %.3f ms; NumPy %.3f ms; ratio %.3f%n",
        POINTS,
        LOBES,
        1e3 * ours,
        1e3 * theirs,
        ours / theirs);
    System.out.printf(
        Locale.ROOT, "exact limits at 400 speeds up to 30 mm: %.1f ms%n", 1e3 * exact(process));
  }

  private static CuttingProcess process() {
    Tool tool =
        new Tool(
            0.012,
            Collections.nCopies(4, 0.0),
            Collections.nCopies(4, Math.PI / 2),
            Double.NaN,
            Double.NaN,
            0,
            Double.NaN);
    return new CuttingProcess(
        CuttingProcess.Operation.MILLING,
        Optional.of(tool),
        Engagement.of(Engagement.Direction.UP, 0.006, 1e-3, 0.012),
        new CuttingCoefficients(900e6, 0.35 * 900e6, 0, 0, Double.NaN),
        List.of(Mode.of(880, 0.022, 6.5e6), Mode.of(1730, 0.014, 4.2e6)),
        List.of(Mode.of(925, 0.025, 7.4e6), Mode.of(1810, 0.013, 3.9e6)),
        10_000,
        1e-4,
        0);
  }

  /** Median of warm calls, s; the first third is warming up. */
  private static double median(CuttingProcess process, double[] hz) {
    List<Double> times = new ArrayList<>();
    double kept = 0;
    double[][][] speeds = new double[2][LOBES][POINTS];
    long end = System.nanoTime() + (long) (1e9 * SECONDS);
    while (System.nanoTime() < end) {
      long start = System.nanoTime();
      LobeCurves curves = ZeroOrderLobes.curves(process, hz, LOBES);
      for (int c = 0; c < 2; c++) {
        for (int k = 0; k < LOBES; k++) {
          curves.speedsRpm(c, k, speeds[c][k]);
        }
      }
      times.add(1e-9 * (System.nanoTime() - start));
      kept += speeds[1][3][times.size() % POINTS];
    }
    if (kept == 0.12345) {
      throw new IllegalStateException("keeps the calls from being optimised away");
    }
    List<Double> warm = new ArrayList<>(times.subList(times.size() / 3, times.size()));
    Collections.sort(warm);
    return warm.get(warm.size() / 2);
  }

  private static double exact(CuttingProcess process) {
    List<Double> speeds = new ArrayList<>();
    for (int i = 0; i < 400; i++) {
      speeds.add(3000.0 + 60 * i);
    }
    double best = Double.POSITIVE_INFINITY;
    for (int i = 0; i < 8; i++) {
      long start = System.nanoTime();
      StabilityMap map =
          Lobes.compute(process, LobesRequest.depth(speeds).upTo(0.03), Progress.NONE);
      if (map.lines().size() != 400) {
        throw new IllegalStateException("lines are missing");
      }
      best = Math.min(best, 1e-9 * (System.nanoTime() - start));
    }
    return best;
  }

  private static double[] baseline() throws IOException, InterruptedException {
    ProcessBuilder builder =
        new ProcessBuilder(
            "python3",
            Path.of("src", "jmh", "python", "lobes_baseline.py").toString(),
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

  private static double[] sums(LobeCurves curves) {
    double speeds = 0;
    double depths = 0;
    for (int c = 0; c < curves.curves(); c++) {
      for (int i = 0; i < curves.points(c); i++) {
        depths += 1 / curves.depthM(c, i);
        for (int k = 0; k < curves.lobes(); k++) {
          speeds += 1 / curves.speedRpm(c, k, i);
        }
      }
    }
    return new double[] {speeds, depths};
  }
}
