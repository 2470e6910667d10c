package ringtrue.stability;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.stream.IntStream;
import org.apache.commons.math3.stat.descriptive.DescriptiveStatistics;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.dynamics.Receptance;
import ringtrue.stability.Engagement.Direction;
import ringtrue.stability.StabilityMap.Line;
import ringtrue.stability.StabilityMap.Loss;
import ringtrue.stability.StabilityMap.Over;

/** The error band of limits from measured responses against limits from noisy copies. */
class LimitErrorBandTest {
  private static final double ERROR = 0.02;
  private static final int COPIES = 200;
  private static final int COPIES_OF_MANY_HARMONICS = 100;
  private static final Receptance X =
      ModalModel.of(Mode.of(880, 0.022, 6.5e6), Mode.of(1730, 0.03, 9e6));
  private static final Receptance Y =
      ModalModel.of(Mode.of(925, 0.025, 7.4e6), Mode.of(1810, 0.03, 9e6));
  private static final Receptance WORK = Mode.of(1010, 0.03, 2e7);

  private static FrequencyResponse exact(Receptance from) {
    return MultiFrequencyLobesTest.sampled(from, 40, 4000, 8, ERROR);
  }

  /** Real and imaginary parts of the relative error are independent, both of the size given. */
  private static FrequencyResponse noisy(FrequencyResponse from, Random random) {
    int n = from.lines();
    double[] re = new double[n];
    double[] im = new double[n];
    double[] error = new double[n];
    for (int i = 0; i < n; i++) {
      double a = 1 + ERROR * random.nextGaussian();
      double b = ERROR * random.nextGaussian();
      re[i] = a * from.real(i) - b * from.imag(i);
      im[i] = a * from.imag(i) + b * from.real(i);
      error[i] = ERROR;
    }
    return new FrequencyResponse(from.frequencies(), re, im, null, error, from.origin());
  }

  private static Line line(CuttingProcess process, Method method, double rpm) {
    return Lobes.compute(
            process,
            new LobesRequest(Over.DEPTH, Optional.of(method), List.of(rpm), 0.03, List.of()),
            Progress.NONE)
        .lines()
        .get(0);
  }

  /** Sigma of 1/b from its 95 % band, which is symmetric in 1/b. */
  private static double sigma(Line line) {
    return (1 / line.limitLowM() - 1 / line.limitHighM()) / (2 * 1.959964);
  }

  private static void agreesWithCopies(CuttingProcess process, Method method, double rpm) {
    Line line = line(process, method, rpm);
    int copies = method == Method.ZERO_ORDER ? COPIES : COPIES_OF_MANY_HARMONICS;
    double[] limits =
        IntStream.range(0, copies)
            .parallel()
            .mapToDouble(i -> line(copy(process, new Random(20240611 + i)), method, rpm).limitM())
            .toArray();
    DescriptiveStatistics inverse = new DescriptiveStatistics();
    int inside = 0;
    for (double limit : limits) {
      inverse.addValue(1 / limit);
      inside += limit >= line.limitLowM() && limit <= line.limitHighM() ? 1 : 0;
    }
    assertThat(sigma(line) / inverse.getStandardDeviation())
        .as("predicted over seen scatter, %s at %s rpm, %s", method, rpm, line)
        .isBetween(0.82, 1.2);
    assertThat((double) inside / copies).isBetween(0.89, 0.995);
    assertThat(line.limitLowM()).isLessThan(line.limitM());
    assertThat(line.limitHighM()).isGreaterThan(line.limitM());
  }

  private static CuttingProcess copy(CuttingProcess process, Random random) {
    return process.withDynamics(
        process.x().stream().map(r -> noise(r, random)).toList(),
        process.y().stream().map(r -> noise(r, random)).toList(),
        List.of());
  }

  private static Receptance noise(Receptance one, Random random) {
    return one instanceof FrequencyResponse response ? noisy(response, random) : one;
  }

  private static CuttingProcess milling(Direction direction, double fraction, Tool tool) {
    return Cuts.milling(
        tool,
        direction,
        fraction,
        1e-3,
        900e6,
        300e6,
        List.of(exact(X)),
        List.of(exact(Y), exact(WORK)));
  }

  @ParameterizedTest
  @CsvSource({
    "ZERO_ORDER, 8000",
    "ZERO_ORDER, 14000",
    "MULTI_FREQUENCY, 8000",
    "MULTI_FREQUENCY, 22000"
  })
  void bandIsTheScatterOfNoisyCopies(Method method, double rpm) {
    agreesWithCopies(milling(Direction.DOWN, 0.3, Cuts.tool(3, 0.01)), method, rpm);
  }

  @Test
  void bandOfAFlip() {
    CuttingProcess process = milling(Direction.UP, 0.08, Cuts.tool(2, 0.01));
    double rpm = 22000;
    assertThat(line(process, Method.MULTI_FREQUENCY, rpm).loss()).isEqualTo(Loss.FLIP);
    agreesWithCopies(process, Method.MULTI_FREQUENCY, rpm);
  }

  @Test
  void bandWithUnevenPitch() {
    agreesWithCopies(
        milling(Direction.DOWN, 0.3, Cuts.pitched(0.01, 110, 120, 130)), Method.ZERO_ORDER, 9000);
  }

  @Test
  void bandOfTurning() {
    agreesWithCopies(Cuts.turning(1500e6, 500e6, 0.3, exact(X)), Method.ZERO_ORDER, 9000);
  }

  /** One direction measured, the other modal: only the measured one has errors. */
  @Test
  void modesAreTakenAsExact() {
    CuttingProcess both = milling(Direction.DOWN, 0.3, Cuts.tool(3, 0.01));
    CuttingProcess one = both.withDynamics(both.x(), List.of(Y, WORK), List.of());
    assertThat(sigma(line(one, Method.ZERO_ORDER, 8000)))
        .isLessThan(sigma(line(both, Method.ZERO_ORDER, 8000)));
    CuttingProcess none = both.withDynamics(List.of(X), List.of(Y, WORK), List.of());
    assertThat(line(none, Method.ZERO_ORDER, 8000).limitLowM()).isNaN();
  }

  @ParameterizedTest
  @EnumSource(
      value = Method.class,
      names = {"ZERO_ORDER", "MULTI_FREQUENCY"})
  void unknownErrorLeavesNoBand(Method method) {
    CuttingProcess process =
        Cuts.milling(
            Cuts.tool(3, 0.01),
            Direction.DOWN,
            0.3,
            1e-3,
            900e6,
            300e6,
            List.of(exact(X)),
            List.of(MultiFrequencyLobesTest.sampled(Y, 40, 4000, 8, Double.NaN)));
    Line line = line(process, method, 8000);
    assertThat(line.loss()).isNotEqualTo(Loss.NONE);
    assertThat(line.limitLowM()).isNaN();
    assertThat(line.limitHighM()).isNaN();
  }
}
