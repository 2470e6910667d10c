package ringtrue.stability;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.stability.Engagement.Direction;
import ringtrue.stability.LobesRequest.AtPoint;
import ringtrue.stability.StabilityMap.Interval;

/**
 * Over radial width no stretch is missed that is wider than the step: the lines of the map against
 * single widths, judged one by one.
 */
class PeriodicWidthStretchesTest {
  private static final int WIDTHS = 160;

  /** Drawn cuts at drawn depths around and above those that are safe at every speed. */
  @Test
  void everyStretchOfDrawnCutsIsThere() {
    List<String> wrong =
        IntStream.range(0, 50)
            .parallel()
            .filter(
                i -> {
                  Direction direction = RandomCuts.cut(i).process().engagement().direction();
                  return direction == Direction.UP || direction == Direction.DOWN;
                })
            .mapToObj(
                i -> {
                  CuttingProcess cut = RandomCuts.cut(i).process();
                  Random random = new Random(77 + 1013L * i);
                  random.nextDouble();
                  double depth = Lobes.certainDepthM(cut, 1) * Math.exp(2.5 * random.nextDouble());
                  depth = Math.min(depth, RandomCuts.cut(i).maxM());
                  double rpm = 4000 + 20_000 * random.nextDouble();
                  return missed("cut " + i, cut.with(cut.engagement().withAxial(depth)), rpm);
                })
            .flatMap(List::stream)
            .toList();
    assertThat(wrong).isEmpty();
  }

  /** A pocket in aluminium, roughed with 8 mm, at speeds with two and three stable stretches. */
  @Test
  void everyStretchOfAPocketIsThere() {
    CuttingProcess cut =
        Cuts.milling(
            new Tool(
                0.008,
                List.of(Math.toRadians(38), Math.toRadians(38), Math.toRadians(38)),
                List.of(2 * Math.PI / 3, 2 * Math.PI / 3, 2 * Math.PI / 3),
                Double.NaN,
                0.02,
                0,
                Double.NaN),
            Direction.DOWN,
            0.4,
            3e-3,
            800e6,
            240e6,
            List.of(
                Mode.of(245, 0.045, 9e6), Mode.of(1620, 0.021, 7e6), Mode.of(2350, 0.018, 2.2e7)),
            List.of(Mode.of(212, 0.05, 7e6), Mode.of(1710, 0.019, 6.2e6)));
    List<String> wrong =
        IntStream.range(0, 40)
            .parallel()
            .mapToObj(i -> missed("pocket", cut, 18_800 + 30.0 * i))
            .flatMap(List::stream)
            .toList();
    assertThat(wrong).isEmpty();
  }

  private static List<String> missed(String name, CuttingProcess cut, double rpm) {
    double maxM = cut.tool().orElseThrow().diameterM();
    double step = 0.5 * Math.PI / WIDTHS; // evenly in the swept angle: thin cuts hold much
    List<AtPoint> points =
        IntStream.range(0, WIDTHS)
            .mapToObj(i -> new AtPoint(rpm, maxM * Math.pow(Math.sin((i + 0.5) * step), 2)))
            .toList();
    StabilityMap map =
        Lobes.compute(
            cut,
            new LobesRequest(
                StabilityMap.Over.WIDTH, Optional.of(Method.PERIODIC), List.of(rpm), maxM, points),
            Progress.NONE);
    List<Interval> stable = map.lines().get(0).stable();
    List<String> wrong = new ArrayList<>();
    List<StabilityMap.Point> at = map.at();
    for (int i = 0; i < at.size(); i++) {
      double width = at.get(i).lengthM();
      boolean inside = stable.stream().anyMatch(s -> s.fromM() <= width && width <= s.toM());
      boolean alone =
          i > 0
              && i + 1 < at.size()
              && at.get(i - 1).stable() != at.get(i).stable()
              && at.get(i + 1).stable() != at.get(i).stable();
      boolean onBorder = Math.abs(Math.log(at.get(i).growth())) < 1e-4;
      if (inside != at.get(i).stable() && !alone && !onBorder) {
        wrong.add(name + ", " + rpm + " rpm: " + at.get(i) + " " + stable);
      }
    }
    return wrong;
  }
}
