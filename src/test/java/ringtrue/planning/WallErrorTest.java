package ringtrue.planning;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;
import static ringtrue.planning.Cuts.MM;
import static ringtrue.planning.Cuts.coefficients;
import static ringtrue.planning.Cuts.milling;
import static ringtrue.planning.Cuts.tool;

import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.Engagement;
import ringtrue.stability.Engagement.Direction;
import ringtrue.stability.Tool;

class WallErrorTest {

  private static double errorM(CuttingProcess cut) {
    return CuttingForces.of(cut).wall().at(cut).orElseThrow().errorM();
  }

  /**
   * The benchmark tool of Bayly et al. 2003 (one mode of 922 Hz, 0.03993 kg, 1.1 %; 600 and 200
   * N/mm²) flexible across the feed, down milling, ae/D = 0.05, 1 mm deep, 0.05 mm per tooth,
   * straight teeth: Y(f) = Fy(f) G(f) summed by an independent script for the project's reference
   * sheet (case W14), micrometres printed to three digits.
   */
  @ParameterizedTest
  @CsvSource({
    "8000, 2.93",
    "11000, 3.23",
    "13000, 5.04",
    "13830, 36.7",
    "14500, 1.27",
    "20000, 1.90",
    "26000, 6.92",
    "27660, 23.4",
    "29000, -5.00"
  })
  void publishedBenchmarkTool(double rpm, double um) {
    double k = 0.03993 * Math.pow(2 * Math.PI * 922, 2);
    CuttingProcess cut =
        milling(
            tool(20, 2, 0, 0),
            Engagement.of(Direction.DOWN, 1 * MM, 1 * MM, 20 * MM),
            coefficients(600, 200, 0, 0),
            List.of(),
            List.of(ModalModel.of(Mode.of(922, 0.011, k))),
            rpm,
            0.05);
    assertThat(errorM(cut) * 1e6).isCloseTo(um, within(Math.max(0.02, 0.004 * Math.abs(um))));
  }

  /**
   * Against a march in time of each mode under forces summed over thin discs: helix, edge terms, up
   * and down milling, a cross receptance. The modes are solved exactly over each step with the
   * force held constant (closed form), 2,000 steps a tooth.
   */
  @ParameterizedTest
  @CsvSource({"DOWN, 14300, 30", "UP, 14300, 30", "DOWN, 9100, 45", "UP, 21000, 20"})
  void agreesWithAMarchInTime(Direction direction, double rpm, double helix) {
    Tool tool = tool(10, 3, helix, 0);
    Mode own = Mode.of(900, 0.03, 8e6);
    Mode second = Mode.of(2100, 0.02, 2e7);
    Mode cross = Mode.of(900, 0.03, 3e7);
    CuttingProcess cut =
        milling(
                tool,
                Engagement.of(direction, 1.2 * MM, 4 * MM, 10 * MM),
                coefficients(700, 220, 12, 9),
                List.of(),
                List.of(ModalModel.of(own, second)),
                rpm,
                0.06)
            .withDynamics(
                List.of(), List.of(ModalModel.of(own, second)), List.of(ModalModel.of(cross)));
    double[] wall = march(cut, List.of(own, second), cross);
    WallError.Wall found = CuttingForces.of(cut, 1440).wall().at(cut).orElseThrow();
    double scale = Math.max(Math.abs(wall[0]), Math.abs(wall[1]));
    assertThat(found.lowM()).isCloseTo(wall[0], within(0.01 * scale));
    assertThat(found.highM()).isCloseTo(wall[1], within(0.01 * scale));
  }

