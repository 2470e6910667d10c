package ringtrue.report;

import java.awt.BasicStroke;
import java.awt.Color;
import java.awt.Font;
import java.awt.FontMetrics;
import java.awt.Graphics2D;
import java.awt.RenderingHints;
import java.awt.geom.Ellipse2D;
import java.awt.geom.Line2D;
import java.awt.geom.Path2D;
import java.awt.geom.Rectangle2D;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Receptance;
import ringtrue.fitting.FittedModes;

/**
 * Each mode's stretch of the response in the complex plane, where it runs round a circle: measured
 * lines and the fitted model, both axes to the same scale. The most flexible modes are drawn, by
 * frequency.
 */
final class NyquistCircles implements Panels.Drawing {
  /** Most circles in a picture. */
  static final int MOST = 8;

  private static final int IN_A_ROW = 4;
  private static final int HEAD = 30;
  private static final int TITLE = 24;
  private static final int PLOT = 210;
  private static final int LEFT = 66;
  private static final int BOTTOM = 34;
  private static final int ROW = TITLE + PLOT + BOTTOM;

  /** Half-power bandwidths on either side that are shown. */
  private static final double REACH = 2;

  private static final int FEWEST_LINES = 4;
  private static final int MOST_POINTS = 70;
  private static final Font SMALL = new Font(Font.SANS_SERIF, Font.PLAIN, 13);
  private static final BasicStroke HAIR = new BasicStroke(1f);

  private final FrequencyResponse response;
  private final Receptance model;
  private final List<Mode> modes;
  private final int left;

  NyquistCircles(FrequencyResponse response, FittedModes fitted) {
    this.response = response;
    this.model = fitted.model().throughWindow(response.windowTimeConstantS());
    this.modes =
        fitted.model().modes().stream()
            .sorted(Comparator.comparingDouble(m -> m.stiffnessNPerM() * m.dampingRatio()))
            .limit(MOST)
            .sorted(Comparator.comparingDouble(Mode::frequencyHz))
            .toList();
    this.left = fitted.model().modes().size() - modes.size();
  }

  int height() {
    return HEAD + (modes.size() + IN_A_ROW - 1) / IN_A_ROW * ROW;
  }

  Legend legend() {
    return new Legend()
        .add(
            "measured lines near the mode",
            (g, box) -> {
              for (int i = 0; i < 3; i++) {
                point(g, box.x + 6 + 11 * i, box.getCenterY());
              }
            })
        .line("fitted modes", Panels.ORANGE, Panels.SOLID)
        .add("at the natural frequency", (g, box) -> mark(g, box.getCenterX(), box.getCenterY()));
  }

  @Override
  public void paint(Graphics2D g) {
    g.setRenderingHint(RenderingHints.KEY_STROKE_CONTROL, RenderingHints.VALUE_STROKE_PURE);
    g.setFont(Panels.TEXT);
    g.setColor(Panels.DARK);
    g.drawString(
        "Nyquist circles: imaginary part (up) over real part of the receptance, equal scales"
            + (left == 0
                ? ""
                : "; the "
                    + modes.size()
                    + " most flexible modes, "
                    + left
                    + (left == 1 ? " stiffer one is" : " stiffer ones are")
                    + " not drawn"),
        Panels.MARGIN,
        20);
    for (int first = 0; first < modes.size(); first += IN_A_ROW) {
      int inRow = Math.min(IN_A_ROW, modes.size() - first);
      double cell = (Pictures.WIDTH - 2.0 * Panels.MARGIN) / IN_A_ROW;
      double x = (Pictures.WIDTH - inRow * cell) / 2;
      for (int i = 0; i < inRow; i++) {
        Graphics2D part = (Graphics2D) g.create();
        part.translate(x + i * cell, HEAD + first / IN_A_ROW * ROW);
        circle(part, modes.get(first + i));
        part.dispose();
      }
    }
  }

  private void circle(Graphics2D g, Mode mode) {
    double fn = mode.frequencyHz();
    double seen = mode.halfPowerBandwidthHz() + 1 / (Math.PI * response.windowTimeConstantS());
    double reach = Math.max(REACH * seen, FEWEST_LINES * response.resolutionHz());
    List<double[]> curve = new ArrayList<>();
    for (int i = -200; i <= 200; i++) {
      // closer together near the resonance, where the curve is fast
      double hz = fn + reach * Math.sinh(i / 50.0) / Math.sinh(4);
      if (hz > 0) {
        curve.add(value(model, hz));
      }
    }
    List<double[]> points = new ArrayList<>();
    int from = response.firstLineAtOrAbove(fn - reach);
    int to = response.firstLineAtOrAbove(fn + reach);
    int step = Math.max(1, (to - from) / MOST_POINTS);
    for (int i = from; i < to; i += step) {
      points.add(new double[] {response.real(i), response.imag(i)});
    }
    View view = View.around(curve);
    frame(g, mode, view);
    Graphics2D plot = (Graphics2D) g.create();
    plot.translate(LEFT, TITLE);
    plot.clip(new Rectangle2D.Double(0, 0, PLOT, PLOT));
    Path2D path = new Path2D.Double();
    for (double[] v : curve) {
      if (path.getCurrentPoint() == null) {
        path.moveTo(view.x(v), view.y(v));
      } else {
        path.lineTo(view.x(v), view.y(v));
      }
    }
    plot.setColor(Panels.ORANGE);
    plot.setStroke(Panels.SOLID);
    plot.draw(path);
    for (double[] v : points) {
      point(plot, view.x(v), view.y(v));
    }
    double[] top = value(model, fn);
    mark(plot, view.x(top), view.y(top));
    plot.dispose();
  }

