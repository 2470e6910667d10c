package ringtrue;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatExceptionOfType;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import ringtrue.acquisition.BlowPlan;
import ringtrue.acquisition.Channel;
import ringtrue.acquisition.MemoryRecording;
import ringtrue.acquisition.PulseShape;
import ringtrue.acquisition.RigChannel;
import ringtrue.acquisition.TapRecording;
import ringtrue.acquisition.VirtualRig;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.fitting.FitSettings;
import ringtrue.fitting.FittedModes;
import ringtrue.fitting.ModeFitter;
import ringtrue.signal.AveragedResponse;
import ringtrue.signal.Processing;
import ringtrue.signal.ResponseEstimator;
import ringtrue.signal.Tap;
import ringtrue.units.BadInputException;

/**
 * Mistakes that are easily made when tapping, from the recording to the modes: each is either
 * mended, or said in so many words.
 */
class KnownTrapsTest {
  private static final double FS = 32000;
  private static final List<Mode> LOW =
      List.of(Mode.of(96, 0.015, 3e6), Mode.of(420, 0.02, 8e6), Mode.of(1300, 0.02, 2e7));
  private static final BlowPlan PLAN =
      BlowPlan.of(6, 1.2, 200, 0.4e-3)
          .withSpread(0.1, 0.2, 0.05, 0.0005)
          .withShape(PulseShape.SINE_FOURTH);
  private static final Processing.ForceWindow NARROW = new Processing.ForceWindow(3e-3, 1.5e-3);

  private record Result(AveragedResponse averaged, FittedModes fitted) {
    List<String> said() {
      return averaged.response().origin().remarks();
    }

    Mode mode(int i) {
      return fitted.model().modes().get(i);
    }
  }

  // ---- force window and AC coupling

  /** Nobody says that the inputs are AC-coupled: it is noticed, and no force window taken. */
  @Test
  void forceWindowOnAnAcCoupledInputIsNotTaken() throws IOException {
    Result result = run(undeclared(taps(rig(8, 8), PLAN)), Processing.AUTOMATIC);
    assertThat(result.averaged.used().forceWindow().isNone()).isTrue();
    assertModes(result, LOW, 1e-4, 0.004, 0.004);
    assertThat(result.fitted.remarks()).noneMatch(r -> r.contains("look as if"));
  }

  /**
   * Who insists on one is told how wrong low frequencies become: no mode describes them well any
   * more.
   */
  @Test
  void whoInsistsOnAForceWindowIsWarned() throws IOException {
    Result result = run(undeclared(taps(rig(8, 8), PLAN)), window(NARROW));
    assertThat(result.said())
        .anyMatch(r -> r.contains("AC-coupled input of about 8") && r.contains("cuts that off"));
    assertThat(errorAt(result, 100)).isGreaterThan(0.05);
    Result declared = run(taps(rig(8, 8), PLAN), window(NARROW));
    assertThat(errorAt(declared, 100)).isLessThan(0.01);
    assertModes(declared, LOW, 1e-4, 0.004, 0.004);
    assertThat(declared.said()).noneMatch(r -> r.contains("cuts that off"));
  }

  @ParameterizedTest
  @CsvSource({"8, 3", "3, 8", "0, 5", "1, 0", "0, 15"})
  void differentHighPassCornersAreUndoneWhenDeclared(double force, double response)
      throws IOException {
    Result result = run(taps(rig(force, response), PLAN), Processing.AUTOMATIC);
    assertModes(result, LOW, 1e-4, 0.004, 0.004);
    assertThat(result.fitted.remarks()).noneMatch(r -> r.contains("look as if"));
  }

  @ParameterizedTest
  @CsvSource({"8, 3", "3, 8", "0, 5", "5, 0", "1, 0", "0, 1", "0.5, 2"})
  void differentHighPassCornersAreSaidWhenNot(double force, double response) throws IOException {
    Result result = run(undeclared(taps(rig(force, response), PLAN)), Processing.AUTOMATIC);
    String said =
        result.fitted.remarks().stream()
            .filter(r -> r.contains("had a high-pass"))
            .findFirst()
            .orElseThrow();
    assertThat(said).contains(force > response ? "the force's input had" : "the response's input");
    double corner = Double.parseDouble(said.replaceAll(".*whose corner is ([0-9.]+) Hz.*", "$1"));
    assertThat(corner).isCloseTo(Math.abs(force - response), within(0.1 * corner));
  }

