package ringtrue.signal;

import ringtrue.acquisition.Channel;
import ringtrue.acquisition.TapFinder.Level;

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
   * Resting value of a channel whose high-pass is to be undone. What is left of an offset would be
   * integrated to a ramp, and a few milliseconds before a tap tell it badly where there is hum. But
   * what has passed a high-pass has mean 0 over a long time: the mean of the recording is the
   * converter's offset.
   *
   * @param channel the channel
   * @param level what it holds
   * @param recordedS how long the recording is, s
   * @param index its number, from 0
   * @return resting value in SI; NaN if there is no high-pass, or the recording is too short
   */
  static double rest(Channel channel, Level level, double recordedS, int index) {
    return 2 * Math.PI * channel.highPassHz() * recordedS > 20
        ? level.means().get(index)
        : Double.NaN;
  }

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
