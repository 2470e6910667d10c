package ringtrue.signal;

import static org.assertj.core.api.Assertions.assertThat;
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
import ringtrue.acquisition.MemoryRecording;
import ringtrue.acquisition.Recording;
import ringtrue.acquisition.ResponseQuantity;
import ringtrue.acquisition.RigChannel;
import ringtrue.acquisition.TapRecording;
import ringtrue.acquisition.VirtualRig;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;

/** Automatic processing of rigs whose receptance is known exactly. */
class RigResponseTest {
  private static final RigChannel HAMMER =
      RigChannel.of(2.25e-3, 1).withNoise(0.05e-3).withOffset(1e-3);
  private static final RigChannel SENSOR =
      RigChannel.of(1.04e-3, 10).withNoise(0.1e-3).withOffset(-2e-3);
  private static final Mode TIP = Mode.of(1240, 0.016, 2.1e6);
  private static final List<Mode> THREE =
      List.of(Mode.of(310, 0.03, 9e6), Mode.of(880, 0.02, 4e6), Mode.of(2210, 0.011, 6e6));

  @ParameterizedTest
  @CsvSource({"44100", "48000", "51200", "96000", "192000"})
  void oneModeAtAnyRate(double sampleRateHz) throws IOException {
    VirtualRig rig = VirtualRig.of(TIP).withInputs(HAMMER, SENSOR);
    AveragedResponse averaged =
        automatic(rig, sampleRateHz, BlowPlan.of(4, 0.5, 40, 3e-4).withSpread(0.1, 0.15, 0.05, 0));
    assertThat(averaged.response().origin().averages()).isEqualTo(4);
    assertThat(worst(averaged.response(), List.of(TIP), TIP)).isLessThan(0.002);
    // Half of sin² of 0.3 ms lies above a tenth of its peak for 0.79 of it: arcsin(√0.1) · 2/π.
    double part = 1 - 2 * Math.asin(Math.sqrt(0.1)) / Math.PI;
    for (Tap tap : averaged.taps()) {
      assertThat(tap.contactS()).isCloseTo(3e-4 * part, within(0.3 * 3e-4));
    }
  }

  @Test
  void severalModesWithSteadyGain() throws IOException {
    VirtualRig rig = VirtualRig.of(THREE.toArray(new Mode[0])).withInputs(HAMMER, SENSOR);
    AveragedResponse averaged =
        automatic(rig, 48000, BlowPlan.of(5, 0.8, 120, 4e-4).withSpread(0.1, 0.15, 0.05, 0));
    for (Mode mode : THREE) {
      assertThat(worst(averaged.response(), THREE, mode)).as(mode.toString()).isLessThan(0.005);
    }
    assertThat(averaged.used().responseTimeConstantS()).isInfinite();
    FrequencyResponse.Origin origin = averaged.response().origin();
    assertThat(origin.bandLowHz()).isLessThan(200);
    assertThat(origin.bandHighHz()).isBetween(3500.0, 5000.0);
  }

  /** Ordinary scatter of the angle of the blow costs its mean, but no tap. */
  @Test
  void gainScatterOfFivePerCentLosesNoTap() throws IOException {
    VirtualRig rig = VirtualRig.of(THREE.toArray(new Mode[0])).withInputs(HAMMER, SENSOR);
    AveragedResponse averaged =
        automatic(rig, 48000, BlowPlan.of(8, 0.8, 120, 4e-4).withSpread(0.1, 0.2, 0.05, 0.05));
    assertThat(averaged.taps()).extracting(Tap::verdict).containsOnly(Tap.Verdict.KEPT);
  }

  /**
   * A lightly damped mode that still rings at 9 % of its beginning when the recording ends: the
   * exponential window is needed, and the response is G(iω + 1/τ).
   */
  @Test
  void exponentialWindowWhereTheDecayDoesNotFit() throws IOException {
    Mode flexure = Mode.of(146.5, 0.0032, 2.18e6);
    VirtualRig rig = VirtualRig.of(flexure).withInputs(HAMMER, SENSOR);
    List<Recording> each =
        rig.recordEach("flexure", 48000, 0.02, 0.85, BlowPlan.of(4, 3, 80, 8e-4).blows(3), 5);
    AveragedResponse averaged = estimate(rig, each, Processing.AUTOMATIC);
    FrequencyResponse response = averaged.response();
    assertThat(response.windowTimeConstantS()).isBetween(0.1, 0.4);
    assertThat(worst(response, List.of(flexure), flexure)).isLessThan(0.01);
    assertThat(response.origin().remarks()).anyMatch(r -> r.contains("exponential window"));
  }

