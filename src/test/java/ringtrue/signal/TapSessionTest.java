package ringtrue.signal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatExceptionOfType;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import org.junit.jupiter.api.Test;
import ringtrue.acquisition.Blow;
import ringtrue.acquisition.BlowPlan;
import ringtrue.acquisition.LiveInput;
import ringtrue.acquisition.MemoryRecording;
import ringtrue.acquisition.Recording;
import ringtrue.acquisition.ResponseQuantity;
import ringtrue.acquisition.RigChannel;
import ringtrue.acquisition.TapRecording;
import ringtrue.acquisition.VirtualRig;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.signal.Tap.Verdict;
import ringtrue.units.BadInputException;

class TapSessionTest {
  private static final double FS = 48000;
  private static final Mode TIP = Mode.of(1240, 0.016, 2.1e6);
  private static final RigChannel HAMMER = RigChannel.of(2.25e-3, 1).withNoise(0.05e-3);
  private static final RigChannel SENSOR = RigChannel.of(1.04e-3, 10).withNoise(0.1e-3);
  private static final VirtualRig RIG = VirtualRig.of(TIP).withInputs(HAMMER, SENSOR);
  private static final BlowPlan PLAN =
      BlowPlan.of(8, 0.6, 40, 3e-4).withFirstOnset(1.2).withSpread(0.1, 0.15, 0.05, 0.03);

  @Test
  void averagesAreThoseOfTheRecording() throws IOException {
    BlowPlan plan = PLAN.withDoubleHit(3, 0.004, 0.4).withStrength(5, 0.08);
    Replayed live = live(RIG, plan, TapSession.Goal.taps(0)).run(441);
    assertThat(live.verdicts())
        .containsExactly(
            Verdict.KEPT,
            Verdict.KEPT,
            Verdict.DOUBLE_HIT,
            Verdict.KEPT,
            Verdict.TOO_WEAK,
            Verdict.KEPT,
            Verdict.KEPT,
            Verdict.KEPT);
    assertSameAsRecorded(live);
  }

  /** A coupling to be undone hangs on the mean of the whole recording; a sensor is taken off. */
  @Test
  void averagesAreThoseOfTheRecordingWithCouplingAndSensor() throws IOException {
    VirtualRig rig =
        VirtualRig.of(TIP, Mode.of(260, 0.04, 8e6))
            .withInputs(HAMMER.withHighPass(8).withHum(50, 1e-4), SENSOR.withHighPass(3))
            .withSensor(ResponseQuantity.ACCELERATION, 0.001);
    // the error that lines share, kept when the sensor is taken off, goes by groups of lines
    assertSameAsRecorded(live(rig, PLAN, TapSession.Goal.taps(0)).run(480), 1e-3);
  }

  /** Before anything is summed anew at the end, the running sums are right to rounding. */
  @Test
  void averagesFollowWhatTheUserDoes() throws IOException {
    BlowPlan plan =
        BlowPlan.of(14, 0.8, 40, 3e-4).withFirstOnset(1.2).withSpread(0.1, 0.15, 0.05, 0.03);
    Replayed live = live(RIG, plan, TapSession.Goal.taps(0)).run(1000);
    assertThat(live.session.kept()).isEqualTo(14);
    // The first taps have left the memory by now and are read back.
    List<TapEvent> events = new ArrayList<>(live.session.setAside(1));
    events.addAll(live.session.setAside(9));
    assertThat(events).hasSize(2).allMatch(e -> e instanceof TapEvent.Changed);
    assertThat(live.session.taps().get(0).tap().verdict()).isEqualTo(Verdict.REJECTED_BY_USER);
    assertCloseToRecorded(live, 12);
    live.session.takeBack(1);
    live.session.leaveToData(9);
    assertCloseToRecorded(live, 14);
    assertThatExceptionOfType(BadInputException.class)
        .isThrownBy(() -> live.session.setAside(15))
        .withMessageContaining("numbered 1 to 14");
  }

  @Test
  void anOddTapIsSetAsideWhenTheOthersHaveCome() throws IOException {
    double[][] samples = samples(RIG, PLAN);
    int from = (int) (1.19 * FS);
    for (int i = from; i < from + FS / 2; i++) {
      samples[1][i] *= 0.4;
    }
    Replayed live = live(samples, TapSession.Goal.taps(0)).run(480);
    assertThat(live.events(TapEvent.Judged.class).get(0).tap().isKept()).isTrue();
    assertThat(live.events(TapEvent.Changed.class))
        .hasSize(1)
        .allMatch(c -> c.tap().tap().number() == 1 && c.before() == Verdict.KEPT);
    assertThat(live.verdicts().get(0)).isEqualTo(Verdict.POOR_MATCH);
    assertSameAsRecorded(live);
    live.session.takeBack(1);
    assertThat(live.session.kept()).isEqualTo(8);
    assertThat(live.session.averaged().orElseThrow().response().origin().averages()).isEqualTo(8);
  }

