package ringtrue.library;

import java.util.List;
import ringtrue.planning.Machine;
import ringtrue.planning.PlanSettings;
import ringtrue.stability.CuttingProcess;

/**
 * A cut as its file describes it.
 *
 * @param name what the user calls it
 * @param process the cut itself, dynamics and coefficients included
 * @param machine the machine's limits; what the file does not say is unknown
 * @param planSettings cutter material, tolerance at the wall and turned diameter, where given
 * @param material the material's name, or a description of the coefficients given
 * @param materialSource where the coefficients come from
 * @param dynamicsSource what the dynamics are, for captions
 * @param speedShiftSigma one-sigma relative shift of all natural frequencies between standstill and
 *     the machine's highest speed, a fraction; NaN where not given
 * @param remarks what was assumed while reading
 */
public record Cut(
    String name,
    CuttingProcess process,
    Machine machine,
    PlanSettings planSettings,
    String material,
    String materialSource,
    String dynamicsSource,
    double speedShiftSigma,
    List<String> remarks) {

  public Cut {
    remarks = List.copyOf(remarks);
  }

  /** The same under another name. */
  public Cut named(String other) {
    return new Cut(
        other,
        process,
        machine,
        planSettings,
        material,
        materialSource,
        dynamicsSource,
        speedShiftSigma,
        remarks);
  }
}
