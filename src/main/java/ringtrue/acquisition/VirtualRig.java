package ringtrue.acquisition;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Receptance;

/**
 * A structure with known modes that answers simulated hammer blows exactly: each sample is the
 * value of a closed form, whatever the sample rate. Its recordings have two channels, the hammer's
 * force and the sensor's response, go the same way as real ones, and say in their names that they
 * are simulated.
 *
 * <p>Modes are those of the driving point in the measured direction, without the sensor. The sensor
 * loads the structure as a real one does: frequencies, damping and stiffness that the recordings
 * show are those of the structure with {@code sensorMassKg} at the driving point.
 *
 * <p>{@link ResponseQuantity#SOUND} is taken as proportional to acceleration, 1 Pa for 1 m/s²: a
 * surface near a microphone, without any claim about level.
 *
 * @param tool modes of the tool; empty for a rigid one
 * @param workpiece modes of the workpiece; empty for a rigid one
 * @param freeMassKg mass of a freely hanging block, which is then all there is; 0 for none. Its
 *     response can be acceleration or sound only: its velocity never decays.
 * @param tapped what hammer and sensor are at
 * @param quantity what the sensor measures
 * @param sensorMassKg mass of the sensor, kg
 * @param force the hammer's input, channel 1
 * @param response the sensor's input, channel 2
 */
