package ringtrue.stability;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CancellationException;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.OppositeMode;
import ringtrue.dynamics.Progress;
import ringtrue.dynamics.Receptance;
import ringtrue.dynamics.Residual;
import ringtrue.stability.Engagement.Direction;
import ringtrue.stability.LobesRequest.AtPoint;
import ringtrue.stability.StabilityMap.Interval;
import ringtrue.stability.StabilityMap.Line;
import ringtrue.stability.StabilityMap.Loss;
import ringtrue.stability.StabilityMap.Over;
import ringtrue.units.BadInputException;

class MultiFrequencyLobesTest {

  static StabilityMap map(
      Over over, CuttingProcess process, double maxM, List<Double> speeds, List<AtPoint> at) {
    return Lobes.compute(
        process,
        new LobesRequest(over, Optional.of(Method.MULTI_FREQUENCY), speeds, maxM, at),
        Progress.NONE);
  }

  static StabilityMap map(CuttingProcess process, double maxM, Double... speeds) {
    return map(Over.DEPTH, process, maxM, List.of(speeds), List.of());
  }

  static Line line(CuttingProcess process, double maxM, double rpm) {
    return map(process, maxM, rpm).lines().get(0);
  }

  static FrequencyResponse sampled(
      Receptance from, double lowHz, double highHz, double stepHz, double relativeError) {
    int n = (int) Math.round((highHz - lowHz) / stepHz) + 1;
    double[] hz = new double[n];
    double[] re = new double[n];
    double[] im = new double[n];
    double[] error = new double[n];
    double[] into = new double[2];
    for (int i = 0; i < n; i++) {
      hz[i] = lowHz + i * stepHz;
      from.at(hz[i], into);
      re[i] = into[0];
      im[i] = into[1];
      error[i] = relativeError;
    }
    return new FrequencyResponse(
        hz, re, im, null, error, FrequencyResponse.Origin.unknown(lowHz, highHz));
  }

  /** Mass 0.03993 kg, 922 Hz, ζ 0.011: k = m ω². */
  private static final Mode BENCHMARK =
      Mode.of(922, 0.011, 0.03993 * Math.pow(2 * Math.PI * 922, 2));

  private static CuttingProcess benchmark(Direction direction, double fraction, Receptance x) {
    return Cuts.milling(
        Cuts.tool(2, 0.01),
        direction,
        fraction,
        1e-3,
        600e6,
        200e6,
        List.of(x),
        List.of(Receptance.RIGID));
  }

  /**
   * Benchmark of Bayly et al. 2003 and Insperger & Stépán 2004 (inputs from memory), limits from
   * first-order semi-discretisation extrapolated from 100 and 200 steps; F: flip, where these are
   * up to 0.1 % off the exact ones of {@link #flipLimits}.
   */
  @ParameterizedTest
  @CsvSource({
    "SLOT, 1, 0.409, 0.3225, 2.707F, 0.387, 1.418F",
    "UP, .5, 0.260, 0.2136, 1.545, 0.259, 1.185",
    "UP, .1, 1.027, 0.815, 4.903F, 0.966, 2.205F",
    "UP, .05, 2.147, 1.658, 11.67F, 1.888, 3.774F",
    "DOWN, .5, 0.847, 2.105F, 0.657, 2.596F, 0.720",
    "DOWN, .1, 1.296, 2.518F, 1.013, 4.344F, 1.222",
    "DOWN, .05, 2.207, 4.090F, 1.785, 8.21F, 2.299"
  })
  void benchmarkInOneDirection(
      Direction direction,
      double fraction,
      String at5000,
      String at10000,
      String at12500,
      String at15000,
      String at20000) {
    String[] expected = {at5000, at10000, at12500, at15000, at20000};
    StabilityMap map =
        map(
            benchmark(direction, fraction, BENCHMARK),
            0.02,
            5000.0,
            10000.0,
            12500.0,
            15000.0,
            20000.0);
    for (int i = 0; i < expected.length; i++) {
      Line line = map.lines().get(i);
      String digits = expected[i].replace("F", "");
      double limit = Double.parseDouble(digits);
      double lastDigit = Math.pow(10, -(digits.length() - digits.indexOf('.') - 1));
      assertThat(1e3 * line.limitM())
          .as("%s %s at %s rpm", direction, fraction, line.speedRpm())
          .isCloseTo(
              limit,
              within(0.55 * lastDigit + (expected[i].endsWith("F") ? 1.2e-3 : 4e-4) * limit));
      assertThat(line.loss()).isEqualTo(expected[i].endsWith("F") ? Loss.FLIP : Loss.HOPF);
    }
    assertThat(map.remarks()).isEmpty();
  }

