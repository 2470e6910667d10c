package ringtrue.report;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.awt.Color;
import java.awt.Graphics2D;
import java.awt.Rectangle;
import java.awt.RenderingHints;
import java.awt.image.BufferedImage;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import ringtrue.library.Cut;
import ringtrue.stability.StabilityMap;
import ringtrue.stability.StabilityMap.Interval;
import ringtrue.stability.StabilityMap.Line;
import ringtrue.stability.StabilityMap.Loss;

/** The picture shows at every place what the map says there: pixels against hand-made maps. */
class LobesPictureTest {
  private static final PlotFrame FRAME =
      new PlotFrame(new Rectangle(0, 0, 900, 400), 6_000, 24_000, 0, 8);
  private static final Cut CUT = HandMadeMaps.cut();

  private static BufferedImage raster(StabilityMap map, PlotFrame frame) {
    BufferedImage image =
        new BufferedImage(frame.area().width, frame.area().height, BufferedImage.TYPE_INT_ARGB);
    Graphics2D g = image.createGraphics();
    g.setRenderingHint(RenderingHints.KEY_ANTIALIASING, RenderingHints.VALUE_ANTIALIAS_ON);
    g.setRenderingHint(RenderingHints.KEY_STROKE_CONTROL, RenderingHints.VALUE_STROKE_PURE);
    g.setColor(Color.BLACK);
    g.translate(-frame.area().x, -frame.area().y);
    g.fill(new StableAreas(map.lines()).outline(frame, 1e3));
    g.dispose();
    return image;
  }

  private static boolean stable(StabilityMap map, PlotFrame frame, double rpm, double depthM) {
    int x = (int) frame.pixelX(rpm);
    int y = (int) frame.pixelY(1e3 * depthM);
    return (raster(map, frame).getRGB(x, y) >>> 24) > 127;
  }

  @Test
  void insideAndOutsideOfLimitTongueAndIsland() {
    StabilityMap map = HandMadeMaps.islands(401);
    for (double rpm : new double[] {6_100, 9_000, 12_000, 16_000, 20_000, 23_900}) {
      double limit = HandMadeMaps.limitM(rpm);
      assertThat(stable(map, FRAME, rpm, limit - 1e-4)).as("below at %s", rpm).isTrue();
      assertThat(stable(map, FRAME, rpm, limit + 1e-4)).as("above at %s", rpm).isFalse();
    }
    assertThat(stable(map, FRAME, 14_000, 1.85e-3)).as("in the flip tongue").isFalse();
    assertThat(stable(map, FRAME, 14_000, 3e-3)).as("above the tongue").isTrue();
    assertThat(stable(map, FRAME, HandMadeMaps.ISLAND_RPM, HandMadeMaps.ISLAND_M)).isTrue();
    assertThat(stable(map, FRAME, HandMadeMaps.ISLAND_RPM, HandMadeMaps.ISLAND_M + 1e-3)).isFalse();
    assertThat(stable(map, FRAME, HandMadeMaps.ISLAND_RPM + 1_000, HandMadeMaps.ISLAND_M))
        .isFalse();
  }

  /** The ellipse's area is π a b: 900 rpm by 0.8 mm. */
  @Test
  void anIslandHasItsArea() {
    StabilityMap map = HandMadeMaps.islands(401);
    PlotFrame around = new PlotFrame(new Rectangle(0, 0, 600, 600), 16_500, 19_500, 4.2, 6.8);
    BufferedImage image = raster(map, around);
    double pixels = 0;
    for (int x = 0; x < 600; x++) {
      for (int y = 0; y < 600; y++) {
        pixels += (image.getRGB(x, y) >>> 24) / 255.0;
      }
    }
    double area = pixels * (3_000 / 600.0) * (2.6 / 600.0);
    assertThat(area).isCloseTo(Math.PI * 900 * 0.8, within(0.01 * Math.PI * 900 * 0.8));
  }

  /** No seams: along a depth that is stable everywhere every column is filled to the full. */
  @Test
  void neighboursJoinWithoutSeams() {
    BufferedImage image = raster(HandMadeMaps.islands(137), FRAME);
    int y = (int) FRAME.pixelY(0.8);
    for (int x = 0; x < 900; x++) {
      assertThat(image.getRGB(x, y) >>> 24).as("column %d", x).isEqualTo(255);
    }
  }

  /**
   * A gap that rises so fast that it overlaps no gap of the neighbour must not be filled, in
   * whichever order the stretches overlap.
   */
  @Test
  void whatBothNeighboursCallUnstableIsNeverFilled() {
    List<Line> lines =
        List.of(
            new Line(6_000, 1e-3, both(1e-3, 1.5e-3), Loss.HOPF, 900, 0),
            new Line(12_000, 1.6e-3, both(1.6e-3, 2.1e-3), Loss.HOPF, 900, 0),
            new Line(18_000, 8e-3, List.of(new Interval(0, 8e-3)), Loss.NONE, Double.NaN, -1),
            new Line(24_000, 2e-3, both(2e-3, 6e-3), Loss.HOPF, 900, 0));
    StabilityMap map = map(lines);
    // half way the gap lies half way
    assertThat(stable(map, FRAME, 9_000, 1.2e-3)).isTrue();
    assertThat(stable(map, FRAME, 9_000, 1.55e-3)).isFalse();
    assertThat(stable(map, FRAME, 9_000, 1.9e-3)).isTrue();
    // one stretch against two: each side keeps its own half
    assertThat(stable(map, FRAME, 20_500, 4e-3)).isTrue();
    assertThat(stable(map, FRAME, 21_500, 4e-3)).isFalse();
    assertThat(stable(map, FRAME, 21_500, 7e-3)).isTrue();
  }

