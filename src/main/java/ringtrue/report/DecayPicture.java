package ringtrue.report;

import java.awt.BasicStroke;
import java.awt.Color;
import java.awt.image.BufferedImage;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.stream.IntStream;
import org.jtransforms.fft.DoubleFFT_1D;
import org.knowm.xchart.AnnotationLine;
import org.knowm.xchart.XYChart;
import ringtrue.acquisition.TapRecording;
import ringtrue.dynamics.FreeDecays.Stretch;
import ringtrue.fitting.DecayMode;
import ringtrue.fitting.DecayModes.TapFit;
import ringtrue.library.DecayMeasurement;

/** Draws one tap's free decay with the fitted modes over it, in time and as a spectrum. */
public final class DecayPicture {
  private static final int COLUMNS = 1000;

  private DecayPicture() {}

  /** The picture of a measurement without force. */
  public static BufferedImage of(TapRecording recording, DecayMeasurement measured) {
    return picture(recording, measured).image(1);
  }

  static Picture picture(TapRecording recording, DecayMeasurement measured) {
    List<TapFit> fits = measured.modes().taps();
    int shown =
        IntStream.range(0, fits.size())
            .filter(t -> fits.get(t).complaint().isEmpty())
            .findFirst()
            .orElse(0);
    Stretch stretch = measured.found().decays().taps().get(shown);
    double fs = measured.found().decays().sampleRateHz();
    int skip =
        Math.min(
            (int) Math.ceil(measured.modes().skippedS() * fs - 1e-9),
            Math.max(0, stretch.size() - 8));
    double[] heard = stretch.copy(0, stretch.size());
    double[] model = model(measured, fits.get(shown), heard.length - skip, fs);
    List<String> words = new ArrayList<>();
    for (DecayMode mode : measured.modes().modes()) {
      words.add(
          String.format(
              Locale.ROOT,
              "%.5g Hz, damping %.3g %%%s",
              mode.frequencyHz(),
              100 * mode.dampingRatio(),
              mode.hasStiffness()
                  ? String.format(Locale.ROOT, ", %.3g N/um", mode.stiffnessNPerM() / 1e6)
                  : ""));
    }
    String caption =
        String.format(
            Locale.ROOT,
            "The first of %d %s of %s, no force measured (broad blue line), and the modes that all taps"
                + " share (orange, dashed), fitted from %.3g ms after the onset on. Dotted: natural"
                + " frequencies. %s",
            fits.size(),
            fits.size() == 1 ? "decay" : "decays",
            recording.quantity().word(),
            1e3 * measured.modes().skippedS(),
            words.isEmpty() ? "No mode was found." : "Modes: " + String.join("; ", words) + ".");
    Panels panels = new Panels(Pictures.WIDTH, recording.name(), caption);
    time(panels, recording.quantity().siUnit(), heard, model, skip, fs, measured);
    spectrum(panels, recording.quantity().siUnit(), heard, model, skip, fs, measured);
    return panels.picture();
  }

  private static double[] model(DecayMeasurement measured, TapFit fit, int n, double fs) {
    double[] y = new double[Math.max(0, n)];
    for (int j = 0; j < fit.amplitude().size(); j++) {
      DecayMode mode = measured.seen().get(j);
      double omega = 2 * Math.PI * mode.frequencyHz();
      double alpha = mode.dampingRatio() * omega;
      double damped = omega * Math.sqrt(1 - mode.dampingRatio() * mode.dampingRatio());
      for (int i = 0; i < y.length; i++) {
        y[i] +=
            fit.amplitude().get(j)
                * Math.exp(-alpha * i / fs)
                * Math.cos(damped * i / fs + fit.phaseRad().get(j));
      }
    }
    return y;
  }

