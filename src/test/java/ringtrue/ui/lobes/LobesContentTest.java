package ringtrue.ui.lobes;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import ringtrue.dynamics.Progress;
import ringtrue.library.Catalogue;
import ringtrue.library.Cut;
import ringtrue.library.CutFile;
import ringtrue.planning.CutPlan;
import ringtrue.planning.CutPlanner;
import ringtrue.planning.PowerLimit;
import ringtrue.report.LengthUnit;
import ringtrue.report.OutcomeMark;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.Lobes;
import ringtrue.stability.LobesRequest;
import ringtrue.stability.Method;
import ringtrue.stability.StabilityMap;
import ringtrue.stability.StabilityMap.Over;
import ringtrue.ui.plot.Layer;
import ringtrue.ui.plot.PlotContent;

class LobesContentTest {
  private static final Cut CUT =
      CutFile.read(
          Path.of("demo-measurements", "cut-pocket-8mm.json"), Catalogue.bundled(), Progress.NONE);
  private static final StabilityMap MAP =
      Lobes.compute(
          CUT.process(),
          new LobesRequest(
              Over.DEPTH,
              Optional.of(Method.ZERO_ORDER),
              List.of(12000.0, 13000.0, 14000.0),
              0.02,
              List.of()),
          Progress.NONE);

  private static MapMoment moment(double[] power) {
    return new MapMoment(
        CUT,
        MAP,
        true,
        power,
        Optional.empty(),
        Optional.empty(),
        List.of(new OutcomeMark(12500, 1e-3, true)));
  }

  @Test
  void theContentHoldsWhatTheMapSays() {
    double[] power = {1e-3, 2e-3, 3e-3};
    PlotContent content = LobesContent.of(moment(power), LengthUnit.MILLIMETRE, Double.NaN);
    List<String> names = content.layers().stream().map(Layer::name).toList();
    assertThat(names)
        .contains(LobesContent.FREE, LobesContent.HOPF, LobesContent.POWER, LobesContent.CHATTERED)
        .doesNotContain(LobesContent.FLIP, LobesContent.CHANCE);
    Layer.Handle handle =
        content.layers().stream()
            .filter(Layer.Handle.class::isInstance)
            .map(Layer.Handle.class::cast)
            .findFirst()
            .orElseThrow();
    assertThat(handle.x()).isEqualTo(13000);
    assertThat(handle.y()).isEqualTo(3, within(1e-9));
    assertThat(content.y().label()).isEqualTo("axial depth (mm)");
    assertThat(content.y().to()).isGreaterThanOrEqualTo(3);
  }

  @Test
  void inInchesTheHandleIsInInches() {
    PlotContent content = LobesContent.of(moment(new double[3]), LengthUnit.INCH, Double.NaN);
    assertThat(content.y().label()).isEqualTo("axial depth (in)");
    assertThat(content.layers())
        .filteredOn(Layer.Handle.class::isInstance)
        .allSatisfy(h -> assertThat(((Layer.Handle) h).y()).isEqualTo(3 / 25.4, within(1e-9)));
  }

  /** At the depth of the curve the plan says that all of the power is used. */
  @Test
  void thePowerCurveIsThatOfThePlan() {
    double[] found =
        PowerLimit.lengthsM(
            CUT.process(),
            CUT.machine(),
            CUT.planSettings(),
            Over.DEPTH,
            List.of(8000.0, 20000.0),
            0.05);
    for (int i = 0; i < 2; i++) {
      CuttingProcess there =
          CUT.process()
              .with(CUT.process().engagement().withAxial(found[i]))
              .atSpeed(i == 0 ? 8000 : 20000);
      CutPlan.Limit power =
          CutPlanner.limitsBesideChatter(there, CUT.machine(), CUT.planSettings()).stream()
              .filter(l -> l.name().equals("power"))
              .findFirst()
              .orElseThrow();
      assertThat(power.share()).isEqualTo(1, within(2e-3));
    }
  }

  @Test
  void theMapIsTheSameForCutsThatDifferInDepthAndSpeedAlone() {
    Wanted wanted = new Wanted(Over.DEPTH, Optional.empty(), Double.NaN, Double.NaN, Double.NaN);
    CuttingProcess other =
        CUT.process().with(CUT.process().engagement().withAxial(1e-4)).atSpeed(9000);
    assertThat(wanted.onlyWhatCounts(other)).isEqualTo(wanted.onlyWhatCounts(CUT.process()));
    CuttingProcess wider = CUT.process().with(CUT.process().engagement().withRadial(1e-3, 8e-3));
    assertThat(wanted.onlyWhatCounts(wider)).isNotEqualTo(wanted.onlyWhatCounts(CUT.process()));
  }

  @Test
  void whatHappensIsSaidWithItsMode() {
    Wanted wanted = new Wanted(Over.DEPTH, Optional.empty(), Double.NaN, Double.NaN, Double.NaN);
    Here here = Here.look(CUT, wanted, false, Progress.NONE);
    assertThat(here.happens().orElseThrow().stable()).isFalse();
    assertThat(here.happens().get().words())
        .startsWith("Chatters near 1635 Hz")
        .contains("the mode in x at 1620 Hz")
        .contains("above the limit of 2.15 mm");
    assertThat(here.limits().get(0).name()).isEqualTo("chatter");
    assertThat(here.limits()).extracting(CutPlan.Limit::name).contains("power", "deflection");
  }

  @Test
  void handsMakeTextThatPeopleWouldWrite() {
    assertThat(Readable.speed(12437, Readable.step(18000 / 400.0))).isEqualTo("12440 rpm");
    assertThat(Readable.length(2.3468e-3, 0.01, LengthUnit.MILLIMETRE)).isEqualTo("2.35 mm");
    assertThat(Readable.length(2.35e-3, 0.0005, LengthUnit.INCH)).isEqualTo("0.0925 in");
    assertThat(Readable.length(0, 0.01, LengthUnit.MILLIMETRE)).isEqualTo("0.01 mm");
    assertThat(Readable.number(50000, 1000)).isEqualTo("50000");
  }
}
