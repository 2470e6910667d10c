package ringtrue.stability;

import java.util.List;
import java.util.Objects;
import java.util.Optional;

/**
 * What a stability map should show.
 *
 * @param over axial depth or radial width
 * @param method how to compute it; empty: the best there is for the cut
 * @param speedsRpm spindle speeds, rpm, in any order; each gets its line
 * @param maxM upper end of the search, m; NaN for a sensible one ({@link Lobes#defaultMaxM})
 * @param at single points to judge
 */
public record LobesRequest(
    StabilityMap.Over over,
    Optional<Method> method,
    List<Double> speedsRpm,
    double maxM,
    List<AtPoint> at) {

  /**
   * A point of the map.
   *
   * @param speedRpm spindle speed, rpm
   * @param lengthM depth or width, m
   */
  public record AtPoint(double speedRpm, double lengthM) {}

  public LobesRequest {
    Objects.requireNonNull(over, "over");
    Objects.requireNonNull(method, "method");
    speedsRpm = List.copyOf(speedsRpm);
    at = List.copyOf(at);
  }

  /** Depth over speeds, up to a sensible depth, with the best method there is. */
  public static LobesRequest depth(List<Double> speedsRpm) {
    return new LobesRequest(
        StabilityMap.Over.DEPTH, Optional.empty(), speedsRpm, Double.NaN, List.of());
  }

  /** The same up to another depth or width, m. */
  public LobesRequest upTo(double newMaxM) {
    return new LobesRequest(over, method, speedsRpm, newMaxM, at);
  }
}
