package ringtrue.acquisition;

/**
 * One blow of the simulated hammer; what a recording of it really contains.
 *
 * @param tap which tap it belongs to, counted from 1; the second blow of a double hit has the same
 *     number as the first
 * @param onsetS when contact begins, s from the start of the recording
 * @param peakForceN largest force, N
 * @param contactS how long contact lasts, s
 * @param shape course of the force
 * @param gain part of the force that acts in the measured direction, 1 unless the hammer was held
 *     askew; the hammer's own sensor feels all of it
 */
public record Blow(
    int tap, double onsetS, double peakForceN, double contactS, PulseShape shape, double gain) {

  public Blow {
    if (!Double.isFinite(onsetS) || !(peakForceN > 0) || Double.isInfinite(peakForceN)) {
      throw new IllegalArgumentException(
          "a blow needs an onset and a positive force, had " + onsetS + " s, " + peakForceN + " N");
    }
    if (!(contactS > 0) || Double.isInfinite(contactS)) {
      throw new IllegalArgumentException("contact time must be positive, was " + contactS + " s");
    }
    if (!Double.isFinite(gain)) {
      throw new IllegalArgumentException("gain must be finite, was " + gain);
    }
  }

  /** A straight blow with the force course sin². */
  public static Blow of(int tap, double onsetS, double peakForceN, double contactS) {
    return new Blow(tap, onsetS, peakForceN, contactS, PulseShape.SINE_SQUARED, 1);
  }

  /** Momentum that the hammer hands over, N s. */
  public double impulseNs() {
    return peakForceN * contactS * shape.impulseFactor();
  }
}
