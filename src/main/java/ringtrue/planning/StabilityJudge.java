package ringtrue.planning;

import java.util.List;
import java.util.Optional;
import ringtrue.dynamics.Progress;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.Lobes;
import ringtrue.stability.LobesRequest;
import ringtrue.stability.StabilityMap;
import ringtrue.stability.Tool;

/** Who says up to which depth a cut is stable. */
@FunctionalInterface
public interface StabilityJudge {

  /**
   * Depth limits of a cut at some speeds.
   *
   * @param process the cut; its own depth and speed do not matter
   * @param speedsRpm spindle speeds, rpm, rising
   * @param maxM depth up to which to look, m; the judge may stop earlier and says so in the map
   * @param progress told how far it is, may cancel
   * @return a map over depth with one line for each speed, in their order
   */
  StabilityMap limits(
      CuttingProcess process, List<Double> speedsRpm, double maxM, Progress progress);

  /**
   * The same where only the first limit at each speed counts: stable stretches above it may be left
   * out.
   */
  default StabilityMap firstLimits(
      CuttingProcess process, List<Double> speedsRpm, double maxM, Progress progress) {
    return limits(process, speedsRpm, maxM, progress);
  }

  /** The stability lobes, by the best method there is for the cut, down to the flutes' length. */
  static StabilityJudge lobes() {
    return new StabilityJudge() {
      @Override
      public StabilityMap limits(
          CuttingProcess process, List<Double> speedsRpm, double maxM, Progress progress) {
        return Lobes.compute(process, request(process, speedsRpm, maxM), progress);
      }

      @Override
      public StabilityMap firstLimits(
          CuttingProcess process, List<Double> speedsRpm, double maxM, Progress progress) {
        return Lobes.firstLimits(process, request(process, speedsRpm, maxM), progress);
      }
    };
  }

  private static LobesRequest request(CuttingProcess process, List<Double> speedsRpm, double maxM) {
    double flutes = process.tool().map(Tool::fluteLengthM).orElse(Double.NaN);
    double to = flutes < maxM ? flutes : maxM;
    return new LobesRequest(StabilityMap.Over.DEPTH, Optional.empty(), speedsRpm, to, List.of());
  }
}
