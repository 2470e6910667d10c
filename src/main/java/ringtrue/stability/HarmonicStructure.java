package ringtrue.stability;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.OppositeMode;
import ringtrue.dynamics.Receptance;
import ringtrue.dynamics.Residual;

/**
 * What gives in x, in y and across, at any frequency from zero upwards: the multi-frequency
 * equation needs harmonics outside every measured band.
 *
 * <p>Below its usable band a measured response is taken as at rest: the mean real part over the
 * lowest third of an octave. Above the band it falls as a mass does, with the inverse square of the
 * frequency, from the mean real part over the highest twelfth of an octave. The residual terms of a
 * modal model hold near its modes: the inverse mass stays as it is at half the lowest mode below
 * that, and the compliance falls as a mass does from four times the highest mode on.
 */
final class HarmonicStructure {
  /** Numbers that {@link #at} gives: xx, yy and xy, real and imaginary. */
  static final int ROOM = 6;

  static final int XX = 0;
  static final int YY = 1;
  static final int XY = 2;
  private static final double PHASE_STEP_RAD = 0.1;
  private static final double KNOT_STEP = 0.6;
  private static final double QUIET = 0.03;

  /** One measured response among the parts, with its rules outside the band. */
  static final class Measured implements Receptance {
    final FrequencyResponse response;
    final double lowHz;
    final double highHz;
    private final int[] belowLines;
    private final int[] aboveLines;
    private final double below;
    private final double above;

    Measured(FrequencyResponse response) {
      this.response = response;
      int last = response.lines() - 1;
      this.lowHz = Math.max(response.frequencyHz(0), response.origin().bandLowHz());
      this.highHz = Math.min(response.frequencyHz(last), response.origin().bandHighHz());
      int low = Math.min(response.firstLineAtOrAbove(lowHz), last);
      int lowEnd = Math.max(response.firstLineAtOrAbove(lowHz * Math.cbrt(2)), low + 3);
      this.belowLines = new int[] {low, Math.min(lowEnd, response.lines())};
      this.below = mean(belowLines);
      int high = Math.min(response.firstLineAtOrAbove(highHz * (1 + 1e-12)), last + 1);
      int from = response.firstLineAtOrAbove(highHz * Math.pow(2, -1.0 / 12));
      this.aboveLines = new int[] {Math.max(0, Math.min(from, high - 3)), high};
      this.above = mean(aboveLines);
    }

    private double mean(int[] lines) {
      double sum = 0;
      for (int i = lines[0]; i < lines[1]; i++) {
        sum += response.real(i);
      }
      return sum / (lines[1] - lines[0]);
    }

    /** What takes the measured lines that a value is made of. */
    @FunctionalInterface
    interface LineTaker {
      /**
       * @param line number of the line
       * @param part factor it enters the value with
       * @param realOnly whether its real part alone counts
       */
      void take(int line, double part, boolean realOnly);
    }

    /** The lines that the value at a frequency is a sum of. */
    void lines(double hz, LineTaker taker) {
      if (hz < lowHz || hz > highHz) {
        int[] edge = hz < lowHz ? belowLines : aboveLines;
        double fall = hz < lowHz ? 1 : (highHz / hz) * (highHz / hz);
        for (int i = edge[0]; i < edge[1]; i++) {
          taker.take(i, fall / (edge[1] - edge[0]), true);
        }
        return;
      }
      int next = Math.max(1, Math.min(response.firstLineAtOrAbove(hz), response.lines() - 1));
      double from = response.frequencyHz(next - 1);
      double part = (hz - from) / (response.frequencyHz(next) - from);
      taker.take(next - 1, 1 - part, false);
      taker.take(next, part, false);
    }

    @Override
    public void at(double hz, double[] into) {
      if (hz < lowHz) {
        into[0] = below;
        into[1] = 0;
      } else if (hz > highHz) {
        into[0] = above * (highHz / hz) * (highHz / hz);
        into[1] = 0;
      } else {
        response.at(hz, into);
      }
    }
  }

