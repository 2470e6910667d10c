package ringtrue;

import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import ringtrue.acquisition.BlowPlan;
import ringtrue.acquisition.MemoryRecording;
import ringtrue.acquisition.Recording;
import ringtrue.acquisition.ResponseQuantity;
import ringtrue.acquisition.RigChannel;
import ringtrue.acquisition.TapRecording;
import ringtrue.acquisition.VirtualRig;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.fitting.DecayFitter;
import ringtrue.fitting.DecayModes;
import ringtrue.fitting.FitSettings;
import ringtrue.signal.DecayFinder;
import ringtrue.signal.FoundDecays;
import ringtrue.signal.Processing;

/**
 * Response-only recordings of virtual rigs with known modes, drawn from a seed.
 *
 * @param modes the truth
 * @param recording what a microphone, accelerometer or velocity pick-up heard; no force
 */
record DecayFamily(List<Mode> modes, TapRecording recording) {

  /** One of the family. */
  static DecayFamily of(int seed) throws IOException {
    Random random = new Random(7919L * seed + 13);
    List<Mode> modes = new ArrayList<>();
    int count = 1 + seed % 4 + (seed % 17 == 0 ? 4 : 0);
    double fn = 20 * Math.exp(Math.log(count > 4 ? 8 : 40) * random.nextDouble());
    for (int j = 0; j < count && fn < 10_000; j++) {
      double zeta =
          0.001 * Math.exp(Math.log(j == 0 && seed % 5 == 0 ? 100 : 30) * random.nextDouble());
      modes.add(Mode.of(fn, zeta, massive(fn, 0.3 * Math.exp(1.5 * random.nextDouble()))));
      fn *= 1.25 + 6 * zeta + 0.9 * random.nextDouble();
    }
    ResponseQuantity quantity =
        new ResponseQuantity[] {
              ResponseQuantity.SOUND, ResponseQuantity.ACCELERATION, ResponseQuantity.VELOCITY
            }
            [seed % 3];
    double inverseMass = modes.stream().mapToDouble(m -> 1 / m.massKg()).sum();
    double contact = 0.0003 + 0.0006 * random.nextDouble();
    double size =
        quantity == ResponseQuantity.VELOCITY ? 100 * inverseMass * contact / 2 : 100 * inverseMass;
    double noise = Math.pow(10, -4 + random.nextDouble());
    RigChannel input = RigChannel.PERFECT.withNoise(noise * size);
    if (seed % 2 == 0) {
      input = input.withHum(50, 2 * noise * size, 0.5 * noise * size, noise * size);
    }
    if (seed % 7 == 3) {
      input = input.withHighPass(3);
    }
    double slowest =
        modes.stream()
            .mapToDouble(m -> 1 / (2 * Math.PI * m.frequencyHz() * m.dampingRatio()))
            .max()
            .orElseThrow();
    int taps = 4 + seed % 4;
    double interval = Math.max(0.5, Math.min(2, 6 * slowest));
    BlowPlan plan =
        BlowPlan.of(taps, interval, 100, contact).withFirstOnset(0.4).withSpread(0.1, 0.2, 0.05, 0);
    VirtualRig rig =
        VirtualRig.of(modes.toArray(new Mode[0]))
            .withSensor(quantity, 0)
            .withInputs(RigChannel.PERFECT, input);
    Recording recording =
        MemoryRecording.copyOf(
            rig.record("rig", 48_000, plan.durationS(seed), plan.blows(seed), seed));
    return new DecayFamily(
        modes, withoutForce(rig.measurement("rig", "x", "tip", List.of(recording))));
  }

  private static double massive(double fn, double massKg) {
    return massKg * Math.pow(2 * Math.PI * fn, 2);
  }

  /** The same measurement with the hammer's channel forgotten. */
  static TapRecording withoutForce(TapRecording all) {
    return new TapRecording(
        all.name(),
        all.axis(),
        all.point(),
        all.recordings(),
        Optional.empty(),
        all.response(),
        all.quantity(),
        all.sensorMassKg(),
        0);
  }

  /** What the program makes of it. */
  DecayModes fitted() {
    FoundDecays found = DecayFinder.find(recording, Processing.AUTOMATIC, Progress.NONE);
    return DecayFitter.fit(found.decays(), FitSettings.AUTOMATIC, Progress.NONE);
  }
}
