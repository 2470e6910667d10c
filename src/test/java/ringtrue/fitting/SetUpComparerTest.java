package ringtrue.fitting;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.dynamics.Receptance;
import ringtrue.fitting.SetUpComparison.Lone;
import ringtrue.fitting.SetUpComparison.Pair;
import ringtrue.fitting.SetUpComparison.Standing;
import ringtrue.fitting.SetUpComparison.Verdict;
import ringtrue.units.BadInputException;

class SetUpComparerTest {
  private static final Mode FIRST = Mode.of(420, 0.02, 8e6);
  private static final Mode SECOND = Mode.of(960, 0.015, 5e6);
  private static final Mode THIRD = Mode.of(1800, 0.012, 2e7);

  // ---- closed forms: responses without noise, fits by hand ----

  /** A mode with sigmas of one in ten thousand. */
  private static Mode sure(double fn, double zeta, double k) {
    return new Mode(fn, zeta, k, 1e-4 * fn, 1e-4 * zeta, 1e-4 * k, -90);
  }

  private static FittedResponse exact(
      double stepHz, double factor, double timeConstantS, Mode... modes) {
    ModalModel model = ModalModel.of(modes);
    Receptance g = model.throughWindow(timeConstantS);
    int n = (int) (2000 / stepHz);
    double[] hz = new double[n];
    double[] re = new double[n];
    double[] im = new double[n];
    double[] noise = new double[n];
    double[] value = new double[2];
    for (int i = 0; i < n; i++) {
      hz[i] = stepHz * (i + 1);
      g.at(hz[i], value);
      re[i] = factor * value[0];
      im[i] = factor * value[1];
      noise[i] = 1e-12;
    }
    FrequencyResponse response =
        new FrequencyResponse(
            hz,
            re,
            im,
            null,
            null,
            new FrequencyResponse.Origin(
                "x", "tip", 6, timeConstantS, hz[0], hz[n - 1], "exact", List.of()));
    List<Mode> fitted = new ArrayList<>();
    for (Mode m : modes) {
      fitted.add(sure(m.frequencyHz(), m.dampingRatio(), m.stiffnessNPerM() / factor));
    }
    return new FittedResponse(
        response,
        new FittedModes(
            ModalModel.of(fitted.toArray(new Mode[0])),
            hz[0],
            hz[n - 1],
            0,
            List.of(),
            Stabilisation.NONE,
            Convergence.NONE,
            new LineNoise(hz, noise)));
  }

  private static FittedResponse exact(Mode... modes) {
    return exact(1, 1, Double.POSITIVE_INFINITY, modes);
  }

  @Test
  void equalResponsesAgreeFully() {
    SetUpComparison same =
        SetUpComparer.compare(exact(FIRST, SECOND, THIRD), exact(FIRST, SECOND, THIRD));
    assertThat(same.verdict()).isEqualTo(Verdict.UNCHANGED);
    assertThat(same.agreement().shape()).isCloseTo(1, within(1e-12));
    assertThat(same.agreement().amplitude()).isCloseTo(1, within(1e-12));
    assertThat(same.agreement().scale()).isCloseTo(1, within(1e-12));
    assertThat(same.compared()).isEqualTo(9);
    assertThat(same.chance()).isCloseTo(1, within(1e-12));
  }

  /** The shape criterion does not see a scale c, the amplitude criterion is 2c/(1 + c²). */
  @ParameterizedTest
  @ValueSource(doubles = {0.5, 0.97, 1.25, 3})
  void aScaleIsSeenByTheAmplitudeOnly(double c) {
    SetUpComparison scaled =
        SetUpComparer.compare(
            exact(FIRST, SECOND), exact(1, c, Double.POSITIVE_INFINITY, FIRST, SECOND));
    assertThat(scaled.agreement().shape()).isCloseTo(1, within(1e-12));
    assertThat(scaled.agreement().amplitude()).isCloseTo(2 * c / (1 + c * c), within(1e-12));
    assertThat(scaled.agreement().scale()).isCloseTo(c, within(1e-12));
    assertThat(scaled.verdict()).isEqualTo(Verdict.CHANGED);
    for (Pair p : scaled.pairs()) {
      assertThat(p.stiffness().significant()).isTrue();
      assertThat(p.stiffness().relative()).isCloseTo(1 / c - 1, within(1e-9));
      assertThat(p.frequency().significant()).isFalse();
    }
  }

