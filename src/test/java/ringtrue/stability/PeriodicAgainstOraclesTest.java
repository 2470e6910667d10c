package ringtrue.stability;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import ringtrue.dynamics.Progress;
import ringtrue.stability.JudgedLimits.Judged;
import ringtrue.stability.LinearCutInTime.Fineness;
import ringtrue.stability.LobesRequest.AtPoint;
import ringtrue.stability.RandomCuts.RandomCut;
import ringtrue.stability.StabilityMap.Interval;
import ringtrue.stability.StabilityMap.Loss;

/**
 * The periodic method against the linear cut marched through time, on a hundred drawn cuts. All are
 * held against the stored verdicts of the judge: stable 0.5 % below its limit and at depths below
 * that, unstable 0.5 % above it, growth at a drawn point to 0.3 %. Of every fourth cut with one
 * delay and a few with several the whole line is computed and the judge asked anew; of every cut if
 * the system property {@code ringtrue.trial} is {@code all} (some minutes).
 */
class PeriodicAgainstOraclesTest {
  private static final double LIMIT = 5e-3;
  private static final double GROWTH = 3e-3;
  private static final int DEPTHS_BELOW = 12;
  private static final List<Integer> LIVE_WITH_SEVERAL_DELAYS = List.of(26, 53, 77);

  static List<Judged> stored() throws IOException {
    return JudgedLimits.read();
  }

  static List<Judged> live() throws IOException {
    boolean all = "all".equals(System.getProperty("ringtrue.trial"));
    return JudgedLimits.read().stream()
        .filter(
            judged -> {
              Tool tool = RandomCuts.cut(judged.number()).process().tool().orElseThrow();
              boolean one = tool.evenPitch() && tool.equalHelix();
              return all
                  || one && judged.number() % 4 == 0
                  || LIVE_WITH_SEVERAL_DELAYS.contains(judged.number());
            })
        .toList();
  }

  @Test
  void thereAreAHundredCutsOfManyKinds() throws IOException {
    List<RandomCut> cuts =
        JudgedLimits.read().stream().map(judged -> RandomCuts.cut(judged.number())).toList();
    assertThat(cuts).hasSize(RandomCuts.COUNT);
    List<Tool> tools = cuts.stream().map(cut -> cut.process().tool().orElseThrow()).toList();
    assertThat(tools.stream().filter(tool -> !tool.evenPitch()).count()).isBetween(15L, 30L);
    assertThat(tools.stream().filter(tool -> !tool.equalHelix()).count()).isBetween(15L, 30L);
    assertThat(live().size()).isGreaterThanOrEqualTo(15);
  }

  /** The file belongs to the cuts that are drawn now. */
  @ParameterizedTest
  @MethodSource("stored")
  void stabilityAndGrowthAreAsStored(Judged judged) {
    RandomCut cut = RandomCuts.cut(judged.number());
    assertThat(cut.speedRpm()).isEqualTo(judged.speedRpm());
    assertThat(cut.maxM()).isEqualTo(judged.maxM());
    boolean lost = judged.loss() != Loss.NONE;
    double limit = judged.limitM();
    List<AtPoint> points = new ArrayList<>(List.of(judged.point()));
    for (double part : new double[] {0.3, 0.7, 1 - LIMIT}) {
      points.add(new AtPoint(cut.speedRpm(), part * limit));
    }
    if (lost) {
      points.add(new AtPoint(cut.speedRpm(), (1 + LIMIT) * limit));
    }
    List<StabilityMap.Point> at = compute(cut, List.of(), points).at();
    assertThat(at.get(0).growth()).isCloseTo(judged.growth(), within(GROWTH * judged.growth()));
    assertThat(at.subList(1, 4)).as("below %s", limit).allMatch(StabilityMap.Point::stable);
    assertThat(at.subList(4, at.size()))
        .as("above %s", limit)
        .noneMatch(StabilityMap.Point::stable);
  }

  @ParameterizedTest
  @MethodSource("live")
  void judgeAgreesWithTheWholeLine(Judged judged) {
    RandomCut cut = RandomCuts.cut(judged.number());
    StabilityMap.Line line = compute(cut, List.of(cut.speedRpm()), List.of()).lines().get(0);
    double limit = line.limitM();
    if (limit > (1 - LIMIT) * judged.limitM()) {
      assertThat(limit).isCloseTo(judged.limitM(), within(LIMIT * judged.limitM()));
      assertThat(line.loss()).isEqualTo(judged.loss());
    } // else an unstable stretch that the steps of the stored verdict missed; judged below
    for (int i = 1; i <= DEPTHS_BELOW; i++) {
      double part = (double) i / DEPTHS_BELOW;
      judge(cut, line, (1 - LIMIT) * part * part * limit, true);
    }
    List<Interval> stable = line.stable();
    if (line.loss() != Loss.NONE) {
      double end = stable.size() > 1 ? stable.get(1).fromM() : cut.maxM();
      judge(cut, line, Math.min((1 + LIMIT) * limit, 0.5 * (limit + end)), false);
    }
    for (int i = 1; i < stable.size(); i++) {
      judge(cut, line, 0.5 * (stable.get(i - 1).toM() + stable.get(i).fromM()), false);
      judge(cut, line, 0.5 * (stable.get(i).fromM() + stable.get(i).toM()), true);
    }
    double last = stable.get(stable.size() - 1).toM();
    if (last < cut.maxM()) {
      judge(cut, line, 0.5 * (last + cut.maxM()), false);
    }
  }

  /** The judge at a depth, finer if it does not agree at once. */
  private static void judge(RandomCut cut, StabilityMap.Line line, double depthM, boolean stable) {
    double growth = JudgedLimits.multiplier(cut, depthM, Fineness.USUAL).abs();
    if (growth < 1 != stable) {
      growth = JudgedLimits.multiplier(cut, depthM, new Fineness(120, 80)).abs();
    }
    assertThat(growth < 1)
        .as("stable at %s m, growth %s, %s", depthM, growth, line)
        .isEqualTo(stable);
  }

  private static StabilityMap compute(RandomCut cut, List<Double> speeds, List<AtPoint> at) {
    return Lobes.compute(
        cut.process(),
        new LobesRequest(
            StabilityMap.Over.DEPTH, Optional.of(Method.PERIODIC), speeds, cut.maxM(), at),
        Progress.NONE);
  }
}
