package ringtrue.library;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Collections;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import org.junit.jupiter.api.Test;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.dynamics.Receptance;
import ringtrue.planning.StabilityJudge;
import ringtrue.stability.CuttingCoefficients;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.Engagement;
import ringtrue.stability.Engagement.Direction;
import ringtrue.stability.Lobes;
import ringtrue.stability.LobesRequest;
import ringtrue.stability.StabilityMap;
import ringtrue.stability.Tool;

/** Measured responses against modes fitted to them, on responses made from known modes. */
class ModalWayTest {
  private static final ModalModel X =
      ModalModel.of(Mode.of(820, 0.02, 6e6), Mode.of(1730, 0.016, 9e6));
  private static final ModalModel Y = ModalModel.of(Mode.of(905, 0.024, 7e6));
  private static final List<Double> SPEEDS = List.of(9000.0, 12_000.0, 15_500.0, 20_000.0);

  @Test
  void agreeWhereTheFitIsGood() {
    CuttingProcess measured = cut(List.of(response(X, 1)), List.of(response(Y, 2)));
    assertThat(ModalWay.measured(measured)).isTrue();
    StabilityMap map = depth(measured);
    assertThat(map.method()).isEqualTo("multi-frequency");
    assertThat(ModalWay.compare(measured, map, Progress.NONE))
        .singleElement()
        .asString()
        .contains("agree within")
        .contains("4 speeds");
  }

  @Test
  void theSearchOfAPlanUsesTheModes() {
    CuttingProcess measured = cut(List.of(response(X, 3)), List.of(response(Y, 4)));
    StabilityJudge judge = ModalWay.judge(measured, Progress.NONE);
    StabilityMap search = judge.firstLimits(measured, SPEEDS, 0.01, Progress.NONE);
    StabilityMap known = depth(cut(List.of(X), List.of(Y)));
    assertThat(search.method()).isEqualTo("periodic");
    for (int i = 0; i < SPEEDS.size(); i++) {
      double limit = known.lines().get(i).limitM();
      assertThat(search.lines().get(i).limitM()).isCloseTo(limit, within(0.03 * limit));
    }
    assertThat(judge.limits(measured, SPEEDS, 0.01, Progress.NONE).method())
        .isEqualTo("multi-frequency");
  }

  @Test
  void nothingToCompareWithoutMeasuredResponses() {
    CuttingProcess modal = cut(List.of(X), List.of(Y));
    assertThat(ModalWay.measured(modal)).isFalse();
    assertThat(ModalWay.judge(modal, Progress.NONE).firstLimits(modal, SPEEDS, 0.01, Progress.NONE))
        .extracting(StabilityMap::method)
        .isEqualTo("periodic");
  }

  private static StabilityMap depth(CuttingProcess process) {
    return Lobes.compute(process, LobesRequest.depth(SPEEDS).upTo(0.01), Progress.NONE);
  }

  private static CuttingProcess cut(List<Receptance> x, List<Receptance> y) {
    double diameter = 0.008;
    Tool tool =
        new Tool(
            diameter,
            Collections.nCopies(3, 0.0),
            Collections.nCopies(3, 2 * Math.PI / 3),
            Double.NaN,
            Double.NaN,
            0,
            Double.NaN);
    return new CuttingProcess(
        CuttingProcess.Operation.MILLING,
        Optional.of(tool),
        Engagement.of(Direction.DOWN, 0.3 * diameter, 1e-3, diameter),
        new CuttingCoefficients(8e8, 2.4e8, 0, 0, Double.NaN),
        x,
        y,
        12_000,
        5e-5,
        0);
  }

  /** 200 to 3,200 Hz in steps of 2 Hz, with half a percent of noise. */
  private static FrequencyResponse response(ModalModel model, long seed) {
    Random random = new Random(seed);
    int n = 1501;
    double[] hz = new double[n];
    double[] re = new double[n];
    double[] im = new double[n];
    double[] error = new double[n];
    double[] value = new double[2];
    for (int i = 0; i < n; i++) {
      hz[i] = 200 + 2 * i;
      model.at(hz[i], value);
      double noise = 0.005 * Math.hypot(value[0], value[1]);
      re[i] = value[0] + noise * random.nextGaussian();
      im[i] = value[1] + noise * random.nextGaussian();
      error[i] = 0.005;
    }
    return new FrequencyResponse(hz, re, im, null, error, origin());
  }

  private static FrequencyResponse.Origin origin() {
    return new FrequencyResponse.Origin(
        "x", "tool tip", 8, Double.POSITIVE_INFINITY, 200, 3200, "made from modes", List.of());
  }
}
