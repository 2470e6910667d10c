package ringtrue.signal;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.function.DoublePredicate;
import java.util.function.ToDoubleFunction;
import org.apache.commons.math3.distribution.TDistribution;
import org.apache.commons.math3.exception.MathIllegalArgumentException;
import org.apache.commons.math3.linear.Array2DRowRealMatrix;
import org.apache.commons.math3.linear.ArrayRealVector;
import org.apache.commons.math3.linear.CholeskyDecomposition;
import org.apache.commons.math3.linear.RealMatrix;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.ResponseForm;
import ringtrue.units.BadInputException;

/**
 * Calibration of hammer and sensor as a pair by a hanging mass struck in line with the sensor: its
 * accelerance is 1/M at every frequency, so that measured accelerance times M is what the pair
 * reads where 1 would be right (ISO 7626-5, operational calibration; Ewins, Modal Testing; both
 * from memory).
 *
 * <p>The factor over frequency, in a band where it is nearly flat, is described by {@code c (1 + u
 * f² + v/f²) e^(iωδ)}: u for the mass's own first resonance above, v for the pendulum or the
 * inputs' coupling below, δ for a time shift between the channels.
 *
 * @param factor what the pair reads where 1 would be right: divide the response by it; positive
 * @param factorSigma one-sigma uncertainty of the factor, without that of the mass itself
 * @param reversed whether the sensor reads against the blow
 * @param skewS how much later than the force the response was sampled beyond what was allowed for,
 *     s
 * @param skewSigmaS one-sigma uncertainty of that, s
 * @param flatLowHz lower end of the band that was used, Hz
 * @param flatHighHz upper end of the band that was used, Hz
 * @param largestDeviation largest deviation of the factor in that band from its value, a fraction,
 *     as a mean over a third of an octave
 * @param ratio factor over frequency for the picture
 * @param remarks sentences that a reader of the factor should know
 */
