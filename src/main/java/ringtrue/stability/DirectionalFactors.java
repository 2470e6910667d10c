package ringtrue.stability;

/**
 * Directional factors of milling: how a change of position of the cutter becomes a change of
 * cutting force, {@code ΔF = ½ b Ktc a(φ) Δr} for one tooth at angle φ, with axial depth b and
 * {@code Δr = r(t) − r(t − T)} of tool minus workpiece.
 *
 * <p>With chip thickness {@code h = Δx sin φ + Δy cos φ}, tangential force {@code Ktc b h} against
 * the cutting motion and radial force {@code Kr Ktc b h} towards the spindle axis, {@code Fx = −Ft
 * cos φ − Fr sin φ} and {@code Fy = Ft sin φ − Fr cos φ}; angles clockwise from +y, feed along +x.
 *
 * @param axx force in x by displacement in x, dimensionless (averaged: rad)
 * @param axy force in x by displacement in y
 * @param ayx force in y by displacement in x
 * @param ayy force in y by displacement in y
 */
public record DirectionalFactors(double axx, double axy, double ayx, double ayy) {

  public DirectionalFactors {
    if (!Double.isFinite(axx)
        || !Double.isFinite(axy)
        || !Double.isFinite(ayx)
        || !Double.isFinite(ayy)) {
      throw new IllegalArgumentException("directional factors must be finite");
    }
  }

  /**
   * Factors of one tooth at one angle, twice the product of force direction and chip direction.
   *
   * @param angleRad tooth angle φ, rad
   * @param kr radial over tangential cutting coefficient, dimensionless
   */
  public static DirectionalFactors at(double angleRad, double kr) {
    double sin = Math.sin(angleRad);
    double cos = Math.cos(angleRad);
    double forceX = -cos - kr * sin;
    double forceY = sin - kr * cos;
    return new DirectionalFactors(
        2 * forceX * sin, 2 * forceX * cos, 2 * forceY * sin, 2 * forceY * cos);
  }

  /**
   * The integral of {@link #at} over the angles in the cut: the zeroth Fourier coefficient of the
   * sum over N evenly spaced teeth is N/2π times this (Altintas & Budak 1995, zeroth-order
   * approximation).
   *
   * @param entryRad angle at which a tooth enters, rad
   * @param exitRad angle at which it leaves, rad
   * @param kr radial over tangential cutting coefficient, dimensionless; may be 0 or negative
   */
  public static DirectionalFactors averaged(double entryRad, double exitRad, double kr) {
    // Differences of sin 2φ and cos 2φ as products: nothing is lost on a very thin cut.
    double width = exitRad - entryRad;
    double middle = exitRad + entryRad;
    double sines = 2 * Math.cos(middle) * Math.sin(width);
    double cosines = -2 * Math.sin(middle) * Math.sin(width);
    return new DirectionalFactors(
        0.5 * (cosines - kr * (2 * width - sines)),
        0.5 * (-sines - 2 * width + kr * cosines),
        0.5 * (-sines + 2 * width + kr * cosines),
        0.5 * (-cosines - kr * (2 * width + sines)));
  }

  /** Determinant axx·ayy − axy·ayx. */
  public double determinant() {
    return axx * ayy - axy * ayx;
  }
}
