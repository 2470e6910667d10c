package ringtrue.signal;

/**
 * Spectra summed over taps, lines 1 to N/2: Sff, Sxx and Sfx = Σ conj(F) X. Sums serve as well as
 * means, since only their ratios are asked for.
 */
final class Averages {
  final double[] sff;
  final double[] sxx;
  final double[] sfxRe;
  final double[] sfxIm;
  private int taps;

  Averages(int lines) {
    sff = new double[lines];
    sxx = new double[lines];
    sfxRe = new double[lines];
    sfxIm = new double[lines];
  }

  int lines() {
    return sff.length;
  }

  int taps() {
    return taps;
  }

  /**
   * Adds one tap.
   *
   * @param f force spectrum: real and imaginary part of line k at 2k and 2k+1
   * @param x response spectrum likewise
   */
  void add(double[] f, double[] x) {
    for (int i = 0, at = 2; i < sff.length; i++, at += 2) {
      double fr = f[at];
      double fi = f[at + 1];
      double xr = x[at];
      double xi = x[at + 1];
      sff[i] += fr * fr + fi * fi;
      sxx[i] += xr * xr + xi * xi;
      sfxRe[i] += fr * xr + fi * xi;
      sfxIm[i] += fr * xi - fi * xr;
    }
    taps++;
  }

  /** Ordinary coherence of line i (from 0), 0 to 1; 0 where there is no signal at all. */
  double coherence(int i) {
    double both = sff[i] * sxx[i];
    if (!(both > 0)) {
      return 0;
    }
    return Math.min(1, (sfxRe[i] * sfxRe[i] + sfxIm[i] * sfxIm[i]) / both);
  }

  /**
   * Response per force at line i in the sensor's own quantity.
   *
   * @param estimator which
   * @param into real and imaginary part; 0 where there is no force (H1, Hv) or nothing coherent
   *     (H2)
   */
  void ratio(Estimator estimator, int i, double[] into) {
    double re = sfxRe[i];
    double im = sfxIm[i];
    double scale =
        switch (estimator) {
          case H1 -> 1 / sff[i];
          // Sxx/Sxf, and Sxf is the conjugate of Sfx: Sxx Sfx/|Sfx|².
          case H2 -> sxx[i] / (re * re + im * im);
          case HV -> Math.sqrt(sxx[i] / sff[i] / (re * re + im * im));
        };
    boolean usable = Double.isFinite(scale);
    into[0] = usable ? re * scale : 0;
    into[1] = usable ? im * scale : 0;
  }
}
