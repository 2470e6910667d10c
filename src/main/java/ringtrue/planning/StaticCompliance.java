package ringtrue.planning;

import java.util.List;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.ModeTable;
import ringtrue.dynamics.OppositeMode;
import ringtrue.dynamics.Receptance;
import ringtrue.dynamics.Residual;

/**
 * How much a direction gives under a steady force: modes add 1/k and the residual its compliance; a
 * measured response counts with the real part at the low end of its band, a table of modes over
 * spindle speed with its modes at standstill.
 *
 * @param metrePerNewton sum over tool and workpiece, m/N
 * @param measured whether a measured response was used, whose low end is not quite static
 */
record StaticCompliance(double metrePerNewton, boolean measured) {

  /**
   * Sum over what gives in one direction; nothing gives in an empty list. May be negative across.
   */
  static StaticCompliance of(List<Receptance> direction) {
    double sum = 0;
    boolean measured = false;
    for (Receptance part : direction) {
      sum += of(part);
      measured |= part instanceof FrequencyResponse;
    }
    return new StaticCompliance(sum, measured);
  }

  private static double of(Receptance part) {
    if (part instanceof ModalModel model) {
      // lowerPerKg stands for modes below the band: at rest it would be an infinite compliance
      return model.residual().upperMPerN()
          + model.modes().stream().mapToDouble(mode -> 1 / mode.stiffnessNPerM()).sum();
    }
    if (part instanceof Mode mode) {
      return 1 / mode.stiffnessNPerM();
    }
    if (part instanceof OppositeMode opposite) {
      return -1 / opposite.mode().stiffnessNPerM();
    }
    if (part instanceof ModeTable table) {
      return of(table.atSpeed(0));
    }
    if (part instanceof Residual residual) {
      return residual.upperMPerN();
    }
    if (part instanceof FrequencyResponse response) {
      return lowEnd(response);
    }
    double[] value = new double[2];
    part.at(0.01, value);
    return value[0];
  }

  /** Mean real part over the lowest usable third of an octave, three lines at least. */
  private static double lowEnd(FrequencyResponse response) {
    double low = Math.max(response.frequencyHz(0), response.origin().bandLowHz());
    int first = Math.min(response.firstLineAtOrAbove(low), response.lines() - 1);
    int last = response.firstLineAtOrAbove(low * Math.cbrt(2));
    last = Math.min(response.lines(), Math.max(last, first + 3));
    double sum = 0;
    for (int i = first; i < last; i++) {
      sum += response.real(i);
    }
    return sum / (last - first);
  }
}
