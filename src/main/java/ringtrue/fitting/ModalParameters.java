package ringtrue.fitting;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;

/**
 * A modal model while it is being fitted: {@code G(s) = Σ (a + b s/ωn) ωn²/(s² + 2ζωn s + ωn²) +
 * upper + lower/s²}, where a = 1/k and b is 0 for a real residue. Immutable.
 *
 * @param terms the modes
 * @param upper compliance of the modes above the band, m/N
 * @param lower inverse mass of the modes below the band, 1/kg
 */
record ModalParameters(List<Term> terms, double upper, double lower) {

  /** No modes, no residual. */
  static final ModalParameters NOTHING = new ModalParameters(List.of(), 0, 0);

  /**
   * One mode.
   *
   * @param omega undamped natural angular frequency ωn, rad/s
   * @param zeta damping ratio
   * @param compliance a, m/N; negative while a mode is a candidate only
   * @param quadrature b, m/N; 0 for a real residue
   */
  record Term(double omega, double zeta, double compliance, double quadrature) {
    /** Tangent of 60 degrees: a phase farther from −90 degrees is no driving point's. */
    private static final double MOST_TURN = Math.sqrt(3);

    double hz() {
      return omega / (2 * Math.PI);
    }

    /** Half-power bandwidth as it shows in the lines, the window's damping included, rad/s. */
    double seenBandwidth(double shift) {
      return 2 * (zeta * omega + shift);
    }

    /** Phase of the contribution at ωn, degrees: −90 for a real residue. */
    double phaseDeg() {
      double phase = -90 + Math.toDegrees(Math.atan2(quadrature, compliance));
      return phase < -180 ? phase + 360 : phase;
    }

    /** Whether it takes power from the blow at resonance, with some room for errors of phase. */
    boolean isPassive() {
      return compliance > 0 && Math.abs(quadrature) < MOST_TURN * compliance;
    }

    /** Largest receptance that the mode reaches by itself, m/N. */
    double peak(double shift) {
      return Math.abs(compliance) / (2 * (zeta + shift / omega));
    }

    /**
     * Receptance for a = 1, b = 0 at s = shift + i·at.
     *
     * @param into real and imaginary part
     */
    void unit(double shift, double at, double[] into) {
      double x = shift / omega;
      double y = at / omega;
      double dr = x * x - y * y + 2 * zeta * x + 1;
      double di = 2 * y * (x + zeta);
      double d = dr * dr + di * di;
      into[0] = dr / d;
      into[1] = -di / d;
    }
  }

  ModalParameters {
    terms = List.copyOf(terms);
  }

  ModalParameters without(int index) {
    List<Term> rest = new ArrayList<>(terms);
    rest.remove(index);
    return new ModalParameters(rest, upper, lower);
  }

  ModalParameters with(Term term) {
    List<Term> more = new ArrayList<>(terms);
    more.add(term);
    return new ModalParameters(more, upper, lower);
  }

  /** The same with the opposite sign. */
  ModalParameters mirrored() {
    List<Term> other = new ArrayList<>();
    for (Term t : terms) {
      other.add(new Term(t.omega, t.zeta, -t.compliance, -t.quadrature));
    }
    return new ModalParameters(other, -upper, -lower);
  }

  ModalParameters sorted() {
    return new ModalParameters(
        terms.stream().sorted(Comparator.comparingDouble(Term::omega)).toList(), upper, lower);
  }

  /**
   * Measured minus model, m/N.
   *
   * @param re filled with the real parts
   * @param im filled with the imaginary parts
   */
  void misfit(FitLines lines, double[] re, double[] im) {
    double[] unit = new double[2];
    double a = lines.shift;
    for (int i = 0; i < lines.size(); i++) {
      double w = lines.omega[i];
      double r = upper;
      double m = 0;
      if (lower != 0) {
        double q = a * a + w * w;
        r += lower * (a * a - w * w) / (q * q);
        m -= lower * 2 * a * w / (q * q);
      }
      for (Term term : terms) {
        term.unit(a, w, unit);
        double gr = term.compliance + term.quadrature * a / term.omega;
        double gi = term.quadrature * w / term.omega;
        r += gr * unit[0] - gi * unit[1];
        m += gr * unit[1] + gi * unit[0];
      }
      re[i] = lines.re[i] - r;
      im[i] = lines.im[i] - m;
    }
  }
}