public record VirtualRig(
    List<Mode> tool,
    List<Mode> workpiece,
    double freeMassKg,
    Tapped tapped,
    ResponseQuantity quantity,
    double sensorMassKg,
    RigChannel force,
    RigChannel response) {

  /** Sides of a cut, each measured for itself. */
  public enum Tapped {
    TOOL,
    WORKPIECE
  }

  public VirtualRig {
    tool = List.copyOf(tool);
    workpiece = List.copyOf(workpiece);
    if (!(freeMassKg >= 0 && sensorMassKg >= 0)) {
      throw new IllegalArgumentException("masses must not be negative");
    }
    if (freeMassKg > 0) {
      if (!tool.isEmpty() || !workpiece.isEmpty()) {
        throw new IllegalArgumentException("a free mass has no modes");
      }
      if (quantity == ResponseQuantity.VELOCITY || quantity == ResponseQuantity.DISPLACEMENT) {
        throw new IllegalArgumentException("the response of a free mass is its acceleration");
      }
    } else if ((tapped == Tapped.TOOL ? tool : workpiece).isEmpty()) {
      throw new IllegalArgumentException("what is tapped needs at least one mode");
    }
  }

  /** A tool, seen by a massless accelerometer and perfect inputs. */
  public static VirtualRig of(Mode... modes) {
    return new VirtualRig(
        List.of(modes),
        List.of(),
        0,
        Tapped.TOOL,
        ResponseQuantity.ACCELERATION,
        0,
        RigChannel.PERFECT,
        RigChannel.PERFECT);
  }

  /** A freely hanging block for calibration, seen by a massless accelerometer. */
  public static VirtualRig freeMass(double massKg) {
    return new VirtualRig(
        List.of(),
        List.of(),
        massKg,
        Tapped.TOOL,
        ResponseQuantity.ACCELERATION,
        0,
        RigChannel.PERFECT,
        RigChannel.PERFECT);
  }

  /** The same with a workpiece that gives. */
  public VirtualRig withWorkpiece(Mode... modes) {
    return new VirtualRig(
        tool, List.of(modes), freeMassKg, tapped, quantity, sensorMassKg, force, response);
  }

  /** The same with hammer and sensor at the other side. */
  public VirtualRig withTapped(Tapped other) {
    return new VirtualRig(
        tool, workpiece, freeMassKg, other, quantity, sensorMassKg, force, response);
  }

  /** The same with another sensor. */
  public VirtualRig withSensor(ResponseQuantity measured, double massKg) {
    return new VirtualRig(tool, workpiece, freeMassKg, tapped, measured, massKg, force, response);
  }

  /** The same with other inputs for force and response. */
  public VirtualRig withInputs(RigChannel hammer, RigChannel sensor) {
    return new VirtualRig(
        tool, workpiece, freeMassKg, tapped, quantity, sensorMassKg, hammer, sensor);
  }

  /** Exact receptance of what is tapped, without the sensor. */
  public Receptance truth() {
    if (freeMassKg > 0) {
      return freeBody(freeMassKg);
    }
    return ModalModel.of(modes().toArray(new Mode[0]));
  }

  /** Exact receptance of what is tapped, with the sensor on it. */
  public Receptance truthWithSensor() {
    if (freeMassKg > 0) {
      return freeBody(freeMassKg + sensorMassKg);
    }
    TransferFunction loaded = TransferFunction.receptance(modes(), sensorMassKg);
    return (frequencyHz, into) -> {
      var h = loaded.at(new org.apache.commons.math3.complex.Complex(0, 2 * Math.PI * frequencyHz));
      into[0] = h.getReal();
      into[1] = h.getImaginary();
    };
  }

  private static Receptance freeBody(double massKg) {
    return (frequencyHz, into) -> {
      double omega = 2 * Math.PI * frequencyHz;
      into[0] = -1 / (massKg * omega * omega);
      into[1] = 0;
    };
  }

  private List<Mode> modes() {
    return tapped == Tapped.TOOL ? tool : workpiece;
  }

  private TransferFunction responsePerForce() {
    if (freeMassKg > 0) {
      return new TransferFunction(1 / (freeMassKg + sensorMassKg), List.of(), List.of());
    }
    TransferFunction receptance = TransferFunction.receptance(modes(), sensorMassKg);
    double inverseMass = modes().stream().mapToDouble(m -> 1 / m.massKg()).sum();
    double limit = inverseMass / (1 + sensorMassKg * inverseMass);
    return switch (quantity) {
      case DISPLACEMENT -> receptance;
      case VELOCITY -> receptance.differentiated(0);
      case ACCELERATION, SOUND -> receptance.differentiated(0).differentiated(limit);
    };
  }

  /**
   * Records blows. The recording is computed as it is read and may be of any length; {@link
   * MemoryRecording#copyOf} takes a short one into memory.
   *
   * @param name its name; "(simulated)" is added
   * @param sampleRateHz samples per second
   * @param durationS length, s
   * @param blows what hits the structure
   * @param seed noise and hum depend on it; the same seed gives the same recording
   */
  public Recording record(
      String name, double sampleRateHz, double durationS, List<Blow> blows, long seed) {
    if (!(sampleRateHz > 0 && durationS > 0)
        || Double.isInfinite(sampleRateHz)
        || Double.isInfinite(durationS)) {
      throw new IllegalArgumentException(
          "rate and length must be positive, were " + sampleRateHz + " Hz, " + durationS + " s");
    }
    SimulatedChannel hammer =
        new SimulatedChannel(force, TransferFunction.ONE, blows, false, sampleRateHz, seed, 1);
    SimulatedChannel sensor =
        new SimulatedChannel(response, responsePerForce(), blows, true, sampleRateHz, seed, 2);
    return new SimulatedRecording(
        name + " (simulated)",
        sampleRateHz,
        Math.round(durationS * sampleRateHz),
        List.of(hammer, sensor));
  }

  /**
   * One recording for each tap of a plan, each beginning a little before the tap.
   *
   * @param leadS how much before the tap's onset, s
   * @param durationS length of each, s
   * @see #record
   */
  public List<Recording> recordEach(
      String name,
      double sampleRateHz,
      double leadS,
      double durationS,
      List<Blow> blows,
      long seed) {
    List<Recording> each = new ArrayList<>();
    int taps = blows.stream().mapToInt(Blow::tap).max().orElse(0);
    for (int tap = 1; tap <= taps; tap++) {
      int number = tap;
      List<Blow> own = blows.stream().filter(b -> b.tap() == number).toList();
      double start = own.stream().mapToDouble(Blow::onsetS).min().orElse(leadS) - leadS;
      List<Blow> moved =
          own.stream()
              .map(
                  b ->
                      new Blow(
                          b.tap(),
                          b.onsetS() - start,
                          b.peakForceN(),
                          b.contactS(),
                          b.shape(),
                          b.gain()))
              .toList();
      each.add(record(name + " " + tap, sampleRateHz, durationS, moved, seed + tap));
    }
    return List.copyOf(each);
  }

  /** The rig's recordings with what a reader has to know of sensor and inputs. */
  public TapRecording measurement(
      String name, String axis, String point, List<Recording> recordings) {
    return new TapRecording(
        name,
        axis,
        point,
        recordings,
        Optional.of(force.described(1)),
        response.described(2),
        quantity,
        sensorMassKg,
        response.skewS() - force.skewS());
  }
}
