package ringtrue.report;

import java.awt.Color;
import java.awt.geom.Path2D;
import java.awt.image.BufferedImage;
import java.util.ArrayList;
import java.util.List;
import ringtrue.stability.StabilityMap.Interval;
import ringtrue.stability.StabilityMap.Line;
import ringtrue.stability.StabilityMap.Loss;

/**
 * The stable stretches of neighbouring speeds joined to areas.
 *
 * <p>Two stretches belong together if they overlap each other and no other stretch, or if both
 * speeds have as many stretches and each lies beside its counterpart: then edges run straight from
 * one to the other. A stretch without counterpart reaches halfway to the neighbour, so that an area
 * never covers what both speeds call unstable.
 */
final class StableAreas {
  /** Shares of a pixel column that are looked at one by one. */
  private static final int PARTS = 3;

  /**
   * A piece of a stable area between two speeds, with straight edges.
   *
   * @param fromRpm left side, rpm
   * @param toRpm right side, rpm
   * @param left stretch at the left side, m
   * @param right stretch at the right side, m
   * @param first whether it begins at zero depth
   */
  record Piece(double fromRpm, double toRpm, Interval left, Interval right, boolean first) {

    double low(double rpm) {
      return between(rpm, left.fromM(), right.fromM());
    }

    double high(double rpm) {
      return between(rpm, left.toM(), right.toM());
    }

    private double between(double rpm, double a, double b) {
      return toRpm > fromRpm ? a + (rpm - fromRpm) / (toRpm - fromRpm) * (b - a) : a;
    }
  }

  private final List<Line> lines;
  private final List<Piece> pieces = new ArrayList<>();
  private final boolean[] limitRunsOn;

  /**
   * @param lines lines of a map, speeds rising
   */
  StableAreas(List<Line> lines) {
    this.lines = lines;
    this.limitRunsOn = new boolean[lines.size()];
    for (int i = 0; i + 1 < lines.size(); i++) {
      join(i);
    }
    if (lines.size() == 1) {
      Line only = lines.get(0);
      double half = 0.004 * only.speedRpm();
      for (Interval s : only.stable()) {
        add(only.speedRpm() - half, only.speedRpm() + half, s, s);
      }
    }
  }

  List<Piece> pieces() {
    return pieces;
  }

  private void join(int i) {
    Line a = lines.get(i);
    Line b = lines.get(i + 1);
    List<Interval> left = a.stable();
    List<Interval> right = b.stable();
    int[] partner = partners(left, right);
    boolean[] taken = new boolean[right.size()];
    for (int p = 0; p < left.size(); p++) {
      if (partner[p] >= 0) {
        taken[partner[p]] = true;
        add(a.speedRpm(), b.speedRpm(), left.get(p), right.get(partner[p]));
      } else {
        add(a.speedRpm(), middle(a, b), left.get(p), left.get(p));
      }
    }
    for (int q = 0; q < right.size(); q++) {
      if (!taken[q]) {
        add(middle(a, b), b.speedRpm(), right.get(q), right.get(q));
      }
    }
    limitRunsOn[i] = partner.length > 0 && partner[0] == 0;
  }

  private void add(double fromRpm, double toRpm, Interval left, Interval right) {
    pieces.add(new Piece(fromRpm, toRpm, left, right, left.fromM() <= 0 && right.fromM() <= 0));
  }

  private static double middle(Line a, Line b) {
    return 0.5 * (a.speedRpm() + b.speedRpm());
  }

  private static int[] partners(List<Interval> left, List<Interval> right) {
    int[] partner = new int[left.size()];
    boolean oneToOne = left.size() == right.size();
    for (int k = 0; oneToOne && k < left.size(); k++) {
      Interval a = left.get(k);
      Interval b = right.get(k);
      double apart = Math.max(a.fromM(), b.fromM()) - Math.min(a.toM(), b.toM());
      oneToOne = apart <= Math.max(a.toM() - a.fromM(), b.toM() - b.fromM());
    }
    for (int p = 0; p < left.size(); p++) {
      partner[p] = oneToOne ? p : only(left.get(p), left, right);
    }
    return partner;
  }

  /** The stretch on the right that a overlaps, if neither overlaps another; −1 otherwise. */
  private static int only(Interval a, List<Interval> left, List<Interval> right) {
    int found = -1;
    for (int q = 0; q < right.size(); q++) {
      if (overlap(a, right.get(q))) {
        if (found >= 0) {
          return -1;
        }
        found = q;
      }
    }
    if (found >= 0) {
      Interval b = right.get(found);
      if (left.stream().filter(other -> overlap(other, b)).count() > 1) {
        return -1;
      }
    }
    return found;
  }

