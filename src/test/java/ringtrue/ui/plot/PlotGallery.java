package ringtrue.ui.plot;

import com.formdev.flatlaf.FlatDarkLaf;
import com.formdev.flatlaf.FlatLightLaf;
import java.awt.Font;
import java.awt.Graphics2D;
import java.awt.geom.Path2D;
import java.awt.image.BufferedImage;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Random;
import javax.imageio.ImageIO;
import javax.swing.UIManager;

/**
 * Paints every kind of layer, light and dark, at 100 % and 200 %, into a folder, to be looked at.
 */
final class PlotGallery {
  private PlotGallery() {}

  static PlotContent response() {
    int n = 4000;
    double[] f = new double[n];
    double[] g = new double[n];
    double[] low = new double[n];
    double[] high = new double[n];
    double[] fit = new double[n];
    Random random = new Random(3);
    for (int i = 0; i < n; i++) {
      f[i] = i;
      fit[i] = size(f[i], 820, 0.02, 4e6) + size(f[i], 1740, 0.012, 9e6);
      g[i] = fit[i] * (1 + 0.06 * random.nextGaussian()) + 1e-9 * Math.abs(random.nextGaussian());
      low[i] = g[i] * 0.8 - 2e-9;
      high[i] = g[i] * 1.25 + 2e-9;
      if (i > 2500 && i < 2600) {
        g[i] = Double.NaN;
      }
    }
    return PlotContent.of(
            Axis.linear("frequency (Hz)", 0, 3999), Axis.log("receptance (m/N)", 1e-9, 2e-5))
        .title("Response at the tool tip")
        .viewKey("response")
        .veil("outside the usable band", 90, 3200, Ink.QUIET)
        .band("two sigma", f, low, high, Ink.FIRST)
        .curve("measured", f, g, Ink.FIRST)
        .curve("fitted", f, fit, Ink.SECOND, Stroke.DASHED, Mark.NONE)
        .lines(
            "natural frequencies",
            new double[] {820, 870, 1740},
            List.of("820 Hz", "870 Hz", "1740 Hz"),
            true,
            Ink.THIRD,
            Stroke.DOTTED)
        .build();
  }

  private static double size(double f, double fn, double z, double k) {
    double r = f / fn;
    return 1 / k / Math.hypot(1 - r * r, 2 * z * r);
  }

  static PlotContent lobes() {
    Path2D stable = new Path2D.Double();
    stable.moveTo(4000, 0);
    double[] rpm = new double[401];
    double[] limit = new double[401];
    double[] power = new double[401];
    for (int i = 0; i <= 400; i++) {
      rpm[i] = 4000 + 40 * i;
      limit[i] = 1.2 + 1.5 * Math.pow(Math.abs(Math.sin(60000 / rpm[i] * 1.1)), 3) * rpm[i] / 8000;
      power[i] = 2 + rpm[i] / 12000;
      stable.lineTo(rpm[i], limit[i]);
    }
    stable.lineTo(20000, 0);
    stable.closePath();
    Path2D island = new Path2D.Double();
    island.moveTo(9000, 3.8);
    island.curveTo(9600, 4.9, 10600, 4.6, 10800, 3.9);
    island.curveTo(10400, 3.4, 9500, 3.3, 9000, 3.8);
    island.closePath();
    double[] xs = new double[81];
    double[] ys = new double[51];
    float[][] p = new float[81][51];
    for (int i = 0; i < 81; i++) {
      xs[i] = 4000 + 200 * i;
      double lim = 1.2 + 1.5 * Math.pow(Math.abs(Math.sin(60000 / xs[i] * 1.1)), 3) * xs[i] / 8000;
      for (int j = 0; j < 51; j++) {
        ys[j] = 0.1 * j;
        p[i][j] = (float) (1 / (1 + Math.exp((ys[j] - lim) / 0.15)));
      }
    }
    return PlotContent.of(
            Axis.linear("spindle speed (rpm)", 4000, 20000)
                .withFormat(v -> String.format("%.0f", v)),
            Axis.linear("axial depth (mm)", 0, 5))
        .title("Stability over speed")
        .viewKey("lobes")
        .step(100, 0.05)
        .raster(
            "chance of no chatter",
            xs,
            ys,
            p,
            Palette.steps(
                Ink.GOOD,
                new double[] {0.05, 0.25, 0.5, 0.75, 0.95},
                v -> String.format("%.0f %%", 100 * v)))
        .shapes("stable", List.of(stable), Ink.GOOD, Pattern.PLAIN)
        .shapes("stable island", List.of(island), Ink.THIRD, Pattern.HATCHED)
        .curve("power limit", rpm, power, Ink.SECOND, Stroke.DASHED, Mark.NONE)
        .lines(
            "spindle range",
            new double[] {6000, 18000},
            List.of("slowest", "fastest"),
            true,
            Ink.TEXT,
            Stroke.SOLID)
        .lines(
            "depth wanted",
            new double[] {2.5},
            List.of("2.5 mm wanted"),
            false,
            Ink.CAUTION,
            Stroke.DOTTED)
        .marks(
            "cuts made",
            List.of("a", "b", "c"),
            new double[] {7000, 7150, 15000},
            new double[] {1, 1.1, 3.2},
            Mark.DIAMOND,
            Ink.BAD,
            List.of("quiet", "quiet too", "chatter"))
        .handle("cut", 12000, 1.5, Ink.ACCENT, "cut")
        .build();
  }

