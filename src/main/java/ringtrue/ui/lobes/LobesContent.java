package ringtrue.ui.lobes;

import java.awt.geom.Area;
import java.awt.geom.Path2D;
import java.awt.geom.PathIterator;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.stream.IntStream;
import ringtrue.planning.Machine;
import ringtrue.report.LengthUnit;
import ringtrue.report.LobesWords;
import ringtrue.report.OutcomeMark;
import ringtrue.report.StableAreas;
import ringtrue.stability.StabilityMap;
import ringtrue.stability.StabilityMap.Line;
import ringtrue.stability.StabilityMap.Loss;
import ringtrue.stability.StabilityProbability;
import ringtrue.ui.plot.Axis;
import ringtrue.ui.plot.Ink;
import ringtrue.ui.plot.Mark;
import ringtrue.ui.plot.Palette;
import ringtrue.ui.plot.Pattern;
import ringtrue.ui.plot.PlotContent;
import ringtrue.ui.plot.Stroke;

/** A stability map as content of a plot; made away from the event thread. */
final class LobesContent {
  /** The handle of the cut. */
  static final String CUT = "cut";

  static final String FREE = "free of chatter";
  static final String CHANCE = "chance of no chatter";
  static final String HOPF = "limit: vibrates at its own frequency (Hopf)";
  static final String FLIP = "limit: every second tooth alike (flip)";
  static final String ISLAND = "edge of an island";
  static final String SURE = "95 % of the draws keep to it";
  static final String ZERO_ORDER = "quick look (zero-order), for comparison";
  static final String POWER = "power limit of the spindle";
  static final String OUTSIDE = "outside the spindle's range";
  static final String QUIET = "made and quiet";
  static final String CHATTERED = "made and chattered";
  static final String BAND = "95 % band of the limit";
  private static final double[] STEPS = {0.05, 0.25, 0.5, 0.75, 0.95};
  private static final double PER_VIEW = 200;

  /** Room beside the first and the last speed, so that a cut there is seen whole. */
  private static final double MARGIN = 0.025;

  private LobesContent() {}

  /**
   * @param topM how high to show, m; NaN for what makes sense
   */
  static PlotContent of(MapMoment moment, LengthUnit unit, double topM) {
    StabilityMap map = moment.map();
    double perMetre = unit.of(1);
    List<Line> lines = rising(map);
    double rpm = moment.cut().process().speedRpm();
    double from = lines.isEmpty() ? rpm : Math.min(rpm, lines.get(0).speedRpm());
    double to = lines.isEmpty() ? rpm : Math.max(rpm, lines.get(lines.size() - 1).speedRpm());
    double first = from;
    double last = to;
    from -= MARGIN * (last - first);
    to += MARGIN * (last - first);
    double top =
        unit.of(
            Double.isNaN(topM) ? LobesWords.topM(map, moment.lengthM(), moment.outcomes()) : topM);
    String what = LobesWords.length(map.over(), moment.cut().process().operation());
    PlotContent.Builder b =
        PlotContent.of(
                Axis.linear("spindle speed (rpm)", from, to),
                Axis.linear(what + " (" + unit.symbol() + ")", 0, top))
            .title("")
            .viewKey(map.over() + " " + unit + " " + topM)
            .step(
                Readable.step((last > first ? last - first : last) / PER_VIEW),
                Readable.step(top / PER_VIEW))
            .pointWords(new LobesPoint(map, lines, unit));
    StableAreas areas = new StableAreas(lines);
    if (moment.drawn().isPresent()) {
      raster(b, moment.drawn().get(), perMetre);
    } else {
      // one area, so that no seam shows where polygons meet
      b.shapes(
          FREE,
          List.of(new Area(areas.outline(StableAreas.Onto.VALUES, perMetre))),
          Ink.GOOD,
          Pattern.HATCHED);
    }
    machine(b, moment.cut().machine(), from, to, first, last);
    bands(b, lines, perMetre);
    path(
        b,
        ISLAND,
        areas.edges(StableAreas.Onto.VALUES, perMetre, map.maxM()),
        Ink.THIRD,
        Stroke.SOLID);
    path(
        b,
        HOPF,
        areas.limit(StableAreas.Onto.VALUES, perMetre, Loss.HOPF),
        Ink.FIRST,
        Stroke.SOLID);
    path(
        b,
        FLIP,
        areas.limit(StableAreas.Onto.VALUES, perMetre, Loss.FLIP),
        Ink.SECOND,
        Stroke.DASHED);
    moment.drawn().ifPresent(d -> sure(b, d, perMetre));
    moment
        .zeroOrder()
        .ifPresent(
            z -> {
              List<Line> other = rising(z);
              b.curve(
                  ZERO_ORDER,
                  other.stream().mapToDouble(Line::speedRpm).toArray(),
                  other.stream().mapToDouble(l -> perMetre * l.limitM()).toArray(),
                  Ink.QUIET,
                  Stroke.DOTTED,
                  Mark.NONE);
            });
    if (Arrays.stream(moment.powerM()).anyMatch(m -> perMetre * m < top)) {
      b.curve(
          POWER,
          map.lines().stream().mapToDouble(Line::speedRpm).toArray(),
          Arrays.stream(moment.powerM()).map(m -> perMetre * m).toArray(),
          Ink.FOURTH,
          Stroke.DASHED,
          Mark.NONE);
    }
    outcomes(b, QUIET, moment.outcomes(), false, perMetre);
    outcomes(b, CHATTERED, moment.outcomes(), true, perMetre);
    if (!Double.isNaN(moment.lengthM())) {
      b.handle(CUT, rpm, perMetre * moment.lengthM(), Ink.ACCENT, "the cut");
    }
    return b.build();
  }

