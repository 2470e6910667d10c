package ringtrue.acquisition;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.apache.commons.math3.random.RandomGenerator;

/**
 * How somebody with a hammer goes about a series of taps. Scatter is seeded: the same plan and seed
 * give the same blows.
 *
 * @param taps how many taps
 * @param firstOnsetS when the first begins, s
 * @param intervalS mean time from one to the next, s
 * @param intervalSpread half width of the even spread of that time, as a fraction of it
 * @param peakForceN mean peak force, N
 * @param peakSpread standard deviation of it, as a fraction; cut off at 2.5 of them
 * @param contactS mean contact time, s
 * @param contactSpread standard deviation of it, as a fraction; cut off at 2.5 of them
 * @param gainSpread standard deviation of the part of the force that acts in the measured direction
 * @param shape course of the force
 * @param doubleHits taps in which the hammer bounces, and how
 * @param strengths taps that are weaker or stronger than meant, and by what factor
 */
public record BlowPlan(
    int taps,
    double firstOnsetS,
    double intervalS,
    double intervalSpread,
    double peakForceN,
    double peakSpread,
    double contactS,
    double contactSpread,
    double gainSpread,
    PulseShape shape,
    Map<Integer, Bounce> doubleHits,
    Map<Integer, Double> strengths) {

  /**
   * A second blow.
   *
   * @param delayS after the onset of the first, s
   * @param peakRatio its peak force, as a fraction of the first one's
   */
  public record Bounce(double delayS, double peakRatio) {}

  public BlowPlan {
    if (taps < 1) {
      throw new IllegalArgumentException("at least one tap is needed, was " + taps);
    }
    for (double spread : new double[] {intervalSpread, peakSpread, contactSpread, gainSpread}) {
      if (!(spread >= 0 && spread < 0.4)) {
        throw new IllegalArgumentException("a spread must lie between 0 and 0.4, was " + spread);
      }
    }
    doubleHits = Map.copyOf(doubleHits);
    strengths = Map.copyOf(strengths);
  }

  /** Straight sin² blows, all alike, first one at 0.1 s. */
  public static BlowPlan of(int taps, double intervalS, double peakForceN, double contactS) {
    return new BlowPlan(
        taps,
        0.1,
        intervalS,
        0,
        peakForceN,
        0,
        contactS,
        0,
        0,
        PulseShape.SINE_SQUARED,
        Map.of(),
        Map.of());
  }

  /** The same beginning at another time. */
  public BlowPlan withFirstOnset(double onsetS) {
    return new BlowPlan(
        taps,
        onsetS,
        intervalS,
        intervalSpread,
        peakForceN,
        peakSpread,
        contactS,
        contactSpread,
        gainSpread,
        shape,
        doubleHits,
        strengths);
  }

  /** The same with a human hand: scatter of the interval, peak force, contact time and angle. */
  public BlowPlan withSpread(double interval, double peak, double contact, double gain) {
    return new BlowPlan(
        taps,
        firstOnsetS,
        intervalS,
        interval,
        peakForceN,
        peak,
        contactS,
        contact,
        gain,
        shape,
        doubleHits,
        strengths);
  }

  /** The same with another course of the force. */
  public BlowPlan withShape(PulseShape other) {
    return new BlowPlan(
        taps,
        firstOnsetS,
        intervalS,
        intervalSpread,
        peakForceN,
        peakSpread,
        contactS,
        contactSpread,
        gainSpread,
        other,
        doubleHits,
        strengths);
  }

  /** The same with a bounce in one tap, counted from 1. */
  public BlowPlan withDoubleHit(int tap, double delayS, double peakRatio) {
    Map<Integer, Bounce> more = new TreeMap<>(doubleHits);
    more.put(tap, new Bounce(delayS, peakRatio));
    return new BlowPlan(
        taps,
        firstOnsetS,
        intervalS,
        intervalSpread,
        peakForceN,
        peakSpread,
        contactS,
        contactSpread,
        gainSpread,
        shape,
        more,
        strengths);
  }

  /** The same with one tap, counted from 1, weaker or stronger by a factor. */
  public BlowPlan withStrength(int tap, double factor) {
    Map<Integer, Double> more = new TreeMap<>(strengths);
    more.put(tap, factor);
    return new BlowPlan(
        taps,
        firstOnsetS,
        intervalS,
        intervalSpread,
        peakForceN,
        peakSpread,
        contactS,
        contactSpread,
        gainSpread,
        shape,
        doubleHits,
        more);
  }

  /** The blows that come of it, in order of time. */
  public List<Blow> blows(long seed) {
    RandomGenerator random = Seeds.generator(seed, 0, 0);
    List<Blow> blows = new ArrayList<>();
    double onset = firstOnsetS;
    for (int tap = 1; tap <= taps; tap++) {
      double strength = strengths.getOrDefault(tap, 1.0);
      double peak = peakForceN * (1 + peakSpread * cut(random)) * strength;
      double contact = contactS * (1 + contactSpread * cut(random));
      double gain = 1 + gainSpread * cut(random);
      blows.add(new Blow(tap, onset, peak, contact, shape, gain));
      Bounce bounce = doubleHits.get(tap);
      if (bounce != null) {
        blows.add(
            new Blow(tap, onset + bounce.delayS, peak * bounce.peakRatio, contact, shape, gain));
      }
      onset += intervalS * (1 + intervalSpread * (2 * random.nextDouble() - 1));
    }
    return List.copyOf(blows);
  }

  /** How long a recording must be for the last tap to have a full interval too, s. */
  public double durationS(long seed) {
    List<Blow> blows = blows(seed);
    return blows.get(blows.size() - 1).onsetS() + intervalS;
  }

  private static double cut(RandomGenerator random) {
    return Math.max(-2.5, Math.min(2.5, random.nextGaussian()));
  }
}
