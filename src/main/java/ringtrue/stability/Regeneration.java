package ringtrue.stability;

import java.util.Locale;
import org.apache.commons.math3.complex.Complex;
import ringtrue.units.BadInputException;

/**
 * The delays between one cut and the next at one speed. The regenerative factor is the mean over
 * the flutes of {@code 1 − e^(−iωτ)}; where helices differ, also the mean along the edge: a delay
 * that changes evenly by δ along the depth gives {@code e^(−iωτ) sin(ωδ/2)/(ωδ/2)} with τ at half
 * depth.
 *
 * <p>Process damping in turning adds {@code iβωT}: its force C b v/V has V = πD/T, so that beside
 * {@code Ks b (1 − e^(−iωT))} stands {@code i ω C b cos²α/V = Ks b · iβωT} with {@code β = C
 * cos²α/(πD Ks)}, the same number at every speed.
 */
final class Regeneration {
  private final double[] delayS;
  private final double[] spreadS;
  private final double turnS;
  private final double dampingS;

  private Regeneration(double[] delayS, double[] spreadS, double turnS, double dampingS) {
    this.delayS = delayS;
    this.spreadS = spreadS;
    this.turnS = turnS;
    this.dampingS = dampingS;
  }

  /**
   * One delay of a spindle turn.
   *
   * @param dampingNumber process damping β, dimensionless; 0 for none
   */
  static Regeneration turning(double speedRpm, double dampingNumber) {
    double turn = 60 / speedRpm;
    return new Regeneration(new double[] {turn}, new double[1], turn, dampingNumber * turn);
  }

  /**
   * @param tool pitch and helices
   * @param axialM axial depth, m; counts only where helices differ
   * @param speedRpm spindle speed, rpm
   */
  static Regeneration milling(Tool tool, double axialM, double speedRpm) {
    double turn = 60 / speedRpm;
    if (tool.evenPitch() && tool.equalHelix()) {
      return new Regeneration(new double[] {turn / tool.flutes()}, new double[1], turn, 0);
    }
    int n = tool.flutes();
    double[] delay = new double[n];
    double[] spread = new double[n];
    double sum = tool.pitchRad().stream().mapToDouble(p -> p).sum();
    for (int j = 0; j < n; j++) {
      double lag = tool.equalHelix() ? 0 : lagPerDepth(tool, j) * axialM;
      delay[j] = turn * (tool.pitchRad().get(j) + 0.5 * lag) / sum;
      spread[j] = turn * Math.abs(lag) / sum;
      if (!(delay[j] - 0.5 * spread[j] > 0)) {
        throw new BadInputException(
            String.format(
                Locale.ROOT,
                "tool: flutes %d and %d meet within an axial depth of %s; give a depth below"
                    + " %s or other helix angles",
                j + 1,
                (j + 1) % n + 1,
                Plain.mm(axialM),
                Plain.mm(deepest(tool))));
      }
    }
    return new Regeneration(delay, spread, turn, 0);
  }

  /** Change of the angle between flute j and the next for each metre of depth, rad/m. */
  private static double lagPerDepth(Tool tool, int j) {
    int next = (j + 1) % tool.flutes();
    return 2
        * (Math.tan(tool.helixRad().get(next)) - Math.tan(tool.helixRad().get(j)))
        / tool.diameterM();
  }

  /** Depth at which two flutes of different helix meet, m; infinite if they never do. */
  static double deepest(Tool tool) {
    double least = Double.POSITIVE_INFINITY;
    if (!tool.equalHelix()) {
      for (int j = 0; j < tool.flutes(); j++) {
        double lag = lagPerDepth(tool, j);
        if (lag < 0) {
          least = Math.min(least, -tool.pitchRad().get(j) / lag);
        }
      }
    }
    return least;
  }

  /** Whether there is one delay only, the same for every flute, and nothing beside it. */
  boolean single() {
    return oneDelay() && dampingS == 0;
  }

  private boolean oneDelay() {
    return delayS.length == 1 && spreadS[0] == 0;
  }

  /** Whole waves between one cut and the next at a frequency; −1 if there are several delays. */
  int lobe(double hz) {
    return oneDelay() ? (int) Math.floor(hz * delayS[0]) : -1;
  }

  /** A bound of the regenerative factor's size on and to the right of Re s = σ up to |s|. */
  double largest(double sigma, double size) {
    double exponential = Math.exp(Math.min(500, -sigma * longestS()));
    return 1 + exponential + Math.abs(dampingS) * size;
  }

  /** The delay if there is one only; the longest otherwise, s. */
  double longestS() {
    double most = 0;
    for (int j = 0; j < delayS.length; j++) {
      most = Math.max(most, delayS[j] + 0.5 * spreadS[j]);
    }
    return most;
  }

  /** Period that growth is given for: tooth passing with one delay, a spindle turn otherwise, s. */
  double growthPeriodS() {
    return oneDelay() ? delayS[0] : turnS;
  }

  /**
   * Regenerative factor on the imaginary axis.
   *
   * @param hz frequency, Hz
   * @param into real and imaginary part
   */
  void at(double hz, double[] into) {
    double omega = 2 * Math.PI * hz;
    double re = 0;
    double im = 0;
    for (int j = 0; j < delayS.length; j++) {
      double half = 0.5 * omega * spreadS[j];
      double mean = half < 1e-4 ? 1 - half * half / 6 : Math.sin(half) / half;
      re += 1 - mean * Math.cos(omega * delayS[j]);
      im += mean * Math.sin(omega * delayS[j]);
    }
    into[0] = re / delayS.length;
    into[1] = im / delayS.length + dampingS * omega;
  }

  /**
   * Regenerative factor anywhere in the complex plane, with sinh(sδ/2)/(sδ/2) for the spread.
   *
   * @param sigma real part of s, 1/s
   * @param omega imaginary part of s, rad/s
   * @param into real and imaginary part
   */
  void at(double sigma, double omega, double[] into) {
    double re = delayS.length;
    double im = 0;
    for (int j = 0; j < delayS.length; j++) {
      double size = Math.exp(-sigma * delayS[j]);
      double cos = size * Math.cos(omega * delayS[j]);
      double sin = -size * Math.sin(omega * delayS[j]);
      if (spreadS[j] == 0) {
        re -= cos;
        im -= sin;
      } else {
        Complex half = new Complex(0.5 * spreadS[j] * sigma, 0.5 * spreadS[j] * omega);
        Complex mean =
            half.abs() < 1e-4 ? half.multiply(half).divide(6).add(1) : half.sinh().divide(half);
        re -= cos * mean.getReal() - sin * mean.getImaginary();
        im -= cos * mean.getImaginary() + sin * mean.getReal();
      }
    }
    into[0] = re / delayS.length + dampingS * sigma;
    into[1] = im / delayS.length + dampingS * omega;
  }
}
