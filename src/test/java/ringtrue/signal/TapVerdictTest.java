package ringtrue.signal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatExceptionOfType;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import ringtrue.acquisition.BlowPlan;
import ringtrue.acquisition.Channel;
import ringtrue.acquisition.MemoryRecording;
import ringtrue.acquisition.Recording;
import ringtrue.acquisition.ResponseQuantity;
import ringtrue.acquisition.RigChannel;
import ringtrue.acquisition.TapRecording;
import ringtrue.acquisition.VirtualRig;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.signal.Tap.Verdict;
import ringtrue.units.BadInputException;

class TapVerdictTest {
  private static final double FS = 48000;
  private static final Mode TIP = Mode.of(1240, 0.016, 2.1e6);
  private static final RigChannel HAMMER = RigChannel.of(2.25e-3, 1).withNoise(0.05e-3);
  private static final RigChannel SENSOR = RigChannel.of(1.04e-3, 10).withNoise(0.1e-3);
  private static final VirtualRig RIG = VirtualRig.of(TIP).withInputs(HAMMER, SENSOR);
  private static final BlowPlan PLAN =
      BlowPlan.of(6, 0.5, 40, 3e-4).withSpread(0.1, 0.15, 0.05, 0.03);

  @ParameterizedTest
  @CsvSource({
    "0.0009, 0.4",
    "0.003, 0.1",
    "0.004, 0.03",
    "0.02, 0.015",
    "0.004, 0.5",
    "0.011, 0.08",
    "0.035, 0.3",
    "0.09, 1.2",
    "0.15, 0.2"
  })
  void bouncesAreDoubleHits(double delayS, double ratio) throws IOException {
    AveragedResponse averaged = automatic(RIG, PLAN.withDoubleHit(3, delayS, ratio));
    assertThat(averaged.taps()).hasSize(6);
    Tap third = averaged.taps().get(2);
    assertThat(third.verdict()).as(third.reason()).isEqualTo(Verdict.DOUBLE_HIT);
    assertThat(averaged.taps()).filteredOn(t -> t.verdict() == Verdict.KEPT).hasSize(5);
  }

  @Test
  void saysHowLargeAndWhenTheSecondBlowCame() throws IOException {
    AveragedResponse averaged = automatic(RIG, PLAN.withDoubleHit(3, 0.004, 0.25));
    assertThat(averaged.taps().get(2).reason()).contains("25 % of the first peak").contains("4.0");
  }

  /**
   * Where every blow is followed by a weak one, the taps are good as long as nothing is cut off.
   */
  @Test
  void weakSecondBlowsOfAllTapsAreMeasuredWhole() throws IOException {
    BlowPlan plan = PLAN;
    for (int tap = 1; tap <= 6; tap++) {
      plan = plan.withDoubleHit(tap, 0.006, 0.03);
    }
    AveragedResponse averaged = automatic(RIG, plan);
    assertThat(averaged.taps()).extracting(Tap::verdict).containsOnly(Verdict.KEPT);
    assertThat(averaged.used().forceWindow().isNone()).isTrue();
  }

  /** An AC-coupled input's undershoot, hum and a ringing hammer are not second blows. */
  @Test
  void undershootAndHumAreNoDoubleHits() throws IOException {
    VirtualRig rig =
        VirtualRig.of(TIP).withInputs(HAMMER.withHighPass(30).withHum(50, 1e-3, 1e-3), SENSOR);
    assertThat(automatic(rig, PLAN).taps()).extracting(Tap::verdict).containsOnly(Verdict.KEPT);
    double[][] samples = samples(RIG, PLAN);
    // The hammer's own structure rings at 9 kHz with up to 15 % of the peak after each blow.
    for (Tap tap : automatic(RIG, PLAN).taps()) {
      int at = (int) Math.round((tap.onsetS() + 1.2e-4) * FS);
      for (int i = 0; i < 200; i++) {
        samples[0][at + i] +=
            0.15
                * tap.peakForceN()
                * 2.25e-3
                * Math.exp(-i / 25.0)
                * Math.sin(2 * Math.PI * 9e3 / FS * i);
      }
    }
    assertThat(estimate(RIG, samples, Processing.AUTOMATIC).taps())
        .extracting(Tap::verdict)
        .containsOnly(Verdict.KEPT);
  }

