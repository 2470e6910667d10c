package ringtrue.ui.simulation;

import java.awt.BasicStroke;
import java.awt.Color;
import java.awt.Dimension;
import java.awt.Font;
import java.awt.FontMetrics;
import java.awt.Graphics;
import java.awt.Graphics2D;
import java.awt.RenderingHints;
import java.awt.geom.AffineTransform;
import java.awt.geom.Arc2D;
import java.awt.geom.Area;
import java.awt.geom.Ellipse2D;
import java.awt.geom.Line2D;
import java.awt.geom.Path2D;
import java.awt.geom.Rectangle2D;
import java.util.Locale;
import javax.swing.JPanel;
import javax.swing.UIManager;
import ringtrue.stability.CutSurface;
import ringtrue.stability.CutTrace;
import ringtrue.stability.Engagement;
import ringtrue.stability.Tool;
import ringtrue.ui.plot.Ink;

/**
 * The tip of the cutter in the work at one moment, looking from the spindle: feed to the right,
 * clockwise turning. Displacement and chips are drawn larger than they are, by factors that stand
 * in the picture.
 */
final class CutterPicture extends JPanel {
  private static final double TURN = 2 * Math.PI;
  private static final double DISPLACED = 0.2;
  private static final double CHIP = 0.16;
  private static final double RADIUS = 0.30;

  private Simulated shown;
  private double displacedBy = 1;
  private double chipBy = 1;
  private double[] tipRad = new double[0];
  private double step;
  private Area stock;
  private double stockFor;

  CutterPicture() {
    setName("simulation-picture");
    setOpaque(true);
    getAccessibleContext().setAccessibleName("Cutter in the work, looking from the spindle");
  }

  /** Shows another simulation from its beginning. */
  void show(Simulated other) {
    shown = other;
    step = 0;
    stock = null;
    CutTrace trace = other.result().trace();
    double most = 0;
    double chip = 0;
    int stride = Math.max(1, trace.size() / 4000);
    for (int i = 0; i < trace.size(); i += stride) {
      double d = Math.hypot(trace.xM(i), trace.yM(i));
      most = Double.isFinite(d) ? Math.max(most, d) : most;
      for (int j = 0; j < trace.flutes(); j++) {
        chip = Math.max(chip, trace.chipM(j, i));
      }
    }
    double radius = radiusM(other);
    displacedBy = factor(DISPLACED * radius / most);
    chipBy = factor(CHIP * radius / chip);
    tipRad = tips(other);
    repaint();
  }

  private static double radiusM(Simulated of) {
    return of.process().tool().map(t -> t.diameterM() / 2).orElse(5e-3);
  }

  /** How far each flute's tip is behind the first, rad. */
  static double[] tips(Simulated of) {
    Tool tool = of.process().tool().orElse(null);
    if (tool == null) {
      return new double[0];
    }
    double[] behind = new double[tool.flutes()];
    for (int j = 1; j < behind.length; j++) {
      behind[j] = behind[j - 1] + tool.pitchRad().get(j - 1);
    }
    return behind;
  }

  /** Angle of a flute's tip at a step of the trace, rad from +y clockwise, in [0, 2π). */
  static double angle(CutTrace trace, double behindRad, double at) {
    double turns = (trace.timeS(0) / trace.stepS() + at) / trace.stepsPerTurn();
    double a = (TURN * (turns - Math.floor(turns)) - behindRad) % TURN;
    return a < 0 ? a + TURN : a;
  }

  /** 1, 2, 5 times a power of ten, not above a value; 1 where there is none. */
  static double factor(double value) {
    if (!(value > 1) || Double.isInfinite(value)) {
      return 1;
    }
    double ten = Math.pow(10, Math.floor(Math.log10(value)));
    return value >= 5 * ten ? 5 * ten : value >= 2 * ten ? 2 * ten : ten;
  }

  /** Goes to a step of the trace. */
  void at(double newStep) {
    if (newStep != step) {
      step = newStep;
      repaint();
    }
  }

  double at() {
    return step;
  }

