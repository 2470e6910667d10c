package ringtrue.report;

import java.awt.BasicStroke;
import java.awt.Color;
import java.awt.Graphics2D;
import java.awt.Rectangle;
import java.awt.Shape;
import java.awt.geom.Ellipse2D;
import java.awt.geom.Line2D;
import java.awt.geom.Path2D;
import java.awt.geom.Rectangle2D;
import java.text.DecimalFormat;
import java.text.DecimalFormatSymbols;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.IntStream;
import ringtrue.library.Cut;
import ringtrue.planning.Machine;
import ringtrue.stability.CuttingProcess.Operation;
import ringtrue.stability.Engagement;
import ringtrue.stability.StabilityMap;
import ringtrue.stability.StabilityMap.Line;
import ringtrue.stability.StabilityMap.Loss;
import ringtrue.stability.StabilityProbability;

/** The picture of a stability map: what is free of chatter, how it is lost, where the cut lies. */
final class LobesPicture {
  private static final int HEIGHT = 660;
  private static final int FEW = 60;
  private static final Color STABLE = new Color(0, 158, 115, 72);
  private static final Color EDGE = new Color(0, 120, 88);
  private static final Color BAND = new Color(0, 114, 178, 64);
  private static final Color VEIL = new Color(120, 120, 120, 62);
  private static final BasicStroke LIMIT = stroke(2.4f);
  private static final BasicStroke FLIP = stroke(2.4f, 9, 4);
  private static final BasicStroke SURE = stroke(2f, 2, 4);
  private static final BasicStroke THIN = stroke(1.1f);
  private static final BasicStroke RANGE = stroke(1.4f, 5, 4);

  private final StabilityMap map;
  private final Cut cut;
  private final LengthUnit unit;
  private final double perMetre;
  private final List<Integer> order;
  private final List<Line> lines;
  private final StableAreas areas;
  private final double cutLengthM;
  private final List<OutcomeMark> outcomes;
  private final boolean depth;
  private final boolean turning;

  LobesPicture(StabilityMap map, Cut cut, LengthUnit unit) {
    this(map, cut, unit, List.of());
  }

  LobesPicture(StabilityMap map, Cut cut, LengthUnit unit, List<OutcomeMark> outcomes) {
    this.map = map;
    this.outcomes = List.copyOf(outcomes);
    this.cut = cut;
    this.unit = unit;
    this.perMetre = unit.of(1);
    this.depth = map.over() == StabilityMap.Over.DEPTH;
    this.turning = cut.process().operation() == Operation.TURNING;
    Engagement engagement = cut.process().engagement();
    this.cutLengthM = depth ? engagement.axialM() : engagement.radialM();
    this.order =
        IntStream.range(0, map.lines().size())
            .boxed()
            .sorted(Comparator.comparingDouble(i -> map.lines().get(i).speedRpm()))
            .toList();
    this.lines = order.stream().map(map.lines()::get).toList();
    this.areas = new StableAreas(lines);
  }

  Picture picture() {
    Panels panels = new Panels(Pictures.WIDTH, cut.name() + ": stability", caption());
    DecimalFormat plain = new DecimalFormat("0.##", DecimalFormatSymbols.getInstance(Locale.ROOT));
    panels
        .chart(
            HEIGHT,
            "spindle speed, rpm",
            LobesWords.length(map.over(), cut.process().operation()) + ", " + unit.symbol())
        .getStyler()
        .setXAxisTickLabelsFormattingFunction(plain::format)
        .setXAxisTickMarkSpacingHint(100)
        .setYAxisTickMarkSpacingHint(60);
    double from = Math.min(firstRpm(), cut.process().speedRpm());
    double to = Math.max(lastRpm(), cut.process().speedRpm());
    for (OutcomeMark each : outcomes) {
      from = Math.min(from, 0.99 * each.speedRpm()); // room for the whole sign
      to = Math.max(to, 1.01 * each.speedRpm());
    }
    if (!(to > from)) {
      from = 0.95 * from;
      to = 1.05 * to;
    }
    panels.plot(from, to, 0, unit.of(topM()), this::under, this::over, legend());
    return panels.picture();
  }

  private double firstRpm() {
    return lines.isEmpty() ? cut.process().speedRpm() : lines.get(0).speedRpm();
  }

  private double lastRpm() {
    return lines.isEmpty() ? cut.process().speedRpm() : lines.get(lines.size() - 1).speedRpm();
  }

  private double topM() {
    return LobesWords.topM(map, cutLengthM, outcomes);
  }

  // What is painted -------------------------------------------------------------------------------

