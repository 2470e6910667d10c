package ringtrue.ui.lobes;

import static org.assertj.core.api.Assertions.assertThat;

import java.awt.Component;
import java.awt.Point;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import ringtrue.ui.WindowHarness;
import ringtrue.ui.desk.StageId;
import ringtrue.ui.desk.StageState;
import ringtrue.ui.job.CutField;
import ringtrue.ui.kit.Wrapped;

/** The stage in a real window. */
class LobesStageTest extends WindowHarness {

  private LobesView view() {
    return (LobesView) desk.stage(StageId.LOBES).view();
  }

  private void resume(Path job) throws Exception {
    onEvents(
        () -> {
          desk.resume(job, () -> desk.go(StageId.LOBES));
          return null;
        });
    waitUntil(
        "the map is complete",
        90_000_000_000L,
        () ->
            desk.folder().isPresent()
                && desk.stage() == StageId.LOBES
                && find("lobes-plot") != null
                && view().moment().map(MapMoment::complete).orElse(false)
                && view().here().isPresent());
  }

  private Point onScreen(double x, double y) throws Exception {
    return onEvents(
        () -> {
          Component plot = find("lobes-plot");
          Point p = view().plot().toScreen(x, y);
          Point corner = plot.getLocationOnScreen();
          return new Point(corner.x + p.x, corner.y + p.y);
        });
  }

  private String draft(CutField field) throws Exception {
    return onEvents(() -> desk.job().cut().text(field));
  }

  @Test
  void theCutIsDraggedAndEverythingFollows() throws Exception {
    resume(LobesJobs.demo(home, "cut-pocket-8mm"));
    shoot("1-depth");
    assertThat(onEvents(() -> desk.stage(StageId.LOBES).state().kind()))
        .isEqualTo(StageState.Kind.ATTENTION);
    String before = onEvents(() -> view().here().get().happens().get().words());
    Point cut = onScreen(13000, 3);
    drag(cut, onScreen(16000, 0.8));
    waitUntil(
        "what happens follows",
        () ->
            view().here().get().cut().process().engagement().axialM() < 1e-3
                && !view().here().get().happens().get().words().equals(before));
    assertThat(draft(CutField.SPEED)).matches("1[56]\\d{3} rpm");
    assertThat(draft(CutField.AXIAL)).matches("0\\.\\d{1,3} mm");
    assertThat(onEvents(() -> view().here().get().happens().get().stable())).isTrue();
    shoot("2-dragged");
    keys("ctrl Z");
    waitUntil(
        "one undo takes it back", () -> desk.job().cut().text(CutField.SPEED).equals("13000 rpm"));
    assertThat(draft(CutField.AXIAL)).isEqualTo("3 mm");
  }

  @Test
  void aSliderMakesAnotherMap() throws Exception {
    resume(LobesJobs.described(home, LobesJobs.plain("3 mm", "1 mm", "")));
    Object before = onEvents(() -> view().moment().get().map());
    press("lobes-radial-slider");
    keys("LEFT");
    keys("LEFT");
    waitUntil("another map", () -> view().moment().map(m -> m.map() != before).orElse(false));
    waitUntil("it is complete", () -> view().moment().get().complete());
    assertThat(draft(CutField.RADIAL)).isNotEqualTo("3 mm");
    assertThat(onEvents(() -> ((Wrapped) find("lobes-status")).getText()))
        .contains("Computed at 401 speeds");
    shoot("3-slider");
  }

  @Test
  void arrowKeysMoveTheCutInInches() throws Exception {
    onEvents(
        () -> {
          desk.settings(s -> s.withUnit(ringtrue.report.LengthUnit.INCH));
          return null;
        });
    resume(LobesJobs.described(home, LobesJobs.plain("0.3 mm", "1 mm", "")));
    keys("ctrl shift A");
    keys("UP");
    keys("UP");
    waitUntil(
        "the depth is said in inches", () -> desk.job().cut().text(CutField.AXIAL).endsWith(" in"));
    assertThat(draft(CutField.AXIAL)).matches("0\\.0\\d{1,4} in");
    shoot("4-inches-islands");
  }

  @Test
  void aNewerMapTakesThePlaceOfOneThatGrows() throws Exception {
    resume(LobesJobs.described(home, LobesJobs.plain("2.5 mm", "1 mm", "")));
    for (int i = 1; i <= 8; i++) {
      String width = i % 2 == 0 ? "3 mm" : "2 mm";
      onEvents(
          () -> {
            desk.change("w", "", job -> job.with(job.cut().with(CutField.RADIAL, width)));
            return null;
          });
      Thread.sleep(60);
    }
    waitUntil(
        "the last one is complete",
        60_000_000_000L,
        () ->
            view().moment().get().complete()
                && Math.abs(view().moment().get().cut().process().engagement().radialM() - 3e-3)
                    < 1e-9);
    waitUntil(
        "nothing goes on",
        30_000_000_000L,
        () -> desk.tasks().running().stream().noneMatch(t -> t.name().equals("stability map")));
  }

  @Test
  void itSaysWhatIsMissing() throws Exception {
    onEvents(
        () -> {
          desk.begin(ringtrue.ui.job.Job.EMPTY, () -> desk.go(StageId.LOBES));
          return null;
        });
    waitUntil("a sentence is seen", () -> find("lobes-problem") != null);
    shoot("5-missing");
    press("lobes-mend");
    waitUntil("the Cut stage is seen", () -> desk.stage() == StageId.CUT);
  }

  @Test
  void chanceAndTurningAreShown() throws Exception {
    resume(LobesJobs.demo(home, "cut-pocket-8mm"));
    press("lobes-beside");
    waitUntil(
        "zero-order is there",
        60_000_000_000L,
        () -> view().moment().get().zeroOrder().isPresent());
    press("lobes-chance");
    waitUntil("chance is there", 200_000_000_000L, () -> view().moment().get().drawn().isPresent());
    Thread.sleep(300);
    shoot("6-chance");
    press("lobes-over-width");
    waitUntil(
        "the map over width",
        60_000_000_000L,
        () ->
            view()
                .moment()
                .map(m -> m.complete() && m.map().over().word().equals("width"))
                .orElse(false));
    shoot("7-width");
    resume(LobesJobs.demo(home, "cut-turning"));
    shoot("8-turning");
  }
}
