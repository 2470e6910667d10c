package ringtrue.stability;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.function.DoublePredicate;
import java.util.stream.IntStream;
import ringtrue.dynamics.Progress;
import ringtrue.stability.Engagement.Direction;
import ringtrue.stability.LobesRequest.AtPoint;
import ringtrue.stability.StabilityMap.Interval;
import ringtrue.stability.StabilityMap.Line;
import ringtrue.stability.StabilityMap.Loss;
import ringtrue.units.BadInputException;

/**
 * Radial width over speed at a fixed axial depth. Widths are stepped through evenly in the swept
 * angle, so that thin cuts are not passed over, and each change is bisected.
 */
final class WidthSearch {
  private static final int STEPS = 180;
  private static final int STEPS_SEVERAL_DELAYS = 60;
  private static final int NODES_BESIDE = 12;
  private static final double EXACT = 1e-10;

  private final CuttingProcess process;
  private final LobesRequest request;
  private final Tool tool;
  private final double depthM;
  private final double maxM;
  private final boolean oneDelay;
  private final double[] widths;
  private final SearchBand band;
  private final List<Cut> cuts;
  private final List<String> remarks = new ArrayList<>(List.of(ZeroOrderLobes.QUICK_LOOK));

  /** The cut at one width: its eigenvalues, and with one delay the ends that decide every speed. */
  private record Cut(BranchTable table, SingleLimits limits) {}

  WidthSearch(CuttingProcess process, LobesRequest request) {
    this.process = process;
    this.request = request;
    this.tool = process.tool().orElseThrow();
    this.depthM = process.engagement().axialM();
    this.maxM = widest(process, request, remarks);
    remarks.addAll(ZeroOrderLobes.leftOut(process));
    this.oneDelay = tool.evenPitch() && tool.equalHelix();
    if (!tool.equalHelix()) {
      remarks.add(ZeroOrderLobes.HELICES_DIFFER);
    }
    int steps = oneDelay ? STEPS : STEPS_SEVERAL_DELAYS;
    double swept = Math.acos(Math.max(-1, 1 - 2 * maxM / tool.diameterM()));
    this.widths =
        IntStream.rangeClosed(1, steps)
            .mapToDouble(
                i ->
                    i == steps
                        ? maxM
                        : tool.diameterM() * square(Math.sin(0.5 * swept * i / steps)))
            .toArray();
    remarks.add(
        String.format(
            Locale.ROOT,
            "radial widths were stepped through in %d parts of equal swept angle: a stable stretch"
                + " narrower than a step can be missed",
            steps));
    List<RegenerativeLoop> some =
        IntStream.rangeClosed(1, 12).mapToObj(i -> loop(widths[(steps - 1) * i / 12])).toList();
    this.band = SearchBand.of(process, some, depthM);
    this.remarks.addAll(band.remarks());
    this.cuts = IntStream.range(0, steps).parallel().mapToObj(i -> cut(widths[i])).toList();
  }

  /**
   * The largest width to look at, m.
   *
   * @throws BadInputException if the engagement has no radial width, or a point is too wide
   */
  static double widest(CuttingProcess process, LobesRequest request, List<String> remarks) {
    Tool tool = process.tool().orElseThrow();
    if (process.engagement().direction() == Direction.ANGLES) {
      throw new BadInputException(
          "engagement: a limit over radial width needs direction up or down, not entry and exit"
              + " angles");
    }
    if (process.engagement().direction() == Direction.SLOT) {
      remarks.add("direction is slot: widths below the full one are taken as down milling");
    }
    if (request.maxM() > tool.diameterM()) {
      remarks.add(
          String.format(
              Locale.ROOT,
              "searched to the tool's diameter of %s: no width is larger",
              Plain.mm(tool.diameterM())));
    }
    for (AtPoint point : request.at()) {
      if (point.lengthM() > tool.diameterM()) {
        throw new BadInputException(
            String.format(
                Locale.ROOT,
                "at: radial width must not exceed the tool's diameter of %s, was %s",
                Plain.mm(tool.diameterM()),
                Plain.mm(point.lengthM())));
      }
    }
    return Math.min(request.maxM(), tool.diameterM());
  }

  private static double square(double v) {
    return v * v;
  }

  private RegenerativeLoop loop(double widthM) {
    return RegenerativeLoop.milling(
        process, process.engagement().withRadial(widthM, tool.diameterM()));
  }

  private Cut cut(double widthM) {
    BranchTable table = BranchTable.refined(loop(widthM), band.nodesHz(), 0.5 / depthM);
    return new Cut(table, oneDelay ? SingleLimits.of(table, depthM) : null);
  }

  private boolean stable(Cut cut, Regeneration regeneration) {
    if (oneDelay) {
      return cut.limits().unstablePairs(regeneration.longestS()) == 0;
    }
    if (2 * depthM * cut.table().largestRealPart() <= 1) {
      return true;
    }
    return Crossings.upTo(cut.table(), regeneration, depthM)
        .map(all -> Crossings.unstablePairs(all, depthM) == 0)
        .orElse(false);
  }

