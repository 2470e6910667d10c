package ringtrue.fitting;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.function.UnaryOperator;
import org.apache.commons.math3.complex.Complex;
import org.apache.commons.math3.linear.Array2DRowRealMatrix;
import org.apache.commons.math3.linear.ArrayRealVector;
import org.apache.commons.math3.linear.LUDecomposition;
import org.apache.commons.math3.linear.SingularMatrixException;

/**
 * Modal masses and stiffnesses from the natural frequencies without and with a known mass at the
 * tapped point.
 *
 * <p>A structure of receptance {@code G(s) = Σ (1/m_j)/(s² + 2ζ_jω_j s + ω_j²)} that carries a
 * further mass Δm there vibrates at the roots of {@code 1 + Δm s² G(s) = 0}. With the poles s_i
 * measured with the mass, its real part is a linear equation for the inverse masses 1/m_j of all
 * modes that both recordings show; for one light-damped mode it is {@code m = Δm/((fn/fn')² − 1)}.
 * What the imaginary part says is compared: the damping with the mass is foretold from everything
 * else.
 */
public final class AddedMass {
  /** A mode that moves by less than so many sigmas tells no mass. */
  private static final double MOVED = 2;

  private static final double CLEAR = 4;

  /** Shifts to aim at: large against the sigma, small enough for the neighbours to stay apart. */
  private static final double LEAST_SHIFT = 0.03;

  private static final double MOST_SHIFT = 0.10;
  private static final double GOOD_SHIFT = 0.05;

  private final List<DecayMode> plain = new ArrayList<>();
  private final List<DecayMode> loaded = new ArrayList<>();
  private final List<DecayMode> all;
  private final double addedKg;
  private final double addedSigmaKg;
  private final double sensorKg;
  private final List<String> remarks = new ArrayList<>();

  /**
   * Result of a comparison.
   *
   * @param modes the modes without the mass, those that it moved with mass and stiffness; of the
   *     structure without the sensor where its mass was given
   * @param remarks sentences that a reader should know
   */
  public record Result(List<DecayMode> modes, List<String> remarks) {
    public Result {
      modes = List.copyOf(modes);
      remarks = List.copyOf(remarks);
    }
  }

  private AddedMass(List<DecayMode> all, double addedKg, double addedSigmaKg, double sensorKg) {
    this.all = all;
    this.addedKg = addedKg;
    this.addedSigmaKg = addedSigmaKg;
    this.sensorKg = sensorKg;
  }

  /**
   * Compares.
   *
   * @param plain modes without the added mass, by rising frequency
   * @param loaded modes with it
   * @param addedKg the added mass, kg, positive
   * @param addedSigmaKg its one-sigma uncertainty, kg; 0 for none
   * @param sensorKg mass of a sensor that sat at the point in both cases and is to be taken off, kg
   */
  public static Result of(
      List<DecayMode> plain,
      List<DecayMode> loaded,
      double addedKg,
      double addedSigmaKg,
      double sensorKg) {
    if (!(addedKg > 0 && addedSigmaKg >= 0 && sensorKg >= 0)) {
      throw new IllegalArgumentException("the added mass must be positive, was " + addedKg + " kg");
    }
    return new AddedMass(plain, addedKg, addedSigmaKg, sensorKg).result(loaded);
  }

  /** What to do where no added mass was measured. */
  public static String advice() {
    return "stiffness is unknown without a force: tap again with a small weighed mass fixed at the"
        + " tapped point (\"addedMass\"), one that lowers the natural frequency by 3 to 10 %,"
        + " some 6 to 23 % of the modal mass";
  }

