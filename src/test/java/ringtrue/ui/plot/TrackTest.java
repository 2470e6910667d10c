package ringtrue.ui.plot;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.awt.geom.PathIterator;
import java.awt.geom.Rectangle2D;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;

class TrackTest {
  private static final Rectangle2D BOX = new Rectangle2D.Double(0, 0, 100, 100);

  private static List<String> drawn(ClippedPath path) {
    List<String> steps = new ArrayList<>();
    double[] c = new double[6];
    for (PathIterator i = path.path().getPathIterator(null); !i.isDone(); i.next()) {
      String kind = i.currentSegment(c) == PathIterator.SEG_MOVETO ? "M" : "L";
      steps.add(kind + Math.round(c[0]) + "," + Math.round(c[1]));
    }
    return steps;
  }

  private static ClippedPath draw(double[] x, double[] y, Scale scale, double u0, double u1) {
    ClippedPath path = new ClippedPath(BOX);
    new Track(x, y, scale, Scale.LINEAR)
        .draw(
            new AxisMap(scale, u0, u1, 0, 100), new AxisMap(Scale.LINEAR, 0, 100, 100, 0), 1, path);
    return path;
  }

  @Test
  void cutsSegmentsAtTheBox() {
    ClippedPath path = new ClippedPath(BOX);
    path.to(-50, 50);
    path.to(150, 50);
    path.to(150, 5000);
    path.to(50, 200);
    path.to(50, 50);
    assertThat(drawn(path)).containsExactly("M0,50", "L100,50", "M50,100", "L50,50");
  }

  @Test
  void aSlopeFarOutsideStaysTheSameSlope() {
    ClippedPath path = new ClippedPath(BOX);
    path.to(0, 0);
    path.to(1e7, 5e6);
    assertThat(drawn(path)).containsExactly("M0,0", "L100,50");
  }

  @Test
  void notANumberBreaksTheLine() {
    double[] x = {0, 10, 20, 30, 40};
    double[] y = {10, 20, Double.NaN, 40, 50};
    assertThat(drawn(draw(x, y, Scale.LINEAR, 0, 100)))
        .containsExactly("M0,90", "L10,80", "M30,60", "L40,50");
  }

  @Test
  void keepsEveryPeakOfALongCurve() {
    int n = 100_000;
    double[] x = new double[n];
    double[] y = new double[n];
    for (int i = 0; i < n; i++) {
      x[i] = i;
      y[i] = 10;
    }
    y[54_321] = 90;
    y[54_400] = 1;
    ClippedPath path = draw(x, y, Scale.LINEAR, 0, n);
    assertThat(drawn(path)).hasSizeLessThan(250).contains("L54,10", "L54,99");
  }

  @Test
  void drawsOnePointBeyondEachEndOfTheView() {
    double[] x = {0, 10, 20, 30, 40};
    double[] y = {10, 20, 30, 40, 50};
    assertThat(drawn(draw(x, y, Scale.LINEAR, 12, 28)))
        .as("from the edge at 12 to the edge at 28, straight through 20")
        .containsExactly("M0,78", "L50,70", "L100,62");
  }

  @Test
  void whatHasNoPlaceIsSkipped() {
    double[] x = {0, 1, 10, 100};
    double[] y = {5, 10, 20, 30};
    assertThat(drawn(draw(x, y, Scale.LOG, 0, 2))).containsExactly("M0,90", "L50,80", "L100,70");
    assertThat(drawn(draw(new double[] {-1, 0}, new double[] {1, 1}, Scale.LOG, 0, 2))).isEmpty();
    assertThat(drawn(draw(new double[0], new double[0], Scale.LINEAR, 0, 2))).isEmpty();
    assertThat(
            drawn(
                draw(
                    new double[] {0, 50, 100},
                    new double[] {1, Double.POSITIVE_INFINITY, 1},
                    Scale.LINEAR,
                    0,
                    100)))
        .as("two dots")
        .containsExactly("M0,99", "L0,99", "M100,99", "L100,99");
  }

  @Test
  void aCurveThatGoesBackIsDrawnInItsOrder() {
    double[] x = {50, 80, 50, 20, 50};
    double[] y = {20, 50, 80, 50, 20};
    assertThat(drawn(draw(x, y, Scale.LINEAR, 0, 100)))
        .containsExactly("M50,80", "L80,50", "L50,20", "L20,50", "L50,80");
  }

  @Test
  void readsStraightBetweenPointsAndNothingInGaps() {
    Track track =
        new Track(
            new double[] {0, 10, 20, 30},
            new double[] {0, 100, Double.NaN, 5},
            Scale.LINEAR,
            Scale.LINEAR);
    assertThat(track.at(2.5)).isCloseTo(25, within(1e-12));
    assertThat(track.at(10)).isEqualTo(100);
    assertThat(track.at(15)).isNaN();
    assertThat(track.at(-1)).isNaN();
    assertThat(track.at(31)).isNaN();
    assertThat(track.at(Double.NaN)).isNaN();
    assertThat(track.nearest(14)).isEqualTo(1);
  }

  @Test
  void bandsKeepTheLeastAndTheMostOfAColumn() {
    double[] x = {0, 0.1, 0.2, 50};
    Track low = new Track(x, new double[] {5, 1, 4, Double.NaN}, Scale.LINEAR, Scale.LINEAR);
    Track high = new Track(x, new double[] {6, 7, 9, Double.NaN}, Scale.LINEAR, Scale.LINEAR);
    double[][] strip = Track.strip(low, high, new AxisMap(Scale.LINEAR, 0, 100, 0, 100), 1);
    assertThat(strip[0]).containsExactly(0, 50);
    assertThat(strip[1]).containsExactly(1, Double.NaN);
    assertThat(strip[2]).containsExactly(9, Double.NaN);
  }
}
