package ringtrue.report;

import java.awt.BasicStroke;
import java.awt.Color;
import java.awt.Font;
import java.awt.FontMetrics;
import java.awt.Graphics2D;
import java.awt.RenderingHints;
import java.awt.geom.Line2D;
import java.awt.geom.Rectangle2D;
import java.awt.image.BufferedImage;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.function.BiFunction;
import ringtrue.library.Cut;
import ringtrue.planning.CutPlan;

/**
 * Draws a plan: each limit as a bar that says how much of it is used, with numbers and words, then
 * the better cuts. Outside a limit the bar is hatched and the word NO stands beside it.
 */
final class PlanPicture {
  private static final Font BOLD = new Font(Font.SANS_SERIF, Font.BOLD, 15);
  private static final int NAME = 215;
  private static final int NUMBERS = 330;
  private static final int BAR = 18;
  private static final int GAP = 13;
  private static final double SHOWN = 1.5;

  private final CutPlan plan;
  private final Cut cut;
  private final LengthUnit unit;
  private final BiFunction<Double, String, String> shown;
  private final FontMetrics metrics;
  private final int line;

  /**
   * @param shown writes a number with its SI unit the way people read it
   */
  PlanPicture(CutPlan plan, Cut cut, LengthUnit unit, BiFunction<Double, String, String> shown) {
    this.plan = plan;
    this.cut = cut;
    this.unit = unit;
    this.shown = shown;
    Graphics2D g = new BufferedImage(1, 1, BufferedImage.TYPE_INT_RGB).createGraphics();
    g.setRenderingHint(
        RenderingHints.KEY_FRACTIONALMETRICS, RenderingHints.VALUE_FRACTIONALMETRICS_ON);
    metrics = g.getFontMetrics(Panels.TEXT);
    line = metrics.getHeight();
    g.dispose();
  }

  Picture picture() {
    String verdict =
        switch (plan.verdict()) {
          case GO -> "GO: inside every limit that could be judged";
          case CARE -> "GO WITH CARE: " + PlanWords.chatters(plan.chance());
          case UNKNOWN -> "NOT KNOWN: " + plan.doubts().get(0);
          case CHANGE -> "CHANGE: outside a limit, better cuts below";
          case STOP -> "STOP: outside a limit, no better cut found";
        };
    String caption =
        String.format(
            Locale.ROOT,
            "%s, %s. A bar to the line at 100 %% uses up its limit; hatched and marked NO is outside,"
                + " without a bar is advice. Numbers: this cut / allowed. Estimates from"
                + " measurements at standstill; no claim that a cut is safe.",
            cut.material(),
            cut.machine().name().isEmpty() ? "machine not named" : cut.machine().name());
    Panels panels = new Panels(Pictures.WIDTH, cut.name() + " - " + verdict, caption);
    int height = 24;
    for (CutPlan.Limit limit : plan.limits()) {
      height += height(limit);
    }
    panels.drawing(height, this::limits, new Legend());
    if (!plan.suggestions().isEmpty()) {
      int tall = (plan.suggestions().size() + 2) * line + 3 * GAP;
      for (CutPlan.Suggestion s : plan.suggestions()) {
        tall += wrapped(s.because(), Pictures.WIDTH - 2 * Panels.MARGIN - 30).size() * line;
      }
      panels.drawing(tall, this::suggestions, new Legend());
    }
    return panels.picture();
  }

  private int height(CutPlan.Limit limit) {
    return BAR + 4 + wrapped(limit.because(), width()).size() * line + GAP;
  }

  private static int width() {
    return Pictures.WIDTH - 2 * Panels.MARGIN - NAME;
  }

