package ringtrue.acquisition;

import java.io.IOException;
import java.math.BigDecimal;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.util.List;
import ringtrue.dynamics.Mode;
import ringtrue.units.BadInputException;

/**
 * The recipe of the demo measurements: an invented workshop of two that makes parts for telescope
 * mounts on a light gantry mill, and everything in it simulated. What it writes is the same to the
 * byte each time and on each machine.
 */
public final class DemoShop {
  private static final double ACCELEROMETER_V_PER_M_S2 = 10.2e-3 / 9.80665;
  private static final double ACCELEROMETER_KG = 0.6e-3;
  private static final double HAMMER_V_PER_N = 2.25e-3;

  private DemoShop() {}

  /**
   * One series of taps.
   *
   * @param file name of the recording's file
   * @param axis direction in machine axes
   * @param rig what is tapped and with what
   * @param plan how it is tapped
   * @param sampleRateHz samples per second
   * @param seed seed of the blows and of the noise
   */
  public record Series(
      String file, String axis, VirtualRig rig, BlowPlan plan, double sampleRateHz, long seed) {

    /** The blows that the recording holds. */
    public List<Blow> blows() {
      return plan.blows(seed);
    }

    /** The recording. */
    public Recording recording() {
      return rig.record(file, sampleRateHz, plan.durationS(seed), blows(), seed);
    }
  }

  /** All series of the demo, in the order in which they are shown. */
  public static List<Series> series() {
    return List.of(
        tool(
            "tool-8mm-x.wav",
            "x",
            BlowPlan.of(7, 0.45, 27, 0.5e-3).withDoubleHit(3, 0.0074, 0.45).withStrength(5, 4.2),
            801,
            Mode.of(245, 0.045, 9e6),
            Mode.of(1620, 0.021, 7e6),
            Mode.of(2350, 0.018, 2.2e7)),
        tool(
            "tool-8mm-y.wav",
            "y",
            BlowPlan.of(7, 0.45, 27, 0.5e-3).withStrength(6, 0.09),
            802,
            Mode.of(212, 0.05, 7e6),
            Mode.of(1710, 0.019, 6.2e6)),
        tool(
            "tool-10mm-x.wav",
            "x",
            BlowPlan.of(6, 0.45, 30, 0.52e-3),
            1001,
            Mode.of(268, 0.042, 1.1e7),
            Mode.of(1480, 0.024, 9.5e6)),
        tool(
            "tool-10mm-y.wav",
            "y",
            BlowPlan.of(6, 0.45, 30, 0.52e-3).withDoubleHit(4, 0.0061, 0.3),
            1002,
            Mode.of(226, 0.048, 8.5e6),
            Mode.of(1545, 0.022, 9e6),
            Mode.of(2420, 0.015, 3e7)),
        bracket(),
        turningBar(),
        block());
  }

  private static Series tool(String file, String axis, BlowPlan plan, long seed, Mode... modes) {
    VirtualRig rig =
        VirtualRig.of(modes)
            .withSensor(ResponseQuantity.ACCELERATION, ACCELEROMETER_KG)
            .withInputs(
                RigChannel.of(HAMMER_V_PER_N, 0.2).withNoise(6e-6).withOffset(1.1e-4),
                RigChannel.of(ACCELEROMETER_V_PER_M_S2, 1)
                    .withNoise(1.5e-5)
                    .withOffset(-2.3e-4)
                    .withHum(50, 3e-5, 0, 1e-5));
    return new Series(file, axis, rig, byHand(plan), 48_000, seed);
  }

  /** A steel block on a cord; the accelerometer gives 3.4 % less than its certificate says. */
  private static Series block() {
    VirtualRig rig =
        VirtualRig.freeMass(0.75)
            .withSensor(ResponseQuantity.ACCELERATION, ACCELEROMETER_KG)
            .withInputs(
                RigChannel.of(HAMMER_V_PER_N, 0.5).withNoise(6e-6).withOffset(1.1e-4),
                RigChannel.of(0.966 * ACCELEROMETER_V_PER_M_S2, 0.5)
                    .withNoise(1.5e-5)
                    .withOffset(-2.3e-4)
                    .withHum(50, 3e-5, 0, 1e-5));
    BlowPlan plan = BlowPlan.of(5, 0.3, 90, 0.45e-3);
    return new Series("block-750g.wav", "x", rig, byHand(plan), 48_000, 7501);
  }

