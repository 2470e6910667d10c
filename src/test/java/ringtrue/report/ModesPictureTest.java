package ringtrue.report;

import static org.assertj.core.api.Assertions.assertThat;

import java.awt.Color;
import java.awt.image.BufferedImage;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.fitting.Convergence;
import ringtrue.fitting.FittedModes;
import ringtrue.fitting.FittedResponse;
import ringtrue.fitting.LineNoise;
import ringtrue.fitting.SetUpComparer;
import ringtrue.fitting.Stabilisation;

/** Pictures of fits hold what there is to show: pixels against hand-made fits. */
class ModesPictureTest {

  private static int count(BufferedImage image, Color wanted, int fromY, int toY) {
    int found = 0;
    for (int y = fromY; y < toY; y++) {
      for (int x = 0; x < image.getWidth(); x++) {
        Color c = new Color(image.getRGB(x, y));
        int off =
            Math.abs(c.getRed() - wanted.getRed())
                + Math.abs(c.getGreen() - wanted.getGreen())
                + Math.abs(c.getBlue() - wanted.getBlue());
        found += off < 12 ? 1 : 0;
      }
    }
    return found;
  }

  private static BufferedImage fit(FittedResponse f) {
    return Pictures.modes(f.response(), f.fitted(), 1);
  }

  private static boolean isDark(BufferedImage image, int x, int y) {
    Color c = new Color(image.getRGB(x, y));
    return c.getRed() + c.getGreen() + c.getBlue() < 300;
  }

  /** Nothing is written off the right or left edge, whatever the names and numbers. */
  @ParameterizedTest
  @CsvSource({"0, 100, 4000", "1, 600, 1000", "4, 100, 4000", "12, 20, 10000", "3, 500, 520"})
  void marginsStayFreeAtEveryScale(int modes, double low, double high) {
    String name =
        "a set-up with a long name "
            + "and_one_word_that_is_longer_than_the_picture_is_wide_".repeat(4);
    FittedResponse f = HandMadeFits.of(modes, low, high, 0.05, name);
    for (double scale : new double[] {1, 1.5, 2}) {
      List<BufferedImage> pictures = new ArrayList<>();
      pictures.add(Pictures.modes(f.response(), f.fitted(), scale));
      pictures.add(Pictures.modesCheck(f.response(), f.fitted(), scale));
      pictures.add(Pictures.comparison(f, f, SetUpComparer.compare(f, f), scale));
      for (BufferedImage p : pictures) {
        assertThat(p.getWidth()).isEqualTo((int) (1200 * scale));
        for (int y = 0; y < p.getHeight(); y++) {
          for (int edge = 0; edge < 3; edge++) {
            assertThat(isDark(p, edge, y)).as("left edge at %d", y).isFalse();
            assertThat(isDark(p, p.getWidth() - 1 - edge, y)).as("right edge at %d", y).isFalse();
          }
        }
      }
    }
  }

  /** One row of circles for up to four modes, two for more, and none beyond eight. */
  @Test
  void rowsOfCircles() {
    int none = fit(HandMadeFits.of(0, 100, 4000, 1e9, "x")).getHeight();
    int one = fit(HandMadeFits.of(1, 100, 4000, 1e9, "x")).getHeight();
    int four = fit(HandMadeFits.of(4, 100, 4000, 1e9, "x")).getHeight();
    int eight = fit(HandMadeFits.of(8, 100, 4000, 1e9, "x")).getHeight();
    int twelve = fit(HandMadeFits.of(12, 100, 4000, 1e9, "x")).getHeight();
    assertThat(one - none).isBetween(250, 400);
    assertThat(four - one).isBetween(0, 60);
    assertThat(eight - four).isBetween(250, 400);
    assertThat(twelve - eight).isBetween(0, 60);
  }

  /** With equal scales a circle is as wide as it is high: a single light mode's is one. */
  @Test
  void circlesAreRound() {
    FittedResponse f =
        HandMadeFits.of(
            List.of(Mode.of(800, 0.003, 4e6)), 600, 1000, Double.POSITIVE_INFINITY, "x");
    BufferedImage image = fit(f);
    int left = image.getWidth();
    int right = 0;
    int bottom = 0;
    int top = image.getHeight();
    for (int y = 735; y < 1010; y++) {
      for (int x = 300; x < 900; x++) {
        Color c = new Color(image.getRGB(x, y));
        if (c.getRed() > 190 && c.getGreen() < 130 && c.getBlue() < 60) {
          left = Math.min(left, x);
          right = Math.max(right, x);
          top = Math.min(top, y);
          bottom = Math.max(bottom, y);
        }
      }
    }
    assertThat(right - left).isBetween(130, 200);
    // four fifths of the turn reach from the lowest point to nearly the top
    assertThat((double) (bottom - top) / (right - left)).isBetween(0.88, 1.02);
  }

