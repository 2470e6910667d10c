package ringtrue.report;

import java.awt.BasicStroke;
import java.awt.Color;
import java.text.DecimalFormat;
import java.text.DecimalFormatSymbols;
import java.util.Arrays;
import java.util.Locale;
import java.util.function.IntToDoubleFunction;
import org.knowm.xchart.AnnotationLine;
import org.knowm.xchart.XYChart;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.Receptance;
import ringtrue.dynamics.ResponseForm;

/** Charts of a response over frequency: magnitude, phase, coherence, with or without a fit. */
final class ResponseCharts {
  static final int COLUMNS = 1000;

  private ResponseCharts() {}

  /** Receptances as the picture shows them: in which form, and in a unit of handy size. */
  record View(ResponseForm form, double windowTimeConstantS) {

    double magnitude(Receptance of, double hz) {
      double[] g = at(of, hz);
      return Math.hypot(g[0], g[1]) * form.readablePerSi();
    }

    double degrees(Receptance of, double hz) {
      double[] g = at(of, hz);
      double degrees = Math.toDegrees(Math.atan2(g[1], g[0]));
      // receptance turns from 0 to -180 deg, mobility from 90 to -90, accelerance from 180 to 0
      double highest = 90 + 90.0 * form.ordinal();
      return degrees > highest ? degrees - 360 : degrees <= highest - 360 ? degrees + 360 : degrees;
    }

    double[] at(Receptance of, double hz) {
      double[] g = new double[2];
      of.at(hz, g);
      form.fromReceptance(hz, windowTimeConstantS, g);
      return g;
    }
  }

  static void magnitude(
      Panels panels, FrequencyResponse response, Span span, Receptance model, View view) {
    XYChart chart =
        panels.chart(430, "frequency, Hz", view.form.word() + ", " + view.form.readableUnit());
    double floor = 0;
    for (int i = span.from; i < span.to; i++) {
      floor = Math.max(floor, view.magnitude(response, response.frequencyHz(i)));
    }
    double least = Math.max(floor * 1e-7, Double.MIN_NORMAL);
    IntToDoubleFunction size =
        i -> Math.max(view.magnitude(response, response.frequencyHz(i)), least);
    Legend legend = new Legend();
    if (band(chart, response, span, size)) {
      legend.area("two sigma", Panels.PALE);
    }
    PixelColumns measured =
        PixelColumns.of(span.from, span.to, response::frequencyHz, size, span.logarithmic, COLUMNS);
    measuredLine(chart, measured, model != null);
    legend.line(
        "measured",
        model == null ? Panels.BLUE : Panels.SOFT_BLUE,
        model == null ? Panels.SOLID : Panels.BROAD);
    if (model != null) {
      PixelColumns fit =
          PixelColumns.of(
              span.from,
              span.to,
              response::frequencyHz,
              i -> Math.max(view.magnitude(model, response.frequencyHz(i)), least),
              span.logarithmic,
              COLUMNS);
      Panels.line(chart, "fitted modes", fit.x, fit.y, Panels.ORANGE, Panels.DASHED);
      legend.line("fitted modes", Panels.ORANGE, Panels.DASHED);
    }
    chart.getStyler().setYAxisLogarithmic(true);
    readableDecades(chart);
    panels.legend(legend);
    wholeDecades(chart, measured.y);
    frequencyAxis(chart, span);
  }

  /** Small numbers with an exponent, so that they do not all look like 0. */
  static void readableDecades(XYChart chart) {
    DecimalFormat plain =
        new DecimalFormat("0.####", DecimalFormatSymbols.getInstance(Locale.ROOT));
    chart
        .getStyler()
        .setYAxisTickLabelsFormattingFunction(
            v -> v >= 0.00099 ? plain.format(v) : String.format(Locale.ROOT, "%.0e", v));
  }

  /** Only whole decades have labels; a response of one or two is given room for them. */
  static void wholeDecades(XYChart chart, double[] shown) {
    double least = Arrays.stream(shown).min().orElse(1);
    double most = Arrays.stream(shown).max().orElse(1);
    if (most < 150 * least) {
      chart
          .getStyler()
          .setYAxisMin(Math.pow(10, Math.floor(Math.log10(least))))
          .setYAxisMax(Math.pow(10, Math.ceil(Math.log10(most * 1.05))));
    }
  }

  /** Broad and soft where a fit is drawn over it, so that both can be seen. */
  static void measuredLine(XYChart chart, PixelColumns measured, boolean underFit) {
    Panels.line(
        chart,
        "measured",
        measured.x,
        measured.y,
        underFit ? Panels.SOFT_BLUE : Panels.BLUE,
        underFit ? Panels.BROAD : Panels.SOLID);
  }

