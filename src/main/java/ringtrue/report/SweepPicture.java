package ringtrue.report;

import java.awt.BasicStroke;
import java.awt.Color;
import java.awt.Graphics2D;
import java.awt.Rectangle;
import java.awt.geom.Line2D;
import java.awt.geom.Path2D;
import java.awt.geom.Rectangle2D;
import java.util.List;
import java.util.Locale;
import ringtrue.library.Cut;
import ringtrue.planning.CutPlan;
import ringtrue.planning.Sweep;
import ringtrue.units.Dimension;

/**
 * Draws a sweep: every limit as the share of it that is used, against what is varied. Where all are
 * kept the ground is shaded; the cut itself is marked.
 */
final class SweepPicture {
  private static final Color INSIDE = new Color(0, 158, 115, 45);
  private static final double LEAST_TOP = 1.4;
  private static final double MOST_TOP = 2.5;
  private static final int MARKS = 9;
  private static final BasicStroke OWN =
      new BasicStroke(2f, BasicStroke.CAP_BUTT, BasicStroke.JOIN_ROUND, 10, new float[] {2, 4}, 0);

  private final Sweep sweep;
  private final Cut cut;
  private final LengthUnit unit;

  SweepPicture(Sweep sweep, Cut cut, LengthUnit unit) {
    this.sweep = sweep;
    this.cut = cut;
    this.unit = unit;
  }

  /** What an axis of such values is called, with its unit. */
  static String title(Sweep sweep, LengthUnit unit) {
    return sweep.parameter().word() + unitOf(sweep.parameter().dimension(), unit);
  }

  private static String unitOf(Dimension dimension, LengthUnit unit) {
    return switch (dimension) {
      case SPINDLE_SPEED -> ", rpm";
      case LENGTH -> ", " + unit.symbol();
      case ANGLE -> ", deg";
      case PRESSURE -> ", N/mm2";
      case FORCE_PER_LENGTH -> ", N/mm";
      case RATIO -> ", %";
      default -> ", " + dimension.siUnit();
    };
  }

  private double x(double value) {
    return SweepWords.shown(value, sweep.parameter().dimension(), unit);
  }

  Picture picture() {
    List<String> names = sweep.limitNames();
    String caption =
        String.format(
            Locale.ROOT,
            "%s, %.0f rpm, axial %s, %s per tooth; one thing varied, all else as it is. Below the"
                + " line at 100 %% a limit is kept; shaded: all that could be judged are. %s"
                + " Estimates; no claim that a cut is safe.",
            cut.material(),
            cut.process().speedRpm(),
            unit.length(cut.process().engagement().axialM()),
            unit.length(cut.process().feedPerToothM()),
            inside());
    Panels panels =
        new Panels(
            Pictures.WIDTH, cut.name() + ": what if " + sweep.parameter().word() + "?", caption);
    panels.chart(560, title(sweep, unit), "share of the limit, %");
    List<Sweep.Row> rows = sweep.rows();
    double from = x(rows.get(0).value());
    double to = x(rows.get(rows.size() - 1).value());
    if (!(to > from)) {
      double half = Math.max(Math.abs(from) * 0.05, 1e-6);
      from -= half;
      to += half;
    }
    double own = x(sweep.ownValue());
    double most = LEAST_TOP;
    for (Sweep.Row row : rows) {
      for (String name : names) {
        most = Math.max(most, row.limit(name).map(CutPlan.Limit::share).orElse(0.0));
      }
    }
    double top = Math.min(MOST_TOP, most * 1.03);
    Legend legend = new Legend();
    for (int i = 0; i < names.size(); i++) {
      int which = i;
      legend.add(names.get(i), (g, box) -> LimitMarks.sample(g, box, which));
    }
    legend.area("inside every limit", INSIDE);
    if (!Double.isNaN(own)) {
      legend.line("the cut as it is", Panels.DARK, OWN);
    }
    panels.plot(
        from,
        to,
        0,
        100 * top,
        this::shade,
        (g, frame) -> {
          hundred(g, frame);
          for (int i = 0; i < names.size(); i++) {
            line(g, frame, names.get(i), i, names.size());
          }
          own(g, frame, own);
        },
        legend);
    return panels.picture();
  }

