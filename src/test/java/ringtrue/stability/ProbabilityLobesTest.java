package ringtrue.stability;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CancellationException;
import java.util.concurrent.ForkJoinPool;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.ModeTable;
import ringtrue.dynamics.OppositeMode;
import ringtrue.dynamics.Progress;
import ringtrue.dynamics.Receptance;
import ringtrue.dynamics.Residual;
import ringtrue.stability.Engagement.Direction;
import ringtrue.stability.InputSpread.ModeSigmas;
import ringtrue.stability.LobesRequest.AtPoint;
import ringtrue.stability.StabilityProbability.Sensitivity;
import ringtrue.units.BadInputException;

class ProbabilityLobesTest {
  private static final Mode MODE = Mode.of(500, 0.02, 8e6);
  private static final double KS = 750e6;
  private static final List<Double> SPEEDS = List.of(17_451.2, 9_000.0, 30_000.0, 14_000.0);

  private static CuttingProcess turning(Receptance... x) {
    return Cuts.turning(1, KS, 0, x);
  }

  private static Mode sigmas(Mode mode, double frequency, double damping, double stiffness) {
    return new Mode(
        mode.frequencyHz(),
        mode.dampingRatio(),
        mode.stiffnessNPerM(),
        frequency * mode.frequencyHz(),
        damping * mode.dampingRatio(),
        stiffness * mode.stiffnessNPerM(),
        Double.NaN);
  }

  private static LobesRequest request(double maxM, List<Double> speeds, AtPoint... at) {
    return new LobesRequest(StabilityMap.Over.DEPTH, Optional.empty(), speeds, maxM, List.of(at));
  }

  private static CuttingProcess milling(Tool tool) {
    return Cuts.milling(
        tool,
        Direction.DOWN,
        0.5,
        1e-3,
        8e8,
        2e8,
        List.of(sigmas(Mode.of(900, 0.02, 8e6), 0.01, 0.15, 0.08)),
        List.of(sigmas(Mode.of(1100, 0.03, 4e6), 0.01, 0.2, 0.05)));
  }

  /** Has stable stretches above the limit, at 7,000 and 19,400 rpm among others. */
  private static CuttingProcess withIslands() {
    return milling(Cuts.pitched(0.01, 65, 295));
  }

  // Closed forms ---------------------------------------------------------------------------------

  /** The limit is inversely proportional to the coefficients: P(stable at b) = P(c < b_lim/b). */
  @Test
  void onlyTheCoefficientsUncertain() {
    double range = 0.3;
    int samples = 200;
    double first = Cuts.limit(turning(MODE), 0.02, SPEEDS.get(0));
    AtPoint[] at = {
      new AtPoint(SPEEDS.get(0), 0.8 * first),
      new AtPoint(SPEEDS.get(0), first),
      new AtPoint(SPEEDS.get(0), 1.3 * first)
    };
    StabilityMap map =
        ProbabilityLobes.compute(
            turning(MODE),
            request(1.5e-3, SPEEDS, at),
            InputSpread.NONE.withCoefficientRange(range),
            samples,
            7,
            Progress.NONE);
    StabilityProbability found = map.probability().orElseThrow();
    assertThat(found.samples()).isEqualTo(samples);
    assertThat(found.lengthsM()).hasSize(100).isSorted().endsWith(1.5e-3);
    for (int i = 0; i < SPEEDS.size(); i++) {
      double limit = Cuts.limit(turning(MODE), 0.02, SPEEDS.get(i));
      for (int k = 0; k < 100; k++) {
        double below = limit / found.lengthsM().get(k);
        double exact = Math.max(0, Math.min(1, (below - 1 + range) / (2 * range)));
        // one stratum may lie across the border
        assertThat(found.stable().get(i)[k]).isCloseTo(exact, within(1.0 / samples + 1e-9));
      }
      double exact95 = limit / (1 + 0.9 * range);
      assertThat(found.limit95M().get(i))
          .isCloseTo(Math.min(exact95, 1.5e-3), within(2e-3 * limit));
    }
    for (int i = 0; i < 3; i++) {
      double exact = (first / at[i].lengthM() - 1 + range) / (2 * range);
      assertThat(map.at().get(i).probabilityStable())
          .isCloseTo(Math.max(0, Math.min(1, exact)), within(1.0 / samples + 1e-9));
    }
    assertThat(map.remarks()).anyMatch(r -> r.contains("within 30 % either way"));
  }

