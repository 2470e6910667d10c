package ringtrue.stability;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Collections;
import java.util.List;
import java.util.Optional;
import java.util.stream.IntStream;
import org.apache.commons.math3.complex.Complex;
import org.apache.commons.math3.linear.Array2DRowRealMatrix;
import org.apache.commons.math3.linear.EigenDecomposition;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.OppositeMode;
import ringtrue.dynamics.Progress;
import ringtrue.stability.Engagement.Direction;
import ringtrue.stability.LinearCutInTime.Fineness;

/** Whether the judges of the periodic method can be trusted themselves. */
class JudgesTest {
  private static final Fineness FINE = new Fineness(100, 40);

  /** 0.3 % of the published print, which is from memory (Ding et al. 2010, reference column). */
  private static final double PUBLISHED = 3e-3;

  /**
   * Multipliers of the benchmark at 5000 rpm, full width: as published, then of an independent
   * script with 160 and 300 steps and extrapolated, all digits given.
   */
  @ParameterizedTest
  @CsvSource({
    "0.2, 0.8192, 0.81903, 0.81954, 0.8197",
    "0.5, 1.0726, 1.07203, 1.07342, 1.0740",
    "0.7, 1.2197, 1.21889, 1.22080, 1.2216",
    "1.0, 1.4040, 1.40287, 1.40545, 1.4065"
  })
  void multipliersOfTheBenchmark(
      double depthMm, double published, double with160, double with300, double extrapolated) {
    CuttingProcess process = PublishedCuts.benchmark(Direction.SLOT, 1);
    double depth = 1e-3 * depthMm;
    double coarse = new SemiDiscretisation(process, 5000, depth, 160, 1).growth();
    double fine = new SemiDiscretisation(process, 5000, depth, 300, 1).growth();
    assertThat(coarse).isCloseTo(with160, within(0.6e-5));
    assertThat(fine).isCloseTo(with300, within(0.6e-5));
    assertThat(fine).isCloseTo(published, within(PUBLISHED * published));
    assertThat(richardson(coarse, 160, fine, 300)).isCloseTo(extrapolated, within(0.6e-4));
    assertThat(new LinearCutInTime(process, 5000, depth, FINE).growth())
        .isCloseTo(extrapolated, within(0.6e-4));
  }

  /**
   * Limits of the benchmark in mm, as printed by an independent script and confirmed by a second
   * method: stable a digit below, unstable a digit above, and the kind of loss. Three of the
   * script's values, extrapolated from 100 and 200 steps, are off by more than a digit (0.3225 in
   * the slot at 10000 rpm, 4.903 and 2.205 in up milling at 12500 and 20000 rpm); here stands what
   * both judges converge to.
   */
  @ParameterizedTest
  @CsvSource({
    "SLOT, 1, 0.409, 0.3224, -2.707, 0.387, -1.418",
    "UP, 0.5, 0.260, 0.2136, 1.545, 0.259, 1.185",
    "UP, 0.1, 1.027, 0.815, -4.908, 0.966, -2.206",
    "UP, 0.05, 2.147, 1.658, -11.67, 1.888, -3.774",
    "DOWN, 0.5, 0.847, -2.105, 0.657, -2.596, 0.720",
    "DOWN, 0.1, 1.296, -2.518, 1.013, -4.344, 1.222",
    "DOWN, 0.05, 2.207, -4.090, 1.785, -8.21, 2.299"
  })
  void limitsOfTheBenchmark(
      Direction direction,
      double radialFraction,
      String at5000,
      String at10000,
      String at12500,
      String at15000,
      String at20000) {
    CuttingProcess process = PublishedCuts.benchmark(direction, radialFraction);
    double[] speeds = {5000, 10_000, 12_500, 15_000, 20_000};
    String[] limits = {at5000, at10000, at12500, at15000, at20000};
    for (int i = 0; i < speeds.length; i++) {
      borderAt(process, speeds[i], limits[i]);
    }
  }

