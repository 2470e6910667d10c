package ringtrue.signal;

/**
 * Undoes the first-order high-pass of an AC-coupled input.
 *
 * <p>The input obeys {@code y' + ωc y = x'}, hence {@code x(t) = y(t) + ωc ∫ y dt}: exact in the
 * time domain, whatever windows come afterwards, and also where the block ends before the input has
 * recovered. The integral over a sampling step is that of the cubic through the four nearest
 * samples, {@code T (−y₋₁ + 13 y₀ + 13 y₁ − y₂)/24}; its relative error at f is (11/720)(2πf/fs)⁴,
 * and only the part ωc/(2πf) of the signal passes through it.
 */
final class HighPassInverse {

  private HighPassInverse() {}

  /**
   * Replaces what the input let through by what came in.
   *
   * @param y samples, at rest (0) in the beginning
   * @param n how many
   * @param cornerHz corner frequency, Hz, positive
   * @param sampleRateHz sample rate, Hz
   */
  static void apply(double[] y, int n, double cornerHz, double sampleRateHz) {
    double part = 2 * Math.PI * cornerHz / (24 * sampleRateHz);
    double sum = 0;
    double before = 0;
    double here = y[0];
    for (int i = 0; i + 1 < n; i++) {
      double next = y[i + 1];
      double after = i + 2 < n ? y[i + 2] : next;
      sum += part * (13 * (here + next) - before - after);
      before = here;
      here = next;
      y[i + 1] = next + sum;
    }
  }
}
