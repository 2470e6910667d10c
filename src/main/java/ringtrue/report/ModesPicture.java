package ringtrue.report;

import java.awt.BasicStroke;
import java.awt.Color;
import java.awt.Graphics2D;
import java.awt.Rectangle;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.function.BiConsumer;
import java.util.function.Predicate;
import org.knowm.xchart.XYChart;
import org.knowm.xchart.XYSeries;
import org.knowm.xchart.XYSeries.XYSeriesRenderStyle;
import org.knowm.xchart.style.markers.Marker;
import org.knowm.xchart.style.markers.SeriesMarkers;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Receptance;
import ringtrue.dynamics.ResponseForm;
import ringtrue.fitting.Convergence;
import ringtrue.fitting.FittedModes;
import ringtrue.fitting.LineNoise;
import ringtrue.fitting.Stabilisation;
import ringtrue.fitting.Stabilisation.Group;
import ringtrue.fitting.Stabilisation.Pole;

/** Fitted modes: the fit over the measurement, and what speaks for it. */
final class ModesPicture {
  private static final Color FAINT = new Color(205, 205, 205);
  private static final BasicStroke HAIR = new BasicStroke(0.8f);
  private static final BasicStroke FIRM = new BasicStroke(2.6f);

  /** Columns over which the misfit is averaged to be held against the noise. */
  private static final int STRETCHES = 90;

  private final FrequencyResponse response;
  private final FittedModes fitted;
  private final Receptance model;
  private final ResponseCharts.Span span;

  ModesPicture(FrequencyResponse response, FittedModes fitted) {
    this.response = response;
    this.fitted = fitted;
    this.model = fitted.model().throughWindow(response.windowTimeConstantS());
    this.span = ResponseCharts.Span.around(response, fitted.bandLowHz(), fitted.bandHighHz());
  }

  /** Magnitude, phase and circles. */
  Panels fit() {
    FrequencyResponse.Origin origin = response.origin();
    List<String> words = new ArrayList<>();
    for (Mode mode : fitted.model().modes()) {
      words.add(
          String.format(
              Locale.ROOT,
              "%.1f Hz, damping %.2f %%, %.3g N/um",
              mode.frequencyHz(),
              mode.dampingRatio() * 100,
              mode.stiffnessNPerM() / 1e6));
    }
    String caption =
        "Measured receptance"
            + ResponseCharts.where(origin)
            + (words.isEmpty()
                ? " (blue line, shaded two sigma), "
                : " (broad blue line, shaded two sigma) and fitted modes (orange, dashed), ")
            + String.format(
                Locale.ROOT,
                "fitted from %.0f to %.0f Hz, left over %.2g %%. ",
                fitted.bandLowHz(),
                fitted.bandHighHz(),
                fitted.fitErrorRelative() * 100)
            + windowWords()
            + (words.isEmpty() ? "No mode was found." : "Modes: " + String.join("; ", words) + ".");
    Panels panels = new Panels(Pictures.WIDTH, ResponseCharts.title(origin), caption);
    ResponseCharts.View view =
        new ResponseCharts.View(ResponseForm.RECEPTANCE, response.windowTimeConstantS());
    // nothing fitted is nothing to draw
    Receptance shown = words.isEmpty() ? null : model;
    ResponseCharts.magnitude(panels, response, span, shown, view);
    ResponseCharts.phase(panels, response, span, shown, view);
    if (!words.isEmpty()) {
      NyquistCircles circles = new NyquistCircles(response, fitted);
      panels.drawing(circles.height(), circles, circles.legend());
    }
    return panels;
  }

  private String windowWords() {
    double tau = response.windowTimeConstantS();
    return Double.isInfinite(tau)
        ? ""
        : String.format(
            Locale.ROOT,
            "Both as an exponential window of %.3g ms shows them; the modes are without it. ",
            tau * 1e3);
  }

  /** Misfit against noise, and poles over rising orders. */
  Panels check() {
    Stabilisation poles = fitted.stabilisation();
    Convergence convergence = fitted.convergence();
    StringBuilder caption = new StringBuilder();
    caption.append(
        "Above: what the fit leaves over and the noise that it took for each line. Where the misfit"
            + " runs with the noise, nothing is left to be explained; where it stands above, the"
            + " measurement holds something that the modes do not describe; where it lies below, the"
            + " taps differ as a whole rather than from line to line. ");
    if (Double.isFinite(convergence.reducedChiSquare())) {
      caption.append(
          String.format(
              Locale.ROOT,
              "Overall the misfit is %.3g times the noise. ",
              Math.sqrt(convergence.reducedChiSquare())));
    }
    if (poles.poles().isEmpty()) {
      caption.append("No poles over rising model orders go with this fit.");
    } else {
      long taken = poles.groups().stream().filter(Group::taken).count();
      caption.append(
          "Below: poles found with models of rising order. A pole of the structure comes back at the"
              + " same frequency and damping at every order that is high enough; one that stands for"
              + " noise wanders. "
              + poles.groups().size()
              + (poles.groups().size() == 1 ? " group came" : " groups came")
              + " together, the fit started from "
              + taken
              + " and kept "
              + fitted.model().modes().size()
              + (fitted.model().modes().size() == 1 ? " mode." : " modes."));
    }
    Panels panels =
        new Panels(
            Pictures.WIDTH,
            ResponseCharts.title(response.origin()) + ": how far the modes can be trusted",
            caption.toString());
    misfit(panels);
    if (!poles.poles().isEmpty()) {
      poles(panels, poles);
    }
    return panels;
  }