  /**
   * Turning, one mode: b = 2 k ζ (1 + ζ)/Ks at the lowest point of a lobe, and k and Ks scale the
   * limit at every speed: d ln b/d ln k = 1, d ln b/d ln Ks = −1. The logarithm of 1 + rU (U even
   * over −1 to 1) has variance r²/3 and slope −r/√3 to first order; its exact variance is
   * integrated here.
   */
  @Test
  void sharesAndSlopesOfStiffnessAndCoefficients() {
    double range = 0.2;
    double part = 0.1;
    double maxM = 0.05;
    StabilityMap map =
        ProbabilityLobes.compute(
            turning(sigmas(MODE, 0, 0, part)),
            request(maxM, SPEEDS),
            InputSpread.of(turning(MODE)).withCoefficientRange(range),
            400,
            11,
            Progress.NONE);
    List<Sensitivity> found = map.probability().orElseThrow().sensitivities();
    double log = UncertainInputs.logSigma(part);
    double mean = 0;
    double square = 0;
    int steps = 20_000;
    for (int i = 0; i < steps; i++) {
      double value = Math.log(1 + range * (2 * (i + 0.5) / steps - 1));
      mean += value / steps;
      square += value * value / steps;
    }
    double variance = square - mean * mean;
    assertThat(found).hasSize(2);
    assertThat(found.get(0).input()).isEqualTo("cutting coefficients");
    assertThat(found.get(1).input()).isEqualTo("stiffness of mode 1 in x (500 Hz)");
    assertThat(found.get(0).share()).isCloseTo(variance / (variance + log * log), within(0.01));
    assertThat(found.get(1).share()).isCloseTo(log * log / (variance + log * log), within(0.01));
    assertThat(found.get(0).slope()).isCloseTo(-range / Math.sqrt(3), within(0.003));
    assertThat(found.get(1).slope()).isCloseTo(log, within(1e-3));
  }

  /**
   * At the lowest point of a lobe the limit goes with ζ(1 + ζ), and the frequency hardly counts.
   */
  @Test
  void dampingAtTheLowestPoint() {
    StabilityMap map =
        ProbabilityLobes.compute(
            turning(sigmas(MODE, 1e-4, 0.1, 0)),
            request(0.05, List.of(17_451.2)),
            InputSpread.of(turning(MODE)),
            200,
            3,
            Progress.NONE);
    List<Sensitivity> found = map.probability().orElseThrow().sensitivities();
    assertThat(found.get(0).input()).isEqualTo("damping of mode 1 in x (500 Hz)");
    assertThat(found.get(0).share()).isGreaterThan(0.98);
    double log = UncertainInputs.logSigma(0.1);
    assertThat(found.get(0).slope()).isCloseTo(log * (1 + 0.02 / 1.02), within(0.02 * log));
  }

  /** All natural frequencies times c at speed n: the same limit as unshifted at n/c. */
  @ParameterizedTest
  @CsvSource({"0.93", "1.05"})
  void aShiftOfAllFrequenciesIsAnotherSpeed(double c) {
    double[] hz = new double[3000];
    double[] moved = new double[hz.length];
    double[] re = new double[hz.length];
    double[] im = new double[hz.length];
    double[] into = new double[2];
    for (int i = 0; i < hz.length; i++) {
      hz[i] = 300 + 0.5 * i;
      moved[i] = c * hz[i];
      Mode.of(1100, 0.03, 9e6).at(hz[i], into);
      re[i] = into[0];
      im[i] = into[1];
    }
    FrequencyResponse measured = response(hz, re, im);
    FrequencyResponse shifted = response(moved, re, im);
    Mode a = Mode.of(900, 0.02, 8e6);
    Mode aShifted = Mode.of(900 * c, 0.02, 8e6);
    Residual rest = new Residual(1e-8, 0);
    for (double rpm : new double[] {4_000, 7_777, 15_000}) {
      Tool tool = Cuts.tool(3, 0.01);
      double before =
          Cuts.limit(
              Cuts.milling(
                  tool, Direction.DOWN, 0.3, 1e-3, 8e8, 2e8, List.of(a), List.of(measured)),
              0.02,
              rpm / c);
      double after =
          Cuts.limit(
              Cuts.milling(
                  tool, Direction.DOWN, 0.3, 1e-3, 8e8, 2e8, List.of(aShifted), List.of(shifted)),
              0.02,
              rpm);
      assertThat(after).isCloseTo(before, within(1e-6 * before));
      CuttingProcess damped =
          turning(new ModalModel(List.of(a), rest))
              .withProcessDamping(2e5)
              .withTurnedDiameterM(0.05);
      CuttingProcess dampedShifted =
          turning(new ModalModel(List.of(aShifted), rest))
              .withProcessDamping(2e5)
              .withTurnedDiameterM(0.05);
      double b = Cuts.limit(damped, 0.02, rpm / c);
      assertThat(Cuts.limit(dampedShifted, 0.02, rpm)).isCloseTo(b, within(1e-6 * b));
    }
  }

