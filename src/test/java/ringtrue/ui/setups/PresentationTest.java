package ringtrue.ui.setups;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import ringtrue.library.SetUp;
import ringtrue.library.SetUp.Field;
import ringtrue.library.SetUpLibrary;
import ringtrue.report.LengthUnit;
import ringtrue.ui.desk.Finding;
import ringtrue.ui.desk.StageState;
import ringtrue.ui.job.CutField;
import ringtrue.ui.job.Direction;
import ringtrue.ui.job.Direction.Part;
import ringtrue.ui.job.Job;
import ringtrue.ui.job.Measured;
import ringtrue.ui.kit.Sign;

/** What the set-up stage says, without a window. */
class PresentationTest {
  @TempDir Path home;

  private static final Job DESCRIBED =
      Job.EMPTY.with(Field.TOOL, "6 mm end mill").with(Field.WORKPIECE, "thin plate");

  private static Measured taps(Direction direction) {
    return Measured.of(direction, Measured.Kind.TAPS, direction.key() + ".json", "");
  }

  @Test
  void aBareLengthGetsTheUnitInUseAndTheCutFollows() {
    assertThat(SetUpWords.read(Field.DIAMETER, " 6 ", LengthUnit.MILLIMETRE)).isEqualTo("6 mm");
    assertThat(SetUpWords.read(Field.DIAMETER, "0.25", LengthUnit.INCH)).isEqualTo("0.25 in");
    assertThat(SetUpWords.read(Field.FLUTES, "4", LengthUnit.INCH)).isEqualTo("4");
    assertThat(SetUpWords.complaint(Field.DIAMETER, "wide")).isNotEmpty();
    Job job = SetUpWords.with(Job.EMPTY, Field.DIAMETER, "6 mm");
    assertThat(job.cut().text(CutField.DIAMETER)).isEqualTo("6 mm");
    Job own = job.with(job.cut().with(CutField.DIAMETER, "8 mm"));
    assertThat(SetUpWords.with(own, Field.DIAMETER, "10 mm").cut().text(CutField.DIAMETER))
        .isEqualTo("8 mm");
  }

  @Test
  void toolAndWorkpieceAreSavedApart() {
    Job both = DESCRIBED.with(taps(Direction.TOOL_X)).with(taps(Direction.WORK_X));
    assertThat(Parts.of(both)).containsExactly(Part.TOOL, Part.WORKPIECE);
    assertThat(Parts.said(both, Part.WORKPIECE)).containsOnlyKeys(Field.WORKPIECE);
    assertThat(Parts.said(both, Part.TOOL)).containsKeys(Field.TOOL, Field.WORKPIECE);
    assertThat(Parts.measured(both, Part.WORKPIECE)).hasSize(1);
  }

  @Test
  void whatIsSavedIsKnownAndOutlastsTheWindow() {
    Instant now = Instant.parse("2026-03-01T09:14:00Z");
    Measured x = taps(Direction.TOOL_X);
    Job job = DESCRIBED.with(x);
    assertThat(SaveState.of(job, SaveLog.NOTHING, now).brief()).isEqualTo("set-up not saved");
    SetUp saved = SetUp.of("plate-abc12", now, Parts.said(job, Part.TOOL));
    SaveLog log =
        SaveLog.NOTHING
            .with(Part.TOOL, saved)
            .with(
                new SaveLog.Entry(
                    x.direction(), saved.id(), "x-1", x.file(), SaveLog.state(x), now))
            .at(now);
    log.write(home);
    assertThat(SaveLog.read(home)).isEqualTo(log);
    assertThat(SaveState.of(job, log, now).kind()).isEqualTo(StageState.Kind.DONE);
    Job decided = job.with(x.withTap(2, false));
    assertThat(SaveState.of(decided, log, now).brief()).isEqualTo("1 direction not saved");
    assertThat(SaveQuestion.repeated(decided, log)).isFalse();
    Job again = job.with(Measured.of(Direction.TOOL_X, Measured.Kind.TAPS, "tool-x-2.json", ""));
    assertThat(SaveQuestion.repeated(again, log)).isTrue();
    assertThat(SaveQuestion.differing(job.with(Field.TOOL, "8 mm end mill"), log))
        .containsExactly("tool");
  }

  @Test
  void aMissingDirectionSaysSo() {
    DirectionWords words = DirectionWords.of(Direction.TOOL_X, Optional.empty(), Finding.none(""));
    assertThat(words.sign()).isEqualTo(Sign.OPEN);
    assertThat(words.quality()).isEqualTo("missing");
    DirectionWords bad =
        DirectionWords.of(
            Direction.TOOL_X, Optional.of(taps(Direction.TOOL_X)), Finding.none("no taps in it"));
    assertThat(bad.sign()).isEqualTo(Sign.BAD);
    assertThat(bad.why()).isEqualTo("no taps in it");
  }

  @Test
  void theListIsSoughtAndOrdered() {
    SetUpLibrary library = SetUpLibrary.in(home.resolve("library"));
    Shelves.fill(library, 12);
    var all = library.list().entries();
    SavedList.Sought any = new SavedList.Sought("", "", "", "", SavedList.Order.NEWEST);
    assertThat(SavedList.of(all, any, Map.of(), LengthUnit.MILLIMETRE).get(0).title())
        .isEqualTo("4 mm end mill, number 11");
    SavedList.Sought few = new SavedList.Sought("router", "6", "", "", SavedList.Order.NAME);
    assertThat(SavedList.of(all, few, Map.of(), LengthUnit.MILLIMETRE))
        .extracting(SavedRow::title)
        .isEqualTo(List.of("6 mm end mill, number 3"));
    SavedList.Sought near = new SavedList.Sought("", "", "", "", SavedList.Order.NEAREST);
    SavedRow nearest =
        SavedList.of(
                all,
                near,
                Map.of(Field.DIAMETER, "7 mm", Field.STICKOUT, "21 mm"),
                LengthUnit.MILLIMETRE)
            .get(0);
    assertThat(nearest.title()).isEqualTo("7 mm end mill, number 4");
    assertThat(nearest.differs()).isEqualTo("nothing that you said differs");
  }
}