  private Result result(List<DecayMode> withMass) {
    pair(withMass);
    if (plain.isEmpty()) {
      remarks.add(
          "added mass: no mode shows in both recordings, without and with the mass; nothing can be"
              + " said of stiffness");
      return new Result(all, remarks);
    }
    double[] inputs = inputs();
    double[] values = values(inputs);
    if (values == null) {
      remarks.add("added mass: the shifts of the modes contradict each other; no stiffness");
      return new Result(all, remarks);
    }
    double[] sigma = sigma(inputs, values);
    List<DecayMode> modes = new ArrayList<>(all);
    boolean anyMass = false;
    for (int j = 0; j < plain.size(); j++) {
      boolean known = values[5 * j + 4] > MOVED * sigma[5 * j + 4];
      anyMass |= known;
      advise(j, known, 1 / values[5 * j + 4]);
      if (known) {
        DecayMode mode =
            sensorKg > 0
                ? DecayMode.of(values[5 * j], sigma[5 * j], values[5 * j + 1], sigma[5 * j + 1])
                : plain.get(j);
        modes.set(
            all.indexOf(plain.get(j)),
            mode.withMass(
                values[5 * j + 2], sigma[5 * j + 2], values[5 * j + 3], sigma[5 * j + 3]));
      } else if (sensorKg > 0) {
        say(
            "the sensor's mass could not be taken off the mode at %s, whose modal mass is unknown",
            Sentence.hertz(plain.get(j).frequencyHz()));
      }
    }
    if (anyMass) {
      assumptions();
      checkDamping(inputs);
    }
    return new Result(modes, remarks);
  }

  // ---- which mode is which

  /**
   * A mass at a point lowers every natural frequency, but none below the next lower one without the
   * mass (Rayleigh's theorem on constraints and inertia).
   */
  private void pair(List<DecayMode> withMass) {
    List<DecayMode> free = new ArrayList<>(withMass);
    double below = 0;
    for (DecayMode mode : all) {
      double floor = below;
      DecayMode best = null;
      for (DecayMode other : free) {
        double slack = CLEAR * sigma(mode, other) + 1e-5 * mode.frequencyHz();
        boolean may =
            other.frequencyHz() > floor && other.frequencyHz() <= mode.frequencyHz() + slack;
        if (may && (best == null || other.frequencyHz() > best.frequencyHz())) {
          best = other;
        }
      }
      below = mode.frequencyHz();
      if (best == null) {
        say(
            "the mode at %s has no counterpart with the added mass: left out of the comparison",
            Sentence.hertz(mode.frequencyHz()));
      } else {
        free.remove(best);
        plain.add(mode);
        loaded.add(best);
      }
    }
    for (DecayMode other : free) {
      say(
          "the mode at %s with the added mass has no counterpart without it: left out",
          Sentence.hertz(other.frequencyHz()));
    }
  }

  private static double sigma(DecayMode a, DecayMode b) {
    return Math.hypot(known(a.frequencyHzSigma()), known(b.frequencyHzSigma()));
  }

  private static double known(double sigma) {
    return Double.isNaN(sigma) ? 0 : sigma;
  }

  // ---- values

  /** Frequency and damping of every pair, without and with the mass, and the mass. */
  private double[] inputs() {
    int n = plain.size();
    double[] in = new double[4 * n + 1];
    for (int j = 0; j < n; j++) {
      in[4 * j] = plain.get(j).frequencyHz();
      in[4 * j + 1] = plain.get(j).dampingRatio();
      in[4 * j + 2] = loaded.get(j).frequencyHz();
      in[4 * j + 3] = loaded.get(j).dampingRatio();
    }
    in[4 * n] = addedKg;
    return in;
  }

  private double[] inputSigmas() {
    int n = plain.size();
    double[] sigma = new double[4 * n + 1];
    for (int j = 0; j < n; j++) {
      sigma[4 * j] = known(plain.get(j).frequencyHzSigma());
      sigma[4 * j + 1] = known(plain.get(j).dampingRatioSigma());
      sigma[4 * j + 2] = known(loaded.get(j).frequencyHzSigma());
      sigma[4 * j + 3] = known(loaded.get(j).dampingRatioSigma());
    }
    sigma[4 * n] = addedSigmaKg;
    return sigma;
  }

  private static Complex pole(double fn, double zeta) {
    double omega = 2 * Math.PI * fn;
    return new Complex(-zeta * omega, omega * Math.sqrt(1 - zeta * zeta));
  }

  /** s²/(s² + 2ζωs + ω²), written with the pole so that no digits are lost close to it. */
  private static Complex part(Complex s, Complex pole) {
    Complex d = s.subtract(pole).multiply(s.subtract(pole.conjugate()));
    if (d.abs() < 1e-300) {
      d = new Complex(1e-300);
    }
    return s.multiply(s).divide(d);
  }