  /** The input box of this measurement blocks direct current below 8 Hz. */
  private static Series bracket() {
    VirtualRig rig =
        VirtualRig.of(Mode.of(1545, 0.022, 9e6))
            .withWorkpiece(Mode.of(310, 0.018, 6e6), Mode.of(870, 0.012, 2.4e7))
            .withTapped(VirtualRig.Tapped.WORKPIECE)
            .withSensor(ResponseQuantity.ACCELERATION, ACCELEROMETER_KG)
            .withInputs(
                RigChannel.of(HAMMER_V_PER_N, 0.5).withNoise(8e-6).withHighPass(8),
                RigChannel.of(ACCELEROMETER_V_PER_M_S2, 0.5).withNoise(1.5e-5).withHighPass(8));
    BlowPlan plan = BlowPlan.of(6, 0.6, 70, 0.9e-3);
    return new Series("bracket-y.wav", "y", rig, byHand(plan), 48_000, 3101);
  }

  private static Series turningBar() {
    VirtualRig rig =
        VirtualRig.of(Mode.of(262, 0.035, 1.2e7), Mode.of(1150, 0.02, 6e7))
            .withSensor(ResponseQuantity.VELOCITY, 0)
            .withInputs(RigChannel.PERFECT.withNoise(0.02), RigChannel.PERFECT.withNoise(4e-6));
    BlowPlan plan = BlowPlan.of(5, 0.6, 160, 0.9e-3);
    return new Series("turning-bar.csv", "x", rig, byHand(plan), 10_000, 2621);
  }

  private static BlowPlan byHand(BlowPlan plan) {
    return plan.withFirstOnset(0.21)
        .withSpread(0.08, 0.09, 0.05, 0.012)
        .withShape(PulseShape.SINE_FOURTH);
  }

  /**
   * Writes all recordings, replacing those that are there.
   *
   * @param folder an existing folder
   */
  public static void write(Path folder) throws IOException {
    for (Series series : series()) {
      Path file = folder.resolve(series.file());
      if (series.file().endsWith(".csv")) {
        Path part = folder.resolve("." + series.file() + ".part");
        Files.write(part, table(series));
        Files.move(part, file, StandardCopyOption.REPLACE_EXISTING);
      } else {
        WavWriter.write(series.recording(), file, WavWriter.SampleFormat.INT24, true);
      }
    }
  }

  /** A table as a logger set to a language with decimal commas would write it. */
  private static byte[] table(Series series) throws IOException {
    MemoryRecording taken = MemoryRecording.copyOf(series.recording());
    double[] force = taken.channel(1);
    double[] velocity = taken.channel(2);
    StringBuilder text = new StringBuilder();
    text.append("# simulated measurement, see README.md\r\n");
    text.append("time;force;velocity\r\ns;N;m/s\r\n");
    for (int i = 0; i < force.length; i++) {
      text.append(decimal(i, 4)).append(';');
      text.append(decimal(Math.round(force[i] * 1e3), 3)).append(';');
      text.append(decimal(Math.round(velocity[i] * 1e7), 7)).append("\r\n");
    }
    return text.toString().getBytes(StandardCharsets.US_ASCII);
  }

  private static String decimal(long number, int decimals) {
    return BigDecimal.valueOf(number, decimals).toPlainString().replace('.', ',');
  }

  /**
   * Regenerates the demo recordings.
   *
   * @param arguments the folder; {@code demo-measurements} if left out
   */
  public static void main(String[] arguments) throws IOException {
    Path folder = Path.of(arguments.length == 0 ? "demo-measurements" : arguments[0]);
    if (!Files.isDirectory(folder)) {
      throw new BadInputException(folder + ": there is no such folder");
    }
    write(folder);
  }
}