  @Override
  public Dimension getPreferredSize() {
    int em = UIManager.getFont("Label.font").getSize();
    return new Dimension(28 * em, 24 * em);
  }

  @Override
  public Dimension getMinimumSize() {
    int em = UIManager.getFont("Label.font").getSize();
    return new Dimension(12 * em, 12 * em);
  }

  @Override
  protected void paintComponent(Graphics graphics) {
    super.paintComponent(graphics);
    Graphics2D g = (Graphics2D) graphics.create();
    g.setRenderingHint(RenderingHints.KEY_ANTIALIASING, RenderingHints.VALUE_ANTIALIAS_ON);
    g.setRenderingHint(
        RenderingHints.KEY_TEXT_ANTIALIASING, RenderingHints.VALUE_TEXT_ANTIALIAS_ON);
    g.setFont(UIManager.getFont("Label.font"));
    if (shown == null || shown.result().trace().size() < 2) {
      g.setColor(UIManager.getColor("Label.foreground"));
      g.drawString("The cutter appears here.", 12, 2 * g.getFontMetrics().getHeight());
    } else if (shown.process().tool().isPresent()) {
      milling(g);
    } else {
      turning(g);
    }
    g.dispose();
  }

  private static Color faint(Color of, int alpha) {
    return new Color(of.getRed(), of.getGreen(), of.getBlue(), alpha);
  }

  private int index() {
    return (int) Math.min(shown.result().trace().size() - 1.0, Math.max(0, step));
  }

  private void milling(Graphics2D g) {
    double w = getWidth();
    double h = getHeight() - 2.0 * g.getFontMetrics().getHeight();
    double radius = radiusM(shown);
    double px = RADIUS * Math.min(w, h) / radius;
    double r = radius * px;
    Engagement e = shown.process().engagement();
    CutTrace trace = shown.result().trace();
    int i = index();
    double dx = finite(trace.xM(i)) * displacedBy * px;
    double dy = finite(trace.yM(i)) * displacedBy * px;
    AffineTransform before = g.getTransform();
    g.translate(w / 2, h / 2);
    if (stock == null || stockFor != r) {
      stock = stock(e, r, 3 * Math.max(w, h));
      stockFor = r;
    }
    Color text = UIManager.getColor("Label.foreground");
    g.setColor(faint(Ink.QUIET.color(), 80));
    g.clip(new Rectangle2D.Double(-w / 2, -h / 2, w, h));
    g.fill(stock);
    g.setColor(Ink.QUIET.color());
    g.setStroke(new BasicStroke(1f));
    g.draw(stock);
    shown.result().surface().ifPresent(s -> wall(g, s, e, r, px));
    g.translate(dx, -dy);
    chips(g, trace, i, e, r, px);
    cutter(g, trace, e, r);
    g.setColor(Ink.ACCENT.color());
    g.setStroke(new BasicStroke((float) Math.max(2, r / 30), BasicStroke.CAP_BUTT, 0));
    double over = r * 1.1;
    g.draw(
        new Arc2D.Double(
            -over,
            -over,
            2 * over,
            2 * over,
            90 - Math.toDegrees(e.entryRad()),
            -Math.toDegrees(e.exitRad() - e.entryRad()),
            Arc2D.OPEN));
    g.setTransform(before);
    g.setClip(0, 0, getWidth(), getHeight());
    words(g, text, h);
  }

  private static double finite(double v) {
    return Double.isFinite(v) ? v : 0;
  }

  /** The work: what lies ahead of the cutter, and beside what it has cut. */
  private static Area stock(Engagement e, double r, double far) {
    boolean fromTop = e.entryRad() < 1e-6;
    boolean toBottom = e.exitRad() > Math.PI - 1e-6;
    double top = fromTop ? -far : -r * Math.cos(e.entryRad());
    double bottom = toBottom ? far : -r * Math.cos(e.exitRad());
    Area all = new Area(new Rectangle2D.Double(-far, top, 2 * far, bottom - top));
    all.subtract(new Area(new Rectangle2D.Double(-far, -r, far, 2 * r)));
    all.subtract(new Area(new Ellipse2D.Double(-r, -r, 2 * r, 2 * r)));
    return all;
  }

