package ringtrue.ui.lobes;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.awt.Component;
import java.awt.Point;
import java.nio.file.Path;
import javax.swing.JLabel;
import javax.swing.JTextField;
import org.junit.jupiter.api.Test;
import ringtrue.report.LengthUnit;
import ringtrue.ui.WindowHarness;
import ringtrue.ui.desk.StageId;
import ringtrue.ui.desk.StageState;
import ringtrue.ui.job.CutField;
import ringtrue.ui.kit.Notice;
import ringtrue.ui.kit.Sign;
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

  /** For what does not depend on how a map is made. */
  private void quickMaps() throws Exception {
    onEvents(
        () -> {
          desk.settings(s -> s.with("lobes.method", "zero-order"));
          return null;
        });
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
    quickMaps();
    onEvents(
        () -> {
          desk.settings(s -> s.withUnit(LengthUnit.INCH));
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

  /** The picture, the marker and the fields are all in the unit that the user reads. */
  @Test
  void theUnitIsChangedWhileAnotherStageIsShown() throws Exception {
    quickMaps();
    resume(LobesJobs.described(home, LobesJobs.plain("2.54 mm", "1.27 mm", "")));
    onEvents(
        () -> {
          desk.go(StageId.CUT);
          desk.settings(s -> s.withUnit(LengthUnit.INCH));
          return null;
        });
    robot.waitForIdle();
    onEvents(
        () -> {
          desk.go(StageId.LOBES);
          return null;
        });
    waitUntil(
        "the axis is in inches",
        () -> view().plot().content().y().label().equals("axial depth (in)"));
    waitUntil("the map is there", () -> view().moment().map(MapMoment::complete).orElse(false));
    assertThat(onEvents(() -> handle()[1])).isCloseTo(0.05, within(1e-9));
    assertThat(onEvents(() -> ((JTextField) find("lobes-axial")).getText())).isEqualTo("0.05 in");
    assertThat(onEvents(() -> ((JTextField) find("lobes-radial")).getText())).isEqualTo("0.1 in");
    assertThat(draft(CutField.AXIAL)).as("the user's own words stay").isEqualTo("1.27 mm");
    shoot("9-inches-from-elsewhere");
    drag(onScreen(18000, 0.05), onScreen(18000, 0.03));
    waitUntil("the drag is known", () -> !desk.job().cut().text(CutField.AXIAL).equals("1.27 mm"));
    assertThat(draft(CutField.AXIAL)).matches("0\\.0[23]\\d* in");
    keys("ctrl Z");
    waitUntil("undone", () -> desk.job().cut().text(CutField.AXIAL).equals("1.27 mm"));
    waitUntil("the marker is back", () -> Math.abs(handle()[1] - 0.05) < 1e-9);
    onEvents(
        () -> {
          desk.go(StageId.CUT);
          desk.settings(s -> s.withUnit(LengthUnit.MILLIMETRE));
          desk.go(StageId.LOBES);
          return null;
        });
    waitUntil(
        "all is in millimetres",
        () ->
            view().plot().content().y().label().equals("axial depth (mm)")
                && Math.abs(handle()[1] - 1.27) < 1e-9);
  }

  private String said(String name) {
    return find(name) instanceof Wrapped text ? text.getText() : "";
  }

  /** At the end of the speeds the cut is seen, and more is computed where one looks closer. */
  @Test
  void theEndOfTheSpeedsIsSeenAndAPartIsComputedMoreClosely() throws Exception {
    resume(LobesJobs.described(home, LobesJobs.plain("2.5 mm", "1 mm", "")));
    onEvents(
        () -> {
          desk.change("w", "", job -> job.with(job.cut().with(CutField.SPEED, "24000 rpm")));
          return null;
        });
    waitUntil("the marker is at the end", () -> handle()[0] == 24000);
    assertThat(onEvents(() -> view().plot().content().x().to())).isGreaterThan(24200);
    shoot("10-end");
    int before = onEvents(() -> view().moment().get().map().lines().size());
    onEvents(
        () -> {
          view().plot().setShownX(15800, 16300);
          return null;
        });
    waitUntil("more speeds", () -> view().moment().get().map().lines().size() >= before + 100);
    assertThat(onEvents(() -> view().plot().shownX()[0])).isCloseTo(15800, within(1.0));
    waitUntil("it has ended", () -> said("lobes-going").isEmpty());
    shoot("11-closer");
    int more = onEvents(() -> view().moment().get().map().lines().size());
    onEvents(
        () -> {
          view().plot().resetView();
          return null;
        });
    robot.delay(600);
    assertThat(onEvents(() -> view().moment().get().map().lines().size())).isEqualTo(more);
  }

  @Test
  void aDirectionThatNobodyKnowsIsNoGreenSign() throws Exception {
    onEvents(
        () -> {
          Path job = LobesJobs.described(home, LobesJobs.plainWithX(""));
          desk.resume(job, () -> desk.go(StageId.LOBES));
          return null;
        });
    waitUntil("it is judged", () -> view().here().flatMap(Here::happens).isPresent());
    waitUntil(
        "it says so",
        () ->
            find("lobes-problem") instanceof Notice notice
                && notice
                    .text()
                    .equals("Tool x not known: taken as rigid; real limits can be lower."));
    assertThat(onEvents(() -> view().here().get().happens().get().stable())).isTrue();
    assertThat(onEvents(() -> ((JLabel) find("lobes-sign")).getIcon())).isEqualTo(Sign.CAUTION);
    assertThat(onEvents(() -> desk.stage(StageId.LOBES).state()))
        .isEqualTo(new StageState(StageState.Kind.ATTENTION, "tool x not known"));
    assertThat(said("lobes-brief")).isEqualTo("Stable only if tool x is rigid");
    shoot("12-not-known");
    onEvents(
        () -> {
          Path job = LobesJobs.described(home, LobesJobs.plainWithX("{\"modes\": []}"));
          desk.resume(job, () -> desk.go(StageId.LOBES));
          return null;
        });
    waitUntil(
        "rigid on purpose is nothing to mind",
        () ->
            view().here().flatMap(Here::happens).isPresent()
                && find("lobes-problem") == null
                && find("lobes-sign") instanceof JLabel sign
                && sign.getIcon() == Sign.DONE);
  }

  private double[] handle() {
    return view().plot().handlePlace(LobesContent.CUT).orElseThrow();
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
    waitUntil("it says how long", () -> said("lobes-going").contains("about"));
    shoot("6-chance-begins");
    waitUntil("a coarse answer", 200_000_000_000L, () -> view().moment().get().drawn().isPresent());
    waitUntil("it goes on", () -> said("lobes-going").contains("growing finer"));
    Thread.sleep(300);
    shoot("6-chance");
    press("lobes-chance-stop");
    waitUntil("it has stopped", () -> find("lobes-chance-stop") == null);
    assertThat(onEvents(() -> view().moment().get().drawn())).as("what was drawn").isPresent();
    press("lobes-chance");
    waitUntil("it is taken away", () -> view().moment().get().drawn().isEmpty());
    press("lobes-over-width");
    waitUntil(
        "the map over width",
        60_000_000_000L,
        () -> view().moment().map(m -> m.map().over().word().equals("width")).orElse(false));
    shoot("7-width");
    resume(LobesJobs.demo(home, "cut-turning"));
    shoot("8-turning");
  }
}
