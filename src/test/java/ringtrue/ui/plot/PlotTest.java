package ringtrue.ui.plot;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import com.formdev.flatlaf.FlatDarkLaf;
import com.formdev.flatlaf.FlatLightLaf;
import java.awt.Color;
import java.awt.Graphics2D;
import java.awt.Point;
import java.awt.event.ActionEvent;
import java.awt.event.InputEvent;
import java.awt.event.MouseEvent;
import java.awt.event.MouseWheelEvent;
import java.awt.geom.Rectangle2D;
import java.awt.image.BufferedImage;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import javax.imageio.ImageIO;
import javax.swing.JComponent;
import javax.swing.KeyStroke;
import javax.swing.SwingUtilities;
import javax.swing.UIManager;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/** Painted onto an image, with events as they would come; no screen needed. */
@Timeout(60)
class PlotTest {
  private static String lookBefore;

  @BeforeAll
  static void look() {
    lookBefore = UIManager.getLookAndFeel().getClass().getName();
    FlatLightLaf.setup();
  }

  @AfterAll
  static void lookBack() throws Exception {
    UIManager.setLookAndFeel(lookBefore);
  }

  private static PlotContent.Builder square() {
    return PlotContent.of(Axis.linear("x (mm)", 0, 100), Axis.linear("y (N)", 0, 10))
        .viewKey("square");
  }

  private static Plot plot(PlotContent content) {
    Plot plot = new Plot("test");
    plot.show(content);
    plot.setSize(600, 400);
    plot.doLayout();
    return plot;
  }

  private static BufferedImage paint(Plot plot) {
    BufferedImage image = new BufferedImage(600, 400, BufferedImage.TYPE_INT_RGB);
    Graphics2D g = image.createGraphics();
    plot.paint(g);
    g.dispose();
    return image;
  }

  private static Color at(BufferedImage image, Point p) {
    return new Color(image.getRGB(p.x, p.y));
  }

  private static double apart(Color a, Color b) {
    return Math.abs(a.getRed() - b.getRed())
        + Math.abs(a.getGreen() - b.getGreen())
        + Math.abs(a.getBlue() - b.getBlue());
  }

  /** A line between two rows of pixels covers one of them. */
  private static double fromLine(BufferedImage image, Point p, Color color) {
    double least = Double.MAX_VALUE;
    for (int dy = -1; dy <= 1; dy++) {
      least = Math.min(least, apart(at(image, new Point(p.x, p.y + dy)), color));
    }
    return least;
  }

  private static void mouse(Plot plot, int id, Point p, int modifiers, int button, int clicks) {
    plot.dispatchEvent(
        new MouseEvent(
            plot, id, System.currentTimeMillis(), modifiers, p.x, p.y, clicks, false, button));
  }

  private static void drag(Plot plot, Point from, Point to, int modifiers) {
    int down = modifiers | InputEvent.BUTTON1_DOWN_MASK;
    mouse(plot, MouseEvent.MOUSE_PRESSED, from, down, 1, 1);
    mouse(
        plot,
        MouseEvent.MOUSE_DRAGGED,
        new Point((from.x + to.x) / 2, (from.y + to.y) / 2),
        down,
        0,
        0);
    mouse(plot, MouseEvent.MOUSE_DRAGGED, to, down, 0, 0);
    mouse(plot, MouseEvent.MOUSE_RELEASED, to, modifiers, 1, 1);
  }

  private static void click(Plot plot, Point p, int clicks) {
    mouse(plot, MouseEvent.MOUSE_PRESSED, p, InputEvent.BUTTON1_DOWN_MASK, 1, clicks);
    mouse(plot, MouseEvent.MOUSE_RELEASED, p, 0, 1, clicks);
    mouse(plot, MouseEvent.MOUSE_CLICKED, p, 0, 1, clicks);
  }

