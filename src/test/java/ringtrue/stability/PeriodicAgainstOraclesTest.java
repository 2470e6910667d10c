package ringtrue.stability;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.function.Function;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import org.apache.commons.math3.complex.Complex;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import ringtrue.dynamics.Progress;
import ringtrue.stability.LinearCutInTime.Fineness;
import ringtrue.stability.LobesRequest.AtPoint;
import ringtrue.stability.RandomCuts.RandomCut;
import ringtrue.stability.StabilityMap.Interval;
import ringtrue.stability.StabilityMap.Loss;

/**
 * The periodic method against the linear cut marched through time, on a hundred drawn cuts. The
 * judge says stable everywhere below the limit up to 0.5 % below it and unstable 0.5 % above it;
 * the growth at a drawn point of each agrees to 1 %.
 */
class PeriodicAgainstOraclesTest {
  private static final double LIMIT = 5e-3;
  private static final double GROWTH = 1e-2;
  private static final int DEPTHS_BELOW = 12;

  /** What the method says of a cut, and what the judge says at some depths. */
  private record Hearing(
      StabilityMap map, Map<Double, Complex> below, Map<Double, Complex> above, double growth) {}

  private static Map<Integer, Hearing> hearings;

  @BeforeAll
  static void hearAll() {
    hearings =
        IntStream.range(0, RandomCuts.COUNT)
            .parallel()
            .boxed()
            .collect(
                Collectors.toConcurrentMap(
                    Function.identity(), number -> hear(RandomCuts.cut(number))));
  }

  static List<RandomCut> cuts() {
    return IntStream.range(0, RandomCuts.COUNT).mapToObj(RandomCuts::cut).toList();
  }

  private static Hearing hear(RandomCut cut) {
    StabilityMap map = compute(cut, List.of());
    StabilityMap.Line line = map.lines().get(0);
    boolean lost = line.loss() != Loss.NONE;
    double limit = line.limitM();
    Map<Double, Complex> below = new java.util.TreeMap<>();
    for (int i = 1; i <= DEPTHS_BELOW; i++) {
      double part = (double) i / DEPTHS_BELOW;
      judge(cut, (1 - LIMIT) * part * part * limit, true, below);
    }
    Map<Double, Complex> above = new java.util.TreeMap<>();
    if (lost) {
      double end = line.stable().size() > 1 ? line.stable().get(1).fromM() : cut.maxM();
      judge(cut, Math.min((1 + LIMIT) * limit, 0.5 * (limit + end)), false, above);
    }
    List<Interval> stable = line.stable();
    for (int i = 1; i < stable.size(); i++) {
      judge(cut, 0.5 * (stable.get(i - 1).toM() + stable.get(i).fromM()), false, above);
      judge(cut, 0.5 * (stable.get(i).fromM() + stable.get(i).toM()), true, below);
    }
    double last = stable.get(stable.size() - 1).toM();
    if (last < cut.maxM()) {
      judge(cut, 0.5 * (last + cut.maxM()), false, above);
    }
    AtPoint point = point(cut, limit);
    double growth =
        new LinearCutInTime(cut.process(), point.speedRpm(), point.lengthM(), Fineness.USUAL)
            .growth();
    return new Hearing(compute(cut, List.of(point)), below, above, growth);
  }

  private static StabilityMap compute(RandomCut cut, List<AtPoint> at) {
    return Lobes.compute(
        cut.process(),
        new LobesRequest(
            StabilityMap.Over.DEPTH,
            Optional.of(Method.PERIODIC),
            List.of(cut.speedRpm()),
            cut.maxM(),
            at),
        Progress.NONE);
  }

  private static AtPoint point(RandomCut cut, double limitM) {
    Random random = new Random(31 + 1009L * cut.number());
    random.nextDouble();
    double depth = limitM * (0.2 + 1.8 * random.nextDouble());
    return new AtPoint(
        cut.speedRpm() * (0.9 + 0.2 * random.nextDouble()), Math.min(depth, cut.maxM()));
  }

  /** The judge at a depth, finer if it does not agree at once. */
  private static void judge(
      RandomCut cut, double depthM, boolean stable, Map<Double, Complex> into) {
    Complex usual = multiplier(cut, depthM, Fineness.USUAL);
    into.put(
        depthM, usual.abs() < 1 == stable ? usual : multiplier(cut, depthM, new Fineness(120, 80)));
  }

  private static Complex multiplier(RandomCut cut, double depthM, Fineness fineness) {
    return new LinearCutInTime(cut.process(), cut.speedRpm(), depthM, fineness).multiplier();
  }

  @ParameterizedTest
  @MethodSource("cuts")
  void judgeAgreesWithLimitAndGrowth(RandomCut cut) {
    Hearing hearing = hearings.get(cut.number());
    StabilityMap.Line line = hearing.map().lines().get(0);
    List<Double> wrong = new ArrayList<>();
    hearing.below().forEach((depth, mu) -> wrong(depth, mu.abs() < 1, wrong));
    hearing.above().forEach((depth, mu) -> wrong(depth, mu.abs() > 1, wrong));
    assertThat(wrong).as("depths at which the judge disagrees with %s", line).isEmpty();
    double growth = hearing.map().at().get(0).growth();
    assertThat(growth)
        .as("%s", hearing.map().at())
        .isCloseTo(hearing.growth(), within(GROWTH * hearing.growth()));
  }

  private static void wrong(double depth, boolean right, List<Double> into) {
    if (!right) {
      into.add(depth);
    }
  }
}