  /** A shift between the channels is no difference of corners. */
  @Test
  void aShiftBetweenTheChannelsIsSaidAsSuch() throws IOException {
    VirtualRig skewed =
        rig(0, 0)
            .withInputs(
                RigChannel.PERFECT.withNoise(0.02),
                RigChannel.PERFECT.withNoise(0.02).withSkew(12e-6));
    TapRecording taps = taps(skewed, PLAN);
    TapRecording unsaid =
        new TapRecording(
            taps.name(),
            taps.axis(),
            taps.point(),
            taps.recordings(),
            taps.force(),
            taps.response(),
            taps.quantity(),
            0,
            0);
    assertThat(run(unsaid, Processing.AUTOMATIC).fitted.remarks())
        .anyMatch(r -> r.contains("12 us later than the force's"))
        .noneMatch(r -> r.contains("high-pass"));
    assertThat(run(taps, Processing.AUTOMATIC).fitted.remarks())
        .noneMatch(r -> r.contains("look as if"));
  }

  // ---- exponential window

  /** s = iω + 1/τ: the values do not depend on the window, however much damping it adds. */
  @ParameterizedTest
  @ValueSource(doubles = {0.5, 0.1, 0.03})
  void theExponentialWindowIsTakenOutExactly(double tau) throws IOException {
    Result result = run(taps(quiet(), PLAN), tau(tau));
    assertModes(result, LOW, 5e-5, 2e-3, 2e-3);
    double added = 1 / (2 * Math.PI * 96 * tau);
    assertThat(
            result.fitted.remarks().stream()
                .anyMatch(r -> r.contains("96 Hz") && r.contains("exponential window added")))
        .isEqualTo(added > 0.015);
  }

  // ---- taps in each other's way

  /**
   * Enough time: nothing is said. Too little: it is said, and what comes out stays near its sigma;
   * with a quarter left the taps' scatter no longer tells quite how far.
   */
  @ParameterizedTest
  @CsvSource({"2.6, 0, 3", "0.8, 4, 3", "0.5, 10, 3", "0.3, 24, 5"})
  void aTapBeforeTheLastHasRungOutIsSaid(double interval, double percentLeft, double sigmas)
      throws IOException {
    List<Mode> slow = List.of(Mode.of(180, 0.004, 5e6), Mode.of(700, 0.01, 9e6));
    BlowPlan plan = BlowPlan.of(8, interval, 200, 0.4e-3).withSpread(0.1, 0.2, 0.05, 0.0005);
    Result result = run(taps(rig(slow, 0, 0), plan), Processing.AUTOMATIC);
    assertThat(result.said().stream().anyMatch(r -> r.contains("when the next tap comes, and")))
        .isEqualTo(percentLeft > 0);
    assertThat(result.fitted.model().modes()).hasSize(2);
    for (int j = 0; j < 2; j++) {
      Mode m = result.mode(j);
      assertThat(Math.abs(m.frequencyHz() - slow.get(j).frequencyHz()))
          .isLessThan(sigmas * m.frequencyHzSigma());
      assertThat(Math.abs(m.dampingRatio() - slow.get(j).dampingRatio()))
          .isLessThan(sigmas * m.dampingRatioSigma());
      assertThat(Math.abs(m.stiffnessNPerM() - slow.get(j).stiffnessNPerM()))
          .isLessThan((sigmas + 0.5) * m.stiffnessNPerMSigma());
    }
    // the fast mode does not care
    assertThat(result.mode(1).dampingRatio()).isCloseTo(0.01, within(1e-5));
  }

  // ---- scatter

  /** Angles that differ by 5 % in gain cost the stiffness its mean only, and σ says so. */
  @Test
  void fivePerCentOfGainScatterStaysInTheStiffness() throws IOException {
    int inside = 0;
    for (int seed = 1; seed <= 10; seed++) {
      Result result =
          run(taps(rig(0, 0), PLAN.withSpread(0.1, 0.2, 0.05, 0.05), seed), Processing.AUTOMATIC);
      assertThat(result.averaged.taps()).allMatch(t -> t.verdict() == Tap.Verdict.KEPT);
      assertModes(result, LOW, 2e-4, 0.01, 0.1);
      for (int j = 0; j < 3; j++) {
        Mode m = result.mode(j);
        assertThat(m.stiffnessNPerMSigma() / m.stiffnessNPerM()).isBetween(0.005, 0.08);
        double off = Math.abs(m.stiffnessNPerM() - LOW.get(j).stiffnessNPerM());
        inside += off < 2 * m.stiffnessNPerMSigma() ? 1 : 0;
      }
    }
    assertThat(inside).isGreaterThanOrEqualTo(27);
  }

  // ---- wrong blows, wrong channels

  @Test
  void swappedChannelsAreSaidAndNotFitted() throws IOException {
    MemoryRecording right = (MemoryRecording) taps(rig(0, 0), PLAN).recordings().get(0);
    TapRecording swapped =
        rig(0, 0)
            .measurement(
                "rig",
                "x",
                "tip",
                List.of(new MemoryRecording("swapped", FS, right.channel(2), right.channel(1))));
    assertThatExceptionOfType(BadInputException.class)
        .isThrownBy(() -> run(swapped, Processing.AUTOMATIC))
        .withMessageContaining("are swapped")
        .withMessageContaining("make channel 2 the force and channel 1 the response");
  }