  /** The wall that was left, its waves drawn as large as the displacement. */
  private void wall(Graphics2D g, CutSurface s, Engagement e, double r, double px) {
    boolean down = e.exitRad() > Math.PI - 1e-6;
    double base = down ? r : -r;
    double sign = down ? -1 : 1;
    int n = s.alongM().size();
    int stride = Math.max(1, n / 600);
    double end = s.alongM().get(n - 1);
    Path2D line = new Path2D.Double();
    for (int i = 0; i < n; i += stride) {
      double x = (s.alongM().get(i) - end) * px;
      double y = base + sign * s.profileM().get(i) * displacedBy * px;
      if (i == 0) {
        line.moveTo(x, y);
      } else {
        line.lineTo(x, y);
      }
    }
    g.setColor(Ink.SECOND.color());
    g.setStroke(new BasicStroke(1.6f));
    g.draw(line);
  }

  private void cutter(Graphics2D g, CutTrace trace, Engagement e, double r) {
    Color body = faint(Ink.FIRST.color(), 60);
    g.setStroke(new BasicStroke(1.5f));
    for (int j = 0; j < tipRad.length; j++) {
      double phi = angle(trace, tipRad[j], step);
      double back = Math.min(0.9, 0.75 * TURN / tipRad.length);
      Path2D tooth = new Path2D.Double();
      to(tooth, true, 0.45 * r, phi + 0.1);
      to(tooth, false, r, phi);
      to(tooth, false, 0.93 * r, phi - 0.3 * back);
      to(tooth, false, 0.72 * r, phi - 0.7 * back);
      to(tooth, false, 0.5 * r, phi - back);
      tooth.closePath();
      boolean cuts = trace.chipM(j, index()) > 0;
      g.setColor(cuts ? faint(Ink.FIRST.color(), 150) : body);
      g.fill(tooth);
      g.setColor(Ink.FIRST.color());
      g.draw(tooth);
      if (cuts) {
        double x = r * Math.sin(phi);
        double y = -r * Math.cos(phi);
        g.fill(new Ellipse2D.Double(x - 4, y - 4, 8, 8));
      }
      g.setColor(UIManager.getColor("Label.foreground"));
      FontMetrics m = g.getFontMetrics();
      String number = String.valueOf(j + 1);
      g.drawString(
          number,
          (float) (0.68 * r * Math.sin(phi - 0.12) - m.stringWidth(number) / 2.0),
          (float) (-0.68 * r * Math.cos(phi - 0.12) + m.getAscent() / 2.5));
    }
    g.setColor(faint(Ink.FIRST.color(), 110));
    g.fill(new Ellipse2D.Double(-0.5 * r, -0.5 * r, r, r));
    g.setColor(Ink.FIRST.color());
    g.draw(new Ellipse2D.Double(-r, -r, 2 * r, 2 * r));
    double c = r / 12;
    g.draw(new Line2D.Double(-c, 0, c, 0));
    g.draw(new Line2D.Double(0, -c, 0, c));
  }

  private static void to(Path2D path, boolean first, double r, double phi) {
    double x = r * Math.sin(phi);
    double y = -r * Math.cos(phi);
    if (first) {
      path.moveTo(x, y);
    } else {
      path.lineTo(x, y);
    }
  }

  /** What each tooth has cut since it came into the work. */
  private void chips(Graphics2D g, CutTrace trace, int now, Engagement e, double r, double px) {
    int stride = Math.max(1, trace.stepsPerTurn() / 360);
    for (int j = 0; j < tipRad.length; j++) {
      Path2D outer = new Path2D.Double();
      java.util.ArrayDeque<double[]> inner = new java.util.ArrayDeque<>();
      boolean begun = false;
      for (int i = now; i >= 0 && now - i < trace.stepsPerTurn() / 2; i -= stride) {
        double phi = angle(trace, tipRad[j], i);
        double chip = trace.chipM(j, i);
        if (!(chip > 0) && begun || phi < e.entryRad()) {
          break;
        }
        if (!(chip > 0) || phi > e.exitRad()) {
          break;
        }
        to(outer, !begun, r, phi);
        inner.push(new double[] {r - chip * chipBy * px, phi});
        begun = true;
      }
      if (begun) {
        for (double[] p : inner) {
          to(outer, false, p[0], p[1]);
        }
        outer.closePath();
        g.setColor(faint(Ink.SECOND.color(), 190));
        g.fill(outer);
      }
    }
  }

