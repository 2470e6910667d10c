package ringtrue.fitting;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Residual;
import ringtrue.fitting.ModalParameters.Term;
import ringtrue.fitting.ModalRefinement.Fit;

/** Grouped lines against all lines: the same sums, the same fit. */
class LineGroupsTest {
  private final SyntheticTaps taps =
      new SyntheticTaps(
          Mode.of(310, 0.02, 5e6), Mode.of(620, 0.015, 9e6), Mode.of(1500, 0.004, 12e6));
  private FitLines lines;
  private double[] weight;

  @BeforeEach
  void measure() {
    taps.residual = new Residual(1e-8, 0.05);
    taps.windowTimeConstantS = 0.3;
    lines = FitLines.of(taps.measure(1), FitSettings.AUTOMATIC);
    weight = new double[lines.size()];
    Arrays.fill(weight, 1);
    for (int i = 7; i < weight.length; i += 131) {
      weight[i] = i % 2 == 0 ? 0 : 0.4;
    }
  }

  private ModalParameters near(double off) {
    List<Term> terms = new ArrayList<>();
    for (Mode m : taps.modes) {
      double omega = 2 * Math.PI * m.frequencyHz() * (1 + 0.1 * off * m.dampingRatio());
      terms.add(new Term(omega, m.dampingRatio() * (1 + 0.1 * off), 1 / m.stiffnessNPerM(), 0));
    }
    return new ModalParameters(terms, 1e-8, 0.05);
  }

  private ModalRefinement onAll() {
    return new ModalRefinement(lines, weight, false, true, true);
  }

  private ModalRefinement grouped(ModalParameters model) {
    FitLines few = LineGroups.of(lines, weight, model);
    assertThat(few.size()).isLessThan(lines.size() / 6);
    return new ModalRefinement(few, null, false, true, true);
  }

  @Test
  void chiSquareIsThatOfAllLines() {
    for (double off : new double[] {0, 1, 3}) {
      double all = onAll().chiSquare(near(off));
      assertThat(grouped(near(off)).chiSquare(near(off))).isCloseTo(all, within(1e-9 * all));
      assertThat(grouped(near(1)).chiSquare(near(off))).isCloseTo(all, within(1e-3 * all));
    }
  }

  /** From a tenth of a bandwidth away, to within a hundredth of a sigma. */
  @Test
  void fitIsThatOfAllLines() {
    Fit all = onAll().from(near(1), 40, 1e-12);
    Fit few = grouped(near(1)).from(near(1), 40, 1e-12);
    double[][] covariance = onAll().covariance(all.parameters());
    for (int j = 0; j < taps.modes.size(); j++) {
      Term a = all.parameters().terms().get(j);
      Term b = few.parameters().terms().get(j);
      assertThat(Math.log(b.omega() / a.omega()))
          .isCloseTo(0, within(0.01 * Math.sqrt(covariance[3 * j][3 * j])));
      assertThat(Math.log(b.zeta() / a.zeta()))
          .isCloseTo(0, within(0.01 * Math.sqrt(covariance[3 * j + 1][3 * j + 1])));
      assertThat(b.compliance())
          .isCloseTo(a.compliance(), within(0.01 * Math.sqrt(covariance[3 * j + 2][3 * j + 2])));
    }
  }

  /** A turned response moves a single mode's frequency by ζ times the angle, and nothing else. */
  @Test
  void aTurnMovesASingleModeByDampingTimesAngle() {
    Term term = new Term(1000, 0.01, 1e-6, 0);
    ModalParameters model = new ModalParameters(List.of(term), 0, 0);
    int n = 4000;
    double[] omega = new double[n];
    double[] none = new double[n];
    double[] sigma = new double[n];
    Arrays.setAll(omega, i -> 800 + 0.1 * i);
    Arrays.fill(sigma, 1e-9);
    FitLines some = new FitLines(omega, none, none, sigma, 0, 0.1);
    double[] change = new ModalRefinement(some, null, false, false, false).perRadian(model);
    assertThat(Math.abs(change[0])).isCloseTo(0.01, within(3e-4));
    assertThat(change[1]).isCloseTo(0, within(0.05));
    assertThat(change[2] / 1e-6).isCloseTo(0, within(0.05));
  }
}