  /**
   * Two light modes of decay rates a and b, d apart (angular frequencies): with G ~ 1/(ω − p) the
   * integrals give 4ab/(d² + (a + b)²), one half at a shift of one half-power bandwidth.
   */
  @ParameterizedTest
  @CsvSource({"0.25, 1", "0.5, 1", "1, 1", "2, 1", "0.5, 1.7"})
  void aShiftedModeLowersTheShapeAsItsIntegralSays(double bandwidths, double dampings) {
    Mode before = Mode.of(1000, 0.002, 5e6);
    Mode now = Mode.of(1000 + 4 * bandwidths, 0.002 * dampings, 5e6);
    SetUpComparison shifted =
        SetUpComparer.compare(
            exact(0.2, 1, Double.POSITIVE_INFINITY, before),
            exact(0.2, 1, Double.POSITIVE_INFINITY, now));
    double a = before.dampingRatio() * before.frequencyHz();
    double b = now.dampingRatio() * now.frequencyHz();
    double d = now.frequencyHz() - before.frequencyHz();
    double expected = 4 * a * b / (d * d + (a + b) * (a + b));
    assertThat(shifted.agreement().shape()).isCloseTo(expected, within(0.01));
    assertThat(shifted.verdict()).isEqualTo(Verdict.CHANGED);
    assertThat(shifted.pairs().get(0).shiftHz()).isCloseTo(d, within(1e-9));
    assertThat(shifted.pairs().get(0).frequency().significance())
        .isCloseTo(d / (1e-4 * Math.hypot(before.frequencyHz(), now.frequencyHz())), within(1e-6));
  }

  /**
   * k ζ (1 + ζ), after Tlusty and Poláček: twice the damping is a little more than twice the depth.
   */
  @Test
  void theDepthFollowsStiffnessTimesDamping() {
    SetUpComparison damped =
        SetUpComparer.compare(exact(Mode.of(960, 0.02, 5e6)), exact(Mode.of(960, 0.04, 5e6)));
    assertThat(damped.pairs().get(0).depthFactor()).isCloseTo(2 * 1.04 / 1.02, within(1e-12));
    assertThat(damped.sentence()).startsWith("Changed: the mode at 960 Hz: damping +100 %");
    assertThat(damped.meaning().get(0)).contains("changes by +104 %");
  }

  /** Other windows and other lines of the same structure are no change. */
  @Test
  void windowsAndLinesMayDiffer() {
    SetUpComparison same =
        SetUpComparer.compare(
            exact(0.8, 1, 0.05, FIRST, SECOND), exact(1.1, 1, 0.2, FIRST, SECOND));
    assertThat(same.agreement().throughModels()).isTrue();
    assertThat(same.agreement().shape()).isCloseTo(1, within(1e-9));
    assertThat(same.verdict()).isEqualTo(Verdict.UNCHANGED);
    assertThat(same.remarks()).anyMatch(r -> r.contains("exponential windows of the two differ"));
    SetUpComparison finer =
        SetUpComparer.compare(
            exact(0.8, 1, 0.05, FIRST, SECOND), exact(1.1, 1, 0.05, FIRST, SECOND));
    assertThat(finer.agreement().throughModels()).isFalse();
    assertThat(finer.agreement().amplitude()).isCloseTo(1, within(1e-9));
    assertThat(finer.agreement().overNoise()).isLessThan(1e-3);
  }

  /** Clamping again by 0.5 % hides 1 %, not 4 %. */
  @Test
  void scatterOfTheSetUpCounts() {
    FittedResponse before = exact(FIRST, SECOND);
    SetUpScatter scatter = new SetUpScatter(0.005, 0.05, 0.05);
    for (double shift : new double[] {0.01, 0.04}) {
      FittedResponse now =
          exact(Mode.of(420 * (1 + shift), 0.02, 8e6), Mode.of(960 * (1 + shift), 0.015, 5e6));
      assertThat(SetUpComparer.compare(before, now).verdict()).isEqualTo(Verdict.CHANGED);
      SetUpComparison told = SetUpComparer.compare(before, now, scatter);
      assertThat(told.verdict()).isEqualTo(shift > 0.02 ? Verdict.CHANGED : Verdict.UNCHANGED);
      assertThat(told.pairs().get(0).frequency().sigma())
          .isCloseTo(Math.sqrt(2) * 0.005, within(1e-4));
    }
    assertThatThrownBy(() -> new SetUpScatter(-0.1, 0, 0)).isInstanceOf(BadInputException.class);
  }

