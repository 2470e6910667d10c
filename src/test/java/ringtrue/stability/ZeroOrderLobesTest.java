package ringtrue.stability;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Receptance;
import ringtrue.stability.Engagement.Direction;

class ZeroOrderLobesTest {

  /**
   * One mode in x and the same in y; values of a first independent script, three or four digits.
   */
  private static CuttingProcess equalModes(Direction direction, double radialFraction) {
    Mode mode = Mode.of(500, 0.02, 8e6);
    return Cuts.milling(
        Cuts.tool(4, 0.01),
        direction,
        radialFraction,
        1e-3,
        750e6 * Math.sin(Math.toRadians(68)),
        750e6 * Math.cos(Math.toRadians(68)),
        List.of(mode),
        List.of(mode));
  }

  @ParameterizedTest
  @CsvSource({
    "SLOT, 1, 5000, 0.229, 503.6",
    "SLOT, 1, 6000, 0.543, NaN",
    "SLOT, 1, 10000, 0.317, NaN",
    "SLOT, 1, 3750, 1.935, NaN",
    "SLOT, 1, 7500, 3.802, NaN",
    "SLOT, 1, 8000, 1.269, NaN",
    "UP, 0.5, 5000, 0.624, 505.0",
    "UP, 0.5, 6000, 1.641, NaN",
    "UP, 0.5, 10000, 0.796, NaN",
    "DOWN, 0.25, 5000, 1.463, 507.8",
    "DOWN, 0.25, 6000, 4.617, NaN",
    "DOWN, 0.25, 10000, 1.606, NaN"
  })
  void limitsOfEqualModes(
      Direction direction, double fraction, double rpm, double limitMm, double chatterHz) {
    StabilityMap.Line line = Cuts.depth(equalModes(direction, fraction), 0.02, rpm).lines().get(0);
    assertThat(line.limitM()).isCloseTo(1e-3 * limitMm, within(0.6e-6));
    if (!Double.isNaN(chatterHz)) {
      assertThat(line.chatterHz()).isCloseTo(chatterHz, within(0.06));
    }
  }

  /**
   * The tool of Altintas & Budak 1995 (inputs from memory: three flutes, Kt 600 MPa, Kr 0.07);
   * limits by an independent script.
   */
  @ParameterizedTest
  @CsvSource({
    "SLOT, 1, 4000, 0.959, 666.1",
    "SLOT, 1, 6000, 1.298, 677.0",
    "SLOT, 1, 8000, 0.777, 625.4",
    "SLOT, 1, 10000, 0.956, 665.9",
    "SLOT, 1, 12000, 2.689, 699.1",
    "SLOT, 1, 14000, 1.889, 585.1",
    "UP, 0.5, 8000, 1.095, NaN",
    "UP, 0.5, 12000, 4.034, NaN",
    "DOWN, 0.5, 8000, 3.661, NaN",
    "DOWN, 0.5, 12000, 9.05, NaN"
  })
  void limitsOfAltintasBudakTool(
      Direction direction, double fraction, double rpm, double limitMm, double chatterHz) {
    List<Receptance> x = List.of(Mode.of(603, 0.039, 5.59e6));
    List<Receptance> y = List.of(Mode.of(666, 0.035, 5.715e6));
    CuttingProcess process =
        Cuts.milling(Cuts.tool(3, 0.05), direction, fraction, 1e-3, 600e6, 42e6, x, y);
    StabilityMap.Line line = Cuts.depth(process, 0.05, rpm).lines().get(0);
    assertThat(line.limitM()).isCloseTo(1e-3 * limitMm, within(limitMm > 9 ? 6e-6 : 0.6e-6));
    if (!Double.isNaN(chatterHz)) {
      assertThat(line.chatterHz()).isCloseTo(chatterHz, within(0.06));
    }
  }

  /**
   * Averaged one-direction model with uneven pitch: y rigid and a cut whose averaged factor in x
   * stands for one direction of 750 MPa. Limits by an independent script, three digits.
   */
  @ParameterizedTest
  @CsvSource({
    "3000, 0.159, 0.927, 0.859, 0.212",
    "4000, 0.167, 0.302, 2.817, 0.221",
    "5000, 0.197, 1.122, 0.378, 0.218",
    "6000, 0.673, 0.458, 0.974, 0.718",
    "8000, 0.296, 1.583, 0.593, 0.321"
  })
  void unevenPitchInOneDirection(
      double rpm, double even, double alternate20, double alternate10, double linear) {
    double[] expected = {even, alternate20, alternate10, linear};
    double[][] pitches = {
      {90, 90, 90, 90}, {70, 110, 70, 110}, {80, 100, 80, 100}, {84, 88, 92, 96}
    };
    for (int i = 0; i < 4; i++) {
      // With Kr = 1 and a slot axx = −π/2·2/2 …: scaled so that Kt |axx|/(4π) is 750 MPa.
      double axx = -DirectionalFactors.averaged(0, Math.PI, 1).axx();
      double ktc = 750e6 * 4 * Math.PI / axx;
      CuttingProcess process =
          Cuts.milling(
              Cuts.pitched(0.01, pitches[i]),
              Direction.SLOT,
              1,
              1e-3,
              ktc,
              ktc,
              List.of(Mode.of(500, 0.02, 8e6)),
              List.of());
      assertThat(Cuts.limit(process, 0.01, rpm))
          .as("pitch %s", pitches[i])
          .isCloseTo(1e-3 * expected[i], within(0.6e-6));
    }
  }
}