  // Misfit ----------------------------------------------------------------------------------------

  private void misfit(Panels panels) {
    double perSi = ResponseForm.RECEPTANCE.readablePerSi();
    XYChart chart =
        panels.chart(360, "frequency, Hz", "receptance, " + ResponseForm.RECEPTANCE.readableUnit());
    LineNoise noise = fitted.noise();
    double largest = 0;
    for (int i = span.from(); i < span.to(); i++) {
      largest = Math.max(largest, response.magnitude(i) * perSi);
    }
    double least = Math.max(largest * 1e-9, Double.MIN_NORMAL);
    double[] g = new double[2];
    double[] left = new double[noise.lines()];
    for (int i = 0; i < left.length; i++) {
      int line =
          Math.min(
              response.firstLineAtOrAbove(noise.frequencyHz(i) * (1 - 1e-12)),
              response.lines() - 1);
      model.at(response.frequencyHz(line), g);
      left[i] = perSi * Math.hypot(response.real(line) - g[0], response.imag(line) - g[1]);
    }
    PixelColumns measured =
        PixelColumns.of(
            span.from(),
            span.to(),
            response::frequencyHz,
            i -> Math.max(response.magnitude(i) * perSi, least),
            span.logarithmic(),
            ResponseCharts.COLUMNS);
    Panels.line(chart, "measured", measured.x, measured.y, FAINT, Panels.SOLID);
    if (left.length > 1) {
      PixelColumns raw =
          PixelColumns.of(
              0,
              left.length,
              noise::frequencyHz,
              i -> Math.max(left[i], least),
              span.logarithmic(),
              ResponseCharts.COLUMNS / 2);
      Panels.line(chart, "measured less fitted", raw.x, raw.y, Panels.SOFT_BLUE, HAIR);
      double[][] mean = stretches(noise, left, least);
      Panels.line(chart, "its root mean square", mean[0], mean[1], Panels.BLUE, FIRM);
      PixelColumns took =
          PixelColumns.of(
              0,
              left.length,
              noise::frequencyHz,
              i -> Math.max(Math.sqrt(2) * noise.noiseMPerN(i) * perSi, least),
              span.logarithmic(),
              ResponseCharts.COLUMNS / 2);
      Panels.line(chart, "noise that the fit took", took.x, took.y, Panels.ORANGE, Panels.DASHED);
    }
    chart.getStyler().setYAxisLogarithmic(true);
    ResponseCharts.readableDecades(chart);
    panels.legend(
        new Legend()
            .line("measured", FAINT, Panels.SOLID)
            .line("measured less fitted", Panels.SOFT_BLUE, HAIR)
            .line("its root mean square", Panels.BLUE, FIRM)
            .line("noise that the fit took", Panels.ORANGE, Panels.DASHED));
    ResponseCharts.frequencyAxis(chart, span);
  }

  /** Root mean square of the misfit over stretches of the band. */
  private double[][] stretches(LineNoise noise, double[] left, double least) {
    double first = scaled(noise.frequencyHz(0));
    double width = (scaled(noise.frequencyHz(left.length - 1)) - first) / STRETCHES;
    List<double[]> all = new ArrayList<>();
    int i = 0;
    while (i < left.length) {
      int stretch = (int) ((scaled(noise.frequencyHz(i)) - first) / width);
      double squares = 0;
      double hz = 0;
      int count = 0;
      // single lines scatter too much to be compared with anything
      while (i < left.length
          && ((int) ((scaled(noise.frequencyHz(i)) - first) / width) == stretch || count < 4)) {
        squares += left[i] * left[i];
        hz += noise.frequencyHz(i);
        count++;
        i++;
      }
      all.add(new double[] {hz / count, Math.max(least, Math.sqrt(squares / count))});
    }
    return new double[][] {
      all.stream().mapToDouble(v -> v[0]).toArray(), all.stream().mapToDouble(v -> v[1]).toArray()
    };
  }

  private double scaled(double hz) {
    return span.logarithmic() ? Math.log(hz) : hz;
  }

  // Poles -----------------------------------------------------------------------------------------