  private String inside() {
    List<Sweep.Stretch> all = sweep.inside();
    if (all.isEmpty()) {
      return "No value keeps all of them.";
    }
    StringBuilder text = new StringBuilder("All are kept at ");
    for (int i = 0; i < Math.min(4, all.size()); i++) {
      text.append(i == 0 ? "" : ", ")
          .append(number(all.get(i).from()))
          .append(" to ")
          .append(number(all.get(i).to()));
    }
    return text.append(all.size() > 4 ? " and elsewhere." : ".").toString();
  }

  private String number(double value) {
    double said = x(value);
    return sweep.parameter().dimension() == Dimension.SPINDLE_SPEED
        ? String.format(Locale.ROOT, "%.0f", said)
        : String.format(Locale.ROOT, "%.4g", said);
  }

  private void shade(Graphics2D g, PlotFrame frame) {
    List<Sweep.Row> rows = sweep.rows();
    g.setColor(INSIDE);
    for (int i = 0; i < rows.size(); i++) {
      if (!rows.get(i).inside()) {
        continue;
      }
      // from half-way to the value before up to half-way to the next one
      double here = x(rows.get(i).value());
      double low = i == 0 ? here : (x(rows.get(i - 1).value()) + here) / 2;
      double high = i == rows.size() - 1 ? here : (x(rows.get(i + 1).value()) + here) / 2;
      double a = frame.pixelX(low);
      double b = rows.size() == 1 ? a + 1 : frame.pixelX(high);
      Rectangle area = frame.area();
      g.fill(new Rectangle2D.Double(a, area.y, b - a, area.height));
    }
  }

  private static void hundred(Graphics2D g, PlotFrame frame) {
    g.setColor(Panels.DARK);
    g.setStroke(new BasicStroke(2.6f));
    double y = frame.pixelY(100);
    Rectangle area = frame.area();
    g.draw(new Line2D.Double(area.x, y, area.x + area.width, y));
  }

  private void line(Graphics2D g, PlotFrame frame, String name, int which, int lines) {
    List<Sweep.Row> rows = sweep.rows();
    Path2D path = new Path2D.Double();
    boolean on = false;
    for (Sweep.Row row : rows) {
      double share = row.limit(name).map(CutPlan.Limit::share).orElse(Double.NaN);
      if (!Double.isFinite(share)) {
        on = false;
        continue;
      }
      double px = frame.pixelX(x(row.value()));
      // far above the plot is as good as anywhere
      double py = frame.pixelY(100 * Math.min(share, 50));
      if (on) {
        path.lineTo(px, py);
      } else {
        path.moveTo(px, py);
      }
      on = true;
    }
    g.setColor(LimitMarks.colour(which));
    g.setStroke(LimitMarks.stroke(which));
    g.draw(path);
    // marks of neighbours stand beside each other
    int step = Math.max(1, rows.size() / MARKS);
    for (int i = step * which / Math.max(1, lines) % step; i < rows.size(); i += step) {
      double share = rows.get(i).limit(name).map(CutPlan.Limit::share).orElse(Double.NaN);
      if (Double.isFinite(share) && share < 50) {
        LimitMarks.mark(g, which, frame.pixelX(x(rows.get(i).value())), frame.pixelY(100 * share));
      }
    }
  }

  private static void own(Graphics2D g, PlotFrame frame, double own) {
    if (Double.isNaN(own)) {
      return;
    }
    g.setColor(Panels.DARK);
    g.setStroke(OWN);
    double px = frame.pixelX(own);
    Rectangle area = frame.area();
    g.draw(new Line2D.Double(px, area.y, px, area.y + area.height));
  }
}
