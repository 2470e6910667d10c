package ringtrue.stability;

import java.util.ArrayList;
import java.util.Collections;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.TreeSet;
import java.util.concurrent.CancellationException;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.ForkJoinPool;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.concurrent.atomic.AtomicReference;
import java.util.function.DoubleFunction;
import ringtrue.dynamics.Progress;
import ringtrue.stability.LobesRequest.AtPoint;
import ringtrue.stability.StabilityMap.Interval;
import ringtrue.stability.StabilityMap.Line;
import ringtrue.stability.StabilityMap.Over;

/**
 * What is known of a milling cut's stability by the full periodic equation: lines are computed when
 * they are first asked for, and kept with the samples they are made of, so that a finer look later
 * on adds to them.
 */
final class PeriodicMap {
  /** Borders may move by so much, relatively, with more nodes, at the speeds where it is tried. */
  static final double TOLERANCE = 1e-3;

  /** Steps of the whole length below which a stretch may be missed. */
  static final int FINE = 400;

  /** The same where first limits are enough. */
  static final int FIRST = 150;

  /** Borders are solved for to this, relatively, while a map is still growing. */
  private static final double GROWING = 1e-4;

  private static final int CHECKS = 8;
  private static final int FINER = 3;
  private static final int LEAST_EXTRA = -1;
  private static final int MOST_EXTRA = 6;
  private static final int BORDERS_CHECKED = 4;
  private static final int GRID = 20;

  /** Coarser looks begin with every so manyth sample. */
  private static final int SPARSE = 4;

  /** How the first samples crowd towards small depths. */
  private static final double CROWDED = 1.7;

  private final CuttingProcess process;
  private final Tool tool;
  private final boolean width;
  private final PeriodicLobes.Reach reach;
  private final double maxM;
  private final PeriodicSection.Scale scale;
  private final ModalCoordinates modes;
  private final double[] grid = new double[GRID];
  private final List<String> remarks = new ArrayList<>();
  private final Map<Double, Known> known = new ConcurrentHashMap<>();
  private final TreeSet<Double> beyond = new TreeSet<>();
  private int extra = LEAST_EXTRA;
  private double moved;
  private int tried;

  /** A line and how finely it was looked at. */
  private record Known(Line line, List<PeriodicSection.Sample> samples, int steps) {}

  /**
   * @param process the cut, tables of modes read at the speed
   * @param request what to show
   * @param reach whether the first limits are enough
   */
  PeriodicMap(CuttingProcess process, LobesRequest request, PeriodicLobes.Reach reach) {
    this.process = process;
    this.tool = process.tool().orElseThrow();
    this.width = request.over() == Over.WIDTH;
    this.reach = reach;
    if (width) {
      maxM = WidthSearch.widest(process, request, remarks);
      roomForFlutes(process.engagement().axialM());
    } else {
      double deepest = deepest(tool);
      maxM = Math.min(request.maxM(), deepest);
      if (maxM < request.maxM()) {
        remarks.add(
            String.format(
                Locale.ROOT,
                "searched to %s only: flutes of different helix meet at %s",
                Plain.mm(maxM),
                Plain.mm(Regeneration.deepest(tool))));
      }
    }
    double deep = width ? process.engagement().axialM() : maxM;
    for (AtPoint point : request.at()) {
      if (!width) {
        roomForFlutes(point.lengthM());
        deep = Math.max(deep, point.lengthM());
      }
    }
    modes = ModalCoordinates.of(process, deep);
    if (modes.lower()) {
      remarks.add(
          "what the modes below the measured band leave (the lower residual) is taken as a heavily"
              + " damped mode at half the lowest natural frequency: where it is large, limits can be off by"
              + " some percent");
    }
    scale = width ? PeriodicSection.Scale.width(tool.diameterM()) : PeriodicSection.Scale.DEPTH;
    for (int i = 1; i <= GRID; i++) {
      double part = (double) i / GRID;
      double even = scale.lengthM(scale.of(maxM) * part);
      grid[i - 1] = i == GRID ? maxM : width ? even : maxM * Math.pow(part, CROWDED);
    }
  }

