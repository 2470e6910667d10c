package ringtrue.fitting;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.apache.commons.math3.complex.Complex;
import org.junit.jupiter.api.Test;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.units.BadInputException;

class GlobalFitterTest {

  /** Responses of one structure from their closed form, with white noise. */
  private static final class Structure {
    final double[] fn;
    final double[] zeta;
    double noise = 2e-10;
    double lowHz = 100;
    double stepHz = 0.5;
    int lines = 1600;

    Structure(double[] fn, double[] zeta) {
      this.fn = fn;
      this.zeta = zeta;
    }

    FrequencyResponse response(
        String axis, String point, double[] compliance, double tau, double factor, long seed) {
      Random random = new Random(seed);
      double[] hz = new double[lines];
      double[] re = new double[lines];
      double[] im = new double[lines];
      for (int i = 0; i < lines; i++) {
        hz[i] = lowHz + stepHz * i;
        Complex s = new Complex(1 / tau, 2 * Math.PI * hz[i]);
        Complex sum = new Complex(2e-9);
        for (int j = 0; j < fn.length; j++) {
          double w = 2 * Math.PI * fn[j] * factor;
          Complex below = s.multiply(s).add(s.multiply(2 * zeta[j] * w)).add(w * w);
          sum = sum.add(below.reciprocal().multiply(compliance[j] * w * w));
        }
        re[i] = sum.getReal() + noise * random.nextGaussian();
        im[i] = sum.getImaginary() + noise * random.nextGaussian();
      }
      return new FrequencyResponse(
          hz,
          re,
          im,
          null,
          null,
          new FrequencyResponse.Origin(
              axis, point, 1, tau, hz[0], hz[lines - 1], "closed form", List.of()));
    }
  }

  private static GlobalModes fit(FrequencyResponse... responses) {
    return GlobalFitter.fit(List.of(responses), FitSettings.AUTOMATIC, Progress.NONE);
  }

  private static final double NONE = Double.POSITIVE_INFINITY;

  /**
   * x, y and cross of one structure: compliances φx², φy², φx φy over k, the second one opposite.
   */
  @Test
  void fitsDirectionsAndACrossResponseTogether() {
    Structure s = new Structure(new double[] {300, 520}, new double[] {0.02, 0.015});
    double[] px = {1, 0.6};
    double[] py = {0.5, -0.9};
    double k = 5e6;
    double[][] c = new double[3][2];
    for (int j = 0; j < 2; j++) {
      c[0][j] = px[j] * px[j] / k;
      c[1][j] = py[j] * py[j] / k;
      c[2][j] = px[j] * py[j] / k;
    }
    GlobalModes modes =
        fit(
            s.response("x", "tip", c[0], NONE, 1, 1),
            s.response("y", "tip", c[1], NONE, 1, 2),
            s.response("xy", "tip", c[2], NONE, 1, 3));
    assertThat(modes.isShared()).isTrue();
    assertThat(modes.convergence().converged()).isTrue();
    assertThat(modes.convergence().reducedChiSquare()).isCloseTo(1, within(0.1));
    assertThat(modes.modes()).hasSize(2);
    for (int j = 0; j < 2; j++) {
      GlobalModes.SharedMode m = modes.modes().get(j);
      assertThat(m.frequencyHz()).isCloseTo(s.fn[j], within(5 * m.frequencyHzSigma()));
      assertThat(m.dampingRatio()).isCloseTo(s.zeta[j], within(5 * m.dampingRatioSigma()));
      assertThat(m.frequencyHzSigma()).isLessThan(0.02);
      for (int r = 0; r < 3; r++) {
        GlobalModes.Share share = modes.responses().get(r).shares().get(j).orElseThrow();
        assertThat(share.complianceMPerN())
            .isCloseTo(c[r][j], within(5 * share.complianceMPerNSigma()));
      }
    }
    GlobalModes.OneResponse cross = modes.responses().get(2);
    assertThat(cross.isDrivingPoint()).isFalse();
    assertThat(cross.fitted().model().modes()).hasSize(1);
    assertThat(cross.opposite())
        .singleElement()
        .satisfies(o -> assertThat(o.mode().frequencyHz()).isCloseTo(520, within(0.1)));
    double[] value = new double[2];
    cross.receptance().at(520, value);
    // at its fn a mode of ζ contributes −i/(2ζk); the other one nearly c/(1 − r²)
    assertThat(value[1] / (-c[2][1] / (2 * 0.015))).isCloseTo(1, within(0.01));
    assertThat(modes.remarks()).isEmpty();
  }

