package ringtrue.ui.cut;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import ringtrue.dynamics.Progress;
import ringtrue.library.Catalogue;
import ringtrue.library.Cut;
import ringtrue.library.CutFile;
import ringtrue.library.ModalWay;
import ringtrue.planning.CutPlan;
import ringtrue.planning.CutPlanner;
import ringtrue.report.LengthUnit;
import ringtrue.ui.desk.StageState;
import ringtrue.ui.job.CutDraft;
import ringtrue.ui.job.CutField;
import ringtrue.ui.kit.Sign;

/** What is shown of a plan, against the plan. */
class LimitBarTest {
  private static Cut cut;
  private static CutPlan plan;

  @BeforeAll
  static void planned() {
    Progress none = (done, what) -> {};
    cut =
        CutFile.read(
            Path.of("demo-measurements", "cut-pocket-8mm.json"), Catalogue.bundled(), none);
    plan =
        CutPlanner.plan(
            cut.process(),
            cut.machine(),
            cut.planSettings(),
            ModalWay.judge(cut.process(), none),
            none);
  }

  @Test
  void everyLimitIsABarAndThoseOutsideComeFirst() {
    List<LimitBar> bars = LimitBar.of(plan, LengthUnit.MILLIMETRE);
    assertThat(bars)
        .extracting(LimitBar::name)
        .containsExactlyInAnyOrderElementsOf(
            plan.limits().stream().map(CutPlan.Limit::name).toList());
    int out = LimitBar.exceeded(plan).size();
    for (int i = 0; i < bars.size(); i++) {
      LimitBar bar = bars.get(i);
      CutPlan.Limit limit =
          plan.limits().stream().filter(l -> l.name().equals(bar.name())).findFirst().orElseThrow();
      assertThat(bar.sign() == Sign.BAD).as(bar.name()).isEqualTo(i < out);
      assertThat(bar.because()).startsWith(limit.because());
      if (!limit.advice()) {
        assertThat(bar.share()).isEqualTo(limit.share());
        assertThat(bar.percent()).isEqualTo(Math.round(100 * limit.share()) + " %");
      } else {
        assertThat(bar.sign()).isEqualTo(Sign.NOTE);
      }
    }
    List<Double> kept =
        bars.stream()
            .filter(b -> b.sign() == Sign.DONE || b.sign() == Sign.CAUTION)
            .map(LimitBar::share)
            .toList();
    assertThat(kept).isSortedAccordingTo((a, b) -> Double.compare(b, a));
  }

  @Test
  void inInchesNumbersAreInInches() {
    LimitBar chatter =
        LimitBar.of(plan, LengthUnit.INCH).stream()
            .filter(b -> b.name().equals("chatter"))
            .findFirst()
            .orElseThrow();
    assertThat(chatter.numbers()).matches("[\\d.]+ in of [\\d.]+ in");
  }

  @Test
  void theStateNamesWhatIsExceeded() {
    StageState state = CutStage.judged(plan);
    List<String> out = LimitBar.exceeded(plan);
    assertThat(out).isNotEmpty();
    assertThat(state.kind()).isEqualTo(StageState.Kind.ATTENTION);
    assertThat(state.words()).startsWith(out.size() + " limit").contains(out.get(0));
  }

  @Test
  void aBetterCutGoesIntoTheDraftInTheUsersUnit() {
    Offer best = Offer.of(plan, cut.process()).get(0);
    CutPlan.Suggestion suggestion = plan.suggestions().get(0);
    CutDraft draft =
        CutDraft.NEW
            .with(CutField.RADIAL, "3.2 mm")
            .with(CutField.AXIAL, "3 mm")
            .with(CutField.SPEED, "13000 rpm")
            .with(CutField.FEED_PER_TOOTH, "0.05 mm");
    for (LengthUnit unit : LengthUnit.values()) {
      CutDraft taken = best.in(draft, unit);
      assertThat(CutValues.si(CutField.AXIAL, taken.text(CutField.AXIAL)).orElseThrow())
          .isCloseTo(suggestion.axialM(), org.assertj.core.data.Percentage.withPercentage(0.05));
      assertThat(CutValues.si(CutField.SPEED, taken.text(CutField.SPEED)).orElseThrow())
          .isCloseTo(suggestion.speedRpm(), org.assertj.core.data.Percentage.withPercentage(0.05));
      assertThat(CutEdits.differences(draft, taken, unit)).isNotEmpty();
      assertThat(CutEdits.differences(taken, best.in(taken, unit), unit)).isEmpty();
    }
  }

  @Test
  void aFeedRateStaysAFeedRate() {
    Offer best = Offer.of(plan, cut.process()).get(0);
    CutDraft taken =
        best.in(CutDraft.NEW.with(CutField.FEED, "1500 mm/min"), LengthUnit.MILLIMETRE);
    assertThat(taken.has(CutField.FEED_PER_TOOTH)).isFalse();
    assertThat(CutValues.si(CutField.FEED, taken.text(CutField.FEED)).orElseThrow())
        .isCloseTo(best.feedMPerS(), org.assertj.core.data.Percentage.withPercentage(0.01));
  }

  @Test
  void localCodesComeFirstAmongTheCautions() {
    assertThat(LimitsView.codesFirst(plan.cautions()).get(0)).contains("local codes");
    assertThat(LimitsView.codesFirst(plan.cautions())).hasSameSizeAs(plan.cautions());
    assertThat(LimitsView.inWords("give \"holdingForce\" to have that judged"))
        .isEqualTo("give holding force to have that judged");
  }
}