  /** Exact flip limits of the same benchmark; see the script beside the values. */
  @Test
  void flipLimits() throws IOException {
    JsonNode flips =
        new ObjectMapper().readTree(Path.of("fixtures", "lobes", "flips.json").toFile());
    assertThat(flips).hasSize(12);
    for (JsonNode one : flips) {
      Direction direction = Direction.valueOf(one.get("direction").asText());
      double fraction = one.get("radialFraction").asDouble();
      double limit = one.get("limitM").asDouble();
      Line line = line(benchmark(direction, fraction, BENCHMARK), 0.02, one.get("rpm").asDouble());
      assertThat(line.loss()).isEqualTo(Loss.FLIP);
      assertThat(line.limitM()).as(one.toString()).isCloseTo(limit, within(5e-4 * limit));
    }
  }

  /** The further stable band that the spectral method found for this case: 2.311 to 2.353 mm. */
  @Test
  void stableBandAboveTheLimit() {
    Line line = line(benchmark(Direction.DOWN, 0.5, BENCHMARK), 0.01, 10000);
    assertThat(line.stable()).hasSize(2);
    assertThat(1e3 * line.stable().get(1).fromM()).isCloseTo(2.311, within(0.0015));
    assertThat(1e3 * line.stable().get(1).toM()).isCloseTo(2.353, within(0.0015));
    StabilityMap points =
        map(
            Over.DEPTH,
            benchmark(Direction.DOWN, 0.5, BENCHMARK),
            0.01,
            List.of(),
            List.of(
                new AtPoint(10000, 2.09e-3),
                new AtPoint(10000, 2.25e-3),
                new AtPoint(10000, 2.33e-3),
                new AtPoint(10000, 2.38e-3)));
    assertThat(points.at().stream().map(StabilityMap.Point::stable))
        .containsExactly(true, false, true, false);
    assertThat(points.at()).allMatch(p -> Double.isNaN(p.growth()));
  }

  /**
   * Equal modes in x and y, k = 8e6 N/m, ζ = 0.02, 500 Hz, four teeth; converged limits of a
   * spectral method in the time domain, 1e-4.
   */
  @ParameterizedTest
  @CsvSource({
    "SLOT, 1, 5000, 0.2289",
    "SLOT, 1, 6000, 0.5432",
    "SLOT, 1, 10000, 0.3167",
    "UP, .5, 5000, 0.6245",
    "UP, .5, 6000, 1.7371",
    "UP, .5, 10000, 0.7883",
    "DOWN, .25, 5000, 1.4763",
    "DOWN, .25, 6000, 5.0969",
    "DOWN, .25, 10000, 1.6148"
  })
  void twoDirections(Direction direction, double fraction, double rpm, double expectedMm) {
    Mode mode = Mode.of(500, 0.02, 8e6);
    CuttingProcess process =
        Cuts.milling(
            Cuts.tool(4, 0.01),
            direction,
            fraction,
            1e-3,
            695.388e6,
            0.404026 * 695.388e6,
            List.of(mode),
            List.of(mode));
    assertThat(1e3 * line(process, 0.02, rpm).limitM())
        .isCloseTo(expectedMm, within(5e-5 + 6e-4 * expectedMm));
  }