  /** Where flutes of different helix come so near to each other that the delay all but vanishes. */
  private static double deepest(Tool tool) {
    return 0.98 * Regeneration.deepest(tool);
  }

  private void roomForFlutes(double depthM) {
    if (depthM > deepest(tool)) {
      // says which flutes meet where
      Regeneration.milling(tool, Math.max(depthM, Regeneration.deepest(tool)), 1);
    }
  }

  /** End of the search, m. */
  double maxM() {
    return maxM;
  }

  /** The same with so many more nodes in each stretch than the rule asks for. */
  PeriodicMap withMoreNodes(int more) {
    extra += more;
    return this;
  }

  /**
   * Finds the number of nodes: more and more until no border at some speeds moves any longer.
   *
   * @param speeds speeds of the map, rpm
   * @param steps how finely lines are looked at meanwhile
   */
  void settle(List<Double> speeds, int steps, Progress progress) {
    List<Double> checks = checks(speeds);
    for (; ; extra++) {
      moved = 0;
      Map<Double, Double> moves = new ConcurrentHashMap<>();
      Crew.run(
          checks,
          (rpm, watch) -> moves.put(rpm, moved(rpm, steps, watch)),
          (done, what) -> progress.at(0.05 * done, what),
          "how many nodes it takes");
      moved = moves.values().stream().mapToDouble(m -> m).max().orElse(0);
      tried = checks.size();
      if (moved <= TOLERANCE || extra >= MOST_EXTRA) {
        return;
      }
      known.clear();
    }
  }

  /** Speeds spread over the map at which the number of nodes is tried. */
  private List<Double> checks(List<Double> speeds) {
    List<Double> sorted =
        new ArrayList<>(new TreeSet<>(speeds)).stream().filter(rpm -> !isBeyond(rpm)).toList();
    if (modes.rigid()) {
      return List.of();
    }
    if (sorted.size() <= CHECKS) {
      return sorted;
    }
    List<Double> some = new ArrayList<>();
    for (int i = 0; i < CHECKS; i++) {
      some.add(sorted.get((int) Math.round((sorted.size() - 1.0) * i / (CHECKS - 1))));
    }
    return some;
  }

  /** Whether a speed is so low that a period has too many vibrations in it. */
  private boolean isBeyond(double rpm) {
    return PeriodOperator.tooLong(
        modes,
        arcs(
            width ? process.engagement().withRadial(maxM, tool.diameterM()) : process.engagement()),
        rpm,
        width ? process.engagement().axialM() : maxM);
  }

  /**
   * The lines at some speeds, in their order.
   *
   * @param steps how finely to look: stretches of less than the whole length over this may be
   *     missed
   */
  List<Line> lines(List<Double> speeds, int steps, Progress progress) {
    List<Double> missing =
        new ArrayList<>(new TreeSet<>(speeds))
            .stream()
                .filter(rpm -> !known.containsKey(rpm) || known.get(rpm).steps < steps)
                .toList();
    List<Double> low = missing.stream().filter(this::isBeyond).toList();
    if (!low.isEmpty() && !modes.rigid()) {
      averaged(low, steps, progress);
      missing = missing.stream().filter(rpm -> !low.contains(rpm)).toList();
    }
    Crew.run(missing, (rpm, watch) -> line(rpm, steps, watch), progress, "stability over speed");
    return speeds.stream().map(rpm -> known.get(rpm).line).toList();
  }

  /**
   * The same cut with flutes all alike: averaged factors promise too much where delays differ, and
   * flutes all alike have the lowest lobes.
   */
  private CuttingProcess alike() {
    int n = tool.flutes();
    double helix = tool.helixRad().stream().mapToDouble(h -> h).average().orElse(0);
    Tool even =
        new Tool(
            tool.diameterM(),
            Collections.nCopies(n, helix),
            Collections.nCopies(n, 2 * Math.PI / n),
            tool.stickoutM(),
            tool.fluteLengthM(),
            tool.runoutM(),
            tool.edgeRadiusM());
    return process.with(even);
  }

