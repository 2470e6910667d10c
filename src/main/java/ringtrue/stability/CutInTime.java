package ringtrue.stability;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.Stream;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.Progress;
import ringtrue.stability.CuttingProcess.Operation;
import ringtrue.stability.SimulatedCut.ToothSample;
import ringtrue.stability.SimulatedCut.Verdict;
import ringtrue.stability.SimulationSettings.Sound;
import ringtrue.units.BadInputException;

/**
 * A cut simulated in time: the one way in. The marching itself is {@link CutMarch}.
 *
 * <p>The cut begins in the motion that its own forces would keep up, struck by a small blow. Stable
 * or not is told by what becomes of the blow: the motion is looked at once in each growth period
 * and subtracted from the one before, which leaves the disturbance alone; as long as it is small
 * against the feed it grows or dies as linear theory has it ({@link Chatter}). A growth that makes
 * less than a factor of two of it in all the turns looked at is neither.
 */
public final class CutInTime {
  /** The disturbance has died out at this part of its largest size. */
  private static final double SETTLED = 1e-3;

  /** A swing that has come down to this part of its largest size was none of growth. */
  private static final double QUIET = 0.1;

  /** Below this part nothing but rounding is left. */
  private static final double GONE = 1e-4;

  /** Part of their arc in which teeth are out of the work before it is said. */
  private static final double OFTEN = 0.1;

  /** A change by less than this factor decides nothing. */
  private static final double PLAIN = 2;

  private static final int FEWEST_SETTLING_TURNS = 6;
  private static final int FEWEST_TURNS_OF_CHATTER = 60;
  private static final int MOST_GROWN_TURNS = 80;
  private static final int BLOCK_TURNS = 5;
  private static final double STEADY = 0.1;
  private static final int WINDOW_PERIODS = 64;
  private static final int MOST_RING = 1 << 19;
  private static final int MOST_TRACE = 600_000;
  private static final int MOST_SAMPLES = 200_000;

  /** Turns, and time, over which the frequency of settled chatter is measured. */
  private static final int PITCH_TURNS = 64;

  private static final double PITCH_S = 0.25;
  private static final int MOST_PITCH = 1 << 18;

  private final CuttingProcess process;
  private final SimulationSettings settings;
  private final Progress progress;
  private final CutMarch march;
  private final List<String> remarks = new ArrayList<>();
  private final boolean alike;
  private final boolean sameTeeth;
  private final int period;
  private final int lag;
  private final Chatter chatter;
  private final double boundM;
  private final int ringMask;
  private final float[] ringX;
  private final float[] ringY;
  private final int[] toothAt;
  private final List<ToothSample> samples = new ArrayList<>();
  private double growingHz = Double.NaN;
  private boolean grown;
  private boolean stopped;

  private CutInTime(CuttingProcess process, SimulationSettings settings, Progress progress) {
    this.process = process;
    this.settings = settings;
    this.progress = progress;
    march = new CutMarch(process, settings.stepsPerCycle(), settings.edge());
    boolean turning = process.operation() == Operation.TURNING;
    alike =
        !turning
            && process.tool().orElseThrow().evenPitch()
            && process.tool().orElseThrow().equalHelix()
            && march.steps % march.flutes == 0;
    sameTeeth = alike && process.tool().orElseThrow().runoutM() == 0;
    period = alike ? march.steps / march.flutes : march.steps;
    lag = alike && !sameTeeth ? march.flutes : 1;
    double[] weights = new double[march.size];
    for (int k = 0; k < march.size; k++) {
      weights[k] = Math.sqrt(march.weight(k));
    }
    chatter = new Chatter(weights, lag, chipM());
    boundM =
        turning
            ? Math.max(1e-3, 50 * process.feedPerToothM())
            : 0.25 * process.tool().orElseThrow().diameterM();
    long wanted = (long) (WINDOW_PERIODS + lag + 1) * period;
    ringMask = Integer.highestOneBit((int) Math.min(MOST_RING, wanted) - 1) * 2 - 1;
    ringX = new float[ringMask + 1];
    ringY = new float[ringMask + 1];
    toothAt = new int[march.steps];
    double passes =
        turning || process.engagement().exitRad() < Math.PI - 1e-6
            ? process.engagement().entryRad()
            : Math.PI;
    for (int j = march.flutes - 1; j >= 0; j--) {
      int at = (int) Math.rint((passes + march.offRad(j, 0)) / (2 * Math.PI) * march.steps);
      toothAt[Math.floorMod(at, march.steps)] = j + 1;
    }
  }

