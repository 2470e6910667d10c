package ringtrue.fitting;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.ValueSource;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.dynamics.Residual;
import ringtrue.fitting.VectorFitting.Pole;

class PoleSearchTest {

  private static FitLines lines(SyntheticTaps taps, long seed) {
    return FitLines.of(taps.measure(seed), FitSettings.AUTOMATIC);
  }

  /** Modes whose own peak stands ten times out of the noise have a start near them. */
  @ParameterizedTest
  @EnumSource(RandomRigs.Kind.class)
  void hasAStartForNearlyEveryClearMode(RandomRigs.Kind kind) {
    int others = 0;
    int clear = 0;
    int found = 0;
    for (int seed = 0; seed < 12; seed++) {
      SyntheticTaps taps = RandomRigs.rig(kind, seed);
      FitLines lines = lines(taps, seed);
      List<Pole> starts = PoleSearch.of(lines, Progress.NONE).starts();
      for (Mode mode : taps.modes) {
        if (RandomRigs.isClear(mode, lines)) {
          clear++;
          found += starts.stream().anyMatch(p -> RandomRigs.isNear(p, mode, lines)) ? 1 : 0;
        }
      }
      for (Pole pole : starts) {
        boolean real = taps.modes.stream().anyMatch(m -> RandomRigs.isNear(pole, m, lines));
        others += RandomRigs.isInside(pole, lines) && !real ? 1 : 0;
      }
    }
    assertThat(found).isGreaterThanOrEqualTo((int) (0.97 * clear)).isGreaterThan(20);
    assertThat(others).isLessThan(clear / 2);
  }

  /** An estimator of another kind: polynomials on the unit circle, in one step per order. */
  @ParameterizedTest
  @ValueSource(doubles = {Double.POSITIVE_INFINITY, 0.2})
  void agreesWithTheComplexFrequencyEstimator(double tau) {
    SyntheticTaps taps =
        new SyntheticTaps(
            Mode.of(180, 0.03, 3e6), Mode.of(420, 0.01, 5e6), Mode.of(445, 0.015, 8e6));
    taps.residual = new Residual(1e-8, 0.2);
    taps.windowTimeConstantS = tau;
    taps.sampleRateHz = 4096;
    taps.blockLength = 4096;
    FitLines lines = lines(taps, 3);
    List<Pole> ours = PoleSearch.of(lines, Progress.NONE).starts();
    List<Pole> theirs = ComplexFrequency.grouped(LineThinning.of(lines), 40).starts();
    for (Mode mode : taps.modes) {
      Pole a = nearest(ours, mode);
      Pole b = nearest(theirs, mode);
      assertThat(a.omega() / b.omega()).isCloseTo(1, within(1e-3));
      assertThat(a.zeta() / b.zeta()).isCloseTo(1, within(0.05));
    }
  }

  private static Pole nearest(List<Pole> poles, Mode mode) {
    double omega = 2 * Math.PI * mode.frequencyHz();
    return poles.stream()
        .min((p, q) -> Double.compare(Math.abs(p.omega() - omega), Math.abs(q.omega() - omega)))
        .orElseThrow();
  }

  @Test
  void goesUpToOrderFortyAndIsRepeatable() {
    SyntheticTaps taps = new SyntheticTaps(Mode.of(300, 0.02, 5e6), Mode.of(900, 0.03, 9e6));
    FitLines lines = lines(taps, 4);
    Stabilisation found = PoleSearch.of(lines, Progress.NONE).stabilisation();
    assertThat(PoleSearch.of(lines, Progress.NONE).stabilisation()).isEqualTo(found);
    assertThat(found.poles()).extracting(Stabilisation.Pole::order).contains(4, 6, 38, 40);
    assertThat(found.poles()).allMatch(p -> p.order() % 2 == 0 && p.dampingRatio() > 0);
    for (Mode mode : taps.modes) {
      assertThat(found.groups())
          .anySatisfy(
              g -> {
                assertThat(g.frequencyHz()).isCloseTo(mode.frequencyHz(), within(0.2));
                assertThat(g.dampingRatio() / mode.dampingRatio()).isCloseTo(1, within(0.02));
                assertThat(g.orders()).isGreaterThan(16);
                assertThat(g.taken()).isTrue();
              });
    }
    for (int g = 0; g < found.groups().size(); g++) {
      int index = g;
      assertThat(found.poles().stream().filter(p -> p.group() == index).count())
          .isEqualTo(found.groups().get(g).orders());
    }
  }

  @Test
  void takesHardlyAnythingFromNoise() {
    SyntheticTaps taps = new SyntheticTaps(Mode.of(300, 0.02, 5e6));
    taps.snrDb = -30;
    for (int seed = 0; seed < 5; seed++) {
      PoleGroups.Grouped grouped = PoleSearch.of(lines(taps, seed), Progress.NONE);
      assertThat(grouped.stabilisation().groups().stream().filter(Stabilisation.Group::taken))
          .hasSizeLessThanOrEqualTo(3);
    }
  }
}
