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
    double interval = Math.max(0.5, Math.min(4, 6 * slowest));
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

  public static void main(String[] args) throws IOException {
    int from = Integer.parseInt(args[0]);
    int to = Integer.parseInt(args[1]);
    List<Double> zs = new ArrayList<>();
    int missed = 0;
    int invented = 0;
    for (int seed = from; seed <= to; seed++) {
      DecayFamily f = of(seed);
      long start = System.nanoTime();
      FoundDecays found = DecayFinder.find(f.recording, Processing.AUTOMATIC, Progress.NONE);
      long middle = System.nanoTime();
      DecayModes modes = DecayFitter.fit(found.decays(), FitSettings.AUTOMATIC, Progress.NONE);
      long end = System.nanoTime();
      System.out.printf(
          "seed %d %s kept %d/%d len %.2f s find %.0f ms fit %.0f ms, skip %.0f ms err %.3g%n",
          seed,
          f.recording.quantity(),
          found.decays().taps().size(),
          found.taps().size(),
          found.decays().taps().get(0).size() / 48e3,
          (middle - start) / 1e6,
          (end - middle) / 1e6,
          modes.skippedS() * 1e3,
          modes.fitErrorRelative());
      boolean[] used = new boolean[modes.modes().size()];
      for (Mode m : f.modes) {
        int best = -1;
        for (int i = 0; i < used.length; i++) {
          if (!used[i]
              && Math.abs(modes.modes().get(i).frequencyHz() - m.frequencyHz())
                  < Math.max(0.5 * m.halfPowerBandwidthHz(), 1e-3 * m.frequencyHz())
              && (best < 0
                  || Math.abs(modes.modes().get(i).frequencyHz() - m.frequencyHz())
                      < Math.abs(modes.modes().get(best).frequencyHz() - m.frequencyHz()))) {
            best = i;
          }
        }
        if (best < 0) {
          missed++;
          System.out.printf("   MISSED %.2f Hz %.3f %%%n", m.frequencyHz(), 100 * m.dampingRatio());
        } else {
          used[best] = true;
          var d = modes.modes().get(best);
          double zf = (d.frequencyHz() - m.frequencyHz()) / d.frequencyHzSigma();
          double zz = (d.dampingRatio() - m.dampingRatio()) / d.dampingRatioSigma();
          zs.add(zf);
          zs.add(zz);
          System.out.printf(
              "   %.2f Hz %.3f %%: fn %+.2e (%.1f s) zeta %+.2e (%.1f s)%n",
              m.frequencyHz(),
              100 * m.dampingRatio(),
              d.frequencyHz() / m.frequencyHz() - 1,
              zf,
              d.dampingRatio() / m.dampingRatio() - 1,
              zz);
        }
      }
      for (int i = 0; i < used.length; i++) {
        if (!used[i]) {
          invented++;
          System.out.println(
              "   INVENTED "
                  + modes.modes().get(i)
                  + " amp "
                  + modes.taps().stream().map(t -> t.amplitude().toString()).toList());
        }
      }
      if (args.length > 2) {
        modes.remarks().forEach(r -> System.out.println("   - " + r));
        found.remarks().forEach(r -> System.out.println("   - " + r));
        found.taps().forEach(r -> System.out.println("   - " + r));
      }
    }
    long in = zs.stream().filter(z -> Math.abs(z) < 2).count();
    System.out.printf(
        "coverage %.3f of %d, missed %d invented %d%n",
        (double) in / zs.size(), zs.size(), missed, invented);
  }
}
