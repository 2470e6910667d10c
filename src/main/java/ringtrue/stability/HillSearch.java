package ringtrue.stability;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import ringtrue.stability.HillLoop.Crossing;
import ringtrue.stability.MultiFrequencyLobes.Cut;
import ringtrue.stability.MultiFrequencyLobes.Solved;
import ringtrue.stability.StabilityMap.Interval;
import ringtrue.stability.StabilityMap.Line;
import ringtrue.stability.StabilityMap.Loss;

/** The multi-frequency limits of one speed. */
final class HillSearch {
  static final int WIDTH_STEPS = 60;
  static final double DEPTH_RATIO = 1.1;
  private static final double DEPTH_RATIO_SEVERAL = 1.25;
  private static final double DEPTH_RATIO_MANY = 1.5;

  private static final int FIRST_NODES = 10;
  private static final int TRIES = 3;

  /** Tolerance of the coupling where multipliers are only counted. */
  private static final double COUNTING = 1e-5;

  /** One small change can be chance: a coefficient that happens to be near zero. */
  private static final int CALM = 2;

  /** Relative shift of a limit by more harmonics from which on the search is done again. */
  private static final double TOO_FAR = 0.02;

  private final Cut cut;
  private final double speedRpm;
  private final HarmonicStructure structure;
  private final int harmonics;

  /** A change between stable and not, with the crossing that makes it; null if it got lost. */
  private record Border(double lengthM, Crossing crossing, int harmonics, boolean settled) {}

  HillSearch(Cut cut, double speedRpm) {
    this.cut = cut;
    this.speedRpm = speedRpm;
    this.structure = cut.structure(speedRpm);
    this.harmonics = cut.harmonics(structure, speedRpm);
  }

  Solved line() {
    if (structure.topHz() == 0) {
      return new Solved(speedRpm, free(), false, false, false, false);
    }
    if (harmonics == 0) {
      return Solved.beyond(speedRpm, cut.maxM());
    }
    return cut.stepped() ? steppedLine(false) : straightLine();
  }

  private Line free() {
    List<Interval> all = List.of(new Interval(0, cut.maxM()));
    return new Line(speedRpm, cut.maxM(), all, Loss.NONE, Double.NaN, -1);
  }

  private HillLoop loop(int h, double lengthM) {
    return new HillLoop(structure, cut.coupling(h, lengthM, COUNTING), speedRpm);
  }

  /** A loop for a few frequencies only. */
  private HillLoop fewLoop(int h, double lengthM) {
    return new HillLoop(structure, cut.coupling(h, lengthM, 0), speedRpm);
  }

  /** Whether the vibration spans too many harmonics to be solved. */
  boolean beyond() {
    return structure.topHz() > 0 && harmonics == 0;
  }

  /** Stable at a length? More harmonics than the search needs are cheap for a single point. */
  boolean stable(double lengthM) {
    if (structure.topHz() == 0) {
      return true;
    }
    HillLoop loop = loop(Cut.more(Cut.more(harmonics)), lengthM);
    return loop.unstable(cut.depth(lengthM), loop.nodes(FIRST_NODES)) == 0;
  }

  // Straight flutes -------------------------------------------------------------------------------

  private Solved straightLine() {
    int h = harmonics;
    for (int round = 0; round < TRIES; round++) {
      List<Crossing> all = counted(h);
      if (all == null) {
        return steppedLine(true);
      }
      List<Border> borders = new ArrayList<>();
      boolean again = false;
      for (Crossing crossing : borders(all)) {
        Border border = settle(crossing, h);
        double shift = Math.abs(border.lengthM() / crossing.depthM() - 1);
        again |= shift > TOO_FAR && Cut.more(h) > 0 && round + 1 < TRIES;
        borders.add(border);
      }
      if (!again) {
        return solved(borders, false);
      }
      h = Cut.more(Cut.more(h)) > 0 ? Cut.more(Cut.more(h)) : Cut.more(h);
    }
    throw new IllegalStateException("the last round always returns");
  }

  /** All crossings, their count checked; null if it cannot be made to agree. */
  private List<Crossing> counted(int h) {
    HillLoop loop = loop(h, cut.maxM());
    for (int round = 0, uniform = FIRST_NODES; round < TRIES; round++, uniform *= 4) {
      double[] nodes = loop.nodes(uniform);
      List<Crossing> all = loop.crossings(nodes, cut.maxM());
      if (agrees(loop, nodes, all)) {
        return all;
      }
    }
    return null;
  }

