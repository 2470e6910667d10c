package ringtrue.stability;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;

class TurningLobesTest {
  private static final Mode MODE = Mode.of(500, 0.02, 8e6);
  private static final double KS = 750e6;

  private static CuttingProcess oneMode() {
    return Cuts.turning(1, KS, 0, MODE);
  }

  /** Speed of the lowest point of lobe j for one mode, from Tlusty & Poláček's closed form. */
  private static double lowestPointRpm(Mode mode, int j) {
    double zeta = mode.dampingRatio();
    double r = Math.sqrt(1 + 2 * zeta);
    double phase = Math.atan2(-2 * zeta * r, 1 - r * r); // of G at the frequency of least Re G
    double epsilon = 3 * Math.PI + 2 * phase;
    return 60 * mode.frequencyHz() * r / (j + epsilon / (2 * Math.PI));
  }

  /** 2 k ζ (1 + ζ)/Ks at fn √(1 + 2ζ) (Tlusty & Poláček 1963). */
  @ParameterizedTest
  @CsvSource({
    "500, 0.02, 8e6, 750e6, 0, 40623.2",
    "500, 0.02, 8e6, 750e6, 1, 17451.2",
    "500, 0.02, 8e6, 750e6, 2, 11112.5",
    "500, 0.02, 8e6, 750e6, 3, 8151.6",
    "250, 0.03, 2e7, 2000e6, 0, 20464.8",
    "250, 0.03, 2e7, 2000e6, 3, 4113.2",
    "250, 0.03, 2e7, 2000e6, 40, NaN"
  })
  void lowestPointsOfOneMode(
      double fn, double zeta, double k, double ks, int lobe, double published) {
    Mode mode = Mode.of(fn, zeta, k);
    double rpm = lowestPointRpm(mode, lobe);
    if (!Double.isNaN(published)) {
      assertThat(rpm).isCloseTo(published, within(0.1));
    }
    double limit = 2 * k * zeta * (1 + zeta) / ks;
    CuttingProcess process = Cuts.turning(1, ks, 0, mode);
    StabilityMap map = Cuts.depth(process, 0.05, rpm);
    StabilityMap.Line line = map.lines().get(0);
    assertThat(map.method()).isEqualTo("single delay");
    assertThat(map.growthPeriod()).isEqualTo("spindle turn");
    assertThat(line.limitM()).isCloseTo(limit, within(1e-10 * limit));
    assertThat(line.chatterHz()).isCloseTo(fn * Math.sqrt(1 + 2 * zeta), within(1e-5));
    assertThat(line.lobe()).isEqualTo(lobe);
    assertThat(line.loss()).isEqualTo(StabilityMap.Loss.HOPF);
    assertThat(Lobes.certainDepthM(process, 0.05)).isCloseTo(limit, within(1e-9 * limit));
  }

  /**
   * Points on the lobes of one mode (f/fn, b in mm, speed of lobe 1), by hand from the formulas.
   */
  @ParameterizedTest
  @CsvSource({
    "1.01, 0.54028, 16351.4",
    "1.02, 0.43522, 17470.1",
    "1.05, 0.63845, 19399.1",
    "1.10, 1.16917, 21076.3"
  })
  void pointsOnTheSecondLobe(double ratio, double limitMm, double rpm) {
    // Where another lobe lies lower, the point is still the end of some stretch of the crossing
    // set.
    LobeCurves curves = ZeroOrderLobes.curves(oneMode(), new double[] {500 * ratio}, 2);
    assertThat(curves.depthM(0, 0)).isCloseTo(1e-3 * limitMm, within(0.6e-8));
    assertThat(curves.speedRpm(0, 1, 0)).isCloseTo(rpm, within(0.06));
    if (ratio > 1.019) {
      StabilityMap.Line line = Cuts.depth(oneMode(), 0.05, curves.speedRpm(0, 1, 0)).lines().get(0);
      assertThat(line.limitM()).isCloseTo(curves.depthM(0, 0), within(1e-12));
    }
  }

