package ringtrue.signal;

import java.util.List;
import java.util.function.DoublePredicate;
import ringtrue.dynamics.Receptance;

/**
 * The structure of tool and work as far as the sound is judged by it.
 *
 * @param x what gives along the feed; compliances that add
 * @param y what gives across it
 * @param modesHz natural frequencies, Hz
 * @param flips whether the cut may flip at so many turns per second (Hz), as far as its lobes tell;
 *     asked only where the sound leaves it open
 */
public record HeardStructure(
    List<Receptance> x, List<Receptance> y, List<Double> modesHz, DoublePredicate flips) {
  /** Nothing is known. */
  public static final HeardStructure UNKNOWN = new HeardStructure(List.of(), List.of(), List.of());

  /** A structure without lobes. */
  public HeardStructure(List<Receptance> x, List<Receptance> y, List<Double> modesHz) {
    this(x, y, modesHz, hz -> false);
  }

  /** The same with lobes. */
  public HeardStructure withFlips(DoublePredicate byLobes) {
    return new HeardStructure(x, y, modesHz, byLobes);
  }

  /** So far below the lowest mode it is as good as at rest; further down residual terms rule. */
  private static final double AT_REST = 0.2;

  public HeardStructure {
    x = List.copyOf(x);
    y = List.copyOf(y);
    modesHz = List.copyOf(modesHz);
  }

  /** Whether there is something that gives. */
  boolean known() {
    return !x.isEmpty() || !y.isEmpty();
  }

  /** Squared compliance of both directions together, (m/N)². */
  double compliance2(double frequencyHz) {
    return squared(x, frequencyHz) + squared(y, frequencyHz);
  }

  /** The same at rest. */
  double staticCompliance2() {
    return compliance2(AT_REST * modesHz.stream().mapToDouble(f -> f).min().orElse(100));
  }

  private static double squared(List<Receptance> direction, double frequencyHz) {
    double re = 0;
    double im = 0;
    double[] g = new double[2];
    for (Receptance r : direction) {
      r.at(frequencyHz, g);
      re += g[0];
      im += g[1];
    }
    return re * re + im * im;
  }
}
