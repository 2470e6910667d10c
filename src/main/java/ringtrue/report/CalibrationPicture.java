package ringtrue.report;

import java.awt.image.BufferedImage;
import java.util.List;
import java.util.Locale;
import java.util.function.IntToDoubleFunction;
import org.knowm.xchart.AnnotationLine;
import org.knowm.xchart.XYChart;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.signal.KnownMass;

/** How the calibration factor of hammer and sensor runs over frequency. */
public final class CalibrationPicture {
  private static final int COLUMNS = 1000;

  /** The factor is drawn within these parts of its value; a resonance of the block goes off. */
  private static final double LEAST_SHOWN = 0.05;

  private static final double MOST_SHOWN = 0.3;
  private static final double MOST_DEGREES = 15;

  private CalibrationPicture() {}

  /**
   * Draws a calibration.
   *
   * @param response the response of the mass, for the words
   * @param found what was found
   */
  public static BufferedImage of(FrequencyResponse response, KnownMass found) {
    return picture(response, found).image(1);
  }

  static Picture picture(FrequencyResponse response, KnownMass found) {
    List<KnownMass.Ratio> ratio = found.ratio();
    String caption =
        String.format(
            Locale.ROOT,
            "Measured accelerance times mass: what hammer and sensor together read for 1. Orange,"
                + " dashed: %.4f ± %.2g %%, from the flat stretch of %.4g to %.4g Hz"
                + " between the dotted lines, in which it strays by %.2g %% at most. Phase: %.3g us"
                + " between the channels.",
            found.factor(),
            100 * found.factorSigma() / found.factor(),
            found.flatLowHz(),
            found.flatHighHz(),
            100 * found.largestDeviation(),
            found.skewS() * 1e6);
    String source = response.origin().source();
    Panels panels =
        new Panels(Pictures.WIDTH, source.isEmpty() ? "calibration mass" : source, caption);
    XYChart size = panels.chart(380, "frequency, Hz", "reads, times what is there");
    double shown = Math.max(LEAST_SHOWN, Math.min(MOST_SHOWN, 4 * found.largestDeviation()));
    double low = (1 - shown) * found.factor();
    double high = (1 + shown) * found.factor();
    curve(size, "measured", ratio, i -> within(ratio.get(i).magnitude(), low, high));
    double[] ends = {ratio.get(0).frequencyHz(), ratio.get(ratio.size() - 1).frequencyHz()};
    Panels.line(
        size,
        "factor",
        ends,
        new double[] {found.factor(), found.factor()},
        Panels.ORANGE,
        Panels.DASHED);
    size.getStyler().setYAxisMin(low).setYAxisMax(high).setLegendVisible(true);
    axis(size, ends, found);
    XYChart phase = panels.chart(230, "frequency, Hz", "phase, deg");
    curve(
        phase,
        "measured",
        ratio,
        i -> within(ratio.get(i).phaseDeg(), -MOST_DEGREES, MOST_DEGREES));
    Panels.line(
        phase,
        "time shift",
        frequencies(ends),
        degrees(frequencies(ends), found.skewS()),
        Panels.ORANGE,
        Panels.DASHED);
    phase.getStyler().setYAxisMin(-MOST_DEGREES).setYAxisMax(MOST_DEGREES).setLegendVisible(false);
    axis(phase, ends, found);
    return panels.picture();
  }

  private static double within(double value, double low, double high) {
    return value < low || value > high ? Double.NaN : value;
  }

  private static void curve(
      XYChart chart, String name, List<KnownMass.Ratio> ratio, IntToDoubleFunction value) {
    PixelColumns points =
        PixelColumns.of(0, ratio.size(), i -> ratio.get(i).frequencyHz(), value, true, COLUMNS);
    if (points.x.length >= 2) {
      Panels.line(chart, name, points.x, points.y, Panels.BLUE, Panels.SOLID);
    }
  }

  /** Even steps on the logarithmic axis. */
  private static double[] frequencies(double[] ends) {
    double[] hz = new double[60];
    for (int i = 0; i < hz.length; i++) {
      hz[i] = ends[0] * Math.pow(ends[1] / ends[0], i / (hz.length - 1.0));
    }
    return hz;
  }

  private static double[] degrees(double[] hz, double delayS) {
    double[] degrees = new double[hz.length];
    for (int i = 0; i < hz.length; i++) {
      degrees[i] = Math.max(-MOST_DEGREES, Math.min(MOST_DEGREES, 360 * hz[i] * delayS));
    }
    return degrees;
  }

  private static void axis(XYChart chart, double[] ends, KnownMass found) {
    chart.getStyler().setXAxisLogarithmic(true);
    chart
        .getStyler()
        .setXAxisTickLabelsFormattingFunction(hz -> String.format(Locale.ROOT, "%.0f", hz));
    chart.getStyler().setXAxisMin(ends[0]).setXAxisMax(ends[1]);
    for (double edge : new double[] {found.flatLowHz(), found.flatHighHz()}) {
      chart.addAnnotation(new AnnotationLine(edge, true, false));
    }
    ResponseCharts.annotationStyle(chart);
  }
}