  /** Inverse modal masses; null if there is no solution. */
  private static double[] inverseMasses(double[] in) {
    int n = in.length / 4;
    double mass = in[4 * n];
    double[][] a = new double[n][n];
    double[] right = new double[n];
    for (int i = 0; i < n; i++) {
      Complex s = pole(in[4 * i + 2], in[4 * i + 3]);
      double scale = 0;
      for (int j = 0; j < n; j++) {
        a[i][j] = part(s, pole(in[4 * j], in[4 * j + 1])).getReal();
        scale = Math.max(scale, Math.abs(a[i][j]));
      }
      for (int j = 0; j < n; j++) {
        a[i][j] /= scale;
      }
      right[i] = -1 / (mass * scale);
    }
    try {
      return new LUDecomposition(new Array2DRowRealMatrix(a, false), 1e-14)
          .getSolver()
          .solve(new ArrayRealVector(right))
          .toArray();
    } catch (SingularMatrixException e) {
      return null;
    }
  }

  /**
   * Frequency, damping, mass and stiffness of each mode without the sensor, and the inverse mass
   * with it, which may come out negative.
   */
  private double[] values(double[] in) {
    double[] inverse = inverseMasses(in);
    if (inverse == null) {
      return null;
    }
    int n = inverse.length;
    double[] out = new double[5 * n];
    for (int j = 0; j < n; j++) {
      double mass = 1 / inverse[j];
      double fn = in[4 * j];
      double zeta = in[4 * j + 1];
      if (sensorKg > 0 && mass > 0) {
        Complex p = shifted(in, inverse, -sensorKg, pole(fn, zeta));
        fn = p.abs() / (2 * Math.PI);
        zeta = -p.getReal() / p.abs();
        mass = massAt(in, inverse, -sensorKg, p);
      }
      out[5 * j] = fn;
      out[5 * j + 1] = zeta;
      out[5 * j + 2] = mass;
      out[5 * j + 3] = mass * Math.pow(2 * Math.PI * fn, 2);
      out[5 * j + 4] = inverse[j];
    }
    return out;
  }

  private double[] sigma(double[] in, double[] values) {
    double[] sigma = inputSigmas();
    double[] square = new double[values.length];
    for (int i = 0; i < in.length; i++) {
      if (!(sigma[i] > 0)) {
        continue;
      }
      // A small part of sigma: where the shift is small the masses bend strongly within it.
      double step = 0.02 * sigma[i];
      double[] up = in.clone();
      double[] down = in.clone();
      up[i] += step;
      down[i] -= step;
      double[] high = values(up);
      double[] low = values(down);
      for (int v = 0; v < square.length; v++) {
        square[v] +=
            high == null || low == null
                ? Double.POSITIVE_INFINITY
                : Math.pow((high[v] - low[v]) / (2 * step) * sigma[i], 2);
      }
    }
    return Arrays.stream(square).map(Math::sqrt).toArray();
  }

  // ---- a mass more or less

  /**
   * {@code 1/G + μ s²} and its slope with s, G the receptance of the modes.
   *
   * @return value, slope
   */
  private static Complex[] stiffness(double[] in, double[] inverse, double mu, Complex s) {
    Complex g = Complex.ZERO;
    Complex slope = Complex.ZERO;
    for (int j = 0; j < inverse.length; j++) {
      Complex p = pole(in[4 * j], in[4 * j + 1]);
      Complex d = s.subtract(p).multiply(s.subtract(p.conjugate()));
      Complex part = d.reciprocal().multiply(inverse[j]);
      g = g.add(part);
      slope = slope.subtract(part.multiply(s.multiply(2).subtract(2 * p.getReal())).divide(d));
    }
    Complex value = g.reciprocal().add(s.multiply(s).multiply(mu));
    Complex by = slope.divide(g.multiply(g)).negate().add(s.multiply(2 * mu));
    return new Complex[] {value, by};
  }

  /** The pole that grows out of one of the structure's when a mass is put on little by little. */
  private static Complex shifted(double[] in, double[] inverse, double mu, Complex from) {
    int steps = 20;
    UnaryOperator<Complex> nudged = s -> s.multiply(1 + 1e-9);
    Complex s = nudged.apply(from);
    for (int step = 1; step <= steps; step++) {
      for (int i = 0; i < 12; i++) {
        Complex[] at = stiffness(in, inverse, mu * step / steps, s);
        Complex move = at[0].divide(at[1]);
        if (move.isNaN()) {
          return from;
        }
        s = s.subtract(move);
        if (move.abs() < 1e-13 * s.abs()) {
          break;
        }
      }
    }
    return s;
  }

