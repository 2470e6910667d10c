package ringtrue.stability;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CancellationException;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.ValueSource;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.dynamics.Receptance;
import ringtrue.dynamics.Residual;
import ringtrue.stability.Engagement.Direction;
import ringtrue.stability.LobesRequest.AtPoint;
import ringtrue.stability.StabilityMap.Interval;
import ringtrue.stability.StabilityMap.Loss;
import ringtrue.stability.StabilityMap.Over;
import ringtrue.units.BadInputException;

class LobesTest {
  private static final List<Receptance> X = List.of(Mode.of(640, 0.02, 6e6));
  private static final List<Receptance> Y = List.of(Mode.of(980, 0.03, 5e6));

  private static CuttingProcess cut() {
    return Cuts.milling(Cuts.tool(3, 0.01), Direction.UP, 0.3, 1e-3, 9e8, 3e8, X, Y);
  }

  private static StabilityMap map(CuttingProcess process, Over over, double maxM, Double... rpm) {
    return Lobes.compute(
        process,
        new LobesRequest(over, Optional.of(Method.ZERO_ORDER), List.of(rpm), maxM, List.of()),
        Progress.NONE);
  }

  @ParameterizedTest
  @EnumSource(Over.class)
  void speedsKeepTheirOrderAndRepeats(Over over) {
    Double[] speeds = {9000.0, 500.0, 24000.0, 9000.0, 240.0};
    StabilityMap map = map(cut(), over, Double.NaN, speeds);
    assertThat(map.lines()).extracting(StabilityMap.Line::speedRpm).containsExactly(speeds);
    assertThat(map.lines().get(0)).isEqualTo(map.lines().get(3));
    assertThat(map.method()).isEqualTo("zero-order");
    assertThat(map.growthPeriod()).isEqualTo("tooth passing");
    assertThat(map.remarks()).anyMatch(r -> r.contains("flip lobes are not in it"));
  }

  @ParameterizedTest
  @EnumSource(Over.class)
  void nothingGivesNothingChatters(Over over) {
    CuttingProcess rigid =
        Cuts.milling(
            Cuts.tool(3, 0.01),
            Direction.UP,
            0.3,
            1e-3,
            9e8,
            3e8,
            List.of(Receptance.RIGID),
            List.of(ModalModel.of()));
    StabilityMap map =
        Lobes.compute(
            rigid,
            new LobesRequest(
                over,
                Optional.of(Method.ZERO_ORDER),
                List.of(9000.0),
                0.008,
                List.of(new AtPoint(9000, 0.004))),
            Progress.NONE);
    assertThat(map.lines().get(0).loss()).isEqualTo(Loss.NONE);
    assertThat(map.lines().get(0).limitM()).isEqualTo(0.008);
    assertThat(map.lines().get(0).stable()).containsExactly(new Interval(0, 0.008));
    assertThat(map.lines().get(0).chatterHz()).isNaN();
    assertThat(map.lines().get(0).lobe()).isEqualTo(-1);
    assertThat(map.at().get(0).stable()).isTrue();
    assertThat(map.at().get(0).growth()).isZero();
  }

  /** With y rigid one direction is left, with its closed form: b = 4π·2kζ(1 ± ζ)/(N Kt |axx|). */
  @ParameterizedTest
  @CsvSource({"SLOT, 1, 300e6", "UP, 0.3, 300e6", "UP, 0.3, 0", "DOWN, 0.02, 600e6"})
  void rigidInY(Direction direction, double fraction, double krcPa) {
    CuttingProcess process =
        Cuts.milling(Cuts.tool(1, 0.01), direction, fraction, 1e-3, 9e8, krcPa, X, List.of());
    Engagement e = process.engagement();
    double axx = DirectionalFactors.averaged(e.entryRad(), e.exitRad(), krcPa / 9e8).axx();
    // A force that follows the motion (axx > 0) chatters below fn, where Re G is 1/(4kζ(1 − ζ)).
    double expected =
        2 * 6e6 * 0.02 * (axx < 0 ? 1.02 : 0.98) * 4 * Math.PI / (9e8 * Math.abs(axx));
    assertThat(Lobes.certainDepthM(process, 100)).isCloseTo(expected, within(1e-9 * expected));
  }

