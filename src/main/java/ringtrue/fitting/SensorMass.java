package ringtrue.fitting;

import java.util.ArrayList;
import java.util.List;
import java.util.function.DoubleUnaryOperator;
import org.apache.commons.math3.complex.Complex;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Residual;
import ringtrue.units.BadInputException;

/**
 * What a small mass at the driving point does to fitted modes. A structure of receptance G that
 * carries a mass m there has the receptance {@code G/(1 + m s² G)}, with poles where {@code 1 + m
 * s² G(s) = 0}; a negative mass is one taken off. All modes and the residual terms count.
 */
public final class SensorMass {

  /** A shift below this, as a fraction, is not worth a sentence. */
  private static final double SMALL_SHIFT = 2e-3;

  /** A shift by each gram of an unknown sensor that is worth a sentence. */
  private static final double SHIFT_BY_A_GRAM = 3e-3;

  /** From this shift on the correction's own errors matter. */
  private static final double LARGE_SHIFT = 0.02;

  /** Steps in which the mass is put on, so that each pole is followed. */
  private static final int STEPS = 24;

  private static final int NEWTON_STEPS = 20;
  private static final double ONE_GRAM = 1e-3;
  private static final double ONE_MICROSECOND = 1e-6;
  private static final double ONE_PER_CENT = 0.01;

  private SensorMass() {}

  /**
   * A mode with a mass put on.
   *
   * @param model the structure
   * @param mode which mode, counted from 0 by rising frequency
   * @param massKg mass put on, kg; negative for one taken off
   * @return natural frequency, damping ratio and stiffness (of a real residue) that show then
   * @throws IllegalArgumentException if nothing vibrates with so much mass taken off
   */
  public static Mode loaded(ModalModel model, int mode, double massKg) {
    return loaded(model, mode, new Complex(massKg));
  }

  private static Mode loaded(ModalModel model, int mode, Complex mass) {
    Mode own = model.modes().get(mode);
    double omega = 2 * Math.PI * own.frequencyHz();
    double zeta = own.dampingRatio();
    Complex s = new Complex(-zeta * omega, omega * Math.sqrt(1 - zeta * zeta));
    Pole at = null;
    for (int step = 1; step <= STEPS; step++) {
      Complex part = mass.multiply((double) step / STEPS);
      for (int i = 0; i < NEWTON_STEPS; i++) {
        at = new Pole(model, mode, part, s);
        Complex move = at.value.divide(at.slope);
        s = s.subtract(move);
        if (move.abs() < 1e-13 * s.abs()) {
          break;
        }
      }
    }
    at = new Pole(model, mode, mass, s);
    double size = s.abs();
    double damping = -s.getReal() / size;
    // residue R of (1/k) ωn²/((s − s₁)(s − s₁*)) at s₁: 1/k = 2i Im(s₁) R/ωn²
    Complex compliance =
        at.numerator.divide(at.slope).multiply(new Complex(0, 2 * s.getImaginary() / size / size));
    if (!(damping > 0 && damping < 1) || !(compliance.abs() > 0)) {
      throw new BadInputException(
          "sensorMass: with "
              + Sentence.digits(1e3 * mass.abs(), 3)
              + " g no vibration like the mode at "
              + Sentence.hertz(own.frequencyHz())
              + " would be left; a sensor must be much lighter than what moves");
    }
    return Mode.of(size / (2 * Math.PI), damping, 1 / compliance.abs());
  }

  /**
   * With P = s² + 2ζωn s + ωn² of the mode itself: the loaded receptance is H/Q with H = P G and Q
   * = P + m s² H, both smooth at the mode's pole.
   */
  private static final class Pole {
    final Complex numerator;
    final Complex value;
    final Complex slope;