  /** Limits of the lone flexure from the same script (70 steps, to 1e-4 of a second method). */
  @ParameterizedTest
  @CsvSource({
    "UP, 3200, 0.7863",
    "UP, 3600, -1.8116",
    "DOWN, 2800, 1.3794",
    "DOWN, 3200, -7.4899",
    "DOWN, 3600, 2.1929",
    "DOWN, 4000, 1.1065"
  })
  void limitsOfTheLoneFlexure(Direction direction, double speedRpm, String limit) {
    borderAt(PublishedCuts.flexure(direction), speedRpm, limit);
  }

  /** A negative limit stands for a flip. */
  private static void borderAt(CuttingProcess process, double speedRpm, String printed) {
    double limit = Math.abs(Double.parseDouble(printed));
    double digit =
        Math.max(Math.pow(10, -(printed.length() - 1 - printed.indexOf('.'))), 1e-4 * limit);
    Complex below =
        new LinearCutInTime(process, speedRpm, 1e-3 * (limit - digit), FINE).multiplier();
    Complex above =
        new LinearCutInTime(process, speedRpm, 1e-3 * (limit + digit), FINE).multiplier();
    assertThat(below.abs()).as("%s rpm", speedRpm).isLessThan(1);
    assertThat(above.abs()).as("%s rpm", speedRpm).isGreaterThan(1);
    boolean flip = above.getReal() < 0 && above.getImaginary() == 0;
    assertThat(flip).as("%s rpm", speedRpm).isEqualTo(printed.startsWith("-"));
  }

  /** A cut with everything in it: both judges, extrapolated or fine, give the same growth. */
  @ParameterizedTest
  @CsvSource({
    "false, false, 0, 0.4",
    "false, false, 35, 0.7",
    "true, false, 0, 0.4",
    "true, false, 40, 0.8",
    "false, true, 30, 0.5",
    "true, true, 12, 1.0",
    "true, true, 0.5, 0.4"
  })
  void judgesAgree(boolean uneven, boolean unequal, double helixDeg, double depthMm) {
    List<Double> pitch =
        (uneven ? List.of(80.0, 105.0, 85.0, 90.0) : Collections.nCopies(4, 90.0))
            .stream().map(Math::toRadians).toList();
    List<Double> helix =
        IntStream.range(0, 4)
            .mapToObj(j -> Math.toRadians(helixDeg + (unequal ? 3 * (j % 2) : 0)))
            .toList();
    Tool tool = new Tool(0.006, helix, pitch, Double.NaN, Double.NaN, 0, Double.NaN);
    CuttingProcess process =
        Cuts.milling(
                tool,
                Direction.DOWN,
                0.3,
                1e-3,
                900e6,
                300e6,
                List.of(ModalModel.of(Mode.of(1240, 0.016, 2.1e6), Mode.of(2500, 0.02, 6e6))),
                List.of(Mode.of(1100, 0.02, 3e6)))
            .withProcessDamping(4e3);
    process =
        process.withDynamics(
            process.x(),
            process.y(),
            List.of(Mode.of(1240, 0.016, 9e6), new OppositeMode(Mode.of(2100, 0.03, 2e7))));
    double rpm = 14_300;
    double depth = 1e-3 * depthMm;
    int steps = uneven || unequal ? 480 : 120;
    double coarse = new SemiDiscretisation(process, rpm, depth, steps, 40).growth();
    double fine = new SemiDiscretisation(process, rpm, depth, 2 * steps, 40).growth();
    double inTime = new LinearCutInTime(process, rpm, depth, FINE).growth();
    assertThat(richardson(coarse, steps, fine, 2 * steps)).isCloseTo(inTime, within(3e-4 * inTime));
    assertThat(new LinearCutInTime(process, rpm, depth, Fineness.USUAL).growth())
        .isCloseTo(inTime, within(5e-4 * inTime));
  }

