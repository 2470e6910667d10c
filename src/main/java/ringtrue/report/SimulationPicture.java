package ringtrue.report;

import java.awt.BasicStroke;
import java.awt.Color;
import java.awt.geom.Ellipse2D;
import java.awt.geom.Path2D;
import java.awt.geom.Rectangle2D;
import java.awt.image.BufferedImage;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import ringtrue.library.Cut;
import ringtrue.stability.CutSurface;
import ringtrue.stability.CutTrace;
import ringtrue.stability.SimulatedCut;
import ringtrue.stability.SimulatedCut.ToothSample;

/** A simulated cut: forces, displacement, chips, once-per-tooth samples and the surface. */
public final class SimulationPicture {
  private static final int COLUMNS = 1000;
  private static final int SHOWN_TURNS = 3;
  private static final BasicStroke THIN = new BasicStroke(1.2f);
  private static final BasicStroke DOTTED =
      new BasicStroke(2f, BasicStroke.CAP_BUTT, BasicStroke.JOIN_ROUND, 10, new float[] {2, 3}, 0);
  private static final BasicStroke DASH_DOT =
      new BasicStroke(
          2f, BasicStroke.CAP_BUTT, BasicStroke.JOIN_ROUND, 10, new float[] {9, 3, 2, 3}, 0);
  private static final Color[] COLOURS = {
    Panels.BLUE, Panels.ORANGE, Panels.GREEN, new Color(110, 60, 130), Color.GRAY, Panels.DARK
  };
  private static final BasicStroke[] STROKES = {
    Panels.SOLID, Panels.DASHED, DOTTED, DASH_DOT, Panels.SOLID, DOTTED
  };

  private final Panels panels;

  private SimulationPicture(Panels panels) {
    this.panels = panels;
  }

  /** What became of the cut, in a sentence. */
  public static String sentence(SimulatedCut cut) {
    String at =
        Double.isNaN(cut.chatterHz())
            ? ""
            : String.format(Locale.ROOT, " at %.0f Hz", cut.chatterHz());
    String stop = cut.stopped() ? "; stopped when the displacement became absurd" : "";
    return switch (cut.verdict()) {
      case STABLE -> "STABLE, a small disturbance dies out";
      case FLIP -> "CHATTER" + at + ", every second tooth alike (flip)" + stop;
      case HOPF -> "CHATTER" + at + ", a frequency of its own (Hopf)" + stop;
      case CANNOT_TELL ->
          cut.rigid()
              ? "FORCES ONLY, nothing gives way, so chatter cannot be judged"
              : "CANNOT TELL, close to the border of chatter";
    };
  }

  /** The picture of a simulated cut. */
  public static SimulationPicture of(SimulatedCut cut, Cut file, LengthUnit unit) {
    CutTrace trace = cut.trace();
    String caption =
        String.format(
            Locale.ROOT,
            "Simulated, %d turns at %.0f rpm, %.4g us a step. Forces, displacement and chips over the"
                + " last %s; samples once per tooth from the start: one level for each tooth where the"
                + " cut is stable, two in a flip, a cloud in Hopf chatter. The surface is what all teeth"
                + " left: above zero material stands, below it is cut too deep. A model, not a promise.",
            cut.turns(),
            file.process().speedRpm(),
            1e6 * trace.stepS(),
            shown(trace) > 1 ? shown(trace) + " turns" : "turn");
    Panels panels = new Panels(Pictures.WIDTH, file.name() + ": " + sentence(cut), caption);
    if (trace.size() > 8) {
      boolean turning = file.process().tool().isEmpty();
      forces(panels, trace, turning);
      displacement(panels, trace, unit, turning);
      chips(panels, trace, unit);
    }
    samples(panels, cut, unit);
    cut.surface().ifPresent(s -> surface(panels, s, unit));
    return new SimulationPicture(panels);
  }

  /** All of it, to be painted as often as wanted. */
  public Picture picture() {
    return panels.picture();
  }

  /** Paints it in its usual size. */
  public BufferedImage paint() {
    return panels.paint();
  }

  /** Paints it larger, for print. */
  public BufferedImage paint(double scale) {
    return panels.paint(scale);
  }

  private static int shown(CutTrace trace) {
    return Math.max(1, Math.min(SHOWN_TURNS, trace.size() / trace.stepsPerTurn()));
  }