  private static void press(Plot plot, String keys) {
    Object name = plot.getInputMap(JComponent.WHEN_FOCUSED).get(KeyStroke.getKeyStroke(keys));
    assertThat(name).as(keys).isNotNull();
    plot.getActionMap().get(name).actionPerformed(new ActionEvent(plot, 0, ""));
  }

  private static void wheel(Plot plot, Point p, int notches, int modifiers) {
    plot.dispatchEvent(
        new MouseWheelEvent(
            plot,
            MouseEvent.MOUSE_WHEEL,
            System.currentTimeMillis(),
            modifiers,
            p.x,
            p.y,
            0,
            false,
            MouseWheelEvent.WHEEL_UNIT_SCROLL,
            1,
            notches));
  }

  @Test
  void curvesBandsAndAreasAreWhereTheirNumbersSay() {
    double[] x = {0, 100};
    Plot plot =
        plot(
            square()
                .span("span", 10, 20, Ink.CAUTION)
                .shapes(
                    "area", List.of(new Rectangle2D.Double(60, 6, 20, 2)), Ink.GOOD, Pattern.PLAIN)
                .band("band", x, new double[] {1, 1}, new double[] {3, 3}, Ink.SECOND)
                .curve("curve", x, new double[] {2, 2}, Ink.FIRST)
                .build());
    BufferedImage image = paint(plot);
    assertThat(fromLine(image, plot.toScreen(50, 2), Ink.FIRST.color(false))).isLessThan(110);
    assertThat(apart(at(image, plot.toScreen(50, 1.5)), Color.WHITE)).isBetween(60.0, 400.0);
    assertThat(at(image, plot.toScreen(50, 3.7))).isEqualTo(Color.WHITE);
    assertThat(apart(at(image, plot.toScreen(15, 7.3)), Color.WHITE)).isGreaterThan(40);
    assertThat(apart(at(image, plot.toScreen(70, 7)), Color.WHITE)).isGreaterThan(40);
  }

  @Test
  void gapsStayEmptyAndNoLayerThrowsOnLogAxes() {
    double nan = Double.NaN;
    double[] x = {-5, 0, 1, 10, 100, nan, 1000};
    double[] y = {1, 1, 0, -3, 10, 5, Double.POSITIVE_INFINITY};
    float[][] cells = new float[7][7];
    double[] rising = {-1, 0, 1, 10, 100, 500, 1000};
    Plot plot =
        plot(
            PlotContent.of(Axis.log("x", 1, 1000), Axis.log("y", 1, 100))
                .veil("veil", 0, 500, Ink.QUIET)
                .raster("raster", rising, rising, cells, Palette.rising(0, 1))
                .raster(
                    "steps",
                    rising,
                    rising,
                    cells,
                    Palette.steps(Ink.BAD, new double[] {-1, 0.5}, Axis.PLAIN))
                .band("band", rising, new double[7], rising, Ink.SECOND)
                .curve("a", x, y, Ink.FIRST, Stroke.DASHED, Mark.CROSS)
                .curve("b", rising, rising, Ink.FIRST, Stroke.DOTTED, Mark.NONE)
                .shapes(
                    "area",
                    List.of(new Rectangle2D.Double(-5, -5, 100, 50)),
                    Ink.GOOD,
                    Pattern.HATCHED)
                .shapes("dots", List.of(new Rectangle2D.Double()), Ink.GOOD, Pattern.DOTS)
                .lines(
                    "lines",
                    new double[] {-1, 0, 10, nan},
                    List.of("a", "b", "c", "d"),
                    true,
                    Ink.TEXT,
                    Stroke.NONE)
                .lines(
                    "flat",
                    new double[] {-1, 0, 10, nan},
                    List.of(),
                    false,
                    Ink.TEXT,
                    Stroke.DOTTED)
                .marks(
                    "marks",
                    List.of("1", "2"),
                    new double[] {0, 10},
                    new double[] {nan, 10},
                    Mark.NONE,
                    Ink.BAD,
                    List.of("p", "q"))
                .handle("h", -1, 5, Ink.ACCENT, "h")
                .build());
    plot.setCursorX(0);
    paint(plot);
    plot.setCursorX(30);
    paint(plot);
    assertThat(plot.getAccessibleContext().getAccessibleDescription()).contains("Cursor at 30");
  }

