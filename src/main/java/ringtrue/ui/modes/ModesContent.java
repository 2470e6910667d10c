package ringtrue.ui.modes;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.function.Predicate;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Receptance;
import ringtrue.dynamics.ResponseForm;
import ringtrue.fitting.FitSettings;
import ringtrue.fitting.FittedModes;
import ringtrue.fitting.Stabilisation;
import ringtrue.fitting.Stabilisation.Pole;
import ringtrue.report.LengthUnit;
import ringtrue.ui.plot.Axis;
import ringtrue.ui.plot.Ink;
import ringtrue.ui.plot.Mark;
import ringtrue.ui.plot.PlotContent;
import ringtrue.ui.plot.Stroke;
import ringtrue.ui.response.FormUnit;
import ringtrue.ui.response.ResponseContent;
import ringtrue.ui.response.ResponseView;
import ringtrue.ui.response.Trace;

/** Fitted modes as plots show them. Call it away from the event thread. */
final class ModesContent {
  static final String LOW = "band-low";
  static final String HIGH = "band-high";
  private static final String POLE = "mode ";

  /** Half-power bandwidths on either side of a mode that its circle shows. */
  private static final double REACH = 2;

  private static final int FEWEST_LINES = 4;

  /** A mode and where its fit started from differ by less than this part, or by its bandwidth. */
  private static final double SAME = 0.02;

  private final FrequencyResponse response;
  private final FittedModes fitted;
  private final FitSettings wanted;
  private final LengthUnit unit;
  private final boolean old;
  private final Receptance model;
  private final ResponseContent content;
  private final double lowHz;
  private final double highHz;

  /**
   * @param wanted what the user wants of the fit
   * @param logFrequency whether the frequency axis is logarithmic
   * @param old whether a newer fit is on its way
   */
  ModesContent(
      FrequencyResponse response,
      FittedModes fitted,
      FitSettings wanted,
      LengthUnit unit,
      boolean logFrequency,
      boolean old) {
    this.response = response;
    this.fitted = fitted;
    this.wanted = wanted;
    this.unit = unit;
    this.old = old;
    double tau = response.windowTimeConstantS();
    this.model = fitted.model().throughWindow(tau);
    this.lowHz = wanted.bandLowHz().orElse(fitted.bandLowHz());
    this.highHz = wanted.bandHighHz().orElse(fitted.bandHighHz());
    List<Trace> traces = new ArrayList<>();
    traces.add(Trace.measured("measured", response));
    if (!fitted.model().modes().isEmpty()) {
      traces.add(Trace.model("fitted modes", model, response, Trace.Kind.MODEL));
      traces.add(
          Trace.model(
              "residual terms alone",
              new ModalModel(List.of(), fitted.model().residual()).throughWindow(tau),
              response,
              Trace.Kind.RESIDUAL));
    }
    this.content =
        new ResponseContent(
                traces,
                new ResponseContent.Choice(ResponseForm.RECEPTANCE, unit, logFrequency, true))
            .over(lowHz, highHz);
  }

  /** The fit over the measurement. */
  PlotContent fit() {
    PlotContent.Builder plot =
        content.builder(ResponseView.MAGNITUDE, true).title(old ? "fitting…" : "");
    plot.veil("outside the fit", lowHz, highHz, Ink.QUIET);
    frequencies(plot);
    double y = content.middle();
    plot.handle(LOW, lowHz, y, Ink.ACCENT, "fit from", true, false);
    plot.handle(HIGH, highHz, y, Ink.ACCENT, "fit to", true, false);
    return plot.build();
  }

  private void frequencies(PlotContent.Builder plot) {
    List<Mode> modes = fitted.model().modes();
    plot.lines(
        "natural frequencies",
        modes.stream().mapToDouble(Mode::frequencyHz).toArray(),
        modes.stream().map(m -> String.format(Locale.ROOT, "%.0f Hz", m.frequencyHz())).toList(),
        true,
        old ? Ink.QUIET : Ink.THIRD,
        Stroke.DOTTED);
  }

  // ---- poles over rising orders

  /** The stabilisation diagram; every pole can be picked. */
  PlotContent poles() {
    Stabilisation all = fitted.stabilisation();
    if (all.poles().isEmpty()) {
      return PlotContent.empty("this fit was not made from rising model orders");
    }
    int lowest = all.poles().stream().mapToInt(Pole::order).min().orElse(0);
    int highest = all.poles().stream().mapToInt(Pole::order).max().orElse(1);
    double room = Math.max(1, 0.06 * (highest - lowest));
    double bottom = Math.floor(lowest - room);
    double top = Math.ceil(highest + 3 * room);
    PlotContent.Builder plot =
        PlotContent.of(content.frequency(), Axis.linear("model order", bottom, top))
            .title(old ? "fitting…" : "")
            .viewKey("poles" + content.frequency().scale() + response.origin().source());
    magnitude(plot, bottom, top);
    marks(
        plot,
        "at this order only",
        all,
        p -> !p.comesBack() && !isTaken(all, p),
        Mark.CROSS,
        Ink.QUIET);
    marks(
        plot,
        "comes back from the order before",
        all,
        p -> p.comesBack() && !isTaken(all, p),
        Mark.CIRCLE,
        Ink.FIRST);
    marks(
        plot,
        "stable, taken for the fit",
        all,
        p -> isTaken(all, p),
        Mark.DIAMOND,
        old ? Ink.QUIET : Ink.SECOND);
    double[] found = fitted.model().modes().stream().mapToDouble(Mode::frequencyHz).toArray();
    boolean picked = !wanted.picksHz().isEmpty();
    double[] shown = picked ? wanted.picksHz().stream().mapToDouble(d -> d).toArray() : found;
    List<String> ids = new ArrayList<>();
    List<String> labels = new ArrayList<>();
    double[] ys = new double[shown.length];
    for (int i = 0; i < shown.length; i++) {
      ids.add(POLE + shown[i]);
      labels.add(String.format(Locale.ROOT, "%.0f", shown[i]));
      ys[i] = highest + 1.4 * room;
    }
    plot.marks(
        picked ? "picked by hand" : "fitted mode",
        ids,
        shown,
        ys,
        picked ? Mark.SQUARE : Mark.TRIANGLE,
        old ? Ink.QUIET : picked ? Ink.ACCENT : Ink.TEXT,
        labels);
    plot.veil("", lowHz, highHz, Ink.QUIET);
    return plot.build();
  }

