package ringtrue.stability;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.Collections;
import java.util.List;
import java.util.Optional;
import org.jtransforms.fft.DoubleFFT_1D;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.dynamics.Receptance;
import ringtrue.dynamics.Residual;
import ringtrue.planning.CuttingForces;
import ringtrue.stability.Engagement.Direction;
import ringtrue.stability.SimulatedCut.Verdict;
import ringtrue.stability.SimulationSettings.Sound;
import ringtrue.stability.SimulationSettings.StockEdge;
import ringtrue.units.BadInputException;

/** The simulation in time against closed forms, published figures and conservation laws. */
class CutInTimeTest {
  private static final SimulationSettings LINEAR =
      SimulationSettings.USUAL.with(StockEdge.FIXED_ANGLES);

  private static SimulatedCut run(CuttingProcess process, SimulationSettings settings) {
    return CutInTime.run(process, settings, Progress.NONE);
  }

  private static CuttingProcess deep(CuttingProcess process, double rpm, double axialM) {
    return process.with(process.engagement().withAxial(axialM)).atSpeed(rpm);
  }

  /**
   * Published spectral radii of the one-mode benchmark at 5000 rpm, full width (Ding et al. 2010,
   * reference column: 0.8192, 1.0726, 1.2197, 1.4040; from memory); the extrapolated ones of
   * semi-discretisation are 0.8197, 1.0740, 1.2216, 1.4065.
   */
  @ParameterizedTest
  @CsvSource({"0.2, 0.8197", "0.5, 1.0740", "0.7, 1.2216", "1.0, 1.4065"})
  void growsAsThePublishedBenchmark(double depthMm, double published) {
    CuttingProcess cut = deep(PublishedCuts.benchmark(Direction.SLOT, 1), 5000, depthMm * 1e-3);
    SimulatedCut simulated = run(cut, LINEAR.withStepsPerCycle(80).withDisturbance(1e-6));
    assertThat(simulated.growth()).isCloseTo(published, within(0.003 * published));
    assertThat(simulated.growthPeriod()).isEqualTo("tooth passing");
    assertThat(simulated.verdict() == Verdict.STABLE).isEqualTo(published < 1);
  }

  /**
   * Flip and Hopf of the same benchmark at twentieth and tenth width, and of the lone flexure
   * (limits: Insperger, Mann, Stépán & Bayly 2003; the limits of two other methods here): told
   * apart just above the limit, quiet just below, at the frequency of the periodic method.
   */
  @ParameterizedTest
  @CsvSource({
    "UP,   0.05, 12500, 11.67, FLIP",
    "UP,   0.05, 20000, 3.774, FLIP",
    "UP,   0.1,  20000, 2.205, FLIP",
    "DOWN, 0.1,  10000, 2.518, FLIP",
    "DOWN, 0.05, 5000,  2.207, HOPF",
    "UP,   0.1,  15000, 0.966, HOPF",
    "DOWN, 0.5,  12500, 0.657, HOPF"
  })
  void tellsFlipFromHopf(
      Direction direction, double width, double rpm, double limitMm, Verdict verdict) {
    CuttingProcess cut = PublishedCuts.benchmark(direction, width);
    SimulatedCut below = run(deep(cut, rpm, 0.94e-3 * limitMm), LINEAR);
    SimulatedCut above = run(deep(cut, rpm, 1.06e-3 * limitMm), LINEAR);
    assertThat(below.verdict()).isEqualTo(Verdict.STABLE);
    assertThat(above.verdict()).isEqualTo(verdict);
    StabilityMap.Line line =
        Lobes.compute(cut, LobesRequest.depth(List.of(rpm)).upTo(1.05e-3 * limitMm), Progress.NONE)
            .lines()
            .get(0);
    assertThat(above.growingHz())
        .isCloseTo(line.chatterHz(), within((verdict == Verdict.FLIP ? 1e-6 : 0.01) * 2000));
  }