  /**
   * Uneven pitch, helix and a mode in an oblique direction against semi-discretisation in the time
   * domain; see the script beside the values. Its extrapolation is good to about 5e-4.
   */
  @Test
  void agreesWithSemiDiscretisation() throws IOException {
    JsonNode cases =
        new ObjectMapper().readTree(Path.of("fixtures", "lobes", "periodic.json").toFile());
    assertThat(cases).hasSize(4);
    for (JsonNode one : cases) {
      List<Receptance> x = new ArrayList<>();
      List<Receptance> y = new ArrayList<>();
      List<Receptance> xy = new ArrayList<>();
      for (JsonNode mode : one.get("modes")) {
        double sx = mode.get("shape").get(0).asDouble();
        double sy = mode.get("shape").get(1).asDouble();
        add(x, mode, sx * sx);
        add(y, mode, sy * sy);
        add(xy, mode, sx * sy);
      }
      List<Double> pitch = new ArrayList<>();
      one.get("pitchDeg").forEach(p -> pitch.add(Math.toRadians(p.asDouble())));
      Tool straight = Cuts.tool(one.get("diameter").asDouble(), pitch);
      Tool tool =
          new Tool(
              straight.diameterM(),
              Collections.nCopies(pitch.size(), Math.toRadians(one.get("helixDeg").asDouble())),
              pitch,
              Double.NaN,
              Double.NaN,
              0,
              Double.NaN);
      CuttingProcess process =
          new CuttingProcess(
              CuttingProcess.Operation.MILLING,
              Optional.of(tool),
              new Engagement(
                  Direction.ANGLES,
                  Double.NaN,
                  1e-3,
                  Math.toRadians(one.get("entryDeg").asDouble()),
                  Math.toRadians(one.get("exitDeg").asDouble())),
              new CuttingCoefficients(
                  one.get("ktc").asDouble(), one.get("krc").asDouble(), 0, 0, Double.NaN),
              x,
              y,
              10_000,
              1e-4,
              0,
              xy,
              0);
      for (int i = 0; i < one.get("rpm").size(); i++) {
        double rpm = one.get("rpm").get(i).asDouble();
        double expected = one.get("limitM").get(i).asDouble();
        assertThat(line(process, 2.5 * expected, rpm).limitM())
            .as("%s at %s rpm", one.get("name"), rpm)
            .isCloseTo(expected, within(2e-3 * expected));
      }
    }
  }

  private static void add(List<Receptance> direction, JsonNode mode, double shape) {
    if (shape != 0) {
      Mode one =
          Mode.of(
              mode.get("hz").asDouble(),
              mode.get("zeta").asDouble(),
              mode.get("k").asDouble() / Math.abs(shape));
      direction.add(shape > 0 ? one : new OppositeMode(one));
    }
  }

  /** A pitch that is even to a hundredth of a degree goes through the equation for uneven pitch. */
  @Test
  void nearlyEvenPitchIsEvenPitch() {
    List<Receptance> x = List.of(Mode.of(800, 0.03, 5e6));
    List<Receptance> y = List.of(Mode.of(950, 0.025, 6e6));
    CuttingProcess even =
        Cuts.milling(Cuts.tool(2, 0.01), Direction.DOWN, 0.2, 1e-3, 900e6, 300e6, x, y);
    CuttingProcess nearly =
        Cuts.milling(
            Cuts.pitched(0.01, 180.001, 179.999), Direction.DOWN, 0.2, 1e-3, 900e6, 300e6, x, y);
    for (double rpm : new double[] {9000, 21000, 26000}) {
      double limit = line(even, 0.02, rpm).limitM();
      assertThat(line(nearly, 0.02, rpm).limitM()).isCloseTo(limit, within(2e-3 * limit));
    }
  }

  /** A response sampled finely from modes has the limits of the modes. */
  @Test
  void responseAsMeasuredHasTheLimitsOfItsModes() {
    ModalModel x = ModalModel.of(Mode.of(880, 0.022, 6.5e6), Mode.of(1730, 0.014, 4.2e6));
    ModalModel y = ModalModel.of(Mode.of(925, 0.025, 7.4e6), Mode.of(1810, 0.013, 3.9e6));
    Tool tool = Cuts.tool(3, 0.01);
    CuttingProcess modal =
        Cuts.milling(tool, Direction.DOWN, 0.2, 1e-3, 1800e6, 700e6, List.of(x), List.of(y));
    CuttingProcess measured =
        modal.withDynamics(
            List.of(sampled(x, 10, 8000, 1, Double.NaN)),
            List.of(sampled(y, 10, 8000, 1, Double.NaN)),
            List.of());
    Double[] speeds = {6000.0, 9000.0, 12000.0, 17000.0, 24000.0, 33000.0};
    StabilityMap a = map(modal, 0.01, speeds);
    StabilityMap b = map(measured, 0.01, speeds);
    for (int i = 0; i < speeds.length; i++) {
      double limit = a.lines().get(i).limitM();
      assertThat(b.lines().get(i).limitM()).isCloseTo(limit, within(2e-3 * limit));
      assertThat(b.lines().get(i).loss()).isEqualTo(a.lines().get(i).loss());
      assertThat(b.lines().get(i).limitLowM()).isNaN();
    }
    assertThat(b.remarks()).anyMatch(r -> r.contains("outside their usable bands"));
  }

