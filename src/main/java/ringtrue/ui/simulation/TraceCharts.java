package ringtrue.ui.simulation;

import java.util.function.IntToDoubleFunction;
import ringtrue.report.LengthUnit;
import ringtrue.stability.CutSurface;
import ringtrue.stability.CutTrace;
import ringtrue.ui.plot.Axis;
import ringtrue.ui.plot.Ink;
import ringtrue.ui.plot.Mark;
import ringtrue.ui.plot.PlotContent;
import ringtrue.ui.plot.Stroke;

/** Charts of a simulated cut; built away from the event thread. */
final class TraceCharts {
  /** The handle that stands at the time of the animation. */
  static final String TIME = "time";

  private static final double ROOM = 0.08;

  private final CutTrace trace;
  private final LengthUnit unit;
  private final boolean turning;

  TraceCharts(CutTrace trace, LengthUnit unit, boolean turning) {
    this.trace = trace;
    this.unit = unit;
    this.turning = turning;
  }

  /** Time of a step from the first that is kept, ms. */
  static double milliseconds(CutTrace trace, double step) {
    return 1e3 * trace.stepS() * step;
  }

  /** Micrometres or thousandths of an inch in a metre. */
  static double smallPerMetre(LengthUnit unit) {
    return unit == LengthUnit.MILLIMETRE ? 1e6 : 1000 / 0.0254;
  }

  private static String small(LengthUnit unit) {
    return unit.small(0).split(" ")[1];
  }

  PlotContent displacement() {
    double scale = smallPerMetre(unit);
    return over(
        "Displacement",
        "",
        "displacement (" + small(unit) + ")",
        i -> scale * trace.xM(i),
        i -> scale * trace.yM(i));
  }

  PlotContent force() {
    return over("Force on the tool", "time (ms)", "force (N)", trace::xN, trace::yN);
  }

  private PlotContent over(
      String title,
      String labelX,
      String label,
      IntToDoubleFunction along,
      IntToDoubleFunction across) {
    int n = trace.size();
    if (n < 8) {
      return PlotContent.empty("too few steps were kept");
    }
    double[] t = new double[n];
    double[] x = new double[n];
    double[] y = new double[n];
    double low = Double.POSITIVE_INFINITY;
    double high = Double.NEGATIVE_INFINITY;
    for (int i = 0; i < n; i++) {
      t[i] = milliseconds(trace, i);
      x[i] = along.applyAsDouble(i);
      y[i] = across.applyAsDouble(i);
      for (double v : turning ? new double[] {x[i]} : new double[] {x[i], y[i]}) {
        if (Double.isFinite(v)) {
          low = Math.min(low, v);
          high = Math.max(high, v);
        }
      }
    }
    if (!(high >= low)) {
      return PlotContent.empty("it became absurd before anything was kept");
    }
    double room = Math.max(1e-9, ROOM * (high - low));
    PlotContent.Builder b =
        PlotContent.of(
                Axis.linear(labelX, 0, t[n - 1]), Axis.linear(label, low - room, high + room))
            .title(title)
            .viewKey(title)
            .step(1e3 * trace.stepS(), 0)
            .curve(turning ? "along x" : "along the feed", t, x, Ink.FIRST);
    if (!turning) {
      b.curve("across the feed", t, y, Ink.SECOND, Stroke.DASHED, Mark.NONE);
    }
    return b.handle(TIME, 0, low - room / 2, Ink.ACCENT, TIME, true, false).build();
  }

  /** What is left of the work against the nominal surface. */
  PlotContent wall(CutSurface surface) {
    double scale = smallPerMetre(unit);
    int n = surface.alongM().size();
    if (n < 2) {
      return PlotContent.empty("no surface was followed");
    }
    double[] x = new double[n];
    double[] y = new double[n];
    double[] none = new double[n];
    double low = 0;
    double high = 0;
    for (int i = 0; i < n; i++) {
      x[i] = unit.of(surface.alongM().get(i));
      y[i] = scale * surface.profileM().get(i);
      low = Math.min(low, y[i]);
      high = Math.max(high, y[i]);
    }
    double room = Math.max(0.05, ROOM * (high - low));
    double floor = low - room;
    java.util.Arrays.fill(none, floor);
    return PlotContent.of(
            Axis.linear("along the surface (" + unit.symbol() + ")", x[0], x[n - 1]),
            Axis.linear("left standing (" + small(unit) + ")", floor, high + room))
        .title("What is left")
        .viewKey("wall")
        .band("", x, none, y, Ink.QUIET)
        .curve(surface.name(), x, y, Ink.TEXT)
        .lines("nominal", new double[] {0}, java.util.List.of(""), false, Ink.FIRST, Stroke.DASHED)
        .build();
  }
}