  /** The lone flexure's best speed in up milling is a bad one in down milling (REFERENCE: W8). */
  @Test
  void theBestSpeedUpIsABadOneDown() {
    CuttingProcess up = PublishedCuts.flexure(Direction.UP);
    CuttingProcess down = PublishedCuts.flexure(Direction.DOWN);
    assertThat(run(deep(up, 4000, 1.3e-3), LINEAR).verdict()).isEqualTo(Verdict.STABLE);
    assertThat(run(deep(down, 4000, 1.3e-3), LINEAR).verdict()).isEqualTo(Verdict.HOPF);
    assertThat(run(deep(up, 3600, 2.0e-3), LINEAR).verdict()).isEqualTo(Verdict.FLIP);
  }

  /**
   * Surface location error by Fourier series (Schmitz & Mann 2006): the benchmark's mode across the
   * feed, down milling at a twentieth of the width, depth 1 mm, feed 0.05 mm; micrometres.
   */
  @ParameterizedTest
  @CsvSource({
    "8000, 2.93",
    "11000, 3.23",
    "13000, 5.04",
    "13830, 36.7",
    "14500, 1.27",
    "20000, 1.90",
    "26000, 6.92",
    "27660, 23.4",
    "29000, -5.00"
  })
  void leavesTheWallWhereFourierSeriesSay(double rpm, double errorUm) {
    CuttingProcess cut =
        Cuts.milling(
                Cuts.tool(2, 0.01),
                Direction.DOWN,
                0.05,
                1e-3,
                600e6,
                200e6,
                List.of(),
                List.of(Mode.of(922, 0.011, 0.03993 * Math.pow(2 * Math.PI * 922, 2))))
            .atSpeed(rpm)
            .withFeedPerTooth(5e-5);
    SimulatedCut simulated = run(cut, LINEAR);
    CutSurface wall = simulated.surface().orElseThrow();
    assertThat(wall.meanM() * 1e6).isCloseTo(errorUm, within(0.02 + 0.003 * Math.abs(errorUm)));
    // removal rate times specific energy, though the arc is no whole number of steps
    double power = 600e6 * 1e-3 * 0.5e-3 * 2 * 5e-5 * rpm / 60;
    assertThat(simulated.meanPowerW()).isCloseTo(power, within(0.001 * power));
    SimulatedCut finer = run(cut, LINEAR.withStepsPerCycle(80));
    assertThat(finer.meanYN())
        .isCloseTo(simulated.meanYN(), within(0.001 * Math.abs(simulated.meanYN())));
  }

  /** A helical cutter, two modes each way: the whole motion against the frequency domain. */
  @Test
  void movesAsTheFrequencyDomainSays() {
    CuttingProcess cut = helical(4, 30, 0.3e-3, 3e-3, 0).atSpeed(14000);
    SimulatedCut simulated = run(cut, LINEAR.withStepsPerCycle(80));
    ForcedMotion closed = new ForcedMotion(cut, 240);
    CutTrace trace = simulated.trace();
    double peak = closed.peak();
    assertThat(simulated.verdict()).isEqualTo(Verdict.STABLE);
    for (int i = 0; i < trace.stepsPerTurn(); i += 7) {
      double angle = 2 * Math.PI * i / trace.stepsPerTurn();
      assertThat(trace.xM(i)).isCloseTo(closed.x(angle), within(0.012 * peak));
      assertThat(trace.yM(i)).isCloseTo(closed.y(angle), within(0.012 * peak));
    }
  }

  private static CuttingProcess helical(
      int flutes, double helixDeg, double radialM, double axialM, double runoutM) {
    double d = 8e-3;
    Tool tool =
        new Tool(
            d,
            Collections.nCopies(flutes, Math.toRadians(helixDeg)),
            Collections.nCopies(flutes, 2 * Math.PI / flutes),
            Double.NaN,
            Double.NaN,
            runoutM,
            Double.NaN);
    return new CuttingProcess(
        CuttingProcess.Operation.MILLING,
        Optional.of(tool),
        Engagement.of(radialM >= d ? Direction.SLOT : Direction.DOWN, radialM, axialM, d),
        new CuttingCoefficients(700e6, 250e6, 15e3, 18e3, Double.NaN),
        List.of(ModalModel.of(Mode.of(1240, 0.03, 6e6), Mode.of(2300, 0.02, 9e6))),
        List.of(ModalModel.of(Mode.of(1310, 0.03, 7e6)), Mode.of(420, 0.03, 3e7)),
        12000,
        5e-5,
        0);
  }