  /** Twice the width of nothing: the limit runs away as 1/ae² or so, never to zero or NaN. */
  @Test
  void thinnerAndThinnerCuts() {
    double before = 0;
    for (double fraction : new double[] {0.1, 1e-2, 1e-3, 1e-4, 1e-6, 1e-8}) {
      CuttingProcess process =
          Cuts.milling(Cuts.tool(2, 0.01), Direction.DOWN, fraction, 1e-3, 9e8, 3e8, X, Y);
      double certain = Lobes.certainDepthM(process, 1e6);
      assertThat(certain).isGreaterThan(before);
      before = certain;
    }
  }

  @Test
  void fullWidthIsTheSlot() {
    CuttingProcess slot = Cuts.milling(Cuts.tool(4, 0.01), Direction.SLOT, 1, 1e-3, 9e8, 3e8, X, Y);
    CuttingProcess full = Cuts.milling(Cuts.tool(4, 0.01), Direction.DOWN, 1, 1e-3, 9e8, 3e8, X, Y);
    assertThat(Cuts.limit(full, 0.05, 7000)).isCloseTo(Cuts.limit(slot, 0.05, 7000), within(1e-13));
  }

  @Test
  void aVeryStiffModeChangesNothing() {
    List<Receptance> more = List.of(Mode.of(640, 0.02, 6e6), Mode.of(30_000, 0.001, 1e15));
    CuttingProcess process =
        Cuts.milling(Cuts.tool(3, 0.01), Direction.UP, 0.3, 1e-3, 9e8, 3e8, more, Y);
    double limit = Cuts.limit(cut(), 0.05, 7000);
    assertThat(Cuts.limit(process, 0.05, 7000)).isCloseTo(limit, within(1e-6 * limit));
  }

  /** Tool and workpiece add: two equal modes are one of half the stiffness. */
  @Test
  void compliancesAdd() {
    CuttingProcess twice =
        Cuts.milling(
            Cuts.tool(3, 0.01),
            Direction.UP,
            0.3,
            1e-3,
            9e8,
            3e8,
            List.of(ModalModel.of(Mode.of(640, 0.02, 6e6)), Mode.of(640, 0.02, 6e6)),
            List.of(Mode.of(980, 0.03, 10e6), ModalModel.of(Mode.of(980, 0.03, 10e6))));
    CuttingProcess once =
        Cuts.milling(
            Cuts.tool(3, 0.01),
            Direction.UP,
            0.3,
            1e-3,
            9e8,
            3e8,
            List.of(Mode.of(640, 0.02, 3e6)),
            Y);
    assertThat(Cuts.limit(twice, 0.05, 7000))
        .isCloseTo(Cuts.limit(once, 0.05, 7000), within(1e-12));
  }

  @Test
  void residualTermsAreSaid() {
    ModalModel model = new ModalModel(List.of(Mode.of(640, 0.02, 6e6)), new Residual(1e-8, 0.01));
    CuttingProcess process =
        Cuts.milling(Cuts.tool(3, 0.01), Direction.UP, 0.3, 1e-3, 9e8, 3e8, List.of(model), Y);
    StabilityMap map = map(process, Over.DEPTH, 0.02, 7000.0);
    assertThat(map.remarks()).anyMatch(r -> r.contains("between 320 and 1470 Hz"));
    double without = Cuts.limit(cut(), 0.02, 7000);
    assertThat(map.lines().get(0).limitM()).isCloseTo(without, within(0.3 * without));
  }

  @Test
  void exponentialWindowIsSaid() {
    double[] hz = {100, 500, 600, 700, 2000};
    FrequencyResponse response =
        new FrequencyResponse(
            hz,
            new double[] {1e-7, 2e-7, 5e-7, -5e-7, -1e-7},
            new double[] {-1e-9, -1e-7, -1e-6, -1e-7, -1e-9},
            null,
            null,
            new FrequencyResponse.Origin("x", "", 5, 0.02, 100, 2000, "", List.of()));
    CuttingProcess process =
        Cuts.milling(Cuts.tool(3, 0.01), Direction.UP, 0.3, 1e-3, 9e8, 3e8, List.of(response), Y);
    assertThat(map(process, Over.DEPTH, 0.02, 7000.0).remarks())
        .anyMatch(r -> r.contains("exponential window of 20 ms"));
  }