  /** The force that counts is cos α (krc cos α + ktc sin α). */
  @Test
  void turnedModeTakesPartOfTheForce() {
    double alpha = Math.toRadians(35);
    double ks = Math.cos(alpha) * (400e6 * Math.cos(alpha) + 1500e6 * Math.sin(alpha));
    double rpm = lowestPointRpm(MODE, 2);
    assertThat(Cuts.limit(Cuts.turning(1500e6, 400e6, alpha, MODE), 0.1, rpm))
        .isCloseTo(2 * 8e6 * 0.02 * 1.02 / ks, within(1e-12));
  }

  /** A force that pushes the tool out of the thicker chip's way backwards chatters below fn. */
  @Test
  void negativeForceChattersBelowTheNaturalFrequency() {
    double alpha = Math.toRadians(-60);
    CuttingProcess process = Cuts.turning(1500e6, 400e6, alpha, MODE);
    double ks = Math.cos(alpha) * (400e6 * Math.cos(alpha) + 1500e6 * Math.sin(alpha));
    assertThat(ks).isNegative();
    // Largest Re G is 1/(4 k ζ (1 − ζ)) at fn √(1 − 2ζ).
    assertThat(Lobes.certainDepthM(process, 0.1))
        .isCloseTo(2 * 8e6 * 0.02 * 0.98 / -ks, within(1e-11));
    StabilityMap.Line line = Cuts.depth(process, 0.1, 3333.0).lines().get(0);
    assertThat(line.chatterHz()).isLessThan(500);
  }

  /** A finely measured response of the same mode gives the same limits. */
  @Test
  void measuredResponseAgreesWithItsModes() {
    ModalModel model = ModalModel.of(MODE, Mode.of(920, 0.015, 1.5e7));
    int lines = 6000;
    double[] hz = new double[lines];
    double[] re = new double[lines];
    double[] im = new double[lines];
    double[] value = new double[2];
    for (int i = 0; i < lines; i++) {
      hz[i] = 50 + 0.25 * i;
      model.at(hz[i], value);
      re[i] = value[0];
      im[i] = value[1];
    }
    FrequencyResponse measured =
        new FrequencyResponse(hz, re, im, null, null, FrequencyResponse.Origin.unknown(60, 1400));
    Double[] speeds = {1500.0, 4000.0, 9000.0, 15000.0, 17000.0, 27000.0};
    StabilityMap fromModes = Cuts.depth(Cuts.turning(1, KS, 0, model), 0.01, speeds);
    StabilityMap fromLines =
        Lobes.compute(
            Cuts.turning(1, KS, 0, measured),
            new LobesRequest(
                StabilityMap.Over.DEPTH,
                Optional.of(Method.ZERO_ORDER),
                List.of(speeds),
                0.01,
                List.of(new LobesRequest.AtPoint(4000, 1e-4))),
            Progress.NONE);
    for (int i = 0; i < speeds.length; i++) {
      double limit = fromModes.lines().get(i).limitM();
      assertThat(fromLines.lines().get(i).limitM()).isCloseTo(limit, within(2e-3 * limit));
    }
    assertThat(fromLines.remarks()).anyMatch(r -> r.contains("between 60 and 1400 Hz"));
    assertThat(fromLines.remarks()).anyMatch(r -> r.contains("growth is not given"));
    assertThat(fromLines.growthPeriod()).isEmpty();
    assertThat(fromLines.at().get(0).growth()).isNaN();
    assertThat(fromLines.at().get(0).stable()).isTrue();
  }

  /** However slow, the limit is at least the one of all speeds, and close to it. */
  @ParameterizedTest
  @CsvSource({"0.05", "1", "20", "200"})
  void verySlowTurning(double rpm) {
    double certain = 2 * 8e6 * 0.02 * 1.02 / KS;
    StabilityMap map = Cuts.depth(oneMode(), 0.01, rpm);
    double limit = map.lines().get(0).limitM();
    assertThat(limit).isBetween(certain * (1 - 1e-9), certain * (rpm > 100 ? 1.01 : 1.0001));
    assertThat(map.remarks().stream().anyMatch(r -> r.contains("waves between cuts")))
        .isEqualTo(rpm < 2);
  }
}
