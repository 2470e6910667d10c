package ringtrue.stability;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.dynamics.Receptance;
import ringtrue.stability.Engagement.Direction;
import ringtrue.stability.LobesRequest.AtPoint;
import ringtrue.stability.StabilityMap.Interval;
import ringtrue.stability.StabilityMap.Line;
import ringtrue.stability.StabilityMap.Over;

/** What must hold for every cut, on cuts drawn at random (seeded). */
class LobesPropertiesTest {

  private static List<Receptance> modes(Random random, int most) {
    List<Receptance> modes = new ArrayList<>();
    for (int i = random.nextInt(most + 1); i >= 0; i--) {
      modes.add(
          Mode.of(
              300 * Math.pow(10, random.nextDouble()),
              0.008 + 0.05 * random.nextDouble(),
              3e6 * Math.pow(10, random.nextDouble())));
    }
    return modes;
  }

  private static CuttingProcess cut(Random random, Tool tool) {
    return Cuts.milling(
        tool,
        Direction.values()[random.nextInt(3)],
        0.03 + 0.97 * random.nextDouble(),
        2e-4 + 2e-3 * random.nextDouble(),
        5e8 + 2e9 * random.nextDouble(),
        -2e8 + 1.2e9 * random.nextDouble(),
        modes(random, 2),
        modes(random, 2));
  }

  private static Tool anyTool(Random random) {
    int flutes = 1 + random.nextInt(5);
    if (random.nextBoolean()) {
      return Cuts.tool(flutes, 0.01);
    }
    double[] pitch = random.doubles(flutes, 0.8, 1.2).toArray();
    double sum = java.util.Arrays.stream(pitch).sum();
    return Cuts.pitched(0.01, java.util.Arrays.stream(pitch).map(p -> 360 * p / sum).toArray());
  }

  private static StabilityMap map(
      CuttingProcess process, Over over, double maxM, List<Double> speeds, List<AtPoint> at) {
    return Lobes.compute(
        process,
        new LobesRequest(over, Optional.of(Method.ZERO_ORDER), speeds, maxM, at),
        Progress.NONE);
  }

  private static boolean inside(Line line, double lengthM) {
    return line.stable().stream().anyMatch(s -> s.fromM() <= lengthM && lengthM <= s.toM());
  }