  /** Four, six or eight teeth in a slot are constant factors: there the averaged limit is exact. */
  @ParameterizedTest
  @ValueSource(ints = {4, 6, 8})
  void averagedFactorsAreExactInASlotWithManyTeeth(int teeth) {
    CuttingProcess process =
        Cuts.milling(
            Cuts.tool(teeth, 0.01),
            Direction.SLOT,
            1,
            1e-3,
            800e6,
            250e6,
            List.of(Mode.of(700, 0.03, 8e6), Mode.of(1500, 0.02, 2e7)),
            List.of(Mode.of(760, 0.025, 9e6)));
    for (double rpm : new double[] {4100, 7300, 11_900}) {
      double limit = averagedLimit(process, 0.05, rpm);
      assertThat(limit).isLessThan(0.05);
      assertThat(new LinearCutInTime(process, rpm, limit, FINE).growth())
          .isCloseTo(1, within(1e-5));
      double coarse = new SemiDiscretisation(process, rpm, limit, 40, 1).growth();
      double fine = new SemiDiscretisation(process, rpm, limit, 80, 1).growth();
      assertThat(richardson(coarse, 40, fine, 80)).isCloseTo(1, within(2e-4));
    }
  }

  /** The averaged limit is the better the more teeth are in the cut. */
  @Test
  void averagedLimitIsApproachedWithMoreTeeth() {
    double before = Double.POSITIVE_INFINITY;
    for (int teeth : new int[] {3, 5, 9, 15}) {
      CuttingProcess process =
          Cuts.milling(
              Cuts.tool(teeth, 0.01),
              Direction.DOWN,
              0.75,
              1e-3,
              800e6,
              250e6,
              List.of(Mode.of(700, 0.03, 8e6)),
              List.of(Mode.of(760, 0.025, 9e6)));
      double rpm = 24_000.0 / teeth;
      double limit = averagedLimit(process, 0.05, rpm);
      double off = Math.abs(new LinearCutInTime(process, rpm, limit, FINE).growth() - 1);
      assertThat(off).isLessThan(0.5 * before);
      before = off;
    }
    assertThat(before).isLessThan(2e-3);
  }

  /** Forces along a helical edge are the integral of the directional factors of its points. */
  @ParameterizedTest
  @CsvSource({"0.002, 0.3", "0.02, 1.1", "0.03, -0.6", "0.008, 0"})
  void edgesAreIntegralsOfTheirPoints(double depthM, double helixRad) {
    double diameter = 0.008;
    List<Double> helix = List.of(helixRad, helixRad, helixRad);
    List<Double> pitch = List.of(1.5, 2.5, 2 * Math.PI - 4);
    Tool tool = new Tool(diameter, helix, pitch, Double.NaN, Double.NaN, 0, Double.NaN);
    CuttingProcess process =
        Cuts.milling(
            tool,
            Direction.DOWN,
            0.4,
            1e-3,
            700e6,
            210e6,
            List.of(Mode.of(700, 0.03, 8e6)),
            List.of());
    Engagement engagement = process.engagement();
    CutEquation equation = new CutEquation(process, 6000, depthM, 1);
    int points = 200_000;
    double[] one = new double[8];
    for (double part : new double[] {0.03, 0.21, 0.4, 0.77}) {
      double[] sum = new double[4];
      for (int s = 0; s < equation.slices.size(); s++) {
        if (equation.at(s, part * equation.turnS, part * equation.turnS, one)) {
          for (int l = 0; l < 4; l++) {
            sum[l] += one[l];
          }
        }
      }
      double[] expected = new double[4];
      double tip = 2 * Math.PI * part;
      for (int j = 0; j < 3; j++) {
        for (int i = 0; i < points; i++) {
          double z = depthM * (i + 0.5) / points;
          double angle = tip - 2 * z * Math.tan(helixRad) / diameter;
          angle -= 2 * Math.PI * Math.floor(angle / (2 * Math.PI));
          if (angle > engagement.entryRad() && angle < engagement.exitRad()) {
            DirectionalFactors a = DirectionalFactors.at(angle, 0.3);
            double half = 0.5 * 700e6 * depthM / points;
            expected[0] += half * a.axx();
            expected[1] += half * a.axy();
            expected[2] += half * a.ayx();
            expected[3] += half * a.ayy();
          }
        }
        tip -= pitch.get(j);
      }
      for (int l = 0; l < 4; l++) {
        assertThat(sum[l]).isCloseTo(expected[l], within(1e-4 * 700e6 * depthM));
      }
    }
  }