  /**
   * With several teeth always in a slot the directional matrix is constant: zero order is exact.
   */
  @Test
  void fourFluteSlotIsZeroOrder() {
    CuttingProcess process =
        Cuts.milling(
            Cuts.tool(4, 0.01),
            Direction.SLOT,
            1,
            1e-3,
            900e6,
            300e6,
            List.of(Mode.of(1240, 0.016, 2.1e6)),
            List.of(Mode.of(1310, 0.019, 2.6e6)));
    StabilityMap multi = map(process, 0.005, 9600.0, 13000.0, 18600.0);
    StabilityMap zero = Cuts.depth(process, 0.005, 9600.0, 13000.0, 18600.0);
    for (int i = 0; i < 3; i++) {
      Line a = multi.lines().get(i);
      Line b = zero.lines().get(i);
      assertThat(a.limitM()).isCloseTo(b.limitM(), within(1e-6 * b.limitM()));
      assertThat(a.chatterHz()).isCloseTo(b.chatterHz(), within(1e-4 * b.chatterHz()));
      assertThat(a.stable()).hasSameSizeAs(b.stable());
    }
  }

  /** A limit over width at the depth that is the limit over depth at that width. */
  @Test
  void overWidthMeetsOverDepth() {
    CuttingProcess process = benchmark(Direction.DOWN, 0.1, BENCHMARK);
    double depth = line(process, 0.02, 15500).limitM();
    CuttingProcess deep = process.with(process.engagement().withAxial(depth));
    StabilityMap map =
        map(Over.WIDTH, deep, 0.01, List.of(15500.0), List.of(new AtPoint(15500, 1.05e-3)));
    double nearest =
        map.lines().get(0).stable().stream()
            .flatMap(i -> java.util.stream.Stream.of(i.fromM(), i.toM()))
            .mapToDouble(w -> Math.abs(w - 1e-3))
            .min()
            .orElseThrow();
    assertThat(nearest).isLessThan(3e-6);
    assertThat(map.remarks()).anyMatch(r -> r.contains("stepped through"));
    assertThat(map.at()).hasSize(1);
  }

  @Test
  void rigidStructureNeverChatters() {
    CuttingProcess rigid =
        Cuts.milling(
            Cuts.tool(4, 0.01),
            Direction.DOWN,
            0.1,
            1e-3,
            900e6,
            300e6,
            List.of(Receptance.RIGID),
            List.of());
    StabilityMap map =
        map(Over.DEPTH, rigid, 0.02, List.of(9000.0), List.of(new AtPoint(9000, 0.015)));
    Line line = map.lines().get(0);
    assertThat(line.loss()).isEqualTo(Loss.NONE);
    assertThat(line.stable()).containsExactly(new Interval(0, 0.02));
    assertThat(map.at().get(0).stable()).isTrue();
  }

  /**
   * Thinner and thinner cuts end in a stable one; one flute at full width is a cut like any other.
   */
  @Test
  void extremesOfEngagement() {
    double before = 0;
    for (double fraction : new double[] {1, 0.3, 0.05, 0.005, 1e-5}) {
      CuttingProcess process =
          Cuts.milling(
              Cuts.tool(1, 0.01),
              Direction.DOWN,
              fraction,
              1e-3,
              600e6,
              200e6,
              List.of(BENCHMARK),
              List.of());
      Line line = line(process, 0.05, 21000);
      assertThat(line.limitM()).isGreaterThan(before);
      before = line.limitM();
    }
    assertThat(before).isEqualTo(0.05);
  }