  @Test
  void aThicketOfNoiseFillsItsColumns() {
    int n = 30_000;
    double[] x = new double[n];
    double[] y = new double[n];
    for (int i = 0; i < n; i++) {
      x[i] = 100.0 * i / n;
      y[i] = i % 2 == 0 ? 3 : 7;
    }
    Plot plot = plot(square().curve("noise", x, y, Ink.FIRST).build());
    BufferedImage image = paint(plot);
    assertThat(apart(at(image, plot.toScreen(33.3, 5)), Ink.FIRST.color(false))).isLessThan(10);
    assertThat(at(image, plot.toScreen(33.3, 7.6))).isEqualTo(Color.WHITE);
  }

  @Test
  void rasterShowsEachCell() {
    Palette palette = Palette.rising(0, 1);
    Plot plot =
        plot(
            square()
                .raster(
                    "r",
                    new double[] {25, 75},
                    new double[] {2.5, 7.5},
                    new float[][] {{0, 1}, {Float.NaN, 0.5f}},
                    palette)
                .build());
    BufferedImage image = paint(plot);
    assertThat(at(image, plot.toScreen(20, 3)).getRGB()).isEqualTo(palette.argb(0, false));
    assertThat(at(image, plot.toScreen(20, 8.3)).getRGB()).isEqualTo(palette.argb(1, false));
    assertThat(at(image, plot.toScreen(70, 3))).isEqualTo(Color.WHITE);
    assertThat(at(image, plot.toScreen(70, 8.3)).getRGB()).isEqualTo(palette.argb(0.5, false));
  }

  @Test
  void paletteRisesInLightness() {
    Palette palette = Palette.rising(0, 1);
    double before = -1;
    for (int i = 0; i <= 255; i++) {
      Color c = new Color(palette.argb(i / 255.0, false));
      double light = 0.2126 * c.getRed() + 0.7152 * c.getGreen() + 0.0722 * c.getBlue();
      assertThat(light).isGreaterThan(before - 1);
      before = light;
    }
    assertThat(before).isGreaterThan(190);
  }

  @Test
  void inksStandOutOnBothGrounds() {
    for (boolean dark : new boolean[] {false, true}) {
      double ground = luminance(dark ? new Color(0x1F2224) : Color.WHITE);
      for (Ink ink : Ink.values()) {
        double l = luminance(ink.color(dark));
        double contrast = (Math.max(l, ground) + 0.05) / (Math.min(l, ground) + 0.05);
        assertThat(contrast).as(ink + (dark ? " on dark" : " on light")).isGreaterThan(4.5);
      }
    }
  }

  /** Relative luminance of WCAG 2.1. */
  private static double luminance(Color c) {
    double sum = 0;
    double[] weights = {0.2126, 0.7152, 0.0722};
    float[] parts = c.getRGBColorComponents(null);
    for (int i = 0; i < 3; i++) {
      double v = parts[i];
      sum += weights[i] * (v <= 0.03928 ? v / 12.92 : Math.pow((v + 0.055) / 1.055, 2.4));
    }
    return sum;
  }

  @Test
  void theThemeChangesAtOnce() throws Exception {
    double[] x = {0, 100};
    Plot plot = plot(square().curve("c", x, new double[] {2, 2}, Ink.FIRST).build());
    paint(plot);
    FlatDarkLaf.setup();
    try {
      SwingUtilities.updateComponentTreeUI(plot);
      BufferedImage image = paint(plot);
      assertThat(fromLine(image, plot.toScreen(50, 2), Ink.FIRST.color(true))).isLessThan(110);
    } finally {
      FlatLightLaf.setup();
    }
  }