  StabilityMap map(Progress progress) {
    List<Line> lines = LobeSearch.lines(request.speedsRpm(), this::line, progress);
    if (!oneDelay) {
      request.speedsRpm().stream()
          .filter(
              rpm ->
                  Crossings.wavesUpTo(
                          cuts.get(cuts.size() - 1).table(),
                          Regeneration.milling(tool, depthM, rpm),
                          depthM)
                      > Crossings.MOST_WAVES)
          .mapToDouble(rpm -> rpm)
          .max()
          .ifPresent(rpm -> remarks.add(LobeSearch.lowSpeedRemark(rpm)));
    }
    List<StabilityMap.Point> points = new ArrayList<>();
    for (AtPoint point : request.at()) {
      progress.at(1, "single points");
      Cut cut = cut(point.lengthM());
      Regeneration regeneration = Regeneration.milling(tool, depthM, point.speedRpm());
      points.add(
          new StabilityMap.Point(
              point.speedRpm(),
              point.lengthM(),
              stable(cut, regeneration),
              band.modes() == null
                  ? Double.NaN
                  : new CharacteristicRoots(cut.table().loop(), band.modes(), regeneration, depthM)
                      .growth(),
              Double.NaN));
    }
    String period =
        ZeroOrderLobes.growthRemark(band, points, remarks) ? ZeroOrderLobes.growthPeriod(tool) : "";
    return new StabilityMap(
        StabilityMap.Over.WIDTH, "zero-order", lines, points, period, maxM, remarks);
  }

  private Line line(double speedRpm) {
    Regeneration regeneration = Regeneration.milling(tool, depthM, speedRpm);
    List<Interval> stretches = new ArrayList<>();
    boolean before = true;
    double widthBefore = 0;
    double from = 0;
    double limit = Double.NaN;
    for (int i = 0; i < widths.length; i++) {
      boolean now = stable(cuts.get(i), regeneration);
      if (now != before) {
        double border = bisect(regeneration, widthBefore, before, widths[i]);
        if (before) {
          stretches.add(new Interval(from, border));
          limit = Double.isNaN(limit) ? border : limit;
        } else {
          from = border;
        }
      }
      before = now;
      widthBefore = widths[i];
    }
    if (before) {
      stretches.add(new Interval(from, maxM));
    }
    if (Double.isNaN(limit)) {
      return new Line(speedRpm, maxM, stretches, Loss.NONE, Double.NaN, -1);
    }
    Crossing crossing = LobeSearch.nearest(cut(limit).table(), regeneration, depthM).orElse(null);
    return new Line(
        speedRpm,
        limit,
        stretches,
        Loss.HOPF,
        crossing == null ? Double.NaN : crossing.frequencyHz(),
        crossing == null ? -1 : crossing.lobe());
  }

  /**
   * A few steps over the whole band, the rest near the frequency at which stability changes; what
   * comes out is checked over the whole band, which is also the way if the short cut leads nowhere.
   */
  private double bisect(Regeneration regeneration, double low, boolean stableLow, double high) {
    double[] wide = {low, high};
    narrow(wide, 1e-2, width -> stable(cut(width), regeneration) == stableLow);
    double[] found = wide.clone();
    double[] nodes = nodesNear(0.5 * (wide[0] + wide[1]), regeneration);
    if (nodes.length > 1) {
      int pairs = pairs(wide[0], nodes, regeneration);
      narrow(found, EXACT, width -> pairs(width, nodes, regeneration) == pairs);
      boolean below = found[0] == wide[0] || stable(cut(found[0]), regeneration) == stableLow;
      boolean above = found[1] == wide[1] || stable(cut(found[1]), regeneration) != stableLow;
      if (below && above && found[0] != wide[0] && found[1] != wide[1]) {
        return 0.5 * (found[0] + found[1]);
      }
    }
    narrow(wide, EXACT, width -> stable(cut(width), regeneration) == stableLow);
    return 0.5 * (wide[0] + wide[1]);
  }

  /** Halves an interval of widths, of which the predicate holds at the lower end only. */
  private static void narrow(double[] ends, double relative, DoublePredicate asBelow) {
    while (ends[1] - ends[0] > relative * ends[1]) {
      double middle = 0.5 * (ends[0] + ends[1]);
      if (!(middle > ends[0] && middle < ends[1])) {
        return;
      }
      ends[asBelow.test(middle) ? 0 : 1] = middle;
    }
  }

  /** Nodes of the band around the crossing nearest to the depth; none if there is no crossing. */
  private double[] nodesNear(double widthM, Regeneration regeneration) {
    double hz =
        LobeSearch.nearest(cut(widthM).table(), regeneration, depthM)
            .map(Crossing::frequencyHz)
            .orElse(Double.NaN);
    double[] all = band.nodesHz();
    if (Double.isNaN(hz)) {
      return new double[0];
    }
    int at = Arrays.binarySearch(all, hz);
    int from = Math.max(0, (at < 0 ? -at - 1 : at) - NODES_BESIDE);
    return Arrays.copyOfRange(all, from, Math.min(all.length, from + 2 * NODES_BESIDE));
  }

  /** Unstable pairs that have come in over some nodes only; none without any width. */
  private int pairs(double widthM, double[] nodes, Regeneration regeneration) {
    if (widthM == 0) {
      return 0;
    }
    BranchTable table = BranchTable.refined(loop(widthM), nodes, 0.5 / depthM);
    return oneDelay
        ? SingleLimits.of(table, depthM).unstablePairs(regeneration.longestS())
        : Crossings.upTo(table, regeneration, depthM)
            .map(found -> Crossings.unstablePairs(found, depthM))
            .orElse(0);
  }
}
