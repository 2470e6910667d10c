package ringtrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import org.jtransforms.fft.DoubleFFT_1D;
import ringtrue.acquisition.MemoryRecording;
import ringtrue.acquisition.Recording;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.dynamics.Receptance;
import ringtrue.dynamics.Residual;
import ringtrue.planning.SoundAdviser;
import ringtrue.planning.StabilityJudge;
import ringtrue.signal.HeardStructure;
import ringtrue.signal.StatedCut;
import ringtrue.stability.CutInTime;
import ringtrue.stability.CutTrace;
import ringtrue.stability.CuttingCoefficients;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.CuttingProcess.Operation;
import ringtrue.stability.Engagement;
import ringtrue.stability.Engagement.Direction;
import ringtrue.stability.Lobes;
import ringtrue.stability.LobesRequest;
import ringtrue.stability.SimulatedCut;
import ringtrue.stability.SimulationSettings;
import ringtrue.stability.StabilityMap;
import ringtrue.stability.Tool;

/**
 * Recordings of simulated cuts whose truth is known: drawn from a seed, simulated in time, heard
 * through a room with noise, fans, mains hum and spindle whine, at a speed that is not quite the
 * stated one.
 *
 * <p>What is true is what the periodic lobes and the simulation agree upon; a cut about which they
 * differ, or which lies near a border, is drawn anew, and so is one called stable whose sound holds
 * a lasting line away from the comb all the same. A stable cut is forced if its displacement is at
 * least {@value #FORCED_TRUTH} times what its forces would bend at rest, and clean if at most
 * {@value #CLEAN_TRUTH} times, counted up to one and a half times the highest mode or tooth
 * passing, whichever is higher.
 */
final class SimulatedSounds {
  static final double FORCED_TRUTH = 3;
  static final double CLEAN_TRUTH = 1.8;
  private static final int MOST_DRAWS = 3000;

  /** What a cut is. */
  enum Kind {
    CLEAN,
    FORCED,
    HOPF,
    FLIP
  }

  /** How the room can be told from the cut. */
  enum Air {
    /** The recording begins and ends in air. */
    AROUND,
    /** There is another recording in air. */
    FILE,
    /** There is only the cut. */
    NONE
  }

  /**
   * One of them.
   *
   * @param seed drew it
   * @param attempt at which it did
   * @param kind what it is
   * @param air how the room can be told
   * @param process the cut as stated
   * @param trueRpm speed at which it was made
   * @param chatterHz strongest line of the chatter, from the sound without the room; NaN without
   * @param amplification displacement over deflection at rest
   * @param recording the sound
   * @param inAir a recording in air
   */
  record Case(
      long seed,
      int attempt,
      Kind kind,
      Air air,
      CuttingProcess process,
      double trueRpm,
      double chatterHz,
      double amplification,
      Recording recording,
      Optional<Recording> inAir) {

    StatedCut stated() {
      Tool tool = process.tool().orElseThrow();
      return new StatedCut(process.speedRpm() / 60, tool.flutes(), period(tool));
    }

    HeardStructure structure() {
      List<Double> modes = new ArrayList<>();
      for (List<Receptance> d : List.of(process.x(), process.y())) {
        for (Receptance r : d) {
          ((ModalModel) r).modes().forEach(m -> modes.add(m.frequencyHz()));
        }
      }
      return new HeardStructure(process.x(), process.y(), modes)
          .withFlips(
              hz -> SoundAdviser.mayFlip(process, StabilityJudge.lobes(), 60 * hz, Progress.NONE));
    }

    int flutes() {
      return process.tool().orElseThrow().flutes();
    }

    boolean even() {
      return process.tool().orElseThrow().evenPitch();
    }
  }

  private static int period(Tool tool) {
    return tool.evenPitch() ? tool.flutes() : tool.flutes() == 4 ? 2 : 1;
  }

  private final Random random;
  private final long seed;
  private final int attempt;

  private SimulatedSounds(long seed, int attempt) {
    this.seed = seed;
    this.attempt = attempt;
    this.random = new Random((seed * 7919 + 17) * 1_000_003 + attempt);
    for (int i = 0; i < 20; i++) {
      random.nextDouble(); // seeds that follow each other begin alike
    }
  }

  /** The case of a seed; its kind is that of the seed's place among four. */
  static Case of(long seed) {
    for (int i = 0; i < MOST_DRAWS; i++) {
      Optional<Case> one = of(seed, i);
      if (one.isPresent()) {
        return one.get();
      }
    }
    throw new IllegalStateException("no cut of its kind for seed " + seed);
  }

  /** The case that a seed draws at an attempt, if that one is of its kind. */
  static Optional<Case> of(long seed, int attempt) {
    return new SimulatedSounds(seed, attempt).tried(Kind.values()[(int) Math.floorMod(seed, 4L)]);
  }