  /** Delays as the definition of the pitch says: flute j+1 follows flute j by pitch j. */
  @Test
  void delaysFollowPitchAndHelix() {
    Tool tool =
        new Tool(
            0.01,
            List.of(0.2, 0.5, 0.3),
            List.of(1.5, 2.5, 2 * Math.PI - 4),
            Double.NaN,
            Double.NaN,
            0,
            Double.NaN);
    CuttingProcess process =
        Cuts.milling(
            tool, Direction.UP, 0.4, 1e-3, 7e8, 2e8, List.of(Mode.of(700, 0.03, 8e6)), List.of());
    CutEquation equation = new CutEquation(process, 60 / (2 * Math.PI), 0.001, 1);
    double z = 0.0005;
    double perM = 2 / 0.01;
    assertThat(equation.slices.get(1).delayS())
        .isCloseTo(1.5 + perM * z * (Math.tan(0.5) - Math.tan(0.2)), within(1e-12));
    assertThat(equation.slices.get(2).delayS())
        .isCloseTo(2.5 + perM * z * (Math.tan(0.3) - Math.tan(0.5)), within(1e-12));
    assertThat(equation.slices.get(0).delayS())
        .isCloseTo(2 * Math.PI - 4 + perM * z * (Math.tan(0.2) - Math.tan(0.3)), within(1e-12));
  }

  /** The plain way: let it run, and see by how much it grows in the long mean. */
  @ParameterizedTest
  @CsvSource({"UP, 0.1, 5000, 0.9", "DOWN, 0.5, 12500, 0.9", "SLOT, 1, 20000, 1.6"})
  void growthIsWhatALongRunShows(Direction direction, double part, double rpm, double depthMm) {
    LinearCutInTime cut =
        new LinearCutInTime(
            PublishedCuts.benchmark(direction, part), rpm, 1e-3 * depthMm, Fineness.USUAL);
    double[] state = cut.start(5);
    double[] next = new double[state.length];
    double log = 0;
    int counted = 0;
    for (int i = 0; i < 6000; i++) {
      cut.period(state, next);
      double size = 0;
      for (double v : next) {
        size += v * v;
      }
      size = Math.sqrt(size);
      for (int l = 0; l < next.length; l++) {
        state[l] = next[l] / size;
      }
      if (i >= 1000) {
        log += Math.log(size);
        counted++;
      }
    }
    double growth = cut.growth();
    assertThat(Math.exp(log / counted)).isCloseTo(growth, within(1e-3 * growth));
  }

  @Test
  void dominantMultiplierIsTheLargestEigenvalue() {
    for (long seed = 1; seed <= 6; seed++) {
      int n = 40;
      double[] entries = DominantMultiplier.random(n * n, seed);
      Array2DRowRealMatrix matrix = new Array2DRowRealMatrix(n, n);
      for (int i = 0; i < n; i++) {
        for (int j = 0; j < n; j++) {
          matrix.setEntry(i, j, entries[n * i + j]);
        }
      }
      Complex found =
          DominantMultiplier.of(
              (from, into) -> System.arraycopy(matrix.operate(from), 0, into, 0, n),
              DominantMultiplier.random(n, 99),
              1e-9);
      EigenDecomposition all = new EigenDecomposition(matrix);
      double largest = 0;
      for (int i = 0; i < n; i++) {
        largest =
            Math.max(largest, Math.hypot(all.getRealEigenvalues()[i], all.getImagEigenvalues()[i]));
      }
      assertThat(found.abs()).isCloseTo(largest, within(1e-8 * largest));
    }
  }

  private static double averagedLimit(CuttingProcess process, double maxM, double rpm) {
    return Lobes.compute(
            process,
            new LobesRequest(
                StabilityMap.Over.DEPTH,
                Optional.of(Method.ZERO_ORDER),
                List.of(rpm),
                maxM,
                List.of()),
            Progress.NONE)
        .lines()
        .get(0)
        .limitM();
  }

  /** The value without steps, of two values whose error goes with the square of the step. */
  private static double richardson(double coarse, int few, double fine, int many) {
    double ratio = (double) many * many / ((double) few * few);
    return fine + (fine - coarse) / (ratio - 1);
  }
}