  /** Each portion is as long as it happens to be; what comes of it must not depend on that. */
  @Test
  void portionsDoNotMatter() throws IOException {
    Replayed one = live(RIG, PLAN, TapSession.Goal.taps(0)).run(480);
    for (int portion : new int[] {1, 97, 4801}) {
      Replayed other = live(RIG, PLAN, TapSession.Goal.taps(0)).run(portion);
      assertThat(other.session.taps().stream().map(SessionTap::onsetFrame))
          .isEqualTo(one.session.taps().stream().map(SessionTap::onsetFrame).toList());
      assertThat(other.verdicts()).isEqualTo(one.verdicts());
    }
  }

  @Test
  void itListensAgainWhenSomebodyKnocks() throws IOException {
    double[][] samples = samples(RIG, PLAN);
    for (int i = 0; i < 40; i++) {
      samples[0][(int) (0.3 * FS) + i] += 0.01 * Math.sin(Math.PI * i / 40);
    }
    Replayed live = live(samples, TapSession.Goal.taps(2)).run(480);
    assertThat(live.events(TapEvent.Listening.class)).extracting("again").contains(false, true);
    int ready = live.events.indexOf(live.events(TapEvent.Ready.class).get(0));
    assertThat(live.events.subList(0, ready)).allMatch(e -> e instanceof TapEvent.Listening);
    // 0.05 mV at 2.25 mV/N
    assertThat(live.events(TapEvent.Ready.class).get(0).forceNoise())
        .isCloseTo(0.05 / 2.25, within(0.001));
  }

  @Test
  void itStopsWhenThereAreEnough() throws IOException {
    Replayed live = live(RIG, PLAN.withDoubleHit(2, 0.01, 0.5), TapSession.Goal.taps(3)).run(480);
    assertThat(live.session.kept()).isEqualTo(3);
    assertThat(live.session.taps()).hasSize(4);
    assertThat(live.frames()).isLessThan(live.recording.frames() / 2 + 48000);
    assertThat(last(live).reached()).isTrue();
    assertThat(last(live).sentence()).contains("3 taps are kept");
  }

  @Test
  void itStopsWhenTheCoherenceIsThere() throws IOException {
    TapSession.Goal goal =
        new TapSession.Goal(0, 0.99, 900, 3000, Double.NaN, Double.POSITIVE_INFINITY);
    Replayed live = live(RIG, PLAN, goal).run(480);
    assertThat(last(live).reached()).isTrue();
    assertThat(live.session.kept()).isEqualTo(3);
    assertThat(live.session.bandCoherence()).isGreaterThanOrEqualTo(0.99);
    TapSession.Goal never =
        new TapSession.Goal(0, 1 - 1e-9, 900, 3000, Double.NaN, Double.POSITIVE_INFINITY);
    assertThat(last(live(RIG, PLAN, never).run(480)).reached()).isFalse();
  }

  @Test
  void itDoesNotWaitForEver() throws IOException {
    TapSession.Goal goal = new TapSession.Goal(5, Double.NaN, Double.NaN, Double.NaN, 80, 2);
    Replayed live = live(RIG, PLAN, goal).run(480);
    assertThat(last(live).reached()).isFalse();
    assertThat(last(live).sentence()).contains("no tap came for 2.00 s").contains("reach 80.0 N");
    assertThat(live.session.taps()).isEmpty();
    assertThat(live.session.processing()).isEmpty();
  }

  /** A sin² blow of 0.3 ms falls by 20 dB at 1.71/T, near 5.7 kHz (from its closed form). */
  @Test
  void aSlowBlowDoesNotReachTheWantedBand() throws IOException {
    TapSession.Goal wide =
        new TapSession.Goal(0, Double.NaN, 50, 7000, Double.NaN, Double.POSITIVE_INFINITY);
    Replayed live = live(RIG, PLAN, wide).run(480);
    assertThat(live.verdicts()).containsOnly(Verdict.TOO_SLOW);
    assertThat(live.session.taps().get(0).tap().reason()).contains("7000 Hz are wanted");
    assertThat(live.events(TapEvent.Advice.class))
        .extracting("sentence")
        .asString()
        .contains("harder tip");
    TapSession.Goal narrow =
        new TapSession.Goal(0, Double.NaN, 50, 4000, Double.NaN, Double.POSITIVE_INFINITY);
    assertThat(live(RIG, PLAN, narrow).run(480).verdicts()).containsOnly(Verdict.KEPT);
  }