  @Test
  void clippingIsOverload() throws IOException {
    VirtualRig rig = VirtualRig.of(TIP).withInputs(HAMMER, RigChannel.of(1.04e-2, 10));
    AveragedResponse averaged = automatic(rig, BlowPlan.of(5, 0.5, 18, 3e-4).withStrength(2, 3));
    assertThat(averaged.taps().get(1).verdict()).isEqualTo(Verdict.OVERLOAD);
    assertThat(averaged.taps().get(1).reason()).contains("response").contains("full scale");
    assertThat(averaged.response().origin().averages()).isEqualTo(4);
  }

  /** Clipping before the converter: nothing reaches full scale, but the tops are level. */
  @Test
  void flatTopsAreOverload() throws IOException {
    double[][] samples = samples(RIG, BlowPlan.of(5, 0.5, 40, 3e-4).withStrength(4, 2));
    for (int i = 0; i < samples[0].length; i++) {
      samples[0][i] = Math.min(samples[0][i], 0.12);
    }
    AveragedResponse averaged = estimate(RIG, samples, Processing.AUTOMATIC);
    assertThat(averaged.taps().get(3).verdict()).isEqualTo(Verdict.OVERLOAD);
    assertThat(averaged.taps().get(3).reason()).contains("stays at exactly");
    assertThat(averaged.response().origin().averages()).isEqualTo(4);
  }

  @Test
  void aTouchIsTooWeak() throws IOException {
    AveragedResponse averaged = automatic(RIG, PLAN.withStrength(5, 0.08));
    assertThat(averaged.taps().get(4).verdict()).isEqualTo(Verdict.TOO_WEAK);
    assertThat(averaged.taps().get(4).reason()).contains("of the usual");
  }

  @Test
  void aTapInAnotherPlaceIsAPoorMatch() throws IOException {
    Mode second = Mode.of(2210, 0.011, 6e6);
    VirtualRig here =
        VirtualRig.of(TIP, second).withInputs(HAMMER, RigChannel.of(1e-3, 10).withNoise(1e-4));
    VirtualRig there =
        VirtualRig.of(Mode.of(1240, 0.016, 3.4e6), Mode.of(2210, 0.011, 2.5e6))
            .withInputs(HAMMER, RigChannel.of(1e-3, 10).withNoise(1e-4));
    double[][] samples = samples(here, PLAN);
    double[][] other = samples(there, PLAN);
    double onset = PLAN.blows(7).get(3).onsetS();
    int from = (int) ((onset - 0.05) * FS);
    int to = (int) ((onset + 0.35) * FS);
    for (int c = 0; c < 2; c++) {
      System.arraycopy(other[c], from, samples[c], from, to - from);
    }
    AveragedResponse averaged = estimate(here, samples, Processing.AUTOMATIC);
    assertThat(averaged.taps().get(3).verdict()).isEqualTo(Verdict.POOR_MATCH);
    assertThat(averaged.taps()).filteredOn(t -> t.verdict() == Verdict.KEPT).hasSize(5);
    AveragedResponse without =
        estimate(here, samples, choice(Set.of(4), Set.of(), Optional.empty()));
    for (int i = 0; i < without.response().lines(); i++) {
      assertThat(averaged.response().real(i)).isEqualTo(without.response().real(i));
    }
    AveragedResponse with = estimate(here, samples, choice(Set.of(), Set.of(4), Optional.empty()));
    assertThat(with.response().origin().averages()).isEqualTo(6);
    assertThat(with.taps().get(3).reason()).startsWith("kept as asked, although");
  }

  /** A blow at half the angle: the right shape, but a response of half the size. */
  @Test
  void aTapOfAnotherGainIsAPoorMatch() throws IOException {
    double[][] samples = samples(RIG, PLAN);
    double onset = PLAN.blows(7).get(1).onsetS();
    for (int i = (int) ((onset - 0.05) * FS); i < (int) ((onset + 0.35) * FS); i++) {
      samples[1][i] *= 0.5;
    }
    AveragedResponse averaged = estimate(RIG, samples, Processing.AUTOMATIC);
    assertThat(averaged.taps().get(1).verdict()).isEqualTo(Verdict.POOR_MATCH);
    assertThat(averaged.taps().get(1).reason()).contains("% of the others'");
    assertThat(averaged.response().origin().averages()).isEqualTo(5);
  }

