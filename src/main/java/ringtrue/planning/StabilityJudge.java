package ringtrue.planning;

import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import ringtrue.dynamics.Progress;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.InputSpread;
import ringtrue.stability.Lobes;
import ringtrue.stability.LobesRequest;
import ringtrue.stability.QuickLook;
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

  /** The cut as the quick answers below see it: modes in place of responses as measured. */
  default CuttingProcess searched(CuttingProcess process) {
    return process;
  }

  /**
   * First limits, quickly.
   *
   * @return first loss of stability at each speed, m; {@code maxM} or the end of the search if none
   */
  default double[] firstLimitsM(CuttingProcess process, double[] speedsRpm, double maxM) {
    return firstLimits(process, Arrays.stream(speedsRpm).boxed().toList(), maxM, Progress.NONE)
        .lines()
        .stream()
        .mapToDouble(StabilityMap.Line::limitM)
        .toArray();
  }

  /**
   * The deepest stable one of some depths at each speed, roughly and quickly.
   *
   * @param ladderM depths, m, rising
   * @return depths of the ladder, m; 0 where not even the first is stable
   */
  default double[] deepest(
      CuttingProcess process, double[] speedsRpm, double[] ladderM, Progress progress) {
    double[] limit = firstLimitsM(process, speedsRpm, ladderM[ladderM.length - 1]);
    return Arrays.stream(limit)
        .map(l -> Arrays.stream(ladderM).filter(d -> d <= l).max().orElse(0))
        .toArray();
  }

  /** Whether a depth is stable at some speeds. */
  default boolean[] stable(CuttingProcess process, double[] speedsRpm, double depthM) {
    double[] limit = firstLimitsM(process, speedsRpm, depthM);
    boolean[] stable = new boolean[limit.length];
    for (int i = 0; i < limit.length; i++) {
      stable[i] = limit[i] >= depthM;
    }
    return stable;
  }

  /**
   * How the cut's fastest growing motion sounds at its own depth, at some speeds.
   *
   * @return strongest line of it, Hz; NaN where the cut is stable or the method cannot say
   */
  default double[] chatterHz(CuttingProcess process, List<Double> speedsRpm, Progress progress) {
    double[] unknown = new double[speedsRpm.size()];
    Arrays.fill(unknown, Double.NaN);
    return unknown;
  }

  /** Chance that the cut is stable, its inputs drawn; NaN where that is unknown. */
  default double chance(CuttingProcess process, InputSpread spread, int samples, long seed) {
    return Double.NaN;
  }

  /** The stability lobes, by the best method there is for the cut, down to the flutes' length. */
  static StabilityJudge lobes() {
    return new LobesJudge();
  }

  /** The lobes. */
  class LobesJudge implements StabilityJudge {
    /** A judge by the lobes. */
    protected LobesJudge() {}

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

    @Override
    public double[] chatterHz(CuttingProcess process, List<Double> speedsRpm, Progress progress) {
      double depth = process.engagement().axialM();
      List<LobesRequest.AtPoint> at =
          speedsRpm.stream().map(rpm -> new LobesRequest.AtPoint(rpm, depth)).toList();
      LobesRequest request =
          new LobesRequest(StabilityMap.Over.DEPTH, Optional.empty(), List.of(), depth, at);
      return Lobes.compute(process, request, progress).at().stream()
          .mapToDouble(StabilityMap.Point::chatterHz)
          .toArray();
    }

    @Override
    public double[] firstLimitsM(CuttingProcess process, double[] speedsRpm, double maxM) {
      return new QuickLook(process, end(process, maxM)).firstLimitsM(speedsRpm);
    }

    @Override
    public double[] deepest(
        CuttingProcess process, double[] speedsRpm, double[] ladderM, Progress progress) {
      double end = ladderM[ladderM.length - 1];
      return new QuickLook(process, end).deepest(speedsRpm, ladderM, progress);
    }

    @Override
    public boolean[] stable(CuttingProcess process, double[] speedsRpm, double depthM) {
      return new QuickLook(process, depthM).stable(speedsRpm, depthM);
    }

    @Override
    public double chance(CuttingProcess process, InputSpread spread, int samples, long seed) {
      return QuickLook.chance(
          process, spread, process.speedRpm(), process.engagement().axialM(), samples, seed);
    }

    private static double end(CuttingProcess process, double maxM) {
      double flutes = process.tool().map(Tool::fluteLengthM).orElse(Double.NaN);
      return flutes < maxM ? flutes : maxM;
    }

    private static LobesRequest request(
        CuttingProcess process, List<Double> speedsRpm, double maxM) {
      return new LobesRequest(
          StabilityMap.Over.DEPTH, Optional.empty(), speedsRpm, end(process, maxM), List.of());
    }
  }
}
