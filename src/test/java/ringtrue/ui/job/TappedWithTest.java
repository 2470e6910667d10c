package ringtrue.ui.job;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;
import ringtrue.library.SetUp.Field;

/** Whose modes they are: what was tapped, against what cuts. */
class TappedWithTest {
  private static final Measured X =
      Measured.of(Direction.TOOL_X, Measured.Kind.TAPS, "tool-x.json", "an input");

  private static Job tapped() {
    CutDraft cut =
        CutDraft.NEW
            .with(CutField.DIAMETER, "8 mm")
            .with(CutField.FLUTES, "3")
            .with(CutField.STICKOUT, "30 mm");
    return ToolWords.with(Job.EMPTY, cut).with(X);
  }

  private static Job cutting(Job job, CutField field, String text) {
    return ToolWords.with(job, job.cut().with(field, text));
  }

  @Test
  void anotherToolThanTheOneThatWasTappedIsTold() {
    Job job = tapped();
    assertThat(TappedWith.mismatch(job)).isEmpty();
    Job other = cutting(cutting(job, CutField.DIAMETER, "10 mm"), CutField.STICKOUT, "35 mm");
    assertThat(other.setUp()).containsEntry(Field.DIAMETER, "10 mm");
    assertThat(other.setUp()).containsEntry(Field.STICKOUT, "35 mm");
    assertThat(TappedWith.mismatch(other))
        .contains("tapped with 8 mm, 30 mm out; this cut: 10 mm, 35 mm out: tap again");
    assertThat(TappedWith.mismatch(TappedWith.confirmed(other))).isEmpty();
    Job again = other.with(Measured.of(Direction.TOOL_X, Measured.Kind.TAPS, "tool-x-2.json", ""));
    assertThat(TappedWith.mismatch(again)).isEmpty();
    assertThat(TappedWith.mismatch(JobFile.ofText(JobFile.toText(other)))).isPresent();
  }

  @Test
  void unitsAndRoundingAreNoOtherTool() {
    Job inches =
        cutting(cutting(tapped(), CutField.DIAMETER, "0.315 in"), CutField.STICKOUT, "1.181 in");
    assertThat(TappedWith.mismatch(inches)).isEmpty();
    assertThat(TappedWith.mismatch(cutting(tapped(), CutField.FLUTES, "4")))
        .contains("tapped with 3 flutes; this cut: 4 flutes: tap again");
  }

  @Test
  void whatNobodySaidIsNoDifferenceAndIsFilledByTheFirstWord() {
    Job job = Job.EMPTY.with(X);
    Job said = cutting(job, CutField.DIAMETER, "8 mm");
    assertThat(TappedWith.mismatch(said)).isEmpty();
    assertThat(TappedWith.mismatch(cutting(said, CutField.DIAMETER, "6 mm"))).isPresent();
    Job old = JobFile.ofText(JobFile.toText(job).replace("tappedWith", "unheardOf"));
    assertThat(
            TappedWith.mismatch(
                cutting(cutting(old, CutField.DIAMETER, "8 mm"), CutField.DIAMETER, "6 mm")))
        .isEmpty();
  }

  @Test
  void theSetUpFollowsTheCutUnlessItHasOtherWords() {
    Job job = tapped().with(Field.DIAMETER, "8.2 mm");
    assertThat(cutting(job, CutField.DIAMETER, "10 mm").setUp())
        .containsEntry(Field.DIAMETER, "8.2 mm");
    assertThat(cutting(tapped(), CutField.FLUTES, "20 mm").setUp())
        .containsEntry(Field.FLUTES, "3");
    assertThat(cutting(cutting(tapped(), CutField.FLUTES, "20 mm"), CutField.FLUTES, "4").setUp())
        .containsEntry(Field.FLUTES, "4");
  }
}