  /** All taps double: refused with advice; kept on demand, with a warning and right modes. */
  @Test
  void nothingButDoubleHitsIsRefused() throws IOException {
    BlowPlan plan = PLAN;
    for (int tap = 1; tap <= 6; tap++) {
      plan = plan.withDoubleHit(tap, 0.006 + 0.001 * tap, 0.3 + 0.05 * tap);
    }
    TapRecording taps = taps(rig(0, 0), plan);
    assertThatExceptionOfType(BadInputException.class)
        .isThrownBy(() -> run(taps, Processing.AUTOMATIC))
        .withMessageContaining("no tap can be kept")
        .withMessageContaining("lighter hammer");
    Result kept =
        run(
            taps,
            processing(
                Optional.empty(), Optional.empty(), Optional.empty(), Set.of(1, 2, 3, 4, 5, 6)));
    assertThat(kept.said()).anyMatch(r -> r.contains("every tap that was kept is a double hit"));
    assertModes(kept, LOW, 2e-4, 0.01, 0.01);
  }

  /** One double hit among good taps is left out, without ado. */
  @Test
  void oneDoubleHitIsLeftOut() throws IOException {
    Result result = run(taps(rig(0, 0), PLAN.withDoubleHit(3, 0.008, 0.4)), Processing.AUTOMATIC);
    assertThat(result.averaged.taps().get(2).verdict()).isEqualTo(Tap.Verdict.DOUBLE_HIT);
    assertThat(result.said()).noneMatch(r -> r.contains("lighter hammer"));
    assertModes(result, LOW, 1e-4, 0.004, 0.004);
  }

  // ---- what a measurement cannot say

  @Test
  void aRecordCutOffBeforeTheDecayIsSaid() throws IOException {
    List<Mode> slow = List.of(Mode.of(180, 0.004, 5e6));
    TapRecording taps = taps(rig(slow, 0, 0), BlowPlan.of(5, 2.6, 200, 0.4e-3));
    Result cut = run(taps, processing(Optional.of(0.4), Optional.of(Double.POSITIVE_INFINITY)));
    assertThat(cut.fitted.remarks())
        .anyMatch(r -> r.contains("still rings at") && r.contains("Record longer"));
    assertThat(run(taps, Processing.AUTOMATIC).fitted.remarks())
        .noneMatch(r -> r.contains("still rings at"));
  }

  /** A band wider than the usable one is fitted as asked, and what lies beyond is marked. */
  @Test
  void modesOutsideTheUsableBandAreMarked() throws IOException {
    List<Mode> modes = List.of(Mode.of(400, 0.02, 8e6), Mode.of(5200, 0.02, 3e7));
    TapRecording taps = taps(rig(modes, 0, 0), BlowPlan.of(6, 0.6, 200, 0.6e-3));
    AveragedResponse averaged =
        ResponseEstimator.estimate(taps, Processing.AUTOMATIC, Progress.NONE);
    assertThat(averaged.response().origin().bandHighHz()).isLessThan(5000);
    FittedModes wide =
        ModeFitter.fit(
            averaged.response(), FitSettings.AUTOMATIC.withBand(100, 5800), Progress.NONE);
    assertThat(wide.remarks())
        .anyMatch(r -> r.contains("lies outside the usable band"))
        .noneMatch(r -> r.contains("mode at 400 Hz lies outside"));
    assertThat(ModeFitter.fit(averaged.response(), FitSettings.AUTOMATIC, Progress.NONE).remarks())
        .noneMatch(r -> r.contains("outside the usable band"));
  }

  @Test
  void aSingleTapIsSaidToKnowNothingOfItsError() throws IOException {
    BlowPlan one = BlowPlan.of(1, 1.2, 200, 0.4e-3);
    Result result = run(taps(rig(0, 0), one), Processing.AUTOMATIC);
    assertThat(result.said()).anyMatch(r -> r.contains("one tap only"));
    assertThat(result.fitted.remarks()).anyMatch(r -> r.startsWith("One tap alone"));
    assertThat(run(taps(rig(0, 0), PLAN), Processing.AUTOMATIC).fitted.remarks())
        .noneMatch(r -> r.startsWith("One tap alone"));
  }