  /**
   * Simulates a cut.
   *
   * @param process a cut with modes; tables of modes over speed are read at its speed
   * @param settings how
   * @param progress told how far it is, may cancel
   * @throws BadInputException if a direction is a measured response, if process damping lacks the
   *     cutting speed, or if a turn holds too many vibrations
   */
  public static SimulatedCut run(
      CuttingProcess process, SimulationSettings settings, Progress progress) {
    CuttingProcess resolved = checked(process);
    CutInTime cut = new CutInTime(resolved, settings, progress);
    if (cut.march.tooMany) {
      throw new BadInputException(
          String.format(
              Locale.ROOT,
              "speed: at %s rpm a turn holds %.0f cycles of the fastest mode, more than a simulation"
                  + " can follow; use a higher speed or leave that mode out",
              Plain.number(process.speedRpm()),
              cut.march.highestHz * 60 / process.speedRpm()));
    }
    return cut.run();
  }

  private static CuttingProcess checked(CuttingProcess process) {
    boolean measured =
        Stream.of(process.x(), process.y(), process.xy())
            .flatMap(List::stream)
            .anyMatch(FrequencyResponse.class::isInstance);
    if (measured) {
      throw new BadInputException(
          "simulation needs modes, not measured responses; give modes or a measurement");
    }
    if (process.processDampingNPerM() > 0
        && Double.isNaN(process.cuttingSpeedMPerS(process.speedRpm()))) {
      throw new BadInputException(
          "process damping: needs the cutting speed; give the diameter of the work, like"
              + " \"workDiameter\": \"40 mm\"");
    }
    if (process.tool().isPresent()
        && process.engagement().axialM() >= Regeneration.deepest(process.tool().get())) {
      throw new BadInputException(
          "helix: at "
              + Plain.mm(process.engagement().axialM())
              + " depth a flute overtakes the next one; check helix angles and pitch");
    }
    return process.resolvedAt(process.speedRpm());
  }

  /** The largest chip of the cut at rest, m. */
  private double chipM() {
    double entry = process.engagement().entryRad();
    double exit = process.engagement().exitRad();
    boolean whole =
        process.operation() == Operation.TURNING || entry <= Math.PI / 2 && exit >= Math.PI / 2;
    double sine = whole ? 1 : Math.max(Math.sin(entry), Math.sin(exit));
    return process.feedPerToothM() * Math.max(0.01, sine);
  }

  private SimulatedCut run() {
    march.start(settings.disturbance() * chipM());
    chatter.sample(march.re, march.im);
    int traced = (int) Math.min(settings.tracedTurns(), MOST_TRACE / march.steps + 1L);
    if (traced < settings.tracedTurns()) {
      remarks.add("the last " + traced + " turns are kept step by step, not more");
    }
    int lead;
    if (settings.turns() > 0) {
      traced = Math.min(traced, settings.turns());
      lead = settings.turns() - traced;
      for (int t = 0; t < lead && !stopped; t++) {
        turn(null, 0, (double) t / settings.turns());
      }
    } else {
      lead = settle(Math.max(1, settings.mostTurns() - traced));
    }
    CutTrace trace =
        new CutTrace(
            march.dtS, march.done() * march.dtS, march.steps, march.flutes, traced * march.steps);
    int before = (int) (march.done() / march.steps);
    boolean early = stopped;
    for (int t = 0; t < traced && !stopped; t++) {
      turn(trace, t * march.steps, (double) (lead + t) / (lead + traced));
    }
    int turns = (int) ((march.done() + march.steps - 1) / march.steps);
    if (stopped) {
      trace = early ? rest() : shortened(trace, march.done() - (long) before * march.steps);
    }
    // one turn is kept by those who only want the verdict
    Pitch pitch = traced > 1 && chatters(turns) ? new Pitch(trace) : null;
    CutSound sound =
        stopped ? null : settings.sound().map(request -> listen(request, pitch)).orElse(null);
    while (pitch != null && !stopped && !pitch.enough()) {
      march.step();
      pitch.take(march.vx, march.vy);
      stopped = absurd();
    }
    return result(trace, turns, Optional.ofNullable(sound), pitch);
  }