  @Test
  void measuredBandsMustMeet() {
    FrequencyResponse low = flat(100, 200);
    FrequencyResponse high = flat(300, 400);
    CuttingProcess process =
        Cuts.milling(
            Cuts.tool(3, 0.01), Direction.UP, 0.3, 1e-3, 9e8, 3e8, List.of(low), List.of(high));
    assertThatThrownBy(() -> map(process, Over.DEPTH, 0.02, 7000.0))
        .isInstanceOf(BadInputException.class)
        .hasMessageContaining("nothing in common");
  }

  private static FrequencyResponse flat(double from, double to) {
    double[] v = {1e-7, 1e-7};
    return new FrequencyResponse(
        new double[] {from, to}, v, v, null, null, FrequencyResponse.Origin.unknown(from, to));
  }

  @Test
  void depthEndsAtTheFlutes() {
    Tool tool = new Tool(0.01, List.of(0.5), List.of(2 * Math.PI), 0.03, 0.002, 0, Double.NaN);
    CuttingProcess process = Cuts.milling(tool, Direction.UP, 0.3, 1e-3, 9e8, 3e8, X, Y);
    StabilityMap map = map(process, Over.DEPTH, 0.05, 7000.0);
    assertThat(map.maxM()).isEqualTo(0.002);
    assertThat(map.remarks()).anyMatch(r -> r.contains("flute length of 2 mm, not to 50 mm"));
    assertThat(map(process, Over.DEPTH, Double.NaN, 7000.0).maxM()).isEqualTo(0.002);
    assertThat(map(cut(), Over.DEPTH, Double.NaN, 7000.0).maxM()).isEqualTo(0.03, within(1e-15));
  }

  @Test
  void lowSpeedsEndInTheLimitOfAllSpeeds() {
    StabilityMap map = map(cut(), Over.DEPTH, 0.01, 0.01, 12000.0);
    assertThat(map.lines().get(0).limitM())
        .isCloseTo(Lobes.certainDepthM(cut(), 0.01), within(1e-12));
    assertThat(map.remarks()).anyMatch(r -> r.startsWith("at 0.01 rpm and below"));
  }

  @Test
  void slotOverWidthIsTakenAsDown() {
    CuttingProcess slot = Cuts.milling(Cuts.tool(3, 0.01), Direction.SLOT, 1, 3e-4, 9e8, 3e8, X, Y);
    CuttingProcess down =
        Cuts.milling(Cuts.tool(3, 0.01), Direction.DOWN, 0.5, 3e-4, 9e8, 3e8, X, Y);
    StabilityMap map = map(slot, Over.WIDTH, 1, 7000.0);
    assertThat(map.lines()).isEqualTo(map(down, Over.WIDTH, 0.01, 7000.0).lines());
    assertThat(map.remarks()).anyMatch(r -> r.contains("taken as down milling"));
    assertThat(map.remarks()).anyMatch(r -> r.contains("diameter of 10 mm"));
  }

  @Test
  void nonsenseIsRefusedInOneLine() {
    Engagement free = new Engagement(Direction.ANGLES, Double.NaN, 1e-3, 0.1, 1.1);
    refused(() -> map(cut().with(free), Over.WIDTH, 0.01, 7000.0), "direction up or down");
    refused(() -> map(cut(), Over.DEPTH, -0.01, 7000.0), "max: largest depth");
    refused(() -> map(cut(), Over.DEPTH, 0.01, 0.0), "spindle speed must be a positive number");
    refused(() -> map(cut(), Over.DEPTH, 0.01, Double.NaN), "spindle speed");
    refused(() -> at(Over.DEPTH, 7000, -1e-3), "at: depth must be a positive number, was -1 mm");
    refused(() -> at(Over.WIDTH, 7000, 0.011), "must not exceed the tool's diameter of 10 mm");
    refused(
        () -> map(Cuts.turning(1e9, 4e8, 0, Mode.of(500, 0.02, 8e6)), Over.WIDTH, 0.01, 500.0),
        "no radial width");
    CuttingProcess uneven =
        Cuts.milling(Cuts.pitched(0.01, 170, 190), Direction.UP, 0.3, 1e-3, 9e8, 3e8, X, Y);
    refused(() -> ZeroOrderLobes.curves(uneven, new double[] {500}, 2), "even pitch");
  }