  /** Forces of a rigid tool: closed forms with helix, run-out, uneven pitch and edge terms. */
  @ParameterizedTest
  @CsvSource({
    "0,  0.3, 0,  false, false",
    "30, 0.3, 0,  false, false",
    "30, 8,   0,  false, false",
    "30, 2,   8,  false, false",
    "0,  4,   40, false, false",
    "35, 1,   12, true,  false",
    "35, 1,   0,  true,  true"
  })
  void aRigidToolCutsAsTheClosedFormsSay(
      double helixDeg, double radialMm, double runoutUm, boolean uneven, boolean unequal) {
    CuttingProcess even = helical(4, helixDeg, radialMm * 1e-3, 4e-3, runoutUm * 1e-6);
    Tool plain = even.tool().orElseThrow();
    List<Double> helices =
        unequal
            ? List.of(
                Math.toRadians(helixDeg),
                Math.toRadians(helixDeg + 3),
                Math.toRadians(helixDeg),
                Math.toRadians(helixDeg + 3))
            : plain.helixRad();
    List<Double> pitches =
        uneven
            ? List.of(
                Math.toRadians(83.1),
                Math.toRadians(97.3),
                Math.toRadians(84),
                Math.toRadians(95.6))
            : plain.pitchRad();
    CuttingProcess cut =
        even.with(
                new Tool(
                    plain.diameterM(),
                    helices,
                    pitches,
                    Double.NaN,
                    Double.NaN,
                    plain.runoutM(),
                    Double.NaN))
            .withDynamics(List.of(), List.of(), List.of());
    SimulatedCut simulated =
        run(cut, LINEAR.withTurns(3).withTracedTurns(1).withStepsPerCycle(160));
    CuttingForces closed = CuttingForces.of(cut);
    assertThat(simulated.rigid()).isTrue();
    assertThat(simulated.verdict()).isEqualTo(Verdict.CANNOT_TELL);
    assertThat(simulated.growth()).isNaN();
    assertThat(simulated.remarks())
        .anyMatch(r -> r.contains("chatter cannot be judged"))
        .noneMatch(r -> r.contains("close to the border") || r.contains("fastest motion"));
    assertThat(simulated.peakDisplacementM()).isZero();
    double size = closed.peakResultantN();
    assertThat(simulated.meanXN()).isCloseTo(closed.meanXN(), within(1e-3 * size));
    assertThat(simulated.meanYN()).isCloseTo(closed.meanYN(), within(1e-3 * size));
    assertThat(simulated.meanPowerW())
        .isCloseTo(closed.meanPowerW(12000), within(2e-3 * closed.meanPowerW(12000)));
    assertThat(simulated.peakForceN()).isCloseTo(size, within(0.02 * size));
    double largest = 0;
    for (int i = 0; i < simulated.trace().size(); i++) {
      for (int j = 0; j < 4; j++) {
        largest = Math.max(largest, simulated.trace().chipM(j, i));
      }
    }
    assertThat(largest).isCloseTo(closed.largestChipM(), within(0.02 * closed.largestChipM()));
  }

  /** A depth of one helix pitch: as much edge in the cut at every moment. */
  @Test
  void aWholeHelixPitchGivesAConstantForce() {
    double pitch = Math.PI * 8e-3 / (4 * Math.tan(Math.toRadians(30)));
    CuttingProcess cut =
        helical(4, 30, 2e-3, pitch, 0).withDynamics(List.of(), List.of(), List.of());
    CutTrace trace =
        run(cut, LINEAR.withTurns(2).withTracedTurns(1).withStepsPerCycle(200)).trace();
    double first = Math.hypot(trace.xN(0), trace.yN(0));
    for (int i = 1; i < trace.size(); i++) {
      assertThat(Math.hypot(trace.xN(i), trace.yN(i))).isCloseTo(first, within(2e-3 * first));
    }
  }