  @Test
  void tooManyHarmonicsAreSaid() {
    CuttingProcess process = benchmark(Direction.DOWN, 0.1, BENCHMARK);
    StabilityMap map =
        map(
            Over.DEPTH,
            process,
            0.02,
            List.of(150.0, 15000.0),
            List.of(new AtPoint(150, 1e-4), new AtPoint(150, 0.02)));
    assertThat(map.at().stream().map(StabilityMap.Point::stable)).containsExactly(true, false);
    assertThat(map.remarks()).anyMatch(r -> r.contains("the point at 150 rpm"));
    assertThat(map.remarks())
        .anyMatch(r -> r.startsWith("at 150 rpm") && r.contains("averaged directional factors"));
    assertThat(map.lines().get(0).limitM()).isEqualTo(Cuts.limit(process, 0.02, 150));
    assertThat(1e3 * map.lines().get(1).limitM()).isCloseTo(4.344, within(0.005));
  }

  /** A stiffness that acts at all frequencies is no reason to fail. */
  @Test
  void residualTermsAreHeldNearTheModes() {
    ModalModel plain = ModalModel.of(BENCHMARK);
    ModalModel more =
        new ModalModel(plain.modes(), new Residual(0.02 / BENCHMARK.stiffnessNPerM(), 1e-3));
    double limit = line(benchmark(Direction.DOWN, 0.1, plain), 0.02, 12500).limitM();
    assertThat(line(benchmark(Direction.DOWN, 0.1, more), 0.02, 12500).limitM())
        .isCloseTo(limit, within(0.05 * limit))
        .isNotEqualTo(limit);
  }

  /** Where the measured band ends below the mode that chatters, the map says so. */
  @Test
  void limitOutsideTheMeasuredBandIsSaid() {
    // Just past the resonance: at this speed it chatters above it, where nothing was measured.
    FrequencyResponse low = sampled(BENCHMARK, 50, 925, 1, 0.01);
    StabilityMap map = map(benchmark(Direction.SLOT, 1, low), 0.05, 15000.0, 12500.0);
    assertThat(map.lines()).anyMatch(l -> l.loss() != Loss.NONE);
    assertThat(map.remarks()).anyMatch(r -> r.contains("outside the usable band of a measured"));
    FrequencyResponse enough = sampled(BENCHMARK, 50, 4000, 1, 0.01);
    assertThat(map(benchmark(Direction.SLOT, 1, enough), 0.05, 15000.0).remarks())
        .noneMatch(r -> r.contains("the limit depends"));
  }

  @Test
  void refusesWhatItCannotDo() {
    CuttingProcess process = benchmark(Direction.DOWN, 0.1, BENCHMARK);
    assertThatThrownBy(() -> map(process.withProcessDamping(1e5), 0.02, 9000.0))
        .isInstanceOf(BadInputException.class)
        .hasMessageContaining("process damping");
    Tool even = process.tool().orElseThrow();
    Tool helices =
        new Tool(0.01, List.of(0.5, 0.6), even.pitchRad(), Double.NaN, Double.NaN, 0, Double.NaN);
    CuttingProcess different =
        Cuts.milling(helices, Direction.DOWN, 0.1, 1e-3, 6e8, 2e8, List.of(BENCHMARK), List.of());
    assertThatThrownBy(() -> map(different, 0.02, 9000.0))
        .isInstanceOf(BadInputException.class)
        .hasMessageContaining("same helix");
  }

  @Test
  void canBeCancelled() {
    LobesRequest request =
        new LobesRequest(
            Over.DEPTH,
            Optional.of(Method.MULTI_FREQUENCY),
            Collections.nCopies(200, 9000.0),
            0.02,
            List.of());
    assertThatThrownBy(
            () ->
                Lobes.compute(
                    benchmark(Direction.DOWN, 0.1, BENCHMARK),
                    request,
                    (done, what) -> {
                      if (done > 0.1) {
                        throw new CancellationException();
                      }
                    }))
        .isInstanceOf(CancellationException.class);
  }
}
