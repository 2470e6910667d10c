package ringtrue.planning;

import java.util.Collections;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import org.openjdk.jmh.annotations.Benchmark;
import org.openjdk.jmh.annotations.BenchmarkMode;
import org.openjdk.jmh.annotations.Fork;
import org.openjdk.jmh.annotations.Measurement;
import org.openjdk.jmh.annotations.Mode;
import org.openjdk.jmh.annotations.OutputTimeUnit;
import org.openjdk.jmh.annotations.Param;
import org.openjdk.jmh.annotations.Scope;
import org.openjdk.jmh.annotations.State;
import org.openjdk.jmh.annotations.Warmup;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Progress;
import ringtrue.dynamics.Receptance;
import ringtrue.stability.CuttingCoefficients;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.Engagement;
import ringtrue.stability.Tool;

/**
 * Forces over a turn in closed form (one tooth passing where all teeth are alike) against the plain
 * way, a sum over 200 thin discs at 720 angles of the turn; and a whole plan.
 */
@State(Scope.Benchmark)
@BenchmarkMode(Mode.AverageTime)
@OutputTimeUnit(TimeUnit.MICROSECONDS)
@Fork(1)
@Warmup(iterations = 3, time = 1)
@Measurement(iterations = 5, time = 1)
public class CuttingForcesBenchmark {
  @Param({"0", "5e-6"})
  public double runoutM;

  private CuttingProcess cut() {
    Tool tool =
        new Tool(
            6e-3,
            Collections.nCopies(4, Math.toRadians(35)),
            Collections.nCopies(4, Math.PI / 2),
            22e-3,
            16e-3,
            runoutM,
            5e-6);
    List<Receptance> gives =
        List.of(ModalModel.of(ringtrue.dynamics.Mode.of(1240, 0.03, 6e6)));
    return new CuttingProcess(
        CuttingProcess.Operation.MILLING,
        Optional.of(tool),
        Engagement.of(Engagement.Direction.DOWN, 0.6e-3, 6e-3, 6e-3),
        new CuttingCoefficients(1700e6, 680e6, 9e3, 9e3, Double.NaN),
        gives,
        gives,
        18000,
        0.03e-3,
        0);
  }

  @Benchmark
  public double closedForm() {
    return CuttingForces.of(cut()).peakResultantN();
  }

  @Benchmark
  public double thinDiscs() {
    CuttingProcess cut = cut();
    Tool tool = cut.tool().orElseThrow();
    int angles = 720;
    int discs = 200;
    double dz = cut.engagement().axialM() / discs;
    double lag = 2 * Math.tan(tool.helixRad().get(0)) / tool.diameterM();
    double peak = 0;
    for (int a = 0; a < angles; a++) {
      double x = 0;
      double y = 0;
      for (int d = 0; d < discs; d++) {
        double down = lag * (d + 0.5) * dz;
        for (int j = 0; j < 4; j++) {
          double phi = (2 * Math.PI * a / angles - j * Math.PI / 2 - down) % (2 * Math.PI);
          phi = phi < 0 ? phi + 2 * Math.PI : phi;
          if (phi < cut.engagement().entryRad() || phi > cut.engagement().exitRad()) {
            continue;
          }
          double sin = Math.sin(phi);
          double cos = Math.cos(phi);
          double chip = Double.POSITIVE_INFINITY;
          for (int m = 1; m <= 4; m++) {
            double radii =
                runoutM
                    * (Math.cos(j * Math.PI / 2 + down) - Math.cos((j - m) * Math.PI / 2 + down));
            chip = Math.min(chip, m * cut.feedPerToothM() * sin + radii);
          }
          if (chip > 0) {
            double ft = (1700e6 * chip + 9e3) * dz;
            double fr = (680e6 * chip + 9e3) * dz;
            x -= ft * cos + fr * sin;
            y += ft * sin - fr * cos;
          }
        }
      }
      peak = Math.max(peak, Math.hypot(x, y));
    }
    return peak;
  }

  @Benchmark
  public CutPlan wholePlan() {
    Machine machine =
        new Machine(
            "", 6000, 24000, 5.0 / 60, List.of(new Machine.PowerPoint(24000, 2200)));
    return CutPlanner.plan(cut(), machine, PlanSettings.DEFAULT, Progress.NONE);
  }
}
