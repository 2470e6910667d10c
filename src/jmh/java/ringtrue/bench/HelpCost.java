package ringtrue.bench;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/**
 * What {@code ringtrue --help} costs beside a bare picocli program: processor time of whole
 * processes, in turn, from the same jar. Run after {@code mvn package}:
 *
 * <pre>mvn -q -Pbench test-compile exec:java -Dexec.classpathScope=test
 *     -Dexec.mainClass=ringtrue.bench.HelpCost</pre>
 *
 * <p>A small shell wrapper ({@code time -p}) tells the processor time; the figure to hold is a
 * ratio of at most 1.5.
 */
public final class HelpCost {
  private static final int RUNS = 15;

  private HelpCost() {}

  public static void main(String[] args) throws IOException, InterruptedException {
    String java = Path.of(System.getProperty("java.home"), "bin", "java").toString();
    Path target = Path.of("target").toAbsolutePath();
    String jar = target.resolve("ringtrue.jar").toString();
    List<String> ours = List.of(java, "-jar", jar, "--help");
    List<String> bare =
        List.of(
            java,
            "-cp",
            jar + System.getProperty("path.separator") + target.resolve("test-classes"),
            BarePicocli.class.getName(),
            "--help");
    cpu(ours);
    cpu(bare);
    double[] ratios = new double[RUNS];
    double[] own = new double[RUNS];
    double[] base = new double[RUNS];
    for (int i = 0; i < RUNS; i++) {
      own[i] = cpu(ours);
      base[i] = cpu(bare);
      ratios[i] = own[i] / base[i];
    }
    Arrays.sort(own);
    Arrays.sort(base);
    Arrays.sort(ratios);
    System.out.printf(
        "processor time of --help, median of %d: ringtrue %.3f s, bare picocli %.3f s, ratio %.2f"
            + " (%.2f to %.2f)%n",
        RUNS, own[RUNS / 2], base[RUNS / 2], ratios[RUNS / 2], ratios[0], ratios[RUNS - 1]);
  }

  /** User and system seconds of one run. */
  private static double cpu(List<String> command) throws IOException, InterruptedException {
    List<String> timed = new ArrayList<>(List.of("bash", "-c", "TIMEFORMAT='%U %S'; time \"$@\" >/dev/null", "-"));
    timed.addAll(command);
    Process process = new ProcessBuilder(timed).redirectErrorStream(true).start();
    String text = new String(process.getInputStream().readAllBytes()).trim();
    if (!process.waitFor(60, java.util.concurrent.TimeUnit.SECONDS) || process.exitValue() != 0) {
      throw new IllegalStateException("did not end well within " + Duration.ofSeconds(60) + ": " + text);
    }
    String[] parts = text.substring(text.lastIndexOf('\n') + 1).trim().split("\\s+");
    return Double.parseDouble(parts[0]) + Double.parseDouble(parts[1]);
  }
}