  private boolean absurd() {
    return !(march.x * march.x + march.y * march.y <= boundM * boundM);
  }

  private boolean chatters(int turns) {
    Verdict verdict = verdict(turns);
    return verdict == Verdict.FLIP || verdict == Verdict.HOPF;
  }

  private Verdict verdict(int turns) {
    if (grown && chatter.small() && chatter.left() < QUIET) {
      grown = false; // it had only swung up, or the start was not quite the periodic motion
    }
    int end = grown ? chatter.linearEnd() : chatter.samples();
    return verdict(end, chatter.growth(end), turns);
  }

  /** Velocities of the settled motion, step by step, for the frequency of its chatter. */
  private final class Pitch {
    private final double[] vx;
    private final double[] vy;
    private int size;

    Pitch(CutTrace trace) {
      int seconds = (int) Math.ceil(PITCH_S / march.dtS);
      int sound =
          (int)
              Math.min(MOST_PITCH, settings.sound().map(r -> r.seconds() / march.dtS).orElse(0.0));
      int most = Math.max(PITCH_TURNS * march.steps, Math.max(seconds, sound));
      vx = new double[Math.min(MOST_PITCH, most)];
      vy = new double[vx.length];
      if (settings.sound().isEmpty()) {
        for (int i = Math.max(0, trace.size() - vx.length); i < trace.size(); i++) {
          take(trace.vx[i], trace.vy[i]);
        }
      }
    }

    void take(double nowX, double nowY) {
      if (!enough()) {
        vx[size] = nowX;
        vy[size] = nowY;
        size++;
      }
    }

    boolean enough() {
      return size == vx.length;
    }

    /** The strongest line away from the comb, Hz; NaN for none. */
    double hz(boolean flip) {
      double comb = 1 / (march.dtS * (flip ? period : (double) lag * period));
      return Chatter.besideHz(
          Arrays.copyOf(vx, size), Arrays.copyOf(vy, size), march.dtS, comb, flip);
    }
  }

  /** An absurd displacement before the traced turns: nothing was kept but the ring. */
  private CutTrace rest() {
    int n = (int) Math.min(march.done(), Math.min(ringMask + 1L, 4L * march.steps));
    CutTrace trace =
        new CutTrace(march.dtS, (march.done() - n) * march.dtS, march.steps, march.flutes, n);
    for (int i = 0; i < n; i++) {
      int at = (int) ((march.done() - n + i) & ringMask);
      trace.x[i] = ringX[at];
      trace.y[i] = ringY[at];
      trace.fx[i] = Double.NaN;
      trace.fy[i] = Double.NaN;
      trace.vx[i] = Double.NaN;
      trace.vy[i] = Double.NaN;
      trace.torque[i] = Double.NaN;
    }
    return trace;
  }

  private static CutTrace shortened(CutTrace trace, long size) {
    int n = (int) size;
    CutTrace some = new CutTrace(trace.stepS, trace.startS, trace.stepsPerTurn, trace.flutes, n);
    double[][] from = {
      trace.x, trace.y, trace.vx, trace.vy, trace.fx, trace.fy, trace.torque, trace.feed
    };
    double[][] to = {some.x, some.y, some.vx, some.vy, some.fx, some.fy, some.torque, some.feed};
    for (int k = 0; k < from.length; k++) {
      System.arraycopy(from[k], 0, to[k], 0, n);
    }
    for (int j = 0; j < trace.flutes; j++) {
      System.arraycopy(trace.chip[j], 0, some.chip[j], 0, n);
    }
    return some;
  }

  /** Turns until the motion has settled, one way or the other. */
  private int settle(int most) {
    int turns = 0;
    int since = 0;
    double[] block = new double[2];
    double now = 0;
    while (turns < most && !stopped) {
      turn(null, 0, (double) turns / most);
      turns++;
      boolean kept = turns > FEWEST_TURNS_OF_CHATTER && !chatter.small();
      if (turns >= FEWEST_SETTLING_TURNS && settled()) {
        break;
      }
      if (!grown && !kept) {
        if (march.size == 0 && turns >= 2) {
          break;
        }
      } else {
        // chatter has its full size when five turns differ as much as the five before
        since++;
        now = Math.max(now, chatter.reachM());
        if (since % BLOCK_TURNS == 0) {
          boolean steady =
              Math.abs(now - block[0]) < STEADY * now && Math.abs(now - block[1]) < STEADY * now;
          if (steady && since >= 4 * BLOCK_TURNS || since >= MOST_GROWN_TURNS) {
            break;
          }
          block[1] = block[0];
          block[0] = now;
          now = 0;
        }
      }
    }
    return turns;
  }

