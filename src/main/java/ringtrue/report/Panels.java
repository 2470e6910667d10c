package ringtrue.report;

import java.awt.BasicStroke;
import java.awt.Color;
import java.awt.Font;
import java.awt.FontMetrics;
import java.awt.Graphics2D;
import java.awt.RenderingHints;
import java.awt.image.BufferedImage;
import java.util.ArrayList;
import java.util.List;
import org.knowm.xchart.XYChart;
import org.knowm.xchart.XYChartBuilder;
import org.knowm.xchart.XYSeries;
import org.knowm.xchart.XYSeries.XYSeriesRenderStyle;
import org.knowm.xchart.style.Styler.LegendLayout;
import org.knowm.xchart.style.Styler.LegendPosition;
import org.knowm.xchart.style.markers.None;

/**
 * A picture made of charts above each other, with a heading and a caption. Colours are those of
 * Okabe and Ito (2008), told apart by colour-blind readers; line styles differ as well, for black
 * and white print.
 */
final class Panels {
  static final Color BLUE = new Color(0, 114, 178);
  static final Color ORANGE = new Color(213, 94, 0);
  static final Color GREEN = new Color(0, 158, 115);
  static final Color DARK = new Color(40, 40, 40);
  static final Color SOFT_BLUE = new Color(86, 180, 233);
  static final Color PALE = new Color(0, 114, 178, 50);
  static final BasicStroke SOLID = new BasicStroke(2f);
  static final BasicStroke BROAD = new BasicStroke(4.5f);
  static final BasicStroke DASHED =
      new BasicStroke(2f, BasicStroke.CAP_BUTT, BasicStroke.JOIN_ROUND, 10, new float[] {9, 5}, 0);
  static final BasicStroke NO_LINE = new BasicStroke(0);

  private static final int MARGIN = 18;
  private static final Font HEADING = new Font(Font.SANS_SERIF, Font.BOLD, 19);
  private static final Font TEXT = new Font(Font.SANS_SERIF, Font.PLAIN, 15);

  private final int width;
  private final String heading;
  private final String caption;
  private final List<XYChart> charts = new ArrayList<>();

  Panels(int width, String heading, String caption) {
    this.width = width;
    this.heading = heading;
    this.caption = caption;
  }

  /** A new chart below those that are there. */
  XYChart chart(int height, String xTitle, String yTitle) {
    XYChart chart =
        new XYChartBuilder()
            .width(width)
            .height(height)
            .xAxisTitle(xTitle)
            .yAxisTitle(yTitle)
            .build();
    chart
        .getStyler()
        .setChartBackgroundColor(Color.WHITE)
        .setPlotBackgroundColor(Color.WHITE)
        .setPlotBorderColor(Color.GRAY)
        .setChartFontColor(DARK)
        .setLegendPosition(LegendPosition.OutsideS)
        .setLegendLayout(LegendLayout.Horizontal)
        .setLegendFont(TEXT)
        .setLegendBorderColor(Color.LIGHT_GRAY)
        .setLegendBackgroundColor(new Color(255, 255, 255, 220))
        .setChartTitleVisible(false)
        .setChartPadding(6)
        .setYAxisLeftWidthHint(95)
        .setMarkerSize(0);
    chart
        .getStyler()
        .setAxisTitleFont(TEXT)
        .setAxisTickLabelsFont(TEXT)
        .setPlotGridLinesColor(new Color(225, 225, 225))
        .setYAxisDecimalPattern("0.####")
        .setPlotMargin(0)
        .setXAxisMaxLabelCount(12);
    charts.add(chart);
    return chart;
  }

  /** Adds a line. */
  static XYSeries line(
      XYChart chart, String name, double[] x, double[] y, Color color, BasicStroke stroke) {
    XYSeries series = chart.addSeries(name, x, y);
    series.setMarker(new None());
    series.setLineColor(color);
    series.setLineStyle(stroke);
    series.setXYSeriesRenderStyle(XYSeriesRenderStyle.Line);
    return series;
  }

  /** Adds a filled outline. */
  static XYSeries area(XYChart chart, String name, double[] x, double[] y, Color fill) {
    XYSeries series = chart.addSeries(name, x, y);
    series.setMarker(new None());
    series.setXYSeriesRenderStyle(XYSeriesRenderStyle.PolygonArea);
    series.setFillColor(fill);
    series.setLineColor(new Color(0, 0, 0, 0));
    series.setLineStyle(NO_LINE);
    return series;
  }

  BufferedImage paint() {
    BufferedImage probe = new BufferedImage(1, 1, BufferedImage.TYPE_INT_RGB);
    Graphics2D measure = probe.createGraphics();
    List<String> headingLines = wrap(heading, measure.getFontMetrics(HEADING));
    List<String> captionLines = wrap(caption, measure.getFontMetrics(TEXT));
    int headingStep = measure.getFontMetrics(HEADING).getHeight();
    int captionStep = measure.getFontMetrics(TEXT).getHeight();
    measure.dispose();

    int height =
        2 * MARGIN
            + headingLines.size() * headingStep
            + charts.stream().mapToInt(XYChart::getHeight).sum()
            + captionLines.size() * captionStep
            + MARGIN / 2;
    BufferedImage image = new BufferedImage(width, height, BufferedImage.TYPE_INT_RGB);
    Graphics2D g = image.createGraphics();
    g.setRenderingHint(
        RenderingHints.KEY_TEXT_ANTIALIASING, RenderingHints.VALUE_TEXT_ANTIALIAS_ON);
    g.setRenderingHint(RenderingHints.KEY_ANTIALIASING, RenderingHints.VALUE_ANTIALIAS_ON);
    g.setColor(Color.WHITE);
    g.fillRect(0, 0, width, height);
    int y = MARGIN;
    y = text(g, headingLines, HEADING, headingStep, y);
    for (XYChart chart : charts) {
      Graphics2D part = (Graphics2D) g.create(0, y, width, chart.getHeight());
      chart.paint(part, width, chart.getHeight());
      part.dispose();
      y += chart.getHeight();
    }
    text(g, captionLines, TEXT, captionStep, y + MARGIN / 2);
    g.dispose();
    return image;
  }

  private static int text(Graphics2D g, List<String> lines, Font font, int step, int top) {
    g.setFont(font);
    g.setColor(DARK);
    int y = top;
    for (String line : lines) {
      g.drawString(line, MARGIN, y + g.getFontMetrics().getAscent());
      y += step;
    }
    return y;
  }

  private List<String> wrap(String text, FontMetrics metrics) {
    List<String> lines = new ArrayList<>();
    for (String paragraph : text.split("\n")) {
      StringBuilder line = new StringBuilder();
      for (String word : paragraph.split(" ")) {
        String longer = line.isEmpty() ? word : line + " " + word;
        if (!line.isEmpty() && metrics.stringWidth(longer) > width - 2 * MARGIN) {
          lines.add(line.toString());
          line = new StringBuilder(word);
        } else {
          line = new StringBuilder(longer);
        }
      }
      if (!line.isEmpty()) {
        lines.add(line.toString());
      }
    }
    return lines;
  }
}