  /** Draws what two sigma cover, where they are known. */
  private static boolean band(
      XYChart chart, FrequencyResponse response, Span span, IntToDoubleFunction size) {
    PixelColumns upper =
        PixelColumns.of(
            span.from,
            span.to,
            response::frequencyHz,
            i -> size.applyAsDouble(i) * (1 + 2 * Math.min(response.relativeError(i), 2)),
            span.logarithmic,
            COLUMNS / 2);
    PixelColumns lower =
        PixelColumns.of(
            span.from,
            span.to,
            response::frequencyHz,
            i -> size.applyAsDouble(i) * Math.max(1 - 2 * response.relativeError(i), 0.02),
            span.logarithmic,
            COLUMNS / 2);
    if (upper.x.length < 2 || lower.x.length < 2) {
      return false;
    }
    double[] x = new double[upper.x.length + lower.x.length];
    double[] y = new double[x.length];
    System.arraycopy(upper.x, 0, x, 0, upper.x.length);
    System.arraycopy(upper.y, 0, y, 0, upper.y.length);
    for (int i = 0; i < lower.x.length; i++) {
      x[x.length - 1 - i] = lower.x[i];
      y[x.length - 1 - i] = lower.y[i];
    }
    Panels.area(chart, "two sigma", x, y, Panels.PALE);
    return true;
  }

  static void phase(
      Panels panels, FrequencyResponse response, Span span, Receptance model, View view) {
    XYChart chart = panels.chart(230, "frequency, Hz", "phase, deg");
    PixelColumns measured =
        PixelColumns.of(
            span.from,
            span.to,
            response::frequencyHz,
            i -> view.degrees(response, response.frequencyHz(i)),
            span.logarithmic,
            COLUMNS);
    measuredLine(chart, measured, model != null);
    if (model != null) {
      PixelColumns fit =
          PixelColumns.of(
              span.from,
              span.to,
              response::frequencyHz,
              i -> view.degrees(model, response.frequencyHz(i)),
              span.logarithmic,
              COLUMNS);
      Panels.line(chart, "fitted modes", fit.x, fit.y, Panels.ORANGE, Panels.DASHED);
    }
    double highest = 90 + 90.0 * view.form.ordinal();
    chart.getStyler().setYAxisMin(highest - 360).setYAxisMax(highest);
    chart.getStyler().setLegendVisible(false);
    frequencyAxis(chart, span);
  }

  static void coherence(Panels panels, FrequencyResponse response, Span span) {
    PixelColumns line =
        PixelColumns.of(
            span.from,
            span.to,
            response::frequencyHz,
            response::coherence,
            span.logarithmic,
            COLUMNS);
    if (line.x.length < 2) {
      return;
    }
    XYChart chart = panels.chart(190, "frequency, Hz", "coherence");
    Panels.line(chart, "coherence", line.x, line.y, Panels.GREEN, Panels.SOLID);
    chart.getStyler().setYAxisMin(0.0).setYAxisMax(1.05);
    chart.getStyler().setLegendVisible(false);
    frequencyAxis(chart, span);
  }

  static void frequencyAxis(XYChart chart, Span span) {
    // evenly spaced values would become the only tick labels, hence three that are not
    double any = chart.getSeriesCollection().iterator().next().getYData()[0];
    Panels.line(
            chart,
            "uneven",
            new double[] {span.lowHz, span.lowHz + 0.3 * (span.highHz - span.lowHz), span.highHz},
            new double[] {any, any, any},
            Panels.CLEAR,
            Panels.NO_LINE)
        .setShowInLegend(false);
    chart.getStyler().setXAxisLogarithmic(span.logarithmic);
    chart
        .getStyler()
        .setXAxisTickLabelsFormattingFunction(hz -> String.format(Locale.ROOT, "%.0f", hz));
    chart.getStyler().setXAxisMin(span.lowHz).setXAxisMax(span.highHz);
    for (double edge : new double[] {span.bandLowHz, span.bandHighHz}) {
      if (edge > span.lowHz && edge < span.highHz) {
        chart.addAnnotation(new AnnotationLine(edge, true, false));
      }
    }
    annotationStyle(chart);
  }

  static void annotationStyle(XYChart chart) {
    chart
        .getStyler()
        .setAnnotationLineColor(Color.GRAY)
        .setAnnotationLineStroke(
            new BasicStroke(
                1.5f, BasicStroke.CAP_BUTT, BasicStroke.JOIN_ROUND, 10, new float[] {2, 4}, 0));
  }

  /** The stretch of frequency that a picture shows: the band and some of its surroundings. */
  record Span(
      int from,
      int to,
      double lowHz,
      double highHz,
      double bandLowHz,
      double bandHighHz,
      boolean logarithmic) {

    static Span around(FrequencyResponse response, double bandLowHz, double bandHighHz) {
      boolean logarithmic = bandHighHz > 12 * Math.max(bandLowHz, response.frequencyHz(0));
      double low = logarithmic ? bandLowHz / 1.5 : bandLowHz - 0.1 * (bandHighHz - bandLowHz);
      double high = logarithmic ? bandHighHz * 1.3 : bandHighHz + 0.1 * (bandHighHz - bandLowHz);
      int from = Math.min(response.firstLineAtOrAbove(low), response.lines() - 2);
      int to = Math.max(from + 2, response.firstLineAtOrAbove(high));
      to = Math.min(to, response.lines());
      return new Span(
          from,
          to,
          response.frequencyHz(from),
          response.frequencyHz(to - 1),
          bandLowHz,
          bandHighHz,
          logarithmic);
    }
  }

  static String title(FrequencyResponse.Origin origin) {
    return origin.source().isEmpty() ? "frequency response" : origin.source();
  }

  /** Where and in which direction, for captions. */
  static String where(FrequencyResponse.Origin origin) {
    String point = origin.point().isEmpty() ? "" : " at " + origin.point();
    return point + (origin.axis().isEmpty() ? "" : ", direction " + origin.axis());
  }
}
