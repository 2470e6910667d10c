package ringtrue.stability;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.OppositeMode;
import ringtrue.dynamics.Progress;
import ringtrue.dynamics.Receptance;
import ringtrue.dynamics.Residual;
import ringtrue.stability.Engagement.Direction;
import ringtrue.stability.LinearCutInTime.Fineness;
import ringtrue.stability.LobesRequest.AtPoint;

/**
 * The periodic method against the judge that marches through time ({@link LinearCutInTime}) for
 * cuts that {@link RandomCuts} does not draw: cross receptances, process damping, residual terms,
 * wide free angles, left-hand helix, many flutes, edges that wind around the cutter more than once.
 */
class PeriodicUnusualCutsTest {
  private static final double LIMIT = 5e-3;
  private static final double GROWTH = 1e-2;
  private static final Fineness FINE = new Fineness(60, 48);

  private static final Mode LOW = Mode.of(640, 0.025, 7e6);
  private static final Mode HIGH = Mode.of(1480, 0.018, 1.6e7);
  private static final Mode ACROSS = Mode.of(820, 0.03, 9e6);

  /**
   * A cut.
   *
   * @param name what is unusual
   * @param process for the program
   * @param judged for the judge: the same, or what stands in for residual terms
   */
  record Unusual(
      String name, CuttingProcess process, CuttingProcess judged, double maxM, double... speeds) {
    @Override
    public String toString() {
      return name;
    }
  }