  /** Residual terms held where they mean something. */
  private record Held(Residual residual, double lowHz, double highHz) implements Receptance {
    @Override
    public void at(double hz, double[] into) {
      residual.at(Math.max(hz, lowHz), into);
      if (hz > highHz) {
        double compliance = residual.upperMPerN();
        into[0] += compliance * ((highHz / hz) * (highHz / hz) - 1);
      }
    }
  }

  private final List<List<Receptance>> parts = new ArrayList<>();
  private final Receptance[][] flat;
  private final List<Mode> modes = new ArrayList<>();
  private final List<String> remarks = new ArrayList<>();
  private final double[] knotsHz;

  HarmonicStructure(CuttingProcess process) {
    parts.add(parts("x", process.x()));
    parts.add(parts("y", process.y()));
    parts.add(parts("xy", process.xy()));
    flat = parts.stream().map(p -> p.toArray(Receptance[]::new)).toArray(Receptance[][]::new);
    knotsHz = thinned(fine());
  }

  private List<Receptance> parts(String axis, List<Receptance> all) {
    List<Receptance> out = new ArrayList<>();
    for (Receptance one : all) {
      if (one instanceof Mode mode) {
        modes.add(mode);
        out.add(mode);
      } else if (one instanceof OppositeMode opposite) {
        modes.add(opposite.mode());
        out.add(opposite);
      } else if (one instanceof ModalModel model) {
        modes.addAll(model.modes());
        out.addAll(model.modes());
        Residual residual = model.residual();
        if (!residual.equals(Residual.NONE)) {
          out.add(held(residual, model.modes()));
        }
      } else if (one instanceof Residual residual) {
        out.add(held(residual, modes));
      } else if (one instanceof FrequencyResponse response) {
        out.add(new Measured(response));
        if (Double.isFinite(response.windowTimeConstantS())) {
          remarks.add(
              String.format(
                  Locale.ROOT,
                  "the measured response in %s was taken with an exponential window of %s ms,"
                      + " which adds damping: the limits here are too high; fit modes to it instead",
                  axis,
                  Plain.number(1e3 * response.windowTimeConstantS())));
        }
      } else if (one != Receptance.RIGID) {
        throw new IllegalArgumentException(
            "stability needs modes or measured responses, not a " + one.getClass().getName());
      }
    }
    return out;
  }

  private static Held held(Residual residual, List<Mode> modes) {
    double lowest = modes.stream().mapToDouble(Mode::frequencyHz).min().orElse(1);
    double highest = modes.stream().mapToDouble(Mode::frequencyHz).max().orElse(10_000);
    return new Held(residual, 0.5 * lowest, 4 * highest);
  }

  /** What a reader should know about the responses. */
  List<String> remarks() {
    return List.copyOf(remarks);
  }

  /** Whether anything gives in a direction. */
  boolean gives(int direction) {
    return !parts.get(direction).isEmpty();
  }

  /** Measured responses of a direction. */
  List<Measured> measured(int direction) {
    return parts.get(direction).stream()
        .filter(Measured.class::isInstance)
        .map(Measured.class::cast)
        .toList();
  }

  /** Whether any direction is a measured response. */
  boolean measured() {
    return parts.stream().flatMap(List::stream).anyMatch(Measured.class::isInstance);
  }

  /** Whether a frequency lies outside the usable band of some measured response. */
  boolean outsideBand(double hz) {
    return parts.stream()
        .flatMap(List::stream)
        .filter(Measured.class::isInstance)
        .map(Measured.class::cast)
        .anyMatch(m -> hz < m.lowHz || hz > m.highHz);
  }

