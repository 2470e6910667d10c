package ringtrue.stability;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Receptance;
import ringtrue.dynamics.Residual;
import ringtrue.units.BadInputException;

/**
 * Where chatter frequencies are looked for, and how finely.
 *
 * <p>For modes the band is complete: it begins at (practically) zero and ends where the loop is too
 * weak for any depth up to the largest one, |λ| &lt; 1/(2b). Nodes lie so that the phase of a mode
 * turns by a tenth of a radian at most from one to the next: with f = fn + ζ fn sinh u the phase is
 * the Gudermannian of u.
 *
 * @param nodesHz rising frequencies, Hz; empty if nothing gives
 * @param modes all modes in x and in y if everything is modal without residual terms; otherwise
 *     null
 * @param remarks what a reader should know about the band
 */
record SearchBand(double[] nodesHz, ModalParts modes, List<String> remarks) {
  private static final double PHASE_STEP_RAD = 0.1;

  /** Modes of both directions. */
  record ModalParts(List<Mode> x, List<Mode> y) {}

  /**
   * @param process the cut; its receptances are looked at
   * @param loops loops that the band has to serve
   * @param largestDepthM largest depth of interest, m
   */
  static SearchBand of(CuttingProcess process, List<RegenerativeLoop> loops, double largestDepthM) {
    Parts x = new Parts("x");
    Parts y = new Parts("y");
    process.x().forEach(x::take);
    if (process.operation() == CuttingProcess.Operation.MILLING) {
      process.y().forEach(y::take);
    }
    List<Mode> modes = new ArrayList<>(x.modes);
    modes.addAll(y.modes);
    List<String> remarks = new ArrayList<>(x.remarks);
    remarks.addAll(y.remarks);
    List<FrequencyResponse> measured = new ArrayList<>(x.measured);
    measured.addAll(y.measured);
    boolean lower = x.lower || y.lower;
    boolean upper = x.upper || y.upper;
    boolean modal = measured.isEmpty() && !lower && !upper;
    ModalParts parts = modal ? new ModalParts(List.copyOf(x.modes), List.copyOf(y.modes)) : null;
    if (modes.isEmpty() && measured.isEmpty() && !lower && !upper) {
      return new SearchBand(new double[0], parts, List.copyOf(remarks));
    }

    double lowestMode = modes.stream().mapToDouble(Mode::frequencyHz).min().orElse(1);
    double highestMode = modes.stream().mapToDouble(Mode::frequencyHz).max().orElse(10_000);
    double low = lower ? 0.5 * lowestMode : 1e-6 * lowestMode;
    double high = 1.5 * highestMode;
    if (!upper) {
      double[] into = new double[RegenerativeLoop.ROOM];
      while (high < 1e4 * highestMode && strongest(loops, high, into) * 2 * largestDepthM >= 1) {
        high *= 1.25;
      }
    }
    if (!measured.isEmpty()) {
      low = modes.isEmpty() || !lower ? 0 : low;
      high = Double.POSITIVE_INFINITY;
      for (FrequencyResponse one : measured) {
        low = Math.max(low, Math.max(one.origin().bandLowHz(), one.frequencyHz(0)));
        high =
            Math.min(high, Math.min(one.origin().bandHighHz(), one.frequencyHz(one.lines() - 1)));
      }
      if (!(high > low)) {
        throw new BadInputException(
            "dynamics: the usable bands of the measured responses have nothing in common; give"
                + " responses that cover the same frequencies");
      }
      remarks.add(
          String.format(
              Locale.ROOT,
              "chatter was looked for between %s and %s Hz only, where the measured responses"
                  + " are usable",
              Plain.number(low),
              Plain.number(high)));
    } else if (lower || upper) {
      remarks.add(
          "chatter was looked for "
              + (low < 1 ? "up to " : "between " + Plain.number(low) + " and ")
              + Plain.number(high)
              + " Hz only: the residual terms of the modes hold near the modes");
    }
    return new SearchBand(nodes(modes, measured, low, high), parts, List.copyOf(remarks));
  }

  private static double strongest(List<RegenerativeLoop> loops, double hz, double[] into) {
    double most = 0;
    for (RegenerativeLoop loop : loops) {
      loop.at(hz, into);
      most = Math.max(most, Math.hypot(into[0], into[1]));
    }
    return most;
  }

  private static double[] nodes(
      List<Mode> modes, List<FrequencyResponse> measured, double low, double high) {
    List<Double> all = new ArrayList<>(List.of(low, high));
    for (Mode mode : modes) {
      double fn = mode.frequencyHz();
      double unit = mode.dampingRatio() * fn;
      addAround(all, fn, unit, low, high);
    }
    if (modes.isEmpty() && measured.isEmpty()) {
      for (double f = low; f < high; f *= 1.05) {
        all.add(f);
      }
    }
    for (FrequencyResponse one : measured) {
      for (int i = 0; i < one.lines(); i++) {
        all.add(one.frequencyHz(i));
      }
    }
    double[] sorted =
        all.stream().mapToDouble(f -> f).filter(f -> f >= low && f <= high).sorted().toArray();
    int kept = 0;
    for (double f : sorted) {
      if (kept == 0 || f > sorted[kept - 1] * (1 + 1e-12)) {
        sorted[kept++] = f;
      }
    }
    return Arrays.copyOf(sorted, kept);
  }

  private static void addAround(List<Double> all, double fn, double unit, double low, double high) {
    all.add(fn);
    for (int i = 1; ; i++) {
      double away = unit * Math.sinh(i * PHASE_STEP_RAD);
      if (fn - away > low) {
        all.add(fn - away);
      }
      if (fn + away < high) {
        all.add(fn + away);
      }
      if (fn - away <= low && fn + away >= high) {
        return;
      }
    }
  }

  /** What one direction is made of. */
  private static final class Parts {
    private final String axis;
    private final List<Mode> modes = new ArrayList<>();
    private final List<FrequencyResponse> measured = new ArrayList<>();
    private final List<String> remarks = new ArrayList<>();
    private boolean lower;
    private boolean upper;

    Parts(String axis) {
      this.axis = axis;
    }

    void take(Receptance one) {
      if (one instanceof Mode mode) {
        modes.add(mode);
      } else if (one instanceof ModalModel model) {
        modes.addAll(model.modes());
        take(model.residual());
      } else if (one instanceof Residual residual) {
        lower |= residual.lowerPerKg() != 0;
        upper |= residual.upperMPerN() != 0;
      } else if (one instanceof FrequencyResponse response) {
        measured.add(response);
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
  }
}
