package ringtrue.ui.desk;

import static org.assertj.core.api.Assertions.assertThat;

import javax.swing.text.JTextComponent;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import ringtrue.library.SetUp;
import ringtrue.planning.CutPlan;
import ringtrue.ui.DemoCut;
import ringtrue.ui.Jobs;
import ringtrue.ui.WindowHarness;
import ringtrue.ui.job.CutField;
import ringtrue.ui.job.Direction;
import ringtrue.ui.job.Measured;
import ringtrue.ui.job.ToolWords;

/** What the window says where the modes may not be those of the cut. */
@Timeout(value = 240, threadMode = Timeout.ThreadMode.SEPARATE_THREAD)
class DoubtsWindowTest extends WindowHarness {

  private StageState state(StageId id) throws Exception {
    return onEvents(() -> desk.stage(id).state());
  }

  private void change(CutField field, String text) throws Exception {
    onEvents(
        () -> {
          desk.change("set", job -> ToolWords.with(job, job.cut().with(field, text)));
          return null;
        });
  }

  @Test
  void anotherToolADirectionNotTappedAndAPeakLeftOut() throws Exception {
    onEvents(
        () -> {
          desk.resume(Jobs.demoJob(home), () -> desk.go(StageId.CUT));
          return null;
        });
    waitUntil("it is open", () -> desk.folder().isPresent());
    onEvents(
        () -> {
          desk.change("a cut", job -> ToolWords.with(job, DemoCut.at(DemoCut.QUIET)));
          return null;
        });
    assertThat(onEvents(() -> desk.job().setUp()))
        .containsEntry(SetUp.Field.DIAMETER, "8 mm")
        .containsEntry(SetUp.Field.STICKOUT, "30 mm");
    waitUntil(
        "modes are there",
        () ->
            desk.results().of(Direction.TOOL_X).ready()
                && desk.results().of(Direction.TOOL_Y).ready());
    assertThat(onEvents(() -> desk.results().doubts())).isEmpty();

    change(CutField.DIAMETER, "10 mm");
    change(CutField.STICKOUT, "35 mm");
    String other = "tapped with 8 mm, 30 mm out; this cut: 10 mm, 35 mm out: tap again";
    assertThat(onEvents(() -> desk.results().doubts())).containsExactly(other);
    assertThat(onEvents(() -> desk.job().setUp())).containsEntry(SetUp.Field.DIAMETER, "10 mm");
    for (StageId id : new StageId[] {StageId.SET_UP, StageId.TAPS}) {
      assertThat(state(id)).isEqualTo(new StageState(StageState.Kind.ATTENTION, other));
    }
    waitUntil("the plan is there", () -> desk.results().plan().ready());
    robot.waitForIdle();
    CutPlan plan = onEvents(() -> desk.results().plan().value().orElseThrow());
    assertThat(plan.verdict()).isNotIn(CutPlan.Verdict.GO, CutPlan.Verdict.CARE);
    assertThat(state(StageId.LOBES)).isEqualTo(new StageState(StageState.Kind.ATTENTION, other));
    assertThat(state(StageId.CUT).kind()).isEqualTo(StageState.Kind.ATTENTION);
    assertThat(onEvents(() -> ((JTextComponent) find("cut-verdict")).getText()))
        .doesNotStartWith("GO");
    shoot("another-tool");
    press("cut-same-tool");
    waitUntil("it is said", () -> desk.results().doubts().isEmpty());
    keys("ctrl Z");
    waitUntil("undone", () -> desk.results().doubts().contains(other));
    keys("ctrl shift Z");

    onEvents(
        () -> {
          desk.change("take tool y out", job -> job.without(Direction.TOOL_Y));
          return null;
        });
    assertThat(onEvents(() -> desk.results().doubts()))
        .contains("tool y was not tapped: it is taken as rigid, limits may be too high");

    int most =
        onEvents(
            () ->
                desk.results()
                    .of(Direction.TOOL_X)
                    .value()
                    .flatMap(DirectionResult::model)
                    .orElseThrow()
                    .modes()
                    .size());
    double first =
        onEvents(
            () ->
                desk.results()
                    .of(Direction.TOOL_X)
                    .value()
                    .flatMap(DirectionResult::model)
                    .orElseThrow()
                    .modes()
                    .get(0)
                    .frequencyHz());
    assertThat(most).isGreaterThan(1);
    onEvents(
        () -> {
          desk.change(
              "pick one",
              job -> {
                Measured x = job.measured(Direction.TOOL_X).orElseThrow();
                return job.with(x.withFit(x.fit().withPicks(java.util.List.of(first))));
              });
          desk.go(StageId.MODES);
          return null;
        });
    waitUntil("fitted anew", () -> desk.results().of(Direction.TOOL_X).ready());
    robot.waitForIdle();
    assertThat(state(StageId.MODES).kind()).isEqualTo(StageState.Kind.ATTENTION);
    assertThat(state(StageId.MODES).words()).contains("is not fitted: lobes would be too hopeful");
    shoot("peak-left-out");
  }
}