  @Test
  void blockHoldsAllOfALongDecay() throws IOException {
    Mode flexure = Mode.of(146.5, 0.0032, 2.18e6);
    VirtualRig rig = VirtualRig.of(flexure).withInputs(HAMMER, SENSOR);
    AveragedResponse averaged = automatic(rig, 16000, BlowPlan.of(3, 4, 80, 8e-4));
    assertThat(averaged.used().responseTimeConstantS()).isInfinite();
    // Six time constants or more (Trethewey and Cafeo 1992).
    double timeConstant = 1 / (0.0032 * 2 * Math.PI * 146.5);
    assertThat(averaged.used().blockLengthS()).isGreaterThan(6 * timeConstant);
    assertThat(worst(averaged.response(), List.of(flexure), flexure)).isLessThan(0.003);
  }

  /** A freely hanging mass has accelerance 1/M at every frequency (the idea of ISO 7626-5). */
  @Test
  void freeMassHasItsOwnAccelerance() throws IOException {
    VirtualRig rig = VirtualRig.freeMass(0.5).withInputs(HAMMER, SENSOR);
    FrequencyResponse response =
        automatic(rig, 48000, BlowPlan.of(6, 0.5, 60, 4e-4).withSpread(0.1, 0.15, 0.05, 0))
            .response();
    double sum = 0;
    int lines = 0;
    for (int i = 0; i < response.lines(); i++) {
      double f = response.frequencyHz(i);
      if (f >= response.origin().bandLowHz() && f <= 2000) {
        double accelerance = -response.real(i) * Math.pow(2 * Math.PI * f, 2);
        assertThat(accelerance).isCloseTo(2, within(0.01 * 2));
        sum += accelerance;
        lines++;
      }
    }
    assertThat(lines).isGreaterThan(10);
    assertThat(sum / lines).isCloseTo(2, within(0.001 * 2));
    assertThat(response.origin().remarks()).noneMatch(r -> r.contains("polarity"));
  }

  @ParameterizedTest
  @CsvSource({"ACCELERATION", "VELOCITY", "DISPLACEMENT"})
  void quantitiesAgree(ResponseQuantity quantity) throws IOException {
    double sensitivity =
        switch (quantity) {
          case ACCELERATION -> 1e-3;
          case VELOCITY -> 5;
          default -> 4e4;
        };
    VirtualRig rig =
        VirtualRig.of(TIP)
            .withInputs(HAMMER, RigChannel.of(sensitivity, 10).withNoise(0.1e-3))
            .withSensor(quantity, 0);
    FrequencyResponse response = automatic(rig, 48000, BlowPlan.of(4, 0.5, 40, 3e-4)).response();
    assertThat(worst(response, List.of(TIP), TIP)).isLessThan(0.003);
  }

  @ParameterizedTest
  @CsvSource({"8e-6", "-15e-6"})
  void skewBetweenTheChannelsIsTakenOut(double skewS) throws IOException {
    VirtualRig rig = VirtualRig.of(TIP).withInputs(HAMMER, SENSOR.withSkew(skewS));
    FrequencyResponse response = automatic(rig, 48000, BlowPlan.of(4, 0.5, 40, 3e-4)).response();
    // Left alone it would turn the phase at 1240 Hz by 2π · 1240 · 8e-6 = 6 %.
    assertThat(worst(response, List.of(TIP), TIP)).isLessThan(0.002);
  }

  /** The sensor's 5 g on a modal mass of 35 g pull the mode down by 7 %. */
  @Test
  void sensorMassIsTakenOff() throws IOException {
    VirtualRig rig =
        VirtualRig.of(TIP)
            .withInputs(HAMMER, SENSOR)
            .withSensor(ResponseQuantity.ACCELERATION, 0.005);
    FrequencyResponse response = automatic(rig, 48000, BlowPlan.of(5, 0.5, 40, 3e-4)).response();
    assertThat(worst(response, List.of(TIP), TIP)).isLessThan(0.008);
    assertThat(response.origin().remarks()).anyMatch(r -> r.contains("5.00 g was taken off"));
  }

  /** A known corner of 8 Hz in both inputs, or in the hammer's alone, is undone. */
  @ParameterizedTest
  @CsvSource({"8, 8", "8, 0", "2, 15"})
  void knownHighPassIsUndone(double hammerHz, double sensorHz) throws IOException {
    VirtualRig rig =
        VirtualRig.of(THREE.toArray(new Mode[0]))
            .withInputs(HAMMER.withHighPass(hammerHz), SENSOR.withHighPass(sensorHz));
    FrequencyResponse response =
        estimate(
                rig,
                List.of(record(rig, 48000, BlowPlan.of(5, 0.8, 120, 4e-4))),
                with(new Processing.ForceWindow(2e-3, 1e-3)))
            .response();
    for (Mode mode : THREE) {
      assertThat(worst(response, THREE, mode)).as(mode.toString()).isLessThan(0.005);
    }
  }

