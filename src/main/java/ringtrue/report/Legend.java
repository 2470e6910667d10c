package ringtrue.report;

import java.awt.BasicStroke;
import java.awt.Color;
import java.awt.FontMetrics;
import java.awt.Graphics2D;
import java.awt.Rectangle;
import java.awt.geom.Line2D;
import java.util.ArrayList;
import java.util.List;
import java.util.function.BiConsumer;

/** What the colours and lines of a chart mean, in rows below it. */
final class Legend {
  private static final int SAMPLE_WIDTH = 34;
  private static final int SAMPLE_HEIGHT = 14;
  private static final int GAP = 8;
  private static final int BETWEEN = 26;
  private static final int ROW = 24;

  private record Entry(String words, BiConsumer<Graphics2D, Rectangle> sample) {}

  private final List<Entry> entries = new ArrayList<>();

  /** An entry that paints its own sample into the box it is given. */
  Legend add(String words, BiConsumer<Graphics2D, Rectangle> sample) {
    entries.add(new Entry(words, sample));
    return this;
  }

  /** An entry for an area. */
  Legend area(String words, Color fill) {
    return add(
        words,
        (g, box) -> {
          g.setColor(fill);
          g.fill(box);
          g.setColor(Color.GRAY);
          g.setStroke(new BasicStroke(0.8f));
          g.draw(box);
        });
  }

  /** An entry for a line. */
  Legend line(String words, Color color, BasicStroke stroke) {
    return add(
        words,
        (g, box) -> {
          g.setColor(color);
          g.setStroke(stroke);
          g.draw(new Line2D.Double(box.x, box.getCenterY(), box.x + box.width, box.getCenterY()));
        });
  }

  /** Height of all rows in a given width, pixels. */
  int height(int width, FontMetrics metrics) {
    return rows(width, metrics).size() * ROW;
  }

  /** Paints the rows, each centred between left and left + width, from the top downwards. */
  void paint(Graphics2D g, int left, int width, int top) {
    FontMetrics metrics = g.getFontMetrics();
    int y = top;
    for (List<Entry> row : rows(width, metrics)) {
      int x = left + (width - rowWidth(row, metrics)) / 2;
      for (Entry entry : row) {
        Graphics2D part = (Graphics2D) g.create();
        entry.sample.accept(
            part, new Rectangle(x, y + (ROW - SAMPLE_HEIGHT) / 2, SAMPLE_WIDTH, SAMPLE_HEIGHT));
        part.dispose();
        g.drawString(
            entry.words,
            x + SAMPLE_WIDTH + GAP,
            y + (ROW - metrics.getHeight()) / 2 + metrics.getAscent());
        x += width(entry, metrics) + BETWEEN;
      }
      y += ROW;
    }
  }

  private List<List<Entry>> rows(int width, FontMetrics metrics) {
    List<List<Entry>> rows = new ArrayList<>();
    List<Entry> row = new ArrayList<>();
    for (Entry entry : entries) {
      row.add(entry);
      if (row.size() > 1 && rowWidth(row, metrics) > width) {
        row.remove(row.size() - 1);
        rows.add(row);
        row = new ArrayList<>(List.of(entry));
      }
    }
    if (!row.isEmpty()) {
      rows.add(row);
    }
    return rows;
  }

  private static int rowWidth(List<Entry> row, FontMetrics metrics) {
    return row.stream().mapToInt(e -> width(e, metrics)).sum() + BETWEEN * (row.size() - 1);
  }

  private static int width(Entry entry, FontMetrics metrics) {
    return SAMPLE_WIDTH + GAP + metrics.stringWidth(entry.words);
  }
}