  private static List<Interval> both(double lowM, double highM) {
    return List.of(new Interval(0, lowM), new Interval(highM, 8e-3));
  }

  private static StabilityMap map(List<Line> lines) {
    return new StabilityMap(
        StabilityMap.Over.DEPTH, "periodic", lines, List.of(), "", 8e-3, List.of());
  }

  @Test
  void chancesBetweenComputedPlaces() {
    StabilityMap map = HandMadeMaps.probable(181);
    ProbabilityShades shades =
        new ProbabilityShades(
            map.lines().stream().mapToDouble(Line::speedRpm).toArray(),
            map.probability().orElseThrow().stable(),
            map.probability().orElseThrow());
    for (double rpm : new double[] {6_000, 8_321, 11_111, 24_000}) {
      double limit = HandMadeMaps.limitM(rpm);
      for (double part : new double[] {0.03, 0.5, 0.9, 1, 1.1, 1.5}) {
        assertThat(shades.at(rpm, part * limit))
            .as("%s rpm, %s of the limit", rpm, part)
            .isCloseTo(HandMadeMaps.chance(part * limit, limit), within(0.1));
      }
    }
    assertThat(shades.at(5_999, 1e-3)).isNaN();
    assertThat(shades.at(24_001, 1e-3)).isNaN();
    assertThat(shades.at(12_000, 8.01e-3)).isNaN();
  }

  /** Told apart without colours: each shade is lighter than the surer one by a clear step. */
  @Test
  void shadesGetLighterStepByStep() {
    double before = 0;
    for (double chance : new double[] {0.99, 0.8, 0.6, 0.3, 0.1}) {
      Color shade = ProbabilityShades.shade(chance);
      double luma = 0.299 * shade.getRed() + 0.587 * shade.getGreen() + 0.114 * shade.getBlue();
      assertThat(luma).as("chance %s", chance).isGreaterThan(before + 12);
      before = luma;
    }
    assertThat(ProbabilityShades.shade(0.04).getAlpha()).isZero();
    assertThat(ProbabilityShades.shade(0.95)).isNotEqualTo(ProbabilityShades.shade(0.9499));
  }

  /** Number of pixels of about that colour. */
  private static int count(BufferedImage image, Color wanted) {
    int found = 0;
    for (int y = 0; y < 700; y++) {
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

  @ParameterizedTest
  @EnumSource(LengthUnit.class)
  void bothKindsOfLossHaveTheirLine(LengthUnit unit) {
    BufferedImage both = Pictures.lobes(HandMadeMaps.islands(401), CUT, unit);
    List<Line> hopfOnly = new ArrayList<>();
    for (Line l : HandMadeMaps.islands(401).lines()) {
      hopfOnly.add(new Line(l.speedRpm(), l.limitM(), l.stable(), Loss.HOPF, 1000, 0));
    }
    BufferedImage hopf = Pictures.lobes(map(hopfOnly), CUT, unit);
    assertThat(both.getWidth()).isEqualTo(1200);
    assertThat(count(both, Panels.ORANGE)).isGreaterThan(40);
    assertThat(count(hopf, Panels.ORANGE)).isZero();
    assertThat(count(both, Panels.BLUE)).isGreaterThan(800);
  }

  @Test
  void theBandIsShadedWhereItIsKnown() {
    StabilityMap banded = HandMadeMaps.banded(401);
    BufferedImage with = Pictures.lobes(banded, CUT, LengthUnit.MILLIMETRE);
    BufferedImage without = Pictures.lobes(HandMadeMaps.islands(401), CUT, LengthUnit.MILLIMETRE);
    Color overWhite = new Color(191, 219, 236);
    assertThat(count(with, overWhite)).isGreaterThan(5_000);
    assertThat(count(without, overWhite)).isLessThan(500); // edges of lines
  }

  @Test
  void chancesAreShaded() {
    BufferedImage picture = Pictures.lobes(HandMadeMaps.probable(401), CUT, LengthUnit.MILLIMETRE);
    for (double chance : new double[] {0.99, 0.8, 0.6, 0.3, 0.1}) {
      assertThat(count(picture, ProbabilityShades.shade(chance)))
          .as("chance %s", chance)
          .isGreaterThan(3_000);
    }
  }

  @Test
  void oneSpeedAndSpeedsInAnyOrderCanBeDrawn() {
    StabilityMap sorted = HandMadeMaps.islands(41);
    List<Line> turned = new ArrayList<>(sorted.lines());
    java.util.Collections.reverse(turned);
    BufferedImage a = Pictures.lobes(sorted, CUT, LengthUnit.MILLIMETRE);
    BufferedImage b = Pictures.lobes(map(turned), CUT, LengthUnit.MILLIMETRE);
    assertThat(b.getRGB(0, 0, 1200, 700, null, 0, 1200))
        .isEqualTo(a.getRGB(0, 0, 1200, 700, null, 0, 1200));
    Line only = new Line(13_000, 2e-3, both(2e-3, 3e-3), Loss.HOPF, 900, 0);
    BufferedImage one = Pictures.lobes(map(List.of(only)), CUT, LengthUnit.MILLIMETRE);
    assertThat(count(one, Panels.BLUE)).as("its dot").isGreaterThan(15);
  }
}
