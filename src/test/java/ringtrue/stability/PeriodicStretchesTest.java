package ringtrue.stability;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.stability.Engagement.Direction;
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
            .filter(i -> i % 4 == 1)
            .parallel()
            .mapToObj(RandomCuts::cut)
            .map(c -> missed(c.process(), c.speedRpm() * (0.7 + 0.006 * c.number()), c.maxM()))
            .flatMap(List::stream)
            .toList();
    assertThat(missed).isEmpty();
  }

  /** The lightly damped two-flute tool of the benchmark (REFERENCE W6), full of flip lobes. */
  @ParameterizedTest
  @CsvSource({"DOWN, 0.5", "DOWN, 0.1", "UP, 0.5", "UP, 0.05", "SLOT, 1"})
  void evenSmallOnesOfALightlyDampedTool(Direction direction, double part) {
    double stiffness = 0.03993 * Math.pow(2 * Math.PI * 922, 2);
    CuttingProcess cut =
        Cuts.milling(
            Cuts.tool(2, 0.01),
            direction,
            part,
            1e-3,
            600e6,
            200e6,
            List.of(Mode.of(922, 0.011, stiffness)),
            List.of());
    List<String> missed =
        IntStream.range(0, 48)
            .parallel()
            .mapToObj(i -> missed(cut, 4000 + 440.0 * i, 8e-3))
            .flatMap(List::stream)
            .toList();
    assertThat(missed).isEmpty();
  }

  private static List<String> missed(CuttingProcess cut, double rpm, double maxM) {
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
        wrong.add(rpm + " rpm, " + b + " m: " + at.get(i).growth() + " " + stable);
      }
    }
    return wrong;
  }
}
