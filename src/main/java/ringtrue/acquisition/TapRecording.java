package ringtrue.acquisition;

import java.util.List;
import java.util.Objects;
import java.util.Optional;

/**
 * Everything that is known about a set of taps before any computation: the recordings and what
 * their channels mean.
 *
 * @param name what was measured, in the user's words
 * @param axis direction in machine axes, {@code "x"} for example; may be empty
 * @param point where, for example {@code "tool tip"}; may be empty
 * @param recordings one or more, in the order given, all with the same sample rate
 * @param force the hammer's channel; empty if only the response was recorded
 * @param response the sensor's channel
 * @param quantity what the sensor measures
 * @param sensorMassKg mass of a sensor that sits on the structure while it is tapped; 0 for none
 * @param skewS how much later the response channel is sampled than the force channel, s (its
 *     recorded sample n was taken at n/fs + skew)
 */
public record TapRecording(
    String name,
    String axis,
    String point,
    List<Recording> recordings,
    Optional<Channel> force,
    Channel response,
    ResponseQuantity quantity,
    double sensorMassKg,
    double skewS) {

  public TapRecording {
    Objects.requireNonNull(force, "force");
    Objects.requireNonNull(response, "response");
    recordings = List.copyOf(recordings);
    if (recordings.isEmpty()) {
      throw new IllegalArgumentException("a measurement needs at least one recording");
    }
    if (!(sensorMassKg >= 0) || Double.isInfinite(sensorMassKg)) {
      throw new IllegalArgumentException("sensor mass must not be negative, was " + sensorMassKg);
    }
    if (!Double.isFinite(skewS)) {
      throw new IllegalArgumentException("channel skew must be finite, was " + skewS);
    }
  }

  /** The same with another sensor mass, kg. */
  public TapRecording withSensorMass(double kg) {
    return new TapRecording(name, axis, point, recordings, force, response, quantity, kg, skewS);
  }

  public double sampleRateHz() {
    return recordings.get(0).sampleRateHz();
  }
}