  private static int from(CutTrace trace) {
    return Math.max(0, trace.size() - shown(trace) * trace.stepsPerTurn());
  }

  private static double milliseconds(CutTrace trace, int i) {
    return 1e3 * (i - from(trace)) * trace.stepS();
  }

  private record Curve(String name, java.util.function.IntToDoubleFunction value) {}

  private static void forces(Panels panels, CutTrace trace, boolean turning) {
    curves(
        panels,
        trace,
        "force on the tool, N",
        false,
        List.of(
            new Curve(turning ? "along x" : "along the feed", trace::xN),
            new Curve(turning ? "at right angles to it" : "across the feed", trace::yN)));
  }

  private static void displacement(
      Panels panels, CutTrace trace, LengthUnit unit, boolean turning) {
    double scale = smallPerM(unit);
    Curve x = new Curve(turning ? "along x" : "along the feed", i -> scale * trace.xM(i));
    Curve y = new Curve("across the feed", i -> scale * trace.yM(i));
    curves(
        panels, trace, "displacement, " + small(unit), false, turning ? List.of(x) : List.of(x, y));
  }

  private static void chips(Panels panels, CutTrace trace, LengthUnit unit) {
    double scale = smallPerM(unit);
    List<Curve> curves = new ArrayList<>();
    for (int j = 0; j < Math.min(COLOURS.length, trace.flutes()); j++) {
      int flute = j;
      curves.add(
          new Curve(
              trace.flutes() == 1 ? "chip" : "flute " + (j + 1),
              i -> scale * trace.chipM(flute, i)));
    }
    String title = "chip, " + small(unit);
    curves(
        panels,
        trace,
        trace.flutes() > COLOURS.length ? title + ", first " + COLOURS.length : title,
        true,
        curves);
  }

  /** Curves over the turns shown. */
  private static void curves(
      Panels panels, CutTrace trace, String title, boolean fromZero, List<Curve> curves) {
    double low = fromZero ? 0 : Double.POSITIVE_INFINITY;
    double high = fromZero ? 1e-6 : Double.NEGATIVE_INFINITY;
    Legend legend = new Legend();
    List<PixelColumns> lines = new ArrayList<>();
    for (int c = 0; c < curves.size(); c++) {
      Curve curve = curves.get(c);
      PixelColumns line =
          PixelColumns.of(
              from(trace),
              trace.size(),
              i -> milliseconds(trace, i),
              curve.value::applyAsDouble,
              false,
              COLUMNS);
      lines.add(line);
      for (double v : line.y) {
        low = Math.min(low, v);
        high = Math.max(high, v);
      }
      legend.line(curve.name, COLOURS[c], STROKES[c]);
    }
    if (!(high >= low)) {
      return;
    }
    double margin = high > low ? 0.06 * (high - low) : Math.max(1e-3, 0.06 * Math.abs(high));
    panels.chart(270, "time, ms", title);
    panels.plot(
        0,
        milliseconds(trace, trace.size() - 1),
        fromZero ? 0 : low - margin,
        high + margin,
        (g, frame) -> {},
        (g, frame) -> {
          for (int c = 0; c < lines.size(); c++) {
            g.setColor(COLOURS[c]);
            g.setStroke(STROKES[c]);
            g.draw(path(frame, lines.get(c).x, lines.get(c).y));
          }
        },
        legend);
  }

  private static Path2D path(PlotFrame frame, double[] x, double[] y) {
    Path2D path = new Path2D.Double();
    for (int i = 0; i < x.length; i++) {
      if (i == 0) {
        path.moveTo(frame.pixelX(x[i]), frame.pixelY(y[i]));
      } else {
        path.lineTo(frame.pixelX(x[i]), frame.pixelY(y[i]));
      }
    }
    return path;
  }