  @Test
  void aSensorTheWrongWayRoundIsSaidAndNotFitted() throws IOException {
    VirtualRig turned =
        rig(0, 0)
            .withInputs(
                RigChannel.PERFECT.withNoise(0.02), RigChannel.PERFECT.withNoise(0.02).reversed());
    TapRecording known = taps(turned, PLAN);
    Channel response = known.response();
    TapRecording taps =
        new TapRecording(
            known.name(),
            known.axis(),
            known.point(),
            known.recordings(),
            known.force(),
            new Channel(
                response.number(), response.unitsPerNumber(), response.clipsAtNumber(), 1, 0),
            known.quantity(),
            0,
            0);
    Result result = run(taps, Processing.AUTOMATIC);
    assertThat(result.said())
        .anyMatch(
            r -> r.contains("moves against the blow") && r.contains("phase at the lower end"));
    assertThat(result.fitted.model().modes()).isEmpty();
    assertThat(run(known, Processing.AUTOMATIC).fitted.model().modes()).hasSize(3);
  }

  // ---- helpers

  /** Relative error of the averaged receptance at a frequency. */
  private static double errorAt(Result result, double hz) {
    double[] measured = new double[2];
    double[] exact = new double[2];
    result.averaged.response().at(hz, measured);
    ModalModel.of(LOW.toArray(new Mode[0])).at(hz, exact);
    return Math.hypot(measured[0] - exact[0], measured[1] - exact[1])
        / Math.hypot(exact[0], exact[1]);
  }

  private static Result run(TapRecording taps, Processing processing) {
    AveragedResponse averaged = ResponseEstimator.estimate(taps, processing, Progress.NONE);
    return new Result(
        averaged, ModeFitter.fit(averaged.response(), FitSettings.AUTOMATIC, Progress.NONE));
  }

  private static void assertModes(
      Result result, List<Mode> truth, double fn, double zeta, double k) {
    List<Mode> modes = result.fitted.model().modes();
    assertThat(modes).as(modes.toString()).hasSameSizeAs(truth);
    for (int j = 0; j < truth.size(); j++) {
      Mode m = modes.get(j);
      Mode t = truth.get(j);
      assertThat(m.frequencyHz() / t.frequencyHz()).as("fn of " + t).isCloseTo(1, within(fn));
      assertThat(m.dampingRatio() / t.dampingRatio()).as("ζ of " + t).isCloseTo(1, within(zeta));
      assertThat(m.stiffnessNPerM() / t.stiffnessNPerM()).as("k of " + t).isCloseTo(1, within(k));
    }
  }

  private static VirtualRig rig(double forceHighPassHz, double responseHighPassHz) {
    return rig(LOW, forceHighPassHz, responseHighPassHz);
  }

  private static VirtualRig quiet() {
    return VirtualRig.of(LOW.toArray(new Mode[0]))
        .withInputs(RigChannel.PERFECT.withNoise(2e-4), RigChannel.PERFECT.withNoise(2e-4));
  }

  /** Noise 80 dB below the peaks of force and response. */
  private static VirtualRig rig(List<Mode> modes, double forceHighPass, double responseHighPass) {
    double acceleration = 200 * modes.stream().mapToDouble(m -> 1 / m.massKg()).sum();
    return VirtualRig.of(modes.toArray(new Mode[0]))
        .withInputs(
            RigChannel.PERFECT.withNoise(0.02).withHighPass(forceHighPass),
            RigChannel.PERFECT.withNoise(1e-4 * acceleration).withHighPass(responseHighPass));
  }

  private static TapRecording taps(VirtualRig rig, BlowPlan plan) throws IOException {
    return taps(rig, plan, 1);
  }

  private static TapRecording taps(VirtualRig rig, BlowPlan plan, int seed) throws IOException {
    return rig.measurement(
        "rig",
        "x",
        "tip",
        List.of(
            MemoryRecording.copyOf(
                rig.record("rig", FS, plan.durationS(seed), plan.blows(seed), seed))));
  }

  private static TapRecording undeclared(TapRecording taps) {
    return new TapRecording(
        taps.name(),
        taps.axis(),
        taps.point(),
        taps.recordings(),
        taps.force().map(KnownTrapsTest::undeclared),
        undeclared(taps.response()),
        taps.quantity(),
        taps.sensorMassKg(),
        taps.skewS());
  }

  private static Channel undeclared(Channel c) {
    return new Channel(c.number(), c.unitsPerNumber(), c.clipsAtNumber(), c.polarity(), 0);
  }

  private static Processing window(Processing.ForceWindow window) {
    return processing(Optional.empty(), Optional.of(window), Optional.empty(), Set.of());
  }

  private static Processing tau(double tau) {
    return processing(Optional.empty(), Optional.of(tau));
  }

  private static Processing processing(Optional<Double> block, Optional<Double> tau) {
    return processing(block, Optional.empty(), tau, Set.of());
  }

  private static Processing processing(
      Optional<Double> block,
      Optional<Processing.ForceWindow> window,
      Optional<Double> tau,
      Set<Integer> kept) {
    return new Processing(
        block,
        Optional.empty(),
        Optional.empty(),
        window,
        tau,
        Optional.empty(),
        Optional.empty(),
        Set.of(),
        kept,
        List.of(),
        Optional.empty(),
        Optional.empty());
  }
}