  private static StabilityMap at(Over over, double rpm, double length) {
    return Lobes.compute(
        cut(),
        new LobesRequest(
            over,
            Optional.of(Method.ZERO_ORDER),
            List.of(),
            Double.NaN,
            List.of(new AtPoint(rpm, length))),
        Progress.NONE);
  }

  private static void refused(Runnable what, String message) {
    assertThatThrownBy(what::run)
        .isInstanceOf(BadInputException.class)
        .hasMessageContaining(message);
  }

  @Test
  void flutesThatMeetEndTheSearch() {
    Tool tool =
        new Tool(
            0.01,
            List.of(Math.toRadians(20), Math.toRadians(45)),
            List.of(Math.PI, Math.PI),
            Double.NaN,
            0.04,
            0,
            Double.NaN);
    // π/2·D… : π = 2 z (tan 45° − tan 20°)/D.
    double meet = Math.PI * 0.01 / (2 * (1 - Math.tan(Math.toRadians(20))));
    CuttingProcess process = Cuts.milling(tool, Direction.UP, 0.3, 1e-3, 9e8, 3e8, X, Y);
    StabilityMap map = map(process, Over.DEPTH, Double.NaN, 9000.0);
    assertThat(map.maxM()).isCloseTo(0.999 * meet, within(1e-12));
    assertThat(map.remarks()).anyMatch(r -> r.contains("flutes of different helix meet"));
    refused(
        () ->
            Lobes.compute(
                process,
                new LobesRequest(
                    Over.DEPTH,
                    Optional.of(Method.ZERO_ORDER),
                    List.of(),
                    0.01,
                    List.of(new AtPoint(9000, 0.03))),
                Progress.NONE),
        "meet within an axial depth of 30 mm");
  }

  @ParameterizedTest
  @ValueSource(ints = {0, 2})
  void cancellingStops(int after) {
    List<Double> speeds = new ArrayList<>();
    for (int i = 0; i < 200; i++) {
      speeds.add(2000.0 + 100 * i);
    }
    int[] calls = {0};
    Progress impatient =
        (done, what) -> {
          assertThat(done).isBetween(0.0, 1.0);
          if (calls[0]++ == after) {
            throw new CancellationException();
          }
        };
    assertThatThrownBy(() -> Lobes.compute(cut(), LobesRequest.depth(speeds), impatient))
        .isInstanceOf(CancellationException.class);
    assertThat(calls[0]).isEqualTo(after + 1);
  }

  /** Each point of the curves is a limit of the determinant; the lowest at a speed is the limit. */
  @Test
  void curvesRunThroughTheLimits() {
    double[] hz = new double[4000];
    for (int i = 0; i < hz.length; i++) {
      hz[i] = 300 + 0.3 * i;
    }
    LobeCurves curves = ZeroOrderLobes.curves(cut(), hz, 12);
    assertThat(curves.curves()).isEqualTo(2);
    assertThat(curves.points(0) + curves.points(1)).isBetween(1000, 8000);
    int on = 0;
    for (int c = 0; c < 2; c++) {
      for (int k = 0; k < 12; k++) {
        for (int i = 0; i < curves.points(c); i += 37) {
          double rpm = curves.speedRpm(c, k, i);
          double depth = curves.depthM(c, i);
          if (depth > 0.02 || rpm > 40_000) {
            continue;
          }
          double limit = Cuts.limit(cut(), 0.03, rpm);
          assertThat(limit).isLessThan(depth * (1 + 1e-9));
          on += Math.abs(limit - depth) < 1e-9 * depth ? 1 : 0;
        }
      }
    }
    assertThat(on).isGreaterThan(50);
  }
}
