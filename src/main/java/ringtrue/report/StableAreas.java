package ringtrue.report;

import java.awt.geom.Path2D;
import java.awt.geom.Point2D;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.stream.DoubleStream;
import java.util.stream.Stream;
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
public final class StableAreas {
  /** Where values lie on what is drawn. */
  public interface Onto {
    /** The values themselves. */
    Onto VALUES =
        new Onto() {
          @Override
          public double pixelX(double value) {
            return value;
          }

          @Override
          public double pixelY(double value) {
            return value;
          }
        };

    /** Place across of a spindle speed, rpm. */
    double pixelX(double value);

    /** Place upwards or downwards of a depth or width in the unit of the plot. */
    double pixelY(double value);
  }

  /**
   * A piece of a stable area between two speeds, with straight edges.
   *
   * @param fromRpm left side, rpm
   * @param toRpm right side, rpm
   * @param left stretch at the left side, m
   * @param right stretch at the right side, m
   * @param first whether it begins at zero depth
   */
  record Piece(double fromRpm, double toRpm, Interval left, Interval right, boolean first) {}

  private final List<Line> lines;
  private final List<Piece> pieces = new ArrayList<>();
  private final boolean[] limitRunsOn;
  private final List<List<Interval>> walls = new ArrayList<>();

  /**
   * @param lines lines of a map, speeds rising
   */
  public StableAreas(List<Line> lines) {
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
    List<Interval> leftAlone = new ArrayList<>();
    List<Interval> rightAlone = new ArrayList<>();
    for (int p = 0; p < left.size(); p++) {
      if (partner[p] >= 0) {
        taken[partner[p]] = true;
        add(a.speedRpm(), b.speedRpm(), left.get(p), right.get(partner[p]));
      } else {
        leftAlone.add(left.get(p));
        add(a.speedRpm(), middle(a, b), left.get(p), left.get(p));
      }
    }
    for (int q = 0; q < right.size(); q++) {
      if (!taken[q]) {
        rightAlone.add(right.get(q));
        add(middle(a, b), b.speedRpm(), right.get(q), right.get(q));
      }
    }
    walls.add(inOneOnly(leftAlone, rightAlone));
    limitRunsOn[i] = partner.length > 0 && partner[0] == 0;
  }

  private void add(double fromRpm, double toRpm, Interval left, Interval right) {
    pieces.add(new Piece(fromRpm, toRpm, left, right, left.fromM() <= 0 && right.fromM() <= 0));
  }

  /** What belongs to one of two sets of stretches, but not to both. */
  private static List<Interval> inOneOnly(List<Interval> one, List<Interval> other) {
    double[] ends =
        Stream.concat(one.stream(), other.stream())
            .flatMapToDouble(s -> DoubleStream.of(s.fromM(), s.toM()))
            .sorted()
            .toArray();
    List<Interval> found = new ArrayList<>();
    for (int i = 0; i + 1 < ends.length; i++) {
      double middle = 0.5 * (ends[i] + ends[i + 1]);
      if (ends[i + 1] > ends[i] && holds(one, middle) != holds(other, middle)) {
        found.add(new Interval(ends[i], ends[i + 1]));
      }
    }
    return found;
  }