    Pole(ModalModel model, int mode, Complex mass, Complex s) {
      Complex p = polynomial(model.modes().get(mode), s);
      Complex pSlope = polynomialSlope(model.modes().get(mode), s);
      Residual residual = model.residual();
      Complex square = s.multiply(s);
      Complex rest = square.reciprocal().multiply(residual.lowerPerKg()).add(residual.upperMPerN());
      Complex restSlope = square.multiply(s).reciprocal().multiply(-2 * residual.lowerPerKg());
      for (int i = 0; i < model.modes().size(); i++) {
        if (i != mode) {
          Mode other = model.modes().get(i);
          Complex q = polynomial(other, s);
          double inverseMass = 1 / other.massKg();
          rest = rest.add(q.reciprocal().multiply(inverseMass));
          restSlope =
              restSlope.subtract(
                  polynomialSlope(other, s).divide(q.multiply(q)).multiply(inverseMass));
        }
      }
      numerator = p.multiply(rest).add(1 / model.modes().get(mode).massKg());
      Complex numeratorSlope = pSlope.multiply(rest).add(p.multiply(restSlope));
      value = p.add(mass.multiply(square).multiply(numerator));
      slope =
          pSlope.add(
              mass.multiply(
                  s.multiply(2).multiply(numerator).add(square.multiply(numeratorSlope))));
    }

    private static Complex polynomial(Mode mode, Complex s) {
      double omega = 2 * Math.PI * mode.frequencyHz();
      return s.multiply(s).add(s.multiply(2 * mode.dampingRatio() * omega)).add(omega * omega);
    }

    private static Complex polynomialSlope(Mode mode, Complex s) {
      double omega = 2 * Math.PI * mode.frequencyHz();
      return s.multiply(2).add(2 * mode.dampingRatio() * omega);
    }
  }

  /**
   * What a reader should know of a sensor whose mass was taken off the response before the fit.
   *
   * @param model fitted modes, the sensor's mass taken off
   * @param massKg mass that was taken off, kg
   */
  public static List<String> takenOff(ModalModel model, double massKg) {
    List<String> lowered = new ArrayList<>();
    int most = -1;
    double largest = LARGE_SHIFT;
    for (int j = 0; j < model.modes().size(); j++) {
      double fn = model.modes().get(j).frequencyHz();
      double shift = fn - loaded(model, j, massKg).frequencyHz();
      if (shift > SMALL_SHIFT * fn) {
        lowered.add(
            "the mode at "
                + Sentence.hertz(fn)
                + " by "
                + Sentence.digits(shift, 3)
                + " Hz ("
                + Sentence.digits(100 * shift / fn, 2)
                + " %)");
      }
      if (shift > largest * fn) {
        largest = shift / fn;
        most = j;
      }
    }
    List<String> remarks = new ArrayList<>();
    if (!lowered.isEmpty()) {
      remarks.add("The sensor's " + grams(massKg) + " lowered " + String.join(", ", lowered) + ".");
    }
    if (most >= 0) {
      remarks.add(sensitivity(model, most, massKg));
    }
    return remarks;
  }

  private static String sensitivity(ModalModel model, int j, double massKg) {
    Mode mode = model.modes().get(j);
    double fn = mode.frequencyHz();
    double byMass = Math.abs(1 - loaded(model, j, ONE_PER_CENT * massKg).frequencyHz() / fn);
    double turn = 2 * Math.PI * fn * ONE_MICROSECOND;
    double byTime =
        Math.abs(
            1
                - loaded(model, j, new Complex(0, -massKg * turn)).dampingRatio()
                    / mode.dampingRatio());
    return "So large a correction multiplies errors. At "
        + Sentence.hertz(fn)
        + " one per cent of error in the sensor's mass or in the sensitivities moves the frequency"
        + " by "
        + Sentence.percent(byMass)
        + ", and one microsecond of shift between the channels the damping ratio by "
        + Sentence.percent(byTime)
        + " of itself; a lighter sensor would be better.";
  }

