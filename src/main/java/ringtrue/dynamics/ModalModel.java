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
}
