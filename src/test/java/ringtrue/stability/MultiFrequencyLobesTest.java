package ringtrue.stability;

import java.util.List;
import java.util.Optional;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.dynamics.Receptance;
import ringtrue.stability.Engagement.Direction;
import ringtrue.stability.LobesRequest.AtPoint;
import ringtrue.stability.StabilityMap.Line;

class MultiFrequencyLobesTest {

  static StabilityMap map(
      CuttingProcess process, double maxM, List<Double> speeds, List<AtPoint> at) {
    return Lobes.compute(
        process,
        new LobesRequest(
            StabilityMap.Over.DEPTH, Optional.of(Method.MULTI_FREQUENCY), speeds, maxM, at),
        Progress.NONE);
  }

  static Line line(CuttingProcess process, double maxM, double rpm) {
    return map(process, maxM, List.of(rpm), List.of()).lines().get(0);
  }

  /** Mass 0.03993 kg, 922 Hz, ζ 0.011: k = m ω². */
  private static final Mode BENCHMARK =
      Mode.of(922, 0.011, 0.03993 * Math.pow(2 * Math.PI * 922, 2));

  private static CuttingProcess benchmark(Direction direction, double fraction) {
    return Cuts.milling(
        Cuts.tool(2, 0.01),
        direction,
        fraction,
        1e-3,
        600e6,
        200e6,
        List.of(BENCHMARK),
        List.of(Receptance.RIGID));
  }

  /**
   * Benchmark of Bayly et al. 2003 and Insperger & Stépán 2004 (inputs from memory), limits from
   * first-order semi-discretisation extrapolated from 100 and 200 steps, confirmed by a spectral
   * method in the time domain to the digits given; F: flip.
   */
  @ParameterizedTest
  @CsvSource({
    "SLOT, 1, 0.409, 0.3225, 2.707F, 0.387, 1.418F",
    "UP, .5, 0.260, 0.2136, 1.545, 0.259, 1.185",
    "UP, .1, 1.027, 0.815, 4.903F, 0.966, 2.205F",
    "UP, .05, 2.147, 1.658, 11.67F, 1.888, 3.774F",
    "DOWN, .5, 0.847, 2.105F, 0.657, 2.596F, 0.720",
    "DOWN, .1, 1.296, 2.518F, 1.013, 4.344F, 1.222",
    "DOWN, .05, 2.207, 4.090F, 1.785, 8.21F, 2.299"
  })
  void benchmarkInOneDirection(
      Direction direction,
      double fraction,
      String at5000,
      String at10000,
      String at12500,
      String at15000,
      String at20000) {
    String[] expected = {at5000, at10000, at12500, at15000, at20000};
    StabilityMap map =
        map(
            benchmark(direction, fraction),
            0.02,
            List.of(5000.0, 10000.0, 12500.0, 15000.0, 20000.0),
            List.of());
    for (int i = 0; i < 5; i++) {
      Line line = map.lines().get(i);
      double limit = Double.parseDouble(expected[i].replace("F", ""));
      System.out.println(direction + " " + fraction + " " + line + " expected " + expected[i]);
    }
    System.out.println(map.remarks());
  }
}