  /** Least and most left on the wall at nine heights, after the transient. */
  private static double[] march(CuttingProcess cut, List<Mode> y, Mode cross) {
    Tool tool = cut.tool().orElseThrow();
    Engagement e = cut.engagement();
    int n = tool.flutes();
    int perTooth = 2000;
    int perTurn = perTooth * n;
    double dt = 60 / cut.speedRpm() / perTurn;
    double[][] force = new double[perTooth][];
    int discs = 200;
    double lag = 2 * Math.tan(tool.helixRad().get(0)) / tool.diameterM();
    for (int i = 0; i < perTooth; i++) {
      double theta = 2 * Math.PI * (i + 0.5) / perTurn;
      double fx = 0;
      double fy = 0;
      for (int d = 0; d < discs; d++) {
        double z = e.axialM() * (d + 0.5) / discs;
        for (int j = 0; j < n; j++) {
          double phi = theta - 2 * Math.PI * j / n - lag * z;
          phi -= 2 * Math.PI * Math.floor(phi / (2 * Math.PI));
          if (phi >= e.entryRad() && phi <= e.exitRad()) {
            double h = cut.feedPerToothM() * Math.sin(phi);
            double dz = e.axialM() / discs;
            double ft = (cut.coefficients().ktcPa() * h + cut.coefficients().kteNPerM()) * dz;
            double fr = (cut.coefficients().krcPa() * h + cut.coefficients().kreNPerM()) * dz;
            fx -= ft * Math.cos(phi) + fr * Math.sin(phi);
            fy += ft * Math.sin(phi) - fr * Math.cos(phi);
          }
        }
      }
      force[i] = new double[] {fx, fy};
    }
    Mode[] modes = {y.get(0), y.get(1), cross};
    double[][] state = new double[3][2];
    double[] path = new double[perTooth];
    int settle = (int) Math.ceil(0.15 / (dt * perTooth));
    for (int t = 0; t < (settle + 1) * perTooth; t++) {
      double sum = 0;
      for (int m = 0; m < 3; m++) {
        step(modes[m], force[t % perTooth][m == 2 ? 0 : 1], dt, state[m]);
        sum += state[m][0];
      }
      path[t % perTooth] = sum; // at the end of the step
    }
    double phi = e.direction() == Direction.DOWN ? Math.PI : 0;
    int sign = e.direction() == Direction.DOWN ? 1 : -1;
    double low = Double.POSITIVE_INFINITY;
    double high = Double.NEGATIVE_INFINITY;
    for (int k = 0; k < 9; k++) {
      double theta = phi + lag * e.axialM() * k / 8;
      double at = theta / (2 * Math.PI) * perTurn - 1;
      int i = (int) Math.floor(at);
      double part = at - i;
      double a = path[Math.floorMod(i, perTooth)];
      double b = path[Math.floorMod(i + 1, perTooth)];
      double left = sign * (a + part * (b - a));
      low = Math.min(low, left);
      high = Math.max(high, left);
    }
    return new double[] {low, high};
  }

  /** One step of a mode under a constant force, in closed form. */
  private static void step(Mode mode, double force, double dt, double[] state) {
    double w = 2 * Math.PI * mode.frequencyHz();
    double z = mode.dampingRatio();
    double wd = w * Math.sqrt(1 - z * z);
    double rest = force / mode.stiffnessNPerM();
    double q = state[0] - rest;
    double v = state[1];
    double decay = Math.exp(-z * w * dt);
    double c = Math.cos(wd * dt);
    double s = Math.sin(wd * dt);
    state[0] = rest + decay * (q * c + (v + z * w * q) / wd * s);
    state[1] = decay * (v * c - (z * w * v + w * w * q) / wd * s);
  }

  /** Run-out of a single tooth on a stiff machine cuts deeper by just that much. */
  @Test
  void runoutOfOneToothIsCutIntoTheWall() {
    CuttingProcess cut =
        milling(
            tool(10, 1, 0, 20),
            Engagement.of(Direction.DOWN, 1 * MM, 1 * MM, 10 * MM),
            coefficients(700, 200, 0, 0),
            List.of(),
            List.of(ModalModel.of(Mode.of(3000, 0.05, 1e12))),
            6000,
            0.05);
    assertThat(errorM(cut)).isCloseTo(-20e-6, within(1e-9));
  }

  /** The wall swings at a resonance: the plan says so and names a quieter speed near by. */
  @Test
  void aResonanceIsSaidWithAQuieterSpeed() {
    double k = 0.03993 * Math.pow(2 * Math.PI * 922, 2);
    CuttingProcess cut =
        milling(
            tool(20, 2, 0, 0),
            Engagement.of(Direction.DOWN, 1 * MM, 1 * MM, 20 * MM),
            coefficients(600, 200, 0, 0),
            List.of(),
            List.of(ModalModel.of(Mode.of(922, 0.011, k))),
            13830,
            0.05);
    Machine machine = new Machine("", 6000, 24000, 0.2, List.of());
    CutPlan plan = CutPlanner.plan(cut, machine, PlanSettings.DEFAULT, Progress.NONE);
    CutPlan.Wall wall = plan.wall().orElseThrow();
    assertThat(wall.errorM() * 1e6).isCloseTo(36.7, within(0.2));
    assertThat(wall.swingHighM()).isGreaterThan(36e-6);
    assertThat(wall.quietRpm()).isBetween(12000.0, 16000.0);
    assertThat(Math.abs(errorM(cut.atSpeed(wall.quietRpm())))).isLessThan(19e-6);
    assertThat(plan.remarks())
        .anyMatch(r -> r.contains("near a resonance") && r.contains("for finishing"));
    assertThat(plan.limits())
        .anyMatch(
            l ->
                l.name().equals("surface location error")
                    && l.because().contains("37 um too thick (undercut)"));
  }
}