  /** Whether the disturbance has died out and goes on dying. */
  private boolean settled() {
    return chatter.samples() > 2 * chatter.first() + 8
        && chatter.left() < SETTLED
        && chatter.falling(Math.max(8, 3 * march.steps / period))
        && chatter.small();
  }

  /** One turn of the spindle, kept in a trace from a place on if there is one. */
  private void turn(CutTrace trace, int from, double part) {
    progress.at(part, "cutting in time");
    double bound = boundM * boundM;
    for (int i = 0; i < march.steps; i++) {
      int tooth = toothAt[march.at()];
      march.step();
      long done = march.done();
      int slot = (int) ((done - 1) & ringMask);
      ringX[slot] = (float) march.x;
      ringY[slot] = (float) march.y;
      if (tooth > 0 && samples.size() < MOST_SAMPLES) {
        samples.add(new ToothSample((done - 1) * march.dtS, tooth - 1, march.x, march.y));
      }
      if (trace != null) {
        keep(trace, from + i);
      }
      if (!(march.x * march.x + march.y * march.y <= bound)) {
        stopped = true;
        watch();
        return;
      }
      if (done % period == 0) {
        chatter.sample(march.re, march.im);
        watch();
      }
    }
  }

  /** Notes the moment when a disturbance that was small has grown. */
  private void watch() {
    if (!grown && (stopped || !chatter.small()) && chatter.samples() > chatter.first() + 2) {
      int end = chatter.linearEnd();
      if (end < chatter.samples() || stopped) {
        grown = true;
        growingHz = frequency(chatter.growth(end), end);
      }
    }
  }

  private void keep(CutTrace trace, int i) {
    trace.x[i] = march.x;
    trace.y[i] = march.y;
    trace.vx[i] = march.vx;
    trace.vy[i] = march.vy;
    trace.fx[i] = march.fx;
    trace.fy[i] = march.fy;
    double diameter = process.tool().map(Tool::diameterM).orElse(process.turnedDiameterM());
    trace.torque[i] = march.tangential * diameter / 2;
    trace.feed[i] = march.feedM();
    for (int j = 0; j < march.flutes; j++) {
      trace.chip[j][i] = (float) Math.max(0, march.chip[j]);
    }
    passes(i == 0);
  }

  private final boolean[] passing = new boolean[64];
  private final boolean[] touched = new boolean[64];
  private final boolean[] counted = new boolean[64];
  private final int[] stepsOfPass = new int[64];
  private int passed;
  private int missed;
  private int inArc;
  private int outOfWork;

  /** Counts the passes of each flute through its arc, and those without a touch. */
  private void passes(boolean first) {
    for (int j = 0; j < march.flutes && j < passing.length; j++) {
      if (first) {
        // a pass that has begun before is not counted
        counted[j] = !march.inArc[j] || march.turning;
        passing[j] = march.inArc[j];
      }
      if (march.turning) {
        passed++;
        missed += march.chip[0] > 0 ? 0 : 1;
        continue;
      }
      if (march.inArc[j]) {
        inArc++;
        outOfWork += march.chip[j] > 0 ? 0 : 1;
      }
      boolean whole = stepsOfPass[j] >= march.steps;
      if (march.inArc[j] && !whole) {
        passing[j] = true;
        touched[j] |= march.chip[j] > 0;
        stepsOfPass[j]++;
      } else if (passing[j]) {
        if (counted[j]) {
          passed++;
          missed += touched[j] ? 0 : 1;
        }
        counted[j] = true;
        passing[j] = march.inArc[j];
        touched[j] = march.inArc[j] && march.chip[j] > 0;
        stepsOfPass[j] = 0;
      }
    }
  }

