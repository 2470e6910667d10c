package ringtrue.fitting;

import java.util.Arrays;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.units.BadInputException;

/**
 * The lines of a response that a fit works on: values G at s = iω + 1/τ with their noise. All
 * arrays have the same length and are not changed by anyone.
 */
final class FitLines {
  /** Fewer lines than these cannot carry a mode (three unknowns) and two residual terms. */
  static final int FEWEST = 12;

  /** Angular frequency ω, rad/s, rising. */
  final double[] omega;

  /** Real part of the receptance, m/N. */
  final double[] re;

  /** Imaginary part of the receptance, m/N. */
  final double[] im;

  /** One-sigma noise of the real part, and of the imaginary part, m/N, positive. */
  final double[] sigma;

  /** 1/τ of the exponential window, 1/s; 0 for none. */
  final double shift;

  /** Distance between neighbouring lines of the measurement, rad/s. */
  final double spacing;

  /** Chi-square that goes with these lines whatever the model: see {@link LineGroups}. */
  final double scatter;

  FitLines(double[] omega, double[] re, double[] im, double[] sigma, double shift, double spacing) {
    this(omega, re, im, sigma, shift, spacing, 0);
  }

  FitLines(
      double[] omega,
      double[] re,
      double[] im,
      double[] sigma,
      double shift,
      double spacing,
      double scatter) {
    this.omega = omega;
    this.re = re;
    this.im = im;
    this.sigma = sigma;
    this.shift = shift;
    this.spacing = spacing;
    this.scatter = scatter;
  }

  /**
   * The lines in the band, with their noise.
   *
   * @throws BadInputException if the band lies outside the data or holds too few lines
   */
  static FitLines of(FrequencyResponse response, FitSettings settings) {
    int last = response.lines() - 1;
    double low = settings.bandLowHz().orElse(response.origin().bandLowHz());
    double high = settings.bandHighHz().orElse(response.origin().bandHighHz());
    boolean given = settings.bandLowHz().isPresent() || settings.bandHighHz().isPresent();
    if (!given && !(low < high)) {
      throw new BadInputException(
          response.origin().remarks().stream()
                  .filter(r -> r.startsWith("no usable band"))
                  .findFirst()
                  .orElse("no line of the response is usable")
              + "; does the response channel see the blows?");
    }
    if (!(low < high) || low > response.frequencyHz(last) || high < response.frequencyHz(0)) {
      throw new BadInputException(
          "band: "
              + Sentence.hertz(low)
              + " to "
              + Sentence.hertz(high)
              + " holds no data; choose a rising band within "
              + Sentence.hertz(response.frequencyHz(0))
              + " to "
              + Sentence.hertz(response.frequencyHz(last)));
    }
    int from = response.firstLineAtOrAbove(low);
    int to = response.firstLineAtOrAbove(Math.nextUp(high));
    if (to - from < FEWEST) {
      throw new BadInputException(
          "band: "
              + Sentence.hertz(low)
              + " to "
              + Sentence.hertz(high)
              + " holds "
              + (to - from)
              + (to - from == 1 ? " line" : " lines")
              + ", a fit needs "
              + FEWEST
              + " or more; widen the band or measure longer blocks");
    }
    int n = to - from;
    double[] omega = new double[n];
    double[] re = new double[n];
    double[] im = new double[n];
    for (int i = 0; i < n; i++) {
      omega[i] = 2 * Math.PI * response.frequencyHz(from + i);
      re[i] = response.real(from + i);
      im[i] = response.imag(from + i);
    }
    double[] sigma = NoiseLevel.of(response, from, to);
    double shift = 1 / response.windowTimeConstantS();
    double spacing = (omega[n - 1] - omega[0]) / (n - 1);
    return new FitLines(omega, re, im, sigma, shift, spacing);
  }

  int size() {
    return omega.length;
  }

  /** Index of the first line at or above an angular frequency; the number of lines if none is. */
  int firstAtOrAbove(double w) {
    int at = Arrays.binarySearch(omega, w);
    return at >= 0 ? at : -at - 1;
  }

  double lowHz() {
    return omega[0] / (2 * Math.PI);
  }

  double highHz() {
    return omega[size() - 1] / (2 * Math.PI);
  }

  double spacingHz() {
    return spacing / (2 * Math.PI);
  }

  double magnitude(int i) {
    return Math.hypot(re[i], im[i]);
  }

  FitLines withSigma(double[] other) {
    return new FitLines(omega, re, im, other, shift, spacing);
  }

  /** The same with the opposite sign. */
  FitLines mirrored() {
    double[] minusRe = new double[size()];
    double[] minusIm = new double[size()];
    for (int i = 0; i < size(); i++) {
      minusRe[i] = -re[i];
      minusIm[i] = -im[i];
    }
    return new FitLines(omega, minusRe, minusIm, sigma, shift, spacing);
  }
}
