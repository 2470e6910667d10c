package ringtrue.stability;

import java.util.List;
import ringtrue.dynamics.Mode;
import ringtrue.stability.Engagement.Direction;

/** One-mode milling cuts of the literature. */
final class PublishedCuts {
  private PublishedCuts() {}

  /**
   * The one-mode benchmark of Bayly et al. (2003, J. Manuf. Sci. Eng. 125, 220–225), Insperger &
   * Stépán (2004, Int. J. Numer. Meth. Engng 61, 117–141) and Ding et al. (2010, Int. J. Mach.
   * Tools Manuf. 50, 502–509): m = 0.03993 kg, fn = 922 Hz, ζ = 0.011 along the feed, two straight
   * teeth, Kt = 600 MPa, Kn = 200 MPa. Inputs from memory.
   */
  static CuttingProcess benchmark(Direction direction, double radialFraction) {
    return Cuts.milling(
        Cuts.tool(2, 0.01),
        direction,
        radialFraction,
        1e-3,
        600e6,
        200e6,
        List.of(Mode.of(922, 0.011, stiffness(0.03993, 922))),
        List.of());
  }

  /**
   * The lone flexure of Mann et al. (2003, J. Manuf. Sci. Eng. and Nonlinear Dynamics 2005): fn =
   * 146.5 Hz, ζ = 0.0032, m = 2.573 kg along the feed, one straight tooth, Kt = 550 MPa, Kn = 200
   * MPa, a tenth of the diameter. Inputs from memory.
   */
  static CuttingProcess flexure(Direction direction) {
    return Cuts.milling(
        Cuts.tool(1, 0.01905),
        direction,
        0.1,
        1e-3,
        550e6,
        200e6,
        List.of(Mode.of(146.5, 0.0032, stiffness(2.573, 146.5))),
        List.of());
  }

  private static double stiffness(double massKg, double hz) {
    double omega = 2 * Math.PI * hz;
    return massKg * omega * omega;
  }
}