  /**
   * The strongest line of the disturbance over the last periods, made exact by how it turns from
   * period to period where enough of that was seen.
   */
  private double frequency(double growth, int end) {
    int lagSteps = lag * period;
    long available = Math.min(march.done(), ringMask + 1L) - lagSteps;
    int n = (int) Math.min(available, (long) WINDOW_PERIODS * period);
    if (n < 2 * period) {
      return Double.NaN;
    }
    double[] dx = new double[n];
    double[] dy = new double[n];
    for (int i = 0; i < n; i++) {
      int now = (int) ((march.done() - n + i) & ringMask);
      int old = (int) ((march.done() - n + i - lagSteps) & ringMask);
      dx[i] = ringX[now] - ringX[old];
      dy[i] = ringY[now] - ringY[old];
    }
    double perStep =
        Double.isNaN(growth) ? 1 : Math.pow(Math.max(0.2, Math.min(5, growth)), 1.0 / period);
    double near = Chatter.strongestHz(dx, dy, march.dtS, perStep);
    double turning = linear(end) ? chatter.turningRad(end) : Double.NaN;
    if (Double.isNaN(near) || Double.isNaN(turning)) {
      return near;
    }
    double hz = 1 / (period * march.dtS);
    double[] both = Chatter.aliases(near, turning, hz);
    double resolved = Math.max(0.1 * hz, 2 / (n * march.dtS));
    if (Math.abs(both[1] - near) < resolved && both[0] != both[1]) {
      return Chatter.firstIsStronger(dx, dy, march.dtS, perStep, both) ? both[0] : both[1];
    }
    return Math.abs(both[0] - near) < 0.1 * hz ? both[0] : near;
  }

  private CutSound listen(SimulationSettings.SoundRequest request, Pitch pitch) {
    CutSound.Maker maker = new CutSound.Maker(request, 1 / march.dtS);
    boolean force = request.quantity() == Sound.FORCE;
    while (!maker.finished() && !stopped) {
      progress.at(maker.done(), "sound");
      for (int i = 0; i < march.steps && !maker.finished(); i++) {
        march.step();
        maker.take(force ? march.fx : march.vx, force ? march.fy : march.vy);
        if (pitch != null) {
          pitch.take(march.vx, march.vy);
        }
      }
      stopped = absurd();
    }
    return maker.finish();
  }

  private SimulatedCut result(CutTrace trace, int turns, Optional<CutSound> sound, Pitch pitch) {
    Verdict verdict = verdict(turns);
    int end = grown ? chatter.linearEnd() : chatter.samples();
    double growth = chatter.growth(end);
    double hz = Double.NaN;
    if (verdict == Verdict.FLIP || verdict == Verdict.HOPF) {
      hz = Double.isNaN(growingHz) ? frequency(grown ? growth : 1, end) : growingHz;
    }
    double settledHz = pitch == null || stopped ? Double.NaN : pitch.hz(verdict == Verdict.FLIP);
    double peak = 0;
    double peakForce = 0;
    double sumX = 0;
    double sumY = 0;
    double torque = 0;
    double mostTorque = 0;
    int n = trace.size();
    for (int i = 0; i < n; i++) {
      peak = Math.max(peak, Math.hypot(trace.x[i], trace.y[i]));
      peakForce = Math.max(peakForce, Math.hypot(trace.fx[i], trace.fy[i]));
      sumX += trace.fx[i] / n;
      sumY += trace.fy[i] / n;
      torque += trace.torque[i] / n;
      mostTorque = Math.max(mostTorque, trace.torque[i]);
    }
    Optional<CutSurface> surface =
        stopped ? Optional.empty() : CutSurface.of(march, trace, process);
    say(verdict, growth, turns);
    // chatter that was never small says nothing of how a small disturbance grows
    boolean seen = linear(end) || verdict != Verdict.FLIP && verdict != Verdict.HOPF;
    return new SimulatedCut(
        verdict,
        turns,
        march.size > 0 && seen ? growth : Double.NaN,
        alike ? "tooth passing" : "spindle turn",
        Double.isNaN(settledHz) ? hz : settledHz,
        linear(end) ? hz : Double.NaN,
        peak,
        peakForce,
        sumX,
        sumY,
        torque * march.omega,
        mostTorque,
        passed == 0 ? Double.NaN : (double) missed / passed,
        spread(trace),
        surface,
        samples,
        trace,
        march.slices,
        sound,
        stopped,
        march.size == 0,
        remarks);
  }

  /** Whether enough of the growth was seen while it was small. */
  private boolean linear(int end) {
    return (grown || chatter.small()) && end - chatter.first() >= 8;
  }