  private static boolean holds(List<Interval> stretches, double length) {
    return stretches.stream().anyMatch(s -> s.fromM() <= length && length <= s.toM());
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
   * The areas as one outline in places. Pieces that join are one polygon, so that no seam shows.
   *
   * @param perMetre unit of the plot's lengths
   */
  public Path2D outline(Onto frame, double perMetre) {
    Map<End, Piece> byLeft = new HashMap<>();
    Set<End> joined = new HashSet<>();
    List<Piece> wide = pieces.stream().filter(p -> p.toRpm > p.fromRpm).toList();
    for (Piece piece : wide) {
      byLeft.put(new End(piece.fromRpm, piece.left), piece);
      joined.add(new End(piece.toRpm, piece.right));
    }
    Path2D path = new Path2D.Double(Path2D.WIND_NON_ZERO);
    for (Piece piece : wide) {
      if (!joined.contains(new End(piece.fromRpm, piece.left))) {
        List<End> ends = new ArrayList<>();
        ends.add(new End(piece.fromRpm, piece.left));
        Piece at = piece;
        while (at != null) {
          End end = new End(at.toRpm, at.right);
          ends.add(end);
          at = byLeft.get(end);
        }
        polygon(path, frame, perMetre, ends);
      }
    }
    return path;
  }

  /** One side of a piece. */
  private record End(double rpm, Interval stretch) {}

  private static void polygon(Path2D path, Onto frame, double perMetre, List<End> ends) {
    for (int i = 0; i < ends.size(); i++) {
      double x = frame.pixelX(ends.get(i).rpm);
      double y = frame.pixelY(ends.get(i).stretch.toM() * perMetre);
      if (i == 0) {
        path.moveTo(x, y);
      } else {
        path.lineTo(x, y);
      }
    }
    for (int i = ends.size() - 1; i >= 0; i--) {
      path.lineTo(
          frame.pixelX(ends.get(i).rpm), frame.pixelY(ends.get(i).stretch.fromM() * perMetre));
    }
    path.closePath();
  }

  /**
   * Edges of the areas other than the first limit, as one path in places.
   *
   * @param maxM upper end of the search, where no edge is
   */
  public Path2D edges(Onto frame, double perMetre, double maxM) {
    Path2D path = new Path2D.Double();
    for (Piece p : pieces) {
      if (!p.first) {
        segment(path, frame, p, p.left.fromM() * perMetre, p.right.fromM() * perMetre);
        if (p.left.toM() < maxM || p.right.toM() < maxM) {
          segment(path, frame, p, p.left.toM() * perMetre, p.right.toM() * perMetre);
        }
      }
    }
    for (int i = 0; i < walls.size(); i++) {
      for (Interval s : walls.get(i)) {
        wall(path, frame, perMetre, i, s);
      }
    }
    return path;
  }

  /** An upright edge between line i and the next. */
  private void wall(Path2D path, Onto frame, double perMetre, int i, Interval s) {
    double x = frame.pixelX(middle(lines.get(i), lines.get(i + 1)));
    path.moveTo(x, frame.pixelY(s.fromM() * perMetre));
    path.lineTo(x, frame.pixelY(s.toM() * perMetre));
  }

  /** Whether the first limit changes without a jump from line i to the next. */
  public boolean limitRunsOn(int i) {
    return limitRunsOn[i];
  }

  private static void segment(Path2D path, Onto frame, Piece p, double left, double right) {
    path.moveTo(frame.pixelX(p.fromRpm), frame.pixelY(left));
    path.lineTo(frame.pixelX(p.toRpm), frame.pixelY(right));
  }

  /**
   * The first limit where it is lost in one way, as a path in places. Where it jumps, the wall
   * belongs to the lower side.
   */
  public Path2D limit(Onto frame, double perMetre, Loss loss) {
    Path2D path = new Path2D.Double();
    for (int i = 0; i + 1 < lines.size(); i++) {
      Line a = lines.get(i);
      Line b = lines.get(i + 1);
      boolean left = a.loss() == loss;
      boolean right = b.loss() == loss;
      double x = frame.pixelX(a.speedRpm());
      double middle = frame.pixelX(middle(a, b));
      double end = frame.pixelX(b.speedRpm());
      double y = frame.pixelY(a.limitM() * perMetre);
      double yEnd = frame.pixelY(b.limitM() * perMetre);
      double yMiddle = 0.5 * (y + yEnd);
      boolean runsOn = limitRunsOn[i];
      if (left && right && runsOn) {
        line(path, x, y, end, yEnd);
        continue;
      }
      if (left) {
        line(path, x, y, middle, runsOn ? yMiddle : y);
      }
      if ((a.limitM() < b.limitM() ? left : right) && !runsOn) {
        double low = Math.min(a.limitM(), b.limitM());
        for (Interval s : walls.get(i)) {
          if (s.fromM() <= low && s.toM() > low) {
            wall(path, frame, perMetre, i, s);
          }
        }
      }
      if (right) {
        line(path, middle, runsOn ? yMiddle : yEnd, end, yEnd);
      }
    }
    return path;
  }

  /** Goes on where the path ends, so that dashes run on. */
  private static void line(Path2D path, double x, double y, double toX, double toY) {
    Point2D at = path.getCurrentPoint();
    if (at == null || at.getX() != x || at.getY() != y) {
      path.moveTo(x, y);
    }
    path.lineTo(toX, toY);
  }
}