  private static double[] value(Receptance of, double hz) {
    double[] g = new double[2];
    of.at(hz, g);
    return g;
  }

  private static void point(Graphics2D g, double x, double y) {
    g.setStroke(HAIR);
    g.setColor(Panels.BLUE);
    g.draw(new Ellipse2D.Double(x - 3, y - 3, 6, 6));
  }

  private static void mark(Graphics2D g, double x, double y) {
    g.setColor(Panels.DARK);
    g.fill(new Ellipse2D.Double(x - 4.5, y - 4.5, 9, 9));
  }

  private static void frame(Graphics2D g, Mode mode, View view) {
    String name =
        String.format(
            Locale.ROOT,
            "%.1f Hz  %.2f %%  %.3g N/um",
            mode.frequencyHz(),
            mode.dampingRatio() * 100,
            mode.stiffnessNPerM() / 1e6);
    g.setFont(Panels.TEXT);
    g.setColor(Panels.DARK);
    FontMetrics metrics = g.getFontMetrics();
    g.drawString(name, LEFT + (PLOT - metrics.stringWidth(name)) / 2, TITLE - 7);
    g.setFont(SMALL);
    FontMetrics small = g.getFontMetrics();
    g.setStroke(HAIR);
    for (double tick : view.ticks(view.centreX)) {
      double x = LEFT + view.x(new double[] {tick, 0});
      g.setColor(Math.abs(tick) < 1e-9 * view.span ? Color.GRAY : new Color(225, 225, 225));
      g.draw(new Line2D.Double(x, TITLE, x, TITLE + PLOT));
      g.setColor(Panels.DARK);
      String label = view.label(tick);
      g.drawString(label, (float) (x - small.stringWidth(label) / 2.0), TITLE + PLOT + 16);
    }
    for (double tick : view.ticks(view.centreY)) {
      double y = TITLE + view.y(new double[] {0, tick});
      g.setColor(Math.abs(tick) < 1e-9 * view.span ? Color.GRAY : new Color(225, 225, 225));
      g.draw(new Line2D.Double(LEFT, y, LEFT + PLOT, y));
      g.setColor(Panels.DARK);
      String label = view.label(tick);
      g.drawString(
          label, LEFT - 6 - small.stringWidth(label), (float) (y + small.getAscent() / 2.0 - 1));
    }
    g.setColor(Color.GRAY);
    g.draw(new Rectangle2D.Double(LEFT, TITLE, PLOT, PLOT));
    g.setColor(Panels.DARK);
    g.drawString(view.unit(), 4, TITLE + small.getAscent() / 2);
  }

  /** The square of the complex plane that is shown. */
  private record View(double centreX, double centreY, double span) {

    static View around(List<double[]> curve) {
      double lowX = curve.stream().mapToDouble(v -> v[0]).min().orElse(-1);
      double highX = curve.stream().mapToDouble(v -> v[0]).max().orElse(1);
      double lowY = curve.stream().mapToDouble(v -> v[1]).min().orElse(-1);
      double highY = curve.stream().mapToDouble(v -> v[1]).max().orElse(1);
      double span = 1.25 * Math.max(Math.max(highX - lowX, highY - lowY), Double.MIN_NORMAL);
      return new View((lowX + highX) / 2, (lowY + highY) / 2, span);
    }

    double x(double[] value) {
      return PLOT * (0.5 + (value[0] - centreX) / span);
    }

    double y(double[] value) {
      return PLOT * (0.5 - (value[1] - centreY) / span);
    }

    /** Distance of the ticks: 1, 2 or 5 times a power of ten, three or four in the span. */
    private double step() {
      double rough = span / 3.2;
      double power = Math.pow(10, Math.floor(Math.log10(rough)));
      double lead = rough / power;
      return power * (lead < 2 ? 1 : lead < 5 ? 2 : 5);
    }

    List<Double> ticks(double centre) {
      List<Double> ticks = new ArrayList<>();
      double step = step();
      for (double k = Math.ceil((centre - span / 2) / step); k * step <= centre + span / 2; k++) {
        ticks.add(k * step);
      }
      return ticks;
    }

    /** Micrometres, nanometres or picometres per newton, so that labels stay short. */
    private double perUnit() {
      double step = step();
      return step >= 0.999e-8 ? 1e6 : step >= 0.999e-11 ? 1e9 : 1e12;
    }

    String unit() {
      double per = perUnit();
      return per == 1e6 ? "um/N" : per == 1e9 ? "nm/N" : "pm/N";
    }

    String label(double tick) {
      double shown = tick * perUnit();
      int places = Math.max(0, (int) Math.ceil(-Math.log10(step() * perUnit()) - 1e-9));
      String text = String.format(Locale.ROOT, "%." + places + "f", shown);
      return text.matches("-0(\\.0*)?") ? text.substring(1) : text;
    }
  }
}
