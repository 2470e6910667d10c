package ringtrue.report;

import java.awt.BasicStroke;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.stream.DoubleStream;
import org.knowm.xchart.XYChart;
import org.knowm.xchart.style.markers.Marker;
import org.knowm.xchart.style.markers.SeriesMarkers;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.ResponseForm;
import ringtrue.fitting.FittedResponse;
import ringtrue.fitting.SetUpComparison;

/** Two measurements of a set-up over each other, with their modes marked and the verdict below. */
final class ComparisonPicture {
  private static final ResponseForm FORM = ResponseForm.RECEPTANCE;
  private static final BasicStroke LATER =
      new BasicStroke(2f, BasicStroke.CAP_BUTT, BasicStroke.JOIN_ROUND, 10, new float[] {9, 5}, 0);

  private final FittedResponse before;
  private final FittedResponse now;
  private final SetUpComparison comparison;

  ComparisonPicture(FittedResponse before, FittedResponse now, SetUpComparison comparison) {
    this.before = before;
    this.now = now;
    this.comparison = comparison;
  }

  Picture picture() {
    String a = ResponseCharts.title(before.response().origin());
    String b = ResponseCharts.title(now.response().origin());
    Panels panels =
        new Panels(
            Pictures.WIDTH, a.equals(b) ? a + ": then and now" : b + " against " + a, caption());
    double low = Math.min(before.fitted().bandLowHz(), now.fitted().bandLowHz());
    double high = Math.max(before.fitted().bandHighHz(), now.fitted().bandHighHz());
    ResponseCharts.Span spanBefore = ResponseCharts.Span.around(before.response(), low, high);
    ResponseCharts.Span spanNow = ResponseCharts.Span.around(now.response(), low, high);
    XYChart magnitude =
        panels.chart(430, "frequency, Hz", FORM.word() + ", " + FORM.readableUnit());
    double[] shown =
        DoubleStream.concat(
                curve(magnitude, "before", before.response(), spanBefore, false, spanNow),
                curve(magnitude, "now", now.response(), spanNow, false, spanNow))
            .toArray();
    ResponseCharts.wholeDecades(magnitude, shown);
    ResponseCharts.readableDecades(magnitude);
    // earlier modes from above, later ones from below, so that neither hides the other
    double range = Arrays.stream(shown).max().orElse(1) / Arrays.stream(shown).min().orElse(1);
    double away = Math.pow(range, 0.035);
    modes(magnitude, "modes before", before, spanBefore, SeriesMarkers.TRIANGLE_DOWN, away);
    modes(magnitude, "modes now", now, spanNow, SeriesMarkers.TRIANGLE_UP, 1 / away);
    magnitude.getStyler().setYAxisLogarithmic(true).setMarkerSize(10);
    ResponseCharts.frequencyAxis(magnitude, spanNow);
    panels.legend(
        new Legend()
            .line("before", Panels.SOFT_BLUE, Panels.BROAD)
            .line("now", Panels.ORANGE, LATER)
            .add("modes before", ModesPicture.sample(SeriesMarkers.TRIANGLE_DOWN, Panels.BLUE))
            .add("modes now", ModesPicture.sample(SeriesMarkers.TRIANGLE_UP, Panels.DARK)));
    XYChart phase = panels.chart(230, "frequency, Hz", "phase, deg");
    curve(phase, "before", before.response(), spanBefore, true, spanNow);
    curve(phase, "now", now.response(), spanNow, true, spanNow);
    phase.getStyler().setYAxisMin(-270.0).setYAxisMax(90.0).setLegendVisible(false);
    ResponseCharts.frequencyAxis(phase, spanNow);
    return panels.picture();
  }

  /** Draws one of the two and gives what it has drawn. */
  private static DoubleStream curve(
      XYChart chart,
      String name,
      FrequencyResponse response,
      ResponseCharts.Span span,
      boolean phase,
      ResponseCharts.Span axis) {
    ResponseCharts.View view = new ResponseCharts.View(FORM, response.windowTimeConstantS());
    double largest = 0;
    for (int i = span.from(); i < span.to(); i++) {
      largest = Math.max(largest, view.magnitude(response, response.frequencyHz(i)));
    }
    double least = Math.max(largest * 1e-7, Double.MIN_NORMAL);
    PixelColumns line =
        PixelColumns.of(
            span.from(),
            span.to(),
            response::frequencyHz,
            i ->
                phase
                    ? view.degrees(response, response.frequencyHz(i))
                    : Math.max(view.magnitude(response, response.frequencyHz(i)), least),
            axis.logarithmic(),
            ResponseCharts.COLUMNS);
    boolean earlier = name.equals("before");
    Panels.line(
        chart,
        name,
        line.x,
        line.y,
        earlier ? Panels.SOFT_BLUE : Panels.ORANGE,
        earlier ? Panels.BROAD : LATER);
    return DoubleStream.of(line.y);
  }

  private static void modes(
      XYChart chart,
      String name,
      FittedResponse side,
      ResponseCharts.Span span,
      Marker marker,
      double away) {
    List<Mode> shown =
        side.fitted().model().modes().stream()
            .filter(m -> m.frequencyHz() >= span.lowHz() && m.frequencyHz() <= span.highHz())
            .toList();
    ModesPicture.scatter(
        chart,
        name,
        shown.stream().mapToDouble(Mode::frequencyHz).toArray(),
        shown.stream().mapToDouble(m -> away * drawn(side.response(), m.frequencyHz())).toArray(),
        marker,
        name.endsWith("before") ? Panels.BLUE : Panels.DARK);
  }

  /** Where the drawn line passes at a frequency: straight from line to line in the logarithm. */
  private static double drawn(FrequencyResponse response, double hz) {
    int above = Math.min(response.firstLineAtOrAbove(hz), response.lines() - 1);
    int below = Math.max(0, above - 1);
    double part =
        above == below
            ? 0
            : (hz - response.frequencyHz(below))
                / (response.frequencyHz(above) - response.frequencyHz(below));
    double a = Math.max(response.magnitude(below), Double.MIN_NORMAL);
    double b = Math.max(response.magnitude(above), Double.MIN_NORMAL);
    return FORM.readablePerSi() * Math.exp((1 - part) * Math.log(a) + part * Math.log(b));
  }

  private String caption() {
    SetUpComparison.Agreement agreement = comparison.agreement();
    StringBuilder words = new StringBuilder(comparison.sentence());
    if (Double.isFinite(agreement.shape())) {
      words.append(
          String.format(
              Locale.ROOT,
              "\nAgreement from %.0f to %.0f Hz: shape %.5f (noise alone leaves %.5f), amplitude %.5f.",
              comparison.bandLowHz(),
              comparison.bandHighHz(),
              agreement.shape(),
              agreement.shapeByNoise(),
              agreement.amplitude()));
    }
    for (String sentence : comparison.meaning()) {
      words.append('\n').append(sentence);
    }
    if (agreement.throughModels()) {
      words.append("\nEach is drawn with its own exponential window, which lowers its peaks.");
    }
    return words.toString();
  }
}