public record KnownMass(
    double factor,
    double factorSigma,
    boolean reversed,
    double skewS,
    double skewSigmaS,
    double flatLowHz,
    double flatHighHz,
    double largestDeviation,
    List<Ratio> ratio,
    List<String> remarks) {

  /** Scatter of the factor over a band that passes as flat. */
  private static final double FLAT = 0.01;

  /** What scatters by more than this hangs somewhere, or bends. */
  private static final double NO_MASS = 0.1;

  /** A good pair of channels is not better than this. */
  private static final double CLOSEST = 0.002;

  /** The band must be at least this many times as high at its end as at its beginning. */
  private static final double LEAST_SPAN = 4;

  private static final int FEWEST_LINES = 12;
  private static final double STEP = Math.sqrt(2);
  private static final double THIRD = Math.pow(2, 1 / 3.0);
  private static final double GRAVITY = 9.80665;

  /**
   * The factor at one frequency.
   *
   * @param frequencyHz frequency, Hz
   * @param magnitude size of measured accelerance times mass
   * @param phaseDeg its phase, degrees; 0 for a good pair
   * @param sigma relative one-sigma error of the size; NaN where unknown
   */
  public record Ratio(double frequencyHz, double magnitude, double phaseDeg, double sigma) {}

  public KnownMass {
    ratio = List.copyOf(ratio);
    remarks = List.copyOf(remarks);
  }

  /**
   * Finds the factor.
   *
   * @param response receptance of the hanging mass with the sensor on it, the sensor's mass not
   *     taken off
   * @param massKg mass of the body with the sensor, kg
   * @throws BadInputException if no band of two octaves can be used, or the mass is not positive
   */
  public static KnownMass of(FrequencyResponse response, double massKg) {
    if (!(massKg > 0) || Double.isInfinite(massKg)) {
      throw new BadInputException("mass: must be more than zero, was " + massKg + " kg");
    }
    List<Ratio> all = ratios(response, massKg);
    if (all.size() < FEWEST_LINES
        || all.get(all.size() - 1).frequencyHz < LEAST_SPAN * all.get(0).frequencyHz) {
      throw new BadInputException(
          String.format(
              Locale.ROOT,
              "the response of the mass can be used from %.4g to %.4g Hz only; a calibration needs"
                  + " two octaves: strike harder, or with a tip that suits",
              response.origin().bandLowHz(),
              response.origin().bandHighHz()));
    }
    Fit fit = flattest(all);
    if (fit.unevenness() > NO_MASS) {
      throw new BadInputException(
          text(
              "this is no freely hanging mass: what should be the same at every frequency strays by"
                  + " %.2g %% even from %.4g to %.4g Hz",
              100 * fit.unevenness(),
              fit.part.get(0).frequencyHz,
              fit.part.get(fit.part.size() - 1).frequencyHz));
    }
    boolean reversed = isReversed(fit.part);
    if (reversed) {
      all = opposite(all);
      fit = Fit.of(opposite(fit.part));
    }
    return result(response, massKg, all, fit, reversed);
  }

  private static List<Ratio> ratios(FrequencyResponse response, double massKg) {
    FrequencyResponse.Origin origin = response.origin();
    List<Ratio> all = new ArrayList<>();
    double[] value = new double[2];
    for (int i = 0; i < response.lines(); i++) {
      double hz = response.frequencyHz(i);
      if (hz < origin.bandLowHz() || hz > origin.bandHighHz()) {
        continue;
      }
      value[0] = response.real(i);
      value[1] = response.imag(i);
      ResponseForm.ACCELERANCE.fromReceptance(hz, origin.windowTimeConstantS(), value);
      double size = massKg * Math.hypot(value[0], value[1]);
      if (size > 0) {
        all.add(
            new Ratio(
                hz,
                size,
                Math.toDegrees(Math.atan2(value[1], value[0])),
                response.relativeError(i)));
      }
    }
    return all;
  }

  private static List<Ratio> opposite(List<Ratio> all) {
    return all.stream()
        .map(r -> new Ratio(r.frequencyHz, r.magnitude, turned(r.phaseDeg + 180), r.sigma))
        .toList();
  }

  private static boolean isReversed(List<Ratio> all) {
    long against = all.stream().filter(r -> Math.abs(r.phaseDeg) > 90).count();
    return 2 * against > all.size();
  }

  private static double turned(double degrees) {
    return degrees > 180 ? degrees - 360 : degrees;
  }

  /** The widest band that passes as flat; failing that, the flattest of two octaves. */
  private static Fit flattest(List<Ratio> all) {
    Fit best = null;
    double low = all.get(0).frequencyHz;
    double high = all.get(all.size() - 1).frequencyHz;
    for (double from = low; from * LEAST_SPAN <= high * 1.000001; from *= STEP) {
      for (double to = high; to >= from * LEAST_SPAN * 0.999999; to /= STEP) {
        double a = from;
        double b = to;
        List<Ratio> part =
            all.stream().filter(r -> r.frequencyHz >= a && r.frequencyHz <= b).toList();
        if (part.size() < FEWEST_LINES) {
          continue;
        }
        Fit fit = Fit.of(part);
        if (fit != null && (best == null || fit.isBetterThan(best))) {
          best = fit;
        }
      }
    }
    if (best == null) {
      throw new BadInputException(
          "too few lines in the response of the mass for a calibration: use longer blocks");
    }
    return best;
  }

  /** A band with what describes the factor in it. */
  private record Fit(
      List<Ratio> part, double[] size, RealMatrix covariance, double delay, double delaySigma) {

    static Fit of(List<Ratio> part) {
      double middle = middle(part);
      double[][] normal = new double[3][3];
      double[] right = new double[3];
      double delayTop = 0;
      double delayBottom = 0;
      for (Ratio r : part) {
        double[] shape = shape(r.frequencyHz, middle);
        double weight = weight(r);
        double omega = 2 * Math.PI * r.frequencyHz;
        for (int i = 0; i < 3; i++) {
          for (int j = 0; j < 3; j++) {
            normal[i][j] += weight * shape[i] * shape[j];
          }
          right[i] += weight * shape[i] * Math.log(r.magnitude);
        }
        delayTop += weight * omega * Math.toRadians(r.phaseDeg);
        delayBottom += weight * omega * omega;
      }
      RealMatrix inverse;
      try {
        inverse =
            new CholeskyDecomposition(new Array2DRowRealMatrix(normal, false), 1e-9, 1e-14)
                .getSolver()
                .getInverse();
      } catch (MathIllegalArgumentException tooNarrow) {
        return null;
      }
      double[] size = inverse.operate(new ArrayRealVector(right, false)).toArray();
      double delay = delayTop / delayBottom;
      double scale =
          scale(part, r -> Math.toRadians(r.phaseDeg) - 2 * Math.PI * r.frequencyHz * delay, 1);
      double delaySigma = Math.sqrt(scale / delayBottom);
      return new Fit(part, size, inverse, delay, delaySigma);
    }

    /** Equal octaves count alike, noisy lines less. */
    private static double weight(Ratio r) {
      double sigma = Double.isNaN(r.sigma) ? 0 : r.sigma;
      return 1 / ((sigma * sigma + CLOSEST * CLOSEST) * r.frequencyHz);
    }

    private static double middle(List<Ratio> part) {
      return Math.sqrt(part.get(0).frequencyHz * part.get(part.size() - 1).frequencyHz);
    }

    private static double[] shape(double hz, double middle) {
      double x = hz / middle * (hz / middle);
      return new double[] {1, x, 1 / x};
    }

    double span() {
      return part.get(part.size() - 1).frequencyHz / part.get(0).frequencyHz;
    }

    double factor() {
      return Math.exp(size[0]);
    }

    /** Root mean square of the factor's relative deviation, by octaves, chance taken off. */
    double unevenness() {
      double sum = 0;
      double count = 0;
      for (double[] band : deviations()) {
        sum += Math.max(0, band[0] * band[0] - band[1] * band[1]);
        count++;
      }
      return Math.sqrt(sum / count);
    }

    boolean isBetterThan(Fit other) {
      boolean flat = unevenness() <= FLAT;
      boolean otherFlat = other.unevenness() <= FLAT;
      if (flat != otherFlat) {
        return flat;
      }
      return flat ? span() > other.span() : unevenness() < other.unevenness();
    }

    /** Mean of ln(factor) less its value over thirds of an octave, and that mean's chance error. */
    List<double[]> deviations() {
      List<double[]> all = new ArrayList<>();
      int at = 0;
      while (at < part.size()) {
        double end = part.get(at).frequencyHz * THIRD;
        double sum = 0;
        double error = 0;
        int n = 0;
        for (; at < part.size() && part.get(at).frequencyHz < end; at++) {
          Ratio r = part.get(at);
          sum += Math.log(r.magnitude) - size[0];
          error += Double.isNaN(r.sigma) ? 0 : r.sigma * r.sigma;
          n++;
        }
        all.add(new double[] {sum / n, Math.sqrt(error) / n, n});
      }
      return all;
    }

    /**
     * Variance of a weighted value over what the weights say: neighbouring lines share their
     * deviation, so that the mean over a third of an octave counts once.
     */
    private static double scale(List<Ratio> part, ToDoubleFunction<Ratio> off, int unknowns) {
      double sum = 0;
      int bands = 0;
      int at = 0;
      while (at < part.size()) {
        double end = part.get(at).frequencyHz * THIRD;
        double mean = 0;
        double weights = 0;
        for (; at < part.size() && part.get(at).frequencyHz < end; at++) {
          mean += weight(part.get(at)) * off.applyAsDouble(part.get(at));
          weights += weight(part.get(at));
        }
        sum += mean * mean / weights;
        bands++;
      }
      return sum / Math.max(1, bands - unknowns);
    }

    /** Relative sigma of the factor from how far thirds of an octave lie off the description. */
    double scatterSigma() {
      double middle = middle(part);
      double scale =
          scale(
              part,
              r -> {
                double[] shape = shape(r.frequencyHz, middle);
                double off = Math.log(r.magnitude);
                for (int i = 0; i < 3; i++) {
                  off -= shape[i] * size[i];
                }
                return off;
              },
              3);
      return Math.sqrt(scale * covariance.getEntry(0, 0));
    }
  }

  private static KnownMass result(
      FrequencyResponse response, double massKg, List<Ratio> all, Fit fit, boolean reversed) {
    double largest = 0;
    for (double[] band : fit.deviations()) {
      largest = Math.max(largest, Math.abs(Math.expm1(band[0])));
    }
    double sigma = fit.factor() * Math.hypot(fit.scatterSigma(), gainSigma(response, fit));
    double low = fit.part.get(0).frequencyHz;
    double high = fit.part.get(fit.part.size() - 1).frequencyHz;
    return new KnownMass(
        fit.factor(),
        sigma,
        reversed,
        fit.delay,
        fit.delaySigma,
        low,
        high,
        largest,
        all,
        remarks(response, all, fit, reversed, largest));
  }

  /**
   * Error that all lines share, as from blows that are not quite in line: coherence shows it, but
   * the lines do not scatter for it. With a tap's gain varying by v, n taps have 1 − γ² = v(n −
   * 1)/n, hence a relative error e² = v(n − 1)/(2n²), while the mean gain's variance is v/n.
   */
  private static double gainSigma(FrequencyResponse response, Fit fit) {
    int n = response.origin().averages();
    if (n < 2) {
      return 0;
    }
    double[] errors =
        fit.part.stream().mapToDouble(Ratio::sigma).filter(Double::isFinite).toArray();
    if (errors.length == 0) {
      return 0;
    }
    double shown = Medians.of(errors);
    double[] jumps = new double[fit.part.size() - 1];
    for (int i = 0; i < jumps.length; i++) {
      jumps[i] =
          Math.abs(Math.log(fit.part.get(i + 1).magnitude / fit.part.get(i).magnitude))
              / Math.sqrt(2)
              / 0.6745;
    }
    double scattered = Medians.of(jumps);
    double shared = 2 * Math.max(0, shown * shown * n / (n - 1) - scattered * scattered);
    return new TDistribution(n - 1).inverseCumulativeProbability(0.975) / 1.96 * Math.sqrt(shared);
  }

  private static List<String> remarks(
      FrequencyResponse response, List<Ratio> all, Fit fit, boolean reversed, double largest) {
    List<String> remarks = new ArrayList<>();
    if (reversed) {
      remarks.add(
          "the sensor reads against the blow: set the response's \"polarity\" to the other sign, or"
              + " turn the sensor round");
    }
    double factor = fit.factor();
    for (double wrong : new double[] {GRAVITY, 1 / GRAVITY, 1000, 0.001, 4.44822, 1 / 4.44822}) {
      if (Math.abs(factor / wrong - 1) < 0.15) {
        remarks.add(
            text(
                "a factor near %.4g looks like a slip of a unit (%s) or of the mass rather than a"
                    + " calibration: check the sensitivities and the mass as entered",
                wrong,
                wrong > 500 || wrong < 0.002
                    ? "V for mV, or N for kN"
                    : Math.abs(wrong - GRAVITY) < 1 || wrong < 0.15 ? "g for m/s^2" : "lbf for N"));
      }
    }
    if (fit.unevenness() > FLAT) {
      remarks.add(
          text(
              "the factor is not flat: it strays by up to %.2g %% even from %.4g to %.4g Hz, so that"
                  + " it can be trusted to no better than that; likely causes: the blow is not in line"
                  + " with sensor and centre of the mass, the sensor is loose, or a cord touches",
              largest * 100,
              fit.part.get(0).frequencyHz,
              fit.part.get(fit.part.size() - 1).frequencyHz));
    }
    double high = fit.part.get(fit.part.size() - 1).frequencyHz;
    double low = fit.part.get(0).frequencyHz;
    outside(all, fit, hz -> hz > high, "above", high, remarks);
    outside(all, fit, hz -> hz < low, "below", low, remarks);
    if (Math.abs(fit.delay) > 4 * fit.delaySigma
        && Math.abs(fit.delay) > 0.5e-6
        && fit.unevenness() <= FLAT) {
      remarks.add(
          text(
              "the response is sampled %.3g us %s than the force (± %.2g us): add %.3g us to"
                  + " \"channelSkew\"",
              Math.abs(fit.delay) * 1e6,
              fit.delay > 0 ? "later" : "earlier",
              fit.delaySigma * 1e6,
              fit.delay * 1e6));
    }
    if (response.origin().averages() < 2) {
      remarks.add(
          "one tap only: whether the blows hit in line cannot be seen; five or more tell the"
              + " scatter");
    }
    return remarks;
  }

  /** Says how far the factor strays outside the flat band. */
  private static void outside(
      List<Ratio> all,
      Fit fit,
      DoublePredicate there,
      String where,
      double edge,
      List<String> remarks) {
    double worst = 0;
    double at = 0;
    for (Ratio r : all) {
      double off = r.magnitude / fit.factor() - 1;
      double clear = Double.isNaN(r.sigma) ? 0 : 4 * r.sigma;
      if (there.test(r.frequencyHz) && Math.abs(off) > Math.max(clear, Math.abs(worst))) {
        worst = off;
        at = r.frequencyHz;
      }
    }
    if (Math.abs(worst) > 0.03) {
      remarks.add(
          text(
              "%s %.4g Hz the factor strays, by %+.2g %% at %.4g Hz: %s; not used",
              where,
              edge,
              worst * 100,
              at,
              where.equals("above")
                  ? "the mass bends or the sensor's mounting gives there"
                  : "the cord, or inputs with different AC coupling"));
    }
  }

  private static String text(String format, Object... values) {
    return String.format(Locale.ROOT, format, values);
  }
}
