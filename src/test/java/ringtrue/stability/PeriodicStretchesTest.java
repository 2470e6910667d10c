package ringtrue.stability;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import ringtrue.dynamics.Progress;
import ringtrue.stability.LobesRequest.AtPoint;
import ringtrue.stability.StabilityMap.Interval;

/**
 * No stretch is missed: the lines of the map against single points at hundreds of depths, which are
 * judged one by one, for drawn cuts at drawn speeds.
 */
class PeriodicStretchesTest {
  private static final int DEPTHS = 400;

  @Test
  void everyStretchWiderThanTheStepIsThere() {
    List<String> missed =
        IntStream.range(0, 100)
            .parallel()
            .mapToObj(PeriodicStretchesTest::missed)
            .flatMap(List::stream)
            .toList();
    assertThat(missed).isEmpty();
  }

  private static List<String> missed(int number) {
    CuttingProcess cut = RandomCuts.cut(number).process();
    double maxM = RandomCuts.cut(number).maxM();
    double rpm = RandomCuts.cut(number).process().speedRpm() * (0.7 + 0.006 * number);
    List<AtPoint> points =
        IntStream.rangeClosed(1, DEPTHS)
            .mapToObj(i -> new AtPoint(rpm, maxM * i / DEPTHS * (1 - 1e-9)))
            .toList();
    StabilityMap map =
        Lobes.compute(
            cut,
            new LobesRequest(
                StabilityMap.Over.DEPTH, Optional.of(Method.PERIODIC), List.of(rpm), maxM, points),
            Progress.NONE);
    List<Interval> stable = map.lines().get(0).stable();
    List<String> wrong = new ArrayList<>();
    List<StabilityMap.Point> at = map.at();
    for (int i = 0; i < at.size(); i++) {
      double b = at.get(i).lengthM();
      boolean inside = stable.stream().anyMatch(s -> s.fromM() <= b && b <= s.toM());
      boolean alone =
          i > 0
              && i + 1 < at.size()
              && at.get(i - 1).stable() != at.get(i).stable()
              && at.get(i + 1).stable() != at.get(i).stable();
      if (inside != at.get(i).stable() && !alone) {
        wrong.add(
            number + " at " + rpm + " rpm, " + b + " m: " + at.get(i).growth() + " " + stable);
      }
    }
    return wrong;
  }
}