  private Verdict verdict(int end, double growth, int turns) {
    if (march.size == 0) {
      return Verdict.CANNOT_TELL; // forces only: no chatter to judge
    }
    boolean large = stopped || !chatter.small();
    if (!grown && !large) {
      if (Double.isNaN(growth)) {
        return chatter.left() < 1e-3 && chatter.samples() > chatter.first() + 4
            ? Verdict.STABLE
            : Verdict.CANNOT_TELL;
      }
      double change = chatter.change(chatter.samples());
      if (change < 1 / PLAIN || chatter.left() < (growth < 1 ? SETTLED : GONE)) {
        return Verdict.STABLE;
      }
      if (change < PLAIN) {
        return Verdict.CANNOT_TELL;
      }
    } else if (!grown && growth < 1) {
      // never small: dying out, or kept up for as long as it was watched
      double change = chatter.change(chatter.samples());
      if (change < 1 / PLAIN || turns < FEWEST_TURNS_OF_CHATTER) {
        return change < 1 / PLAIN ? Verdict.STABLE : Verdict.CANNOT_TELL;
      }
    }
    boolean flip =
        linear(end)
            ? Math.abs(chatter.turningRad(end) - Math.PI) < 1e-9
            : chatter.everySecondAlike();
    return flip ? Verdict.FLIP : Verdict.HOPF;
  }

  private void say(Verdict verdict, double growth, int turns) {
    if (march.size == 0) {
      remarks.add(
          "nothing can vibrate in this cut, so there are forces and chips only: chatter cannot be"
              + " judged without the modes of tool or workpiece");
    }
    if (stopped) {
      remarks.add(
          String.format(
              Locale.ROOT,
              "stopped after %d turns: the displacement passed %s, where the model means nothing any"
                  + " more",
              turns,
              Plain.mm(boundM)));
    }
    if (verdict == Verdict.CANNOT_TELL && march.size > 0) {
      remarks.add(
          String.format(
              Locale.ROOT,
              "close to the border: in %d turns a small disturbance changed by less than a factor of"
                  + " two%s; more turns, or the lobes, may tell",
              turns,
              Double.isNaN(growth)
                  ? ""
                  : String.format(
                      Locale.ROOT, " (%.4f per %s)", growth, alike ? "tooth passing" : "turn")));
    }
    if (verdict == Verdict.STABLE && outOfWork > OFTEN * inArc) {
      remarks.add(
          String.format(
              Locale.ROOT,
              "the motion is the same in every turn, but it takes the teeth out of the work for %.0f %%"
                  + " of their arc: lobes take it that they stay in, and may say otherwise here",
              100.0 * outOfWork / inArc));
    }
    remarks.add(
        String.format(
            Locale.ROOT,
            "%d steps a turn (%s us)%s; %d axial slice%s",
            march.steps,
            Plain.few(1e6 * march.dtS),
            march.size == 0
                ? ""
                : String.format(
                    Locale.ROOT,
                    ", %d in a cycle of the fastest motion at %.0f Hz",
                    (int) Math.round(1 / (march.dtS * march.highestHz)),
                    march.highestHz),
            march.slices,
            march.slices == 1 ? "" : "s"));
    if (march.modes.lower()) {
      remarks.add(
          "the lower residual of a fit stands in as a well damped mode at half the lowest frequency");
    }
  }

  /** Spread of the displacement at the same tooth over the traced turns. */
  private double spread(CutTrace trace) {
    double from = trace.startS - 0.5 * march.dtS;
    int groups = sameTeeth ? 1 : march.flutes;
    double[][] bounds = new double[groups][];
    for (ToothSample s : samples) {
      if (s.timeS() < from) {
        continue;
      }
      int g = sameTeeth ? 0 : s.flute();
      if (bounds[g] == null) {
        bounds[g] = new double[] {s.xM(), s.xM(), s.yM(), s.yM()};
      }
      double[] b = bounds[g];
      b[0] = Math.min(b[0], s.xM());
      b[1] = Math.max(b[1], s.xM());
      b[2] = Math.min(b[2], s.yM());
      b[3] = Math.max(b[3], s.yM());
    }
    double most = Double.NaN;
    for (double[] b : bounds) {
      if (b != null) {
        double here = Math.max(b[1] - b[0], b[3] - b[2]);
        most = Double.isNaN(most) ? here : Math.max(most, here);
      }
    }
    return most;
  }
}