  private static FrequencyResponse response(double[] hz, double[] re, double[] im) {
    return new FrequencyResponse(
        hz, re, im, null, null, FrequencyResponse.Origin.unknown(hz[0], hz[hz.length - 1]));
  }

  /** A shift grows with the speed: near standstill it does nothing. */
  @Test
  void theShiftGrowsWithTheSpeed() {
    List<Double> speeds = List.of(3_000.0, 30_000.0, 60_000.0);
    InputSpread spread = InputSpread.NONE.withShift(0.03, 30_000);
    UncertainInputs inputs = new UncertainInputs(turning(MODE), spread);
    double[] row = {2};
    assertThat(inputs.unshiftedRpm(3_000, row)).isCloseTo(3_000 / 1.006, within(1e-9));
    assertThat(inputs.unshiftedRpm(30_000, row)).isCloseTo(30_000 / 1.06, within(1e-9));
    assertThat(inputs.unshiftedRpm(60_000, row)).isCloseTo(60_000 / 1.06, within(1e-9));
    StabilityMap map =
        ProbabilityLobes.compute(
            turning(MODE), request(0.02, speeds), spread, 100, 1, Progress.NONE);
    StabilityProbability found = map.probability().orElseThrow();
    assertThat(found.sensitivities().get(0).input())
        .isEqualTo("shift of the natural frequencies with speed");
    for (int i = 0; i < 3; i++) {
      assertThat(found.limit95M().get(i)).isLessThan(map.lines().get(i).limitM());
    }
  }

  // Special case and remarks ---------------------------------------------------------------------

  @Test
  void withoutUncertaintyItIsTheMapItself() {
    CuttingProcess process = withIslands();
    List<Double> speeds = IntStream.range(0, 40).mapToObj(i -> 3_000.0 + 400 * i).toList();
    AtPoint[] at = {new AtPoint(5_000, 1e-3), new AtPoint(5_000, 9e-3)};
    StabilityMap plain = Lobes.compute(process, request(0.012, speeds, at), Progress.NONE);
    InputSpread known = InputSpread.NONE.withModes(ModeSigmas.NONE).withoutModes();
    StabilityMap map =
        ProbabilityLobes.compute(process, request(0.012, speeds, at), known, 50, 5, Progress.NONE);
    assertThat(map.lines()).isEqualTo(plain.lines());
    StabilityProbability found = map.probability().orElseThrow();
    boolean island = false;
    for (int i = 0; i < speeds.size(); i++) {
      StabilityMap.Line line = plain.lines().get(i);
      assertThat(found.limit95M().get(i)).isEqualTo(line.limitM());
      island |= line.stable().size() > 1;
      for (int k = 0; k < found.lengthsM().size(); k++) {
        double b = found.lengthsM().get(k);
        boolean stable = line.stable().stream().anyMatch(s -> b > s.fromM() && b <= s.toM());
        assertThat(found.stable().get(i)[k]).isEqualTo(stable ? 1.0 : 0.0);
      }
    }
    assertThat(island).as("some speed with a stable stretch above its limit").isTrue();
    assertThat(map.at().get(0).probabilityStable())
        .isEqualTo(plain.at().get(0).stable() ? 1.0 : 0.0);
    assertThat(map.at().get(1).probabilityStable())
        .isEqualTo(plain.at().get(1).stable() ? 1.0 : 0.0);
    assertThat(found.sensitivities()).isEmpty();
    assertThat(map.remarks()).anyMatch(r -> r.startsWith("nothing is given as uncertain"));
  }

