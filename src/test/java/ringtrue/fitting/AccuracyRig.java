package ringtrue.fitting;

import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import ringtrue.acquisition.Blow;
import ringtrue.acquisition.BlowPlan;
import ringtrue.acquisition.Channel;
import ringtrue.acquisition.MemoryRecording;
import ringtrue.acquisition.ResponseQuantity;
import ringtrue.acquisition.RigChannel;
import ringtrue.acquisition.TapRecording;
import ringtrue.acquisition.VirtualRig;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.signal.Processing;
import ringtrue.signal.ResponseEstimator;

/**
 * One rig of the family on which the fit's accuracy is measured: its modes, and what is wrong with
 * the way it is tapped and recorded. Everything is invented and follows from kind and seed.
 */
final class AccuracyRig {
  private static final double PEAK_N = 200;

  /** What a rig is meant to try. It is ideal in every other respect. */
  enum Kind {
    ONE("one mode", 20),
    FEW("two or three modes", 20),
    FOUR_OR_FIVE("four or five modes", 20),
    PAIR_ONE("pair, one bandwidth apart", 60),
    PAIR_TWO("pair, two bandwidths apart", 60),
    LIGHT("ζ 0.1 to 0.3 %", 20),
    HEAVY("ζ 5 to 10 %", 20),
    NOISY("noise 0.1 to 0.3 % of the peak", 20),
    HUM("hum in both channels", 20),
    COUPLED("AC coupling, declared", 20),
    COUPLED_UNTOLD("AC coupling, alike, not declared", 20),
    SENSOR_MASS("sensor mass, declared", 20),
    SKEW("channel skew, declared", 20),
    SCATTER("gain of the taps scatters by 1 to 5 %", 20),
    MANY("6 to 12 modes, 20 Hz to 10 kHz, k 1:1000", 12),
    OUTSIDE("modes outside the band", 20),
    NOTHING("no mode in the band", 20);

    final String title;
    final int rigs;

    Kind(String title, int rigs) {
      this.title = title;
      this.rigs = rigs;
    }
  }

  final Kind kind;
  final long seed;
  final List<Mode> modes;
  final double sampleRateHz;
  final double contactS;
  final int taps;

  /** Noise of force (N) and acceleration (m/s²), rms. */
  final double forceNoise;

  final double responseNoise;
  final double gainSpread;
  final double sensorMassKg;
  final double skewS;
  final double forceHighPassHz;
  final double responseHighPassHz;
  final double hum;
  final double humHz;

  /** The rig of a kind that belongs to a seed. */
  AccuracyRig(Kind kind, long seed) {
    this.kind = kind;
    this.seed = seed;
    Random r = new Random(1_000_003 * seed + kind.ordinal());
    boolean wide = kind == Kind.MANY;
    sampleRateHz = wide ? 192_000 : 48_000;
    contactS = wide ? 0.14e-3 : 0.5e-3;
    taps = 5 + r.nextInt(4);
    modes = List.copyOf(modes(r));
    double noise = kind == Kind.NOISY ? logBetween(r, 1e-3, 3e-3) : logBetween(r, 1e-4, 3e-4);
    double inverseMass = modes.stream().mapToDouble(m -> 1 / m.massKg()).sum();
    double acceleration = PEAK_N * (modes.isEmpty() ? 1 : inverseMass);
    forceNoise = noise * PEAK_N;
    responseNoise = noise * acceleration;
    gainSpread = kind == Kind.SCATTER ? logBetween(r, 0.01, 0.05) : 0;
    double lightest = modes.stream().mapToDouble(Mode::massKg).min().orElse(1);
    sensorMassKg = kind == Kind.SENSOR_MASS ? lightest * between(r, 0.02, 0.3) : 0;
    skewS = kind == Kind.SKEW ? between(r, -30e-6, 30e-6) : 0;
    boolean coupled = kind == Kind.COUPLED || kind == Kind.COUPLED_UNTOLD;
    forceHighPassHz = coupled ? logBetween(r, 0.5, 5) : 0;
    responseHighPassHz = kind == Kind.COUPLED ? logBetween(r, 0.5, 5) : forceHighPassHz;
    hum = kind == Kind.HUM ? logBetween(r, 5e-4, 5e-3) : 0;
    humHz = r.nextBoolean() ? 50 : 60;
  }

  static List<AccuracyRig> of(Kind kind, long firstSeed, int count) {
    List<AccuracyRig> rigs = new ArrayList<>();
    for (int i = 0; i < count; i++) {
      rigs.add(new AccuracyRig(kind, firstSeed + i));
    }
    return rigs;
  }

  private static double between(Random r, double low, double high) {
    return low + (high - low) * r.nextDouble();
  }

  private static double logBetween(Random r, double low, double high) {
    return low * Math.pow(high / low, r.nextDouble());
  }

