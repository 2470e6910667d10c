package ringtrue.stability;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.ModeTable;
import ringtrue.dynamics.Progress;
import ringtrue.dynamics.Residual;
import ringtrue.stability.Engagement.Direction;
import ringtrue.stability.LobesRequest.AtPoint;
import ringtrue.units.BadInputException;

class SpeedTablesTest {
  private static final ModeTable TABLE =
      new ModeTable(
          List.of(
              new ModeTable.Row(0, ModalModel.of(Mode.of(900, 0.02, 8e6))),
              new ModeTable.Row(10_000, ModalModel.of(Mode.of(860, 0.03, 7e6))),
              new ModeTable.Row(20_000, ModalModel.of(Mode.of(780, 0.025, 6e6)))));

  private static CuttingProcess milling(Tool tool) {
    return Cuts.milling(
        tool,
        Direction.DOWN,
        0.5,
        1e-3,
        8e8,
        2e8,
        List.of(TABLE),
        List.of(Mode.of(950, 0.02, 9e6)));
  }

  @Test
  void eachSpeedHasTheLineOfItsOwnModes() {
    CuttingProcess turning = Cuts.turning(1, 7e8, 0, TABLE);
    CuttingProcess milling = milling(Cuts.tool(3, 0.01));
    List<Double> speeds = List.of(12_000.0, 3_000.0, 25_000.0, 10_000.0, 5_500.0);
    for (CuttingProcess process : List.of(turning, milling)) {
      for (StabilityMap.Over over : StabilityMap.Over.values()) {
        if (process == turning && over == StabilityMap.Over.WIDTH) {
          continue;
        }
        LobesRequest request =
            new LobesRequest(
                over,
                Optional.empty(),
                speeds,
                0.01,
                List.of(
                    new AtPoint(7_000, 1e-3), new AtPoint(3_000, 5e-3), new AtPoint(7_000, 4e-3)));
        StabilityMap map = Lobes.compute(process, request, Progress.NONE);
        assertThat(map.lines()).hasSize(5);
        for (int i = 0; i < speeds.size(); i++) {
          LobesRequest one =
              new LobesRequest(over, Optional.empty(), List.of(speeds.get(i)), 0.01, List.of());
          StabilityMap alone = Lobes.compute(process.resolvedAt(speeds.get(i)), one, Progress.NONE);
          assertThat(map.lines().get(i)).isEqualTo(alone.lines().get(0));
        }
        for (int i = 0; i < 3; i++) {
          AtPoint point = request.at().get(i);
          LobesRequest one =
              new LobesRequest(over, Optional.empty(), List.of(), 0.01, List.of(point));
          assertThat(map.at().get(i))
              .isEqualTo(
                  Lobes.compute(process.resolvedAt(point.speedRpm()), one, Progress.NONE)
                      .at()
                      .get(0));
        }
        assertThat(map.remarks()).anyMatch(r -> r.startsWith("the modes change with the spindle"));
      }
    }
  }

  /** 2 k ζ (1 + ζ)/Ks of every row (Tlusty & Poláček 1963), of which the least counts. */
  @Test
  void theCertainDepthIsTheLeastOfTheTable() {
    double ks = 7e8;
    CuttingProcess process = Cuts.turning(1, ks, 0, TABLE);
    double first = 2 * 8e6 * 0.02 * 1.02 / ks;
    double last = 2 * 6e6 * 0.025 * 1.025 / ks;
    double certain = Lobes.certainDepthM(process, 0.05);
    assertThat(certain).isCloseTo(Math.min(first, last), within(1e-9 * first));
    assertThat(Lobes.defaultMaxM(process, StabilityMap.Over.DEPTH))
        .isCloseTo(10 * certain, within(1e-12));
    for (StabilityMap.Line line :
        Cuts.depth(process, 0.05, 500.0, 2_000.0, 9_000.0, 19_000.0, 40_000.0).lines()) {
      assertThat(line.limitM()).isGreaterThanOrEqualTo(certain * (1 - 1e-9));
    }
  }

  @Test
  void remarksThatDifferInNumbersOnlyAreSaidOnce() {
    ModeTable withResidual =
        new ModeTable(
            List.of(new ModeTable.Row(0, residual(900)), new ModeTable.Row(20_000, residual(700))));
    StabilityMap map =
        Cuts.depth(Cuts.turning(1, 7e8, 0, withResidual), 0.01, 2_000.0, 8_000.0, 15_000.0);
    assertThat(map.remarks())
        .filteredOn(r -> r.startsWith("chatter was looked for"))
        .singleElement()
        .asString()
        .contains("up to 1125 Hz") // one and a half times the 750 Hz at 15,000 rpm
        .endsWith("(numbers differ with the speed)");
  }

  private static ModalModel residual(double hz) {
    return new ModalModel(List.of(Mode.of(hz, 0.02, 8e6)), new Residual(1e-9, 0));
  }

  @Test
  void anEmptyRequestIsAnEmptyMapAndCurvesAreRefused() {
    CuttingProcess process = Cuts.turning(1, 7e8, 0, TABLE);
    assertThat(Cuts.depth(process, 0.01).lines()).isEmpty();
    assertThatThrownBy(() -> ZeroOrderLobes.curves(process, new double[] {900}, 1))
        .isInstanceOf(BadInputException.class)
        .hasMessageContaining("change with the speed");
  }

  /** A measured response beside a table stays what it is. */
  @Test
  void aTableMayStandBesideAMeasuredResponse() {
    double[] hz = new double[2000];
    double[] re = new double[hz.length];
    double[] im = new double[hz.length];
    double[] into = new double[2];
    for (int i = 0; i < hz.length; i++) {
      hz[i] = 200 + i;
      Mode.of(1200, 0.03, 9e6).at(hz[i], into);
      re[i] = into[0];
      im[i] = into[1];
    }
    FrequencyResponse measured =
        new FrequencyResponse(hz, re, im, null, null, FrequencyResponse.Origin.unknown(200, 2199));
    CuttingProcess process = Cuts.turning(1, 7e8, 0, TABLE, measured);
    CuttingProcess modal = Cuts.turning(1, 7e8, 0, TABLE, Mode.of(1200, 0.03, 9e6));
    double limit = Cuts.limit(modal, 0.02, 9_000);
    assertThat(Cuts.limit(process, 0.02, 9_000)).isCloseTo(limit, within(2e-3 * limit));
  }
}
