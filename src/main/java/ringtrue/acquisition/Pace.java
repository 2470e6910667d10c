package ringtrue.acquisition;

import java.util.concurrent.locks.LockSupport;

/**
 * How fast frames come that need not wait for a machine.
 *
 * @param timesRealTime 1 for as fast as they were recorded, 2 for twice as fast, infinite for
 *     without waiting
 */
public record Pace(double timesRealTime) {
  public static final Pace REAL_TIME = new Pace(1);
  public static final Pace AS_FAST_AS_POSSIBLE = new Pace(Double.POSITIVE_INFINITY);

  public Pace {
    if (!(timesRealTime > 0)) {
      throw new IllegalArgumentException("a pace must be more than zero, was " + timesRealTime);
    }
  }

  /** A stretch of time in which frames come. */
  final class Run {
    private final double framesPerNano;
    private final long start = System.nanoTime();

    Run(double sampleRateHz) {
      framesPerNano = sampleRateHz * timesRealTime * 1e-9;
    }

    /**
     * Waits until frames are due.
     *
     * @param from frames taken so far
     * @param most most frames wanted, at least 1
     * @return how many are due, 1 to {@code most}
     */
    int due(long from, int most) {
      if (Double.isInfinite(framesPerNano)) {
        return most;
      }
      while (true) {
        double now = (System.nanoTime() - start) * framesPerNano - from;
        if (now >= 1) {
          return (int) Math.min(now, most);
        }
        // a few milliseconds at a time, as a sound input would give them
        LockSupport.parkNanos(Math.max(2_000_000, (long) ((1 - now) / framesPerNano)));
      }
    }
  }
}