  /** At very low speeds lobes are so close that the averaged factors are all that is left. */
  private void averaged(List<Double> speeds, int steps, Progress progress) {
    LobesRequest request =
        new LobesRequest(
            width ? Over.WIDTH : Over.DEPTH, java.util.Optional.empty(), speeds, maxM, List.of());
    StabilityMap map = new ZeroOrderLobes().compute(alike(), request, progress);
    for (Line line : map.lines()) {
      known.put(line.speedRpm(), new Known(line, List.of(), steps));
    }
    beyond.addAll(speeds);
  }

  private Line line(double rpm, int steps, Runnable watch) {
    Known before = known.get(rpm);
    if (before != null && before.steps >= steps) {
      return before.line;
    }
    if (modes.rigid()) {
      Line free =
          new Line(
              rpm, maxM, List.of(new Interval(0, maxM)), StabilityMap.Loss.NONE, Double.NaN, -1);
      known.put(rpm, new Known(free, List.of(), Integer.MAX_VALUE));
      return free;
    }
    List<PeriodicSection.Sample> samples =
        before == null ? new ArrayList<>() : new ArrayList<>(before.samples);
    boolean growing = steps < FIRST;
    double smallest = smallest(steps);
    Line line =
        withLobe(
            switch (reach) {
              case WHOLE ->
                  section(rpm, extra, growing ? GROWING : PeriodicSection.EXACT, watch, samples)
                      .line(growing ? sparse() : grid, smallest);
              case FIRST_LIMIT ->
                  section(rpm, extra, PeriodicSection.EXACT, watch, samples).limit(grid, smallest);
              case ROUGH_LIMIT ->
                  section(rpm, extra, PeriodicLobes.ROUGH, watch, samples).roughLimit(grid);
            });
    known.put(rpm, new Known(line, samples, steps));
    return line;
  }

  /** The samples that a coarser look begins with; the end of the search is one of them. */
  private double[] sparse() {
    double[] some = new double[GRID / SPARSE];
    for (int i = 0; i < some.length; i++) {
      some[i] = grid[SPARSE * i + SPARSE - 1];
    }
    return some;
  }

  /** The first limit to a given accuracy, without keeping anything. */
  double firstLimitM(double rpm, double tolerance) {
    if (modes.rigid()) {
      return maxM;
    }
    return isBeyond(rpm)
        ? lines(List.of(rpm), FINE, Progress.NONE).get(0).limitM()
        : section(rpm, extra, tolerance, () -> {}, new ArrayList<>()).firstLimitM(grid);
  }

  /** Whether a single point is stable, with the nodes of the rule; any thread may ask. */
  boolean stable(double rpm, double lengthM) {
    if (!width && lengthM > maxM * (1 + 1e-9)) {
      return false; // flutes of different helix would have met
    }
    if (modes.rigid()) {
      return true;
    }
    return isBeyond(rpm)
        ? new ZeroOrderLobes()
            .compute(
                alike(),
                new LobesRequest(
                    width ? Over.WIDTH : Over.DEPTH,
                    java.util.Optional.empty(),
                    List.of(),
                    maxM,
                    List.of(new AtPoint(rpm, lengthM))),
                Progress.NONE)
            .at()
            .get(0)
            .stable()
        : section(rpm, extra, PeriodicSection.EXACT, () -> {}, new ArrayList<>())
            .rough(lengthM)
            .stable();
  }

  /** The step that is nowhere longer than the whole length over so many, as measured. */
  private double smallest(int steps) {
    if (!width) {
      return maxM / steps;
    }
    double steepest = 0.5 * tool.diameterM() * Math.sin(Math.min(scale.of(maxM), 0.5 * Math.PI));
    return maxM / steps / steepest;
  }

  private PeriodicSection section(
      double rpm,
      int nodes,
      double tolerance,
      Runnable watch,
      List<PeriodicSection.Sample> samples) {
    double vc = Math.PI * tool.diameterM() * rpm / 60;
    double damping = process.processDampingNPerM() / vc;
    return new PeriodicSection(
        rpm, at(rpm, nodes, damping), scale, restLog(rpm), tolerance, watch, samples);
  }

