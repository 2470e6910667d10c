package ringtrue.stability;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.TreeSet;
import java.util.function.DoubleFunction;
import ringtrue.dynamics.Progress;
import ringtrue.stability.LobesRequest.AtPoint;
import ringtrue.stability.StabilityMap.Interval;
import ringtrue.stability.StabilityMap.Line;
import ringtrue.stability.StabilityMap.Over;

/**
 * Milling by the full periodic equation, engaged-arc collocation ({@link PeriodOperator}): any
 * modes of tool and workpiece, helix, several teeth in the cut, uneven pitch, unequal helices.
 *
 * <p>The number of nodes follows a rule and is then put to the test at speeds spread over the map:
 * with more nodes for each stretch no border may move by more than a thousandth.
 */
final class PeriodicLobes implements LobesMethod {
  /** Borders may move so much with a finer discretisation. */
  static final double TOLERANCE = 5e-4;

  private static final int CHECKS = 8;
  private static final int FINER = 3;
  private static final int LEAST_EXTRA = -3;
  private static final int MOST_EXTRA = 6;
  private static final int GRID = 20;
  private static final int SMALLEST_STEPS = 200;

  /** How the first samples crowd towards small lengths. */
  private static final double CROWDED = 1.7;

  private final int moreNodes;

  PeriodicLobes() {
    this(0);
  }

  /**
   * @param moreNodes so many more nodes in each stretch than the rule and its trials ask for
   */
  PeriodicLobes(int moreNodes) {
    this.moreNodes = moreNodes;
  }

  static double movedFor(CuttingProcess c, double rpm, int extra, double max) {
    return new Case(c, LobesRequest.depth(List.of(rpm)).upTo(max), new ArrayList<>())
        .moved(rpm, extra);
  }

  @Override
  public StabilityMap compute(CuttingProcess process, LobesRequest request, Progress progress) {
    List<String> remarks = new ArrayList<>();
    Case all = new Case(process, request, remarks);
    int extra = LEAST_EXTRA + moreNodes;
    double moved = 0;
    List<Double> checks = checks(request.speedsRpm());
    for (; ; extra++) {
      moved = 0;
      for (int i = 0; i < checks.size(); i++) {
        progress.at(0, "how many nodes it takes");
        moved = Math.max(moved, all.moved(checks.get(i), extra));
      }
      if (moved <= TOLERANCE || extra >= MOST_EXTRA + moreNodes) {
        break;
      }
    }
    int nodes = extra;
    List<Line> lines = LobeSearch.lines(request.speedsRpm(), rpm -> all.line(rpm, nodes), progress);
    List<StabilityMap.Point> points = new ArrayList<>();
    for (AtPoint point : request.at()) {
      progress.at(1, "single points");
      points.add(all.point(point, nodes));
    }
    if (!checks.isEmpty()) {
      remarks.add(0, accuracy(moved, checks.size()));
    }
    remarks.add(
        String.format(
            Locale.ROOT,
            "stable and unstable stretches down to %s were looked for at each speed",
            Plain.mm(all.maxM / SMALLEST_STEPS)));
    return new StabilityMap(
        request.over(),
        Method.PERIODIC.word(),
        lines,
        points,
        ZeroOrderLobes.growthPeriod(process.tool().orElseThrow()),
        all.maxM,
        remarks);
  }

  private static String accuracy(double moved, int checks) {
    if (moved <= TOLERANCE) {
      return String.format(
          Locale.ROOT,
          "a finer discretisation moved no border by more than %s %% at the %d speeds where it"
              + " was tried",
          Plain.number(Math.max(100 * moved, 1e-4)),
          checks);
    }
    return String.format(
        Locale.ROOT,
        "not as exact as it should be: a finer discretisation still moved a border by %s %%",
        Plain.number(100 * moved));
  }

  /** Speeds spread over the map at which the number of nodes is tried. */
  private static List<Double> checks(List<Double> speeds) {
    List<Double> sorted = new ArrayList<>(new TreeSet<>(speeds));
    if (sorted.size() <= CHECKS) {
      return sorted;
    }
    List<Double> some = new ArrayList<>();
    for (int i = 0; i < CHECKS; i++) {
      some.add(sorted.get((int) Math.round((sorted.size() - 1.0) * i / (CHECKS - 1))));
    }
    return some;
  }

  /** One cut and what is asked of it. */
  private static final class Case {
    final CuttingProcess process;
    final Tool tool;
    final boolean width;
    final double maxM;
    final ModalCoordinates modes;
    final double[] grid;