  private double between(double low, double high) {
    return low + (high - low) * random.nextDouble();
  }

  private double evenly(double low, double high) {
    return low * Math.pow(high / low, random.nextDouble());
  }

  private Optional<Case> tried(Kind kind) {
    int rate = random.nextBoolean() ? 48_000 : 44_100;
    CuttingProcess stated = process(kind);
    double trueRpm = stated.speedRpm() * (1 + between(-0.02, 0.02));
    CuttingProcess real = stated.atSpeed(trueRpm);
    double most = 3 * stated.tool().orElseThrow().diameterM();
    StabilityMap.Line line =
        Lobes.firstLimits(
                real,
                new LobesRequest(
                    StabilityMap.Over.DEPTH, Optional.empty(), List.of(trueRpm), most, List.of()),
                Progress.NONE)
            .lines()
            .get(0);
    boolean chatter = kind == Kind.HOPF || kind == Kind.FLIP;
    StabilityMap.Loss wanted = kind == Kind.FLIP ? StabilityMap.Loss.FLIP : StabilityMap.Loss.HOPF;
    if (chatter && line.loss() != wanted || line.limitM() < 2e-5) {
      return Optional.empty();
    }
    double depth = line.limitM() * (chatter ? between(1.15, 1.8) : between(0.2, 0.85));
    if (depth > most) {
      return Optional.empty();
    }
    if (!chatter) {
      depth = Math.min(depth, 1.5 * stated.tool().orElseThrow().diameterM());
    }
    CuttingProcess cut = real.with(real.engagement().withAxial(depth));
    double seconds = between(2.2, 4);
    SimulatedCut simulated =
        CutInTime.run(
            cut,
            SimulationSettings.USUAL.withSound(SimulationSettings.Sound.VELOCITY, seconds, rate),
            Progress.NONE);
    SimulatedCut.Verdict verdict =
        kind == Kind.HOPF
            ? SimulatedCut.Verdict.HOPF
            : kind == Kind.FLIP ? SimulatedCut.Verdict.FLIP : SimulatedCut.Verdict.STABLE;
    if (simulated.verdict() != verdict || simulated.stopped()) {
      return Optional.empty();
    }
    double amplification = chatter ? Double.NaN : amplification(cut, simulated.trace());
    if (kind == Kind.CLEAN && !(amplification <= CLEAN_TRUTH)
        || kind == Kind.FORCED && !(amplification >= FORCED_TRUTH)) {
      return Optional.empty();
    }
    double[] sound = simulated.sound().orElseThrow().samples();
    double chatterHz = Double.NaN;
    if (chatter) {
      chatterHz = strongestBeside(sound, rate, cut, kind == Kind.FLIP, 0.04);
      if (Double.isNaN(chatterHz)) {
        return Optional.empty(); // it has not left the comb by much
      }
    } else if (!Double.isNaN(strongestBeside(sound, rate, cut, false, 1e-3))) {
      return Optional.empty(); // a stable cut that does not settle
    }
    Air air = Air.values()[random.nextInt(3)];
    Room room = new Room(cut, trueRpm * (1 + between(0, 0.012)), rate);
    CuttingProcess told = stated.with(stated.engagement().withAxial(depth));
    Recording recording = room.around(sound, air == Air.AROUND);
    Optional<Recording> inAir =
        air == Air.FILE ? Optional.of(room.inAir(between(2, 5))) : Optional.empty();
    return Optional.of(
        new Case(
            seed, attempt, kind, air, told, trueRpm, chatterHz, amplification, recording, inAir));
  }

  // ---- the cut

