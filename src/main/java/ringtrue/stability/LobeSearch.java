package ringtrue.stability;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.function.DoubleFunction;
import java.util.stream.IntStream;
import ringtrue.dynamics.Progress;
import ringtrue.stability.StabilityMap.Interval;
import ringtrue.stability.StabilityMap.Line;
import ringtrue.stability.StabilityMap.Loss;

/** Depth over speed for one regenerative loop: what milling and turning have in common. */
final class LobeSearch {
  private static final int SPEEDS_AT_ONCE = 16;
  private static final int DEPTH_STEPS = 60;

  /** Delays of a cut. */
  @FunctionalInterface
  interface Delays {
    Regeneration at(double speedRpm, double depthM);
  }

  private final BranchTable table;
  private final SearchBand band;
  private final Delays delays;
  private final boolean delaysChangeWithDepth;
  private final double certainM;

  /**
   * @param loop what is cut
   * @param band where to search
   * @param largestDepthM largest depth that will be asked for, m
   * @param delays delays at a speed and depth
   * @param delaysChangeWithDepth whether the depth counts in them
   */
  LobeSearch(
      RegenerativeLoop loop,
      SearchBand band,
      double largestDepthM,
      Delays delays,
      boolean delaysChangeWithDepth) {
    this.table = BranchTable.refined(loop, band.nodesHz(), 0.5 / largestDepthM);
    this.band = band;
    this.delays = delays;
    this.delaysChangeWithDepth = delaysChangeWithDepth;
    this.certainM = 0.5 / table.largestRealPart();
  }

  /** Depth below which no speed chatters, m; infinite if nothing can. */
  double certainM() {
    return certainM;
  }

  /** Lines of the map for many speeds, in their order; progress runs from 0 to 1. */
  static List<Line> lines(List<Double> speeds, DoubleFunction<Line> one, Progress progress) {
    List<Line> lines = new ArrayList<>(speeds.size());
    for (int from = 0; from < speeds.size(); from += SPEEDS_AT_ONCE) {
      progress.at((double) from / speeds.size(), "stability over speed");
      int first = from;
      int to = Math.min(speeds.size(), from + SPEEDS_AT_ONCE);
      lines.addAll(
          IntStream.range(first, to).parallel().mapToObj(i -> one.apply(speeds.get(i))).toList());
    }
    progress.at(1, "stability over speed");
    return lines;
  }

  /** The line at a speed. */
  Line line(double speedRpm, double maxM) {
    if (certainM >= maxM) {
      return new Line(speedRpm, maxM, List.of(new Interval(0, maxM)), Loss.NONE, Double.NaN, -1);
    }
    if (delaysChangeWithDepth) {
      return steppedLine(speedRpm, maxM);
    }
    Optional<List<Crossing>> crossings = Crossings.upTo(table, delays.at(speedRpm, maxM), maxM);
    return crossings
        .map(all -> Crossings.line(speedRpm, all, maxM))
        .orElseGet(
            () ->
                new Line(
                    speedRpm,
                    certainM,
                    List.of(new Interval(0, certainM)),
                    Loss.HOPF,
                    table.frequencyOfLargestRealPart(),
                    -1));
  }

  /** Whether a speed is so low that {@link #line} gives the limit of all speeds for it. */
  boolean beyondLobes(double speedRpm, double maxM) {
    return certainM < maxM
        && Crossings.wavesUpTo(table, delays.at(speedRpm, maxM), maxM) > Crossings.MOST_WAVES;
  }

  /** Stable at a depth? */
  boolean stable(double speedRpm, double depthM) {
    if (depthM <= certainM) {
      return true;
    }
    return Crossings.upTo(table, delays.at(speedRpm, depthM), depthM)
        .map(all -> Crossings.unstablePairs(all, depthM) == 0)
        .orElse(false);
  }

  /** Spectral radius over a growth period at a depth; NaN if a direction is not modal. */
  double growth(double speedRpm, double depthM) {
    return band.modes() == null
        ? Double.NaN
        : new CharacteristicRoots(table.loop(), band.modes(), delays.at(speedRpm, depthM), depthM)
            .growth();
  }

  /** Where helices differ the delays change with the depth: step through it and bisect. */
  private Line steppedLine(double speedRpm, double maxM) {
    List<Interval> stretches = new ArrayList<>();
    double from = 0;
    boolean before = true;
    double depthBefore = certainM;
    double ratio = Math.pow(maxM / certainM, 1.0 / DEPTH_STEPS);
    double limit = Double.NaN;
    for (int i = 1; i <= DEPTH_STEPS; i++) {
      double depth = i == DEPTH_STEPS ? maxM : certainM * Math.pow(ratio, i);
      boolean now = stable(speedRpm, depth);
      if (now != before) {
        double border = bisect(speedRpm, depthBefore, before, depth);
        if (before) {
          stretches.add(new Interval(from, border));
          limit = Double.isNaN(limit) ? border : limit;
        } else {
          from = border;
        }
      }
      before = now;
      depthBefore = depth;
    }
    if (before) {
      stretches.add(new Interval(from, maxM));
    }
    if (Double.isNaN(limit)) {
      return new Line(speedRpm, maxM, stretches, Loss.NONE, Double.NaN, -1);
    }
    return new Line(speedRpm, limit, stretches, Loss.HOPF, frequencyNear(speedRpm, limit), -1);
  }

  private double bisect(double speedRpm, double low, boolean stableLow, double high) {
    double a = low;
    double b = high;
    while (b - a > 1e-11 * b) {
      double middle = 0.5 * (a + b);
      if (!(middle > a && middle < b)) {
        break;
      }
      if (stable(speedRpm, middle) == stableLow) {
        a = middle;
      } else {
        b = middle;
      }
    }
    return 0.5 * (a + b);
  }

  private double frequencyNear(double speedRpm, double depthM) {
    return nearest(table, delays.at(speedRpm, depthM), depthM)
        .map(Crossing::frequencyHz)
        .orElseGet(table::frequencyOfLargestRealPart);
  }

  /** The crossing whose depth is nearest to a depth. */
  static Optional<Crossing> nearest(BranchTable table, Regeneration regeneration, double depthM) {
    return Crossings.upTo(table, regeneration, 1.01 * depthM).stream()
        .flatMap(List::stream)
        .min(Comparator.comparingDouble(c -> Math.abs(c.depthM() - depthM)));
  }

  /** What to say about speeds at which single lobes were not told apart. */
  static String lowSpeedRemark(double highestRpm) {
    return String.format(
        Locale.ROOT,
        "at %s rpm and below there are more than %d waves between cuts: the limit there is the"
            + " one that holds at every speed",
        Plain.number(highestRpm),
        Crossings.MOST_WAVES);
  }
}