  private void under(Graphics2D g, PlotFrame frame) {
    Optional<ProbabilityShades> shades = shades();
    if (shades.isPresent()) {
      shades.get().fill(g, frame, perMetre);
    } else {
      g.setColor(STABLE);
      g.fill(areas.outline(frame, perMetre));
    }
    notComputed(frame).forEach(r -> hatch(g, r));
  }

  private void over(Graphics2D g, PlotFrame frame) {
    outsideSpindle(frame)
        .forEach(
            r -> {
              g.setColor(VEIL);
              g.fill(r);
            });
    g.setColor(Panels.DARK);
    g.setStroke(RANGE);
    for (double end : ends()) {
      if (end > frame.fromX() && end < frame.toX()) {
        double x = frame.pixelX(end);
        g.draw(
            new Line2D.Double(x, frame.area().y, x, frame.area().y + (double) frame.area().height));
      }
    }
    g.setColor(BAND);
    for (Shape band : bands(frame)) {
      g.fill(band);
    }
    if (map.probability().isEmpty()) {
      g.setColor(EDGE);
      g.setStroke(THIN);
      g.draw(areas.edges(frame, perMetre, map.maxM()));
    }
    g.setColor(Panels.BLUE);
    g.setStroke(LIMIT);
    g.draw(areas.limit(frame, perMetre, Loss.HOPF));
    g.setColor(Panels.ORANGE);
    g.setStroke(FLIP);
    g.draw(areas.limit(frame, perMetre, Loss.FLIP));
    g.setColor(Panels.DARK);
    g.setStroke(SURE);
    g.draw(sure(frame));
    dots(g, frame);
    if (!Double.isNaN(cutLengthM)) {
      double x = frame.pixelX(cut.process().speedRpm());
      double y = frame.pixelY(unit.of(cutLengthM));
      boolean made =
          outcomes.stream()
              .anyMatch(
                  o ->
                      Math.hypot(
                              frame.pixelX(o.speedRpm()) - x,
                              frame.pixelY(unit.of(o.lengthM())) - y)
                          < 16);
      mark(g, x, y, made ? 15 : 11, made);
    }
    for (OutcomeMark each : outcomes) {
      outcome(
          g,
          frame.pixelX(each.speedRpm()),
          frame.pixelY(unit.of(each.lengthM())),
          each.chattered());
    }
  }

  /** Where only a few speeds were computed, the reader sees which. */
  private void dots(Graphics2D g, PlotFrame frame) {
    if (lines.size() > FEW) {
      return;
    }
    for (Line line : lines) {
      if (line.loss() != Loss.NONE) {
        g.setColor(line.loss() == Loss.FLIP ? Panels.ORANGE : Panels.BLUE);
        g.fill(
            new Ellipse2D.Double(
                frame.pixelX(line.speedRpm()) - 3.5,
                frame.pixelY(unit.of(line.limitM())) - 3.5,
                7,
                7));
      }
    }
  }

  /**
   * The cut.
   *
   * @param open whether its cross leaves room for what was made at the same place
   */
  private static void mark(Graphics2D g, double x, double y, double radius, boolean open) {
    Path2D cross = new Path2D.Double();
    double arm = radius + 6;
    double from = open ? radius : 0;
    for (int side : new int[] {-1, 1}) {
      cross.moveTo(x + side * from, y);
      cross.lineTo(x + side * arm, y);
      cross.moveTo(x, y + side * from);
      cross.lineTo(x, y + side * arm);
    }
    Shape ring = new Ellipse2D.Double(x - radius, y - radius, 2 * radius, 2 * radius);
    for (boolean halo : new boolean[] {true, false}) {
      g.setColor(halo ? Color.WHITE : Panels.DARK);
      g.setStroke(halo ? stroke(6f) : stroke(2.2f));
      g.draw(ring);
      g.draw(cross);
    }
  }

  /** A quiet cut is an open circle, one that chattered a cross. */
  private static void outcome(Graphics2D g, double x, double y, boolean chattered) {
    double r = 6.5;
    Path2D sign = new Path2D.Double();
    if (chattered) {
      sign.moveTo(x - r, y - r);
      sign.lineTo(x + r, y + r);
      sign.moveTo(x - r, y + r);
      sign.lineTo(x + r, y - r);
    } else {
      sign.append(new Ellipse2D.Double(x - r, y - r, 2 * r, 2 * r), false);
    }
    for (boolean halo : new boolean[] {true, false}) {
      g.setColor(halo ? Color.WHITE : chattered ? Panels.ORANGE : Panels.BLUE);
      g.setStroke(halo ? stroke(6f) : stroke(3f));
      g.draw(sign);
    }
  }

