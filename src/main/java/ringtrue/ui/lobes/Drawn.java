package ringtrue.ui.lobes;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import ringtrue.stability.StabilityMap;
import ringtrue.stability.StabilityMap.Line;
import ringtrue.stability.StabilityProbability;

/** Chances of the same drawn cuts at different speeds, put together. */
final class Drawn {
  private Drawn() {}

  /**
   * One map with the speeds of both, rising in speed if each is; the sensitivities are those of the
   * first. The second alone where the two are not of the same draws and lengths, or where the first
   * knows its speeds already.
   */
  static StabilityMap joined(StabilityMap one, StabilityMap other) {
    StabilityProbability p = one.probability().orElseThrow();
    StabilityProbability q = other.probability().orElseThrow();
    boolean alike =
        p.samples() == q.samples()
            && p.seed() == q.seed()
            && p.lengthsM().equals(q.lengthsM())
            && one.over() == other.over()
            && one.method().equals(other.method());
    if (!alike || one == other) {
      return other;
    }
    List<Line> lines = new ArrayList<>();
    List<double[]> stable = new ArrayList<>();
    List<Double> limits = new ArrayList<>();
    int i = 0;
    int j = 0;
    while (i < one.lines().size() || j < other.lines().size()) {
      boolean first =
          j == other.lines().size()
              || i < one.lines().size()
                  && one.lines().get(i).speedRpm() <= other.lines().get(j).speedRpm();
      StabilityMap map = first ? one : other;
      StabilityProbability chances = first ? p : q;
      int at = first ? i++ : j++;
      lines.add(map.lines().get(at));
      stable.add(chances.stable().get(at));
      limits.add(chances.limit95M().get(at));
    }
    return new StabilityMap(
        one.over(),
        one.method(),
        lines,
        one.at(),
        one.growthPeriod(),
        one.maxM(),
        one.remarks(),
        Optional.of(
            new StabilityProbability(
                p.samples(), p.seed(), p.lengthsM(), stable, limits, p.sensitivities())));
  }
}