  private void words(Graphics2D g, Color text, double h) {
    FontMetrics m = g.getFontMetrics();
    g.setColor(text);
    say(g, "feed \u2192, seen from the spindle", m.getAscent() + 4);
    say(
        g,
        String.format(
            Locale.ROOT, "motion, wall \u00d7 %.0f, chips \u00d7 %.0f", displacedBy, chipBy),
        h + m.getAscent() - 2);
    say(
        g,
        String.format(
            Locale.ROOT,
            "arc: teeth in the work; %.2f ms",
            TraceCharts.milliseconds(shown.result().trace(), step)),
        h + m.getHeight() + m.getAscent() - 2);
  }

  /** Words in a line, in smaller letters where they would not fit. */
  private void say(Graphics2D g, String text, double y) {
    Font usual = g.getFont();
    double room = getWidth() - 12.0;
    double asked = g.getFontMetrics().stringWidth(text);
    if (asked > room) {
      g.setFont(usual.deriveFont((float) (usual.getSize2D() * Math.max(0.75, room / asked))));
    }
    g.drawString(text, 6, (float) y);
    g.setFont(usual);
  }

  /** The work from its end, the edge at its right. */
  private void turning(Graphics2D g) {
    double w = getWidth();
    double h = getHeight() - 2.0 * g.getFontMetrics().getHeight();
    double r = RADIUS * Math.min(w, h);
    CutTrace trace = shown.result().trace();
    int i = index();
    double px = r / radiusM(shown);
    double turned = TURN * (i % trace.stepsPerTurn()) / trace.stepsPerTurn();
    double cx = 0.4 * w;
    double cy = h / 2;
    g.setColor(faint(Ink.QUIET.color(), 80));
    g.fill(new Ellipse2D.Double(cx - r, cy - r, 2 * r, 2 * r));
    g.setColor(Ink.QUIET.color());
    g.setStroke(new BasicStroke(1.5f));
    g.draw(new Ellipse2D.Double(cx - r, cy - r, 2 * r, 2 * r));
    g.draw(
        new Line2D.Double(
            cx, cy, cx + 0.9 * r * Math.sin(turned), cy - 0.9 * r * Math.cos(turned)));
    double dx = finite(trace.xM(i)) * displacedBy * px;
    double chip = trace.chipM(0, i) * chipBy * px;
    g.setColor(faint(Ink.SECOND.color(), 190));
    g.fill(new Rectangle2D.Double(cx + r, cy - chip, 0.25 * r, chip));
    Path2D edge = new Path2D.Double();
    edge.moveTo(cx + r + dx, cy);
    edge.lineTo(cx + 1.7 * r + dx, cy - 0.15 * r);
    edge.lineTo(cx + 1.7 * r + dx, cy + 0.35 * r);
    edge.lineTo(cx + 1.1 * r + dx, cy + 0.3 * r);
    edge.closePath();
    g.setColor(faint(Ink.FIRST.color(), 150));
    g.fill(edge);
    g.setColor(Ink.FIRST.color());
    g.draw(edge);
    FontMetrics m = g.getFontMetrics();
    g.setColor(UIManager.getColor("Label.foreground"));
    say(g, "the work from its end; the edge moves, a sketch", m.getAscent() + 4);
    say(
        g,
        String.format(
            Locale.ROOT,
            "displacement \u00d7 %.0f, chip \u00d7 %.0f; %.2f ms",
            displacedBy,
            chipBy,
            TraceCharts.milliseconds(trace, step)),
        h + m.getHeight());
  }
}