  @Test
  void wheelZoomsAroundThePointer() {
    Plot plot = plot(square().build());
    Point p = plot.toScreen(30, 4);
    wheel(plot, p, -3, 0);
    assertThat(plot.toScreen(30, 4).distance(p)).isLessThanOrEqualTo(1.5);
    double width = plot.shownX()[1] - plot.shownX()[0];
    assertThat(width).isCloseTo(100 / Math.pow(1.2, 3), within(0.01));
    double[] y = plot.shownY();
    wheel(plot, p, -1, InputEvent.SHIFT_DOWN_MASK);
    assertThat(plot.shownY()).isEqualTo(y);
    double[] x = plot.shownX();
    wheel(plot, p, -1, InputEvent.CTRL_DOWN_MASK);
    assertThat(plot.shownX()).containsExactly(x, within(1e-9));
    press(plot, "typed 0");
    assertThat(plot.shownX()).containsExactly(0, 100);
  }

  @Test
  void dragZoomsShiftDragPansBackspaceGoesBack() {
    Plot plot = plot(square().build());
    drag(plot, plot.toScreen(20, 8), plot.toScreen(60, 2), 0);
    assertThat(plot.shownX()).containsExactly(new double[] {20, 60}, within(0.3));
    assertThat(plot.shownY()).containsExactly(new double[] {2, 8}, within(0.05));
    drag(plot, plot.toScreen(30, 5), plot.toScreen(40, 5), InputEvent.SHIFT_DOWN_MASK);
    assertThat(plot.shownX()).containsExactly(new double[] {10, 50}, within(0.5));
    press(plot, "BACK_SPACE");
    assertThat(plot.shownX()).containsExactly(new double[] {20, 60}, within(0.3));
    press(plot, "BACK_SPACE");
    assertThat(plot.shownX()).containsExactly(0, 100);
  }

  @Test
  void aFlatRectangleZoomsSidewaysOnly() {
    Plot plot = plot(square().build());
    drag(plot, plot.toScreen(20, 5), plot.toScreen(60, 5), 0);
    assertThat(plot.shownX()).containsExactly(new double[] {20, 60}, within(0.3));
    assertThat(plot.shownY()).containsExactly(new double[] {0, 10}, within(1e-9));
    click(plot, plot.toScreen(40, 5), 2);
    assertThat(plot.shownX()).containsExactly(0, 100);
  }

  @Test
  void zoomStaysUntilTheViewKeyChanges() {
    Plot plot = plot(square().build());
    plot.setShownX(20, 40);
    plot.show(square().title("other numbers").build());
    assertThat(plot.shownX()).containsExactly(new double[] {20, 40}, within(1e-9));
    plot.show(square().viewKey("another").build());
    assertThat(plot.shownX()).containsExactly(0, 100);
  }

  @Test
  void linkedPlotsZoomReadAndLineUpTogether() {
    XLink link = new XLink();
    Plot upper = plot(square().build());
    Plot lower =
        plot(
            PlotContent.of(Axis.linear("x (mm)", 0, 200), Axis.log("a long label", 1e-9, 1e-3))
                .viewKey("lower")
                .build());
    upper.linkX(link);
    lower.linkX(link);
    List<Double> heard = new ArrayList<>();
    lower.onCursor(x -> heard.add(x.orElse(-1)));
    upper.setShownX(10, 30);
    assertThat(lower.shownX()).containsExactly(new double[] {10, 30}, within(1e-9));
    mouse(upper, MouseEvent.MOUSE_MOVED, upper.toScreen(15, 5), 0, 0, 0);
    assertThat(lower.cursorX()).isCloseTo(15, within(0.1)).isEqualTo(upper.cursorX());
    paint(upper);
    paint(lower);
    assertThat(lower.toScreen(20, 1e-6).x).isEqualTo(upper.toScreen(20, 5).x);
    lower.resetView();
    assertThat(upper.shownX()).containsExactly(0, 100);
    assertThat(lower.shownX()).containsExactly(0, 200);
    mouse(upper, MouseEvent.MOUSE_EXITED, new Point(-1, -1), 0, 0, 0);
    assertThat(lower.cursorX()).isNaN();
    assertThat(heard).hasSize(2).endsWith(-1.0);
  }

