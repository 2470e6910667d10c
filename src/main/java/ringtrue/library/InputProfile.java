package ringtrue.library;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Objects;
import java.util.Optional;
import ringtrue.acquisition.Channel;
import ringtrue.acquisition.Recording;
import ringtrue.acquisition.ResponseQuantity;
import ringtrue.acquisition.TapRecording;

/**
 * What is known of an input and the sensors at it, kept to be used again for every measurement.
 *
 * @param name what the user calls it
 * @param device name of the sound input; empty for any
 * @param sampleRateHz rate at which it was calibrated, Hz
 * @param bits bits at which it was calibrated; 0 if that does not matter
 * @param gain where the gain knobs or switches stand, in the user's words; may be empty
 * @param force the hammer's channel; empty if there is none
 * @param response the sensor's channel
 * @param quantity what the sensor measures
 * @param sensorMassKg mass of the sensor, kg; 0 for none
 * @param skewS how much later the response channel is sampled than the force channel, s
 * @param notes anything else; may be empty
 */
public record InputProfile(
    String name,
    String device,
    int sampleRateHz,
    int bits,
    String gain,
    Optional<Line> force,
    Line response,
    ResponseQuantity quantity,
    double sensorMassKg,
    double skewS,
    String notes) {

  /**
   * A channel of it.
   *
   * @param channel counted from 1
   * @param voltsPerUnit sensitivity of the sensor, V per SI unit
   * @param fullScaleV volts that are recorded as 1
   * @param measured whether the full scale was measured, not just entered
   * @param fullScaleSigma relative one-sigma uncertainty of it; 0 if unknown
   * @param highPassHz corner of the input's high-pass; 0 for none
   * @param polarity +1 or −1
   */
  public record Line(
      int channel,
      double voltsPerUnit,
      double fullScaleV,
      boolean measured,
      double fullScaleSigma,
      double highPassHz,
      int polarity) {

    public Line {
      if (!(fullScaleSigma >= 0 && fullScaleSigma < 1)) {
        throw new IllegalArgumentException(
            "relative sigma must lie in [0, 1), was " + fullScaleSigma);
      }
      new Channel(channel, fullScaleV / voltsPerUnit, 1, polarity, highPassHz);
    }

    /** How its numbers become SI units. */
    public Channel described() {
      return new Channel(channel, fullScaleV / voltsPerUnit, 1, polarity, highPassHz);
    }

    /** The same with a full scale that was measured. */
    public Line withFullScale(double volts, double relativeSigma) {
      return new Line(channel, voltsPerUnit, volts, true, relativeSigma, highPassHz, polarity);
    }
  }

  public InputProfile {
    Objects.requireNonNull(device, "device");
    Objects.requireNonNull(gain, "gain");
    Objects.requireNonNull(notes, "notes");
    Objects.requireNonNull(response, "response");
    Objects.requireNonNull(quantity, "quantity");
    if (name.isBlank()) {
      throw new IllegalArgumentException("a profile needs a name");
    }
    if (sampleRateHz < 1) {
      throw new IllegalArgumentException("rate must be positive, was " + sampleRateHz);
    }
    if (!(sensorMassKg >= 0) || !Double.isFinite(skewS)) {
      throw new IllegalArgumentException("mass " + sensorMassKg + " kg, skew " + skewS + " s");
    }
  }

  /** Channels that an input must have. */
  public int channels() {
    return Math.max(response.channel, force.map(Line::channel).orElse(1));
  }

  /** The same with another skew, s. */
  public InputProfile withSkew(double seconds) {
    return new InputProfile(
        name,
        device,
        sampleRateHz,
        bits,
        gain,
        force,
        response,
        quantity,
        sensorMassKg,
        seconds,
        notes);
  }

  /** The same with another force channel. */
  public InputProfile withForce(Line line) {
    return new InputProfile(
        name,
        device,
        sampleRateHz,
        bits,
        gain,
        Optional.of(line),
        response,
        quantity,
        sensorMassKg,
        skewS,
        notes);
  }

  /** The same with another response channel. */
  public InputProfile withResponse(Line line) {
    return new InputProfile(
        name, device, sampleRateHz, bits, gain, force, line, quantity, sensorMassKg, skewS, notes);
  }

  /** What is measured with it, once there are recordings. */
  public TapRecording measurement(
      String measured, String axis, String point, List<Recording> recordings) {
    return new TapRecording(
        measured,
        axis,
        point,
        recordings,
        force.map(Line::described),
        response.described(),
        quantity,
        sensorMassKg,
        skewS);
  }

  /**
   * What differs between the profile and the input that is open, in plain sentences; empty if
   * nothing does. Full scale and skew were found with the profile's.
   */
  public List<String> warnings(String openDevice, double openRateHz, int openBits) {
    List<String> warnings = new ArrayList<>();
    if (!device.isBlank() && !device.trim().equalsIgnoreCase(openDevice.trim())) {
      warnings.add(
          "the profile \""
              + name
              + "\" belongs to the input \""
              + device
              + "\", this is \""
              + openDevice
              + "\": full scale and channel skew may be others");
    }
    if (openRateHz != sampleRateHz) {
      warnings.add(
          String.format(
              Locale.ROOT,
              "the profile \"%s\" was made at %d Hz, this is %.0f Hz: channel skew and high-pass may"
                  + " be others",
              name,
              sampleRateHz,
              openRateHz));
    }
    if (bits > 0 && openBits != bits) {
      warnings.add(
          "the profile \""
              + name
              + "\" was made with "
              + bits
              + " bits, this is "
              + openBits
              + ": full scale may be another");
    }
    return List.copyOf(warnings);
  }
}
