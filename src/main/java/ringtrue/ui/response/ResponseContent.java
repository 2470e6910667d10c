package ringtrue.ui.response;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.function.ToDoubleFunction;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.ResponseForm;
import ringtrue.report.LengthUnit;
import ringtrue.ui.plot.Axis;
import ringtrue.ui.plot.Ink;
import ringtrue.ui.plot.Mark;
import ringtrue.ui.plot.PlotContent;
import ringtrue.ui.plot.Stroke;

/**
 * Responses as plots show them. Everything here may take its time: call it away from the event
 * thread.
 */
public final class ResponseContent {
  /** Id of the point of the cursor's frequency in the Nyquist plot. */
  public static final String CURSOR = "cursor";

  private static final double SMALLEST = 1e-7;
  private static final Ink[] OTHERS = {Ink.SECOND, Ink.THIRD, Ink.FOURTH, Ink.FIFTH};

  private final List<Trace> traces;
  private final Choice choice;
  private final FormUnit unit;
  private final Span span;
  private final boolean veiled;
  private boolean explains = true;
  private double middle = 1;

  /**
   * How it is shown.
   *
   * @param form receptance, mobility or accelerance
   * @param lengths unit of lengths
   * @param logFrequency whether the frequency axis is logarithmic
   * @param logMagnitude whether magnitudes are
   */
  public record Choice(
      ResponseForm form, LengthUnit lengths, boolean logFrequency, boolean logMagnitude) {}

  /**
   * The stretch of frequency that is shown at first: the usable band and some of its surroundings.
   *
   * @param lowHz lowest frequency
   * @param highHz highest frequency
   */
  public record Span(double lowHz, double highHz) {
    static Span around(FrequencyResponse r, boolean logarithmic) {
      double low = r.origin().bandLowHz();
      double high = r.origin().bandHighHz();
      if (!(high > low)) {
        low = r.frequencyHz(0);
        high = r.frequencyHz(r.lines() - 1);
      }
      double from = logarithmic ? low / 1.5 : Math.max(0, low - 0.1 * (high - low));
      double to = logarithmic ? high * 1.3 : high + 0.1 * (high - low);
      return new Span(
          Math.max(logarithmic ? r.frequencyHz(0) : 0, from),
          Math.min(Math.max(r.frequencyHz(r.lines() - 1), low * 1.01), to));
    }

    boolean has(double hz) {
      return hz >= lowHz && hz <= highHz;
    }
  }

  /**
   * @param traces at least one, the one that it is all about first
   */
  public ResponseContent(List<Trace> traces, Choice choice) {
    this(traces, choice, Double.POSITIVE_INFINITY, 0, true);
  }

  private ResponseContent(
      List<Trace> traces, Choice choice, double lowHz, double highHz, boolean veiled) {
    this.traces = List.copyOf(traces);
    this.choice = choice;
    this.unit = FormUnit.of(choice.form(), choice.lengths());
    Span own = Span.around(main(), choice.logFrequency());
    double least = choice.logFrequency() ? main().frequencyHz(0) : 0;
    this.span =
        new Span(
            Math.max(least, Math.min(own.lowHz(), lowHz / 1.1)),
            Math.max(
                own.highHz(), Math.min(highHz * 1.1, 2 * main().frequencyHz(main().lines() - 1))));
    this.veiled = veiled;
  }

  /**
   * The same without a veil over what is not usable.
   *
   * @param lowHz lowest frequency that must be seen
   * @param highHz highest frequency that must be seen
   */
  public ResponseContent over(double lowHz, double highHz) {
    return new ResponseContent(traces, choice, lowHz, highHz, false);
  }

  private FrequencyResponse main() {
    return traces.get(0).response();
  }

  /** What is shown at first. */
  public Span span() {
    return span;
  }

  /** The plot of a view. */
  public PlotContent of(ResponseView view) {
    return builder(view, true).build();
  }

  /**
   * The same, for more to be added.
   *
   * @param explained whether its legend tells everything; not needed below another one
   */
  public PlotContent.Builder builder(ResponseView view, boolean explained) {
    explains = explained;
    return switch (view) {
      case MAGNITUDE -> magnitude();
      case PHASE -> phase();
      case REAL -> part("real part", v -> v[0]);
      case IMAGINARY -> part("imaginary part", v -> v[1]);
      case COHERENCE -> coherence();
      case NYQUIST -> nyquist();
    };
  }

  /** Words for the usable band. */
  public static String band(FrequencyResponse r) {
    return String.format(
        Locale.ROOT, "%.0f to %.0f Hz", r.origin().bandLowHz(), r.origin().bandHighHz());
  }

  /** The axis of frequency. */
  public Axis frequency() {
    return choice.logFrequency()
        ? Axis.log("frequency (Hz)", span.lowHz(), span.highHz())
        : Axis.linear("frequency (Hz)", span.lowHz(), span.highHz());
  }

  private String label(String what) {
    return (what.isEmpty() ? "" : what + " of ")
        + choice.form().word()
        + " ("
        + unit.symbol()
        + ")";
  }

