package ringtrue.fitting;

import java.util.List;
import java.util.Optional;
import ringtrue.dynamics.OppositeMode;
import ringtrue.dynamics.Receptance;

/**
 * What a fit of several responses of one structure found.
 *
 * @param modes natural frequencies and damping ratios that all responses share, by rising
 *     frequency; empty where the responses do not agree on them
 * @param responses the modes of each response, in the order in which they were given
 * @param isShared whether the responses share frequencies and damping ratios; otherwise each has
 *     its own, and a remark says why
 * @param convergence how the joint refinement ended
 * @param remarks sentences that a reader of the modes should know
 */
public record GlobalModes(
    List<SharedMode> modes,
    List<OneResponse> responses,
    boolean isShared,
    Convergence convergence,
    List<String> remarks) {

  public GlobalModes {
    modes = List.copyOf(modes);
    responses = List.copyOf(responses);
    remarks = List.copyOf(remarks);
  }

  /**
   * What all responses have in common about a mode.
   *
   * @param frequencyHz undamped natural frequency, Hz
   * @param frequencyHzSigma one-sigma uncertainty, Hz; NaN where unknown
   * @param dampingRatio damping ratio, a fraction
   * @param dampingRatioSigma one-sigma uncertainty, a fraction; NaN where unknown
   */
  public record SharedMode(
      double frequencyHz, double frequencyHzSigma, double dampingRatio, double dampingRatioSigma) {}

  /**
   * The modes of one response. One that it does not see is left out.
   *
   * @param name what to call it, as in {@code "response 2 (xy, tool tip)"}
   * @param isDrivingPoint whether blow and sensor have the same point and direction, so that every
   *     stiffness is positive
   * @param fitted modes with positive stiffness, residual, noise and remarks
   * @param opposite modes that contribute with a minus sign; only a cross response has any
   * @param shares for each shared mode in turn, what this response has of it; empty where it does
   *     not see it or nothing is shared
   */
  public record OneResponse(
      String name,
      boolean isDrivingPoint,
      FittedModes fitted,
      List<OppositeMode> opposite,
      List<Optional<Share>> shares) {

    public OneResponse {
      opposite = List.copyOf(opposite);
      shares = List.copyOf(shares);
    }

    /** All modes and the residual terms together. */
    public Receptance receptance() {
      return (frequencyHz, into) -> {
        fitted.model().at(frequencyHz, into);
        double re = into[0];
        double im = into[1];
        for (OppositeMode mode : opposite) {
          mode.at(frequencyHz, into);
          re += into[0];
          im += into[1];
        }
        into[0] = re;
        into[1] = im;
      };
    }
  }

  /**
   * A mode in one response.
   *
   * @param complianceMPerN its static compliance 1/k, m/N; negative where it contributes with a
   *     minus sign
   * @param complianceMPerNSigma one-sigma uncertainty, m/N; NaN where unknown
   */
  public record Share(double complianceMPerN, double complianceMPerNSigma) {}
}