  /** Teeth that run-out keeps out of the work altogether are missed, all others are not. */
  @Test
  void countsTheTeethThatMiss() {
    CuttingProcess rigid =
        helical(2, 0, 0.4e-3, 1e-3, 0).withDynamics(List.of(), List.of(), List.of());
    CuttingProcess offset =
        helical(2, 0, 0.4e-3, 1e-3, 80e-6).withDynamics(List.of(), List.of(), List.of());
    assertThat(run(rigid, LINEAR.withTurns(12)).missedTeethFraction()).isZero();
    // two teeth, one 160 um further out than the other, 100 um a turn: only one cuts
    assertThat(run(offset, LINEAR.withTurns(12).withTracedTurns(10)).missedTeethFraction())
        .isCloseTo(0.5, within(0.03));
    assertThat(run(offset, LINEAR.withTurns(12)).meanPowerW())
        .isCloseTo(CuttingForces.of(offset).meanPowerW(12000), within(0.1));
  }

  /** Free vibration is exact whatever the step: a mode that nothing touches rings as it should. */
  @Test
  void ringsFreelyInClosedForm() {
    Mode mode = Mode.of(1000, 0.02, 1e7);
    CuttingProcess cut =
        Cuts.milling(
                Cuts.tool(1, 0.01),
                Direction.DOWN,
                0.02,
                1e-12,
                600e6,
                200e6,
                List.of(mode),
                List.of())
            .atSpeed(6000);
    CutMarch march = new CutMarch(cut, 16, StockEdge.FIXED_ANGLES);
    march.start(1e-6);
    double natural = 2 * Math.PI * 1000;
    double damped = natural * Math.sqrt(1 - 0.02 * 0.02);
    for (int i = 0; i < 2000; i++) {
      double t = march.done() * march.dtS;
      march.step();
      double exact = 1e-6 * Math.exp(-0.02 * natural * t) * Math.sin(damped * t);
      assertThat(march.x).isCloseTo(exact, within(1e-12));
    }
  }

  /**
   * Fully grown chatter of a turned bar: bounded, since the edge leaves the work (multiple
   * regeneration; Tlusty & Ismail 1981, CIRP Annals 30, 299–304), and in balance: what the force
   * puts in is what the damping takes, and the mean force is the stiffness times the mean
   * displacement.
   */
  @Test
  void grownChatterIsBoundedAndInBalance() {
    Mode mode = Mode.of(500, 0.03, 8e6);
    CuttingProcess cut =
        Cuts.turning(700e6, 700e6, 0, mode)
            .atSpeed(3000)
            .with(new Engagement(Direction.ANGLES, Double.NaN, 2e-3, 0, 1));
    SimulatedCut simulated = run(cut, LINEAR.withTurns(700).withTracedTurns(400));
    CutTrace trace = simulated.trace();
    assertThat(simulated.verdict()).isEqualTo(Verdict.HOPF);
    assertThat(simulated.stopped()).isFalse();
    assertThat(simulated.missedTeethFraction()).isBetween(0.05, 0.9);
    double early = 0;
    double late = 0;
    double put = 0;
    double taken = 0;
    double force = 0;
    double place = 0;
    int n = trace.size();
    double damping = 2 * 0.03 * 8e6 / (2 * Math.PI * 500);
    for (int i = 0; i < n; i++) {
      if (i < n / 2) {
        early = Math.max(early, Math.abs(trace.xM(i)));
      } else {
        late = Math.max(late, Math.abs(trace.xM(i)));
      }
      put += trace.xN(i) * trace.xMPerS(i);
      taken += damping * trace.xMPerS(i) * trace.xMPerS(i);
      force += trace.xN(i);
      place += trace.xM(i);
    }
    assertThat(late).isCloseTo(early, within(0.05 * early));
    assertThat(put).isCloseTo(taken, within(0.01 * taken));
    assertThat(force).isCloseTo(8e6 * place, within(0.01 * Math.abs(force)));
    // the edge swings back beyond the surface of the turn before
    assertThat(late).isGreaterThan(0.5 * cut.feedPerToothM());
  }

