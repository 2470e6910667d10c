package ringtrue.stability;

import java.util.ArrayList;
import java.util.List;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.OppositeMode;
import ringtrue.dynamics.Receptance;
import ringtrue.dynamics.Residual;
import ringtrue.units.BadInputException;

/**
 * Tool and workpiece as vibrating coordinates. Each is one complex number with {@code ċ = λ c + g
 * F}, {@code q = Im c}, λ = −ζω + iω_d and g = ω²/(k ω_d): free vibration is an exponential. A
 * coordinate takes the force of one direction and moves in one direction; a mode of a cross
 * receptance is two of them.
 */
final class ModalCoordinates {
  /** Lower residual terms become a mode at this fraction of the lowest natural frequency. */
  private static final double BELOW = 0.5;

  private static final double BELOW_DAMPING = 0.7;

  /** Modes so far above all that can chatter follow the force at once. */
  private static final double FAR_ABOVE = 10;

  private final List<double[]> rows = new ArrayList<>();
  private final double[][] instant = new double[2][2];
  private double[] omega;
  private double[] lambdaRe;
  private double[] lambdaIm;
  private double[] gain;
  private int[] in;
  private int[] out;
  private boolean lower;

  private ModalCoordinates() {}

  /**
   * @param process a cut, its tables of modes already read at the speed
   * @param largestM largest axial depth of interest, m
   * @throws BadInputException if a direction is a measured response
   */
  static ModalCoordinates of(CuttingProcess process, double largestM) {
    ModalCoordinates all = new ModalCoordinates();
    double lowest = lowestHz(process);
    process.x().forEach(r -> all.take(r, 0, 0, lowest));
    process.y().forEach(r -> all.take(r, 1, 1, lowest));
    for (Receptance one : process.xy()) {
      all.take(one, 0, 1, lowest);
      all.take(one, 1, 0, lowest);
    }
    all.finish(process, largestM);
    return all;
  }

  private static double lowestHz(CuttingProcess process) {
    double lowest = Double.POSITIVE_INFINITY;
    for (List<Receptance> direction : List.of(process.x(), process.y(), process.xy())) {
      for (Receptance one : direction) {
        for (Mode mode : modes(one)) {
          lowest = Math.min(lowest, mode.frequencyHz());
        }
      }
    }
    return Double.isInfinite(lowest) ? 100 : lowest;
  }

  private static List<Mode> modes(Receptance one) {
    if (one instanceof Mode mode) {
      return List.of(mode);
    }
    if (one instanceof OppositeMode opposite) {
      return List.of(opposite.mode());
    }
    return one instanceof ModalModel model ? model.modes() : List.of();
  }

  private void take(Receptance one, int outAxis, int inAxis, double lowestHz) {
    if (one instanceof Mode mode) {
      add(mode.frequencyHz(), mode.dampingRatio(), 1 / mode.stiffnessNPerM(), outAxis, inAxis);
    } else if (one instanceof OppositeMode opposite) {
      Mode mode = opposite.mode();
      add(mode.frequencyHz(), mode.dampingRatio(), -1 / mode.stiffnessNPerM(), outAxis, inAxis);
    } else if (one instanceof ModalModel model) {
      model.modes().forEach(mode -> take(mode, outAxis, inAxis, lowestHz));
      take(model.residual(), outAxis, inAxis, lowestHz);
    } else if (one instanceof Residual residual) {
      instant[outAxis][inAxis] += residual.upperMPerN();
      if (residual.lowerPerKg() != 0) {
        lower = true;
        double below = BELOW * lowestHz;
        double square = 2 * Math.PI * below * 2 * Math.PI * below;
        add(below, BELOW_DAMPING, residual.lowerPerKg() / square, outAxis, inAxis);
      }
    } else if (one instanceof FrequencyResponse) {
      throw new BadInputException(
          "method: the periodic method needs modes, not measured responses; give modes or a"
              + " measurement, or ask for the multi-frequency method");
    } else if (one != Receptance.RIGID) {
      throw new IllegalArgumentException(
          "stability needs modes or measured responses, not a " + one.getClass().getName());
    }
  }

  private void add(double hz, double damping, double compliance, int outAxis, int inAxis) {
    rows.add(new double[] {2 * Math.PI * hz, damping, compliance, outAxis, inAxis});
  }

