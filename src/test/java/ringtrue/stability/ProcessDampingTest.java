package ringtrue.stability;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.Optional;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.stability.Engagement.Direction;
import ringtrue.units.BadInputException;

class ProcessDampingTest {
  private static final Mode MODE = Mode.of(250, 0.03, 2e7);
  private static final double KS = 2e9;
  private static final double C = 2.5e5;

  private static CuttingProcess damped(double diameterM) {
    return Cuts.turning(1, KS, 0, MODE).withProcessDamping(C).withTurnedDiameterM(diameterM);
  }

  /**
   * The limit over all phases of the wave for one mode whose damping grows with b: b = 2 k ζ_e (1 +
   * ζ_e)/Ks with ζ_e = ζ + C b/(2 V √(k m)), a quadratic equation (Tyler & Schmitz 2013 iterate
   * it).
   */
  private static double envelope(double speedMPerS) {
    double k = MODE.stiffnessNPerM();
    double zeta = MODE.dampingRatio();
    double p = C / (2 * speedMPerS * Math.sqrt(k * MODE.massKg()));
    double q = 2 * k / KS;
    // q p² b² + (q p (1 + 2ζ) − 1) b + q ζ (1 + ζ) = 0, smaller root
    double a = q * p * p;
    double b = q * p * (1 + 2 * zeta) - 1;
    double c = q * zeta * (1 + zeta);
    return 2 * c / (-b + Math.sqrt(b * b - 4 * a * c));
  }

  /**
   * REFERENCE sheet: k = 2e7, ζ = 0.03, 250 Hz, Ks = 2e9, C = 2.5e5 N/m: six cutting speeds and the
   * limits computed for them outside this project's code. The envelope is reached at the lowest
   * points of the lobes: the diameter, and with it the spindle speed, is swept at each cutting
   * speed.
   */
  @ParameterizedTest
  @CsvSource({"20, 1.794", "50, 0.826", "100, 0.707", "200, 0.659", "500, 0.634"})
  void lowestLimitAtACuttingSpeed(double metresPerMinute, double limitMm) {
    double speed = metresPerMinute / 60;
    double least = Double.POSITIVE_INFINITY;
    for (int i = 0; i <= 60; i++) {
      double waves = 20 + i / 60.0;
      double rpm = 60 * 255 / waves;
      CuttingProcess cut = damped(60 * speed / (Math.PI * rpm));
      assertThat(cut.cuttingSpeedMPerS(rpm)).isCloseTo(speed, within(1e-12));
      least = Math.min(least, Cuts.limit(cut, 0.01, rpm));
    }
    assertThat(1e3 * least).isCloseTo(limitMm, within(0.0006 + 2e-4 * limitMm));
    assertThat(least).isBetween(envelope(speed) * (1 - 1e-9), envelope(speed) * 1.0005);
  }

  @Test
  void farAboveTheLobesItIsAsIfThereWereNone() {
    double with = Cuts.limit(damped(100), 0.05, 8801.5);
    double without = Cuts.limit(Cuts.turning(1, KS, 0, MODE), 0.05, 8801.5);
    assertThat(with).isBetween(without, without * 1.001);
    assertThat(without).isCloseTo(0.618e-3, within(1e-7));
  }

  /** The roots counted off the imaginary axis by another way must agree with the crossings. */
  @ParameterizedTest
  @CsvSource({"200, 0.05", "200, 0.12", "700, 0.03", "1500, 0.03", "4000, 0.02"})
  void growthIsOneAtTheLimit(double rpm, double diameterM) {
    CuttingProcess cut = damped(diameterM);
    double limit = Cuts.limit(cut, 0.02, rpm);
    assertThat(limit).isLessThan(0.02);
    LobesRequest request =
        new LobesRequest(
            StabilityMap.Over.DEPTH,
            Optional.empty(),
            List.of(rpm),
            0.02,
            List.of(
                new LobesRequest.AtPoint(rpm, limit),
                new LobesRequest.AtPoint(rpm, 0.99 * limit),
                new LobesRequest.AtPoint(rpm, 1.01 * limit)));
    List<StabilityMap.Point> at = Lobes.compute(cut, request, Progress.NONE).at();
    assertThat(at.get(0).growth()).isCloseTo(1, within(1e-8));
    assertThat(at.get(1).growth()).isLessThan(1);
    assertThat(at.get(1).stable()).isTrue();
    assertThat(at.get(2).growth()).isGreaterThan(1);
    assertThat(at.get(2).stable()).isFalse();
  }

