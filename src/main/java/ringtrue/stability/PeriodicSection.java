package ringtrue.stability;

import java.util.ArrayList;
import java.util.List;
import java.util.function.DoubleFunction;
import ringtrue.stability.StabilityMap.Interval;
import ringtrue.stability.StabilityMap.Line;
import ringtrue.stability.StabilityMap.Loss;

/**
 * Stability along a line of the map: one speed, all depths or widths. One object serves one thread.
 *
 * <p>The growth is sampled, finer near zero, and finer again wherever it comes so near to a change
 * of sign that one could hide between two samples, down to a smallest step; every change of sign is
 * then solved for.
 */
final class PeriodicSection {
  /** Borders of a map are solved for to this, relatively. */
  static final double EXACT = 1e-9;

  private static final int MOST_STEPS = 60;

  /** At small lengths the smallest step is this part of them, down to a part of the usual one. */
  private static final double SMALLEST_PART = 0.05;

  private static final double FINEST = 0.02;

  /** A multiplier found so near to the border is that of the border. */
  private static final double KNOWN = 1e-7;

  /** From this length of the state on Arnoldi's method costs less than squaring (measured). */
  private static final int LARGE = 44;

  /** The growth may be so much steeper between samples than around them. */
  private static final double STEEPER = 2.5;

  /** The same where only the first limit is wanted, quickly. */
  private static final double STEEPER_AT_FIRST = 1.6;

  /** A cut at one length: its operator and its depth. */
  record At(PeriodOperator operator, double depthM) {}

  /** A measure of length in which the growth changes evenly, from zero up. */
  interface Scale {
    /** Depth as it is. */
    Scale DEPTH =
        new Scale() {
          @Override
          public double of(double lengthM) {
            return lengthM;
          }

          @Override
          public double lengthM(double measure) {
            return measure;
          }
        };

    /** The measure of a length. */
    double of(double lengthM);

    /** The length of a measure, m. */
    double lengthM(double measure);

    /**
     * Radial width measured by the swept angle: thin cuts already hold all of the tangential force,
     * whose share grows with the square root of the width.
     */
    static Scale width(double diameterM) {
      return new Scale() {
        @Override
        public double of(double lengthM) {
          return 2 * Math.asin(Math.sqrt(Math.min(1, lengthM / diameterM)));
        }

        @Override
        public double lengthM(double measure) {
          double sin = Math.sin(0.5 * measure);
          return diameterM * sin * sin;
        }
      };
    }
  }

  private final double speedRpm;
  private final DoubleFunction<At> at;
  private final Scale scale;
  private final double restLog;
  private final Multipliers multipliers;
  private final double tolerance;
  private final Runnable watch;
  private final List<Sample> samples;
  private double[] room = new double[0];
  private Multipliers.Largest lastExact;
  private double lastExactM = Double.NaN;

  /** Growth at one length. */
  record Sample(double lengthM, double log, boolean stable) {}

  /**
   * @param speedRpm spindle speed, rpm
   * @param at the operator at a depth or width
   * @param scale how lengths are measured while looking for hidden stretches
   * @param restLog logarithm of the largest multiplier without cutting, below zero
   * @param tolerance borders are solved for to this, relatively
   * @param watch called again and again; throws when the answer is no longer wanted
   * @param samples what is known of the line, rising; empty if nothing. Grows.
   */
  PeriodicSection(
      double speedRpm,
      DoubleFunction<At> at,
      Scale scale,
      double restLog,
      double tolerance,
      Runnable watch,
      List<Sample> samples) {
    this.speedRpm = speedRpm;
    this.at = at;
    this.scale = scale;
    this.restLog = restLog;
    this.multipliers = new Multipliers();
    this.tolerance = tolerance;
    this.watch = watch;
    this.samples = samples;
  }

  Multipliers.Largest rough(double lengthM) {
    return look(lengthM, false);
  }

  Multipliers.Largest exact(double lengthM) {
    return look(lengthM, true);
  }

  private Multipliers.Largest look(double lengthM, boolean exact) {
    watch.run();
    At here = at.apply(lengthM);
    int n = here.operator.width();
    if (n > LARGE) {
      Multipliers.Largest found = krylov(here, !exact).largest();
      if (found.sure()) {
        return found;
      }
    }
    int stride = Kernels.stride(n);
    double[] m = matrix(here, n, stride);
    if (!exact) {
      return multipliers.rough(m, n, stride);
    }
    Multipliers.Largest found = multipliers.exact(m, n, stride);
    lastExact = found;
    lastExactM = lengthM;
    return found;
  }