  /** Windows shift each response's poles by its own 1/τ; lines and bands differ as well. */
  @Test
  void allowsForEachResponsesOwnWindowAndLines() {
    Structure s = new Structure(new double[] {250, 430, 610}, new double[] {0.01, 0.02, 0.008});
    s.noise = 1e-11;
    FrequencyResponse first = s.response("x", "tip", new double[] {2e-7, 1e-7, 1e-7}, NONE, 1, 1);
    s.stepHz = 1;
    s.lines = 700;
    FrequencyResponse second =
        s.response("x", "holder", new double[] {1e-7, 5e-8, 2e-7}, 0.1, 1, 2);
    GlobalModes modes = fit(first, second);
    assertThat(modes.isShared()).isTrue();
    assertThat(modes.modes()).hasSize(3);
    for (int j = 0; j < 3; j++) {
      assertThat(modes.modes().get(j).frequencyHz() / s.fn[j]).isCloseTo(1, within(1e-5));
      assertThat(modes.modes().get(j).dampingRatio() / s.zeta[j]).isCloseTo(1, within(1e-3));
    }
  }

  /**
   * A mode that four responses see equally badly: its frequency and damping ratio come out with
   * half the error of a single response's, as for four times the data, and the errors are honest.
   */
  @Test
  void knowsAWeakModeBetterThanEachResponseAlone() {
    double[] fn = {300, 520};
    double[] zeta = {0.02, 0.02};
    double[] squares = new double[4];
    int runs = 40;
    int within = 0;
    for (int seed = 0; seed < runs; seed++) {
      Structure s = new Structure(fn, zeta);
      s.lines = 600;
      s.stepHz = 1;
      s.noise = 2e-9;
      List<FrequencyResponse> all = new ArrayList<>();
      for (int r = 0; r < 4; r++) {
        double[] c = {2e-7 * (1 + r), 8e-10};
        all.add(s.response("x", "point " + r, c, NONE, 1, 100L * seed + r));
      }
      GlobalModes together = GlobalFitter.fit(all, FitSettings.AUTOMATIC, Progress.NONE);
      assertThat(together.modes()).as("seed " + seed).hasSize(2);
      GlobalModes.SharedMode weak = together.modes().get(1);
      squares[0] += Math.pow(weak.frequencyHz() - 520, 2) / runs;
      squares[1] += Math.pow(weak.dampingRatio() / 0.02 - 1, 2) / runs;
      within += Math.abs(weak.frequencyHz() - 520) < 2 * weak.frequencyHzSigma() ? 1 : 0;
      within += Math.abs(weak.dampingRatio() - 0.02) < 2 * weak.dampingRatioSigma() ? 1 : 0;
      for (FrequencyResponse one : all.subList(0, 2)) {
        Mode alone =
            ModeFitter.fit(
                    one, FitSettings.AUTOMATIC.withPicks(List.of(300.0, 520.0)), Progress.NONE)
                .model()
                .modes()
                .get(1);
        squares[2] += Math.pow(alone.frequencyHz() - 520, 2) / (2 * runs);
        squares[3] += Math.pow(alone.dampingRatio() / 0.02 - 1, 2) / (2 * runs);
      }
    }
    assertThat(Math.sqrt(squares[0] / squares[2])).isBetween(0.3, 0.75);
    assertThat(Math.sqrt(squares[1] / squares[3])).isBetween(0.3, 0.75);
    assertThat(within / (2.0 * runs)).isBetween(0.85, 1.0);
  }

  /** Too weak for each response by itself, but four of them together speak for it. */
  @Test
  void findsWhatNoResponseShowsByItself() {
    int alone = 0;
    int together = 0;
    for (int seed = 0; seed < 5; seed++) {
      Structure s = new Structure(new double[] {300, 520}, new double[] {0.02, 0.02});
      s.noise = 2e-9;
      s.stepHz = 1;
      s.lines = 600;
      List<FrequencyResponse> all = new ArrayList<>();
      for (int r = 0; r < 5; r++) {
        double[] c = {2e-8, 8e-11};
        all.add(s.response("x", "point " + r, c, NONE, 1, 100L * seed + r));
      }
      for (FrequencyResponse one : all) {
        alone +=
            ModeFitter.fit(one, FitSettings.AUTOMATIC, Progress.NONE).model().modes().size() - 1;
      }
      together += GlobalFitter.fit(all, FitSettings.AUTOMATIC, Progress.NONE).modes().size() - 1;
    }
    assertThat(together / 5.0).isGreaterThan(alone / 25.0 + 0.3);
  }

