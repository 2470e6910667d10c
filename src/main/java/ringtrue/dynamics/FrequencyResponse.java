package ringtrue.dynamics;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Objects;

/**
 * A measured receptance over rising frequency, with what is known about its quality. Immutable.
 *
 * <p>If the response was taken with an exponential window of time constant τ, the values are {@code
 * G(iω + 1/τ)} of the structure's receptance G: {@link #windowTimeConstantS()} says so, and whoever
 * fits or uses the response has to allow for it.
 */
public final class FrequencyResponse implements Receptance {
  private final double[] frequencyHz;
  private final double[] real;
  private final double[] imag;
  private final double[] coherence;
  private final double[] relativeError;
  private final Origin origin;

  /**
   * Where a response comes from and how far it can be used.
   *
   * @param axis direction in machine axes, for example {@code "x"}; may be empty
   * @param point where it was measured, for example {@code "tool tip"}; may be empty
   * @param averages number of taps averaged, at least 1
   * @param windowTimeConstantS time constant of the exponential window, s; infinite where none
   * @param bandLowHz lowest usable frequency, Hz
   * @param bandHighHz highest usable frequency, Hz
   * @param source what was measured, for captions; may be empty
   * @param remarks sentences that a reader of the values should know
   */
  public record Origin(
      String axis,
      String point,
      int averages,
      double windowTimeConstantS,
      double bandLowHz,
      double bandHighHz,
      String source,
      List<String> remarks) {

    public Origin {
      Objects.requireNonNull(axis, "axis");
      Objects.requireNonNull(point, "point");
      Objects.requireNonNull(source, "source");
      remarks = List.copyOf(remarks);
      if (averages < 1) {
        throw new IllegalArgumentException("averages must be at least 1, was " + averages);
      }
      if (!(windowTimeConstantS > 0)) {
        throw new IllegalArgumentException(
            "window time constant must be positive (infinite for none), was "
                + windowTimeConstantS
                + " s");
      }
      if (!(bandLowHz >= 0 && bandHighHz >= bandLowHz)) {
        throw new IllegalArgumentException(
            "usable band must rise from a frequency ≥ 0, was " + bandLowHz + " to " + bandHighHz);
      }
    }

    /** No window, one tap, everything else unsaid. */
    public static Origin unknown(double bandLowHz, double bandHighHz) {
      return new Origin("", "", 1, Double.POSITIVE_INFINITY, bandLowHz, bandHighHz, "", List.of());
    }

    /** The same with one more remark. */
    public Origin withRemark(String remark) {
      List<String> all = new ArrayList<>(remarks);
      all.add(remark);
      return new Origin(
          axis, point, averages, windowTimeConstantS, bandLowHz, bandHighHz, source, all);
    }
  }

  /**
   * @param frequencyHz rising positive frequencies, Hz, at least two
   * @param real real part, m/N, one for each frequency
   * @param imag imaginary part, m/N
   * @param coherence ordinary coherence, 0 to 1; NaN where unknown; null if unknown everywhere
   * @param relativeError one-sigma relative error of the magnitude; NaN where unknown; null if
   *     unknown everywhere
   * @param origin where it comes from
   */
  public FrequencyResponse(
      double[] frequencyHz,
      double[] real,
      double[] imag,
      double[] coherence,
      double[] relativeError,
      Origin origin) {
    int n = frequencyHz.length;
    if (n < 2) {
      throw new IllegalArgumentException("a frequency response needs two lines or more, has " + n);
    }
    double before = 0;
    for (int i = 0; i < n; i++) {
      if (!(frequencyHz[i] > before) || Double.isInfinite(frequencyHz[i])) {
        throw new IllegalArgumentException(
            "frequencies must be positive and rising; line "
                + (i + 1)
                + " has "
                + frequencyHz[i]
                + " Hz after "
                + before
                + " Hz");
      }
      before = frequencyHz[i];
    }
    this.frequencyHz = frequencyHz.clone();
    this.real = finite("real part", real, n);
    this.imag = finite("imaginary part", imag, n);
    this.coherence = coherence == null ? unknown(n) : sized("coherence", coherence, n);
    this.relativeError =
        relativeError == null ? unknown(n) : sized("relative error", relativeError, n);
    this.origin = Objects.requireNonNull(origin, "origin");
  }

