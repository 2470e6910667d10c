package ringtrue.fitting;

import java.util.List;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;

/**
 * What a fit found.
 *
 * @param model modes with their sigmas, and residual terms
 * @param bandLowHz lower end of the fitted band, Hz
 * @param bandHighHz upper end of the fitted band, Hz
 * @param fitErrorRelative root of Σ|G − model|² / Σ|G|² over the band, both as compared
 * @param remarks sentences that a reader of the modes should know
 * @param stabilisation poles over rising model orders from which the fit started
 * @param convergence how the last refinement ended
 * @param noise noise of the lines in the band
 */
public record FittedModes(
    ModalModel model,
    double bandLowHz,
    double bandHighHz,
    double fitErrorRelative,
    List<String> remarks,
    Stabilisation stabilisation,
    Convergence convergence,
    LineNoise noise) {

  public FittedModes {
    remarks = List.copyOf(remarks);
  }

  /**
   * The same with an error of the measurement's scale that all modes share, as from a calibration.
   *
   * @param relative one-sigma error, a fraction; each stiffness carries it besides its own
   */
  public FittedModes withGainSigma(double relative) {
    if (relative == 0) {
      return this;
    }
    List<Mode> wider =
        model.modes().stream()
            .map(
                m ->
                    new Mode(
                        m.frequencyHz(),
                        m.dampingRatio(),
                        m.stiffnessNPerM(),
                        m.frequencyHzSigma(),
                        m.dampingRatioSigma(),
                        Math.hypot(m.stiffnessNPerMSigma(), relative * m.stiffnessNPerM()),
                        m.phaseDeg()))
            .toList();
    return withModel(new ModalModel(wider, model.residual()));
  }

  /**
   * Whether a mode is doubtful: its stiffness is hardly known, or its phase at resonance is far
   * from that of a mode at the driving point.
   */
  public static boolean isDoubtful(Mode mode) {
    return FitRemarks.isDoubtful(mode);
  }

  /** The same with another model, for uncertainties that the fit could not know of. */
  public FittedModes withModel(ModalModel other) {
    return new FittedModes(
        other, bandLowHz, bandHighHz, fitErrorRelative, remarks, stabilisation, convergence, noise);
  }
}
