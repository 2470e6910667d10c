package ringtrue.fitting;

import java.util.List;

/**
 * What a fit to free decays found.
 *
 * @param modes by rising frequency
 * @param taps how the modes look in each tap, in the order of the decays
 * @param bandLowHz lower end of the band looked at, Hz
 * @param bandHighHz upper end of it, Hz
 * @param skippedS how long after each onset the fitted decay begins, s
 * @param fitErrorRelative root of Σ|Y − model|²/Σ|Y|² over the fitted lines, noise included; 0
 *     without modes
 * @param remarks sentences that a reader of the modes should know
 */
public record DecayModes(
    List<DecayMode> modes,
    List<TapFit> taps,
    double bandLowHz,
    double bandHighHz,
    double skippedS,
    double fitErrorRelative,
    List<String> remarks) {

  /**
   * One tap. Its decay is {@code Σ amplitude · e^(−ζ ωn t) cos(ωd t + phase)} from the start of the
   * fit on, with the frequencies and damping ratios that all taps share.
   *
   * @param frequencyHz natural frequency of each mode from this tap alone, Hz
   * @param dampingRatio damping ratio of each mode from this tap alone
   * @param amplitude of each mode where the fit begins, SI unit of the response
   * @param phaseRad of each mode where the fit begins
   * @param misfit mean square misfit over that expected of the noise
   * @param complaint why the tap was left out of the fit; empty if it was not
   */
  public record TapFit(
      List<Double> frequencyHz,
      List<Double> dampingRatio,
      List<Double> amplitude,
      List<Double> phaseRad,
      double misfit,
      String complaint) {
    public TapFit {
      frequencyHz = List.copyOf(frequencyHz);
      dampingRatio = List.copyOf(dampingRatio);
      amplitude = List.copyOf(amplitude);
      phaseRad = List.copyOf(phaseRad);
    }
  }

  public DecayModes {
    modes = List.copyOf(modes);
    taps = List.copyOf(taps);
    remarks = List.copyOf(remarks);
  }

  /** The same with other modes and further remarks. */
  public DecayModes with(List<DecayMode> others, List<String> further) {
    List<String> all = new java.util.ArrayList<>(remarks);
    all.addAll(further);
    return new DecayModes(others, taps, bandLowHz, bandHighHz, skippedS, fitErrorRelative, all);
  }
}