  private static void time(
      Panels panels,
      String unit,
      double[] heard,
      double[] model,
      int skip,
      double fs,
      DecayMeasurement measured) {
    double slowest =
        measured.modes().modes().stream()
            .mapToDouble(m -> 1 / (2 * Math.PI * m.frequencyHz() * m.dampingRatio()))
            .max()
            .orElse(heard.length / fs / 4);
    int end = (int) Math.max(Math.min(heard.length, 32), Math.min(heard.length, 4 * slowest * fs));
    XYChart chart = panels.chart(330, "time after the onset, ms", "response, " + unit);
    PixelColumns line = PixelColumns.of(0, end, i -> 1e3 * i / fs, i -> heard[i], false, COLUMNS);
    Panels.line(chart, "recorded", line.x, line.y, Panels.SOFT_BLUE, Panels.BROAD);
    if (model.length > 1 && !measured.modes().modes().isEmpty() && end > skip + 1) {
      PixelColumns fit =
          PixelColumns.of(skip, end, i -> 1e3 * i / fs, i -> model[i - skip], false, COLUMNS);
      Panels.line(chart, "fitted modes", fit.x, fit.y, Panels.ORANGE, Panels.DASHED);
    }
    chart.getStyler().setXAxisMin(0.0).setXAxisMax(1e3 * end / fs);
  }

  private static void spectrum(
      Panels panels,
      String unit,
      double[] heard,
      double[] model,
      int skip,
      double fs,
      DecayMeasurement measured) {
    int n = model.length & ~1;
    if (n < 8) {
      return;
    }
    double[] seen = amplitude(java.util.Arrays.copyOfRange(heard, skip, skip + n), fs);
    double[] fitted = amplitude(java.util.Arrays.copyOf(model, n), fs);
    double df = fs / n;
    List<DecayMode> modes = measured.modes().modes();
    double low = modes.isEmpty() ? measured.modes().bandLowHz() : modes.get(0).frequencyHz() / 2;
    double high =
        modes.isEmpty()
            ? measured.modes().bandHighHz()
            : Math.min(0.49 * fs, 2 * modes.get(modes.size() - 1).frequencyHz());
    int from = Math.max(1, (int) (low / df));
    int to = Math.min(n / 2, Math.max(from + 4, (int) Math.ceil(high / df)));
    XYChart chart = panels.chart(380, "frequency, Hz", "spectrum, " + unit + " s");
    double most = 0;
    for (int k = from; k < to; k++) {
      most = Math.max(most, seen[k]);
    }
    double floor = Math.max(most * 1e-6, Double.MIN_NORMAL);
    boolean logarithmic = to > 12 * from;
    PixelColumns line =
        PixelColumns.of(from, to, k -> k * df, k -> Math.max(seen[k], floor), logarithmic, COLUMNS);
    Panels.line(chart, "recorded", line.x, line.y, Panels.SOFT_BLUE, Panels.BROAD);
    if (!modes.isEmpty()) {
      PixelColumns fit =
          PixelColumns.of(
              from, to, k -> k * df, k -> Math.max(fitted[k], floor), logarithmic, COLUMNS);
      Panels.line(chart, "fitted modes", fit.x, fit.y, Panels.ORANGE, Panels.DASHED);
    }
    for (DecayMode mode : measured.seen()) {
      chart.addAnnotation(new AnnotationLine(mode.frequencyHz(), true, false));
    }
    chart
        .getStyler()
        .setAnnotationLineColor(Color.GRAY)
        .setAnnotationLineStroke(
            new BasicStroke(
                1.5f, BasicStroke.CAP_BUTT, BasicStroke.JOIN_ROUND, 10, new float[] {2, 4}, 0));
    chart.getStyler().setYAxisLogarithmic(true);
    chart
        .getStyler()
        .setXAxisLogarithmic(logarithmic)
        .setXAxisMin(from * df)
        .setXAxisMax((to - 1) * df);
    chart
        .getStyler()
        .setXAxisTickLabelsFormattingFunction(hz -> String.format(Locale.ROOT, "%.0f", hz));
  }

  /** Size of the Fourier transform, unit times second. */
  private static double[] amplitude(double[] x, double fs) {
    new DoubleFFT_1D(x.length).realForward(x);
    double[] size = new double[x.length / 2];
    for (int k = 1; k < size.length; k++) {
      size[k] = Math.hypot(x[2 * k], x[2 * k + 1]) / fs;
    }
    return size;
  }
}