  /** Nothing is said of the inputs: the undershoot shows, no force window, and all is well. */
  @Test
  void unknownHighPassIsNoticed() throws IOException {
    VirtualRig rig =
        VirtualRig.of(THREE.toArray(new Mode[0]))
            .withInputs(HAMMER.withHighPass(8), SENSOR.withHighPass(8));
    TapRecording taps =
        withoutHighPass(
            rig.measurement(
                "ac", "x", "tip", List.of(record(rig, 48000, BlowPlan.of(5, 0.8, 120, 4e-4)))));
    AveragedResponse averaged =
        ResponseEstimator.estimate(taps, Processing.AUTOMATIC, Progress.NONE);
    assertThat(averaged.used().forceWindow().isNone()).isTrue();
    assertThat(averaged.response().origin().remarks())
        .anyMatch(r -> r.contains("AC-coupled input of about 8") && r.contains("no force window"));
    for (Mode mode : THREE) {
      assertThat(worst(averaged.response(), THREE, mode)).as(mode.toString()).isLessThan(0.005);
    }
    AveragedResponse insisted =
        ResponseEstimator.estimate(
            taps, with(new Processing.ForceWindow(2e-3, 1e-3)), Progress.NONE);
    assertThat(insisted.used().forceWindow().isNone()).isFalse();
    assertThat(insisted.response().origin().remarks())
        .anyMatch(r -> r.contains("the force window cuts that off"));
    assertThat(worst(insisted.response(), THREE, THREE.get(0))).isGreaterThan(0.01);
  }

  /** The corner is read from the undershoot's shape, also where it has gone after 20 ms. */
  @ParameterizedTest
  @ValueSource(doubles = {2, 20, 40})
  void theCornerIsRightWhateverItIs(double corner) throws IOException {
    VirtualRig rig =
        VirtualRig.of(THREE.toArray(new Mode[0]))
            .withInputs(HAMMER.withHighPass(corner), SENSOR.withHighPass(corner));
    TapRecording taps =
        withoutHighPass(
            rig.measurement(
                "ac", "x", "tip", List.of(record(rig, 48000, BlowPlan.of(5, 0.8, 120, 4e-4)))));
    String remark =
        ResponseEstimator.estimate(taps, Processing.AUTOMATIC, Progress.NONE)
            .response()
            .origin()
            .remarks()
            .stream()
            .filter(r -> r.contains("AC-coupled"))
            .findFirst()
            .orElseThrow();
    double said = Double.parseDouble(remark.replaceAll(".*of about (\\S+) Hz.*", "$1"));
    assertThat(said).isCloseTo(corner, within(0.1 * corner));
  }

  @Test
  void noUndershootIsSeenWhereThereIsNone() throws IOException {
    VirtualRig rig =
        VirtualRig.of(THREE.toArray(new Mode[0]))
            .withInputs(HAMMER.withHum(50, 1e-3, 0.5e-3), SENSOR.withHum(50, 1e-3));
    AveragedResponse averaged =
        automatic(rig, 48000, BlowPlan.of(6, 0.83, 120, 4e-4).withSpread(0.1, 0.15, 0.05, 0));
    assertThat(averaged.response().origin().remarks()).noneMatch(r -> r.contains("AC-coupled"));
    assertThat(averaged.used().forceWindow().isNone()).isFalse();
  }

  @Test
  void wholeFilesAsBlocks() throws IOException {
    VirtualRig rig = VirtualRig.of(TIP).withInputs(HAMMER, SENSOR);
    List<Recording> each =
        rig.recordEach("file", 51200, 0.02, 0.4, BlowPlan.of(3, 1, 40, 3e-4).blows(3), 5);
    AveragedResponse averaged = estimate(rig, each, block(Double.POSITIVE_INFINITY));
    assertThat(averaged.used().blockLengthS()).isEqualTo(0.4);
    assertThat(averaged.used().preTriggerS()).isCloseTo(0.02, within(2e-4));
    assertThat(averaged.response().origin().averages()).isEqualTo(3);
    assertThat(worst(averaged.response(), List.of(TIP), TIP)).isLessThan(0.003);
  }

