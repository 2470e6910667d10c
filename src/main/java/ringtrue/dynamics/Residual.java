package ringtrue.dynamics;

/**
 * What modes outside the band leave inside it: {@code upper − lower/(2πf)²}.
 *
 * @param upperMPerN compliance of the modes above the band, m/N
 * @param lowerPerKg inverse mass of the modes below the band, 1/kg
 */
public record Residual(double upperMPerN, double lowerPerKg) implements Receptance {

  /** Nothing outside the band. */
  public static final Residual NONE = new Residual(0, 0);

  public Residual {
    if (!Double.isFinite(upperMPerN) || !Double.isFinite(lowerPerKg)) {
      throw new IllegalArgumentException(
          "residual terms must be finite, were " + upperMPerN + " m/N and " + lowerPerKg + " 1/kg");
    }
  }

  @Override
  public void at(double frequencyHz, double[] into) {
    double omega = 2 * Math.PI * frequencyHz;
    into[0] = lowerPerKg == 0 ? upperMPerN : upperMPerN - lowerPerKg / (omega * omega);
    into[1] = 0;
  }
}