  /** One mode, one edge: the limit of turning in closed form (Tlusty & Poláček 1963). */
  @ParameterizedTest
  @CsvSource({"3000, 0", "4000, 0", "2500, 25", "5200, 25"})
  void turningLosesStabilityAtTheClosedFormLimit(double rpm, double modeAngleDeg) {
    CuttingProcess cut =
        Cuts.turning(700e6, 300e6, Math.toRadians(modeAngleDeg), Mode.of(500, 0.03, 8e6));
    double limit = Cuts.limit(cut, 0.05, rpm);
    assertThat(limit).isLessThan(0.05);
    assertThat(run(deep(cut, rpm, 0.97 * limit), LINEAR).verdict()).isEqualTo(Verdict.STABLE);
    assertThat(run(deep(cut, rpm, 1.03 * limit), LINEAR).verdict()).isEqualTo(Verdict.HOPF);
  }

  /** Process damping lifts the limit of turning as the exact solution has it. */
  @Test
  void processDampingLiftsTheLimitOfTurning() {
    CuttingProcess bar = Cuts.turning(700e6, 1000e6, 0, Mode.of(250, 0.03, 2e7));
    CuttingProcess damped = bar.withProcessDamping(2.5e5).withTurnedDiameterM(0.03);
    double free = Cuts.limit(bar, 0.05, 700);
    double limit = Cuts.limit(damped, 0.05, 700);
    assertThat(limit).isGreaterThan(1.06 * free);
    assertThat(run(deep(damped, 700, 0.97 * limit), LINEAR).verdict()).isEqualTo(Verdict.STABLE);
    assertThat(run(deep(damped, 700, 1.03 * limit), LINEAR).verdict()).isEqualTo(Verdict.HOPF);
  }

  /** Cross receptances and pitches that fit no grid count as in the marched equation. */
  @Test
  void growsAsTheMarchedEquationWithEverything() {
    // without edge forces, whose end at the wall linear theory does not know
    CuttingProcess plain =
        helical(3, 25, 1.2e-3, 1.4e-3, 0)
            .atSpeed(5200)
            .with(new CuttingCoefficients(700e6, 250e6, 0, 0, Double.NaN));
    for (CuttingProcess cut :
        List.of(
            plain.withDynamics(plain.x(), plain.y(), List.of(Mode.of(1240, 0.03, 2e7))),
            plain.with(Cuts.pitched(8e-3, 100, 130.5, 129.5)))) {
      SimulatedCut simulated = run(cut, LINEAR.withStepsPerCycle(80).withDisturbance(1e-5));
      double judged =
          new LinearCutInTime(cut, 5200, cut.engagement().axialM(), LinearCutInTime.Fineness.USUAL)
              .growth();
      assertThat(simulated.growth()).isCloseTo(judged, within(0.01));
    }
  }

  /** What yields at once is added to the modes: a stiff mode in its place changes little. */
  @Test
  void followsAResidualAtOnce() {
    CuttingProcess cut = helical(4, 30, 0.6e-3, 1.5e-3, 0).atSpeed(14000);
    Mode low = Mode.of(1240, 0.03, 6e6);
    double compliance = 2e-8;
    List<Receptance> at = List.of(new ModalModel(List.of(low), new Residual(compliance, 0)));
    List<Receptance> far = List.of(ModalModel.of(low, Mode.of(11_000, 0.3, 1 / compliance)));
    SimulatedCut once = run(cut.withDynamics(at, at, List.of()), LINEAR);
    SimulatedCut mode = run(cut.withDynamics(far, far, List.of()), LINEAR);
    SimulatedCut without = run(cut.withDynamics(List.of(low), List.of(low), List.of()), LINEAR);
    double effect = Math.abs(mode.peakDisplacementM() - without.peakDisplacementM());
    assertThat(effect).isGreaterThan(0.02 * without.peakDisplacementM());
    assertThat(once.peakDisplacementM()).isCloseTo(mode.peakDisplacementM(), within(0.2 * effect));
  }