  @Test
  void aSingleTapHasNoCoherence() throws IOException {
    VirtualRig rig = VirtualRig.of(TIP).withInputs(HAMMER, SENSOR);
    FrequencyResponse response = automatic(rig, 48000, BlowPlan.of(1, 0.5, 40, 3e-4)).response();
    assertThat(response.coherence(10)).isNaN();
    assertThat(response.relativeError(10)).isNaN();
    assertThat(response.origin().bandLowHz()).isBetween(5.0, 400.0);
    assertThat(response.origin().bandHighHz()).isBetween(4500.0, 6500.0);
    assertThat(worst(response, List.of(TIP), TIP)).isLessThan(0.005);
  }

  @Test
  void sameInputSameOutput() throws IOException {
    VirtualRig rig = VirtualRig.of(TIP).withInputs(HAMMER, SENSOR);
    Recording recording = record(rig, 48000, BlowPlan.of(5, 0.5, 40, 3e-4));
    FrequencyResponse one = estimate(rig, List.of(recording), Processing.AUTOMATIC).response();
    FrequencyResponse two = estimate(rig, List.of(recording), Processing.AUTOMATIC).response();
    for (int i = 0; i < one.lines(); i++) {
      assertThat(two.real(i)).isEqualTo(one.real(i));
      assertThat(two.imag(i)).isEqualTo(one.imag(i));
    }
  }

  // ---- helpers

  static Recording record(VirtualRig rig, double sampleRateHz, BlowPlan plan) throws IOException {
    return MemoryRecording.copyOf(
        rig.record("taps", sampleRateHz, plan.durationS(7), plan.blows(7), 11));
  }

  private static AveragedResponse automatic(VirtualRig rig, double sampleRateHz, BlowPlan plan)
      throws IOException {
    return estimate(rig, List.of(record(rig, sampleRateHz, plan)), Processing.AUTOMATIC);
  }

  private static AveragedResponse estimate(
      VirtualRig rig, List<Recording> recordings, Processing processing) {
    return ResponseEstimator.estimate(
        rig.measurement("rig", "x", "tip", recordings), processing, Progress.NONE);
  }

  private static TapRecording withoutHighPass(TapRecording taps) {
    return new TapRecording(
        taps.name(),
        taps.axis(),
        taps.point(),
        taps.recordings(),
        taps.force().map(RigResponseTest::withoutHighPass),
        withoutHighPass(taps.response()),
        taps.quantity(),
        taps.sensorMassKg(),
        taps.skewS());
  }

  private static ringtrue.acquisition.Channel withoutHighPass(ringtrue.acquisition.Channel c) {
    return new ringtrue.acquisition.Channel(
        c.number(), c.unitsPerNumber(), c.clipsAtNumber(), c.polarity(), 0);
  }

  private static Processing with(Processing.ForceWindow window) {
    return processing(Optional.empty(), Optional.of(window));
  }

  private static Processing block(double seconds) {
    return processing(Optional.of(seconds), Optional.empty());
  }

  private static Processing processing(
      Optional<Double> blockLengthS, Optional<Processing.ForceWindow> window) {
    return new Processing(
        blockLengthS,
        Optional.empty(),
        Optional.empty(),
        window,
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        Set.of(),
        Set.of(),
        List.of(),
        Optional.empty(),
        Optional.empty());
  }

  /**
   * Largest relative error within twice the half-power half-width around a mode, against Σ (1/k)
   * ωn²/(s² + 2ζωn s + ωn²) at s = iω + 1/τ.
   */
  private static double worst(FrequencyResponse response, List<Mode> modes, Mode around) {
    double decay =
        Double.isInfinite(response.windowTimeConstantS()) ? 0 : 1 / response.windowTimeConstantS();
    double width = around.halfPowerBandwidthHz() + decay / Math.PI;
    double worst = 0;
    int lines = 0;
    for (int i = 0; i < response.lines(); i++) {
      double f = response.frequencyHz(i);
      if (Math.abs(f - around.frequencyHz()) > width) {
        continue;
      }
      double omega = 2 * Math.PI * f;
      double re = 0;
      double im = 0;
      for (Mode mode : modes) {
        double wn = 2 * Math.PI * mode.frequencyHz();
        double c = 2 * mode.dampingRatio() * wn;
        double a = decay * decay - omega * omega + c * decay + wn * wn;
        double b = 2 * decay * omega + c * omega;
        double scale = wn * wn / mode.stiffnessNPerM() / (a * a + b * b);
        re += a * scale;
        im -= b * scale;
      }
      worst =
          Math.max(
              worst, Math.hypot(response.real(i) - re, response.imag(i) - im) / Math.hypot(re, im));
      lines++;
    }
    assertThat(lines).as("lines around " + around.frequencyHz() + " Hz").isGreaterThan(2);
    return worst;
  }
}