  /**
   * No negative count anywhere, and the argument principle's count above the first limit and in
   * every later gap.
   */
  private boolean agrees(HillLoop loop, double[] nodes, List<Crossing> all) {
    int count = 0;
    for (int i = 0; i < all.size(); i++) {
      boolean first = i == 0;
      double from = all.get(i).depthM();
      count += all.get(i).change();
      if (count < 0) {
        return false;
      }
      double to = i + 1 < all.size() ? all.get(i + 1).depthM() : cut.maxM();
      if ((count == 0 || first) && to > from * (1 + 1e-6)) {
        double middle = Math.min(Math.sqrt(from * to), 1.2 * from);
        if (loop.unstable(middle, nodes) != count) {
          return false;
        }
      }
    }
    return !all.isEmpty() || loop.unstable(cut.maxM(), nodes) == 0;
  }

  /** Crossings at which the cut becomes unstable or stable again, in turn. */
  private static List<Crossing> borders(List<Crossing> all) {
    List<Crossing> borders = new ArrayList<>();
    int count = 0;
    for (Crossing crossing : all) {
      boolean before = count == 0;
      count += crossing.change();
      if (before != (count == 0)) {
        borders.add(crossing);
      }
    }
    return borders;
  }

  /** The same crossing with more and more harmonics, until it stays. */
  private Border settle(Crossing from, int h) {
    Crossing now = from;
    int used = h;
    int calm = 0;
    for (int next = Cut.more(h); next > 0; next = Cut.more(next)) {
      Crossing better = loop(next, now.depthM()).again(now);
      if (better == null || Math.abs(better.depthM() / now.depthM() - 1) > 0.2) {
        return new Border(now.depthM(), now, used, false);
      }
      calm = calm(better.depthM() / now.depthM()) ? calm + 1 : 0;
      now = better;
      used = next;
      if (calm == CALM) {
        return new Border(now.depthM(), now, used, true);
      }
    }
    return new Border(now.depthM(), now, used, calm > 0);
  }

  private static boolean calm(double ratio) {
    return Math.abs(ratio - 1) < 0.25 * MultiFrequencyLobes.TOLERANCE;
  }

  // Stepping --------------------------------------------------------------------------------------

  private Solved steppedLine(boolean uncounted) {
    List<Border> borders = new ArrayList<>();
    boolean before = true;
    double last = 0;
    double length = cut.width() ? width(1) : calmDepth();
    for (int step = 1; last < cut.maxM(); step++) {
      int count = count(harmonics, length);
      if ((count == 0) != before) {
        borders.add(border(last, length, before));
      }
      before = count == 0;
      last = length;
      length = cut.width() ? width(step + 1) : Math.min(cut.maxM(), length * ratio(count));
    }
    return solved(borders, uncounted);
  }

  /** Where much is unstable, a stable stretch needs a longer way to come and go. */
  private static double ratio(int unstable) {
    return unstable <= 2 ? DEPTH_RATIO : unstable <= 4 ? DEPTH_RATIO_SEVERAL : DEPTH_RATIO_MANY;
  }

  /** The end of a step of equal swept angle, m. */
  private double width(int step) {
    if (step >= WIDTH_STEPS) {
      return cut.maxM();
    }
    double diameter = cut.process().tool().orElseThrow().diameterM();
    double swept = Math.acos(Math.max(-1, 1 - 2 * cut.maxM() / diameter));
    double sin = Math.sin(0.5 * swept * step / WIDTH_STEPS);
    return diameter * sin * sin;
  }

  /** A depth at which, and at a third of which, nothing is unstable. */
  private double calmDepth() {
    double depth = cut.maxM();
    for (int calm = 0, tries = 0; calm < 2 && tries < 40; tries++) {
      depth /= 3;
      calm = count(harmonics, depth) == 0 ? calm + 1 : 0;
    }
    return depth;
  }

  private int count(int h, double lengthM) {
    HillLoop loop = loop(h, lengthM);
    return loop.unstable(cut.depth(lengthM), loop.nodes(FIRST_NODES));
  }

  /** Where stability changes between two lengths. */
  private Border border(double lowM, double highM, boolean stableLow) {
    double low = lowM;
    double high = highM;
    while (high - low > 5e-3 * high) {
      double middle = 0.5 * (low + high);
      if ((count(harmonics, middle) == 0) == stableLow) {
        low = middle;
      } else {
        high = middle;
      }
    }
    double middle = 0.5 * (low + high);
    Crossing start = nearest(middle).orElse(null);
    if (start == null) {
      return new Border(middle, null, harmonics, false);
    }
    if (!cut.stepped()) {
      return settle(start, harmonics);
    }
    Border now = onCrossing(start, middle, harmonics);
    if (now == null || Math.abs(now.lengthM() - middle) > high - low) {
      return new Border(middle, start, harmonics, false);
    }
    int calm = 0;
    for (int next = Cut.more(harmonics); next > 0; next = Cut.more(next)) {
      Border better = onCrossing(now.crossing(), now.lengthM(), next);
      if (better == null || Math.abs(better.lengthM() / now.lengthM() - 1) > 0.2) {
        return now;
      }
      calm = calm(better.lengthM() / now.lengthM()) ? calm + 1 : 0;
      now = better;
      if (calm == CALM) {
        return new Border(now.lengthM(), now.crossing(), next, true);
      }
    }
    return new Border(now.lengthM(), now.crossing(), now.harmonics(), calm > 0);
  }

