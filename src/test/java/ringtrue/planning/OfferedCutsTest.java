package ringtrue.planning;

import static org.assertj.core.api.Assertions.assertThat;
import static ringtrue.planning.Cuts.MM;
import static ringtrue.planning.Cuts.coefficients;
import static ringtrue.planning.Cuts.milling;
import static ringtrue.planning.Cuts.tool;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import org.junit.jupiter.api.Test;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.dynamics.Receptance;
import ringtrue.dynamics.Residual;
import ringtrue.planning.CutPlan.Suggestion;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.Engagement;
import ringtrue.stability.Engagement.Direction;
import ringtrue.stability.Lobes;
import ringtrue.stability.LobesRequest;
import ringtrue.stability.StabilityMap;
import ringtrue.stability.Tool;

/**
 * Cuts offered for random cuts, judged again from outside: ranked, inside every limit, stable with
 * modes drawn anywhere inside ±2 sigma and speeds anywhere inside ±3 %, the same for the same cut.
 * {@code -Dringtrue.offers=50} tries more cuts.
 */
class OfferedCutsTest {
  private static final int CUTS = Integer.getInteger("ringtrue.offers", 4);
  private static final int DRAWS = 12;
  private static final Machine MACHINE =
      new Machine(
          "router",
          6000,
          24000,
          5.0 / 60,
          List.of(new Machine.PowerPoint(6000, 550), new Machine.PowerPoint(24000, 2200)));

  private static CuttingProcess drawn(Random random) {
    int flutes = 2 + random.nextInt(3);
    double helix = random.nextBoolean() ? 0 : 30;
    Tool tool = tool(8, flutes, helix, random.nextBoolean() ? 0 : 4);
    Direction direction = random.nextBoolean() ? Direction.UP : Direction.DOWN;
    return milling(
        tool,
        Engagement.of(
            direction,
            (0.4 + 3 * random.nextDouble()) * MM,
            (1 + 5 * random.nextDouble()) * MM,
            8 * MM),
        coefficients(700, 200, 9, 9),
        modes(random, 900),
        modes(random, 1150),
        8000 + 14000 * random.nextDouble(),
        0.02 + 0.05 * random.nextDouble());
  }

  private static List<Receptance> modes(Random random, double hz) {
    double f = hz * (0.8 + 0.5 * random.nextDouble());
    double zeta = 0.015 + 0.03 * random.nextDouble();
    double k = (4 + 8 * random.nextDouble()) * 1e6;
    return List.of(
        new ModalModel(
            List.of(new Mode(f, zeta, k, 0.006 * f, 0.08 * zeta, 0.05 * k, Double.NaN)),
            Residual.NONE));
  }

  @Test
  void offersStandWhatIsSaid() {
    Random random = new Random(11);
    int offers = 0;
    for (int i = 0; i < CUTS; i++) {
      CuttingProcess cut = drawn(random);
      CutPlan plan = CutPlanner.plan(cut, MACHINE, PlanSettings.DEFAULT, Progress.NONE);
      if (i == 0) {
        assertThat(CutPlanner.plan(cut, MACHINE, PlanSettings.DEFAULT, Progress.NONE))
            .isEqualTo(plan);
      }
      double before = Double.POSITIVE_INFINITY;
      for (Suggestion s : plan.suggestions()) {
        offers++;
        assertThat(s.removalM3PerS()).isLessThanOrEqualTo(before);
        before = s.removalM3PerS();
        Tool tool = cut.tool().orElseThrow();
        CuttingProcess offered =
            cut.with(
                    Engagement.of(
                        cut.engagement().direction(), s.radialM(), s.axialM(), tool.diameterM()))
                .atSpeed(s.speedRpm())
                .withFeedPerTooth(s.feedPerToothM());
        CutLimits rules = new CutLimits(MACHINE, PlanSettings.DEFAULT);
        assertThat(rules.checks(offered, CutLimits.forces(offered, 720)))
            .as(s.toString())
            .allMatch(c -> c.ok() || c.advice());
        double band = s.because().contains("narrow:") ? 0.015 : 0.03;
        for (int d = 0; d < DRAWS; d++) {
          double rpm = s.speedRpm() * (1 + band * (2 * random.nextDouble() - 1));
          CuttingProcess moved =
              offered.withDynamics(moved(cut.x(), random), moved(cut.y(), random), List.of());
          StabilityMap map =
              Lobes.compute(
                  moved,
                  new LobesRequest(
                      StabilityMap.Over.DEPTH,
                      Optional.empty(),
                      List.of(),
                      s.axialM(),
                      List.of(new LobesRequest.AtPoint(rpm, s.axialM()))),
                  Progress.NONE);
          assertThat(map.at().get(0).stable()).as(s + " at " + rpm + " rpm").isTrue();
        }
      }
    }
    assertThat(offers).isGreaterThanOrEqualTo(2 * CUTS);
  }

  /** Modes anywhere inside two sigma, each value by itself. */
  private static List<Receptance> moved(List<Receptance> direction, Random random) {
    List<Mode> all = new ArrayList<>();
    for (Mode m : ((ModalModel) direction.get(0)).modes()) {
      all.add(
          Mode.of(
              m.frequencyHz() + two(random) * m.frequencyHzSigma(),
              m.dampingRatio() + two(random) * m.dampingRatioSigma(),
              m.stiffnessNPerM() + two(random) * m.stiffnessNPerMSigma()));
    }
    return List.of(new ModalModel(all, Residual.NONE));
  }

  private static double two(Random random) {
    return 4 * random.nextDouble() - 2;
  }

  /** A wider reserve never removes more. */
  @Test
  void aWiderReserveCosts() {
    CuttingProcess cut = drawn(new Random(3));
    double small = best(cut, new Reserve(0, 0));
    double large = best(cut, new Reserve(3, 0.06));
    assertThat(large).isPositive().isLessThan(small);
  }

  private static double best(CuttingProcess cut, Reserve reserve) {
    return CutPlanner.plan(cut, MACHINE, PlanSettings.DEFAULT.withReserve(reserve), Progress.NONE)
        .suggestions()
        .get(0)
        .removalM3PerS();
  }
}