  private void poles(Panels panels, Stabilisation poles) {
    XYChart chart = panels.chart(430, "frequency, Hz", "model order (number of poles)");
    int lowest = poles.poles().stream().mapToInt(Pole::order).min().orElse(0);
    int highest = poles.poles().stream().mapToInt(Pole::order).max().orElse(1);
    double room = Math.max(1, 0.06 * (highest - lowest));
    double bottom = Math.floor(lowest - room);
    double top = Math.ceil(highest + 2.5 * room);
    faintMagnitude(chart, bottom, top);
    List<Group> taken = poles.groups().stream().filter(Group::taken).toList();
    for (int i = 0; i < taken.size(); i++) {
      double hz = taken.get(i).frequencyHz();
      Panels.line(
              chart,
              "taken " + i,
              new double[] {hz, hz},
              new double[] {bottom, top},
              Panels.GREEN,
              Panels.DASHED)
          .setShowInLegend(false);
    }
    marks(
        chart,
        "alone",
        poles,
        p -> !p.comesBack() && !isTaken(poles, p),
        SeriesMarkers.CROSS,
        Color.GRAY);
    marks(
        chart,
        "comes back",
        poles,
        p -> p.comesBack() && !isTaken(poles, p),
        SeriesMarkers.CIRCLE,
        Panels.SOFT_BLUE);
    marks(chart, "taken", poles, p -> isTaken(poles, p), SeriesMarkers.DIAMOND, Panels.ORANGE);
    List<Mode> modes = fitted.model().modes();
    scatter(
        chart,
        "fitted",
        modes.stream().mapToDouble(Mode::frequencyHz).toArray(),
        modes.stream().mapToDouble(m -> highest + 1.4 * room).toArray(),
        SeriesMarkers.TRIANGLE_DOWN,
        Panels.DARK);
    chart.getStyler().setYAxisMin(bottom).setYAxisMax(top).setMarkerSize(8);
    chart
        .getStyler()
        .setYAxisTickLabelsFormattingFunction(
            order ->
                Math.abs(order - Math.rint(order)) < 1e-6 && order >= 0
                    ? Long.toString(Math.round(order))
                    : "");
    ResponseCharts.frequencyAxis(chart, span);
    panels.legend(
        new Legend()
            .add("in a group the fit started from", sample(SeriesMarkers.DIAMOND, Panels.ORANGE))
            .add("comes back from the order before", sample(SeriesMarkers.CIRCLE, Panels.SOFT_BLUE))
            .add("at this order only", sample(SeriesMarkers.CROSS, Color.GRAY))
            .add("fitted mode", sample(SeriesMarkers.TRIANGLE_DOWN, Panels.DARK))
            .line("middle of such a group", Panels.GREEN, Panels.DASHED)
            .line("measured magnitude, without scale", FAINT, Panels.SOLID));
  }

  private static boolean isTaken(Stabilisation poles, Pole pole) {
    return pole.group() >= 0
        && pole.group() < poles.groups().size()
        && poles.groups().get(pole.group()).taken();
  }

  private void marks(
      XYChart chart,
      String name,
      Stabilisation poles,
      Predicate<Pole> which,
      Marker marker,
      Color color) {
    List<Pole> some =
        poles.poles().stream()
            .filter(which)
            .filter(p -> p.frequencyHz() >= span.lowHz() && p.frequencyHz() <= span.highHz())
            .toList();
    scatter(
        chart,
        name,
        some.stream().mapToDouble(Pole::frequencyHz).toArray(),
        some.stream().mapToDouble(Pole::order).toArray(),
        marker,
        color);
  }

  static void scatter(
      XYChart chart, String name, double[] x, double[] y, Marker marker, Color color) {
    if (x.length == 0) {
      return;
    }
    XYSeries series = chart.addSeries(name, x, y);
    series.setXYSeriesRenderStyle(XYSeriesRenderStyle.Scatter);
    series.setMarker(marker);
    series.setMarkerColor(color);
    series.setLineColor(color);
  }

  static BiConsumer<Graphics2D, Rectangle> sample(Marker marker, Color color) {
    return (g, box) -> {
      g.setColor(color);
      marker.paint(g, box.getCenterX(), box.getCenterY(), 8);
    };
  }

  /** The measured magnitude in decades, stretched over the height of the chart. */
  private void faintMagnitude(XYChart chart, double bottom, double top) {
    double high = 0;
    double low = Double.POSITIVE_INFINITY;
    for (int i = span.from(); i < span.to(); i++) {
      double size = response.magnitude(i);
      if (size > 0) {
        high = Math.max(high, size);
        low = Math.min(low, size);
      }
    }
    double floor = Math.log(Math.max(low, 1e-5 * high));
    double range = Math.log(high) - floor;
    if (!(range > 0)) {
      return;
    }
    PixelColumns line =
        PixelColumns.of(
            span.from(),
            span.to(),
            response::frequencyHz,
            i ->
                bottom
                    + (top - bottom)
                        * (0.04
                            + 0.85 * Math.max(0, Math.log(response.magnitude(i)) - floor) / range),
            span.logarithmic(),
            ResponseCharts.COLUMNS);
    Panels.line(chart, "measured magnitude", line.x, line.y, FAINT, Panels.SOLID);
  }
}