  private CuttingProcess process(Kind kind) {
    int flutes = 2 + random.nextInt(3);
    if (kind == Kind.FLIP) {
      flutes = List.of(2, 3, 3, 3, 4).get(random.nextInt(5));
    }
    boolean uneven = kind != Kind.FLIP && random.nextInt(6) == 0;
    double diameter = between(5, 14) * 1e-3;
    List<Double> pitch = new ArrayList<>(Collections.nCopies(flutes, 2 * Math.PI / flutes));
    if (uneven) {
      double turn = Math.toRadians(between(5, 12));
      if (flutes == 4) {
        for (int j = 0; j < 4; j++) {
          pitch.set(j, pitch.get(j) + (j % 2 == 0 ? turn : -turn));
        }
      } else {
        pitch.set(0, pitch.get(0) + turn);
        pitch.set(1, pitch.get(1) - turn);
      }
    }
    double helix = Math.toRadians(kind == Kind.FLIP ? 0 : random.nextBoolean() ? 0 : 30);
    Tool tool =
        new Tool(
            diameter,
            Collections.nCopies(flutes, helix),
            pitch,
            Double.NaN,
            Double.NaN,
            random.nextInt(3) == 0 ? 0 : between(0.5, 6) * 1e-6,
            Double.NaN);
    Direction direction = random.nextBoolean() ? Direction.UP : Direction.DOWN;
    double width = kind == Kind.FLIP ? between(0.03, 0.12) : evenly(0.06, 0.7);
    double ktc = evenly(5e8, 2.2e9);
    CuttingCoefficients coefficients =
        new CuttingCoefficients(ktc, ktc * between(0.15, 0.5), 1e4, 1e4, 0);
    double low = evenly(350, 1500);
    ModalModel x = direction(low);
    ModalModel y = direction(low * between(0.85, 1.25));
    double rpm = evenly(4500, 24_000);
    return new CuttingProcess(
        Operation.MILLING,
        Optional.of(tool),
        Engagement.of(direction, width * diameter, 1e-3, diameter),
        coefficients,
        List.of(x),
        List.of(y),
        rpm,
        between(0.03, 0.1) * 1e-3,
        0);
  }

  private ModalModel direction(double low) {
    List<Mode> modes = new ArrayList<>();
    modes.add(Mode.of(low, evenly(0.01, 0.04), evenly(2e6, 2e7)));
    if (random.nextBoolean()) {
      modes.add(Mode.of(low * between(1.5, 2.6), evenly(0.01, 0.04), evenly(5e6, 5e7)));
    }
    return new ModalModel(modes, Residual.NONE);
  }

  // ---- the truth

  /** Displacement over what the forces would bend at rest, from the last turns, line by line. */
  static double amplification(CuttingProcess cut, CutTrace trace) {
    int n = trace.size() - trace.size() % trace.stepsPerTurn();
    int from = trace.size() - n;
    double[] x = new double[n];
    double[] y = new double[n];
    double[] fx = new double[n];
    double[] fy = new double[n];
    for (int i = 0; i < n; i++) {
      x[i] = trace.xM(from + i);
      y[i] = trace.yM(from + i);
      fx[i] = trace.xN(from + i);
      fy[i] = trace.yN(from + i);
    }
    DoubleFFT_1D transform = new DoubleFFT_1D(n);
    for (double[] all : List.of(x, y, fx, fy)) {
      transform.realForward(all);
    }
    double highest = cut.speedRpm() / 60 * cut.tool().orElseThrow().flutes();
    for (Receptance r : List.of(cut.x().get(0), cut.y().get(0))) {
      for (Mode m : ((ModalModel) r).modes()) {
        highest = Math.max(highest, m.frequencyHz());
      }
    }
    double restX = compliance(cut.x().get(0));
    double restY = compliance(cut.y().get(0));
    double moving = 0;
    double still = 0;
    for (int k = 1; k < n / 2; k++) {
      double hz = k / (n * trace.stepS());
      if (hz > 1.5 * highest) {
        break;
      }
      moving += size(x, k) + size(y, k);
      still += restX * restX * size(fx, k) + restY * restY * size(fy, k);
    }
    return Math.sqrt(moving / still);
  }

  private static double compliance(Receptance r) {
    double sum = 0;
    for (Mode m : ((ModalModel) r).modes()) {
      sum += 1 / m.stiffnessNPerM();
    }
    return sum;
  }

  private static double size(double[] spectrum, int k) {
    return spectrum[2 * k] * spectrum[2 * k] + spectrum[2 * k + 1] * spectrum[2 * k + 1];
  }

  /**
   * Strongest line away from the multiples of the turns (for a flip: at odd halves of the teeth),
   * from one transform of all of the sound; NaN if its power is less than a given part of the
   * strongest of all.
   */
  private static double strongestBeside(
      double[] sound, int rate, CuttingProcess cut, boolean flip, double part) {
    int n = sound.length;
    double[] w = new double[2 * n];
    for (int i = 0; i < n; i++) {
      double hann = 0.5 - 0.5 * Math.cos(2 * Math.PI * i / n);
      w[i] = sound[i] * hann * hann;
    }
    new DoubleFFT_1D(2 * n).realForward(w);
    double step = rate / (2.0 * n);
    double turn = cut.speedRpm() / 60;
    double teeth = turn * cut.tool().orElseThrow().flutes();
    double best = 0;
    double all = 0;
    int at = -1;
    for (int k = (int) (100 / step); k < n - 1 && k * step < 11_000; k++) {
      double hz = k * step;
      double p = size(w, k);
      all = Math.max(all, p);
      boolean beside =
          flip
              ? Math.abs(Math.abs(hz / teeth - Math.floor(hz / teeth)) - 0.5) * teeth < 3 * rate / n
              : Math.abs(hz - turn * Math.rint(hz / turn)) > 5.0 * rate / n;
      if (beside && p > best) {
        best = p;
        at = k;
      }
    }
    if (at < 1 || best < part * all) {
      return Double.NaN;
    }
    double a = Math.log(size(w, at - 1));
    double b = Math.log(size(w, at));
    double c = Math.log(size(w, at + 1));
    return step * (at + 0.5 * (a - c) / (a - 2 * b + c));
  }