  private void limits(Graphics2D g) {
    int left = Panels.MARGIN + NAME;
    int bars = Pictures.WIDTH - Panels.MARGIN - NUMBERS - left;
    double full = left + bars / SHOWN;
    int y = 24;
    g.setFont(Panels.TEXT);
    g.setColor(Panels.DARK);
    String hundred = "100 %";
    g.drawString(hundred, (float) (full - metrics.stringWidth(hundred) / 2.0), 14);
    for (CutPlan.Limit limit : plan.limits()) {
      g.setFont(BOLD);
      g.setColor(Panels.DARK);
      g.drawString(limit.name(), Panels.MARGIN, y + BAR - 4);
      bar(g, limit, left, bars, y);
      g.setStroke(new BasicStroke(1.4f));
      g.setColor(Panels.DARK);
      g.draw(new Line2D.Double(full, y - 4, full, y + BAR + 4));
      g.setFont(limit.ok() || limit.advice() ? Panels.TEXT : BOLD);
      g.drawString(numbers(limit), left + bars + 14, y + BAR - 4);
      g.setFont(Panels.TEXT);
      int text = y + BAR + 4 + metrics.getAscent();
      for (String words : wrapped(limit.because(), width())) {
        g.drawString(words, left, text);
        text += line;
      }
      y += height(limit);
    }
  }

  private String numbers(CutPlan.Limit limit) {
    String value = shown.apply(limit.value(), limit.unit());
    if (limit.advice()) {
      return value + (limit.limit() > 0 ? " / " + shown.apply(limit.limit(), limit.unit()) : "");
    }
    String allowed = shown.apply(limit.limit(), limit.unit());
    return (limit.ok() ? "" : "NO  ") + value + " / " + allowed;
  }

  private static void bar(Graphics2D g, CutPlan.Limit limit, int left, int bars, int y) {
    g.setStroke(new BasicStroke(0.8f));
    g.setColor(Color.LIGHT_GRAY);
    g.draw(new Rectangle2D.Double(left, y, bars, BAR));
    if (limit.advice() || Double.isNaN(limit.share())) {
      return;
    }
    double share = Math.max(0, Math.min(SHOWN, limit.share()));
    Rectangle2D bar = new Rectangle2D.Double(left, y, bars * share / SHOWN, BAR);
    g.setColor(limit.ok() ? Panels.SOFT_BLUE : Panels.ORANGE);
    g.fill(bar);
    Graphics2D part = (Graphics2D) g.create();
    if (!limit.ok()) {
      part.clip(bar);
      part.setColor(Panels.DARK);
      part.setStroke(new BasicStroke(1.2f));
      for (double x = left - BAR; x < bar.getMaxX(); x += 9) {
        part.draw(new Line2D.Double(x, y + BAR, x + BAR, y));
      }
    }
    part.dispose();
    g.setColor(Panels.DARK);
    g.draw(bar);
  }

  private void suggestions(Graphics2D g) {
    int y = GAP + metrics.getAscent();
    g.setFont(BOLD);
    g.setColor(Panels.DARK);
    g.drawString("Better cuts, most removed first", Panels.MARGIN, y);
    g.setFont(Panels.TEXT);
    y += line + GAP / 2;
    for (CutPlan.Suggestion s : plan.suggestions()) {
      String radial = Double.isNaN(s.radialM()) ? "" : "radial " + unit.length(s.radialM()) + ", ";
      g.drawString(
          String.format(
              Locale.ROOT,
              "%.0f rpm, %saxial %s, %s per tooth, %s%s",
              s.speedRpm(),
              radial,
              unit.length(s.axialM()),
              unit.length(s.feedPerToothM()),
              Double.isNaN(s.removalM3PerS()) ? "" : unit.removal(s.removalM3PerS()),
              Double.isNaN(s.wallErrorM())
                  ? ""
                  : ", wall "
                      + (s.wallErrorM() < 0 ? "-" : "+")
                      + unit.small(Math.abs(s.wallErrorM()))),
          Panels.MARGIN,
          y);
      y += line;
      for (String words : wrapped(s.because(), Pictures.WIDTH - 2 * Panels.MARGIN - 30)) {
        g.drawString(words, Panels.MARGIN + 30, y);
        y += line;
      }
    }
  }

  private List<String> wrapped(String text, int width) {
    List<String> lines = new ArrayList<>();
    StringBuilder now = new StringBuilder();
    for (String word : text.split(" ")) {
      String longer = now.isEmpty() ? word : now + " " + word;
      if (!now.isEmpty() && metrics.stringWidth(longer) > width) {
        lines.add(now.toString());
        now = new StringBuilder(word);
      } else {
        now = new StringBuilder(longer);
      }
    }
    lines.add(now.toString());
    return lines;
  }
}
