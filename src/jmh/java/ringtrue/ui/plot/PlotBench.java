package ringtrue.ui.plot;

import java.awt.Graphics2D;
import java.awt.image.BufferedImage;
import java.util.Arrays;
import java.util.Locale;
import java.util.Random;

/**
 * How long a plot of 1000 x 500 pixels with five curves of 20,000 points takes: to take new content
 * and paint it, to paint it at another zoom, and to paint it again with the cursor elsewhere. Prints
 * median and worst of many, in milliseconds, for smooth and for noisy curves.
 */
public final class PlotBench {
  private static final int POINTS = 20_000;
  private static final int ROUNDS = 100;
  private static final int WARM_UP = 60;

  private PlotBench() {}

  public static void main(String[] args) {
    for (double scale : new double[] {1, 2}) {
      for (boolean noisy : new boolean[] {false, true}) {
        measure(noisy, scale);
      }
    }
  }

  private static void measure(boolean noisy, double scale) {
    PlotContent[] contents = new PlotContent[8];
    for (int i = 0; i < contents.length; i++) {
      contents[i] = content(noisy, i);
    }
    Plot plot = new Plot("bench");
    plot.setSize(1000, 500);
    plot.doLayout();
    plot.show(contents[0]);
    BufferedImage image =
        new BufferedImage((int) (1000 * scale), (int) (500 * scale), BufferedImage.TYPE_INT_RGB);
    double[] fresh = new double[ROUNDS];
    double[] zoomed = new double[ROUNDS];
    double[] cursor = new double[ROUNDS];
    for (int i = -WARM_UP; i < ROUNDS; i++) {
      int at = Math.floorMod(i, contents.length);
      long start = System.nanoTime();
      plot.show(contents[at]);
      paint(plot, image, scale);
      long shown = System.nanoTime();
      plot.setShownX(100 + at, 9000 + at);
      paint(plot, image, scale);
      long other = System.nanoTime();
      plot.setCursorX(1000 + 10 * at);
      paint(plot, image, scale);
      long moved = System.nanoTime();
      plot.resetView();
      if (i >= 0) {
        fresh[i] = (shown - start) / 1e6;
        zoomed[i] = (other - shown) / 1e6;
        cursor[i] = (moved - other) / 1e6;
      }
    }
    System.out.printf(
        Locale.ROOT,
        "%s curves at %.0f %%: new content %s, other zoom %s, cursor %s%n",
        noisy ? "noisy" : "smooth",
        100 * scale,
        words(fresh),
        words(zoomed),
        words(cursor));
  }

  private static String words(double[] ms) {
    Arrays.sort(ms);
    return String.format(Locale.ROOT, "%.1f (95 %% below %.1f) ms", ms[ROUNDS / 2], ms[ROUNDS * 19 / 20]);
  }

  private static void paint(Plot plot, BufferedImage image, double scale) {
    Graphics2D g = image.createGraphics();
    g.scale(scale, scale);
    plot.paint(g);
    g.dispose();
  }

  private static PlotContent content(boolean noisy, int seed) {
    Random random = new Random(seed);
    PlotContent.Builder content =
        PlotContent.of(
                Axis.linear("frequency (Hz)", 0, 10_000), Axis.log("receptance (m/N)", 1e-9, 1e-5))
            .title("Bench")
            .viewKey("bench");
    Stroke[] strokes = {Stroke.SOLID, Stroke.SOLID, Stroke.DASHED, Stroke.SOLID, Stroke.DOTTED};
    for (int k = 0; k < 5; k++) {
      double[] x = new double[POINTS];
      double[] y = new double[POINTS];
      for (int i = 0; i < POINTS; i++) {
        x[i] = 0.5 * i;
        double r = x[i] / (900 + 1700 * k + 10 * seed);
        y[i] = 1e-7 / Math.hypot(1 - r * r, 0.03 * r);
        y[i] *= noisy ? Math.exp(0.5 * random.nextGaussian()) : 1;
      }
      content.curve("curve " + k, x, y, Ink.values()[k], strokes[k], Mark.NONE);
    }
    return content.build();
  }
}