  private PlotContent.Builder begin(Axis y, String key) {
    PlotContent.Builder plot =
        PlotContent.of(frequency(), y).viewKey(key + choice + main().origin().source() + span);
    FrequencyResponse.Origin origin = main().origin();
    if (veiled && origin.bandHighHz() > origin.bandLowHz()) {
      plot.veil(
          explains ? "outside the usable " + band(main()) : "",
          origin.bandLowHz(),
          origin.bandHighHz(),
          Ink.QUIET);
    }
    return plot;
  }

  // ---- magnitude

  private PlotContent.Builder magnitude() {
    List<double[]> sizes = new ArrayList<>();
    double most = 0;
    for (Trace trace : traces) {
      double[] size = each(trace.response(), v -> Math.hypot(v[0], v[1]) * unit.perSi());
      sizes.add(size);
      for (int i = 0; i < size.length; i++) {
        if (span.has(trace.response().frequencyHz(i))) {
          most = Math.max(most, size[i]);
        }
      }
    }
    most = Math.max(most, Double.MIN_NORMAL);
    double least = most;
    double[] main = sizes.get(0);
    for (int i = 0; i < main.length; i++) {
      if (span.has(main().frequencyHz(i))) {
        least = Math.min(least, Math.max(main[i], most * SMALLEST));
      }
    }
    Axis y =
        choice.logMagnitude()
            ? Axis.log(label(""), Math.max(least / 1.5, most * 1e-5), most * 2)
            : Axis.linear(label(""), 0, most * 1.08);
    middle = choice.logMagnitude() ? Math.sqrt(y.from() * y.to()) : (y.from() + y.to()) / 2;
    PlotContent.Builder plot = begin(y, "magnitude");
    errors(plot, main, most);
    draw(plot, sizes);
    return plot;
  }

  private void errors(PlotContent.Builder plot, double[] size, double most) {
    FrequencyResponse r = main();
    double[] low = new double[size.length];
    double[] high = new double[size.length];
    boolean known = false;
    for (int i = 0; i < size.length; i++) {
      double error = 2 * Math.min(r.relativeError(i), 1);
      known |= !Double.isNaN(error);
      low[i] = Math.max(size[i] * (1 - error), Math.max(0.02 * size[i], most * SMALLEST));
      high[i] = size[i] * (1 + error);
      if (Double.isNaN(error)) {
        low[i] = Double.NaN;
        high[i] = Double.NaN;
      }
    }
    if (known) {
      plot.band("95 % sure", r.frequencies(), low, high, Ink.FIRST);
    }
  }

  private double[] each(FrequencyResponse r, ToDoubleFunction<double[]> what) {
    double[] all = new double[r.lines()];
    double[] v = new double[2];
    for (int i = 0; i < all.length; i++) {
      v[0] = r.real(i);
      v[1] = r.imag(i);
      choice.form().fromReceptance(r.frequencyHz(i), r.windowTimeConstantS(), v);
      all[i] = what.applyAsDouble(v);
    }
    return all;
  }

  private void draw(PlotContent.Builder plot, List<double[]> values) {
    int other = 0;
    for (int i = 0; i < traces.size(); i++) {
      Trace trace = traces.get(i);
      Ink ink =
          switch (trace.kind()) {
            case MAIN -> Ink.FIRST;
            case RESIDUAL -> Ink.QUIET;
            case OTHER, MODEL -> OTHERS[other++ % OTHERS.length];
          };
      Stroke stroke =
          switch (trace.kind()) {
            case MAIN -> Stroke.SOLID;
            case OTHER, MODEL -> Stroke.DASHED;
            case RESIDUAL -> Stroke.DOTTED;
          };
      plot.curve(
          explains || traces.size() > 1 ? trace.name() : "",
          trace.response().frequencies(),
          values.get(i),
          ink,
          stroke,
          Mark.NONE);
    }
  }

  // ---- phase, parts, coherence

  private PlotContent.Builder phase() {
    // receptance turns from 0 to -180 deg, mobility from 90 to -90, accelerance from 180 to 0
    double highest = 90 + 90.0 * choice.form().ordinal();
    PlotContent.Builder plot = begin(Axis.linear("phase (deg)", highest - 360, highest), "phase");
    List<double[]> all = new ArrayList<>();
    for (Trace trace : traces) {
      double[] degrees =
          each(
              trace.response(),
              v -> {
                double d = Math.toDegrees(Math.atan2(v[1], v[0]));
                return d > highest ? d - 360 : d <= highest - 360 ? d + 360 : d;
              });
      broken(degrees);
      all.add(degrees);
    }
    draw(plot, all);
    return plot;
  }

  /** A turn by 360 degrees is no line. */
  private static void broken(double[] degrees) {
    double before = degrees[0];
    for (int i = 1; i < degrees.length; i++) {
      double here = degrees[i];
      if (Math.abs(here - before) > 180) {
        degrees[i] = Double.NaN;
      }
      before = here;
    }
  }