  /** Number of frequency lines. */
  public int lines() {
    return frequencyHz.length;
  }

  /** Frequency of line i, Hz. */
  public double frequencyHz(int i) {
    return frequencyHz[i];
  }

  /** Real part of the receptance at line i, m/N. */
  public double real(int i) {
    return real[i];
  }

  /** Imaginary part of the receptance at line i, m/N. */
  public double imag(int i) {
    return imag[i];
  }

  /** Magnitude of the receptance at line i, m/N. */
  public double magnitude(int i) {
    return Math.hypot(real[i], imag[i]);
  }

  /** Coherence at line i, 0 to 1; NaN where unknown, as with a single tap. */
  public double coherence(int i) {
    return coherence[i];
  }

  /** One-sigma relative error of the magnitude at line i; NaN where unknown. */
  public double relativeError(int i) {
    return relativeError[i];
  }

  /**
   * Median coherence of the lines in a band: how much of the response the force explains.
   *
   * @return NaN where no line of the band has one, as with a single tap
   */
  public double medianCoherence(double lowHz, double highHz) {
    double[] known =
        java.util.stream.IntStream.range(0, lines())
            .filter(i -> frequencyHz(i) >= lowHz && frequencyHz(i) <= highHz)
            .mapToDouble(this::coherence)
            .filter(c -> !Double.isNaN(c))
            .sorted()
            .toArray();
    return known.length == 0 ? Double.NaN : known[known.length / 2];
  }

  /** All frequencies, Hz, as a copy. */
  public double[] frequencies() {
    return frequencyHz.clone();
  }

  public Origin origin() {
    return origin;
  }

  /** Time constant of the exponential window in the values, s; infinite where there is none. */
  public double windowTimeConstantS() {
    return origin.windowTimeConstantS();
  }

  /** Distance between the first two lines, Hz. */
  public double resolutionHz() {
    return frequencyHz[1] - frequencyHz[0];
  }

  /** First line at or above a frequency; {@link #lines()} if there is none. */
  public int firstLineAtOrAbove(double hz) {
    int i = Arrays.binarySearch(frequencyHz, hz);
    return i >= 0 ? i : -i - 1;
  }

  /**
   * Linear interpolation of real and imaginary part; outside the measured range the nearest line's
   * value.
   */
  @Override
  public void at(double hz, double[] into) {
    int above = firstLineAtOrAbove(hz);
    if (above == 0 || above == lines() || frequencyHz[above] == hz) {
      int i = Math.min(above, lines() - 1);
      into[0] = real[i];
      into[1] = imag[i];
      return;
    }
    double part = (hz - frequencyHz[above - 1]) / (frequencyHz[above] - frequencyHz[above - 1]);
    into[0] = real[above - 1] + part * (real[above] - real[above - 1]);
    into[1] = imag[above - 1] + part * (imag[above] - imag[above - 1]);
  }

  private static double[] unknown(int n) {
    double[] all = new double[n];
    Arrays.fill(all, Double.NaN);
    return all;
  }

  private static double[] sized(String what, double[] values, int n) {
    if (values.length != n) {
      throw new IllegalArgumentException(
          what + " has " + values.length + " values for " + n + " frequencies");
    }
    return values.clone();
  }

  private static double[] finite(String what, double[] values, int n) {
    for (int i = 0; i < values.length; i++) {
      if (!Double.isFinite(values[i])) {
        throw new IllegalArgumentException(what + " of line " + (i + 1) + " is " + values[i]);
      }
    }
    return sized(what, values, n);
  }
}
