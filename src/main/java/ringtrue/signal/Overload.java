package ringtrue.signal;

import java.util.Locale;
import ringtrue.acquisition.Channel;
import ringtrue.acquisition.TapFinder.Level;

/** Tells whether a block of recorded numbers was clipped, by the converter or before it. */
final class Overload {

  /** A full-scale number less one step of 16 bits counts as clipped. */
  private static final double ALMOST_FULL = 1 - 1 / 32768.0;

  private Overload() {}

  /**
   * Looks for numbers at full scale and for level tops.
   *
   * @param what which channel, in words
   * @param numbers recorded numbers
   * @param n how many
   * @param channel their meaning
   * @param level what the channel holds in all
   * @param unit its SI unit
   * @param whole whether the block lies in the recording as a whole; else what stands in for the
   *     missing part must not pass for a level top
   * @return why the block is overloaded, in a few words; null if it is not
   */
  static String in(
      String what,
      double[] numbers,
      int n,
      Channel channel,
      Level level,
      String unit,
      boolean whole) {
    double largest = Extremes.largest(numbers, n);
    double smallest = Extremes.smallest(numbers, n);
    double limit = channel.clipsAtNumber() * ALMOST_FULL;
    if (largest >= limit || smallest <= -limit) {
      int count = 0;
      for (int i = 0; i < n; i++) {
        count += Math.abs(numbers[i]) >= limit ? 1 : 0;
      }
      return String.format(
          Locale.ROOT,
          "the %s reaches the input's full scale of %.4g %s in %d %s",
          what,
          channel.clipsAtNumber() * channel.unitsPerNumber(),
          unit,
          count,
          count == 1 ? "sample" : "samples");
    }
    if (!whole) {
      return null;
    }
    double span = level.largestNumber() - level.smallestNumber();
    // A resting value that nothing goes below is an extreme too, but no overload.
    boolean forward = channel.scale() > 0;
    double above = forward ? level.highest() : -level.lowest();
    double below = forward ? -level.lowest() : level.highest();
    int flat = 0;
    if (above >= level.peak() / 2 && largest >= level.largestNumber() - 0.01 * span) {
      flat = flatTop(numbers, n, largest);
    }
    double at = largest;
    if (flat < 3 && below >= level.peak() / 2 && smallest <= level.smallestNumber() + 0.01 * span) {
      flat = flatTop(numbers, n, smallest);
      at = smallest;
    }
    return flat < 3
        ? null
        : String.format(
            Locale.ROOT,
            "the %s stays at exactly %.4g %s for %d samples, as a clipped signal does",
            what,
            at * channel.scale(),
            unit,
            flat);
  }

  /**
   * Longest run of samples that equal an extreme value and are entered or left with a jump. The
   * crest of a slow wave in coarse steps may be level too, but is entered by single steps.
   */
  private static int flatTop(double[] numbers, int n, double extreme) {
    int equal = 0;
    for (int i = 0; i < n; i++) {
      if (numbers[i] == extreme) {
        equal++;
      }
    }
    if (equal < 3) {
      return equal;
    }
    double step = Double.POSITIVE_INFINITY;
    for (int i = 1; i < n; i++) {
      double change = Math.abs(numbers[i] - numbers[i - 1]);
      if (change > 0 && change < step) {
        step = change;
      }
    }
    int best = 0;
    for (int i = 0; i < n; i++) {
      if (numbers[i] != extreme) {
        continue;
      }
      int from = i;
      while (i + 1 < n && numbers[i + 1] == extreme) {
        i++;
      }
      double in = from > 0 ? Math.abs(numbers[from - 1] - extreme) : 0;
      double out = i + 1 < n ? Math.abs(numbers[i + 1] - extreme) : 0;
      if (Math.max(in, out) >= 4 * step) {
        best = Math.max(best, i - from + 1);
      }
    }
    return best;
  }
}
