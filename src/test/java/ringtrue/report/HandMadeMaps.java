package ringtrue.report;

import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Optional;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Residual;
import ringtrue.library.Cut;
import ringtrue.planning.Machine;
import ringtrue.planning.PlanSettings;
import ringtrue.stability.CuttingCoefficients;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.Engagement;
import ringtrue.stability.StabilityMap;
import ringtrue.stability.StabilityMap.Interval;
import ringtrue.stability.StabilityMap.Line;
import ringtrue.stability.StabilityMap.Loss;
import ringtrue.stability.StabilityProbability;
import ringtrue.stability.Tool;

/**
 * Maps put together by hand, with shapes that are known: a wavy limit with a flip tongue around
 * 14,000 rpm and an elliptic island around 18,000 rpm.
 */
public final class HandMadeMaps {
  public static final double ISLAND_RPM = 18_000;
  public static final double ISLAND_M = 5.5e-3;
  private static final double HALF_RPM = 900;
  private static final double HALF_M = 0.8e-3;
  private static final double MAX_M = 8e-3;

  private HandMadeMaps() {}

  /** First limit of the hand-made map, m. */
  public static double limitM(double rpm) {
    return flips(rpm) ? 1.6e-3 : (2.6 + 1.4 * Math.cos((rpm - 12_000) / 2_000)) * 1e-3;
  }

  private static boolean flips(double rpm) {
    return Math.abs(rpm - 14_000) < 500;
  }

  static double[] island(double rpm) {
    double across = (rpm - ISLAND_RPM) / HALF_RPM;
    double half = HALF_M * Math.sqrt(Math.max(0, 1 - across * across));
    double tilt = 0.4e-3 * across;
    return new double[] {ISLAND_M + tilt - half, ISLAND_M + tilt + half};
  }

  /** From 6,000 to 24,000 rpm. */
  public static StabilityMap islands(int speeds) {
    List<Line> lines = new ArrayList<>();
    for (int i = 0; i < speeds; i++) {
      double rpm = 6_000 + 18_000.0 * i / (speeds - 1);
      double limit = limitM(rpm);
      List<Interval> stable = new ArrayList<>(List.of(new Interval(0, limit)));
      double[] island = island(rpm);
      if (flips(rpm)) {
        stable.add(new Interval(2.1e-3, 3.4e-3));
      }
      if (island[1] > island[0]) {
        stable.add(new Interval(island[0], island[1]));
      }
      lines.add(new Line(rpm, limit, stable, flips(rpm) ? Loss.FLIP : Loss.HOPF, 1000, 2));
    }
    return new StabilityMap(
        StabilityMap.Over.DEPTH, "periodic", lines, List.of(), "tooth passing", MAX_M, List.of());
  }

  /** The same with a band of 15 % around the limit. */
  public static StabilityMap banded(int speeds) {
    StabilityMap map = islands(speeds);
    return new StabilityMap(
        map.over(),
        "multi-frequency",
        map.lines().stream().map(l -> l.withBand(0.85 * l.limitM(), 1.15 * l.limitM())).toList(),
        List.of(),
        "",
        map.maxM(),
        List.of());
  }

  /** The same with a chance of being stable that falls over two fifths of the limit. */
  public static StabilityMap probable(int speeds) {
    StabilityMap map = islands(speeds);
    List<Double> lengths = new ArrayList<>();
    for (int k = 1; k <= 80; k++) {
      lengths.add(MAX_M * k / 80);
    }
    List<double[]> stable = new ArrayList<>();
    List<Double> sure = new ArrayList<>();
    for (Line line : map.lines()) {
      double[] row = new double[lengths.size()];
      for (int k = 0; k < row.length; k++) {
        row[k] = chance(lengths.get(k), line.limitM());
      }
      stable.add(row);
      sure.add(0.82 * line.limitM());
    }
    StabilityProbability probability =
        new StabilityProbability(
            200,
            7,
            lengths,
            stable,
            sure,
            List.of(
                new StabilityProbability.Sensitivity("stiffness of mode 1 in x", 0.61, 0.08),
                new StabilityProbability.Sensitivity("frequency of mode 1 in y", 0.27, -0.05),
                new StabilityProbability.Sensitivity("cutting force coefficient", 0.12, -0.03)));
    return new StabilityMap(
        map.over(),
        map.method(),
        map.lines(),
        List.of(new StabilityMap.Point(12_000, 3e-3, true, 0.82, 0.97)),
        map.growthPeriod(),
        map.maxM(),
        List.of(),
        Optional.of(probability));
  }

  /** 1 up to 0.8 of the limit, 0 from 1.2 of it, straight between. */
  public static double chance(double lengthM, double limitM) {
    return Math.max(0, Math.min(1, (1.2 * limitM - lengthM) / (0.4 * limitM)));
  }

  /** A milling cut at 13,000 rpm, 3 mm deep, on a machine from 7,000 to 22,000 rpm. */
  public static Cut cut() {
    Tool tool =
        new Tool(
            8e-3,
            Collections.nCopies(3, Math.toRadians(38)),
            Collections.nCopies(3, 2 * Math.PI / 3),
            30e-3,
            20e-3,
            0,
            Double.NaN);
    ModalModel modes = new ModalModel(List.of(Mode.of(1240, 0.02, 4e6)), Residual.NONE);
    CuttingProcess process =
        new CuttingProcess(
            CuttingProcess.Operation.MILLING,
            Optional.of(tool),
            Engagement.of(Engagement.Direction.DOWN, 3.2e-3, 3e-3, 8e-3),
            new CuttingCoefficients(8e8, 2e8, 0, 0, Double.NaN),
            List.of(modes),
            List.of(modes),
            13_000,
            5e-5,
            0);
    return new Cut(
        "hand-made pocket",
        process,
        new Machine("trial mill", 7_000, 22_000, Double.NaN, List.of()),
        PlanSettings.DEFAULT,
        "aluminium",
        "hand-made",
        "tool x: 1 mode; tool y: 1 mode",
        Double.NaN,
        List.of());
  }
}
