package ringtrue.report;

import java.awt.Color;
import java.awt.image.BufferedImage;
import java.io.IOException;
import java.io.OutputStream;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.function.IntToDoubleFunction;
import javax.imageio.ImageIO;
import org.knowm.xchart.AnnotationLine;
import org.knowm.xchart.XYChart;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Receptance;
import ringtrue.dynamics.ResponseForm;
import ringtrue.fitting.FittedModes;
import ringtrue.library.Cut;
import ringtrue.signal.AveragedResponse;
import ringtrue.signal.Tap;
import ringtrue.stability.StabilityMap;

/** Draws finished results. Nothing is computed here but what a picture needs. */
public final class Pictures {
  static final int WIDTH = 1200;
  private static final int COLUMNS = 1000;

  private Pictures() {}

  /** Writes a picture as PNG. */
  public static void writePng(BufferedImage picture, OutputStream out) throws IOException {
    ImageIO.setUseCache(false);
    ImageIO.write(picture, "png", out);
  }

  /** Magnitude with two-sigma band, phase and coherence of an averaged response, as receptance. */
  public static BufferedImage response(AveragedResponse averaged) {
    return response(averaged, ResponseForm.RECEPTANCE);
  }

  /** The same in another form. */
  public static BufferedImage response(AveragedResponse averaged, ResponseForm form) {
    FrequencyResponse response = averaged.response();
    FrequencyResponse.Origin origin = response.origin();
    long kept = averaged.taps().stream().filter(t -> t.verdict() == Tap.Verdict.KEPT).count();
    String caption =
        String.format(
            Locale.ROOT,
            "%s%s, from %d of %d taps, %s estimator, %.3g Hz between"
                + " lines%s. Usable band %.0f to %.0f Hz, between the dotted lines. Shaded: two sigma of the"
                + " magnitude.",
            switch (form) {
              case RECEPTANCE -> "Receptance (displacement per force)";
              case MOBILITY -> "Mobility (velocity per force)";
              case ACCELERANCE -> "Accelerance (acceleration per force)";
            },
            where(origin),
            kept,
            averaged.taps().size(),
            averaged.used().estimator().word(),
            response.resolutionHz(),
            Double.isFinite(origin.windowTimeConstantS())
                ? String.format(
                    Locale.ROOT,
                    ", exponential window %.3g ms (adds damping; the fit takes it out)",
                    origin.windowTimeConstantS() * 1e3)
                : "",
            origin.bandLowHz(),
            origin.bandHighHz());
    Panels panels = new Panels(WIDTH, title(origin), caption);
    Span span = Span.around(response, origin.bandLowHz(), origin.bandHighHz());
    View view = new View(form, origin.windowTimeConstantS());
    magnitude(panels, response, span, null, view);
    phase(panels, response, span, null, view);
    coherence(panels, response, span);
    return panels.paint();
  }

  /** Measured response with the fitted model over it. */
  public static BufferedImage modes(FrequencyResponse response, FittedModes fitted) {
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
            + where(origin)
            + " (broad blue line, shaded two sigma) and fitted modes (orange, dashed), "
            + String.format(
                Locale.ROOT,
                "fitted from %.0f to %.0f Hz, left over %.2g %%. ",
                fitted.bandLowHz(),
                fitted.bandHighHz(),
                fitted.fitErrorRelative() * 100)
            + (words.isEmpty() ? "No mode was found." : "Modes: " + String.join("; ", words) + ".");
    Panels panels = new Panels(WIDTH, title(origin), caption);
    Span span = Span.around(response, fitted.bandLowHz(), fitted.bandHighHz());
    Receptance model = fitted.model().throughWindow(response.windowTimeConstantS());
    View view = new View(ResponseForm.RECEPTANCE, response.windowTimeConstantS());
    magnitude(panels, response, span, model, view);
    phase(panels, response, span, model, view);
    return panels.paint();
  }

  /** Stability over spindle speed with the cut marked. */
  public static BufferedImage lobes(StabilityMap map, Cut cut, LengthUnit unit) {
    return new LobesPicture(map, cut, unit).paint();
  }

  /** Receptances as the picture shows them: in which form, and in a unit of handy size. */
  private record View(ResponseForm form, double windowTimeConstantS) {

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

  private static void magnitude(
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
    band(chart, response, span, size);
    PixelColumns measured =
        PixelColumns.of(span.from, span.to, response::frequencyHz, size, span.logarithmic, COLUMNS);
    measuredLine(chart, measured, model != null);
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
    }
    chart.getStyler().setYAxisLogarithmic(true);
    chart.getStyler().setLegendVisible(true);
    frequencyAxis(chart, span);
  }

  /** Broad and soft where a fit is drawn over it, so that both can be seen. */
  private static void measuredLine(XYChart chart, PixelColumns measured, boolean underFit) {
    Panels.line(
        chart,
        "measured",
        measured.x,
        measured.y,
        underFit ? Panels.SOFT_BLUE : Panels.BLUE,
        underFit ? Panels.BROAD : Panels.SOLID);
  }

  private static void band(
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
      return;
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
  }

  private static void phase(
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

  private static void coherence(Panels panels, FrequencyResponse response, Span span) {
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

  private static void frequencyAxis(XYChart chart, Span span) {
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
            new java.awt.BasicStroke(
                1.5f,
                java.awt.BasicStroke.CAP_BUTT,
                java.awt.BasicStroke.JOIN_ROUND,
                10,
                new float[] {2, 4},
                0));
  }

  /** The stretch of frequency that a picture shows: the band and some of its surroundings. */
  private record Span(
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

  private static String title(FrequencyResponse.Origin origin) {
    return origin.source().isEmpty() ? "frequency response" : origin.source();
  }

  /** Where and in which direction, for captions. */
  private static String where(FrequencyResponse.Origin origin) {
    String point = origin.point().isEmpty() ? "" : " at " + origin.point();
    return point + (origin.axis().isEmpty() ? "" : ", direction " + origin.axis());
  }
}
