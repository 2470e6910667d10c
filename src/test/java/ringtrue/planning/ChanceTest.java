package ringtrue.planning;

import static org.assertj.core.api.Assertions.assertThat;
import static ringtrue.planning.Cuts.MM;
import static ringtrue.planning.Cuts.milling;
import static ringtrue.planning.Cuts.tool;

import java.util.List;
import org.junit.jupiter.api.Test;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.dynamics.Receptance;
import ringtrue.dynamics.Residual;
import ringtrue.planning.CutPlan.Suggestion;
import ringtrue.planning.CutPlan.Verdict;
import ringtrue.stability.CuttingCoefficients;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.Engagement;
import ringtrue.stability.Engagement.Direction;
import ringtrue.stability.InputSpread;
import ringtrue.stability.Tool;

/** No plain go, and no better cut, below a chance of 95 % of being stable. */
class ChanceTest {
  private static final Tool TOOL = tool(8, 3, 30, 0);
  private static final Machine MACHINE =
      new Machine(
          "router",
          6000,
          24000,
          5.0 / 60,
          List.of(new Machine.PowerPoint(6000, 550), new Machine.PowerPoint(24000, 2200)));

  private static List<Receptance> mode(double hz) {
    return List.of(
        new ModalModel(
            List.of(new Mode(hz, 0.03, 6e6, 0.002 * hz, 0.0009, 0.12e6, Double.NaN)),
            Residual.NONE));
  }

  /** Cutting forces that a catalogue knows to 40 %, which corners of the modes do not hold. */
  private static CuttingProcess cut(double axialM) {
    CuttingCoefficients wide = new CuttingCoefficients(700e6, 200e6, 9e3, 9e3, 0.4);
    return milling(
        TOOL,
        Engagement.of(Direction.DOWN, 3 * MM, axialM, 8 * MM),
        wide,
        mode(900),
        mode(1150),
        13000,
        0.04);
  }

  private static CutPlan plan(CuttingProcess cut) {
    return CutPlanner.plan(cut, MACHINE, PlanSettings.DEFAULT, Progress.NONE);
  }

  @Test
  void betterCutsStandTheChanceAndPlainGoNeedsIt() {
    CuttingProcess deep = cut(5 * MM);
    CutPlan plan = plan(deep);
    double limit = plan.limits().get(0).limit();
    assertThat(plan.suggestions()).isNotEmpty();
    for (Suggestion s : plan.suggestions()) {
      CuttingProcess offered =
          deep.with(Engagement.of(Direction.DOWN, s.radialM(), s.axialM(), 8 * MM))
              .atSpeed(s.speedRpm())
              .withFeedPerTooth(s.feedPerToothM());
      double chance = CutPlanner.chance(offered, StabilityJudge.lobes(), InputSpread.of(offered));
      assertThat(chance).as(s.toString()).isGreaterThanOrEqualTo(CutPlan.LEAST_CHANCE);
    }
    CutPlan close = plan(cut(0.9 * limit));
    assertThat(close.limits().get(0).ok()).isTrue();
    assertThat(close.chance()).isLessThan(CutPlan.LEAST_CHANCE);
    assertThat(close.verdict()).isEqualTo(Verdict.CARE);
    assertThat(close.suggestions()).isNotEmpty();
  }

  @Test
  void doubtsLeaveNoGo() {
    CutPlan go = new CutPlan(Verdict.GO, List.of(), List.of(), List.of(), List.of());
    assertThat(go.doubted(List.of())).isSameAs(go);
    assertThat(go.doubted(List.of("tapped with another tool")).verdict())
        .isEqualTo(Verdict.UNKNOWN);
    CutPlan stop = new CutPlan(Verdict.STOP, List.of(), List.of(), List.of(), List.of());
    assertThat(stop.doubted(List.of("not tapped")).verdict()).isEqualTo(Verdict.STOP);
  }
}