  @Test
  void handlesFollowTheMouseAndTellTheirEnd() {
    Plot plot =
        plot(
            square()
                .handle("cut", 40, 4, Ink.ACCENT, "cut")
                .handle("flat", 80, 8, Ink.ACCENT, "", true, false)
                .build());
    List<String> heard = new ArrayList<>();
    plot.onHandle((id, x, y, done) -> heard.add(String.format("%s %.0f %.0f %s", id, x, y, done)));
    drag(plot, plot.toScreen(40, 4), plot.toScreen(70, 6), 0);
    assertThat(heard).contains("cut 70 6 false").endsWith("cut 70 6 true");
    assertThat(plot.shownX()).as("no zoom").containsExactly(0, 100);
    drag(plot, plot.toScreen(80, 8), plot.toScreen(60, 2), 0);
    assertThat(heard).endsWith("flat 60 8 true");
    plot.handle("cut", 10, 1);
    drag(plot, plot.toScreen(10, 1), plot.toScreen(20, 1), 0);
    assertThat(heard).endsWith("cut 20 1 true");
    plot.handle("nobody", 1, 1);
  }

  @Test
  void aHandleStaysUnderTheHandWhileContentComes() {
    PlotContent content = square().handle("cut", 40, 4, Ink.ACCENT, "cut").build();
    Plot plot = plot(content);
    List<Double> heard = new ArrayList<>();
    plot.onHandle(
        (id, x, y, done) -> {
          heard.add(x);
          plot.show(content);
        });
    drag(plot, plot.toScreen(40, 4), plot.toScreen(70, 6), 0);
    assertThat(heard.get(heard.size() - 1)).isCloseTo(70, within(0.3));
  }

  @Test
  void escapePutsAHandleBack() {
    Plot plot = plot(square().handle("cut", 40, 4, Ink.ACCENT, "cut").build());
    List<String> heard = new ArrayList<>();
    plot.onHandle((id, x, y, done) -> heard.add(String.format("%.0f %.0f %s", x, y, done)));
    mouse(plot, MouseEvent.MOUSE_PRESSED, plot.toScreen(40, 4), InputEvent.BUTTON1_DOWN_MASK, 1, 1);
    mouse(plot, MouseEvent.MOUSE_DRAGGED, plot.toScreen(60, 4), InputEvent.BUTTON1_DOWN_MASK, 0, 0);
    press(plot, "ESCAPE");
    assertThat(heard).endsWith("40 4 true");
  }

  @Test
  void arrowsMoveTheOnlyHandleByTheStep() throws Exception {
    Plot plot = plot(square().step(0.5, 0.1).handle("cut", 40, 4, Ink.ACCENT, "cut").build());
    List<String> heard = new ArrayList<>();
    SwingUtilities.invokeAndWait(
        () -> {
          plot.onHandle((id, x, y, done) -> heard.add(String.format("%.1f %.1f %s", x, y, done)));
          press(plot, "RIGHT");
          press(plot, "shift UP");
        });
    long end = System.nanoTime() + TimeUnit.SECONDS.toNanos(20);
    while (System.nanoTime() < end && !heard.contains("40.5 5.0 true")) {
      Thread.sleep(20);
      SwingUtilities.invokeAndWait(() -> {});
    }
    assertThat(heard).containsExactly("40.5 4.0 false", "40.5 5.0 false", "40.5 5.0 true");
    press(plot, "H");
    press(plot, "RIGHT");
    assertThat(plot.cursorX()).as("arrows move the cursor now").isEqualTo(50);
  }