  @Test
  void theUserHasTheLastWord() throws IOException {
    Recording recording = record(RIG, PLAN.withDoubleHit(3, 0.004, 0.5));
    TapRecording taps = RIG.measurement("rig", "x", "tip", List.of(recording));
    AveragedResponse averaged =
        ResponseEstimator.estimate(
            taps, choice(Set.of(1), Set.of(3), Optional.empty()), Progress.NONE);
    assertThat(averaged.taps().get(0).verdict()).isEqualTo(Verdict.REJECTED_BY_USER);
    assertThat(averaged.taps().get(2).verdict()).isEqualTo(Verdict.KEPT);
    assertThat(averaged.response().origin().averages()).isEqualTo(5);
    assertThatExceptionOfType(BadInputException.class)
        .isThrownBy(
            () ->
                ResponseEstimator.estimate(
                    taps, choice(Set.of(9), Set.of(), Optional.empty()), Progress.NONE))
        .withMessageContaining("there is no tap 9")
        .withMessageContaining("1 to 6");
  }

  @Test
  void blocksThatLeaveTheRecordingAreCutOff() throws IOException {
    double[][] samples = samples(RIG, PLAN);
    int start = (int) (0.099 * FS);
    int end = samples[0].length - (int) (0.45 * FS);
    for (int c = 0; c < 2; c++) {
      samples[c] = java.util.Arrays.copyOfRange(samples[c], start, end);
    }
    AveragedResponse averaged =
        estimate(
            RIG,
            samples,
            new Processing(
                Optional.of(0.2),
                Optional.of(0.005),
                Optional.empty(),
                Optional.empty(),
                Optional.empty(),
                Optional.empty(),
                Optional.empty(),
                Set.of(),
                Set.of(),
                List.of(),
                Optional.empty(),
                Optional.empty()));
    assertThat(averaged.taps().get(0).verdict()).isEqualTo(Verdict.CUT_OFF);
    assertThat(averaged.taps().get(0).reason()).contains("before the recording does");
    assertThat(averaged.taps().get(5).verdict()).isEqualTo(Verdict.CUT_OFF);
    assertThat(averaged.taps().get(5).reason()).contains("the recording ends");
    assertThat(averaged.response().origin().averages()).isEqualTo(4);
  }

  @Test
  void sensorsTheWrongWayRoundAreSuspected() throws IOException {
    double[][] samples = samples(RIG, PLAN);
    negate(samples[1]);
    assertThat(estimate(RIG, samples, Processing.AUTOMATIC).response().origin().remarks())
        .anyMatch(r -> r.contains("moves against the blow"));
    negate(samples[0]);
    AveragedResponse both = estimate(RIG, samples, Processing.AUTOMATIC);
    assertThat(both.response().origin().averages()).isEqualTo(6);
    assertThat(both.response().origin().remarks())
        .anyMatch(r -> r.contains("a hammer can only push"))
        .noneMatch(r -> r.contains("moves against the blow"));
  }

  @Test
  void whatCannotBeUsedIsSaidInOneLine() throws IOException {
    Recording good = record(RIG, PLAN);
    TapRecording taps = RIG.measurement("rig", "x", "tip", List.of(good));
    assertMessage(
        new TapRecording(
            "rig",
            "x",
            "",
            List.of(good),
            Optional.empty(),
            taps.response(),
            taps.quantity(),
            0,
            0),
        "only frequency and damping");
    assertMessage(
        new TapRecording(
            "rig",
            "x",
            "",
            List.of(good),
            taps.force(),
            taps.response(),
            ResponseQuantity.SOUND,
            0,
            0),
        "sound");
    assertMessage(
        new TapRecording(
            "rig",
            "x",
            "",
            List.of(good),
            taps.force(),
            new Channel(1, 1, 1, 1, 0),
            taps.quantity(),
            0,
            0),
        "both channel 1");
    assertMessage(
        new TapRecording(
            "rig",
            "x",
            "",
            List.of(good),
            taps.force(),
            new Channel(7, 1, 1, 1, 0),
            taps.quantity(),
            0,
            0),
        "has 2 channels, channel 7");
    assertMessage(
        RIG.measurement(
            "rig", "x", "", List.of(good, new MemoryRecording("b", 44100, new double[2][4410]))),
        "44100 Hz differs from the 48000 Hz");
    double[] force = samples(RIG, PLAN)[0];
    assertMessage(memory(force, new double[force.length]), "response channel 2 is silent");
    assertMessage(memory(new double[force.length], force), "force channel 1 is silent");
    assertMessage(memory(force, force), "hold the same numbers");
    Random random = new Random(3);
    double[] noise = random.doubles(48000, -0.01, 0.01).toArray();
    assertMessage(memory(noise, random.doubles(48000, -0.01, 0.01).toArray()), "no tap found");
  }

