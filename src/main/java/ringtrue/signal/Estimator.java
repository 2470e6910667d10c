package ringtrue.signal;

/**
 * How averaged spectra become a frequency response (Bendat and Piersol, Random Data). Sfx is
 * mean(conj(F) X).
 */
public enum Estimator {
  /** Sfx/Sff: noise on the response averages out; noise on the force biases it low. */
  H1,
  /** Sxx/Sxf: noise on the force averages out; noise on the response biases it high. */
  H2,
  /** Geometric mean magnitude of H1 and H2 with the phase of H1: total least squares. */
  HV;

  /** The name used in files: {@code H1}, {@code H2} or {@code Hv}. */
  public String word() {
    return this == HV ? "Hv" : name();
  }
}