  /** A crackling cable first: the blocks must come from the first blow that is one. */
  @Test
  void aDisturbanceDoesNotChooseTheBlocks() throws IOException {
    double[][] samples = samples(RIG, PLAN);
    Random random = new Random(5);
    for (int i = 0; i < 200; i++) {
      samples[0][(int) (0.8 * FS) + i] += 0.05 * random.nextGaussian();
    }
    Replayed live = live(samples, TapSession.Goal.taps(0)).run(480);
    assertThat(live.verdicts().get(0)).isEqualTo(Verdict.NO_TAP);
    assertThat(live.verdicts().subList(1, 9)).containsOnly(Verdict.KEPT);
    Replayed plain = live(RIG, PLAN, TapSession.Goal.taps(0)).run(480);
    assertThat(live.session.taps().get(1).frames()).isEqualTo(plain.session.taps().get(0).frames());
  }

  /** The first tap rang for long, then blows come fast: none is lost. */
  @Test
  void blocksGiveWayWhenBlowsComeSooner() throws IOException {
    VirtualRig slow = VirtualRig.of(Mode.of(90, 0.012, 2e6)).withInputs(HAMMER, SENSOR);
    BlowPlan plan = BlowPlan.of(9, 0.7, 40, 6e-4).withFirstOnset(3.0);
    List<Blow> blows = new ArrayList<>(plan.blows(1));
    blows.add(0, Blow.of(1, 1.0, 40, 6e-4));
    Recording recording = MemoryRecording.copyOf(slow.record("taps", FS, 10, blows, 3));
    TapRecording about = slow.measurement("rig", "x", "tip", List.of(recording));
    Replayed live = new Replayed(about, Processing.AUTOMATIC, TapSession.Goal.taps(0)).run(480);
    assertThat(live.events(TapEvent.BlockChosen.class).get(0).blockLengthS()).isGreaterThan(0.8);
    assertThat(live.session.taps()).hasSize(10);
    assertThat(live.session.taps().get(5).frames() / FS).isLessThan(0.71);
    assertThat(live.session.kept()).isGreaterThanOrEqualTo(9);
    assertSameAsRecorded(live);
  }

  @Test
  void aBlockWithLostFramesIsCutOff() throws IOException {
    Replayed live = live(RIG, PLAN, TapSession.Goal.taps(0));
    live.session.gap(new LiveInput.Gap((long) (1.25 * FS), 480, "for the test"));
    live.run(480);
    assertThat(live.verdicts().get(0)).isEqualTo(Verdict.CUT_OFF);
    assertThat(live.session.taps().get(0).tap().reason()).contains("lost 480 frames");
    assertThat(live.verdicts().subList(1, 8)).containsOnly(Verdict.KEPT);
  }

  /** The clock tells of lost frames only later. */
  @Test
  void aGapThatIsNoticedLateSetsAJudgedTapAside() throws IOException {
    double[][] samples = samples(RIG, PLAN);
    Replayed live = live(samples, TapSession.Goal.taps(0));
    live.run(480, 3 * FS);
    assertThat(live.verdicts().get(0)).isEqualTo(Verdict.KEPT);
    live.session.gap(new LiveInput.Gap((long) (1.25 * FS), 480, "for the test"));
    live.run(480);
    assertThat(live.events(TapEvent.FramesLost.class)).hasSize(1);
    assertThat(live.events(TapEvent.Changed.class))
        .anyMatch(c -> c.tap().tap().number() == 1 && c.before() == Verdict.KEPT);
    assertThat(live.verdicts().get(0)).isEqualTo(Verdict.CUT_OFF);
    assertSameAsRecorded(live);
  }

  @Test
  void hammersTheWrongWayRoundAreUnderstood() throws IOException {
    double[][] samples = samples(RIG, PLAN);
    for (int i = 0; i < samples[0].length; i++) {
      samples[0][i] = -samples[0][i];
    }
    Replayed live = live(samples, TapSession.Goal.taps(0)).run(480);
    assertThat(live.verdicts()).hasSize(8).containsOnly(Verdict.KEPT);
    assertSameAsRecorded(live);
  }

  @Test
  void withoutForceTheResponseTriggers() throws IOException {
    double[][] samples = samples(RIG, PLAN.withStrength(4, 0.05));
    TapRecording all = RIG.measurement("rig", "x", "tip", List.of(memory(samples)));
    TapRecording about =
        new TapRecording(
            "rig",
            "x",
            "tip",
            all.recordings(),
            Optional.empty(),
            all.response(),
            all.quantity(),
            0,
            0);
    Replayed live = new Replayed(about, Processing.AUTOMATIC, TapSession.Goal.taps(0)).run(480);
    List<Blow> blows = PLAN.blows(7);
    assertThat(live.session.taps()).hasSizeBetween(7, 8);
    assertThat(live.session.kept()).isEqualTo(7);
    assertThat(live.session.taps().get(0).tap().onsetS())
        .isCloseTo(blows.get(0).onsetS(), within(3e-4));
    assertThat(live.session.averaged()).isEmpty();
  }