  /** Values that no partner has are shown by the difference of the responses itself. */
  @Test
  void modesThatComeAndGo() {
    FittedResponse two = exact(FIRST, SECOND);
    FittedResponse three = exact(FIRST, SECOND, THIRD);
    SetUpComparison more = SetUpComparer.compare(two, three);
    assertThat(more.verdict()).isEqualTo(Verdict.CHANGED);
    assertThat(more.added()).extracting(Lone::standing).containsExactly(Standing.CHANGED);
    assertThat(more.sentence()).contains("1800 Hz").contains("is new");
    SetUpComparison less = SetUpComparer.compare(three, two);
    assertThat(less.gone()).extracting(l -> l.mode().frequencyHz()).containsExactly(1800.0);
    assertThat(less.sentence()).contains("is gone");
    // the same response, of which one fit has missed a mode
    FittedResponse missed = new FittedResponse(three.response(), two.fitted());
    SetUpComparison fits = SetUpComparer.compare(missed, three);
    assertThat(fits.verdict()).isEqualTo(Verdict.UNCHANGED);
    assertThat(fits.added()).extracting(Lone::standing).containsExactly(Standing.IN_BOTH_RESPONSES);
  }

  @Test
  void whatCannotBeComparedIsSaid() {
    FittedResponse x = exact(FIRST);
    FrequencyResponse.Origin o = x.response().origin();
    FrequencyResponse turned =
        new FrequencyResponse(
            x.response().frequencies(),
            new double[x.response().lines()],
            new double[x.response().lines()],
            null,
            null,
            new FrequencyResponse.Origin(
                "y",
                "tip",
                6,
                Double.POSITIVE_INFINITY,
                o.bandLowHz(),
                o.bandHighHz(),
                "",
                List.of()));
    SetUpComparison across = SetUpComparer.compare(x, new FittedResponse(turned, x.fitted()));
    assertThat(across.verdict()).isEqualTo(Verdict.CANNOT_TELL);
    assertThat(across.sentence()).contains("direction x, the later one in y");
    FittedModes f = x.fitted();
    FittedModes elsewhere =
        new FittedModes(
            f.model(), 3000, 4000, 0, List.of(), f.stabilisation(), f.convergence(), f.noise());
    SetUpComparison apart = SetUpComparer.compare(x, new FittedResponse(x.response(), elsewhere));
    assertThat(apart.verdict()).isEqualTo(Verdict.CANNOT_TELL);
    assertThat(apart.sentence()).contains("share 0 lines");
    FittedResponse rigid = exact();
    assertThat(SetUpComparer.compare(rigid, rigid).sentence()).contains("neither");
    // sigmas unknown: nothing can be judged
    FittedModes unsure =
        new FittedModes(
            ModalModel.of(FIRST),
            1,
            2000,
            0,
            List.of(),
            f.stabilisation(),
            f.convergence(),
            f.noise());
    SetUpComparison blind = SetUpComparer.compare(x, new FittedResponse(x.response(), unsure));
    assertThat(blind.verdict()).isEqualTo(Verdict.CANNOT_TELL);
    assertThat(blind.compared()).isZero();
  }

  /** Another residual compliance is no mode's change, but a change. */
  @Test
  void whatNoModeExplainsIsSeen() {
    FittedResponse before = exact(FIRST, SECOND);
    FrequencyResponse r = before.response();
    double[] re = new double[r.lines()];
    double[] im = new double[r.lines()];
    for (int i = 0; i < r.lines(); i++) {
      re[i] = r.real(i) + 2e-7;
      im[i] = r.imag(i);
    }
    FrequencyResponse softer =
        new FrequencyResponse(r.frequencies(), re, im, null, null, r.origin());
    SetUpComparison c = SetUpComparer.compare(before, new FittedResponse(softer, before.fitted()));
    assertThat(c.verdict()).isEqualTo(Verdict.CHANGED);
    assertThat(c.pairs()).noneMatch(Pair::isSignificant);
    assertThat(c.sentence()).contains("the responses differ by");
  }

  // ---- whole measurements with noise ----

  private static FittedResponse measured(long seed, double gainScatter, Mode... modes) {
    SyntheticTaps taps = new SyntheticTaps(modes);
    taps.sampleRateHz = 8192;
    taps.blockLength = 4096;
    taps.snrDb = 60;
    taps.gainScatter = gainScatter;
    FrequencyResponse response = taps.measure(seed);
    return new FittedResponse(
        response, ModeFitter.fit(response, FitSettings.AUTOMATIC, Progress.NONE));
  }