  private Optional<ProbabilityShades> shades() {
    return map.probability()
        .map(
            p ->
                new ProbabilityShades(
                    lines.stream().mapToDouble(Line::speedRpm).toArray(),
                    order.stream().map(p.stable()::get).toList(),
                    p));
  }

  private Path2D sure(PlotFrame frame) {
    Path2D path = new Path2D.Double();
    map.probability()
        .ifPresent(
            p -> {
              for (int i = 0; i < lines.size(); i++) {
                double x = frame.pixelX(lines.get(i).speedRpm());
                double y = frame.pixelY(unit.of(p.limit95M().get(order.get(i))));
                if (i == 0) {
                  path.moveTo(x, y);
                } else {
                  path.lineTo(x, y);
                }
              }
            });
    return path;
  }

  /** Error bands, one for each run of speeds that have one and whose limit does not jump. */
  private List<Shape> bands(PlotFrame frame) {
    List<Shape> bands = new ArrayList<>();
    for (int from = 0; from < lines.size(); ) {
      int to = from;
      while (to < lines.size() && hasBand(lines.get(to))) {
        to++;
        if (to < lines.size() && !areas.limitRunsOn(to - 1)) {
          break;
        }
      }
      if (to - from > 1) {
        Path2D band = new Path2D.Double();
        for (int i = from; i < to; i++) {
          double x = frame.pixelX(lines.get(i).speedRpm());
          double y = frame.pixelY(unit.of(lines.get(i).limitHighM()));
          if (i == from) {
            band.moveTo(x, y);
          } else {
            band.lineTo(x, y);
          }
        }
        for (int i = to - 1; i >= from; i--) {
          band.lineTo(
              frame.pixelX(lines.get(i).speedRpm()),
              frame.pixelY(unit.of(lines.get(i).limitLowM())));
        }
        band.closePath();
        bands.add(band);
      }
      from = Math.max(to, from + 1);
    }
    return bands;
  }

  static boolean hasBand(Line line) {
    return Double.isFinite(line.limitLowM()) && Double.isFinite(line.limitHighM());
  }

  private List<Rectangle2D> notComputed(PlotFrame frame) {
    Rectangle a = frame.area();
    double top = Math.max(a.y, frame.pixelY(unit.of(map.maxM())));
    double left = frame.pixelX(firstRpm());
    double right = frame.pixelX(lastRpm());
    List<Rectangle2D> all = new ArrayList<>();
    if (lines.size() > 1) {
      all.add(new Rectangle2D.Double(a.x, top, left - a.x, a.y + a.height - top));
      all.add(new Rectangle2D.Double(right, top, a.x + a.width - right, a.y + a.height - top));
    }
    all.add(new Rectangle2D.Double(a.x, a.y, a.width, top - a.y));
    return all.stream().filter(r -> r.getWidth() > 0.5 && r.getHeight() > 0.5).toList();
  }

  private boolean someNotComputed() {
    return topM() > map.maxM() * (1 + 1e-9)
        || cut.process().speedRpm() < firstRpm()
        || cut.process().speedRpm() > lastRpm()
        || outcomes.stream().anyMatch(o -> o.speedRpm() < firstRpm() || o.speedRpm() > lastRpm());
  }

  private static void hatch(Graphics2D g, Shape where) {
    Graphics2D part = (Graphics2D) g.create();
    part.setColor(new Color(0xF6F6F6));
    part.fill(where);
    part.clip(where);
    part.setColor(new Color(0xD0D0D0));
    part.setStroke(THIN);
    Rectangle box = where.getBounds();
    Path2D lines = new Path2D.Double();
    for (int x = box.x; x < box.x + box.width + box.height; x += 8) {
      lines.moveTo(x, box.y);
      lines.lineTo(x - (double) box.height, box.y + (double) box.height);
    }
    part.draw(lines);
    part.dispose();
  }

  private double[] ends() {
    Machine machine = cut.machine();
    return IntStream.range(0, 2)
        .mapToDouble(i -> i == 0 ? machine.minSpeedRpm() : machine.maxSpeedRpm())
        .filter(Double::isFinite)
        .toArray();
  }

  private List<Rectangle2D> outsideSpindle(PlotFrame frame) {
    Rectangle a = frame.area();
    List<Rectangle2D> all = new ArrayList<>();
    double min = cut.machine().minSpeedRpm();
    double max = cut.machine().maxSpeedRpm();
    if (min > frame.fromX()) {
      all.add(new Rectangle2D.Double(a.x, a.y, frame.pixelX(min) - a.x, a.height));
    }
    if (max < frame.toX()) {
      double x = frame.pixelX(max);
      all.add(new Rectangle2D.Double(x, a.y, a.x + a.width - x, a.height));
    }
    return all;
  }