  private List<Mode> modes(Random r) {
    return switch (kind) {
      case ONE -> apart(r, 1, 60, 2000, 0.005, 0.04, 30);
      case FEW -> apart(r, 2 + r.nextInt(2), 60, 2000, 0.005, 0.04, 30);
      case FOUR_OR_FIVE -> apart(r, 4 + r.nextInt(2), 60, 2000, 0.005, 0.04, 30);
      case PAIR_ONE -> pair(r, 1);
      case PAIR_TWO -> pair(r, 2);
      case LIGHT -> apart(r, 1 + r.nextInt(3), 200, 2000, 0.001, 0.003, 30);
      case HEAVY -> apart(r, 1 + r.nextInt(2), 100, 1500, 0.05, 0.1, 10);
      case MANY -> apart(r, 6 + r.nextInt(7), 20, 10_000, 0.005, 0.04, 1000);
      case OUTSIDE -> {
        List<Mode> all = new ArrayList<>(apart(r, 1 + r.nextInt(3), 100, 2000, 0.005, 0.04, 30));
        all.add(Mode.of(between(r, 3, 6), 0.05, logBetween(r, 1e6, 3e7)));
        for (int i = 0; i <= r.nextInt(2); i++) {
          all.add(Mode.of(logBetween(r, 4500, 12_000), 0.02, logBetween(r, 3e7, 3e8)));
        }
        yield all;
      }
      case NOTHING ->
          seed % 2 == 0
              ? List.of()
              : List.of(Mode.of(logBetween(r, 6000, 12_000), 0.02, logBetween(r, 1e6, 3e7)));
      default -> apart(r, 1 + r.nextInt(4), 60, 2000, 0.005, 0.04, 30);
    };
  }

  /** Modes at least five half-power bandwidths apart, stiffness spread over a ratio. */
  private static List<Mode> apart(
      Random r, int count, double low, double high, double zeta0, double zeta1, double ratio) {
    while (true) {
      double[] fn = new double[count];
      for (int i = 0; i < count; i++) {
        fn[i] = logBetween(r, low, high);
      }
      java.util.Arrays.sort(fn);
      List<Mode> modes = new ArrayList<>();
      boolean clear = true;
      for (int i = 0; i < count; i++) {
        Mode mode =
            Mode.of(fn[i], logBetween(r, zeta0, zeta1), 1e6 * Math.pow(ratio, r.nextDouble()));
        if (i > 0) {
          Mode before = modes.get(i - 1);
          double mean = (mode.halfPowerBandwidthHz() + before.halfPowerBandwidthHz()) / 2;
          clear &= fn[i] - fn[i - 1] > 5 * mean;
        }
        modes.add(mode);
      }
      if (clear) {
        return modes;
      }
    }
  }

  /** Two modes, alike in damping, so many half-power bandwidths apart. */
  private static List<Mode> pair(Random r, double bandwidths) {
    double zeta = logBetween(r, 0.005, 0.03);
    double fn = logBetween(r, 150, 1500);
    double k = logBetween(r, 1e6, 3e7);
    return List.of(
        Mode.of(fn, zeta, k),
        Mode.of(
            fn * (1 + bandwidths * zeta) / (1 - bandwidths * zeta),
            zeta,
            k * logBetween(r, 0.5, 2)));
  }

  BlowPlan plan() {
    double slowest =
        modes.stream()
            .mapToDouble(m -> 1 / (2 * Math.PI * m.frequencyHz() * m.dampingRatio()))
            .max()
            .orElse(0.05);
    // a sensor's mass makes ringing last longer
    double constants = kind == Kind.SENSOR_MASS ? 12 : 8;
    return BlowPlan.of(taps, Math.max(0.5, constants * slowest), PEAK_N, contactS)
        .withSpread(0.1, 0.2, 0.05, gainSpread);
  }

  /** Records the taps and averages them, everything left to the program. */
  FrequencyResponse measured() throws IOException {
    VirtualRig rig =
        (modes.isEmpty() ? VirtualRig.freeMass(1) : VirtualRig.of(modes.toArray(new Mode[0])))
            .withSensor(ResponseQuantity.ACCELERATION, sensorMassKg)
            .withInputs(
                input(forceNoise, forceHighPassHz, 0),
                input(responseNoise, responseHighPassHz, skewS));
    BlowPlan plan = plan();
    List<Blow> blows = plan.blows(seed);
    TapRecording recording =
        rig.measurement(
            "rig",
            "x",
            "tool tip",
            List.of(
                MemoryRecording.copyOf(
                    rig.record("rig", sampleRateHz, plan.durationS(seed), blows, seed))));
    return ResponseEstimator.estimate(
            kind == Kind.COUPLED_UNTOLD ? untold(recording) : recording,
            Processing.AUTOMATIC,
            Progress.NONE)
        .response();
  }

  private RigChannel input(double noise, double highPassHz, double skew) {
    RigChannel input = RigChannel.PERFECT.withNoise(noise).withHighPass(highPassHz).withSkew(skew);
    double peak = noise == forceNoise ? PEAK_N : PEAK_N * responseNoise / forceNoise;
    return hum == 0 ? input : input.withHum(humHz, hum * peak, 0.3 * hum * peak, 0.5 * hum * peak);
  }

  private static TapRecording untold(TapRecording told) {
    return new TapRecording(
        told.name(),
        told.axis(),
        told.point(),
        told.recordings(),
        told.force().map(AccuracyRig::untold),
        untold(told.response()),
        told.quantity(),
        told.sensorMassKg(),
        told.skewS());
  }

  private static Channel untold(Channel c) {
    return new Channel(c.number(), c.unitsPerNumber(), c.clipsAtNumber(), c.polarity(), 0);
  }

  /** Modes whose natural frequency lies in a band. */
  List<Mode> inside(double lowHz, double highHz) {
    return modes.stream()
        .filter(m -> m.frequencyHz() >= lowHz && m.frequencyHz() <= highHz)
        .sorted(java.util.Comparator.comparingDouble(Mode::frequencyHz))
        .toList();
  }
}