  private DoubleFunction<PeriodicSection.At> at(double rpm, int nodes, double damping) {
    if (width) {
      double depth = process.engagement().axialM();
      return length -> {
        ToothArcs arcs = arcs(process.engagement().withRadial(length, tool.diameterM()));
        return new PeriodicSection.At(
            new PeriodOperator(modes, arcs, rpm, depth, damping, nodes), depth);
      };
    }
    ToothArcs arcs = arcs(process.engagement());
    if (!arcs.straight()) {
      return length ->
          new PeriodicSection.At(
              new PeriodOperator(modes, arcs, rpm, length, damping, nodes), length);
    }
    // straight teeth: one layout serves all depths within a factor of two
    Map<Integer, PeriodOperator> made = new HashMap<>();
    return length -> {
      int range = (int) Math.ceil(Math.log(length / maxM) / Math.log(2));
      double laid = maxM * Math.scalb(1.0, range);
      return new PeriodicSection.At(
          made.computeIfAbsent(
              range, r -> new PeriodOperator(modes, arcs, rpm, laid, damping, nodes)),
          length);
    };
  }

  private ToothArcs arcs(Engagement engagement) {
    return new ToothArcs(tool, engagement.entryRad(), engagement.exitRad(), process.coefficients());
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

  /** Whole waves between cuts, where one delay tells. */
  private Line withLobe(Line line) {
    if (Double.isNaN(line.chatterHz())) {
      return line;
    }
    if (!tool.evenPitch() || !tool.equalHelix()) {
      // over a turn of an even number of teeth a flip comes back to itself
      double halves = line.chatterHz() * 120 / (line.speedRpm() * tool.flutes());
      boolean odd = Math.abs(Math.IEEEremainder(halves - 1, 2)) < 1e-6;
      return odd
          ? new Line(
              line.speedRpm(),
              line.limitM(),
              line.stable(),
              StabilityMap.Loss.FLIP,
              line.chatterHz(),
              line.lobe())
          : line;
    }
    int lobe = (int) Math.floor(line.chatterHz() * 60 / (line.speedRpm() * tool.flutes()));
    return new Line(
        line.speedRpm(), line.limitM(), line.stable(), line.loss(), line.chatterHz(), lobe);
  }

  /** By how much, relatively, borders at a speed move with more nodes. */
  private double moved(double rpm, int steps, Runnable watch) {
    Line line = line(rpm, steps, watch);
    PeriodicSection finer =
        section(rpm, extra + FINER, PeriodicSection.EXACT, watch, new ArrayList<>());
    double most = 0;
    int looked = 0;
    for (Interval stretch : line.stable()) {
      for (double border : new double[] {stretch.fromM(), stretch.toM()}) {
        if (border > 0 && border < maxM && looked++ < BORDERS_CHECKED) {
          double step = border * (1 + 1e-4) < maxM ? 1e-4 * border : -1e-4 * border;
          double here = finer.exact(border).logSize();
          double slope = (finer.exact(border + step).logSize() - here) / step;
          double move = Math.abs(here / (slope * border));
          most = Math.max(most, Double.isNaN(move) ? 1 : move);
        }
      }
    }
    return most;
  }

  /** Judges a single point. */
  StabilityMap.Point point(AtPoint point) {
    double rpm = point.speedRpm();
    if (modes.rigid()) {
      return new StabilityMap.Point(rpm, point.lengthM(), true, 0, Double.NaN);
    }
    if (isBeyond(rpm)) {
      beyond.add(rpm);
      LobesRequest request =
          new LobesRequest(
              width ? Over.WIDTH : Over.DEPTH,
              java.util.Optional.empty(),
              List.of(),
              maxM,
              List.of(point));
      return new ZeroOrderLobes().compute(alike(), request, Progress.NONE).at().get(0);
    }
    PeriodicSection section =
        section(rpm, extra, PeriodicSection.EXACT, () -> {}, new ArrayList<>());
    Multipliers.Largest found = section.exact(point.lengthM());
    boolean turn = !(tool.evenPitch() && tool.equalHelix());
    double periods = turn ? 2 * Math.PI / arcs(process.engagement()).periodRad() : 1;
    return new StabilityMap.Point(
        rpm,
        point.lengthM(),
        found.stable(),
        Math.exp(periods * found.logSize()),
        Double.NaN,
        found.stable() ? Double.NaN : section.chatterAt(point.lengthM()).hz());
  }

  /** What a reader should know. */
  List<String> remarks(int steps) {
    List<String> all = new ArrayList<>();
    if (tried > 0 && moved <= TOLERANCE) {
      all.add(
          String.format(
              Locale.ROOT,
              "more nodes moved no border by more than %s %% where it was tried, at %s",
              Plain.few(Math.max(100 * moved, 1e-4)),
              tried == 1 ? "one speed" : tried + " speeds"));
    } else if (tried > 0) {
      all.add(
          String.format(
              Locale.ROOT,
              "not as exact as it should be: more nodes still moved a border by %s %%",
              Plain.few(100 * moved)));
    }
    all.addAll(remarks);
    if (reach == PeriodicLobes.Reach.WHOLE && !modes.rigid()) {
      all.add(
          String.format(
              Locale.ROOT,
              "stable stretches narrower than %s may be missed; so may those between two speeds",
              Plain.mm(maxM / steps)));
    }
    if (!beyond.isEmpty()) {
      all.add(
          String.format(
              Locale.ROOT,
              "at %s rpm and below a period holds too many vibrations for the periodic equation:"
                  + " averaged directional factors of flutes all alike are used there, and the"
                  + " accuracy of the rest is not reached",
              Plain.number(beyond.last())));
      all.addAll(ZeroOrderLobes.leftOut(process));
    }
    return all;
  }

  /**
   * Two or more threads on a list of speeds, one speed at a time, since a slow one takes many times
   * as long as a fast one. All are told at once when the answer is no longer wanted.
   */
  private static final class Crew {
    private static final int PATIENCE_MS = 20;

    private final List<Double> speeds;
    private final Job job;
    private final Progress progress;
    private final String what;
    private final AtomicInteger next = new AtomicInteger();
    private final AtomicInteger done = new AtomicInteger();
    private final AtomicInteger working = new AtomicInteger();
    private final AtomicReference<Throwable> failure = new AtomicReference<>();

    /** What to do for a speed. */
    @FunctionalInterface
    interface Job {
      void at(double rpm, Runnable watch);
    }

    private Crew(List<Double> speeds, Job job, Progress progress, String what) {
      this.speeds = speeds;
      this.job = job;
      this.progress = progress;
      this.what = what;
    }

    static void run(List<Double> speeds, Job job, Progress progress, String what) {
      progress.at(0, what);
      new Crew(speeds, job, progress, what).run();
      progress.at(1, what);
    }

    private void run() {
      int helpers = Math.min(ForkJoinPool.getCommonPoolParallelism(), speeds.size() - 1);
      for (int i = 0; i < helpers; i++) {
        ForkJoinPool.commonPool().execute(() -> work(this::stopIfFailed));
      }
      work(this::report);
      waitForHelpers();
      Throwable why = failure.get();
      if (why instanceof Error error) {
        throw error;
      } else if (why != null) {
        throw (RuntimeException) why;
      }
    }

    private void work(Runnable watch) {
      working.incrementAndGet();
      try {
        int i = next.getAndIncrement();
        while (i < speeds.size() && failure.get() == null) {
          job.at(speeds.get(i), watch);
          done.incrementAndGet();
          i = next.getAndIncrement();
        }
      } catch (RuntimeException | Error e) {
        failure.compareAndSet(null, e);
      } finally {
        working.decrementAndGet();
        synchronized (this) {
          notifyAll();
        }
      }
    }

    private void report() {
      stopIfFailed();
      progress.at((double) done.get() / speeds.size(), what);
    }

    private void stopIfFailed() {
      if (failure.get() != null) {
        throw new CancellationException("no longer wanted");
      }
    }

    /** Those that begin only now find nothing left to do. */
    private void waitForHelpers() {
      boolean interrupted = false;
      while (working.get() > 0) {
        try {
          synchronized (this) {
            if (working.get() > 0) {
              wait(PATIENCE_MS);
            }
          }
          if (failure.get() == null) {
            report();
          }
        } catch (InterruptedException e) {
          interrupted = true;
        } catch (RuntimeException e) {
          failure.compareAndSet(null, e);
        }
      }
      if (interrupted) {
        Thread.currentThread().interrupt();
      }
    }
  }
}