  /** The characteristic roots are counted and found without the crossings that make the map. */
  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4})
  void stableStretchesAreWhereAllRootsDecay(long seed) {
    Random random = new Random(seed);
    int unstable = 0;
    for (int cut = 0; cut < 12; cut++) {
      CuttingProcess process = cut(random, anyTool(random));
      double certain = Lobes.certainDepthM(process, 1);
      double rpm = 1500 * Math.pow(20, random.nextDouble());
      List<AtPoint> at = new ArrayList<>();
      for (int i = 0; i < 8; i++) {
        at.add(new AtPoint(rpm, certain * Math.pow(20, random.nextDouble())));
      }
      StabilityMap map = map(process, Over.DEPTH, 20 * certain, List.of(rpm), at);
      Line line = map.lines().get(0);
      assertThat(line.limitM()).isGreaterThanOrEqualTo(certain * (1 - 1e-9));
      for (StabilityMap.Point point : map.at()) {
        assertThat(point.growth()).isPositive();
        assertThat(point.stable())
            .as("%s, growth %s", point, point.growth())
            .isEqualTo(point.growth() < 1);
        assertThat(inside(line, point.lengthM()))
            .as("%s in %s", point, line)
            .isEqualTo(point.stable());
        unstable += point.stable() ? 0 : 1;
      }
    }
    assertThat(unstable).isBetween(10, 90);
  }

  /** On the limit itself the largest growth is 1. */
  @ParameterizedTest
  @ValueSource(longs = {11, 12})
  void growthIsOneAtEveryBorder(long seed) {
    Random random = new Random(seed);
    int borders = 0;
    for (int cut = 0; cut < 12; cut++) {
      CuttingProcess process = cut(random, anyTool(random));
      double rpm = 2000 * Math.pow(15, random.nextDouble());
      double maxM = 15 * Lobes.certainDepthM(process, 1);
      for (Interval stretch :
          map(process, Over.DEPTH, maxM, List.of(rpm), List.of()).lines().get(0).stable()) {
        for (double border : new double[] {stretch.fromM(), stretch.toM()}) {
          if (border > 0 && border < maxM) {
            borders++;
            double growth =
                map(process, Over.DEPTH, maxM, List.of(), List.of(new AtPoint(rpm, border)))
                    .at()
                    .get(0)
                    .growth();
            assertThat(growth).isCloseTo(1, within(1e-9));
          }
        }
      }
    }
    assertThat(borders).isGreaterThan(8);
  }

  /**
   * In the middle of every island the roots decay, in the middle of every gap one does not. Islands
   * are rare with averaged factors; very uneven pitch makes some.
   */
  @Test
  void islandsAreStableAndGapsAreNot() {
    Random random = new Random(8);
    int islands = 0;
    for (int cut = 0; cut < 150; cut++) {
      double[] pitch = random.doubles(2 + random.nextInt(4), 0.5, 1.5).toArray();
      double sum = java.util.Arrays.stream(pitch).sum();
      CuttingProcess process =
          cut(
              random,
              Cuts.pitched(0.01, java.util.Arrays.stream(pitch).map(p -> 360 * p / sum).toArray()));
      double maxM = 20 * Lobes.certainDepthM(process, 1);
      List<Double> speeds = random.doubles(6).mapToObj(r -> 1500 * Math.pow(20, r)).toList();
      for (Line line : map(process, Over.DEPTH, maxM, speeds, List.of()).lines()) {
        List<Interval> stable = line.stable();
        for (int i = 1; i < stable.size(); i++) {
          islands++;
          double gap = 0.5 * (stable.get(i - 1).toM() + stable.get(i).fromM());
          double island = 0.5 * (stable.get(i).fromM() + stable.get(i).toM());
          List<StabilityMap.Point> points =
              map(
                      process,
                      Over.DEPTH,
                      maxM,
                      List.of(),
                      List.of(
                          new AtPoint(line.speedRpm(), gap), new AtPoint(line.speedRpm(), island)))
                  .at();
          assertThat(points.get(0).growth()).isGreaterThan(1);
          assertThat(points.get(1).growth()).isLessThan(1);
        }
      }
    }
    assertThat(islands).isGreaterThan(4);
  }

  @Test
  void evenPitchSaidAloudChangesNothing() {
    Random random = new Random(21);
    CuttingProcess process = cut(random, Cuts.pitched(0.01, 120, 120, 120));
    CuttingProcess silent =
        Cuts.milling(
            Cuts.tool(3, 0.01), Direction.UP, 0.4, 1e-3, 8e8, 2e8, process.x(), process.y());
    CuttingProcess aloud =
        Cuts.milling(
            Cuts.pitched(0.01, 120, 120, 120),
            Direction.UP,
            0.4,
            1e-3,
            8e8,
            2e8,
            process.x(),
            process.y());
    // A hair off even: several delays, found by the other search.
    CuttingProcess nearly =
        Cuts.milling(
            Cuts.pitched(0.01, 120 + 1e-7, 120 - 1e-7, 120),
            Direction.UP,
            0.4,
            1e-3,
            8e8,
            2e8,
            process.x(),
            process.y());
    for (double rpm : new double[] {1000, 3210, 7777, 15000, 29000}) {
      double limit = Cuts.limit(silent, 0.05, rpm);
      assertThat(Cuts.limit(aloud, 0.05, rpm)).isEqualTo(limit);
      assertThat(Cuts.limit(nearly, 0.05, rpm)).isCloseTo(limit, within(1e-6 * limit));
    }
  }

  /** Twice the cutting force on twice the stiffness is the same cut. */
  @Test
  void forceAndStiffnessScaleTogether() {
    List<Receptance> soft = List.of(Mode.of(500, 0.02, 4e6), Mode.of(910, 0.03, 7e6));
    List<Receptance> stiff = List.of(Mode.of(500, 0.02, 8e6), Mode.of(910, 0.03, 14e6));
    Tool tool = Cuts.tool(2, 0.012);
    for (double rpm : new double[] {2500, 8000, 14000}) {
      double one =
          Cuts.limit(Cuts.milling(tool, Direction.DOWN, 0.3, 1e-3, 6e8, 1e8, soft, soft), 0.1, rpm);
      double two =
          Cuts.limit(
              Cuts.milling(tool, Direction.DOWN, 0.3, 1e-3, 12e8, 2e8, stiff, stiff), 0.1, rpm);
      assertThat(two).isCloseTo(one, within(1e-12));
    }
  }

  /** Turned by 90° about the spindle, x and y change places. */
  @Test
  void turningTheAxesChangesNothing() {
    List<Receptance> x = List.of(Mode.of(640, 0.02, 6e6));
    List<Receptance> y = List.of(Mode.of(980, 0.03, 5e6), Mode.of(410, 0.04, 2e7));
    CuttingProcess process =
        Cuts.milling(Cuts.tool(3, 0.01), Direction.UP, 0.3, 1e-3, 9e8, 3e8, x, y);
    Engagement e = process.engagement();
    CuttingProcess turned =
        Cuts.milling(Cuts.tool(3, 0.01), Direction.UP, 0.3, 1e-3, 9e8, 3e8, y, x)
            .with(
                new Engagement(
                    Direction.ANGLES,
                    Double.NaN,
                    1e-3,
                    e.entryRad() + Math.PI / 2,
                    e.exitRad() + Math.PI / 2));
    for (double rpm : new double[] {3000, 9100, 13000, 19000}) {
      assertThat(Cuts.limit(turned, 0.1, rpm))
          .isCloseTo(Cuts.limit(process, 0.1, rpm), within(1e-11));
    }
  }

  /** The border over width is the border over depth at that width. */
  @ParameterizedTest
  @ValueSource(booleans = {true, false})
  void widthAndDepthAgreeOnTheBorder(boolean even) {
    Random random = new Random(31);
    int borders = 0;
    for (int cut = 0; cut < 4; cut++) {
      Tool tool = even ? Cuts.tool(3, 0.01) : Cuts.pitched(0.01, 115, 125, 120);
      CuttingProcess drawn = cut(random, tool);
      Direction direction = cut % 2 == 0 ? Direction.UP : Direction.DOWN;
      double depth =
          6 * Lobes.certainDepthM(drawn.with(Engagement.of(direction, 0.01, 1e-3, 0.01)), 1);
      CuttingProcess process = drawn.with(Engagement.of(direction, 0.004, depth, 0.01));
      List<Double> speeds = List.of(21000.0, 3456.0, 9000.0);
      StabilityMap map = map(process, Over.WIDTH, Double.NaN, speeds, List.of());
      for (int i = 0; i < speeds.size(); i++) {
        Line line = map.lines().get(i);
        assertThat(line.speedRpm()).isEqualTo(speeds.get(i));
        for (Interval stretch : line.stable()) {
          double border = stretch.toM();
          if (border < 0.01) {
            borders++;
            Line overDepth =
                map(
                        process.with(Engagement.of(direction, border, depth, 0.01)),
                        Over.DEPTH,
                        3 * depth,
                        List.of(speeds.get(i)),
                        List.of())
                    .lines()
                    .get(0);
            double nearest =
                overDepth.stable().stream()
                    .flatMap(s -> java.util.stream.Stream.of(s.fromM(), s.toM()))
                    .mapToDouble(b -> Math.abs(b - depth))
                    .min()
                    .orElseThrow();
            assertThat(nearest).isLessThan(1e-7 * depth);
            if (border == line.limitM() && overDepth.limitM() > 0.999 * depth) {
              assertThat(line.chatterHz()).isCloseTo(overDepth.chatterHz(), within(1e-3));
              assertThat(line.lobe()).isEqualTo(overDepth.lobe());
            }
          }
        }
        List<AtPoint> at = new ArrayList<>();
        for (int p = 0; p < 6; p++) {
          at.add(new AtPoint(speeds.get(i), 0.01 * random.nextDouble()));
        }
        for (StabilityMap.Point point : map(process, Over.WIDTH, 0.01, List.of(), at).at()) {
          assertThat(point.stable()).isEqualTo(point.growth() < 1);
          assertThat(inside(line, point.lengthM())).isEqualTo(point.stable());
        }
      }
    }
    assertThat(borders).isGreaterThan(5);
  }

  /** With different helices the delays move with the depth; the border still has growth 1. */
  @Test
  void unequalHelices() {
    Tool tool =
        new Tool(
            0.01,
            List.of(Math.toRadians(35), Math.toRadians(38), Math.toRadians(35), Math.toRadians(38)),
            Collections.nCopies(4, Math.PI / 2),
            Double.NaN,
            0.02,
            0,
            Double.NaN);
    CuttingProcess process =
        Cuts.milling(
            tool,
            Direction.DOWN,
            0.5,
            1e-3,
            9e8,
            3e8,
            List.of(Mode.of(1100, 0.03, 9e6)),
            List.of(Mode.of(1230, 0.03, 8e6)));
    for (double rpm : new double[] {3000, 5200, 9000}) {
      StabilityMap map = map(process, Over.DEPTH, Double.NaN, List.of(rpm), List.of());
      double limit = map.lines().get(0).limitM();
      assertThat(map.maxM()).isEqualTo(0.02);
      assertThat(limit).isLessThan(0.02);
      assertThat(map.remarks()).anyMatch(r -> r.contains("smear the delays along the edges"));
      List<StabilityMap.Point> points =
          map(
                  process,
                  Over.DEPTH,
                  Double.NaN,
                  List.of(),
                  List.of(
                      new AtPoint(rpm, limit),
                      new AtPoint(rpm, 0.99 * limit),
                      new AtPoint(rpm, 1.01 * limit)))
              .at();
      assertThat(points.get(0).growth()).isCloseTo(1, within(1e-8));
      assertThat(points.get(1).growth()).isLessThan(1);
      assertThat(points.get(2).growth()).isGreaterThan(1);
      assertThat(points.get(1).stable()).isTrue();
      assertThat(points.get(2).stable()).isFalse();
    }
  }
}