  /** Half the step, and again: errors fall fourfold, and the usual step is near enough. */
  @Test
  void halvingTheStepChangesNothingThatMatters() {
    CuttingProcess cut = helical(4, 30, 0.3e-3, 1.5e-3, 0).atSpeed(9000);
    SimulatedCut usual = run(cut, SimulationSettings.USUAL);
    SimulatedCut half = run(cut, SimulationSettings.USUAL.withStepsPerCycle(80));
    SimulatedCut quarter = run(cut, SimulationSettings.USUAL.withStepsPerCycle(160));
    assertThat(half.growth()).isCloseTo(usual.growth(), within(0.005));
    assertThat(half.peakDisplacementM())
        .isCloseTo(usual.peakDisplacementM(), within(0.01 * usual.peakDisplacementM()));
    assertThat(half.peakForceN()).isCloseTo(usual.peakForceN(), within(0.01 * usual.peakForceN()));
    assertThat(Math.abs(quarter.peakDisplacementM() - half.peakDisplacementM()))
        .isLessThan(0.005 * usual.peakDisplacementM());
    assertThat(half.surface().orElseThrow().meanM())
        .isCloseTo(usual.surface().orElseThrow().meanM(), within(0.02 * usual.peakDisplacementM()));
  }

  /** A rigid cutter leaves feed marks of f²/8R, and nothing else. */
  @Test
  void aRigidCutterLeavesFeedMarks() {
    CuttingProcess cut =
        helical(3, 30, 0.5e-3, 3e-3, 0)
            .withDynamics(List.of(), List.of(), List.of())
            .withFeedPerTooth(2e-4);
    CutSurface wall = run(cut, LINEAR.withTurns(12).withTracedTurns(10)).surface().orElseThrow();
    double mark = 2e-4 * 2e-4 / (8 * 4e-3);
    assertThat(wall.peakToValleyM()).isCloseTo(mark, within(0.05 * mark));
    assertThat(wall.leftM()).isCloseTo(mark / 3, within(0.05 * mark));
  }

  /** An edge in its place: a tool that is pushed off a thin cut takes less of it. */
  @Test
  void theEdgeOfTheStockStaysInItsPlace() {
    CuttingProcess cut = helical(4, 0, 0.1e-3, 3e-3, 0).atSpeed(3000);
    CuttingProcess soft = cut.withDynamics(List.of(), List.of(Mode.of(2000, 0.2, 2e6)), List.of());
    SimulatedCut fixed = run(soft, LINEAR);
    SimulatedCut place = run(soft, SimulationSettings.USUAL);
    assertThat(place.meanPowerW()).isLessThan(0.97 * fixed.meanPowerW());
  }

  /** Tones are kept to a thousandth below nine tenths of half the rate, and do not fold down. */
  @Test
  void theSoundKeepsTonesAndFoldsNothing() {
    for (double[] tone : new double[][] {{5000, 1}, {18_000, 1}, {26_000, 0}, {90_000, 0}}) {
      CutSound.Maker maker =
          new CutSound.Maker(
              new SimulationSettings.SoundRequest(Sound.VELOCITY, 0.05, 48_000), 210_000);
      for (int i = 0; !maker.finished(); i++) {
        maker.take(Math.sin(2 * Math.PI * tone[0] * i / 210_000), 0);
      }
      CutSound sound = maker.finish();
      double sum = 0;
      for (int i = 0; i < sound.size(); i++) {
        sum += sound.at(i) * sound.at(i) / sound.size();
      }
      assertThat(sound.size()).isEqualTo(2400);
      assertThat(Math.sqrt(2 * sum)).isCloseTo(tone[1], within(2e-3));
    }
  }

  /**
   * The frequency told is that of the strongest line of its own sound away from tooth passing, by a
   * plain transform, in Hopf chatter and in a flip, whether the sound is asked for or not.
   */
  @ParameterizedTest
  @CsvSource({"SLOT, 1, 5000, 0.6, HOPF", "UP, 0.05, 12500, 12.4, FLIP"})
  void chatterIsHeard(
      Direction direction, double width, double rpm, double depthMm, Verdict verdict) {
    CuttingProcess cut = deep(PublishedCuts.benchmark(direction, width), rpm, depthMm * 1e-3);
    SimulatedCut simulated = run(cut, LINEAR.withSound(Sound.VELOCITY, 0.5, 48_000));
    assertThat(simulated.verdict()).isEqualTo(verdict);
    CutSound sound = simulated.sound().orElseThrow();
    assertThat(sound.size()).isEqualTo(24_000);
    double teeth = rpm / 60 * cut.tool().orElseThrow().flutes();
    double heard = strongestBeside(sound, teeth);
    assertThat(simulated.chatterHz()).isCloseTo(heard, within(1e-3 * heard));
    double silent = run(cut, LINEAR).chatterHz();
    assertThat(silent).isCloseTo(heard, within(1e-3 * heard));
    assertThat(simulated.growingHz()).isCloseTo(heard, within(0.02 * heard));
    assertThat(sound.fullScale()).isGreaterThan(sound.peak());
    assertThat(sound.fullScale()).isLessThanOrEqualTo(2.5 * 1.1 * sound.peak());
  }