  static PlotContent nyquist() {
    int n = 3000;
    double[] re = new double[n];
    double[] im = new double[n];
    double[] pr = new double[30];
    double[] pi = new double[30];
    for (int i = 0; i < n; i++) {
      double r = 0.5 + i / (double) n;
      double a = 1 - r * r;
      double b = 2 * 0.03 * r;
      re[i] = a / (a * a + b * b) / 4;
      im[i] = -b / (a * a + b * b) / 4;
    }
    for (int i = 0; i < 30; i++) {
      pr[i] = re[1350 + 10 * i] * 1.02;
      pi[i] = im[1350 + 10 * i] * 0.98;
    }
    return PlotContent.of(
            Axis.linear("real part (µm/N)", -2.5, 2.5),
            Axis.linear("imaginary part (µm/N)", -4.5, 0.5))
        .title("Nyquist")
        .viewKey("nyquist")
        .equalAspect()
        .lines("", new double[] {0}, List.of(), true, Ink.QUIET, Stroke.SOLID)
        .lines("", new double[] {0}, List.of(), false, Ink.QUIET, Stroke.SOLID)
        .curve("fitted", re, im, Ink.SECOND)
        .curve("measured", pr, pi, Ink.FIRST, Stroke.NONE, Mark.CIRCLE)
        .build();
  }

  static PlotContent spectrogram() {
    double[] t = new double[400];
    double[] f = new double[300];
    float[][] v = new float[400][300];
    Random random = new Random(9);
    for (int i = 0; i < t.length; i++) {
      t[i] = i * 0.01;
      for (int j = 0; j < f.length; j++) {
        f[j] = 10 + j * 20;
        double level = -75 + 6 * random.nextGaussian();
        for (int h = 1; h < 6; h++) {
          level = Math.max(level, -10 - 8 * h - Math.pow((f[j] - 933 * h) / 18, 2));
        }
        if (t[i] > 2) {
          level = Math.max(level, -15 - Math.pow((f[j] - 2150 - 30 * Math.sin(t[i] * 4)) / 25, 2));
        }
        v[i][j] = (float) level;
      }
    }
    return PlotContent.of(Axis.linear("time (s)", 0, 4), Axis.linear("frequency (Hz)", 0, 6000))
        .title("Sound of the cut")
        .viewKey("sound")
        .raster("level", t, f, v, Palette.rising(-80, 0, x -> String.format("%.0f dB", x)))
        .lines(
            "tooth passing",
            new double[] {933, 1866, 2799, 3732},
            List.of("1×", "2×", "3×", "4×"),
            false,
            Ink.SECOND,
            Stroke.DASHED)
        .build();
  }

