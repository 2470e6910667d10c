package ringtrue.stability;

import java.io.IOException;
import java.lang.management.ManagementFactory;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.Collections;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;

/**
 * A cut in time, 200 turns of four teeth with 40 axial slices and 6 modes, against a plain march in
 * NumPy with the same step, in turn on the same machine. The first call of a fresh program and the
 * best of some warm ones, wall and processor time, and the load of the machine meanwhile. Needs
 * python3 with numpy; run from the project's folder:
 *
 * <pre>mvn -q -Pbench test-compile exec:java -Dexec.classpathScope=test \
 *   -Dexec.mainClass=ringtrue.stability.SimulationBench</pre>
 */
public final class SimulationBench {
  private static final int TURNS = 200;
  private static final int ROUNDS = 5;
  private static final int SLICES = 40;

  private SimulationBench() {}

  public static void main(String[] args) throws IOException, InterruptedException {
    CuttingProcess cut = cut();
    SimulationSettings settings = SimulationSettings.USUAL.withTurns(TURNS);
    double first = Double.NaN;
    double best = Double.POSITIVE_INFINITY;
    double cpu = Double.POSITIVE_INFINITY;
    SimulatedCut simulated = null;
    for (int i = 0; i < ROUNDS; i++) {
      long wall = System.nanoTime();
      long used = cpuNs();
      simulated = CutInTime.run(cut, settings, Progress.NONE);
      double seconds = 1e-9 * (System.nanoTime() - wall);
      first = i == 0 ? seconds : first;
      best = Math.min(best, seconds);
      cpu = Math.min(cpu, 1e-9 * (cpuNs() - used));
    }
    if (simulated.slices() != SLICES || simulated.turns() != TURNS) {
      throw new IllegalStateException(
          "not the cut that was meant: " + simulated.slices() + " slices");
    }
    int steps = simulated.trace().stepsPerTurn();
    double[] other = baseline(steps);
    double off =
        Math.hypot(simulated.meanXN() - other[0], simulated.meanYN() - other[1])
            / Math.hypot(other[0], other[1]);
    if (!(off < 0.02)) {
      throw new IllegalStateException(
          String.format(
              Locale.ROOT,
              "the two sides cut differently: mean force %.3f, %.3f N and %.3f, %.3f N",
              simulated.meanXN(),
              simulated.meanYN(),
              other[0],
              other[1]));
    }
    System.out.printf(
        Locale.ROOT,
        "%d turns, 4 teeth, %d slices, 6 modes, %d steps a turn (%s): best %.3f s (processor %.3f s),"
            + " first %.3f s; NumPy %.2f s (processor %.2f s); ratio of processor times %.4f;"
            + " load %.1f%n",
        TURNS,
        SLICES,
        steps,
        simulated.verdict().word(),
        best,
        cpu,
        first,
        other[2],
        other[3],
        cpu / other[3],
        ManagementFactory.getOperatingSystemMXBean().getSystemLoadAverage());
  }

  private static long cpuNs() {
    return ManagementFactory.getThreadMXBean().getCurrentThreadCpuTime();
  }

  /** Its helix turns 117° in the depth, which is forty slices of three degrees. */
  private static CuttingProcess cut() {
    double diameter = 0.012;
    double depth = 0.006;
    double helix = Math.atan(Math.toRadians(119) * diameter / 2 / depth);
    Tool tool =
        new Tool(
            diameter,
            Collections.nCopies(4, helix),
            Collections.nCopies(4, Math.PI / 2),
            Double.NaN,
            Double.NaN,
            0,
            Double.NaN);
    return new CuttingProcess(
        CuttingProcess.Operation.MILLING,
        Optional.of(tool),
        Engagement.of(Engagement.Direction.DOWN, 0.003, depth, diameter),
        new CuttingCoefficients(700e6, 250e6, 15e3, 18e3, Double.NaN),
        List.of(
            ModalModel.of(
                Mode.of(880, 0.03, 2.5e7), Mode.of(1730, 0.03, 4.2e7), Mode.of(2900, 0.03, 9e7))),
        List.of(
            ModalModel.of(
                Mode.of(925, 0.03, 2.7e7), Mode.of(1810, 0.03, 3.9e7), Mode.of(3050, 0.03, 9e7))),
        12_000,
        5e-5,
        0);
  }

  private static double[] baseline(int steps) throws IOException, InterruptedException {
    ProcessBuilder builder =
        new ProcessBuilder(
            "python3",
            Path.of("src", "jmh", "python", "simulation_baseline.py").toString(),
            Integer.toString(TURNS),
            Integer.toString(steps));
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
