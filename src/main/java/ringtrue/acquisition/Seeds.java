package ringtrue.acquisition;

import org.apache.commons.math3.random.RandomGenerator;
import org.apache.commons.math3.random.Well1024a;

/** Independent streams of random numbers for the parts of one simulated recording. */
final class Seeds {
  private Seeds() {}

  /** A generator that depends on all three numbers and on nothing else. */
  static RandomGenerator generator(long seed, long stream, long block) {
    return new Well1024a(mix(mix(mix(seed) + stream) + block));
  }

  /** Finaliser of SplitMix64 (Steele, Lea & Flood 2014): neighbours become strangers. */
  private static long mix(long z) {
    z += 0x9E3779B97F4A7C15L;
    z = (z ^ (z >>> 30)) * 0xBF58476D1CE4E5B9L;
    z = (z ^ (z >>> 27)) * 0x94D049BB133111EBL;
    return z ^ (z >>> 31);
  }
}