  private double[] matrix(At here, int n, int stride) {
    if (room.length < n * stride) {
      room = new double[n * stride];
    }
    return here.operator.matrix(here.depthM, room, stride);
  }

  private static KrylovSpace.Found krylov(At here, boolean signOnly) {
    PeriodOperator operator = here.operator;
    operator.prepare(here.depthM);
    return KrylovSpace.largest(
        (from, to) -> operator.apply(here.depthM, from, to), operator.width(), signOnly);
  }

  /**
   * The whole line.
   *
   * @param grid lengths to begin with, rising, the last one the end of the search, m
   * @param smallest smallest step, as measured by the scale
   */
  Line line(double[] grid, double smallest) {
    double maxM = grid[grid.length - 1];
    if (samples.isEmpty()) {
      samples.add(new Sample(0, restLog, true));
    }
    int at = 1;
    for (double length : grid) {
      while (at < samples.size() && samples.get(at).lengthM < length) {
        at++;
      }
      if (at == samples.size() || samples.get(at).lengthM > length) {
        samples.add(at, sample(length));
      }
    }
    refine(samples, smallest, STEEPER);
    List<Double> borders = new ArrayList<>();
    for (int i = 1; i < samples.size(); i++) {
      if (samples.get(i - 1).stable == samples.get(i).stable) {
        continue;
      }
      borders.add(border(samples.get(i - 1), samples.get(i)));
    }
    List<Interval> stable = new ArrayList<>();
    double from = 0;
    double limit = Double.NaN;
    for (int i = 0; i < borders.size(); i++) {
      if (i % 2 == 0) {
        stable.add(new Interval(from, borders.get(i)));
        limit = Double.isNaN(limit) ? borders.get(i) : limit;
      } else {
        from = borders.get(i);
      }
    }
    if (samples.get(samples.size() - 1).stable) {
      stable.add(new Interval(from, maxM));
    }
    return finished(limit, stable, maxM);
  }

  /** Only the first loss of stability; the stretches above it are not looked for. */
  Line limit(double[] grid, double smallest) {
    double maxM = grid[grid.length - 1];
    double border = firstBorder(grid, smallest);
    return finished(border, List.of(new Interval(0, Double.isNaN(border) ? maxM : border)), maxM);
  }

  /** The first loss of stability as the samples of the grid show it. */
  Line roughLimit(double[] grid) {
    double maxM = grid[grid.length - 1];
    double border = firstLimitM(grid);
    return finished(border < maxM ? border : Double.NaN, List.of(new Interval(0, border)), maxM);
  }

  /**
   * The first loss of stability as the samples of the grid show it, m; the end of the search if
   * there is none. For the many draws of a probability map, where a narrow stretch more or less
   * does not count.
   */
  double firstLimitM(double[] grid) {
    Sample before = new Sample(0, restLog, true);
    for (double length : grid) {
      Sample now = sample(length);
      if (!now.stable) {
        return border(before, now);
      }
      before = now;
    }
    return grid[grid.length - 1];
  }

  private double firstBorder(double[] grid, double smallest) {
    samples.clear();
    samples.add(new Sample(0, restLog, true));
    for (double length : grid) {
      samples.add(sample(length));
      if (!samples.get(samples.size() - 1).stable) {
        break;
      }
    }
    refine(samples, smallest, STEEPER_AT_FIRST);
    for (int i = 1; i < samples.size(); i++) {
      if (!samples.get(i).stable) {
        return border(samples.get(i - 1), samples.get(i));
      }
    }
    return Double.NaN;
  }

  private Line finished(double limit, List<Interval> stable, double maxM) {
    if (Double.isNaN(limit)) {
      return new Line(speedRpm, maxM, stable, Loss.NONE, Double.NaN, -1);
    }
    ChatterAt chatter = chatterAt(limit);
    return new Line(speedRpm, limit, stable, chatter.flip ? Loss.FLIP : Loss.HOPF, chatter.hz, -1);
  }

  /**
   * How the motion with the largest multiplier sounds.
   *
   * @param flip whether it changes sign from period to period
   * @param hz its strongest line
   */
  record ChatterAt(boolean flip, double hz) {}