  static Stream<Unusual> cuts() {
    List<Unusual> cuts = new ArrayList<>();
    for (Direction direction : List.of(Direction.UP, Direction.DOWN)) {
      CuttingProcess plain = cut(tool(3, 10, 30), direction, 0.3, LOW, ACROSS);
      cuts.add(
          same(
              "cross receptance, " + direction,
              plain.withDynamics(
                  plain.x(),
                  plain.y(),
                  List.of(Mode.of(640, 0.025, 1.2e7), new OppositeMode(HIGH))),
              0.01,
              4300,
              11_500));
      cuts.add(
          same(
              "opposite cross receptance alone, straight, " + direction,
              cut(tool(2, 10, 0), direction, 0.1, LOW, ACROSS)
                  .withDynamics(
                      List.of(LOW),
                      List.of(ACROSS),
                      List.of(new OppositeMode(Mode.of(820, 0.03, 1.5e7)))),
              0.08,
              6100,
              17_000));
      cuts.add(
          same(
              "process damping, helix, " + direction,
              cut(tool(4, 12, 35), direction, 0.4, LOW, ACROSS).withProcessDamping(6e4),
              0.01,
              1900,
              5200));
      cuts.add(
          same(
              "process damping, straight, " + direction,
              cut(tool(2, 12, 0), direction, 0.08, LOW, ACROSS).withProcessDamping(1.2e5),
              0.08,
              2300,
              9000));
    }
    CuttingProcess uneven =
        cut(
                new Tool(
                    0.012,
                    Collections.nCopies(3, 0.5),
                    List.of(Math.toRadians(110), Math.toRadians(128), Math.toRadians(122)),
                    Double.NaN,
                    Double.NaN,
                    0,
                    Double.NaN),
                Direction.DOWN,
                0.25,
                LOW,
                ACROSS)
            .withProcessDamping(8e4);
    cuts.add(
        same(
            "process damping and cross receptance, uneven pitch",
            uneven.withDynamics(uneven.x(), uneven.y(), List.of(HIGH)),
            0.01,
            3100));
    cuts.add(same("entry 20, exit 300", angles(tool(3, 10, 0), 20, 300), 0.01, 5200, 14_000));
    cuts.add(same("entry 20, exit 300, helix", angles(tool(4, 10, 40), 20, 300), 0.02, 4100));
    cuts.add(same("entry 150, exit 330, helix", angles(tool(2, 10, 25), 150, 330), 0.02, 7300));
    cuts.add(same("all around", angles(tool(3, 10, 0), 0, 360), 0.01, 5200));
    cuts.add(
        same(
            "left-hand helix",
            cut(tool(3, 10, -38), Direction.DOWN, 0.15, LOW, ACROSS),
            0.02,
            7700));
    cuts.add(
        same(
            "left-hand helix, damped",
            cut(tool(5, 10, -25), Direction.UP, 0.6, LOW, ACROSS).withProcessDamping(5e4),
            0.02,
            2900));
    for (int flutes : new int[] {9, 10, 12}) {
      cuts.add(
          same(
              flutes + " flutes",
              cut(tool(flutes, 16, flutes == 10 ? 0 : 42), Direction.DOWN, 0.12, LOW, ACROSS),
              0.02,
              1500.0 * 12 / flutes));
    }
    Mode stiff = Mode.of(640, 0.03, 3e7);
    Mode stiffAcross = Mode.of(820, 0.03, 4e7);
    cuts.add(
        same(
            "helix beyond a turn",
            cut(tool(2, 6, 60), Direction.DOWN, 0.12, stiff, stiffAcross),
            0.1,
            8000,
            9300));
    cuts.add(
        same(
            "helix beyond a turn, up",
            cut(tool(3, 6, 60), Direction.UP, 0.25, stiff, stiffAcross),
            0.03,
            9000));
    // what follows at once, against a mode thirty times as high
    Residual upper = new Residual(3e-8, 0);
    for (double helix : new double[] {0, 30}) {
      CuttingProcess cut = cut(tool(3, 10, helix), Direction.DOWN, 0.2, LOW, ACROSS);
      cuts.add(
          new Unusual(
              "upper residual, helix " + helix,
              cut.withDynamics(
                  List.of(new ModalModel(List.of(LOW), upper)), List.of(ACROSS), List.of()),
              cut.withDynamics(
                  List.of(LOW, Mode.of(24_000, 0.05, 1 / 3e-8)), List.of(ACROSS), List.of()),
              0.03,
              6300,
              12_000));
    }
    // what modes below leave stands in as one mode at half the lowest frequency
    double lower = 0.03 / LOW.massKg();
    CuttingProcess cut = cut(tool(3, 10, 0), Direction.DOWN, 0.2, LOW, ACROSS);
    double soft = Math.PI * LOW.frequencyHz();
    cuts.add(
        new Unusual(
            "lower residual",
            cut.withDynamics(
                List.of(new ModalModel(List.of(LOW), new Residual(0, lower))),
                List.of(ACROSS),
                List.of()),
            cut.withDynamics(
                List.of(LOW, Mode.of(0.5 * LOW.frequencyHz(), 0.7, soft * soft / lower)),
                List.of(ACROSS),
                List.of()),
            0.02,
            6300,
            12_000));
    return cuts.stream();
  }

  private static Unusual same(String name, CuttingProcess process, double maxM, double... speeds) {
    return new Unusual(name, process, process, maxM, speeds);
  }

  private static Tool tool(int flutes, double diameterMm, double helixDeg) {
    return new Tool(
        1e-3 * diameterMm,
        Collections.nCopies(flutes, Math.toRadians(helixDeg)),
        Collections.nCopies(flutes, 2 * Math.PI / flutes),
        Double.NaN,
        Double.NaN,
        0,
        Double.NaN);
  }

  private static CuttingProcess cut(
      Tool tool, Direction direction, double part, Receptance x, Receptance y) {
    return Cuts.milling(tool, direction, part, 1e-3, 900e6, 300e6, List.of(x), List.of(y));
  }

  private static CuttingProcess angles(Tool tool, double entryDeg, double exitDeg) {
    return cut(tool, Direction.DOWN, 0.5, LOW, ACROSS)
        .with(
            new Engagement(
                Direction.ANGLES,
                Double.NaN,
                1e-3,
                Math.toRadians(entryDeg),
                Math.toRadians(exitDeg)));
  }