  private static double strongestBeside(CutSound sound, double teethHz) {
    int n = 1 << 18;
    double[] values = new double[n];
    for (int i = 0; i < sound.size(); i++) {
      double hann = 0.5 - 0.5 * Math.cos(2 * Math.PI * i / sound.size());
      values[i] = sound.at(i) * hann * hann;
    }
    new DoubleFFT_1D(n).realForward(values);
    double step = (double) sound.rateHz() / n;
    double best = 0;
    double hz = 0;
    for (int k = 1; k < n / 2; k++) {
      double power = values[2 * k] * values[2 * k] + values[2 * k + 1] * values[2 * k + 1];
      double off = k * step - teethHz * Math.rint(k * step / teethHz);
      if (Math.abs(off) > 10 && power > best) {
        best = power;
        hz = k * step;
      }
    }
    return hz;
  }

  /** Lines closer than a transform parts them, one an alias of the other, are told apart. */
  @Test
  void tellsAliasesApart() {
    int n = 4000;
    double step = 2.5e-5; // a tenth of a second, lines 8 Hz apart
    double[] x = new double[n];
    double[] y = new double[n];
    for (int i = 0; i < n; i++) {
      double t = i * step;
      x[i] =
          Math.exp(8 * t)
              * (Math.cos(2 * Math.PI * 1629 * t) + 0.6 * Math.sin(2 * Math.PI * 1621 * t));
      y[i] = 0.3 * Math.exp(8 * t) * Math.sin(2 * Math.PI * 1629 * t);
    }
    double grows = Math.exp(8 * step);
    // 2.5 periods of 650 Hz less or more 4 Hz
    double[] both = Chatter.aliases(1625.5, Math.PI - 2 * Math.PI * 4 / 650, 650);
    assertThat(both[0]).isCloseTo(1629, within(1e-6));
    assertThat(both[1]).isCloseTo(1621, within(1e-6));
    assertThat(Chatter.firstIsStronger(x, y, step, grows, new double[] {1629, 1621})).isTrue();
    assertThat(Chatter.firstIsStronger(x, y, step, grows, new double[] {1621, 1629})).isFalse();
  }

  /** Where lobes and simulation agree nothing is said; where they differ, one sentence. */
  @Test
  void saysWhyLobesDiffer() {
    CuttingProcess cut = PublishedCuts.benchmark(Direction.SLOT, 1).atSpeed(5000);
    for (double depth : new double[] {0.2e-3, 0.7e-3}) {
      CuttingProcess at = deep(cut, 5000, depth);
      SimulatedCut simulated = run(at, LINEAR);
      assertThat(SecondOpinion.on(at, LINEAR, simulated, Progress.NONE)).isEmpty();
      // as if the other had come out: every reason is tried, and one sentence is left
      SimulatedCut other = run(deep(cut, 5000, depth < 0.5e-3 ? 0.7e-3 : 0.2e-3), LINEAR);
      assertThat(SecondOpinion.on(at, LINEAR, other, Progress.NONE).orElseThrow())
          .startsWith("lobes call this cut " + (depth < 0.5e-3 ? "stable" : "unstable"))
          .doesNotContain("\n");
    }
  }

  /** Widths by simulation are refused, or end, where those of the other methods do. */
  @Test
  void widthsEndWhereThoseOfOtherMethodsDo() {
    CuttingProcess cut = PublishedCuts.benchmark(Direction.DOWN, 0.1);
    LobesRequest wide =
        new LobesRequest(
            StabilityMap.Over.WIDTH, Optional.of(Method.SIMULATION), List.of(), 5, List.of());
    assertThat(Lobes.compute(cut, wide, Progress.NONE).maxM())
        .isEqualTo(cut.tool().orElseThrow().diameterM());
    CuttingProcess angles = cut.with(new Engagement(Direction.ANGLES, Double.NaN, 1e-3, 0.2, 1.2));
    assertThatThrownBy(() -> Lobes.compute(angles, wide, Progress.NONE))
        .isInstanceOf(BadInputException.class)
        .hasMessageContaining("direction up or down");
  }