  /** Modal mass from the residue 1/(2 i ωd m) of 1/(1/G + μ s²). */
  private static double massAt(double[] in, double[] inverse, double mu, Complex pole) {
    Complex residue = stiffness(in, inverse, mu, pole.multiply(1 + 1e-9))[1].reciprocal();
    return 1 / residue.multiply(new Complex(0, 2 * pole.getImaginary())).getReal();
  }

  // ---- words

  private void advise(int j, boolean known, double mass) {
    DecayMode mode = plain.get(j);
    double shift = 1 - loaded.get(j).frequencyHz() / mode.frequencyHz();
    double sigma = sigma(mode, loaded.get(j)) / mode.frequencyHz();
    if (!known) {
      double bound = addedKg / (2 * (Math.max(shift, 0) + MOVED * sigma));
      say(
          "the mode at %s moves by %s, its sigma %s, with the added mass: no stiffness for"
              + " it; a mass of %s or more would be needed, unless it has a node at this point",
          Sentence.hertz(mode.frequencyHz()),
          Sentence.percent(-shift),
          Sentence.percent(sigma),
          grams(bound * needed(LEAST_SHIFT)));
      return;
    }
    String moves =
        String.format(
            Locale.ROOT,
            "the mode at %s falls by %s with %s",
            Sentence.hertz(mode.frequencyHz()),
            Sentence.percent(shift),
            grams(addedKg));
    if (shift < LEAST_SHIFT) {
      say(
          "%s, little against a sigma of %s: about %s would move it by 5 %% (aim at 3 to 10 %%)",
          moves, Sentence.percent(sigma), grams(mass * needed(GOOD_SHIFT)));
    } else if (shift > MOST_SHIFT) {
      say(
          "%s, so much that modes not seen may count: about %s would move it by 5 %% (aim at 3 to"
              + " 10 %%)",
          moves, grams(mass * needed(GOOD_SHIFT)));
    } else {
      say("%s, a good size", moves);
    }
  }

  /** Mass over modal mass that lowers the frequency by a part. */
  private static double needed(double shift) {
    return 1 / ((1 - shift) * (1 - shift)) - 1;
  }

  private static String grams(double kg) {
    return kg < 1 ? Sentence.digits(1e3 * kg, 3) + " g" : Sentence.digits(kg, 3) + " kg";
  }

  private void assumptions() {
    say(
        "mass and stiffness come from the added mass of %s, with %s that both recordings show; taken"
            + " for granted: it sits at the tapped point, moves with it and does not turn, and modes"
            + " outside the band do not count",
        grams(addedKg), plain.size() == 1 ? "the one mode" : "the " + plain.size() + " modes");
    if (sensorKg > 0) {
      say(
          "the sensor of %s was there in both cases; it was taken off: the first mode without it is at"
              + " %s, measured with it at %s",
          grams(sensorKg),
          Sentence.hertz(values(inputs())[0]),
          Sentence.hertz(plain.get(0).frequencyHz()));
    }
  }

  /** The imaginary part of the equation: the damping that the mass should have led to. */
  private void checkDamping(double[] in) {
    double[] inverse = inverseMasses(in);
    for (int j = 0; j < plain.size(); j++) {
      if (!(inverse[j] > 0)) {
        continue;
      }
      Complex p = shifted(in, inverse, addedKg, pole(in[4 * j], in[4 * j + 1]));
      double foretold = -p.getReal() / p.abs();
      double seen = loaded.get(j).dampingRatio();
      double sigma =
          Math.hypot(
              known(loaded.get(j).dampingRatioSigma()),
              known(plain.get(j).dampingRatioSigma()) * foretold / plain.get(j).dampingRatio());
      boolean differs =
          Math.abs(seen - foretold) > CLEAR * sigma && Math.abs(seen / foretold - 1) > 0.05;
      say(
          "damping of the mode at %s with the mass: %s seen, %s expected%s",
          Sentence.hertz(loaded.get(j).frequencyHz()),
          Sentence.percent(seen),
          Sentence.percent(foretold),
          differs
              ? "; that is more than chance: the mass may sit loosely, or something else changed,"
                  + " and the stiffness be wrong"
              : ", which agrees");
    }
  }

  private void say(String format, Object... values) {
    remarks.add(String.format(Locale.ROOT, format, values));
  }
}