  private static void samples(Panels panels, SimulatedCut cut, LengthUnit unit) {
    List<ToothSample> samples = cut.samples();
    if (samples.size() < 2) {
      return;
    }
    double scale = smallPerM(unit);
    double low = Double.POSITIVE_INFINITY;
    double high = Double.NEGATIVE_INFINITY;
    for (ToothSample s : samples) {
      low = Math.min(low, scale * Math.min(s.xM(), s.yM()));
      high = Math.max(high, scale * Math.max(s.xM(), s.yM()));
    }
    double margin = Math.max(0.05 * (high - low), 1e-3 * Math.max(Math.abs(low), 1e-3));
    double end = samples.get(samples.size() - 1).timeS();
    panels.chart(300, "time from the start, s", "once per tooth, " + small(unit));
    panels.plot(
        0,
        Math.max(end, 1e-6),
        low - margin,
        high + margin,
        (g, frame) -> {},
        (g, frame) -> {
          for (ToothSample s : samples) {
            double px = frame.pixelX(s.timeS());
            g.setColor(Panels.BLUE);
            double py = frame.pixelY(scale * s.xM());
            g.fill(new Ellipse2D.Double(px - 1.6, py - 1.6, 3.2, 3.2));
            g.setColor(Panels.ORANGE);
            g.setStroke(THIN);
            double qy = frame.pixelY(scale * s.yM());
            g.draw(new Rectangle2D.Double(px - 2.2, qy - 2.2, 4.4, 4.4));
          }
        },
        new Legend()
            .add(
                "along the feed",
                (g, box) -> {
                  g.setColor(Panels.BLUE);
                  g.fill(new Ellipse2D.Double(box.getCenterX() - 3, box.getCenterY() - 3, 6, 6));
                })
            .add(
                "across the feed",
                (g, box) -> {
                  g.setColor(Panels.ORANGE);
                  g.setStroke(THIN);
                  g.draw(new Rectangle2D.Double(box.getCenterX() - 3, box.getCenterY() - 3, 6, 6));
                }));
  }

  private static void surface(Panels panels, CutSurface s, LengthUnit unit) {
    double scale = smallPerM(unit);
    double least = Double.POSITIVE_INFINITY;
    double most = Double.NEGATIVE_INFINITY;
    for (double v : s.profileM()) {
      least = Math.min(least, scale * v);
      most = Math.max(most, scale * v);
    }
    boolean near = Math.min(Math.abs(least), Math.abs(most)) < 3 * (most - least);
    double low = near ? Math.min(0, least) : least;
    double high = near ? Math.max(0, most) : most;
    double margin = Math.max(0.1 * (high - low), 1e-2);
    double bottom = low - margin;
    double length = s.alongM().get(s.alongM().size() - 1);
    double per = unit.of(1);
    panels.chart(260, "along the surface, " + unit.symbol(), "left standing, " + small(unit));
    panels.plot(
        0,
        per * length,
        low - margin,
        high + margin,
        (g, frame) -> {
          Path2D work = new Path2D.Double();
          work.moveTo(frame.pixelX(per * s.alongM().get(0)), frame.pixelY(bottom));
          for (int i = 0; i < s.alongM().size(); i++) {
            work.lineTo(
                frame.pixelX(per * s.alongM().get(i)), frame.pixelY(scale * s.profileM().get(i)));
          }
          work.lineTo(frame.pixelX(per * length), frame.pixelY(bottom));
          work.closePath();
          g.setColor(new Color(215, 215, 215));
          g.fill(work);
        },
        (g, frame) -> {
          Path2D line = new Path2D.Double();
          for (int i = 0; i < s.alongM().size(); i++) {
            double px = frame.pixelX(per * s.alongM().get(i));
            double py = frame.pixelY(scale * s.profileM().get(i));
            if (i == 0) {
              line.moveTo(px, py);
            } else {
              line.lineTo(px, py);
            }
          }
          g.setColor(Panels.DARK);
          g.setStroke(THIN);
          g.draw(line);
          g.setColor(Panels.BLUE);
          g.setStroke(Panels.DASHED);
          g.draw(
              new java.awt.geom.Line2D.Double(
                  frame.pixelX(0), frame.pixelY(0), frame.pixelX(per * length), frame.pixelY(0)));
        },
        new Legend()
            .area(
                s.name()
                    + " at the middle height, on average "
                    + unit.small(Math.abs(s.leftM()))
                    + (s.leftM() >= 0 ? " left standing" : " too deep"),
                new Color(215, 215, 215))
            .line(near ? "nominal" : "nominal (outside)", Panels.BLUE, Panels.DASHED));
  }

  private static String small(LengthUnit unit) {
    return unit.small(0).split(" ")[1];
  }

  private static double smallPerM(LengthUnit unit) {
    return unit == LengthUnit.MILLIMETRE ? 1e6 : 1000 / 0.0254;
  }
}