  ChatterAt chatterAt(double lengthM) {
    At here = at.apply(lengthM);
    int n = here.operator.width();
    Multipliers.Largest largest = null;
    double[] vector = null;
    if (n > LARGE) {
      KrylovSpace.Found found = krylov(here, false);
      largest = found.largest();
      vector = found.vector();
    }
    if (largest == null || !largest.sure()) {
      int stride = Kernels.stride(n);
      double[] m = matrix(here, n, stride);
      boolean known = Math.abs(lastExactM - lengthM) < KNOWN * lengthM;
      largest = known ? lastExact : multipliers.exact(m, n, stride);
      double size = Math.exp(largest.logSize());
      vector =
          ComplexVectors.nullVector(
              m, n, stride, size * Math.cos(largest.angle()), size * Math.sin(largest.angle()));
    }
    boolean flip = Math.PI - largest.angle() < 1e-7;
    return new ChatterAt(flip, here.operator.strongestHz(here.depthM, vector, largest.angle()));
  }

  private Sample sample(double lengthM) {
    Multipliers.Largest found = rough(lengthM);
    return new Sample(lengthM, found.logSize(), found.stable());
  }

  /** Puts samples between those that a stretch of the other kind could hide between. */
  private void refine(List<Sample> samples, double smallest, double steeper) {
    for (int i = 1; i < samples.size(); ) {
      if (mayHide(samples, i, smallest, steeper)) {
        double below = scale.of(samples.get(i - 1).lengthM);
        double above = scale.of(samples.get(i).lengthM);
        samples.add(i, sample(scale.lengthM(0.5 * (below + above))));
        i = Math.max(1, i - 1);
      } else {
        i++;
      }
    }
  }

  /**
   * Whether the growth, as steep as it is around here, could go to zero and back between samples i
   * − 1 and i; where it changes sign between them, whether they are still far apart.
   */
  private boolean mayHide(List<Sample> samples, int i, double farOut, double steeper) {
    Sample a = samples.get(i - 1);
    Sample b = samples.get(i);
    double least = Math.min(farOut, SMALLEST_PART * scale.of(b.lengthM));
    double smallest = Math.max(least, FINEST * farOut);
    double step = scale.of(b.lengthM) - scale.of(a.lengthM);
    if (a.stable != b.stable) {
      return step > smallest;
    }
    if (step < smallest || Double.isInfinite(a.log)) {
      return false;
    }
    double steepest = Math.abs(b.log - a.log) / step;
    if (i > 1) {
      steepest = Math.max(steepest, slope(samples.get(i - 2), a));
    }
    if (i + 1 < samples.size()) {
      steepest = Math.max(steepest, slope(b, samples.get(i + 1)));
    }
    return Math.abs(a.log) + Math.abs(b.log) < steeper * steepest * step;
  }

  private double slope(Sample a, Sample b) {
    return Math.abs(b.log - a.log) / (scale.of(b.lengthM) - scale.of(a.lengthM));
  }

  /** Solves for a change of sign between two samples. */
  private double border(Sample below, Sample above) {
    double low = below.lengthM;
    double high = above.lengthM;
    boolean rising = below.stable;
    double x0 = low;
    double f0 = below.log;
    double x1 = high;
    double f1 = above.log;
    double x = start(x0, f0, x1, f1);
    double last = Double.NaN;
    double lastValue = Double.NaN;
    for (int step = 0; step < MOST_STEPS; step++) {
      double f = exact(x).logSize();
      if (f < 0 == rising) {
        low = x;
      } else {
        high = x;
      }
      if (Math.abs(f) < 1e-13 || high - low < tolerance * high) {
        return x;
      }
      double next;
      if (Double.isNaN(last)) {
        double otherX = f < 0 == rising ? x1 : x0;
        double otherF = f < 0 == rising ? f1 : f0;
        next = x - f * (otherX - x) / (otherF - f);
      } else {
        next = x - f * (x - last) / (f - lastValue);
      }
      if (!(next > low && next < high)) {
        next = 0.5 * (low + high);
      }
      if (Math.abs(next - x) < tolerance * x) {
        return next;
      }
      last = x;
      lastValue = f;
      // a step that hardly moves off the wrong end is a bisection instead
      x = step % 4 == 3 && high - low > 1e-3 * high ? 0.5 * (low + high) : next;
    }
    return 0.5 * (low + high);
  }

  private static double start(double x0, double f0, double x1, double f1) {
    double part = Double.isInfinite(f0) || Double.isInfinite(f1) ? 0.5 : f0 / (f0 - f1);
    return x0 + Math.min(0.9, Math.max(0.1, part)) * (x1 - x0);
  }
}