  /** The frequency of a mark that was picked. */
  static double frequency(String mark) {
    return Double.parseDouble(mark.substring(POLE.length()));
  }

  /** Whether the fit started from it and a mode of the table came of it. */
  private boolean isTaken(Stabilisation poles, Pole pole) {
    if (pole.group() < 0 || pole.group() >= poles.groups().size()) {
      return false;
    }
    Stabilisation.Group group = poles.groups().get(pole.group());
    return group.taken()
        && fitted.model().modes().stream()
            .anyMatch(
                m ->
                    Math.abs(m.frequencyHz() - group.frequencyHz())
                        < Math.max(SAME * m.frequencyHz(), m.halfPowerBandwidthHz()));
  }

  private static void marks(
      PlotContent.Builder plot,
      String name,
      Stabilisation all,
      Predicate<Pole> which,
      Mark mark,
      Ink ink) {
    List<Pole> some = all.poles().stream().filter(which).toList();
    List<String> ids = new ArrayList<>();
    for (Pole pole : some) {
      boolean grouped = pole.group() >= 0 && pole.group() < all.groups().size();
      ids.add(POLE + (grouped ? all.groups().get(pole.group()).frequencyHz() : pole.frequencyHz()));
    }
    plot.marks(
        name,
        ids,
        some.stream().mapToDouble(Pole::frequencyHz).toArray(),
        some.stream().mapToDouble(Pole::order).toArray(),
        mark,
        ink,
        List.of());
  }

  /** The measured magnitude in decades, stretched over the height of the plot. */
  private void magnitude(PlotContent.Builder plot, double bottom, double top) {
    int from = response.firstLineAtOrAbove(content.span().lowHz());
    int to = response.firstLineAtOrAbove(content.span().highHz());
    double high = 0;
    double low = Double.POSITIVE_INFINITY;
    for (int i = from; i < to; i++) {
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
    double[] x = new double[to - from];
    double[] y = new double[to - from];
    for (int i = from; i < to; i++) {
      double part = Math.max(0, Math.log(response.magnitude(i)) - floor) / range;
      x[i - from] = response.frequencyHz(i);
      y[i - from] = bottom + (top - bottom) * (0.04 + 0.85 * part);
    }
    plot.curve("", x, y, Ink.QUIET);
  }

  // ---- a mode's circle

  /** A mode's stretch of the response in the complex plane. */
  PlotContent circle(int index) {
    if (index < 0 || index >= fitted.model().modes().size()) {
      return PlotContent.empty("select a mode in the table to see its circle");
    }
    Mode mode = fitted.model().modes().get(index);
    FormUnit in = FormUnit.of(ResponseForm.RECEPTANCE, unit);
    double fn = mode.frequencyHz();
    double seen = mode.halfPowerBandwidthHz() + 1 / (Math.PI * response.windowTimeConstantS());
    double reach = Math.max(REACH * seen, FEWEST_LINES * response.resolutionHz());
    int points = 400;
    double[] x = new double[points + 1];
    double[] y = new double[points + 1];
    double[] g = new double[2];
    double left = Double.POSITIVE_INFINITY;
    double right = Double.NEGATIVE_INFINITY;
    double low = Double.POSITIVE_INFINITY;
    double high = Double.NEGATIVE_INFINITY;
    for (int i = 0; i <= points; i++) {
      // closer together near the resonance, where the curve is fast
      double hz = fn + reach * Math.sinh((i - points / 2) / (points / 8.0)) / Math.sinh(4);
      model.at(Math.max(hz, 1e-3), g);
      x[i] = g[0] * in.perSi();
      y[i] = g[1] * in.perSi();
      left = Math.min(left, x[i]);
      right = Math.max(right, x[i]);
      low = Math.min(low, y[i]);
      high = Math.max(high, y[i]);
    }
    int from = response.firstLineAtOrAbove(fn - reach);
    int to = response.firstLineAtOrAbove(fn + reach);
    double[] mx = new double[to - from];
    double[] my = new double[to - from];
    for (int i = from; i < to; i++) {
      mx[i - from] = response.real(i) * in.perSi();
      my[i - from] = response.imag(i) * in.perSi();
    }
    model.at(fn, g);
    double room = 0.12 * Math.max(right - left, high - low);
    return PlotContent.of(
            Axis.linear("real part (" + in.symbol() + ")", left - room, right + room),
            Axis.linear("imaginary part (" + in.symbol() + ")", low - room, high + room))
        .equalAspect()
        .viewKey("circle" + Math.round(fn) + unit)
        .title(String.format(Locale.ROOT, "%.0f Hz", fn))
        .curve("fitted", x, y, old ? Ink.QUIET : Ink.SECOND, Stroke.DASHED, Mark.NONE)
        .curve("measured lines", mx, my, Ink.FIRST, Stroke.NONE, Mark.CIRCLE)
        .curve(
            "",
            new double[] {g[0] * in.perSi()},
            new double[] {g[1] * in.perSi()},
            Ink.TEXT,
            Stroke.NONE,
            Mark.DIAMOND)
        .build();
  }
}
