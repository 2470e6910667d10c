package ringtrue.ui.tapping;

import ringtrue.dynamics.FrequencyResponse;

/**
 * A response thinned to what a small chart can show.
 *
 * @param hz frequencies
 * @param magnitude of the receptance, m/N
 * @param coherence 0 to 1, NaN where unknown
 * @param lowHz lower end of the usable band
 * @param highHz its upper end
 * @param taps how many were averaged
 */
record Averaged(
    double[] hz, double[] magnitude, double[] coherence, double lowHz, double highHz, int taps) {
  private static final int MOST = 1200;

  static Averaged of(FrequencyResponse of) {
    FrequencyResponse.Origin origin = of.origin();
    int end = Math.max(2, Math.min(of.lines(), of.firstLineAtOrAbove(1.25 * origin.bandHighHz())));
    int step = Math.max(1, end / MOST);
    int n = end / step;
    double[] hz = new double[n];
    double[] magnitude = new double[n];
    double[] coherence = new double[n];
    for (int i = 0; i < n; i++) {
      hz[i] = of.frequencyHz(i * step);
      // of the lines left out, the most telling: the largest, and the least sure
      for (int k = i * step; k < (i + 1) * step; k++) {
        magnitude[i] = Math.max(magnitude[i], of.magnitude(k));
        double c = of.coherence(k);
        coherence[i] = k == i * step ? c : Math.min(coherence[i], c);
      }
    }
    return new Averaged(
        hz, magnitude, coherence, origin.bandLowHz(), origin.bandHighHz(), origin.averages());
  }
}
