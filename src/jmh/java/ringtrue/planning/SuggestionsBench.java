package ringtrue.planning;

import java.util.ArrayList;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.dynamics.Receptance;
import ringtrue.dynamics.Residual;
import ringtrue.stability.CuttingCoefficients;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.Engagement;
import ringtrue.stability.Engagement.Direction;
import ringtrue.stability.Tool;

/**
 * How long a whole plan takes, limits, chances, better cuts and gentlest changes, over cuts of
 * several kinds: the first plan of a fresh program, and the best of some once it is warm. Run from
 * the project's folder:
 *
 * <pre>mvn -q -Pbench test-compile exec:java -Dexec.classpathScope=test \
 *   -Dexec.mainClass=ringtrue.planning.SuggestionsBench</pre>
 */
public final class SuggestionsBench {
  private static final int ROUNDS = Integer.getInteger("rounds", 5);

  private SuggestionsBench() {}

  public static void main(String[] args) {
    Machine machine =
        new Machine("", 4000, 24000, 5.0 / 60, List.of(new Machine.PowerPoint(24000, 2200)));
    System.out.println("cut                                     first s   best s  its cpu s  offers");
    for (Map.Entry<String, CuttingProcess> each : cuts().entrySet()) {
      if (args.length > 0 && !each.getKey().contains(args[0])) {
        continue;
      }
      double first = 0;
      double best = Double.POSITIVE_INFINITY;
      double bestCpu = 0;
      int offers = 0;
      for (int i = 0; i < ROUNDS; i++) {
        long start = System.nanoTime();
        long cpu = cpuNs();
        CutPlan plan =
            CutPlanner.plan(each.getValue(), machine, PlanSettings.DEFAULT, Progress.NONE);
        double seconds = (System.nanoTime() - start) / 1e9;
        first = i == 0 ? seconds : first;
        if (seconds < best) {
          best = seconds;
          bestCpu = (cpuNs() - cpu) / 1e9;
        }
        offers = plan.suggestions().size();
      }
      System.out.printf(
          Locale.ROOT, "%-38s  %7.2f  %7.2f  %9.2f  %6d%n", each.getKey(), first, best, bestCpu, offers);
    }
  }

  /** Time that the processors spent on this program: on a busy machine it tells more. */
  private static long cpuNs() {
    return ((com.sun.management.OperatingSystemMXBean)
            java.lang.management.ManagementFactory.getOperatingSystemMXBean())
        .getProcessCpuTime();
  }

  /** Cuts of several kinds. */
  static Map<String, CuttingProcess> cuts() {
    Map<String, CuttingProcess> all = new LinkedHashMap<>();
    all.put("thin 5 % down, straight, 1 + 1 modes", milling(0, 4, Direction.DOWN, 0.4, 1, false));
    all.put("thin 5 % down, helix 35, 3 + 3, sigmas", milling(35, 4, Direction.DOWN, 0.4, 3, true));
    all.put("20 % down, helix 35, 3 + 3, sigmas", milling(35, 4, Direction.DOWN, 1.6, 3, true));
    all.put("half up, helix 35, 3 + 3, sigmas", milling(35, 4, Direction.UP, 4, 3, true));
    all.put("half down, helix 45, 6 + 6, sigmas", milling(45, 4, Direction.DOWN, 4, 6, true));
    all.put("slot, straight, 3 + 3, sigmas", milling(0, 2, Direction.SLOT, 8, 3, true));
    all.put("slot, helix 35, 3 + 3, sigmas", milling(35, 3, Direction.SLOT, 8, 3, true));
    all.put(
        "20 % down, uneven pitch, 3 + 3, sigmas",
        with(
            milling(35, 4, Direction.DOWN, 1.6, 3, true),
            List.of(35.0, 35.0, 35.0, 35.0),
            List.of(84.0, 96.0, 84.0, 96.0)));
    all.put(
        "20 % down, two helices, 3 + 3, sigmas",
        with(
            milling(35, 4, Direction.DOWN, 1.6, 3, true),
            List.of(35.0, 38.0, 35.0, 38.0),
            List.of(90.0, 90.0, 90.0, 90.0)));
    return all;
  }

  private static CuttingProcess with(
      CuttingProcess cut, List<Double> helixDeg, List<Double> pitchDeg) {
    Tool t = cut.tool().orElseThrow();
    Tool other =
        new Tool(
            t.diameterM(),
            helixDeg.stream().map(Math::toRadians).toList(),
            pitchDeg.stream().map(Math::toRadians).toList(),
            t.stickoutM(),
            t.fluteLengthM(),
            t.runoutM(),
            t.edgeRadiusM());
    return new CuttingProcess(
        cut.operation(),
        Optional.of(other),
        cut.engagement(),
        cut.coefficients(),
        cut.x(),
        cut.y(),
        cut.speedRpm(),
        cut.feedPerToothM(),
        0);
  }

  private static CuttingProcess milling(
      double helixDeg, int flutes, Direction direction, double radialMm, int modes, boolean sigma) {
    Tool tool =
        new Tool(
            8e-3,
            Collections.nCopies(flutes, Math.toRadians(helixDeg)),
            Collections.nCopies(flutes, 2 * Math.PI / flutes),
            30e-3,
            20e-3,
            4e-6,
            5e-6);
    return new CuttingProcess(
        CuttingProcess.Operation.MILLING,
        Optional.of(tool),
        Engagement.of(direction, radialMm * 1e-3, 6e-3, 8e-3),
        new CuttingCoefficients(700e6, 200e6, 10e3, 10e3, 0.25),
        direction(modes, 1, sigma),
        direction(modes, 1.06, sigma),
        15000,
        0.04e-3,
        0);
  }

  private static List<Receptance> direction(int modes, double factor, boolean sigma) {
    double[] hz = {1180, 620, 2350, 310, 1710, 3300};
    double[] zeta = {0.022, 0.035, 0.018, 0.04, 0.02, 0.015};
    double[] k = {5e6, 1.6e7, 2.2e7, 3e7, 3.5e7, 4e7};
    List<Mode> all = new ArrayList<>();
    for (int i = 0; i < modes; i++) {
      double f = hz[i] * factor;
      all.add(
          new Mode(
              f,
              zeta[i],
              k[i],
              sigma ? 0.004 * f : Double.NaN,
              sigma ? 0.05 * zeta[i] : Double.NaN,
              sigma ? 0.03 * k[i] : Double.NaN,
              Double.NaN));
    }
    return List.of(new ModalModel(all, Residual.NONE));
  }
}