  /**
   * Two ways to the same answer on random cuts with two modes: crossings of the imaginary axis
   * counted, and the rightmost root by the argument principle. Islands and negative Ks included.
   */
  @Test
  void judgesAsTheRightmostRootDoes() {
    Random random = new Random(17);
    int stable = 0;
    int points = 120;
    for (int i = 0; i < points; i++) {
      double sign = i % 5 == 0 ? -1 : 1;
      CuttingProcess cut =
          Cuts.turning(
                  1,
                  sign * KS,
                  0,
                  Mode.of(150 + 300 * random.nextDouble(), 0.02 + 0.04 * random.nextDouble(), 2e7),
                  Mode.of(500 + 400 * random.nextDouble(), 0.02 + 0.03 * random.nextDouble(), 3e7))
              .withProcessDamping(3 * C * random.nextDouble())
              .withTurnedDiameterM(0.02 + 0.1 * random.nextDouble());
      double rpm = 300 * Math.pow(30, random.nextDouble());
      double certain = Lobes.certainDepthM(cut, 1);
      double depth = certain * (1 + 2 * random.nextDouble());
      LobesRequest request =
          new LobesRequest(
              StabilityMap.Over.DEPTH,
              Optional.empty(),
              List.of(rpm),
              depth,
              List.of(new LobesRequest.AtPoint(rpm, depth)));
      StabilityMap map = Lobes.compute(cut, request, Progress.NONE);
      StabilityMap.Point point = map.at().get(0);
      assertThat(point.stable()).isEqualTo(point.growth() < 1);
      assertThat(map.lines().get(0).limitM()).isGreaterThanOrEqualTo(certain * (1 - 1e-9));
      stable += point.stable() ? 1 : 0;
    }
    assertThat(stable).isBetween(points / 10, points - points / 10);
  }

  /** Of the force normal to the surface cos²α counts along a mode turned away by α. */
  @Test
  void aTurnedModeFeelsTheSquareOfTheCosine() {
    double alpha = Math.toRadians(35);
    double cos = Math.cos(alpha);
    double krc = 1.1e9;
    double ktc = 2e9;
    double along = cos * (krc * cos + ktc * Math.sin(alpha));
    CuttingProcess turned =
        Cuts.turning(ktc, krc, alpha, MODE).withProcessDamping(C).withTurnedDiameterM(0.06);
    CuttingProcess straight =
        Cuts.turning(1, along, 0, MODE).withProcessDamping(C * cos * cos).withTurnedDiameterM(0.06);
    for (double rpm : new double[] {150, 400, 1234}) {
      double limit = Cuts.limit(straight, 0.05, rpm);
      assertThat(Cuts.limit(turned, 0.05, rpm)).isCloseTo(limit, within(1e-10 * limit));
    }
  }

  @Test
  void needsTheDiameterOfTheWork() {
    CuttingProcess cut = Cuts.turning(1, KS, 0, MODE).withProcessDamping(C);
    assertThat(cut.cuttingSpeedMPerS(1000)).isNaN();
    assertThatThrownBy(() -> Cuts.limit(cut, 0.01, 1000))
        .isInstanceOf(BadInputException.class)
        .hasMessageContaining("workDiameter");
    assertThatThrownBy(() -> ZeroOrderLobes.curves(damped(0.05), new double[] {260}, 1))
        .isInstanceOf(BadInputException.class)
        .hasMessageContaining("process damping");
  }

  @Test
  void averagedMillingSaysThatItIsNotInIt() {
    CuttingProcess cut =
        Cuts.milling(
                Cuts.tool(4, 0.01), Direction.DOWN, 0.5, 1e-3, 1e9, 3e8, List.of(MODE), List.of())
            .withProcessDamping(C);
    assertThat(Cuts.depth(cut, 0.01, 5000.0).remarks())
        .anyMatch(r -> r.startsWith("process damping is not in"));
    assertThat(cut.cuttingSpeedMPerS(6000)).isCloseTo(Math.PI, within(1e-12));
  }
}
