package ringtrue.ui.lobes;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.stream.DoubleStream;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import ringtrue.dynamics.Progress;
import ringtrue.library.Catalogue;
import ringtrue.library.Cut;
import ringtrue.library.CutFile;
import ringtrue.library.CutLobes;
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

  @Test
  void aPointIsSaidToBeQuietOrNot() {
    PlotContent content = LobesContent.of(moment(new double[3]), LengthUnit.MILLIMETRE, Double.NaN);
    double limit = 1e3 * MAP.lines().get(1).limitM();
    assertThat(content.pointWords().at(13000, 0.5 * limit).get(0)).isEqualTo("quiet here");
    assertThat(content.pointWords().at(13000, 0.5 * limit).get(1))
        .startsWith("limit at this speed: ")
        .endsWith(" mm");
    assertThat(content.pointWords().at(13000, 1.05 * limit).get(0)).startsWith("chatters here");
    assertThat(content.pointWords().at(11000, 1).get(0)).contains("no limits are known");
    assertThat(content.x().from()).isLessThan(12000);
    assertThat(content.x().to()).isGreaterThan(14000);
  }

  @Test
  void aPartOfTheMapIsHalvedUntilItIsFine() {
    List<Double> whole = DoubleStream.iterate(6000, r -> r + 45).limit(401).boxed().toList();
    assertThat(CloserLook.missing(whole, whole, 6000, 24000)).isEmpty();
    List<Double> missing = CloserLook.missing(whole, whole, 9000, 10000);
    assertThat(missing).hasSizeBetween(100, 400).allMatch(r -> r >= 9000 && r <= 10000);
    List<Double> known = Stream.concat(whole.stream(), missing.stream()).sorted().toList();
    assertThat(CloserLook.missing(whole, known, 9000, 10000)).isEmpty();
    assertThat(CloserLook.missing(whole, whole, Double.NaN, Double.NaN)).isEmpty();
    assertThat(CloserLook.missing(whole, whole, 23900, 26000)).allMatch(r -> r <= 24000);
  }

  @Test
  void lengthsAreSaidInTheUnitThatIsRead() {
    assertThat(Readable.inUnit("3 mm", LengthUnit.MILLIMETRE)).isEqualTo("3 mm");
    assertThat(Readable.inUnit("3.2 mm", LengthUnit.INCH)).isEqualTo("0.126 in");
    assertThat(Readable.inUnit("0.1 in", LengthUnit.MILLIMETRE)).isEqualTo("2.54 mm");
    assertThat(Readable.inUnit("what", LengthUnit.INCH)).isEqualTo("what");
    assertThat(Readable.complete("1,5", "mm")).isEqualTo("1.5 mm");
    assertThat(Readable.complete("2", "in")).isEqualTo("2 in");
    assertThat(Readable.complete("2 mm", "in")).isEqualTo("2 mm");
    assertThat(Readable.complete("35 deg, 40 deg", "deg")).isEqualTo("35 deg, 40 deg");
  }

  @Test
  void whatIsNumericalIsToldFromWhatToMind() {
    assertThat(MapRemark.numerical("more nodes moved no border by more than 0.0027 %")).isTrue();
    assertThat(MapRemark.numerical("12 mm is deeper than the flutes are long, 8 mm")).isFalse();
    assertThat(MapRemark.numerical("this adds damping: the limits here are too high")).isFalse();
  }

  /** The speeds between, drawn later, give the map that all speeds at once would have given. */
  @Test
  void chancesOfTwoHalvesAreThoseOfTheWhole() {
    StabilityMap all = chances(List.of(12000.0, 13000.0, 14000.0));
    StabilityMap joined =
        Drawn.joined(chances(List.of(12000.0, 14000.0)), chances(List.of(13000.0)));
    assertThat(joined.lines()).isEqualTo(all.lines());
    assertThat(joined.probability().orElseThrow().limit95M())
        .isEqualTo(all.probability().orElseThrow().limit95M());
    for (int i = 0; i < 3; i++) {
      assertThat(joined.probability().get().stable().get(i))
          .isEqualTo(all.probability().get().stable().get(i));
    }
  }

  private static StabilityMap chances(List<Double> speeds) {
    LobesRequest request =
        new LobesRequest(Over.DEPTH, Optional.of(Method.ZERO_ORDER), speeds, 0.02, List.of());
    return CutLobes.of(CUT, request, Optional.of(new CutLobes.Draws(80, 1)), Progress.NONE).map();
  }
}
