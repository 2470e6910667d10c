package ringtrue.planning;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;
import static ringtrue.planning.Cuts.MM;
import static ringtrue.planning.Cuts.coefficients;
import static ringtrue.planning.Cuts.milling;
import static ringtrue.planning.Cuts.tool;

import java.util.List;
import java.util.concurrent.CancellationException;
import org.junit.jupiter.api.Test;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.dynamics.Receptance;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.Engagement;
import ringtrue.stability.Engagement.Direction;
import ringtrue.units.BadInputException;

class SweepTest {
  private static final Machine MACHINE =
      new Machine("", 6000, 24000, 5.0 / 60, List.of(new Machine.PowerPoint(24000, 2200)));

  private static CuttingProcess cut() {
    List<Receptance> gives = List.of(ModalModel.of(Mode.of(1000, 0.03, 8e6)));
    return milling(
        tool(8, 3, 0, 0),
        Engagement.of(Direction.DOWN, 1 * MM, 2 * MM, 8 * MM),
        coefficients(700, 200, 9, 9),
        gives,
        gives,
        14000,
        0.04);
  }

  private static Sweep sweep(SweepParameter what, Progress progress, Double... values) {
    return Sweep.of(
        cut(),
        MACHINE,
        PlanSettings.DEFAULT,
        StabilityJudge.lobes(),
        what,
        List.of(values),
        progress);
  }

  /** Every row has the limits of a plan of the cut with that value. */
  @Test
  void rowsAreThoseOfAPlan() {
    Sweep swept = sweep(SweepParameter.SPEED, Progress.NONE, 9000.0, 14000.0, 20000.0);
    for (Sweep.Row row : swept.rows()) {
      CutPlan plan =
          CutPlanner.plan(cut().atSpeed(row.value()), MACHINE, PlanSettings.DEFAULT, Progress.NONE);
      assertThat(row.limits()).hasSameSizeAs(plan.limits());
      for (CutPlan.Limit limit : plan.limits()) {
        CutPlan.Limit same = row.limit(limit.name()).orElseThrow();
        assertThat(same.value()).isCloseTo(limit.value(), within(5e-3 * limit.value() + 1e-12));
        assertThat(same.limit()).isCloseTo(limit.limit(), within(5e-3 * limit.limit() + 1e-12));
        assertThat(same.ok()).isEqualTo(limit.ok());
      }
    }
  }

  /** Forces times a factor: power times that factor, the chatter limit divided by it. */
  @Test
  void forcesScale() {
    Sweep swept = sweep(SweepParameter.FORCES, Progress.NONE, 1.0, 1.5);
    CutPlan.Limit one = swept.rows().get(0).limit("power").orElseThrow();
    CutPlan.Limit more = swept.rows().get(1).limit("power").orElseThrow();
    assertThat(more.value()).isCloseTo(1.5 * one.value(), within(1e-9 * one.value()));
    double limit = swept.rows().get(0).limit("chatter").orElseThrow().limit();
    assertThat(swept.rows().get(1).limit("chatter").orElseThrow().limit())
        .isCloseTo(limit / 1.5, within(3e-3 * limit));
  }

  @Test
  void insideIsTheRunOfRowsThatKeepAll() {
    Sweep swept =
        sweep(SweepParameter.AXIAL, Progress.NONE, 0.5 * MM, 1 * MM, 4 * MM, 8 * MM, 15 * MM);
    assertThat(swept.inside()).hasSize(1);
    assertThat(swept.inside().get(0).from()).isEqualTo(0.5 * MM);
    assertThat(swept.inside().get(0).to()).isLessThan(15 * MM);
    assertThat(swept.ownValue()).isEqualTo(2 * MM);
  }

  @Test
  void whatTakesANewTapOrMakesNoSenseIsRefused() {
    assertThatThrownBy(() -> SweepParameter.of("stickout"))
        .isInstanceOf(BadInputException.class)
        .hasMessageContaining("new tap");
    assertThatThrownBy(() -> sweep(SweepParameter.AXIAL, Progress.NONE, -1.0))
        .isInstanceOf(BadInputException.class);
    assertThatThrownBy(() -> sweep(SweepParameter.SPEED, Progress.NONE, Double.NaN))
        .isInstanceOf(BadInputException.class);
    assertThatThrownBy(() -> sweep(SweepParameter.RUNOUT, Progress.NONE, 5 * MM))
        .isInstanceOf(BadInputException.class);
  }

  @Test
  void canBeCancelled() {
    Progress never =
        (done, what) -> {
          throw new CancellationException();
        };
    assertThatThrownBy(() -> sweep(SweepParameter.SPEED, never, 9000.0))
        .isInstanceOf(CancellationException.class);
  }
}