  @Test
  void metersShowPeakNoiseAndClipping() throws IOException {
    double[][] samples = samples(RIG, PLAN);
    for (int i = 0; i < 5; i++) {
      samples[1][(int) FS + i] = 1;
    }
    Replayed live = live(samples, TapSession.Goal.taps(1)).run(480);
    ChannelMeter force = live.session.meters().get(0);
    ChannelMeter response = live.session.meters().get(1);
    assertThat(force.clipped()).isZero();
    assertThat(response.clipped()).isEqualTo(5);
    assertThat(response.peak()).isEqualTo(1);
    assertThat(force.noise()).isCloseTo(0.05e-3, within(2e-6));
    assertThat(force.peak()).isCloseTo(2.25e-3 * 40, within(0.04));
    assertThat(force.level()).isLessThan(force.peak());
    response.releasePeak();
    assertThat(response.peak()).isLessThan(1);
  }

  // ---- helpers

  private static TapEvent.Finished last(Replayed live) {
    return live.events(TapEvent.Finished.class).get(0);
  }

  private static void assertSameAsRecorded(Replayed live) throws IOException {
    assertSameAsRecorded(live, 0);
  }

  /**
   * @param errors how far the lines' errors may differ, as a part of them
   */
  private static void assertSameAsRecorded(Replayed live, double errors) throws IOException {
    live.session.settle();
    AveragedResponse now = live.session.averaged().orElseThrow();
    AveragedResponse later = recorded(live);
    FrequencyResponse a = now.response();
    FrequencyResponse b = later.response();
    assertThat(a.lines()).isEqualTo(b.lines()).isGreaterThan(50);
    for (int i = 0; i < a.lines(); i++) {
      assertThat(a.real(i)).isEqualTo(b.real(i));
      assertThat(a.imag(i)).isEqualTo(b.imag(i));
      assertThat(a.coherence(i)).isEqualTo(b.coherence(i));
      assertThat(a.relativeError(i))
          .isCloseTo(b.relativeError(i), within(errors * b.relativeError(i)));
    }
    assertThat(a.origin().averages()).isEqualTo(b.origin().averages());
    assertThat(a.origin().bandLowHz()).isEqualTo(b.origin().bandLowHz());
    assertThat(a.origin().bandHighHz()).isEqualTo(b.origin().bandHighHz());
  }

  private static void assertCloseToRecorded(Replayed live, int averages) {
    FrequencyResponse a = live.session.averaged().orElseThrow().response();
    FrequencyResponse b = recorded(live).response();
    assertThat(a.origin().averages()).isEqualTo(averages);
    assertThat(b.origin().averages()).isEqualTo(averages);
    for (int i = 0; i < a.lines(); i++) {
      double size = Math.hypot(b.real(i), b.imag(i));
      assertThat(a.real(i)).isCloseTo(b.real(i), within(1e-10 * size));
      assertThat(a.imag(i)).isCloseTo(b.imag(i), within(1e-10 * size));
    }
  }

  private static AveragedResponse recorded(Replayed live) {
    return ResponseEstimator.estimate(
        new TapRecording(
            "recorded",
            "x",
            "tip",
            List.of(live.recording),
            live.about.force(),
            live.about.response(),
            live.about.quantity(),
            live.about.sensorMassKg(),
            live.about.skewS()),
        live.session.processing().orElseThrow(),
        Progress.NONE);
  }

  private static double[][] samples(VirtualRig rig, BlowPlan plan) throws IOException {
    MemoryRecording recording =
        MemoryRecording.copyOf(rig.record("taps", FS, plan.durationS(7), plan.blows(7), 11));
    return new double[][] {recording.channel(1), recording.channel(2)};
  }

  private static MemoryRecording memory(double[][] samples) {
    return new MemoryRecording("taps", FS, samples);
  }

  private static Replayed live(VirtualRig rig, BlowPlan plan, TapSession.Goal goal)
      throws IOException {
    TapRecording about = rig.measurement("rig", "x", "tip", List.of(memory(samples(rig, plan))));
    return new Replayed(about, Processing.AUTOMATIC, goal);
  }

  private static Replayed live(double[][] samples, TapSession.Goal goal) throws IOException {
    TapRecording about = RIG.measurement("rig", "x", "tip", List.of(memory(samples)));
    return new Replayed(about, Processing.AUTOMATIC, goal);
  }
}
