package ringtrue.ui.tapping;

import java.util.List;
import java.util.Locale;
import java.util.Optional;
import ringtrue.signal.TapSignals;
import ringtrue.ui.plot.Axis;
import ringtrue.ui.plot.Ink;
import ringtrue.ui.plot.PlotContent;
import ringtrue.ui.plot.Stroke;

/** What the charts of the stage show; numbers are thinned to what a screen can show. */
final class TapPlots {
  private static final int MOST = 900;
  private static final String HINT = "Comes with the first tap";

  private TapPlots() {}

  /**
   * The charts of one tap.
   *
   * @param force in time, around the blow
   * @param response in time, the whole block
   * @param spectrum of the force
   */
  record OfTap(PlotContent force, PlotContent response, PlotContent spectrum) {
    static final OfTap NONE =
        new OfTap(PlotContent.empty(HINT), PlotContent.empty(HINT), PlotContent.empty(HINT));
  }

  /**
   * @param row what is known of the tap; its contact time tells how much of the force to show
   * @param unit unit of the response
   */
  static OfTap of(TapSignals s, Optional<TapRow> row, String unit) {
    String which = "tap " + s.tap();
    PlotContent force =
        s.force().length == 0
            ? PlotContent.empty("No force channel")
            : force(s, row.map(TapRow::contactS).orElse(Double.NaN), which);
    int n = s.response().length;
    PlotContent response =
        n == 0
            ? PlotContent.empty(HINT)
            : time(
                "Response, " + which,
                "response (" + unit + ")",
                s,
                s.response(),
                0,
                n,
                1,
                "time (s)",
                Ink.SECOND);
    PlotContent spectrum =
        s.spectrum().length < 3
            ? PlotContent.empty("No force channel")
            : spectrum(s, row.map(TapRow::usableHz).orElse(Double.NaN), which);
    return new OfTap(force, response, spectrum);
  }

  private static PlotContent force(TapSignals s, double contactS, String which) {
    double shown = Double.isFinite(contactS) ? Math.max(0.003, 6 * contactS) : 0.01;
    int n = (int) Math.min(s.force().length, Math.round((shown - s.startS()) / s.stepS()));
    double before = Double.isFinite(contactS) ? Math.max(0.0003, contactS) : shown;
    int from = (int) Math.max(0, Math.round((-before - s.startS()) / s.stepS()));
    return time(
        "Force, " + which,
        "force (N)",
        s,
        s.force(),
        Math.min(from, Math.max(0, n - 2)),
        Math.max(2, n),
        1e3,
        "time (ms)",
        Ink.FIRST);
  }

  private static PlotContent time(
      String title,
      String label,
      TapSignals s,
      double[] values,
      int from,
      int end,
      double timeFactor,
      String timeLabel,
      Ink ink) {
    int n = end - from;
    int step = Math.max(1, n / (MOST / 2));
    int pairs = (n + step - 1) / step;
    double[] t = new double[2 * pairs];
    double[] v = new double[2 * pairs];
    double least = 0;
    double most = 0;
    for (int p = 0; p < pairs; p++) {
      int low = from + p * step;
      int high = low;
      for (int i = low; i < Math.min(end, from + (p + 1) * step); i++) {
        low = values[i] < values[low] ? i : low;
        high = values[i] > values[high] ? i : high;
      }
      int first = Math.min(low, high);
      int second = Math.max(low, high);
      t[2 * p] = timeFactor * (s.startS() + first * s.stepS());
      t[2 * p + 1] = timeFactor * (s.startS() + second * s.stepS());
      v[2 * p] = values[first];
      v[2 * p + 1] = values[second];
      least = Math.min(least, values[low]);
      most = Math.max(most, values[high]);
    }
    double room = 0.06 * Math.max(most - least, 1e-30);
    return PlotContent.of(
            Axis.linear(timeLabel, t[0], Math.max(t[t.length - 1], t[0] + 1e-9)),
            Axis.linear(label, least - room, most + room))
        .title(title)
        .viewKey(label)
        .curve("", t, v, ink)
        .build();
  }

  private static PlotContent spectrum(TapSignals s, double usableHz, String which) {
    double far = s.lineHz() * (s.spectrum().length - 1);
    double shown = Double.isFinite(usableHz) ? Math.min(far, Math.max(1500, 1.6 * usableHz)) : far;
    int n = (int) Math.min(s.spectrum().length, Math.round(shown / s.lineHz()) + 1);
    double[] hz = new double[n];
    double[] size = new double[n];
    double most = 1e-30;
    for (int i = 0; i < n; i++) {
      hz[i] = i * s.lineHz();
      most = Math.max(most, s.spectrum()[i]);
    }
    for (int i = 0; i < n; i++) {
      size[i] = Math.max(s.spectrum()[i], 1e-6 * most) / most;
    }
    PlotContent.Builder all =
        PlotContent.of(
                Axis.linear("frequency (Hz)", 0, Math.max(1, shown)),
                Axis.decibel("force spectrum (dB)", 1e-3, 1.3))
            .title("Force spectrum, " + which)
            .viewKey("spectrum")
            .curve("", hz, size, Ink.FIRST);
    if (Double.isFinite(usableHz) && usableHz > 0) {
      all.lines(
          "",
          new double[] {usableHz},
          List.of(String.format(Locale.ROOT, "usable to %.0f Hz", usableHz)),
          true,
          Ink.TEXT,
          Stroke.DASHED);
    }
    return all.build();
  }

  /** Coherence of the running average. */
  static PlotContent coherence(Averaged of) {
    if (of.taps() < 2) {
      return PlotContent.empty("Coherence comes with the second tap that is kept");
    }
    return average(of, "Coherence of " + of.taps() + " taps", Axis.linear("coherence (1)", 0, 1.02))
        .curve("", of.hz(), of.coherence(), Ink.THIRD)
        .build();
  }

  /** Magnitude of the running average. */
  static PlotContent magnitude(Averaged of) {
    double most = 1e-30;
    double least = Double.MAX_VALUE;
    for (int i = 0; i < of.hz().length; i++) {
      boolean inside = of.hz()[i] >= of.lowHz() && of.hz()[i] <= of.highHz();
      most = inside ? Math.max(most, of.magnitude()[i]) : most;
      least = inside && of.magnitude()[i] > 0 ? Math.min(least, of.magnitude()[i]) : least;
    }
    least = Math.min(least, most / 10);
    double[] micro = new double[of.hz().length];
    for (int i = 0; i < micro.length; i++) {
      micro[i] = 1e6 * of.magnitude()[i];
    }
    String taps = of.taps() == 1 ? " of 1 tap" : " of " + of.taps() + " taps";
    return average(
            of,
            "Receptance" + taps,
            Axis.log("receptance (um/N)", 1e6 * least / 1.5, 1e6 * most * 1.5))
        .curve("", of.hz(), micro, Ink.FIRST)
        .build();
  }

  private static PlotContent.Builder average(Averaged of, String title, Axis y) {
    double to = of.hz().length == 0 ? 1 : of.hz()[of.hz().length - 1];
    return PlotContent.of(Axis.linear("frequency (Hz)", 0, to), y)
        .title(title)
        .viewKey(y.label())
        .veil("", of.lowHz(), of.highHz(), Ink.QUIET);
  }
}
