package ringtrue.acquisition;

import java.util.List;
import java.util.stream.DoubleStream;

/**
 * One input of the virtual rig: sensor, cable and converter.
 *
 * @param sensitivityVPerUnit V per SI unit of what the sensor feels, positive
 * @param fullScaleV V that are recorded as 1
 * @param noiseRmsV white noise, V
 * @param offsetV constant error, V
 * @param humHz frequency of the mains, Hz
 * @param humV amplitudes of the hum and its harmonics, V; empty for none
 * @param highPassHz corner of the first-order high-pass of an AC-coupled input, Hz; 0 for none. It
 *     acts on the sensor's signal alone.
 * @param bits resolution of the converter, whose range ends at ±fullScaleV; 0 for a perfect one
 *     without steps or ends
 * @param polarity +1, or −1 for a sensor that faces against the direction of the blow
 * @param skewS how late it is sampled: sample n is taken at n/fs + skewS
 */
public record RigChannel(
    double sensitivityVPerUnit,
    double fullScaleV,
    double noiseRmsV,
    double offsetV,
    double humHz,
    List<Double> humV,
    double highPassHz,
    int bits,
    int polarity,
    double skewS) {

  /** Records SI units as they are. */
  public static final RigChannel PERFECT = new RigChannel(1, 1, 0, 0, 50, List.of(), 0, 0, 1, 0);

  public RigChannel {
    if (!(sensitivityVPerUnit > 0 && fullScaleV > 0 && noiseRmsV >= 0 && highPassHz >= 0)) {
      throw new IllegalArgumentException(
          "sensitivity and full scale must be positive, noise and corner not negative");
    }
    if (bits != 0 && (bits < 8 || bits > 32)) {
      throw new IllegalArgumentException("a converter has 8 to 32 bits, or 0 for none: " + bits);
    }
    if (polarity != 1 && polarity != -1) {
      throw new IllegalArgumentException("polarity must be +1 or -1, was " + polarity);
    }
    humV = List.copyOf(humV);
  }

  /** A quiet 24-bit input. */
  public static RigChannel of(double sensitivityVPerUnit, double fullScaleV) {
    return new RigChannel(sensitivityVPerUnit, fullScaleV, 0, 0, 50, List.of(), 0, 24, 1, 0);
  }

  /** The same with white noise, V rms. */
  public RigChannel withNoise(double rmsV) {
    return new RigChannel(
        sensitivityVPerUnit,
        fullScaleV,
        rmsV,
        offsetV,
        humHz,
        humV,
        highPassHz,
        bits,
        polarity,
        skewS);
  }

  /** The same with a constant error, V. */
  public RigChannel withOffset(double volt) {
    return new RigChannel(
        sensitivityVPerUnit,
        fullScaleV,
        noiseRmsV,
        volt,
        humHz,
        humV,
        highPassHz,
        bits,
        polarity,
        skewS);
  }

  /** The same with mains hum: amplitudes of the mains frequency and of its harmonics, V. */
  public RigChannel withHum(double mainsHz, double... amplitudesV) {
    return new RigChannel(
        sensitivityVPerUnit,
        fullScaleV,
        noiseRmsV,
        offsetV,
        mainsHz,
        DoubleStream.of(amplitudesV).boxed().toList(),
        highPassHz,
        bits,
        polarity,
        skewS);
  }

  /** The same as an AC-coupled input. */
  public RigChannel withHighPass(double cornerHz) {
    return new RigChannel(
        sensitivityVPerUnit,
        fullScaleV,
        noiseRmsV,
        offsetV,
        humHz,
        humV,
        cornerHz,
        bits,
        polarity,
        skewS);
  }

  /** The same with a converter of that many bits; 0 for a perfect one. */
  public RigChannel withBits(int number) {
    return new RigChannel(
        sensitivityVPerUnit,
        fullScaleV,
        noiseRmsV,
        offsetV,
        humHz,
        humV,
        highPassHz,
        number,
        polarity,
        skewS);
  }

  /** The same facing the other way. */
  public RigChannel reversed() {
    return new RigChannel(
        sensitivityVPerUnit,
        fullScaleV,
        noiseRmsV,
        offsetV,
        humHz,
        humV,
        highPassHz,
        bits,
        -polarity,
        skewS);
  }

  /** The same sampled later, s. */
  public RigChannel withSkew(double laterS) {
    return new RigChannel(
        sensitivityVPerUnit,
        fullScaleV,
        noiseRmsV,
        offsetV,
        humHz,
        humV,
        highPassHz,
        bits,
        polarity,
        laterS);
  }

  /** What a reader of the recording has to know of the input. */
  Channel described(int number) {
    return new Channel(
        number,
        fullScaleV / sensitivityVPerUnit,
        bits == 0 ? Double.POSITIVE_INFINITY : 1,
        polarity,
        highPassHz);
  }
}