  @Test
  void tinySigmasComeCloseToTheMapItself() {
    CuttingProcess process = turning(sigmas(MODE, 1e-9, 1e-9, 1e-9));
    StabilityMap map =
        ProbabilityLobes.compute(
            process,
            request(0.02, SPEEDS),
            InputSpread.of(process).withCoefficientRange(1e-9),
            40,
            5,
            Progress.NONE);
    for (int i = 0; i < SPEEDS.size(); i++) {
      double limit = map.lines().get(i).limitM();
      assertThat(map.probability().orElseThrow().limit95M().get(i))
          .isCloseTo(limit, within(1e-6 * limit));
    }
  }

  /**
   * 1 − quantiles of Beta(11, 190), SciPy 1.17: for 10 of 200 lost (David & Nagaraja, Order
   * Statistics: the probability below an order statistic is beta distributed).
   */
  @Test
  void saysHowSureTheLineIs() {
    StabilityMap map =
        ProbabilityLobes.compute(
            turning(MODE, response(new double[] {1, 5000}, new double[2], new double[2])),
            request(0.02, SPEEDS),
            InputSpread.of(turning(MODE)).withCoefficientRange(0.1),
            200,
            5,
            Progress.NONE);
    assertThat(map.remarks())
        .anyMatch(r -> r.contains("at most 10 of the 200") && r.contains("from 91.0 to 97.2 %"))
        .anyMatch(r -> r.startsWith("measured responses count as exact"))
        .anyMatch(
            r -> r.contains("only what is given as uncertain") && r.contains("modes as exact"));
  }

  // Sampling -------------------------------------------------------------------------------------

  @Test
  void theSameSeedGivesTheSameAnswerOnAnyNumberOfThreads() throws Exception {
    CuttingProcess process = milling(Cuts.tool(3, 0.01));
    List<Double> speeds = IntStream.range(0, 15).mapToObj(i -> 4_000.0 + 1_000 * i).toList();
    AtPoint at = new AtPoint(9_000, 1.5e-3);
    InputSpread spread = InputSpread.of(process).withCoefficientRange(0.2).withShift(0.02, 2e4);
    List<StabilityMap> maps = new ArrayList<>();
    for (int threads : new int[] {1, 3}) {
      ForkJoinPool pool = new ForkJoinPool(threads);
      try {
        maps.add(
            pool.submit(
                    () ->
                        ProbabilityLobes.compute(
                            process, request(0.01, speeds, at), spread, 60, 99, Progress.NONE))
                .get());
      } finally {
        pool.shutdown();
      }
    }
    StabilityProbability one = maps.get(0).probability().orElseThrow();
    StabilityProbability three = maps.get(1).probability().orElseThrow();
    assertThat(three.limit95M()).isEqualTo(one.limit95M());
    assertThat(three.sensitivities()).isEqualTo(one.sensitivities());
    assertThat(maps.get(1).at()).isEqualTo(maps.get(0).at());
    for (int i = 0; i < speeds.size(); i++) {
      assertThat(three.stable().get(i)).containsExactly(one.stable().get(i));
    }
    StabilityProbability other =
        ProbabilityLobes.compute(process, request(0.01, speeds, at), spread, 60, 98, Progress.NONE)
            .probability()
            .orElseThrow();
    assertThat(other.limit95M()).isNotEqualTo(one.limit95M());
  }

