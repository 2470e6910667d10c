package ringtrue.acquisition;

import org.apache.commons.math3.complex.Complex;
import org.apache.commons.math3.util.FastMath;

/**
 * Course of the force during a simulated blow of contact time T. Each is a sum of exponentials, so
 * that the answer of a mode to it has a closed form. How steeply the spectrum falls above the
 * blow's own band tells how much of it a sampled recording folds back.
 */
public enum PulseShape {
  /** F sin(πt/T): the textbook blow with a corner at both ends; spectrum falls with 1/f². */
  HALF_SINE {
    @Override
    Complex[][] exponentials(double contactS) {
      double w = Math.PI / contactS;
      return new Complex[][] {
        {new Complex(0, -0.5), new Complex(0, w)}, {new Complex(0, 0.5), new Complex(0, -w)}
      };
    }

    @Override
    double at(double part) {
      return FastMath.sin(Math.PI * part);
    }

    @Override
    public double impulseFactor() {
      return 2 / Math.PI;
    }
  },

  /** F sin²(πt/T): smooth at both ends; spectrum falls with 1/f³. */
  SINE_SQUARED {
    @Override
    Complex[][] exponentials(double contactS) {
      double w = 2 * Math.PI / contactS;
      return new Complex[][] {
        {new Complex(0.5, 0), Complex.ZERO},
        {new Complex(-0.25, 0), new Complex(0, w)},
        {new Complex(-0.25, 0), new Complex(0, -w)}
      };
    }

    @Override
    double at(double part) {
      double sine = FastMath.sin(Math.PI * part);
      return sine * sine;
    }

    @Override
    public double impulseFactor() {
      return 0.5;
    }
  },

  /** F sin⁴(πt/T): as if it had passed a smoothing filter; spectrum falls with 1/f⁵. */
  SINE_FOURTH {
    @Override
    Complex[][] exponentials(double contactS) {
      double w = 2 * Math.PI / contactS;
      return new Complex[][] {
        {new Complex(0.375, 0), Complex.ZERO},
        {new Complex(-0.25, 0), new Complex(0, w)},
        {new Complex(-0.25, 0), new Complex(0, -w)},
        {new Complex(0.0625, 0), new Complex(0, 2 * w)},
        {new Complex(0.0625, 0), new Complex(0, -2 * w)}
      };
    }

    @Override
    double at(double part) {
      double sine = FastMath.sin(Math.PI * part);
      return sine * sine * sine * sine;
    }

    @Override
    public double impulseFactor() {
      return 0.375;
    }
  };

  /**
   * Force of a blow of 1 N peak as Σ A e<sup>μt</sup> while it lasts.
   *
   * @return pairs of A (in N) and μ (in 1/s)
   */
  abstract Complex[][] exponentials(double contactS);

  /** Force of a blow of 1 N peak, N, after the given part of its contact time (0 to 1). */
  abstract double at(double part);

  /** Impulse divided by (peak force times contact time). */
  public abstract double impulseFactor();
}
