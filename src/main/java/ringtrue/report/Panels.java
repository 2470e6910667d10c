package ringtrue.report;

import java.awt.BasicStroke;
import java.awt.Color;
import java.awt.Font;
import java.awt.FontMetrics;
import java.awt.Graphics2D;
import java.awt.Rectangle;
import java.awt.RenderingHints;
import java.awt.image.BufferedImage;
import java.util.ArrayList;
import java.util.List;
import java.util.function.Consumer;
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
  static final Color CLEAR = new Color(0, 0, 0, 0);
  static final BasicStroke NO_LINE = new BasicStroke(0);

  static final int MARGIN = 18;
  private static final Font HEADING = new Font(Font.SANS_SERIF, Font.BOLD, 19);
  static final Font TEXT = new Font(Font.SANS_SERIF, Font.PLAIN, 15);

  private final int width;
  private final String heading;
  private final String caption;
  private final List<Panel> panels = new ArrayList<>();

  /** Something painted into the plot of a chart. */
  @FunctionalInterface
  interface Layer {
    void paint(Graphics2D g, PlotFrame frame);
  }

  /** Something painted between charts, all by itself. */
  @FunctionalInterface
  interface Drawing {
    void paint(Graphics2D g);
  }

  /** A chart or drawing, what lies under and over a chart's grid, and what that means. */
  private record Panel(
      int height,
      Drawing drawing,
      XYChart chart,
      boolean layered,
      Consumer<Graphics2D> under,
      Consumer<Graphics2D> over,
      Legend legend) {

    static Panel of(XYChart chart) {
      return new Panel(chart.getHeight(), null, chart, false, g -> {}, g -> {}, new Legend());
    }
  }

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
        .setPlotGridLinesColor(new Color(232, 232, 232))
        .setPlotGridLinesStroke(new BasicStroke(1f))
        .setYAxisDecimalPattern("0.####")
        .setPlotMargin(0)
        .setXAxisMaxLabelCount(12);
    panels.add(Panel.of(chart));
    return chart;
  }

  /** A drawing of our own below what is there, with rows that explain it. */
  void drawing(int height, Drawing drawing, Legend legend) {
    panels.add(new Panel(height, drawing, null, false, g -> {}, g -> {}, legend));
  }

  /** Rows below the chart added last, in place of its own legend. */
  void legend(Legend legend) {
    int last = panels.size() - 1;
    Panel p = panels.get(last);
    p.chart.getStyler().setLegendVisible(false);
    panels.set(last, new Panel(p.height, null, p.chart, p.layered, p.under, p.over, legend));
  }

  /**
   * Gives the chart added last a plot of our own on the chart's axes: both linear, reaching from
   * edge to edge.
   *
   * @param under painted before axes and grid
   * @param over painted after them
   * @param legend rows below the chart
   */
  void plot(
      double fromX, double toX, double fromY, double toY, Layer under, Layer over, Legend legend) {
    int last = panels.size() - 1;
    XYChart chart = panels.get(last).chart;
    chart
        .getStyler()
        .setXAxisMin(fromX)
        .setXAxisMax(toX)
        .setYAxisMin(fromY)
        .setYAxisMax(toY)
        .setPlotContentSize(1)
        .setLegendVisible(false)
        .setChartBackgroundColor(CLEAR)
        .setPlotBackgroundColor(CLEAR);
    chart.getStyler().setXAxisDecimalPattern("0.######");
    // evenly spaced values would become the only tick labels, hence a third point off the middle
    XYSeries corners =
        chart.addSeries(
            "corners",
            new double[] {fromX, fromX + 0.3 * (toX - fromX), toX},
            new double[] {fromY, fromY + 0.3 * (toY - fromY), toY});
    corners.setMarker(new None());
    corners.setLineStyle(NO_LINE);
    corners.setLineColor(CLEAR);
    panels.set(
        last,
        new Panel(
            chart.getHeight(),
            null,
            chart,
            true,
            inside(chart, fromX, toX, fromY, toY, under),
            inside(chart, fromX, toX, fromY, toY, over),
            legend));
  }

  /** A layer that cannot leave the plot. */
  private static Consumer<Graphics2D> inside(
      XYChart chart, double fromX, double toX, double fromY, double toY, Layer layer) {
    return g -> {
      int left = (int) Math.round(chart.getScreenXFromChart(fromX));
      int right = (int) Math.round(chart.getScreenXFromChart(toX));
      int low = (int) Math.round(chart.getScreenYFromChart(fromY));
      int high = (int) Math.round(chart.getScreenYFromChart(toY));
      Rectangle area = new Rectangle(left, high, right - left, low - high);
      Graphics2D part = (Graphics2D) g.create();
      part.clip(area);
      part.setRenderingHint(RenderingHints.KEY_STROKE_CONTROL, RenderingHints.VALUE_STROKE_PURE);
      layer.paint(part, new PlotFrame(area, fromX, toX, fromY, toY));
      part.dispose();
    };
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
    return paint(1);
  }

  /**
   * @param scale pixels for each one of the layout: 2 for print
   */
  BufferedImage paint(double scale) {
    return picture().image(scale);
  }

  /** All of it, to be painted as often as wanted. */
  Picture picture() {
    return new Picture(heading, caption, layout(true), layout(false));
  }

  private Picture.Layout layout(boolean words) {
    BufferedImage probe = new BufferedImage(1, 1, BufferedImage.TYPE_INT_RGB);
    Graphics2D measure = probe.createGraphics();
    measure.setRenderingHint(
        RenderingHints.KEY_FRACTIONALMETRICS, RenderingHints.VALUE_FRACTIONALMETRICS_ON);
    List<String> headingLines = words ? wrap(heading, measure.getFontMetrics(HEADING)) : List.of();
    List<String> captionLines = words ? wrap(caption, measure.getFontMetrics(TEXT)) : List.of();
    int headingStep = measure.getFontMetrics(HEADING).getHeight();
    int captionStep = measure.getFontMetrics(TEXT).getHeight();
    FontMetrics small = measure.getFontMetrics(TEXT);
    measure.dispose();

    int edge = words ? MARGIN : MARGIN / 3;
    int panelsTop = edge + headingLines.size() * headingStep + (words ? MARGIN / 2 : 0);
    int height =
        2 * edge
            + headingLines.size() * headingStep
            + panels.stream()
                .mapToInt(p -> p.height + p.legend.height(width - 2 * MARGIN, small))
                .sum()
            + captionLines.size() * captionStep
            + (words ? MARGIN : 0);
    return new Picture.Layout(
        width,
        height,
        g -> {
          g.setColor(Color.WHITE);
          g.fillRect(0, 0, width, height);
          text(g, headingLines, HEADING, headingStep, edge);
          int y = panelsTop;
          for (Panel panel : panels) {
            Graphics2D part = (Graphics2D) g.create(0, y, width, panel.height);
            if (panel.chart == null) {
              panel.drawing.paint(part);
            } else {
              paint(panel, part, probe);
            }
            part.dispose();
            y += panel.height;
            g.setFont(TEXT);
            g.setColor(DARK);
            panel.legend.paint(g, MARGIN, width - 2 * MARGIN, y);
            y += panel.legend.height(width - 2 * MARGIN, small);
          }
          text(g, captionLines, TEXT, captionStep, y + MARGIN / 2);
        });
  }

  private void paint(Panel panel, Graphics2D g, BufferedImage probe) {
    XYChart chart = panel.chart;
    if (panel.layered) {
      // painted once for nothing: only then does the chart know where its plot lies
      Graphics2D rehearsal = probe.createGraphics();
      chart.paint(rehearsal, width, chart.getHeight());
      rehearsal.dispose();
    }
    panel.under.accept(g);
    chart.paint(g, width, chart.getHeight());
    panel.over.accept(g);
  }

  private static void text(Graphics2D g, List<String> lines, Font font, int step, int top) {
    g.setFont(font);
    g.setColor(DARK);
    int y = top;
    for (String line : lines) {
      g.drawString(line, MARGIN, y + g.getFontMetrics().getAscent());
      y += step;
    }
  }

  private List<String> wrap(String text, FontMetrics metrics) {
    List<String> lines = new ArrayList<>();
    for (String paragraph : text.split("\n")) {
      StringBuilder line = new StringBuilder();
      for (String word : words(paragraph, metrics)) {
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

  /** The words of a line; one that is wider than the picture is cut. */
  private List<String> words(String paragraph, FontMetrics metrics) {
    List<String> words = new ArrayList<>();
    for (String word : paragraph.split(" ")) {
      String rest = word;
      while (metrics.stringWidth(rest) > width - 2 * MARGIN) {
        int fits = rest.length() - 1;
        while (fits > 1 && metrics.stringWidth(rest.substring(0, fits)) > width - 2 * MARGIN) {
          fits--;
        }
        words.add(rest.substring(0, fits));
        rest = rest.substring(fits);
      }
      words.add(rest);
    }
    return words;
  }
}