  @Test
  void saysWhichResponseDoesNotSeeAMode() {
    Structure s = new Structure(new double[] {300, 520}, new double[] {0.02, 0.015});
    GlobalModes modes =
        fit(
            s.response("x", "tip", new double[] {2e-7, 1e-7}, NONE, 1, 1),
            s.response("y", "tip", new double[] {2e-7, 0}, NONE, 1, 2));
    assertThat(modes.modes()).hasSize(2);
    assertThat(modes.responses().get(1).fitted().model().modes()).hasSize(1);
    assertThat(modes.responses().get(1).shares().get(1)).isEmpty();
    assertThat(modes.remarks())
        .singleElement()
        .asString()
        .matches(
            "The mode at 5(20|19\\.\\d+|20\\.\\d+) Hz does not show in response 2 \\(y, tip\\)\\.");
  }

  /**
   * The second response was measured with all frequencies 0.3 % lower, as with a heavier sensor.
   */
  @Test
  void refusesToShareWhereTheResponsesDisagree() {
    Structure s = new Structure(new double[] {300, 520}, new double[] {0.02, 0.015});
    GlobalModes modes =
        fit(
            s.response("x", "tip", new double[] {2e-7, 1e-7}, NONE, 1, 1),
            s.response("x", "holder", new double[] {1e-7, 1e-7}, NONE, 0.997, 2));
    assertThat(modes.isShared()).isFalse();
    assertThat(modes.modes()).isEmpty();
    assertThat(modes.remarks())
        .hasSize(2)
        .allMatch(r -> r.startsWith("The responses do not agree on the mode near"));
    for (int r = 0; r < 2; r++) {
      List<Mode> own = modes.responses().get(r).fitted().model().modes();
      assertThat(own).hasSize(2);
      for (int j = 0; j < 2; j++) {
        assertThat(own.get(j).frequencyHz())
            .isCloseTo(s.fn[j] * (r == 0 ? 1 : 0.997), within(0.05));
      }
    }
  }

  @Test
  void inventsNoModesInNoise() {
    Structure s = new Structure(new double[] {300}, new double[] {0.02});
    s.noise = 1e-6;
    for (int seed = 0; seed < 3; seed++) {
      GlobalModes modes =
          fit(
              s.response("x", "tip", new double[] {1e-10}, NONE, 1, 3L * seed),
              s.response("y", "tip", new double[] {1e-10}, 0.2, 1, 3L * seed + 1),
              s.response("xy", "tip", new double[] {1e-10}, NONE, 1, 3L * seed + 2));
      assertThat(modes.modes()).isEmpty();
    }
  }

  @Test
  void heedsPicksAndCount() {
    Structure s = new Structure(new double[] {300, 520}, new double[] {0.02, 0.015});
    List<FrequencyResponse> both =
        List.of(
            s.response("x", "tip", new double[] {2e-7, 1e-7}, NONE, 1, 1),
            s.response("y", "tip", new double[] {2e-7, 1e-7}, NONE, 1, 2));
    assertThat(
            GlobalFitter.fit(
                    both, FitSettings.AUTOMATIC.withPicks(List.of(295.0, 525.0)), Progress.NONE)
                .modes())
        .hasSize(2);
    assertThat(GlobalFitter.fit(both, FitSettings.AUTOMATIC.withCount(1), Progress.NONE).modes())
        .hasSize(1);
    assertThatThrownBy(
            () ->
                GlobalFitter.fit(
                    both, FitSettings.AUTOMATIC.withPicks(List.of(2000.0)), Progress.NONE))
        .isInstanceOf(BadInputException.class)
        .hasMessageContaining("outside the bands");
  }

  @Test
  void refusesASingleResponseAndAReversedOne() {
    Structure s = new Structure(new double[] {300, 520}, new double[] {0.02, 0.015});
    FrequencyResponse good = s.response("x", "tip", new double[] {2e-7, 1e-7}, NONE, 1, 1);
    FrequencyResponse bad = s.response("y", "tip", new double[] {-2e-7, -1e-7}, NONE, 1, 1);
    assertThatThrownBy(() -> fit(good))
        .isInstanceOf(BadInputException.class)
        .hasMessageContaining("two responses or more");
    assertThatThrownBy(() -> fit(good, bad))
        .isInstanceOf(BadInputException.class)
        .hasMessageContaining("response 2 (y, tip)")
        .hasMessageContaining("polarity");
  }
}