  private void finish(CuttingProcess process, double largestM) {
    CuttingCoefficients force = process.coefficients();
    double most =
        largestM
            * process.tool().map(Tool::flutes).orElse(1)
            * Math.hypot(force.ktcPa(), force.krcPa());
    double highest = 0;
    for (double[] row : rows) {
      if (mayChatter(row, most)) {
        highest = Math.max(highest, row[0]);
      }
    }
    List<double[]> kept = new ArrayList<>();
    for (double[] row : rows) {
      if (highest > 0 && !mayChatter(row, most) && row[0] > FAR_ABOVE * highest) {
        instant[(int) row[3]][(int) row[4]] += row[2];
      } else {
        kept.add(row);
      }
    }
    int n = kept.size();
    omega = new double[n];
    lambdaRe = new double[n];
    lambdaIm = new double[n];
    gain = new double[n];
    in = new int[n];
    out = new int[n];
    for (int k = 0; k < n; k++) {
      double[] row = kept.get(k);
      omega[k] = row[0];
      lambdaRe[k] = -row[1] * row[0];
      lambdaIm[k] = row[0] * Math.sqrt(1 - row[1] * row[1]);
      gain[k] = row[2] * row[0] * row[0] / lambdaIm[k];
      out[k] = (int) row[3];
      in[k] = (int) row[4];
    }
  }

  /** A mode alone is safe where the loop gain at its resonance is below a half. */
  private static boolean mayChatter(double[] row, double stiffness) {
    return stiffness * Math.abs(row[2]) / (2 * row[1] * Math.sqrt(1 - row[1] * row[1])) > 0.5;
  }

  int size() {
    return omega.length;
  }

  /** Natural frequency, rad/s. */
  double omega(int k) {
    return omega[k];
  }

  double lambdaRe(int k) {
    return lambdaRe[k];
  }

  double lambdaIm(int k) {
    return lambdaIm[k];
  }

  double gain(int k) {
    return gain[k];
  }

  /** Direction of the force that coordinate k takes: 0 for x, 1 for y. */
  int in(int k) {
    return in[k];
  }

  /** Direction in which it moves. */
  int out(int k) {
    return out[k];
  }

  /** Compliance that follows the force at once, m/N. */
  double instant(int outAxis, int inAxis) {
    return instant[outAxis][inAxis];
  }

  /** Whether a lower residual term stands in as a mode of its own. */
  boolean lower() {
    return lower;
  }

  /** Whether a force along one axis moves something along an axis. */
  boolean couples(int outAxis, int inAxis) {
    for (int k = 0; k < size(); k++) {
      if (out[k] == outAxis && in[k] == inAxis) {
        return true;
      }
    }
    return instant[outAxis][inAxis] != 0;
  }

  /** Whether anything moves along an axis. */
  boolean moves(int axis) {
    for (int k = 0; k < size(); k++) {
      if (out[k] == axis) {
        return true;
      }
    }
    return instant[axis][0] != 0 || instant[axis][1] != 0;
  }

  /** Whether anything takes the force along an axis. */
  boolean gives(int axis) {
    for (int k = 0; k < size(); k++) {
      if (in[k] == axis) {
        return true;
      }
    }
    return instant[0][axis] != 0 || instant[1][axis] != 0;
  }

  /** Whether nothing moves at all. */
  boolean rigid() {
    return !moves(0) && !moves(1);
  }

  /**
   * Receptance at a complex frequency, without what follows at once.
   *
   * @param re real part of s, 1/s
   * @param im imaginary part
   * @param into real and imaginary part, m/N
   */
  void receptance(int outAxis, int inAxis, double re, double im, double[] into) {
    double sumRe = 0;
    double sumIm = 0;
    for (int k = 0; k < omega.length; k++) {
      if (out[k] == outAxis && in[k] == inAxis) {
        // g ω_d / ((s − λ)(s − λ*))
        double aRe = re - lambdaRe[k];
        double below = aRe * aRe - im * im + lambdaIm[k] * lambdaIm[k];
        double belowIm = 2 * aRe * im;
        double scale = gain[k] * lambdaIm[k] / (below * below + belowIm * belowIm);
        sumRe += scale * below;
        sumIm -= scale * belowIm;
      }
    }
    into[0] = sumRe;
    into[1] = sumIm;
  }

  /** Displacement per force at a real frequency, all of it. */
  void receptance(int outAxis, int inAxis, double radPerS, double[] into) {
    receptance(outAxis, inAxis, 0, radPerS, into);
    into[0] += instant[outAxis][inAxis];
  }
}