    Case(CuttingProcess process, LobesRequest request, List<String> remarks) {
      this.process = process;
      this.tool = process.tool().orElseThrow();
      this.width = request.over() == Over.WIDTH;
      if (width) {
        maxM = WidthSearch.widest(process, request, remarks);
      } else {
        double deepest = 0.98 * Regeneration.deepest(tool);
        maxM = Math.min(request.maxM(), deepest);
        if (maxM < request.maxM()) {
          remarks.add(
              String.format(
                  Locale.ROOT,
                  "searched to %s only: flutes of different helix meet at %s",
                  Plain.mm(maxM),
                  Plain.mm(deepest / 0.98)));
        }
      }
      double deep = width ? process.engagement().axialM() : maxM;
      for (AtPoint point : request.at()) {
        deep = Math.max(deep, width ? deep : point.lengthM());
      }
      modes = ModalCoordinates.of(process, deep);
      if (modes.lower()) {
        remarks.add(
            "what the modes below the measured band leave (the lower residual) is taken as a"
                + " heavily damped mode at a fifth of the lowest natural frequency");
      }
      grid = new double[GRID];
      double swept = Math.acos(Math.max(-1, 1 - 2 * maxM / tool.diameterM()));
      for (int i = 1; i <= GRID; i++) {
        double part = (double) i / GRID;
        double sin = Math.sin(0.5 * swept * part);
        grid[i - 1] =
            i == GRID
                ? maxM
                : width ? tool.diameterM() * sin * sin : maxM * Math.pow(part, CROWDED);
      }
    }

    PeriodicSection section(double rpm, int extra) {
      double vc = Math.PI * tool.diameterM() * rpm / 60;
      double damping = process.processDampingNPerM() / vc;
      DoubleFunction<PeriodicSection.At> at;
      if (width) {
        double depth = process.engagement().axialM();
        at =
            length ->
                new PeriodicSection.At(
                    new PeriodOperator(
                        modes,
                        arcs(process.engagement().withRadial(length, tool.diameterM())),
                        rpm,
                        depth,
                        damping,
                        extra),
                    depth);
      } else {
        ToothArcs arcs = arcs(process.engagement());
        Map<Integer, PeriodOperator> made = new HashMap<>();
        at =
            length -> {
              if (!arcs.straight()) {
                return new PeriodicSection.At(
                    new PeriodOperator(modes, arcs, rpm, length, damping, extra), length);
              }
              // straight teeth: one layout serves a range of depths
              int range = (int) Math.ceil(Math.log(length / maxM) / Math.log(2));
              double laid = Math.min(maxM, maxM * Math.scalb(1.0, range));
              return new PeriodicSection.At(
                  made.computeIfAbsent(
                      range,
                      r ->
                          new PeriodOperator(
                              modes, arcs, rpm, Math.max(laid, length), damping, extra)),
                  length);
            };
      }
      return new PeriodicSection(rpm, at, restLog(rpm), new Multipliers());
    }

    private ToothArcs arcs(Engagement engagement) {
      return new ToothArcs(
          tool, engagement.entryRad(), engagement.exitRad(), process.coefficients());
    }

    /** Logarithm of the largest multiplier without cutting. */
    private double restLog(double rpm) {
      double least = Double.NEGATIVE_INFINITY;
      for (int k = 0; k < modes.size(); k++) {
        least = Math.max(least, modes.lambdaRe(k));
      }
      return modes.size() == 0
          ? -1
          : least * arcs(process.engagement()).periodRad() / (2 * Math.PI * rpm / 60);
    }

    Line line(double rpm, int extra) {
      if (modes.rigid()) {
        return new Line(
            rpm, maxM, List.of(new Interval(0, maxM)), StabilityMap.Loss.NONE, Double.NaN, -1);
      }
      Line line = section(rpm, extra).line(grid, maxM / SMALLEST_STEPS);
      return withLobe(line);
    }

    /** Whole waves between cuts, where one delay tells. */
    private Line withLobe(Line line) {
      if (Double.isNaN(line.chatterHz()) || !tool.evenPitch() || !tool.equalHelix()) {
        return line;
      }
      int lobe = (int) Math.floor(line.chatterHz() * 60 / (line.speedRpm() * tool.flutes()));
      return new Line(
          line.speedRpm(), line.limitM(), line.stable(), line.loss(), line.chatterHz(), lobe);
    }

    /** By how much, relatively, borders at a speed move with more nodes. */
    double moved(double rpm, int extra) {
      if (modes.rigid()) {
        return 0;
      }
      Line line = line(rpm, extra);
      PeriodicSection finer = section(rpm, extra + FINER);
      double most = 0;
      int looked = 0;
      for (Interval stretch : line.stable()) {
        for (double border : new double[] {stretch.fromM(), stretch.toM()}) {
          if (border > 0 && border < maxM && looked++ < 4) {
            most = Math.max(most, moved(finer, border));
          }
        }
      }
      return most;
    }

    private static double moved(PeriodicSection finer, double border) {
      double step = 1e-4 * border;
      double here = finer.exact(border).logSize();
      double slope = (finer.exact(border + step).logSize() - here) / step;
      double move = Math.abs(here / (slope * border));
      return Double.isNaN(move) ? 1 : move;
    }

    StabilityMap.Point point(AtPoint point, int extra) {
      if (modes.rigid()) {
        return new StabilityMap.Point(point.speedRpm(), point.lengthM(), true, 0, Double.NaN);
      }
      Multipliers.Largest found = section(point.speedRpm(), extra).exact(point.lengthM());
      boolean turn = !(tool.evenPitch() && tool.equalHelix());
      double periods = turn ? 2 * Math.PI / arcs(process.engagement()).periodRad() : 1;
      return new StabilityMap.Point(
          point.speedRpm(),
          point.lengthM(),
          found.stable(),
          Math.exp(periods * found.logSize()),
          Double.NaN);
    }
  }
}