  /** A structure far too soft runs away, which is said. */
  @Test
  void stopsWhereTheDisplacementIsAbsurd() {
    CuttingProcess cut =
        helical(4, 0, 3e-3, 5e-3, 0)
            .withDynamics(List.of(), List.of(Mode.of(20, 0.05, 2e4)), List.of())
            .withFeedPerTooth(2e-4);
    SimulatedCut simulated = run(cut, SimulationSettings.USUAL);
    assertThat(simulated.stopped()).isTrue();
    assertThat(simulated.remarks()).anyMatch(r -> r.startsWith("stopped after"));
    assertThat(simulated.verdict()).isNotEqualTo(Verdict.STABLE);
  }

  /** At the border itself nothing is claimed. */
  @Test
  void cannotTellAtTheBorder() {
    CuttingProcess cut = PublishedCuts.benchmark(Direction.UP, 0.5);
    double limit =
        Lobes.compute(cut, LobesRequest.depth(List.of(12_500.0)).upTo(3e-3), Progress.NONE)
            .lines()
            .get(0)
            .limitM();
    SimulatedCut simulated = run(deep(cut, 12_500, limit), LINEAR.withMostTurns(60));
    assertThat(simulated.verdict()).isEqualTo(Verdict.CANNOT_TELL);
    assertThat(simulated.remarks()).anyMatch(r -> r.startsWith("close to the border"));
  }

  /** Limits by simulation are those of the periodic method. */
  @Test
  void lobesBySimulationAreThoseOfThePeriodicMethod() {
    CuttingProcess cut = PublishedCuts.benchmark(Direction.DOWN, 0.1);
    LobesRequest request =
        new LobesRequest(
            StabilityMap.Over.DEPTH,
            Optional.of(Method.SIMULATION),
            List.of(5000.0, 10_000.0),
            5e-3,
            List.of(new LobesRequest.AtPoint(12_500, 0.8e-3)));
    StabilityMap map = Lobes.compute(cut, request, Progress.NONE);
    assertThat(map.method()).isEqualTo("simulation");
    // REFERENCE W7: 1.296 mm Hopf, 2.518 mm flip
    assertThat(map.lines().get(0).limitM()).isCloseTo(1.296e-3, within(0.02e-3));
    assertThat(map.lines().get(0).loss()).isEqualTo(StabilityMap.Loss.HOPF);
    assertThat(map.lines().get(1).limitM()).isCloseTo(2.518e-3, within(0.04e-3));
    assertThat(map.lines().get(1).loss()).isEqualTo(StabilityMap.Loss.FLIP);
    assertThat(map.at().get(0).stable()).isTrue();
  }

  @Test
  void refusesWhatItCannotFollow() {
    CuttingProcess cut = helical(4, 30, 1e-3, 1e-3, 0);
    assertThatThrownBy(
            () ->
                run(
                    cut.atSpeed(3)
                        .withDynamics(List.of(Mode.of(4000, 0.02, 1e7)), List.of(), List.of()),
                    LINEAR))
        .isInstanceOf(BadInputException.class)
        .hasMessageContaining("cycles of the fastest mode");
    assertThatThrownBy(
            () ->
                run(
                    Cuts.turning(1e9, 5e8, 0, Mode.of(500, 0.03, 8e6)).withProcessDamping(1e5),
                    LINEAR))
        .isInstanceOf(BadInputException.class)
        .hasMessageContaining("workDiameter");
    assertThatThrownBy(() -> SimulationSettings.USUAL.withTurns(-1))
        .isInstanceOf(IllegalArgumentException.class);
    assertThatThrownBy(() -> SimulationSettings.USUAL.withStepsPerCycle(Double.NaN))
        .isInstanceOf(IllegalArgumentException.class);
    assertThatThrownBy(() -> SimulationSettings.USUAL.withSound(Sound.FORCE, -1, 48_000))
        .isInstanceOf(IllegalArgumentException.class);
  }
}
