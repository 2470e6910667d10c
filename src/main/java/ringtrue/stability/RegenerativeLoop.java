package ringtrue.stability;

import java.util.List;
import ringtrue.dynamics.Receptance;

/**
 * What one pass of the chip does to the vibration before the delay comes in: the eigenvalues λ of
 * {@code scale · G(f) a}, in 1/m, so that the cut is at its limit where {@code 1 = b λ(f) R(f)}
 * with {@code R} the mean over the flutes of {@code 1 − e^(−iωτ)}.
 *
 * <p>Since R lies in the disc |R − 1| ≤ 1 for every set of delays, no depth below {@code 1/(2 max
 * Re λ)} is ever at a limit; with one delay the limit is exactly {@code b = 1/(2 Re λ)} (for a tool
 * of N even flutes the form of Altintas & Budak 1995, eq. for a_lim).
 */
final class RegenerativeLoop {
  /** Length of the arrays that {@link #at} works in: two eigenvalues and its own scratch space. */
  static final int ROOM = 6;

  private final Receptance[] x;
  private final Receptance[] y;
  private final DirectionalFactors factors;
  private final double scalePa;

  /**
   * @param x compliances along x, which add
   * @param y compliances along y
   * @param factors directional factors, dimensionless
   * @param scalePa what turns them into a force per depth and displacement, Pa
   */
  RegenerativeLoop(
      List<Receptance> x, List<Receptance> y, DirectionalFactors factors, double scalePa) {
    this.x = x.toArray(Receptance[]::new);
    this.y = y.toArray(Receptance[]::new);
    this.factors = factors;
    this.scalePa = scalePa;
  }

  /** Milling with averaged factors: N Ktc/(4π) times the averaged factors. */
  static RegenerativeLoop milling(CuttingProcess process, Engagement engagement) {
    CuttingCoefficients coefficients = process.coefficients();
    return new RegenerativeLoop(
        process.x(),
        process.y(),
        DirectionalFactors.averaged(
            engagement.entryRad(),
            engagement.exitRad(),
            coefficients.krcPa() / coefficients.ktcPa()),
        coefficients.ktcPa() * process.tool().orElseThrow().flutes() / (4 * Math.PI));
  }

  /**
   * Turning: the force that counts is {@code b h cos α (krc cos α + ktc sin α)} against the motion
   * in x (Tlusty & Poláček 1963).
   */
  static RegenerativeLoop turning(CuttingProcess process) {
    double cos = Math.cos(process.modeAngleRad());
    double sin = Math.sin(process.modeAngleRad());
    CuttingCoefficients c = process.coefficients();
    return new RegenerativeLoop(
        process.x(),
        List.of(),
        new DirectionalFactors(-1, 0, 0, 0),
        cos * (c.krcPa() * cos + c.ktcPa() * sin));
  }

  DirectionalFactors factors() {
    return factors;
  }

  double scalePa() {
    return scalePa;
  }

  /**
   * Both eigenvalues at a frequency, the larger one first.
   *
   * @param hz frequency, Hz
   * @param into room for {@link #ROOM} numbers: Re λ₁, Im λ₁, Re λ₂, Im λ₂ in 1/m, scratch
   */
  void at(double hz, double[] into) {
    sum(x, hz, into);
    double xRe = into[0];
    double xIm = into[1];
    sum(y, hz, into);
    eigenvalues(xRe, xIm, into[0], into[1], into);
  }

  /** Receptances of both directions at a frequency: Re Gx, Im Gx, Re Gy, Im Gy, m/N. */
  void receptances(double hz, double[] into) {
    sum(x, hz, into);
    double xRe = into[0];
    double xIm = into[1];
    sum(y, hz, into);
    into[2] = into[0];
    into[3] = into[1];
    into[0] = xRe;
    into[1] = xIm;
  }

  private static void sum(Receptance[] all, double hz, double[] into) {
    double re = 0;
    double im = 0;
    for (Receptance one : all) {
      one.at(hz, into);
      re += into[0];
      im += into[1];
    }
    into[0] = re;
    into[1] = im;
  }

  /** Eigenvalues of scale·G·a from the receptances, the larger first. */
  void eigenvalues(double xRe, double xIm, double yRe, double yIm, double[] into) {
    double halfRe = 0.5 * scalePa * (factors.axx() * xRe + factors.ayy() * yRe);
    double halfIm = 0.5 * scalePa * (factors.axx() * xIm + factors.ayy() * yIm);
    double d = scalePa * scalePa * factors.determinant();
    double detRe = d * (xRe * yRe - xIm * yIm);
    double detIm = d * (xRe * yIm + xIm * yRe);
    double discRe = halfRe * halfRe - halfIm * halfIm - detRe;
    double discIm = 2 * halfRe * halfIm - detIm;
    double size = Math.sqrt(discRe * discRe + discIm * discIm);
    double rootRe = Math.sqrt(0.5 * (size + Math.abs(discRe)));
    double rootIm = rootRe == 0 ? 0 : 0.5 * discIm / rootRe;
    if (discRe < 0) {
      double swap = rootRe;
      rootRe = Math.abs(rootIm);
      rootIm = Math.copySign(swap, discIm);
    }
    if (halfRe * rootRe + halfIm * rootIm < 0) {
      rootRe = -rootRe;
      rootIm = -rootIm;
    }
    // The larger eigenvalue adds without cancelling; the smaller one is the determinant over it.
    double re = halfRe + rootRe;
    double im = halfIm + rootIm;
    double square = re * re + im * im;
    into[0] = re;
    into[1] = im;
    into[2] = square == 0 ? 0 : (detRe * re + detIm * im) / square;
    into[3] = square == 0 ? 0 : (detIm * re - detRe * im) / square;
  }
}