  private Optional<Crossing> nearest(double lengthM) {
    HillLoop loop = loop(harmonics, lengthM);
    double depth = cut.depth(lengthM);
    return loop.crossings(loop.nodes(FIRST_NODES), 1.05 * depth).stream()
        .min(Comparator.comparingDouble(c -> Math.abs(c.depthM() / depth - 1)));
  }

  /** The length at which a crossing's depth is the depth of the cut, by the secant method. */
  private Border onCrossing(Crossing start, double lengthM, int h) {
    Crossing crossing = start;
    double length = lengthM;
    double lastLength = Double.NaN;
    double lastMiss = Double.NaN;
    for (int round = 0; round < 25; round++) {
      crossing = fewLoop(h, length).again(crossing);
      if (crossing == null) {
        return null;
      }
      double miss = crossing.depthM() / cut.depth(length) - 1;
      if (Math.abs(miss) < 1e-7) {
        return new Border(length, crossing, h, false);
      }
      double next;
      if (Double.isNaN(lastLength)) {
        next = length * (miss > 0 == !cut.width() ? 1.002 : 0.998);
      } else {
        double change = -miss * (length - lastLength) / (miss - lastMiss);
        next = length + Math.max(-0.02 * length, Math.min(0.02 * length, change));
      }
      if (!(next > 0) || (cut.width() && next > cut.maxM())) {
        return null;
      }
      lastLength = length;
      lastMiss = miss;
      length = next;
    }
    return null;
  }

  // The line --------------------------------------------------------------------------------------

  private Solved solved(List<Border> borders, boolean uncounted) {
    double maxM = cut.maxM();
    List<Interval> stable = new ArrayList<>();
    double from = 0;
    boolean open = true;
    for (Border border : borders) {
      double at = Math.min(border.lengthM(), maxM);
      if (open && at > from) {
        stable.add(new Interval(from, at));
      }
      open = !open;
      from = at;
    }
    if (open && maxM > from) {
      stable.add(new Interval(from, maxM));
    }
    if (borders.isEmpty()) {
      return new Solved(speedRpm, free(), false, false, uncounted, false);
    }
    Border first = borders.get(0);
    boolean unsettled = borders.stream().anyMatch(b -> !b.settled());
    Crossing crossing = first.crossing();
    Loss loss = crossing != null && crossing.flip() ? Loss.FLIP : Loss.HOPF;
    Line line = new Line(speedRpm, first.lengthM(), stable, loss, Double.NaN, -1);
    if (crossing == null) {
      return new Solved(speedRpm, line, false, true, uncounted, false);
    }
    HillLoop loop = fewLoop(first.harmonics(), first.lengthM());
    HillLoop.Shape shape = loop.shape(crossing.hz(), 1 / crossing.depthM());
    if (shape == null) {
      return new Solved(speedRpm, line, false, unsettled, uncounted, false);
    }
    double chatterHz = Math.abs(shape.hz()[shape.loudest()]);
    line = new Line(speedRpm, first.lengthM(), stable, loss, chatterHz, -1);
    if (structure.measured() && !cut.width()) {
      Line plain = line;
      line =
          LimitSensitivity.of(structure, loop, crossing.hz(), crossing.depthM(), crossing.flip())
              .map(s -> s.band(plain, maxM))
              .orElse(plain);
    }
    return new Solved(speedRpm, line, false, unsettled, uncounted, outside(shape));
  }

  /** Whether one of the two loudest harmonics lies outside a measured band. */
  private boolean outside(HillLoop.Shape shape) {
    int first = shape.loudest();
    int second = -1;
    for (int k = 0; k < shape.hz().length; k++) {
      if (k != first
          && shape.displacement()[k] > 0.1 * shape.displacement()[first]
          && (second < 0 || shape.displacement()[k] > shape.displacement()[second])) {
        second = k;
      }
    }
    return structure.outsideBand(Math.abs(shape.hz()[first]))
        || (second >= 0 && structure.outsideBand(Math.abs(shape.hz()[second])));
  }
}