  @Test
  void noTapLeftIsExplainedTapByTap() throws IOException {
    Recording recording = record(RIG, BlowPlan.of(2, 0.5, 40, 3e-4).withDoubleHit(2, 0.004, 0.5));
    assertThatExceptionOfType(BadInputException.class)
        .isThrownBy(
            () ->
                ResponseEstimator.estimate(
                    RIG.measurement("rig", "x", "", List.of(recording)),
                    choice(Set.of(1), Set.of(), Optional.empty()),
                    Progress.NONE))
        .withMessageContaining("tap 1 rejected by user")
        .withMessageContaining("tap 2 double hit");
  }

  @Test
  void cancellingStopsTheWork() throws IOException {
    Recording recording = record(RIG, PLAN);
    List<Double> steps = new ArrayList<>();
    ResponseEstimator.estimate(
        RIG.measurement("rig", "x", "", List.of(recording)),
        Processing.AUTOMATIC,
        (done, what) -> steps.add(done));
    assertThat(steps).isSorted();
    assertThat(steps.get(steps.size() - 1)).isCloseTo(1, within(1e-12));
    assertThatExceptionOfType(java.util.concurrent.CancellationException.class)
        .isThrownBy(
            () ->
                ResponseEstimator.estimate(
                    RIG.measurement("rig", "x", "", List.of(recording)),
                    Processing.AUTOMATIC,
                    (done, what) -> {
                      if (done > 0.5) {
                        throw new java.util.concurrent.CancellationException();
                      }
                    }));
  }

  // ---- helpers

  private static void assertMessage(TapRecording taps, String part) {
    assertThatExceptionOfType(BadInputException.class)
        .isThrownBy(() -> ResponseEstimator.estimate(taps, Processing.AUTOMATIC, Progress.NONE))
        .withMessageContaining(part);
  }

  private static TapRecording memory(double[] force, double[] response) {
    return RIG.measurement(
        "rig", "x", "", List.of(new MemoryRecording("memory", FS, force, response)));
  }

  private static void negate(double[] values) {
    for (int i = 0; i < values.length; i++) {
      values[i] = -values[i];
    }
  }

  private static Recording record(VirtualRig rig, BlowPlan plan) throws IOException {
    return RigResponseTest.record(rig, FS, plan);
  }

  private static double[][] samples(VirtualRig rig, BlowPlan plan) throws IOException {
    MemoryRecording recording = MemoryRecording.copyOf(record(rig, plan));
    return new double[][] {recording.channel(1), recording.channel(2)};
  }

  private static AveragedResponse automatic(VirtualRig rig, BlowPlan plan) throws IOException {
    return ResponseEstimator.estimate(
        rig.measurement("rig", "x", "tip", List.of(record(rig, plan))),
        Processing.AUTOMATIC,
        Progress.NONE);
  }

  private static AveragedResponse estimate(
      VirtualRig rig, double[][] samples, Processing processing) {
    return ResponseEstimator.estimate(
        rig.measurement("rig", "x", "tip", List.of(new MemoryRecording("memory", FS, samples))),
        processing,
        Progress.NONE);
  }

  private static Processing choice(
      Set<Integer> rejected, Set<Integer> kept, Optional<Double> blockLengthS) {
    return new Processing(
        blockLengthS,
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        rejected,
        kept,
        List.of(),
        Optional.empty(),
        Optional.empty());
  }
}