  @Test
  void polesAreToldApart() {
    FittedResponse f = HandMadeFits.of(4, 100, 4000, Double.POSITIVE_INFINITY, "x");
    BufferedImage with = Pictures.modesCheck(f.response(), f.fitted(), 1);
    assertThat(count(with, Panels.ORANGE, 420, 800)).as("taken").isGreaterThan(1500);
    assertThat(count(with, Panels.SOFT_BLUE, 420, 800)).as("comes back").isGreaterThan(200);
    assertThat(count(with, Panels.GREEN, 420, 800)).as("groups").isGreaterThan(300);
    FittedModes m = f.fitted();
    FittedModes without =
        new FittedModes(
            m.model(),
            m.bandLowHz(),
            m.bandHighHz(),
            m.fitErrorRelative(),
            m.remarks(),
            Stabilisation.NONE,
            m.convergence(),
            m.noise());
    BufferedImage misfitOnly = Pictures.modesCheck(f.response(), without, 1);
    assertThat(misfitOnly.getHeight()).isLessThan(with.getHeight() - 300);
  }

  /** Where a mode is left out, the misfit stands out of the noise, and is drawn there. */
  @Test
  void theMisfitStandsWhereAModeIsMissing() {
    FittedResponse f = HandMadeFits.of(1, 600, 1000, Double.POSITIVE_INFINITY, "x");
    FittedModes m = f.fitted();
    FittedModes empty =
        new FittedModes(
            ModalModel.of(),
            600,
            1000,
            1,
            List.of(),
            Stabilisation.NONE,
            Convergence.NONE,
            m.noise());
    BufferedImage good = Pictures.modesCheck(f.response(), m, 1);
    BufferedImage bad = Pictures.modesCheck(f.response(), empty, 1);
    // the upper half of the chart belongs to the measurement alone where the fit is good
    assertThat(count(good, Panels.BLUE, 60, 180)).isZero();
    assertThat(count(bad, Panels.BLUE, 60, 240)).isGreaterThan(300);
  }

  /** Zeros, one line of noise, a response that is nothing but zero. */
  @ParameterizedTest
  @ValueSource(doubles = {0, 1e-300, 1})
  void oddNumbersAreDrawnAllTheSame(double size) {
    int n = 20;
    double[] hz = new double[n];
    double[] re = new double[n];
    for (int i = 0; i < n; i++) {
      hz[i] = 10 + i;
      re[i] = size * i;
    }
    FrequencyResponse r =
        new FrequencyResponse(
            hz, re, new double[n], null, null, FrequencyResponse.Origin.unknown(10, 29));
    FittedModes f =
        new FittedModes(
            ModalModel.of(),
            10,
            29,
            1,
            List.of(),
            Stabilisation.NONE,
            Convergence.NONE,
            new LineNoise(new double[] {10}, new double[] {1e-9}));
    FittedResponse both = new FittedResponse(r, f);
    assertThat(Pictures.modes(r, f, 1).getWidth()).isEqualTo(1200);
    assertThat(Pictures.modesCheck(r, f, 1).getWidth()).isEqualTo(1200);
    assertThat(Pictures.comparison(both, both, SetUpComparer.compare(both, both), 1).getWidth())
        .isEqualTo(1200);
  }

  @Test
  void bothMeasurementsAndTheirModesAreDrawn() {
    FittedResponse before = HandMadeFits.of(4, 100, 4000, Double.POSITIVE_INFINITY, "x");
    List<Mode> moved = new ArrayList<>();
    for (Mode m : before.fitted().model().modes()) {
      moved.add(
          new Mode(
              0.95 * m.frequencyHz(), m.dampingRatio(), m.stiffnessNPerM(), 0.02, 1e-5, 1e4, -90));
    }
    FittedResponse now = HandMadeFits.of(moved, 100, 4000, Double.POSITIVE_INFINITY, "x");
    BufferedImage image = Pictures.comparison(before, now, SetUpComparer.compare(before, now), 1);
    assertThat(count(image, Panels.SOFT_BLUE, 50, 440)).isGreaterThan(3000);
    assertThat(count(image, Panels.ORANGE, 50, 440)).isGreaterThan(800);
    assertThat(count(image, Panels.BLUE, 50, 440)).isGreaterThan(4 * 30);
    assertThat(count(image, Panels.DARK, 50, 440)).isGreaterThan(4 * 30);
  }
}