  private static Mode[] rig(Random random) {
    Mode[] modes = new Mode[1 + random.nextInt(3)];
    double fn = 250 + 200 * random.nextDouble();
    for (int j = 0; j < modes.length; j++) {
      double zeta = 0.008 * Math.exp(1.2 * random.nextDouble());
      modes[j] = Mode.of(fn, zeta, 3e6 * Math.exp(1.5 * random.nextDouble()));
      fn *= 1.5 + 0.5 * random.nextDouble();
    }
    return modes;
  }

  private static Mode[] moved(Mode[] modes, double factor) {
    Mode[] other = new Mode[modes.length];
    for (int j = 0; j < modes.length; j++) {
      Mode m = modes[j];
      other[j] = Mode.of(m.frequencyHz() * factor, m.dampingRatio(), m.stiffnessNPerM());
    }
    return other;
  }

  /**
   * 100 rigs of one to three modes measured twice, with and without scatter of the taps' direction.
   */
  @Test
  void anUnchangedRigIsHardlyEverCalledChanged() {
    List<String> alarms = new ArrayList<>();
    for (int pair = 0; pair < 100; pair++) {
      Mode[] modes = rig(new Random(pair));
      double scatter = pair % 2 == 0 ? 0 : 0.02;
      SetUpComparison c =
          SetUpComparer.compare(
              measured(1000 + pair, scatter, modes), measured(5000 + pair, scatter, modes));
      if (c.verdict() != Verdict.UNCHANGED) {
        alarms.add(pair + ": " + c.sentence());
      }
    }
    assertThat(alarms).hasSizeLessThanOrEqualTo(5);
  }

  /** Whatever exceeds what the comparison itself calls findable is found. */
  @ParameterizedTest
  @ValueSource(doubles = {0.997, 1.003, 0.99, 1.01, 0.95, 1.05})
  void aShiftLargerThanTheResolutionIsFound(double factor) {
    int judged = 0;
    int found = 0;
    for (int pair = 0; pair < 12; pair++) {
      Mode[] modes = rig(new Random(pair));
      SetUpComparison c =
          SetUpComparer.compare(
              measured(1000 + pair, 0.02, modes),
              measured(5000 + pair, 0.02, moved(modes, factor)));
      assertThat(c.pairs()).hasSameSizeAs(modes);
      for (Pair p : c.pairs()) {
        if (Math.abs(factor - 1) > p.frequency().findable()) {
          judged++;
          found += p.frequency().significant() ? 1 : 0;
          assertThat(p.frequency().relative())
              .isCloseTo(factor - 1, within(5 * p.frequency().sigma()));
        }
      }
    }
    assertThat(judged).isGreaterThan(10);
    assertThat(found).isGreaterThanOrEqualTo((int) Math.ceil(0.9 * judged));
  }

  /** At the resolution itself it is found in 95 % of cases, far below it hardly ever. */
  @Test
  void theResolutionIsWhatItSays() {
    int atIt = 0;
    int below = 0;
    for (int pair = 0; pair < 30; pair++) {
      Mode[] modes = rig(new Random(pair));
      FittedResponse before = measured(1000 + pair, 0, modes);
      double findable =
          SetUpComparer.compare(before, measured(5000 + pair, 0, modes))
              .pairs()
              .get(0)
              .frequency()
              .findable();
      atIt += isShiftFound(before, measured(9000 + pair, 0, moved(modes, 1 + findable)));
      below += isShiftFound(before, measured(9000 + pair, 0, moved(modes, 1 + 0.3 * findable)));
    }
    assertThat(atIt).isGreaterThanOrEqualTo(27);
    assertThat(below).isLessThanOrEqualTo(6);
  }

  private static int isShiftFound(FittedResponse before, FittedResponse now) {
    return SetUpComparer.compare(before, now).pairs().get(0).frequency().significant() ? 1 : 0;
  }

  @Test
  void aModeThatComesIsFoundInMeasurements() {
    for (int seed = 0; seed < 5; seed++) {
      FittedResponse two = measured(seed, 0.01, FIRST, SECOND);
      FittedResponse three = measured(100 + seed, 0.01, FIRST, SECOND, THIRD);
      SetUpComparison more = SetUpComparer.compare(two, three);
      assertThat(more.pairs()).hasSize(2);
      assertThat(more.added()).extracting(Lone::standing).containsExactly(Standing.CHANGED);
      SetUpComparison less = SetUpComparer.compare(three, two);
      assertThat(less.gone()).extracting(Lone::standing).containsExactly(Standing.CHANGED);
    }
  }
}