  /**
   * What a reader should know of a sensor that sits on the structure, but whose mass was not given.
   *
   * @param model fitted modes, with the sensor on
   * @return one sentence if a gram moves some mode by more than 0.3 %: sensors weigh a gram or a
   *     few, and a shift of a per cent moves the lobes by as much
   */
  public static List<String> unknown(ModalModel model) {
    int lightest = -1;
    double largest = SHIFT_BY_A_GRAM;
    for (int j = 0; j < model.modes().size(); j++) {
      Mode mode = model.modes().get(j);
      double per = perGram(model, j) / mode.frequencyHz();
      if (per > largest) {
        largest = per;
        lightest = j;
      }
    }
    if (lightest < 0) {
      return List.of();
    }
    double fn = model.modes().get(lightest).frequencyHz();
    return List.of(
        "Each gram of the sensor lowers the mode at "
            + Sentence.hertz(fn)
            + " by about "
            + Sentence.digits(largest * fn, 2)
            + " Hz ("
            + Sentence.digits(100 * largest, 2)
            + " %): give the sensor's mass (\"sensorMass\") to have that taken off.");
  }

  /** Drop of a mode's frequency for one gram, Hz, from a tenth of a gram. */
  private static double perGram(ModalModel model, int mode) {
    double fn = model.modes().get(mode).frequencyHz();
    return 10 * (fn - loaded(model, mode, 0.1 * ONE_GRAM).frequencyHz());
  }

  /**
   * Modes whose uncertainties hold what errors that neighbouring lines share do to the stiffness
   * and, by way of the mass, to all values. With a gain wrong by g and a phase wrong by φ the
   * correction takes off m(1 + g + iφ) instead of m.
   *
   * @param model fitted modes, the sensor's mass taken off; the sigmas hold the gain's error in the
   *     stiffness, but nothing of the mass
   * @param massKg mass that was taken off, kg; 0 for none
   * @param gainError relative one-sigma error of the gain around a frequency in Hz
   * @param phaseError one-sigma error of the phase around a frequency in Hz, rad
   */
  public static ModalModel widened(
      ModalModel model,
      double massKg,
      DoubleUnaryOperator gainError,
      DoubleUnaryOperator phaseError) {
    double small = 1e-3;
    List<Mode> wider = new ArrayList<>();
    for (int j = 0; j < model.modes().size(); j++) {
      Mode m = model.modes().get(j);
      double gain = gainError.applyAsDouble(m.frequencyHz());
      double phase = phaseError.applyAsDouble(m.frequencyHz());
      if (!(gain >= 0 && phase >= 0)) {
        return model;
      }
      Mode more = loaded(model, j, small * massKg);
      Mode turned = loaded(model, j, new Complex(0, -small * massKg));
      // stiffness: −g by itself, and what the mass −mg does, from the same error
      double byMass = (more.stiffnessNPerM() / m.stiffnessNPerM() - 1) / small;
      double both = Math.max(0, (1 + byMass) * (1 + byMass) - 1);
      double byTurn = (turned.stiffnessNPerM() / m.stiffnessNPerM() - 1) / small;
      wider.add(
          new Mode(
              m.frequencyHz(),
              m.dampingRatio(),
              m.stiffnessNPerM(),
              wide(
                  m.frequencyHzSigma(),
                  gain * (more.frequencyHz() - m.frequencyHz()) / small,
                  phase * (turned.frequencyHz() - m.frequencyHz()) / small),
              wide(
                  m.dampingRatioSigma(),
                  gain * (more.dampingRatio() - m.dampingRatio()) / small,
                  phase * (turned.dampingRatio() - m.dampingRatio()) / small),
              Math.max(
                  m.stiffnessNPerM() * gain * Math.abs(1 + byMass),
                  wide(
                      m.stiffnessNPerMSigma(),
                      m.stiffnessNPerM() * gain * Math.sqrt(both),
                      m.stiffnessNPerM() * phase * byTurn)),
              m.phaseDeg()));
    }
    return new ModalModel(wider, model.residual());
  }

  private static double wide(double sigma, double byGain, double byPhase) {
    return Math.sqrt(sigma * sigma + byGain * byGain + byPhase * byPhase);
  }

  private static String grams(double massKg) {
    return Sentence.digits(1e3 * massKg, 3) + " g";
  }
}
