package ringtrue.signal;

import java.util.Arrays;

/**
 * Length and windows of a tap's block, in samples.
 *
 * @param samples block length N
 * @param preTrigger samples before the trigger, P
 * @param sampleRateHz sample rate, Hz
 * @param forceWindow force window or {@link Processing.ForceWindow#NONE}
 * @param timeConstantS time constant of the exponential window, s; infinite for none
 */
record BlockShape(
    int samples,
    int preTrigger,
    double sampleRateHz,
    Processing.ForceWindow forceWindow,
    double timeConstantS) {

  /** Lines above zero: 1 to N/2. */
  int lines() {
    return samples / 2;
  }

  double resolutionHz() {
    return sampleRateHz / samples;
  }

  /** Samples whose mean is the resting value: the first half of the pre-trigger part. */
  int restingSamples() {
    return preTrigger / 2;
  }

  /** Number of samples from which on the force window is 0; N where it never is. */
  int forceSamples() {
    if (forceWindow.isNone()) {
      return samples;
    }
    double end =
        (double) preTrigger
            + Math.round(forceWindow.lengthS() * sampleRateHz)
            + Math.round(forceWindow.taperS() * sampleRateHz);
    return (int) Math.min(samples, end);
  }

  /** The exponential window w(n) = exp(−n/(fs τ)) from the block's start; all 1 for none. */
  double[] exponential() {
    double[] w = new double[samples];
    if (Double.isInfinite(timeConstantS)) {
      Arrays.fill(w, 1);
      return w;
    }
    double rate = -1 / (sampleRateHz * timeConstantS);
    // exp(a + b) = exp(a) exp(b): two short rows of exponentials instead of one long one.
    int row = 1024;
    double[] within = new double[Math.min(row, samples)];
    for (int n = 0; n < within.length; n++) {
      within[n] = Math.exp(rate * n);
    }
    for (int from = 0; from < samples; from += row) {
      double start = Math.exp(rate * from);
      int end = Math.min(samples, from + row);
      for (int n = from; n < end; n++) {
        w[n] = start * within[n - from];
      }
    }
    return w;
  }

  /**
   * The force window, up to its last value that is not 0: 1 to the end of its length after the
   * trigger, then 0.5 (1 + cos) over the taper.
   */
  double[] force() {
    double[] w = new double[forceSamples()];
    if (forceWindow.isNone()) {
      Arrays.fill(w, 1);
      return w;
    }
    long flat = preTrigger + Math.round(forceWindow.lengthS() * sampleRateHz);
    double taper = Math.round(forceWindow.taperS() * sampleRateHz);
    for (int n = 0; n < w.length; n++) {
      w[n] = n < flat ? 1 : 0.5 * (1 + Math.cos(Math.PI * (n - flat) / taper));
    }
    return w;
  }
}