  private PlotContent.Builder part(String what, ToDoubleFunction<double[]> which) {
    List<double[]> all = new ArrayList<>();
    double low = 0;
    double high = 0;
    for (Trace trace : traces) {
      double[] values = each(trace.response(), v -> which.applyAsDouble(v) * unit.perSi());
      all.add(values);
      for (int i = 0; i < values.length; i++) {
        if (inBand(trace.response().frequencyHz(i))) {
          low = Math.min(low, values[i]);
          high = Math.max(high, values[i]);
        }
      }
    }
    double room = Math.max(0.08 * (high - low), Double.MIN_NORMAL);
    PlotContent.Builder plot = begin(Axis.linear(label(what), low - room, high + room), what);
    plot.lines("", new double[] {0}, List.of(), false, Ink.QUIET, Stroke.DOTTED);
    draw(plot, all);
    return plot;
  }

  private boolean inBand(double hz) {
    FrequencyResponse.Origin origin = main().origin();
    return origin.bandHighHz() > origin.bandLowHz()
        ? hz >= origin.bandLowHz() && hz <= origin.bandHighHz()
        : span.has(hz);
  }

  private PlotContent.Builder coherence() {
    PlotContent.Builder plot = begin(Axis.linear("coherence (1)", 0, 1.05), "coherence");
    List<double[]> all = new ArrayList<>();
    for (Trace trace : traces) {
      FrequencyResponse r = trace.response();
      double[] values = new double[r.lines()];
      Arrays.setAll(values, r::coherence);
      all.add(values);
    }
    draw(plot, all);
    return plot;
  }

  /** Whether coherence is known at all; one tap alone has none. */
  public boolean hasCoherence() {
    FrequencyResponse r = main();
    for (int i = 0; i < r.lines(); i++) {
      if (!Double.isNaN(r.coherence(i))) {
        return true;
      }
    }
    return false;
  }

  // ---- Nyquist

  private PlotContent.Builder nyquist() {
    double low = 0;
    double high = 0;
    double left = 0;
    double right = 0;
    List<double[]> re = new ArrayList<>();
    List<double[]> im = new ArrayList<>();
    for (Trace trace : traces) {
      FrequencyResponse r = trace.response();
      double[] x = each(r, v -> v[0] * unit.perSi());
      double[] y = each(r, v -> v[1] * unit.perSi());
      int from = 0;
      while (from < x.length && !inBand(r.frequencyHz(from))) {
        from++;
      }
      int to = from;
      while (to < x.length && inBand(r.frequencyHz(to))) {
        left = Math.min(left, x[to]);
        right = Math.max(right, x[to]);
        low = Math.min(low, y[to]);
        high = Math.max(high, y[to]);
        to++;
      }
      re.add(Arrays.copyOfRange(x, from, to));
      im.add(Arrays.copyOfRange(y, from, to));
    }
    double room = Math.max(0.06 * Math.max(right - left, high - low), Double.MIN_NORMAL);
    PlotContent.Builder plot =
        PlotContent.of(
                Axis.linear("real part (" + unit.symbol() + ")", left - room, right + room),
                Axis.linear("imaginary part (" + unit.symbol() + ")", low - room, high + room))
            .equalAspect()
            .title("usable band")
            .viewKey("nyquist" + choice + main().origin().source() + span);
    plot.lines("", new double[] {0}, List.of(), true, Ink.QUIET, Stroke.DOTTED);
    plot.lines("", new double[] {0}, List.of(), false, Ink.QUIET, Stroke.DOTTED);
    int other = 0;
    for (int i = 0; i < traces.size(); i++) {
      Trace trace = traces.get(i);
      plot.curve(
          trace.name(),
          re.get(i),
          im.get(i),
          trace.kind() == Trace.Kind.MAIN ? Ink.FIRST : OTHERS[other++ % OTHERS.length],
          trace.kind() == Trace.Kind.MAIN ? Stroke.SOLID : Stroke.DASHED,
          Mark.NONE);
    }
    return plot;
  }

  /** Frequencies of the peaks in what is shown at first, Hz. */
  double[] peaks() {
    double[] size = each(main(), v -> Math.hypot(v[0], v[1]));
    FrequencyResponse.Origin origin = main().origin();
    boolean known = origin.bandHighHz() > origin.bandLowHz();
    return Peaks.of(
        main().frequencies(),
        size,
        known ? origin.bandLowHz() : span.lowHz(),
        known ? origin.bandHighHz() : span.highHz());
  }

  /** A frequency and how large the response is there, in words. */
  String reading(double hz) {
    double[] at = place(hz);
    return String.format(
        Locale.ROOT, "%.1f Hz: %.3g %s", hz, Math.hypot(at[0], at[1]), unit.symbol());
  }

  /** Half-way up the plot of the magnitude that was made last. */
  public double middle() {
    return middle;
  }

  /** A frequency that all plots show. */
  public double cursorStart() {
    return Math.max(span.lowHz(), main().origin().bandLowHz());
  }

  /** Where a frequency lies in the Nyquist plot. */
  public double[] place(double hz) {
    double[] v = new double[2];
    main().at(hz, v);
    choice.form().fromReceptance(hz, main().windowTimeConstantS(), v);
    v[0] *= unit.perSi();
    v[1] *= unit.perSi();
    return v;
  }
}