  private static boolean overlap(Interval a, Interval b) {
    return a.fromM() < b.toM() && b.fromM() < a.toM();
  }

  /**
   * The areas as a picture of the plot's size, edges softened.
   *
   * @param perMetre unit of the plot's lengths
   */
  BufferedImage raster(PlotFrame frame, double perMetre, Color fill) {
    int width = frame.area().width;
    int height = frame.area().height;
    BufferedImage image = new BufferedImage(width, height, BufferedImage.TYPE_INT_ARGB);
    float[][] covered = new float[width][];
    for (Piece piece : pieces) {
      double from = (piece.fromRpm - frame.fromX()) / (frame.toX() - frame.fromX()) * width;
      double to = (piece.toRpm - frame.fromX()) / (frame.toX() - frame.fromX()) * width;
      int first = Math.max(0, (int) Math.ceil(from * PARTS - 0.5));
      for (int part = first; part < width * PARTS && part + 0.5 < to * PARTS; part++) {
        double rpm = frame.valueAcross((part + 0.5) / PARTS);
        int column = part / PARTS;
        if (covered[column] == null) {
          covered[column] = new float[height];
        }
        cover(
            covered[column],
            frame.pixelY(piece.high(rpm) * perMetre) - frame.area().y,
            frame.pixelY(piece.low(rpm) * perMetre) - frame.area().y);
      }
    }
    int rgb = fill.getRGB() & 0xFFFFFF;
    for (int column = 0; column < width; column++) {
      for (int row = 0; covered[column] != null && row < height; row++) {
        float share = Math.min(1, covered[column][row] / PARTS);
        image.setRGB(column, row, Math.round(share * fill.getAlpha()) << 24 | rgb);
      }
    }
    return image;
  }

  private static void cover(float[] rows, double top, double bottom) {
    double from = Math.max(0, top);
    double to = Math.min(rows.length, bottom);
    for (int row = (int) from; row < to; row++) {
      rows[row] += (float) (Math.min(to, row + 1) - Math.max(from, row));
    }
  }

  /**
   * Edges of the areas other than the first limit, as one path in pixels.
   *
   * @param maxM upper end of the search, where no edge is
   */
  Path2D edges(PlotFrame frame, double perMetre, double maxM) {
    Path2D path = new Path2D.Double();
    for (Piece p : pieces) {
      if (!p.first) {
        segment(path, frame, p, p.left.fromM() * perMetre, p.right.fromM() * perMetre);
        if (p.left.toM() < maxM || p.right.toM() < maxM) {
          segment(path, frame, p, p.left.toM() * perMetre, p.right.toM() * perMetre);
        }
      }
    }
    return path;
  }

  private static void segment(Path2D path, PlotFrame frame, Piece p, double left, double right) {
    path.moveTo(frame.pixelX(p.fromRpm), frame.pixelY(left));
    path.lineTo(frame.pixelX(p.toRpm), frame.pixelY(right));
  }

  /** The first limit where it is lost in one way, as a path in pixels. */
  Path2D limit(PlotFrame frame, double perMetre, Loss loss) {
    Path2D path = new Path2D.Double();
    boolean drawing = false;
    for (int i = 0; i < lines.size(); i++) {
      Line a = lines.get(i);
      boolean mine = a.loss() == loss;
      double x = frame.pixelX(a.speedRpm());
      double y = frame.pixelY(a.limitM() * perMetre);
      if (mine) {
        to(path, drawing, x, y);
        drawing = true;
      }
      if (i + 1 == lines.size()) {
        break;
      }
      Line b = lines.get(i + 1);
      boolean next = b.loss() == loss;
      double middle = frame.pixelX(middle(a, b));
      double yNext = frame.pixelY(b.limitM() * perMetre);
      if (mine && next && limitRunsOn[i]) {
        continue;
      }
      double from = limitRunsOn[i] ? 0.5 * (y + yNext) : y;
      double onward = limitRunsOn[i] ? from : yNext;
      if (mine) {
        to(path, true, middle, from);
      }
      if (mine && !limitRunsOn[i] && b.loss() != Loss.NONE) {
        path.lineTo(middle, onward);
      }
      if (next) {
        to(path, mine, middle, onward);
      }
      drawing = next;
    }
    return path;
  }

  private static void to(Path2D path, boolean drawing, double x, double y) {
    if (drawing) {
      path.lineTo(x, y);
    } else {
      path.moveTo(x, y);
    }
  }
}