  /** Distance between measured lines at a frequency, Hz; NaN if nothing is measured there. */
  double lineSpacingHz(double hz) {
    double spacing = Double.NaN;
    for (int d = XX; d <= XY; d++) {
      for (Measured one : measured(d)) {
        if (hz >= one.lowHz && hz <= one.highHz) {
          int i =
              Math.max(1, Math.min(one.response.firstLineAtOrAbove(hz), one.response.lines() - 1));
          double here = one.response.frequencyHz(i) - one.response.frequencyHz(i - 1);
          spacing = here > spacing || Double.isNaN(spacing) ? here : spacing;
        }
      }
    }
    return spacing;
  }

  /**
   * Rising frequencies, Hz, between which the receptances change little; empty if nothing gives.
   */
  double[] knotsHz() {
    return knotsHz.clone();
  }

  /** Frequency above which everything is quiet, Hz; 0 if nothing gives. */
  double topHz() {
    return knotsHz.length == 0 ? 0 : knotsHz[knotsHz.length - 1];
  }

  /**
   * Receptances at a frequency.
   *
   * @param hz frequency, Hz, 0 or more
   * @param into xx, yy and xy, each real and imaginary part, m/N
   * @param scratch two places to work in
   */
  void at(double hz, double[] into, double[] scratch) {
    for (int d = 0; d < flat.length; d++) {
      double re = 0;
      double im = 0;
      for (Receptance one : flat[d]) {
        one.at(hz, scratch);
        re += scratch[0];
        im += scratch[1];
      }
      into[2 * d] = re;
      into[2 * d + 1] = im;
    }
  }

  /**
   * Every mode's neighbourhood with a tenth of a radian of phase to a step; every measured line.
   */
  private double[] fine() {
    List<Double> all = new ArrayList<>();
    double top = modes.stream().mapToDouble(m -> 3 * m.frequencyHz()).max().orElse(0);
    for (Mode mode : modes) {
      double fn = mode.frequencyHz();
      double unit = mode.dampingRatio() * fn;
      all.add(fn);
      double away = 0;
      for (int i = 1; away < Math.max(fn, top - fn); i++) {
        away = unit * Math.sinh(i * PHASE_STEP_RAD);
        all.add(fn - away);
        all.add(fn + away);
      }
    }
    for (int d = XX; d <= XY; d++) {
      for (Measured one : measured(d)) {
        top = Math.max(top, one.highHz);
        for (double hz : one.response.frequencies()) {
          if (hz >= one.lowHz && hz <= one.highHz) {
            all.add(hz);
          }
        }
      }
    }
    double end = top;
    return all.stream().mapToDouble(f -> f).filter(f -> f > 0 && f <= end).sorted().toArray();
  }

  /**
   * Leaves out frequencies at which the receptances have changed little since the one before, and
   * those from which on they are a few hundredths of the largest.
   */
  private double[] thinned(double[] fine) {
    double[][] values = new double[fine.length][];
    double[] scratch = new double[2];
    double largest = 0;
    for (int i = 0; i < fine.length; i++) {
      values[i] = new double[ROOM];
      at(fine[i], values[i], scratch);
      largest = Math.max(largest, size(values[i]));
    }
    double[] kept = new double[fine.length];
    int count = 0;
    int before = -1;
    int last = fine.length - 1;
    while (last > 0 && size(values[last]) < QUIET * largest) {
      last--;
    }
    for (int i = 0; i <= last; i++) {
      boolean far = before < 0 || i == last;
      if (!far) {
        double change = 0;
        for (int k = 0; k < ROOM; k++) {
          double d = values[i][k] - values[before][k];
          change += d * d;
        }
        double here = Math.max(size(values[i]), QUIET * largest);
        far = Math.sqrt(change) > KNOT_STEP * here;
      }
      if (far) {
        kept[count++] = fine[i];
        before = i;
      }
    }
    return Arrays.copyOf(kept, count);
  }

  private static double size(double[] value) {
    double sum = 0;
    for (double v : value) {
      sum += v * v;
    }
    return Math.sqrt(sum);
  }
}
