package ringtrue.planning;

import java.util.Arrays;
import java.util.List;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.CuttingProcess.Operation;
import ringtrue.stability.Engagement;
import ringtrue.stability.StabilityMap.Over;

/**
 * Up to which depth or width the spindle carries a cut at each speed, with the same forces and the
 * same power curve as the plan.
 */
public final class PowerLimit {
  private static final int STEPS = 96;

  /** Means over a turn do not depend on the number of angles. */
  private static final int FEW_ANGLES = 16;

  private PowerLimit() {}

  /**
   * The depth or width at which the average power of the cut is all that arrives at the cutter.
   *
   * @param cut the cut; its feed per tooth is kept at every speed
   * @param machine the spindle's power curve
   * @param settings turned diameter
   * @param over depth or width
   * @param speedsRpm spindle speeds, rpm
   * @param maxM how far to look, m
   * @return m for each speed; NaN where it is not reached, or nothing is known of the power
   */
  public static double[] lengthsM(
      CuttingProcess cut,
      Machine machine,
      PlanSettings settings,
      Over over,
      List<Double> speedsRpm,
      double maxM) {
    double[] found = new double[speedsRpm.size()];
    Arrays.fill(found, Double.NaN);
    boolean possible =
        !machine.power().isEmpty()
            && maxM > 0
            && !(over == Over.WIDTH
                && (cut.tool().isEmpty() || Double.isNaN(cut.engagement().radialM())));
    if (!possible) {
      return found;
    }
    double[] length = new double[STEPS + 1];
    double[] torque = new double[STEPS + 1];
    for (int i = 1; i <= STEPS; i++) {
      length[i] = maxM * i / STEPS;
      torque[i] = torqueNm(at(cut, over, length[i]), settings);
    }
    for (int s = 0; s < found.length; s++) {
      double rpm = speedsRpm.get(s);
      double available = machine.powerAtCutterW(rpm) / (2 * Math.PI * rpm / 60);
      for (int i = 1; i <= STEPS; i++) {
        if (torque[i] >= available) {
          double part = (available - torque[i - 1]) / (torque[i] - torque[i - 1]);
          found[s] = length[i - 1] + part * (length[i] - length[i - 1]);
          break;
        }
      }
    }
    return found;
  }

  private static CuttingProcess at(CuttingProcess cut, Over over, double lengthM) {
    Engagement engagement = cut.engagement();
    return cut.with(
        over == Over.DEPTH
            ? engagement.withAxial(lengthM)
            : engagement.withRadial(lengthM, cut.tool().orElseThrow().diameterM()));
  }

  private static double torqueNm(CuttingProcess cut, PlanSettings settings) {
    return cut.operation() == Operation.TURNING
        ? CutLimits.turningForceN(cut) * settings.turnedDiameterM() / 2
        : CuttingForces.of(cut, FEW_ANGLES).meanTorqueNm();
  }
}
