package ringtrue.bench;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;

/**
 * What {@code ringtrue library list} costs over ten thousand invented set-ups of two measurements
 * each: wall and processor time of whole processes, with the cache and without. Run after {@code
 * mvn package}:
 *
 * <pre>mvn -q -Pbench test-compile exec:java -Dexec.classpathScope=test
 *     -Dexec.mainClass=ringtrue.bench.LibraryListBench</pre>
 *
 * <p>Arguments: number of set-ups (10000), runs (7). The figure to hold is 1 s of wall time with the
 * cache on an idle machine with two cores.
 */
public final class LibraryListBench {
  private static final String SET_UP =
      """
      {"format": "ringtrue-setup/1", "id": "%s", "revision": 1,
       "created": "2026-03-01T09:30:00Z", "changed": "2026-03-01T09:30:00Z",
       "machine": "mill %d", "spindle": "main", "holder": "shrink %d", "tool": "%d mm end mill",
       "diameter": "%d mm", "flutes": 3, "stickout": "%d mm"}
      """;
  private static final String MODE =
      """
      {"frequencyHz": %.3f, "frequencyHzSigma": 0.1, "dampingRatio": 0.02,
       "dampingRatioSigma": 0.001, "stiffnessNPerM": 7e6, "stiffnessNPerMSigma": 3e4,
       "phaseDeg": -90}""";
  private static final String MODES =
      """
      {"format": "ringtrue-saved-modes/1", "date": "2026-03-01T09:30:00Z", "axis": "%s",
       "point": "tool tip", "name": "invented", "clamping": "again", "force": "measured",
       "averages": 5, "bandLowHz": 70, "bandHighHz": 4500, "fitErrorRelative": 0.01,
       "modes": [%s, %s, %s], "residual": {"upperMPerN": -2e-11, "lowerPerKg": 0.0},
       "program": "bench"}
      """;

  private LibraryListBench() {}

  public static void main(String[] args) throws IOException, InterruptedException {
    int count = args.length > 0 ? Integer.parseInt(args[0]) : 10_000;
    int runs = args.length > 1 ? Integer.parseInt(args[1]) : 7;
    Path library = Files.createTempDirectory("library-bench");
    try {
      fill(library, count);
      String java = Path.of(System.getProperty("java.home"), "bin", "java").toString();
      String jar = Path.of("target", "ringtrue.jar").toAbsolutePath().toString();
      List<String> list =
          List.of(java, "-jar", jar, "library", "list", "--library", library.toString());
      Path cache = library.resolve(".cache");
      double[][] cold = new double[runs][];
      double[][] warm = new double[runs][];
      for (int i = 0; i < runs; i++) {
        Files.deleteIfExists(cache);
        cold[i] = seconds(list);
        warm[i] = seconds(list);
      }
      print("without a cache", count, cold);
      print("with the cache", count, warm);
    } finally {
      try (Stream<Path> all = Files.walk(library)) {
        for (Path each : all.sorted(Comparator.reverseOrder()).toList()) {
          Files.delete(each);
        }
      }
    }
  }

  private static void print(String what, int count, double[][] times) {
    Arrays.sort(times, Comparator.comparingDouble(t -> t[0]));
    double[] middle = times[times.length / 2];
    double cpu = Arrays.stream(times).mapToDouble(t -> t[1]).sorted().toArray()[times.length / 2];
    System.out.printf(
        Locale.ROOT,
        "%d set-ups %s, median of %d: %.2f s wall (%.2f to %.2f), %.2f s processor%n",
        count,
        what,
        times.length,
        middle[0],
        times[0][0],
        times[times.length - 1][0],
        cpu);
  }

  private static void fill(Path library, int count) throws IOException {
    Random random = new Random(1);
    for (int i = 0; i < count; i++) {
      int diameter = 4 + 2 * random.nextInt(8);
      int out = 15 + random.nextInt(60);
      String id = diameter + "-mm-end-mill-" + out + "-mm-" + Integer.toString(100_000 + i, 36);
      Path folder = Files.createDirectory(library.resolve(id));
      Files.writeString(
          folder.resolve("set-up.json"),
          SET_UP.formatted(id, i % 7, i % 50, diameter, diameter, out));
      Path measurements = Files.createDirectory(folder.resolve("measurements"));
      for (String axis : List.of("x", "y")) {
        Path one = Files.createDirectory(measurements.resolve(axis + "-20260301-093000-" + i));
        String[] modes = new String[3];
        for (int k = 0; k < modes.length; k++) {
          modes[k] = String.format(Locale.ROOT, MODE, 200 + 300 * random.nextDouble() + 700 * k);
        }
        Files.writeString(
            one.resolve("modes.json"), MODES.formatted(axis, modes[0], modes[1], modes[2]));
      }
    }
    // what is younger than two seconds is not cached
    FileTime old = FileTime.from(Instant.now().minusSeconds(60));
    try (Stream<Path> all = Files.walk(library)) {
      for (Path each : all.sorted(Comparator.reverseOrder()).toList()) {
        Files.setLastModifiedTime(each, old);
      }
    }
  }

  /** Wall, and user and system seconds of one run. */
  private static double[] seconds(List<String> command) throws IOException, InterruptedException {
    List<String> timed =
        new ArrayList<>(List.of("bash", "-c", "TIMEFORMAT='%R %U %S'; time \"$@\" >/dev/null", "-"));
    timed.addAll(command);
    Process process = new ProcessBuilder(timed).redirectErrorStream(true).start();
    String text = new String(process.getInputStream().readAllBytes()).trim();
    if (!process.waitFor(120, TimeUnit.SECONDS) || process.exitValue() != 0) {
      throw new IllegalStateException("did not end well: " + text);
    }
    String[] parts = text.substring(text.lastIndexOf('\n') + 1).trim().split("\\s+");
    return new double[] {
      Double.parseDouble(parts[0]), Double.parseDouble(parts[1]) + Double.parseDouble(parts[2])
    };
  }
}