  @Test
  void clicksPickTheNearestMark() {
    Plot plot =
        plot(
            square()
                .marks(
                    "marks",
                    List.of("a", "b"),
                    new double[] {20, 23},
                    new double[] {5, 5},
                    Mark.CIRCLE,
                    Ink.BAD,
                    List.of())
                .build());
    List<Optional<String>> picked = new ArrayList<>();
    plot.onPick((x, y, mark) -> picked.add(mark));
    Point b = plot.toScreen(23, 5);
    click(plot, new Point(b.x + 5, b.y + 5), 1);
    click(plot, plot.toScreen(60, 5), 1);
    press(plot, "M");
    press(plot, "ENTER");
    plot.setShown("marks", false);
    click(plot, b, 1);
    assertThat(picked)
        .containsExactly(Optional.of("b"), Optional.empty(), Optional.of("a"), Optional.empty());
  }

  @Test
  void legendSwitchesLayersByMouseAndKey() {
    double[] x = {0, 100};
    PlotContent content =
        square()
            .curve("one", x, new double[] {2, 2}, Ink.FIRST)
            .curve("two", x, new double[] {8, 8}, Ink.SECOND)
            .build();
    Plot plot = plot(content);
    press(plot, "typed 1");
    assertThat(plot.isShown("one")).isFalse();
    assertThat(at(paint(plot), plot.toScreen(55, 2))).isNotEqualTo(Ink.FIRST.color(false));
    Rectangle2D entry = plot.frame().legend().get(1).box();
    Point p = new Point((int) entry.getCenterX(), (int) entry.getCenterY());
    click(plot, p, 1);
    assertThat(plot.isShown("two")).isFalse();
    plot.show(content);
    assertThat(plot.isShown("two")).as("switched off in the next content too").isFalse();
    click(plot, p, 1);
    assertThat(plot.isShown("two")).isTrue();
  }

  @Test
  void cursorByKeyboard() {
    Plot plot =
        plot(square().curve("c", new double[] {0, 100}, new double[] {0, 10}, Ink.FIRST).build());
    press(plot, "HOME");
    assertThat(plot.cursorX()).isEqualTo(0);
    press(plot, "PAGE_DOWN");
    assertThat(plot.cursorX()).isCloseTo(10, within(1e-9));
    press(plot, "RIGHT");
    assertThat(plot.cursorX()).isCloseTo(10.5, within(1e-9));
    press(plot, "END");
    assertThat(plot.cursorX()).isEqualTo(100);
    assertThat(plot.getAccessibleContext().getAccessibleDescription())
        .contains("x (mm) from 0 mm to 100 mm", "Shown: c", "Cursor at 100 mm: c 10 N");
    press(plot, "ctrl RIGHT");
    assertThat(plot.shownX()).containsExactly(10, 110);
    press(plot, "ESCAPE");
    assertThat(plot.cursorX()).isNaN();
    press(plot, "typed +");
    assertThat(plot.shownX()[1] - plot.shownX()[0]).isCloseTo(100 / 1.4, within(1e-9));
  }

  @Test
  void tinyAndEmptyPlotsAreFine() {
    Plot plot = plot(PlotContent.empty("Nothing here yet. Tap first."));
    paint(plot);
    press(plot, "RIGHT");
    wheel(plot, new Point(50, 50), 1, 0);
    click(plot, new Point(50, 50), 1);
    assertThat(plot.getAccessibleContext().getAccessibleDescription()).contains("Tap first");
    Plot small =
        plot(
            square()
                .title("A title that is far too long")
                .curve("c", new double[] {1}, new double[] {1}, Ink.FIRST)
                .build());
    for (int side = 0; side < 60; side += 3) {
      small.setSize(side, 60 - side);
      paint(small);
    }
  }

