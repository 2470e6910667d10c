package ringtrue.signal;

/**
 * The shape of a blow in a block.
 *
 * @param peak largest force of the first pulse, positive
 * @param peakAt where, sample in the block
 * @param endAt first sample after the peak that is below a tenth of it
 * @param contactSamples how long the force stays above a tenth of the peak, in samples, crossings
 *     interpolated; NaN if it does not begin and end in the block
 * @param secondPeak largest force of a second pulse; NaN if there is none
 * @param secondAt where that is
 * @param largest largest force in the block
 */
record Pulse(
    double peak,
    int peakAt,
    int endAt,
    double contactSamples,
    double secondPeak,
    int secondAt,
    double largest) {

  /** A pulse this small beside the first is not looked at, as a fraction. */
  private static final double SMALLEST_SECOND = 0.05;

  /** Peaks with a dip between them that is not at least this deep are one rough pulse. */
  private static final double VALLEY = 0.5;

  /** Force swings below rest by this much of a later hump: the hammer rings, nothing is struck. */
  private static final double RINGING = 0.6;

  private static final double NOISE_MARGIN = 8;

  boolean isDouble() {
    return !Double.isNaN(secondPeak);
  }

  /** Whether the second pulse is so small beside the first that only its standing alone tells. */
  boolean isWeakDouble() {
    return secondPeak < SMALLEST_SECOND * peak;
  }

  /**
   * Looks at a block's force.
   *
   * @param force N, at rest 0
   * @param n how many samples
   * @param sign +1 where the pulses go up, −1 where they go down
   * @param noise standard deviation at rest, N
   */
  static Pulse of(double[] force, int n, double sign, double noise) {
    double largest =
        Math.max(0, sign > 0 ? Extremes.largest(force, n) : -Extremes.smallest(force, n));
    double begin = Math.max(SMALLEST_SECOND * largest, NOISE_MARGIN * noise);
    int i = 0;
    while (i < n && sign * force[i] < begin) {
      i++;
    }
    if (i == n || largest == 0) {
      return new Pulse(largest, 0, 0, Double.NaN, Double.NaN, 0, largest);
    }
    double peak = 0;
    int peakAt = i;
    while (i < n && sign * force[i] >= peak / 10) {
      if (sign * force[i] > peak) {
        peak = sign * force[i];
        peakAt = i;
      }
      i++;
    }
    int end = i;
    double contact = contact(force, n, sign, peak / 10, peakAt);
    double least = Math.max(SMALLEST_SECOND * peak, NOISE_MARGIN * noise);

    // A second hump within the contact itself: two blows that run into each other.
    double secondPeak = Double.NaN;
    int secondAt = 0;
    double top = 0;
    double valley = Double.POSITIVE_INFINITY;
    for (int j = 0; j < end; j++) {
      double v = sign * force[j];
      if (v > top && valley == Double.POSITIVE_INFINITY) {
        top = v;
      } else if (top >= begin) {
        if (v < valley) {
          valley = v;
        }
        if (valley <= VALLEY * top && v - valley >= least && valley <= VALLEY * v) {
          secondPeak = v;
          secondAt = j;
          for (int k = j; k < end && sign * force[k] >= v / 2; k++) {
            if (sign * force[k] > secondPeak) {
              secondPeak = sign * force[k];
              secondAt = k;
            }
          }
          return new Pulse(peak, peakAt, end, contact, secondPeak, secondAt, largest);
        }
        if (v > top) {
          top = v;
          valley = Double.POSITIVE_INFINITY;
        }
      }
    }

    // A hump after the contact.
    double lowest = end < n ? sign * force[end] : 0;
    int seen = end;
    for (int j = end; j < n; j++) {
      double v = sign * force[j];
      if (v < least) {
        continue;
      }
      for (; seen <= j; seen++) {
        lowest = Math.min(lowest, sign * force[seen]);
      }
      if (v - lowest < least || lowest > VALLEY * v) {
        continue;
      }
      double hump = v;
      int humpAt = j;
      int k = j;
      for (; k < n && sign * force[k] >= hump / 2; k++) {
        if (sign * force[k] > hump) {
          hump = sign * force[k];
          humpAt = k;
        }
      }
      if (!rings(force, n, sign, end, humpAt, hump)) {
        return new Pulse(peak, peakAt, end, contact, hump, humpAt, largest);
      }
      j = k;
      seen = k;
      lowest = k < n ? sign * force[k] : 0;
    }
    Pulse first = new Pulse(peak, peakAt, end, contact, Double.NaN, 0, largest);
    WeakBlow weak = WeakBlow.behind(force, n, sign, noise, first);
    return weak == null
        ? first
        : new Pulse(peak, peakAt, end, contact, weak.top(), weak.at(), largest);
  }

  /** Whether the force swings as far below rest around a hump as the hump is high. */
  private static boolean rings(
      double[] force, int n, double sign, int end, int humpAt, double hump) {
    int reach = Math.max(3, humpAt - end);
    double lowest = 0;
    for (int j = Math.max(end, humpAt - reach); j < Math.min(n, humpAt + reach); j++) {
      lowest = Math.min(lowest, sign * force[j]);
    }
    return -lowest >= RINGING * hump;
  }

  private static double contact(double[] force, int n, double sign, double level, int peakAt) {
    int from = peakAt;
    while (from > 0 && sign * force[from - 1] >= level) {
      from--;
    }
    int to = peakAt;
    while (to + 1 < n && sign * force[to + 1] >= level) {
      to++;
    }
    if (from == 0 || to + 1 == n) {
      return Double.NaN;
    }
    double up = sign * force[from];
    double upBefore = sign * force[from - 1];
    double down = sign * force[to];
    double downAfter = sign * force[to + 1];
    return to - from + (up - level) / (up - upBefore) + (down - level) / (down - downAfter);
  }
}
