package ringtrue.signal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatExceptionOfType;

import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import ringtrue.acquisition.BlowPlan;
import ringtrue.acquisition.MemoryRecording;
import ringtrue.acquisition.ResponseQuantity;
import ringtrue.acquisition.RigChannel;
import ringtrue.acquisition.VirtualRig;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.units.BadInputException;

/** Swapped channels are said, and true measurements never taken for swapped. */
class SwappedChannelsTest {
  private static final double FS = 24000;

  @ParameterizedTest
  @EnumSource(
      value = ResponseQuantity.class,
      names = {"ACCELERATION", "VELOCITY", "DISPLACEMENT"})
  void swappedChannelsAreSaid(ResponseQuantity quantity) throws IOException {
    for (int seed = 1; seed <= 20; seed++) {
      Random random = new Random(seed);
      List<Mode> modes = modes(random, 0.002, 0.06);
      VirtualRig rig = rig(modes, quantity, random);
      MemoryRecording right = record(rig, seed);
      MemoryRecording wrong =
          new MemoryRecording("swapped", FS, right.channel(2), right.channel(1));
      assertThatExceptionOfType(BadInputException.class)
          .as(modes.toString())
          .isThrownBy(() -> estimate(rig, wrong))
          .withMessageContaining("channels of force and response are swapped")
          .withMessageContaining("make channel 2 the force and channel 1 the response");
    }
  }

  /** 200 rigs, every fourth so damped that its response is as short as the blow. */
  @Test
  void trueMeasurementsAreNeverRefused() throws IOException {
    for (int seed = 1; seed <= 200; seed++) {
      Random random = new Random(seed);
      boolean heavy = seed % 4 == 0;
      List<Mode> modes = heavy ? modes(random, 0.3, 0.9) : modes(random, 0.002, 0.1);
      ResponseQuantity quantity =
          List.of(
                  ResponseQuantity.ACCELERATION,
                  ResponseQuantity.VELOCITY,
                  ResponseQuantity.DISPLACEMENT)
              .get(seed % 3);
      VirtualRig rig = rig(modes, quantity, random);
      assertThat(estimate(rig, record(rig, seed)).response().origin().averages())
          .as(modes.toString())
          .isPositive();
    }
  }

  /** A hanging block answers with the very pulse that hits it. */
  @Test
  void aFreeMassIsNotSwapped() throws IOException {
    VirtualRig rig =
        VirtualRig.freeMass(2)
            .withInputs(RigChannel.PERFECT.withNoise(0.02), RigChannel.PERFECT.withNoise(0.01));
    assertThat(estimate(rig, record(rig, 1)).response().origin().averages()).isPositive();
  }

  /** A force channel that swings after the blow, as cheap hammers do, is still a force. */
  @Test
  void aRingingHammerIsNotSwapped() throws IOException {
    VirtualRig rig =
        VirtualRig.of(Mode.of(500, 0.03, 5e6))
            .withInputs(
                RigChannel.PERFECT.withNoise(0.02).withHighPass(20),
                RigChannel.PERFECT.withNoise(0.05));
    MemoryRecording recording = record(rig, 3);
    double[] force = recording.channel(1).clone();
    double[] swung = force.clone();
    double decay = Math.exp(-1 / (0.002 * FS));
    for (int i = 2; i < force.length; i++) {
      // a resonance of the hammer's sensor near 3 kHz
      swung[i] =
          2 * decay * Math.cos(2 * Math.PI * 3000 / FS) * swung[i - 1]
              - decay * decay * swung[i - 2]
              + 0.3 * force[i];
    }
    for (int i = 0; i < force.length; i++) {
      force[i] += 0.5 * swung[i];
    }
    assertThat(
            estimate(rig, new MemoryRecording("ringing", FS, force, recording.channel(2))).taps())
        .isNotEmpty();
  }

  private static List<Mode> modes(Random random, double leastZeta, double mostZeta) {
    List<Mode> modes = new ArrayList<>();
    double fn = 150 * Math.exp(random.nextDouble());
    int count = 1 + random.nextInt(3);
    for (int j = 0; j < count; j++) {
      double zeta = leastZeta * Math.pow(mostZeta / leastZeta, random.nextDouble());
      modes.add(Mode.of(fn, zeta, 2e6 * Math.exp(1.5 * random.nextDouble())));
      fn *= 1.4 + random.nextDouble();
    }
    return modes;
  }

  private static VirtualRig rig(List<Mode> modes, ResponseQuantity quantity, Random random) {
    double mass = modes.stream().mapToDouble(m -> 1 / m.massKg()).sum();
    double omega = 2 * Math.PI * modes.get(0).frequencyHz();
    double impulse = 200 * 0.2e-3;
    double size =
        switch (quantity) {
          case ACCELERATION, SOUND -> 200 * mass;
          case VELOCITY -> impulse * mass;
          case DISPLACEMENT -> impulse * mass / omega;
        };
    double noise = 1e-4 * Math.exp(2 * random.nextDouble());
    return VirtualRig.of(modes.toArray(new Mode[0]))
        .withSensor(quantity, 0)
        .withInputs(
            RigChannel.PERFECT.withNoise(noise * 200).withHum(50, noise * 200),
            RigChannel.PERFECT.withNoise(noise * size).withHum(50, noise * size));
  }

  private static MemoryRecording record(VirtualRig rig, int seed) throws IOException {
    BlowPlan plan = BlowPlan.of(3, 0.5, 200, 0.4e-3).withSpread(0.1, 0.2, 0.05, 0.01);
    return MemoryRecording.copyOf(
        rig.record("rig", FS, plan.durationS(seed), plan.blows(seed), seed));
  }

  private static AveragedResponse estimate(VirtualRig rig, MemoryRecording recording) {
    return ResponseEstimator.estimate(
        rig.measurement("rig", "x", "tip", List.of(recording)),
        Processing.AUTOMATIC,
        Progress.NONE);
  }
}