  private boolean someOutsideSpindle() {
    double low = Math.min(firstRpm(), cut.process().speedRpm());
    double high = Math.max(lastRpm(), cut.process().speedRpm());
    return cut.machine().minSpeedRpm() > low || cut.machine().maxSpeedRpm() < high;
  }

  // What is said about it -------------------------------------------------------------------------

  private Legend legend() {
    Legend legend = new Legend();
    if (map.probability().isPresent()) {
      ProbabilityShades.explain(legend);
      legend.line("limit that 95 % of the draws keep", Panels.DARK, SURE);
    } else {
      legend.area("predicted free of chatter", STABLE);
    }
    if (has(Loss.HOPF)) {
      legend.line("limit: chatter at a frequency of its own (Hopf)", Panels.BLUE, LIMIT);
    }
    if (has(Loss.FLIP)) {
      legend.line("limit: every second tooth alike (flip)", Panels.ORANGE, FLIP);
    }
    if (lines.stream().anyMatch(LobesPicture::hasBand)) {
      legend.area("95 % band of the limit", BAND);
    }
    if (!Double.isNaN(cutLengthM)) {
      legend.add("the cut", (g, box) -> mark(g, box.getCenterX(), box.getCenterY(), 5, false));
    }
    if (outcomes.stream().anyMatch(o -> !o.chattered())) {
      legend.add(
          "made and quiet", (g, box) -> outcome(g, box.getCenterX(), box.getCenterY(), false));
    }
    if (outcomes.stream().anyMatch(OutcomeMark::chattered)) {
      legend.add(
          "made and chattered", (g, box) -> outcome(g, box.getCenterX(), box.getCenterY(), true));
    }
    if (someOutsideSpindle()) {
      legend.area("outside the spindle's range", VEIL);
    }
    if (someNotComputed()) {
      legend.add("not computed", LobesPicture::hatch);
    }
    return legend;
  }

  private boolean has(Loss loss) {
    return lines.stream().anyMatch(l -> l.loss() == loss);
  }

  private String caption() {
    List<String> sentences = new ArrayList<>();
    sentences.add(
        map.probability().isPresent()
            ? String.format(
                Locale.ROOT,
                "Chance that the cut is free of chatter: shares of %d draws of the uncertain inputs,"
                    + " by %s%s; %s.",
                map.probability().get().samples(),
                LobesWords.method(map),
                fixed(),
                cut.material())
            : "Green: predicted free of chatter, by "
                + LobesWords.method(map)
                + fixed()
                + "; "
                + cut.material()
                + ".");
    sentences.add(
        "Dynamics: " + (cut.dynamicsSource().isEmpty() ? "none" : cut.dynamicsSource()) + ".");
    if (!Double.isNaN(cutLengthM)) {
      sentences.add(
          String.format(
              Locale.ROOT,
              "The cut: %.0f rpm and %s.",
              cut.process().speedRpm(),
              unit.length(cutLengthM)));
    }
    sentences.add(LobesWords.steps(map));
    if (lines.stream().flatMap(l -> l.stable().stream()).anyMatch(s -> s.fromM() > topM())) {
      sentences.add(
          "More stable stretches lie above the picture, up to " + unit.length(map.maxM()) + ".");
    }
    map.probability()
        .flatMap(p -> p.sensitivities().stream().findFirst())
        .map(StabilityProbability.Sensitivity::input)
        .ifPresent(input -> sentences.add("What moves the limit most: " + input + "."));
    sentences.add(
        "An estimate from a standstill measurement: approach it in small steps from below.");
    return String.join(" ", sentences);
  }

  private String fixed() {
    if (turning) {
      return "";
    }
    Engagement engagement = cut.process().engagement();
    if (!depth) {
      return ", axial depth " + unit.length(engagement.axialM());
    }
    return Double.isNaN(engagement.radialM())
        ? String.format(
            Locale.ROOT,
            ", engaged from %.1f to %.1f deg",
            Math.toDegrees(engagement.entryRad()),
            Math.toDegrees(engagement.exitRad()))
        : String.format(
            Locale.ROOT,
            ", radial width %s (%s)",
            unit.length(engagement.radialM()),
            engagement.direction().name().toLowerCase(Locale.ROOT));
  }

  private static BasicStroke stroke(float width, float... dash) {
    return new BasicStroke(
        width, BasicStroke.CAP_BUTT, BasicStroke.JOIN_ROUND, 10, dash.length == 0 ? null : dash, 0);
  }
}