  @Test
  void equalAspectNeedsLinearAxes() {
    assertThatIllegalArgumentException()
        .isThrownBy(
            () ->
                PlotContent.of(Axis.log("x", 1, 2), Axis.linear("y", 0, 1)).equalAspect().build());
    Plot plot = plot(square().equalAspect().build());
    Point a = plot.toScreen(0, 0);
    assertThat(plot.toScreen(10, 0).x - a.x).isCloseTo(a.y - plot.toScreen(0, 10).y, within(1));
  }

  @Test
  void savesWhatIsShown(@TempDir Path folder) throws Exception {
    double[] x = {0, 50, 100};
    Plot plot =
        plot(
            square()
                .title("Force, over \"way\"")
                .curve("one", x, new double[] {1, Double.NaN, 3}, Ink.FIRST)
                .curve("two, other", new double[] {5}, new double[] {6}, Ink.SECOND)
                .curve("hidden", x, x, Ink.THIRD)
                .shapes(
                    "area",
                    List.of(new Rectangle2D.Double(60, 6, 20, 2)),
                    Ink.GOOD,
                    Pattern.HATCHED)
                .build());
    plot.setShown("hidden", false);
    PlotFiles.askWith((parent, name, ending) -> Optional.of(folder.resolve(name)));
    for (String ending : List.of(".csv", ".png", ".svg")) {
      SwingUtilities.invokeAndWait(() -> plot.save(ending));
      await(folder.resolve("force-over-way" + ending));
    }
    assertThat(Files.readString(folder.resolve("force-over-way.csv")))
        .isEqualTo(
            "x (mm),one: y (N),x (mm),\"two, other: y (N)\"\r\n"
                + "0.0,1.0,5.0,6.0\r\n50.0,,,\r\n100.0,3.0,,\r\n");
    BufferedImage png = ImageIO.read(folder.resolve("force-over-way.png").toFile());
    assertThat(png.getWidth()).isEqualTo(1200);
    assertThat(png.getRGB(3, 790)).isEqualTo(Color.WHITE.getRGB());
    String svg = Files.readString(folder.resolve("force-over-way.svg"));
    assertThat(svg).contains("<title", "one", "two, other").doesNotContain("data:image");
  }

  @Test
  void rastersAreSavedToo(@TempDir Path folder) throws Exception {
    float[][] values = {{1, 2}, {Float.NaN, 4}};
    Plot plot =
        plot(
            square()
                .raster(
                    "level",
                    new double[] {25, 75},
                    new double[] {2.5, 7.5},
                    values,
                    Palette.rising(0, 5))
                .build());
    Path svg = folder.resolve("r.svg");
    plot.export().write(svg, ".svg");
    assertThat(Files.readString(svg)).contains("data:image/png;base64,");
    Path csv = folder.resolve("r.csv");
    plot.export().write(csv, ".csv");
    assertThat(Files.readString(csv))
        .isEqualTo("x (mm),level at 2.5 N,level at 7.5 N\r\n25.0,1.0,2.0\r\n75.0,,4.0\r\n");
  }

  private static void await(Path file) throws InterruptedException {
    long end = System.nanoTime() + TimeUnit.SECONDS.toNanos(30);
    while (!Files.exists(file) && System.nanoTime() < end) {
      Thread.sleep(20);
    }
    assertThat(file).exists();
  }

  @Test
  void aFileThatCannotBeWrittenIsSaidInThePlot(@TempDir Path folder) throws Exception {
    Path inTheWay = Files.writeString(folder.resolve("file"), "x");
    Plot plot = plot(square().build());
    PlotFiles.askWith((parent, name, ending) -> Optional.of(inTheWay.resolve(name)));
    SwingUtilities.invokeAndWait(() -> plot.save(".csv"));
    long end = System.nanoTime() + TimeUnit.SECONDS.toNanos(30);
    while (plot.noteShown().isEmpty() && System.nanoTime() < end) {
      Thread.sleep(20);
    }
    assertThat(plot.noteShown()).contains("is a file");
  }
}