  private static List<Line> rising(StabilityMap map) {
    return map.lines().stream().sorted(Comparator.comparingDouble(Line::speedRpm)).toList();
  }

  private static void machine(
      PlotContent.Builder b, Machine machine, double from, double to, double first, double last) {
    double min = machine.minSpeedRpm();
    double max = machine.maxSpeedRpm();
    if (min > from || max < to) {
      double room = to - from;
      b.veil(
          min > first || max < last ? OUTSIDE : "", // the margin needs no words
          Double.isNaN(min) ? from - room : min,
          Double.isNaN(max) ? to + room : max,
          Ink.QUIET);
    }
  }

  private static void bands(PlotContent.Builder b, List<Line> lines, double perMetre) {
    if (lines.stream().noneMatch(l -> Double.isFinite(l.limitLowM()))) {
      return;
    }
    b.band(
        BAND,
        lines.stream().mapToDouble(Line::speedRpm).toArray(),
        lines.stream().mapToDouble(l -> perMetre * l.limitLowM()).toArray(),
        lines.stream().mapToDouble(l -> perMetre * l.limitHighM()).toArray(),
        Ink.FIRST);
  }

  private static void raster(PlotContent.Builder b, StabilityMap drawn, double perMetre) {
    StabilityProbability p = drawn.probability().orElseThrow();
    Integer[] order = order(drawn);
    double[] speeds =
        Arrays.stream(order).mapToDouble(i -> drawn.lines().get(i).speedRpm()).toArray();
    int rows = p.lengthsM().size();
    double[] lengths = new double[rows + 1]; // nothing cut is stable
    float[][] values = new float[order.length][rows + 1];
    for (int k = 0; k < rows; k++) {
      lengths[k + 1] = perMetre * p.lengthsM().get(k);
    }
    for (int i = 0; i < order.length; i++) {
      double[] row = p.stable().get(order[i]);
      values[i][0] = 1;
      for (int k = 0; k < rows; k++) {
        values[i][k + 1] = (float) row[k];
      }
    }
    b.raster(CHANCE, speeds, lengths, values, Palette.steps(Ink.GOOD, STEPS, Readable::percent));
  }

  private static Integer[] order(StabilityMap map) {
    return IntStream.range(0, map.lines().size())
        .boxed()
        .sorted(Comparator.comparingDouble(i -> map.lines().get(i).speedRpm()))
        .toArray(Integer[]::new);
  }

  private static void sure(PlotContent.Builder b, StabilityMap drawn, double perMetre) {
    StabilityProbability p = drawn.probability().orElseThrow();
    Integer[] order = order(drawn);
    b.curve(
        SURE,
        Arrays.stream(order).mapToDouble(i -> drawn.lines().get(i).speedRpm()).toArray(),
        Arrays.stream(order).mapToDouble(i -> perMetre * p.limit95M().get(i)).toArray(),
        Ink.TEXT,
        Stroke.DOTTED,
        Mark.NONE);
  }

  private static void outcomes(
      PlotContent.Builder b,
      String name,
      List<OutcomeMark> all,
      boolean chattered,
      double perMetre) {
    List<OutcomeMark> some = all.stream().filter(o -> o.chattered() == chattered).toList();
    if (some.isEmpty()) {
      return;
    }
    b.marks(
        name,
        IntStream.range(0, some.size()).mapToObj(i -> name + " " + i).toList(),
        some.stream().mapToDouble(OutcomeMark::speedRpm).toArray(),
        some.stream().mapToDouble(o -> perMetre * o.lengthM()).toArray(),
        chattered ? Mark.CROSS : Mark.CIRCLE,
        chattered ? Ink.BAD : Ink.FIRST,
        List.of());
  }

  /** A path of straight lines as a curve that breaks where the path does. */
  private static void path(
      PlotContent.Builder b, String name, Path2D path, Ink ink, Stroke stroke) {
    List<double[]> points = new ArrayList<>();
    double[] at = new double[6];
    for (PathIterator i = path.getPathIterator(null); !i.isDone(); i.next()) {
      if (i.currentSegment(at) == PathIterator.SEG_MOVETO && !points.isEmpty()) {
        points.add(new double[] {Double.NaN, Double.NaN});
      }
      points.add(new double[] {at[0], at[1]});
    }
    if (!points.isEmpty()) {
      b.curve(
          name,
          points.stream().mapToDouble(p -> p[0]).toArray(),
          points.stream().mapToDouble(p -> p[1]).toArray(),
          ink,
          stroke,
          Mark.NONE);
    }
  }
}