  /** The quick way and a map of each drawn cut must agree, islands and single points included. */
  @Test
  void theQuickWayAgreesWithAMapOfEachDrawnCut() {
    CuttingProcess process = withIslands();
    LobesRequest request =
        request(0.012, List.of(4_000.0, 7_000.0, 19_400.0), new AtPoint(7_000, 4.6e-3));
    InputSpread spread = InputSpread.of(process).withShift(0.01, 20_000);
    StabilityMap quick = ProbabilityLobes.compute(process, request, spread, 40, 2, Progress.NONE);
    StabilityMap slow =
        ProbabilityLobes.compute(
            process, request, spread, 40, 2, SampleMethod.mapping(request), Progress.NONE);
    StabilityProbability a = quick.probability().orElseThrow();
    StabilityProbability b = slow.probability().orElseThrow();
    assertThat(quick.at()).isEqualTo(slow.at());
    assertThat(a.limit95M()).isEqualTo(b.limit95M());
    LimitsOnly first =
        (cut, speeds, maxM) ->
            Arrays.stream(speeds).map(rpm -> Cuts.limit(cut, maxM, rpm)).toArray();
    StabilityMap limits =
        ProbabilityLobes.compute(
            process, request, spread, 40, 2, SampleMethod.limits(request, first), Progress.NONE);
    StabilityProbability c = limits.probability().orElseThrow();
    assertThat(c.limit95M()).isEqualTo(a.limit95M());
    assertThat(limits.at()).isEqualTo(quick.at());
    assertThat(limits.remarks()).anyMatch(r -> r.contains("first loss of stability"));
    assertThat(quick.remarks()).noneMatch(r -> r.contains("first loss of stability"));
    for (int i = 0; i < 3; i++) {
      assertThat(a.stable().get(i)).containsExactly(b.stable().get(i));
      for (int k = 0; k < 100; k++) {
        assertThat(c.stable().get(i)[k]).isLessThanOrEqualTo(a.stable().get(i)[k]);
      }
    }
    assertThat(c.stable().get(1)[37]).isLessThan(a.stable().get(1)[37]); // 4.56 mm
  }

  @Test
  void tablesOfModesOverSpeedAreDrawnToo() {
    Mode mode = sigmas(MODE, 0.01, 0.1, 0.05);
    ModeTable table =
        new ModeTable(
            List.of(
                new ModeTable.Row(0, ModalModel.of(mode)),
                new ModeTable.Row(20_000, ModalModel.of(mode))));
    InputSpread spread = InputSpread.of(turning(MODE)).withShift(0.02, 30_000);
    LobesRequest request = request(0.01, SPEEDS, new AtPoint(9_100, 0.6e-3));
    StabilityMap plain =
        ProbabilityLobes.compute(turning(mode), request, spread, 30, 4, Progress.NONE);
    StabilityMap tabled =
        ProbabilityLobes.compute(turning(table), request, spread, 30, 4, Progress.NONE);
    StabilityProbability a = plain.probability().orElseThrow();
    StabilityProbability b = tabled.probability().orElseThrow();
    for (int i = 0; i < SPEEDS.size(); i++) {
      assertThat(b.limit95M().get(i)).isCloseTo(a.limit95M().get(i), within(1e-12));
      assertThat(b.stable().get(i)).containsExactly(a.stable().get(i), within(1e-12));
    }
    assertThat(tabled.at()).isEqualTo(plain.at());
    assertThat(b.sensitivities()).hasSize(4);
  }

  /** Over width, and in a direction whose sigmas the caller assumes. */
  @Test
  void overWidthWithAssumedSigmas() {
    CuttingProcess process =
        Cuts.milling(
            Cuts.tool(2, 0.01),
            Direction.DOWN,
            0.5,
            3e-3,
            8e8,
            2e8,
            List.of(Mode.of(900, 0.02, 4e6)),
            List.of(Mode.of(1000, 0.025, 5e6)));
    LobesRequest request =
        new LobesRequest(
            StabilityMap.Over.WIDTH,
            Optional.empty(),
            List.of(8_000.0, 12_000.0),
            Double.NaN,
            List.of(new AtPoint(8_000, 1e-3)));
    StabilityMap map =
        ProbabilityLobes.compute(
            process,
            request,
            InputSpread.NONE.withModes(new ModeSigmas(0.005, 0.1, 0.05)),
            32,
            4,
            Progress.NONE);
    StabilityProbability found = map.probability().orElseThrow();
    assertThat(found.sensitivities()).hasSize(6);
    assertThat(map.remarks()).anyMatch(r -> r.contains("(assumed where a mode has none)"));
    for (int i = 0; i < 2; i++) {
      assertThat(found.limit95M().get(i)).isLessThan(map.lines().get(i).limitM()).isPositive();
    }
  }

