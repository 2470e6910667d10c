package ringtrue.dynamics;

import java.util.Comparator;
import java.util.List;

/**
 * A direction of a structure as a sum of modes and a residual: {@code G(f) = Σ (1/k)/(1 − r² +
 * 2iζr) + upper − lower/(2πf)²}.
 *
 * @param modes the modes, kept sorted by natural frequency; none means rigid
 * @param residual what the modes outside the band contribute
 */
public record ModalModel(List<Mode> modes, Residual residual) implements Receptance {

  public ModalModel {
    modes = modes.stream().sorted(Comparator.comparingDouble(Mode::frequencyHz)).toList();
  }

  /** A model without residual terms. */
  public static ModalModel of(Mode... modes) {
    return new ModalModel(List.of(modes), Residual.NONE);
  }

  @Override
  public void at(double frequencyHz, double[] into) {
    residual.at(frequencyHz, into);
    double re = into[0];
    double im = into[1];
    for (Mode mode : modes) {
      mode.at(frequencyHz, into);
      re += into[0];
      im += into[1];
    }
    into[0] = re;
    into[1] = im;
  }

  /**
   * The model as a response measured with an exponential window e<sup>−t/τ</sup> shows it: {@code
   * G(iω + 1/τ)}, with every pole moved by exactly 1/τ.
   *
   * @param timeConstantS τ in s; infinite for no window, which gives this model itself
   */
  public Receptance throughWindow(double timeConstantS) {
    if (Double.isInfinite(timeConstantS)) {
      return this;
    }
    double sigma = 1 / timeConstantS;
    return (frequencyHz, into) -> {
      double omega = 2 * Math.PI * frequencyHz;
      double squareRe = sigma * sigma - omega * omega;
      double squareIm = 2 * sigma * omega;
      double size = squareRe * squareRe + squareIm * squareIm;
      double re = residual.upperMPerN() + residual.lowerPerKg() * squareRe / size;
      double im = -residual.lowerPerKg() * squareIm / size;
      for (Mode mode : modes) {
        double natural = 2 * Math.PI * mode.frequencyHz();
        double loss = 2 * mode.dampingRatio() * natural;
        double a = squareRe + loss * sigma + natural * natural;
        double b = squareIm + loss * omega;
        double scale = natural * natural / (mode.stiffnessNPerM() * (a * a + b * b));
        re += a * scale;
        im -= b * scale;
      }
      into[0] = re;
      into[1] = im;
    };
  }
}