  // ---- the room

  /** What else sounds. Levels are drawn against the cut's own. */
  private final class Room {
    final CuttingProcess cut;
    final int rate;
    final double idleRpm;
    final double cutLevel = evenly(0.02, 0.15);
    final double noise = cutLevel * Math.pow(10, between(-36, -8) / 20);
    final double colour = between(0, 0.97);
    final List<double[]> fixed = new ArrayList<>(); // Hz, amplitude, phase
    final List<double[]> whine = new ArrayList<>(); // order, amplitude, phase

    Room(CuttingProcess cut, double idleRpm, int rate) {
      this.cut = cut;
      this.idleRpm = idleRpm;
      this.rate = rate;
      int fans = random.nextInt(3);
      for (int f = 0; f < fans; f++) {
        double hz = evenly(70, 500);
        double level = cutLevel * Math.pow(10, between(-36, -14) / 20);
        int lines = 1 + random.nextInt(5);
        for (int k = 1; k <= lines; k++) {
          tone(k * hz, level / k);
        }
      }
      if (random.nextInt(8) == 0) { // a fan just where a mode is
        Mode mode = ((ModalModel) cut.x().get(0)).modes().get(0);
        tone(
            mode.frequencyHz() * between(0.95, 1.06),
            cutLevel * Math.pow(10, between(-24, -12) / 20));
      }
      if (random.nextInt(3) > 0) {
        double base = random.nextBoolean() ? 50 : 60;
        base *= 1 + between(-0.001, 0.001);
        double level = cutLevel * Math.pow(10, between(-40, -14) / 20);
        for (int k = 1; k <= 6; k++) {
          tone(k * base, level * (k % 2 == 0 ? 0.7 : 0.3) / k);
        }
      }
      if (random.nextInt(3) == 0) {
        double order = Math.floor(between(4, 20)) + between(0.15, 0.85);
        whine.add(
            new double[] {
              order, cutLevel * Math.pow(10, between(-40, -16) / 20), between(0, 6.28)
            });
      }
    }

    private void tone(double hz, double amplitude) {
      fixed.add(new double[] {hz, amplitude, between(0, 2 * Math.PI)});
    }

    Recording inAir(double seconds) {
      double[] all = new double[(int) (seconds * rate)];
      add(all, all.length, all.length);
      return new MemoryRecording("air.wav", rate, all);
    }

    Recording around(double[] sound, boolean withAir) {
      int before = withAir ? (int) (between(1, 2.5) * rate) : 0;
      int after = withAir ? (int) (between(0, 1.5) * rate) : 0;
      double[] all = new double[before + sound.length + after];
      double rms = Math.sqrt(Arrays.stream(sound).map(v -> v * v).sum() / sound.length);
      int ramp = withAir ? (int) (between(0.02, 0.2) * rate) : 0;
      for (int i = 0; i < sound.length; i++) {
        double in = ramp == 0 ? 1 : Math.min(1, (double) i / ramp);
        double out = ramp == 0 ? 1 : Math.min(1, (double) (sound.length - i) / ramp);
        all[before + i] = cutLevel * in * out * sound[i] / rms;
      }
      add(all, before, before + sound.length);
      return new MemoryRecording("cut.wav", rate, all);
    }

    /** Adds the room; the spindle turns at its idle speed outside of the cut. */
    private void add(double[] all, int from, int to) {
      double past = 0;
      double[] phase = new double[whine.size()];
      double cutting = cut.speedRpm() / 60;
      for (int i = 0; i < all.length; i++) {
        past = colour * past + random.nextGaussian() * Math.sqrt(1 - colour * colour);
        double sum = noise * past;
        for (double[] t : fixed) {
          sum += t[1] * Math.sin(2 * Math.PI * t[0] * i / rate + t[2]);
        }
        double turns = i >= from && i < to ? cutting : idleRpm / 60;
        for (int w = 0; w < phase.length; w++) {
          phase[w] += 2 * Math.PI * whine.get(w)[0] * turns / rate;
          sum += whine.get(w)[1] * Math.sin(phase[w] + whine.get(w)[2]);
        }
        double v = Math.max(-1, Math.min(1 - 0x1p-15, all[i] + sum));
        all[i] = Math.rint(v * 32768) / 32768;
      }
    }
  }
}