  static PlotContent marks() {
    double[] x = {1, 2, 4, 8, 16, 32, 64, 128, 256, 512, 1024};
    double[][] y = new double[5][x.length];
    for (int k = 0; k < 5; k++) {
      for (int i = 0; i < x.length; i++) {
        y[k][i] = 1 / (0.01 * (k + 1) + Math.abs(Math.log(x[i] / 20)) / (k + 2));
      }
    }
    return PlotContent.of(
            Axis.log("order (1)", 0.8, 2000), Axis.decibel("level (dB re 1)", 0.3, 120))
        .title("Five curves with marks")
        .span("overlap", 30, 100, Ink.CAUTION)
        .curve("first", x, y[0], Ink.FIRST, Stroke.SOLID, Mark.CIRCLE)
        .curve("second", x, y[1], Ink.SECOND, Stroke.DASHED, Mark.SQUARE)
        .curve("third", x, y[2], Ink.THIRD, Stroke.DOTTED, Mark.TRIANGLE)
        .curve("fourth", x, y[3], Ink.FOURTH, Stroke.SOLID, Mark.CROSS)
        .curve("fifth", x, y[4], Ink.FIFTH, Stroke.DASHED, Mark.DIAMOND)
        .shapes(
            "dotted area",
            List.of(new java.awt.geom.Rectangle2D.Double(200, 30, 800, 60)),
            Ink.FOURTH,
            Pattern.DOTS)
        .build();
  }

  static BufferedImage picture(Plot plot, int width, int height, double scale) {
    plot.setSize(width, height);
    plot.doLayout();
    BufferedImage image =
        new BufferedImage(
            (int) (width * scale), (int) (height * scale), BufferedImage.TYPE_INT_RGB);
    Graphics2D g = image.createGraphics();
    g.scale(scale, scale);
    plot.paint(g);
    g.dispose();
    return image;
  }

  public static void main(String[] args) throws IOException {
    Path folder = Files.createDirectories(Path.of(args[0]));
    for (boolean dark : new boolean[] {false, true}) {
      if (dark) {
        FlatDarkLaf.setup();
      } else {
        FlatLightLaf.setup();
      }
      for (int percent : new int[] {100, 200}) {
        Font font = UIManager.getFont("Label.font").deriveFont(13f);
        BufferedImage sheet =
            new BufferedImage(
                1280 * percent / 100, 1200 * percent / 100, BufferedImage.TYPE_INT_RGB);
        Graphics2D g = sheet.createGraphics();
        List<PlotContent> all =
            List.of(
                response(),
                lobes(),
                nyquist(),
                spectrogram(),
                marks(),
                PlotContent.empty(
                    "Nothing measured yet: tap the tool tip, and the response appears here."));
        for (int i = 0; i < all.size(); i++) {
          Plot plot = new Plot("picture " + i);
          plot.setFont(font);
          plot.show(all.get(i));
          plot.setSize(630, 390);
          if (i == 0 || i == 4) {
            plot.cursor(i == 0 ? 1710 : 20, Double.NaN);
          } else if (i == 3) {
            plot.cursor(2.5, 200);
          }
          if (i == 1) {
            plot.setShown("chance of no chatter", args.length > 1);
          }
          if (i == 2) {
            plot.note("saved nyquist.png", false);
          }
          g.drawImage(
              picture(plot, 630, 390, percent / 100.0),
              (i % 2 * 640 + 5) * percent / 100,
              (i / 2 * 400 + 5) * percent / 100,
              null);
        }
        g.dispose();
        ImageIO.write(
            sheet, "png", folder.resolve((dark ? "dark-" : "light-") + percent + ".png").toFile());
      }
    }
  }
}