  /** A mode that x, y and their cross receptance share is drawn once. */
  @Test
  void aCrossReceptanceSharesItsModes() {
    Mode x = sigmas(Mode.of(900, 0.02, 8e6), 0.01, 0.1, 0.1);
    Mode y = sigmas(Mode.of(1100, 0.03, 9e6), 0.01, 0.1, 0.1);
    Mode cross = sigmas(Mode.of(900, 0.02, 2e7), 0.01, 0.1, 0.1);
    CuttingProcess process =
        Cuts.milling(
                Cuts.tool(3, 0.01), Direction.DOWN, 0.5, 1e-3, 8e8, 2e8, List.of(x), List.of(y))
            .withDynamics(List.of(x), List.of(y), List.of(new OppositeMode(cross)));
    UncertainInputs inputs = new UncertainInputs(process, InputSpread.of(process));
    assertThat(inputs.inputs()).hasSize(6);
    CuttingProcess drawn = inputs.drawn(process, new double[] {1, -1, 2, 0, 0, 0});
    Mode there = ((OppositeMode) drawn.xy().get(0)).mode();
    assertThat(there.frequencyHz()).isCloseTo(909, within(1e-9));
    assertThat(there.stiffnessNPerM() / 2e7)
        .isCloseTo(((Mode) drawn.x().get(0)).stiffnessNPerM() / 8e6, within(1e-12));
    assertThat(((Mode) drawn.y().get(0)).frequencyHz()).isEqualTo(1100);
  }

  // Cancelling and nonsense ----------------------------------------------------------------------

  @Test
  void tellsHowFarItIsAndCanBeCancelled() {
    List<Double> told = new ArrayList<>();
    ProbabilityLobes.compute(
        turning(MODE),
        request(0.01, SPEEDS),
        InputSpread.NONE.withCoefficientRange(0.1),
        40,
        1,
        (done, what) -> told.add(done));
    assertThat(told).isSorted().hasSizeGreaterThan(5).endsWith(1.0);
    assertThatThrownBy(
            () ->
                ProbabilityLobes.compute(
                    turning(MODE),
                    request(0.01, SPEEDS),
                    InputSpread.NONE.withCoefficientRange(0.1),
                    40,
                    1,
                    (done, what) -> {
                      if (done > 0.5) {
                        throw new CancellationException();
                      }
                    }))
        .isInstanceOf(CancellationException.class);
  }

  @Test
  void refusesNonsenseInOneLine() {
    refused(() -> InputSpread.NONE.withCoefficientRange(1), "range of the cutting coefficients");
    refused(() -> InputSpread.NONE.withCoefficientRange(Double.NaN), "was NaN %");
    refused(() -> InputSpread.NONE.withShift(-0.01, 1e4), "shift with speed");
    refused(() -> InputSpread.NONE.withShift(0.01, Double.NaN), "largest speed");
    refused(() -> new ModeSigmas(0.3, 0, 0), "natural frequencies must be 0 to below 20 %");
    refused(() -> new ModeSigmas(0, -1, 0), "damping");
    refused(() -> new ModeSigmas(0, 0, 3), "stiffnesses");
    refused(() -> compute(turning(MODE), 19), "samples: must be 20");
    refused(() -> compute(turning(MODE), 1_000_000), "samples: must be 20");
    refused(() -> compute(turning(sigmas(MODE, 0.25, 0, 0)), 50), "mode 1 in x (500 Hz)");
    Receptance[] many =
        IntStream.range(0, 8)
            .mapToObj(i -> sigmas(Mode.of(300 + 200 * i, 0.02, 8e6), 0.01, 0.1, 0.1))
            .toArray(Receptance[]::new);
    refused(() -> compute(turning(many), 50), "24 uncertain inputs need 100");
  }

  private static StabilityMap compute(CuttingProcess process, int samples) {
    return ProbabilityLobes.compute(
        process, request(0.01, SPEEDS), InputSpread.of(process), samples, 1, Progress.NONE);
  }

  private static void refused(Runnable call, String says) {
    assertThatThrownBy(call::run)
        .isInstanceOf(BadInputException.class)
        .hasMessageContaining(says)
        .message()
        .doesNotContain("\n");
  }
}