  @ParameterizedTest
  @MethodSource("cuts")
  void judgeAgrees(Unusual cut) {
    for (double rpm : cut.speeds()) {
      StabilityMap.Line line = compute(cut.process(), cut.maxM(), List.of(rpm)).lines().get(0);
      double limit = line.limitM();
      assertThat(limit).as("%s", line).isLessThan(cut.maxM());
      if (cut.name().startsWith("helix beyond")) {
        Tool tool = cut.process().tool().orElseThrow();
        double lagRad = 2 * limit * Math.tan(tool.helixRad().get(0)) / tool.diameterM();
        assertThat(lagRad).isGreaterThan(2 * Math.PI);
      }
      for (int i = 1; i <= 6; i++) {
        assertThat(judged(cut, rpm, limit * i * i / 36 * (1 - LIMIT))).as("%s", line).isLessThan(1);
      }
      assertThat(judged(cut, rpm, limit * (1 + LIMIT))).as("%s", line).isGreaterThan(1);
      List<AtPoint> points =
          Stream.of(0.55, 1.35).map(part -> new AtPoint(rpm, part * limit)).toList();
      for (StabilityMap.Point point :
          Lobes.compute(cut.process(), request(cut.maxM(), List.of(), points), Progress.NONE)
              .at()) {
        double growth = judged(cut, rpm, point.lengthM());
        assertThat(point.growth()).as("%s", point).isCloseTo(growth, within(GROWTH * growth));
      }
    }
  }

  private static double judged(Unusual cut, double rpm, double depthM) {
    return new LinearCutInTime(cut.judged(), rpm, depthM, FINE).growth();
  }

  private static LobesRequest request(double maxM, List<Double> speeds, List<AtPoint> points) {
    return new LobesRequest(
        StabilityMap.Over.DEPTH, Optional.of(Method.PERIODIC), speeds, maxM, points);
  }

  private static StabilityMap compute(CuttingProcess process, double maxM, List<Double> speeds) {
    return Lobes.compute(process, request(maxM, speeds, List.of()), Progress.NONE);
  }

  /**
   * The axes are a choice: a structure with one mode along x and one along y, and the cut with it,
   * turned by an angle, has the limits it had before. What was a direction becomes a direct and a
   * cross receptance of either sign.
   */
  @Test
  void turningTheAxesChangesNothing() {
    Tool tool = tool(3, 10, 20);
    List<Double> speeds = List.of(4000.0, 7000.0, 13_000.0);
    CuttingProcess before = angles(tool, 70, 160);
    List<Double> limits =
        compute(before, 0.02, speeds).lines().stream().map(StabilityMap.Line::limitM).toList();
    for (double deg : new double[] {-50, 25, 90, 130}) {
      CuttingProcess turned = angles(tool, 70 + deg, 160 + deg);
      // clockwise from +y: x goes to (cos, −sin), y to (sin, cos)
      double cos = Math.cos(Math.toRadians(deg));
      double sin = Math.sin(Math.toRadians(deg));
      List<Receptance> x = new ArrayList<>();
      List<Receptance> y = new ArrayList<>();
      List<Receptance> xy = new ArrayList<>();
      for (Mode mode : List.of(LOW, ACROSS)) {
        double ux = mode == LOW ? cos : sin;
        double uy = mode == LOW ? -sin : cos;
        x.add(part(mode, ux * ux));
        y.add(part(mode, uy * uy));
        xy.add(part(mode, ux * uy));
      }
      List<StabilityMap.Line> lines = compute(turned.withDynamics(x, y, xy), 0.02, speeds).lines();
      for (int i = 0; i < lines.size(); i++) {
        assertThat(lines.get(i).limitM())
            .as("turned by %s deg", deg)
            .isCloseTo(limits.get(i), within(2e-3 * limits.get(i)));
      }
    }
  }

  private static Receptance part(Mode mode, double share) {
    if (Math.abs(share) < 1e-12) {
      return Receptance.RIGID;
    }
    Mode scaled =
        Mode.of(mode.frequencyHz(), mode.dampingRatio(), mode.stiffnessNPerM() / Math.abs(share));
    return share > 0 ? scaled : new OppositeMode(scaled);
  }
}
