package ringtrue.library;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatExceptionOfType;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import ringtrue.acquisition.BlowPlan;
import ringtrue.acquisition.MemoryRecording;
import ringtrue.acquisition.PulseShape;
import ringtrue.acquisition.Recording;
import ringtrue.acquisition.ResponseQuantity;
import ringtrue.acquisition.RigChannel;
import ringtrue.acquisition.TapRecording;
import ringtrue.acquisition.VirtualRig;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.fitting.FitSettings;
import ringtrue.fitting.StrengthTrend;
import ringtrue.fitting.TapScatter;
import ringtrue.signal.Processing;
import ringtrue.units.BadInputException;

/** Recordings to modes with what the single taps tell: scatter, strength, sensor mass. */
class MeasuredModesTest {
  private static final double FS = 24000;
  private static final List<Mode> TWO =
      List.of(Mode.of(400, 0.015, 4e6), Mode.of(1300, 0.02, 1.5e7));

  // ---- bootstrap

  /** Nothing but white noise: the covariance is right, and the taps say the same. */
  @Test
  void theBootstrapAgreesWithTheCovarianceInWhiteNoise() throws IOException {
    List<Double> ratios = new ArrayList<>();
    int refused = 0;
    for (int seed = 1; seed <= 12; seed++) {
      MeasuredModes measured = measured(taps(TWO, 10, 0, 2e-3, seed), draws(120));
      TapScatter scatter = measured.scatter().orElseThrow();
      assertThat(scatter.modes()).hasSize(2);
      for (TapScatter.Spread s : scatter.modes()) {
        ratios.add(s.frequencyOverFit());
        ratios.add(s.dampingOverFit());
      }
      refused += scatter.remarks().get(0).contains("agrees") ? 0 : 1;
    }
    double[] sorted = ratios.stream().mapToDouble(Double::doubleValue).sorted().toArray();
    assertThat(sorted[sorted.length / 2]).isBetween(0.6, 1.4);
    assertThat(refused).isLessThanOrEqualTo(1);
  }

  /**
   * The frequency is another at every tap, as with a hand on the tool. The average's noise hides
   * that in part, the taps do not: the spread is that of the mean of ten such frequencies.
   */
  @Test
  void theBootstrapSeesWhatTapsDoDifferently() throws IOException {
    double spread = 0.002;
    List<Double> seen = new ArrayList<>();
    for (int seed = 1; seed <= 6; seed++) {
      Random random = new Random(seed);
      List<Recording> all = new ArrayList<>();
      VirtualRig rig = null;
      for (int t = 0; t < 10; t++) {
        double factor = 1 + spread * random.nextGaussian();
        Mode first = Mode.of(400 * factor, 0.015, 4e6 * factor * factor);
        rig = rig(List.of(first, TWO.get(1)), 1e-4);
        all.add(one(rig, 200, 100 * seed + t));
      }
      MeasuredModes measured = measured(rig.measurement("rig", "x", "tip", all), draws(200));
      seen.add(measured.scatter().orElseThrow().modes().get(0).frequencyHz());
    }
    double mean = seen.stream().mapToDouble(s -> s).average().orElseThrow();
    double expected = 400 * spread / Math.sqrt(10);
    assertThat(mean).isCloseTo(expected, within(0.35 * expected));
  }

  @Test
  void theSameSeedGivesTheSameSpreads() throws IOException {
    TapRecording taps = taps(TWO, 5, 0.01, 1e-4, 1);
    assertThat(measured(taps, draws(30)).scatter()).isEqualTo(measured(taps, draws(30)).scatter());
    assertThat(measured(taps, Optional.of(new MeasuredModes.Resampling(30, 2))).scatter())
        .isNotEqualTo(measured(taps, draws(30)).scatter());
  }

  @Test
  void twoTapsAreTooFewToDrawFrom() throws IOException {
    TapRecording taps = taps(TWO, 2, 0, 1e-4, 1);
    assertThatExceptionOfType(BadInputException.class)
        .isThrownBy(() -> measured(taps, draws(100)))
        .withMessageContaining("needs three taps or more, there are 2");
    TapRecording more = taps(TWO, 4, 0, 1e-4, 1);
    assertThatExceptionOfType(BadInputException.class)
        .isThrownBy(() -> measured(more, draws(3)))
        .withMessageContaining("10 draws or more");
  }

  // ---- loose joint

  /** Fall of the frequency per factor two of force, from a fifth of a per cent to five. */
  @ParameterizedTest
  @CsvSource({"0.002, 1", "0.002, 2", "0.01, 1", "0.01, 3", "0.05, 1", "0.05, 2", "0.05, 3"})
  void aLooseJointIsSaidWithNumbers(double fall, int seed) throws IOException {
    MeasuredModes measured = measured(loose(fall, seed), Optional.empty());
    assertThat(measured.remarks())
        .filteredOn(r -> r.contains("depends on how hard"))
        .singleElement()
        .asString()
        .contains("A loose joint does that");
    StrengthTrend.Trend trend =
        measured.trend().modes().stream()
            .filter(t -> t.averageHz() < 1000)
            .findFirst()
            .orElseThrow();
    assertThat(trend.hertzPerDoubling())
        .isCloseTo(-400 * fall, within(0.02 * 400 * fall + 3 * trend.hertzPerDoublingSigma()));
    assertThat(trend.hertzPerDoublingSigma()).isLessThan(0.05 * 400 * fall);
  }

  /** Six taps whose frequency falls as the force itself does, not as its logarithm. */
  @ParameterizedTest
  @ValueSource(doubles = {0.002, 0.01, 0.03})
  void aFallInProportionToTheForceIsSaid(double fall) throws IOException {
    List<Recording> all = new ArrayList<>();
    VirtualRig rig = null;
    for (int t = 0; t < 6; t++) {
      double factor = 1 - fall * t / 5;
      rig = rig(List.of(Mode.of(400 * factor, 0.015, 4e6 * factor * factor), TWO.get(1)), 1e-4);
      all.add(one(rig, 40 * (t + 1), t));
    }
    MeasuredModes measured = measured(rig.measurement("loose", "x", "tip", all), Optional.empty());
    assertThat(measured.trend().remarks()).singleElement().asString().contains("A loose joint");
    StrengthTrend.Trend trend = measured.trend().modes().get(0);
    assertThat(trend.lightestHz()).isCloseTo(400, within(0.1 * 400 * fall));
    assertThat(trend.hardestHz()).isCloseTo(400 * (1 - fall), within(0.1 * 400 * fall));
  }

  /** Linear rigs with noise, hum, taps that ring into each other, and scatter up to 2 %. */
  @Test
  void linearStructuresAreNeverCalledLoose() throws IOException {
    for (int seed = 1; seed <= 24; seed++) {
      Random random = new Random(seed);
      List<Mode> modes = new ArrayList<>();
      double fn = 150 * Math.exp(1.2 * random.nextDouble());
      for (int j = 0; j <= seed % 3; j++) {
        double zeta = 0.006 * Math.exp(1.6 * random.nextDouble());
        modes.add(Mode.of(fn, zeta, 2e6 * Math.exp(1.8 * random.nextDouble())));
        fn *= 1.3 + 6 * zeta + 0.7 * random.nextDouble();
      }
      double noise = 1e-4 * Math.exp(2 * random.nextDouble());
      VirtualRig rig =
          rig(modes, noise).withSensor(ResponseQuantity.ACCELERATION, seed % 4 == 0 ? 0.003 : 0);
      BlowPlan plan =
          BlowPlan.of(5 + random.nextInt(6), 0.25, 200, 0.4e-3)
              .withSpread(0.1, 0.3, 0.05, 0.02 * random.nextDouble())
              .withShape(PulseShape.SINE_FOURTH);
      Recording recording =
          MemoryRecording.copyOf(
              rig.record("rig", FS, plan.durationS(seed), plan.blows(seed), seed));
      MeasuredModes measured =
          measured(rig.measurement("rig", "x", "tip", List.of(recording)), Optional.empty());
      assertThat(measured.trend().remarks()).as("seed " + seed).isEmpty();
    }
  }

  @Test
  void tapsOfOneStrengthSayNothing() throws IOException {
    List<Recording> all = new ArrayList<>();
    VirtualRig rig = null;
    for (int t = 0; t < 6; t++) {
      double factor = 1 - 0.003 * t;
      rig = rig(List.of(Mode.of(400 * factor, 0.015, 4e6), TWO.get(1)), 1e-4);
      all.add(one(rig, 200 + t, t));
    }
    MeasuredModes measured = measured(rig.measurement("rig", "x", "tip", all), Optional.empty());
    assertThat(measured.trend().modes()).isEmpty();
    assertThat(measured.remarks()).noneMatch(r -> r.contains("how hard"));
  }

  // ---- sensor mass

  /**
   * Tips of tools of 3, 4 and 6 mm with a tenth to a hundredth of a per cent of noise: the first
   * mode of the smaller ones moves by 5 % with 0.8 g on it and by 22 % with 5 g. (Invented tools.)
   */
  @ParameterizedTest
  @CsvSource({
    "2600, 0.012, 7.8, 7200, 0.015, 6, 0.8, 0",
    "2600, 0.012, 7.8, 7200, 0.015, 6, 0.8, 0.02",
    "2600, 0.012, 7.8, 7200, 0.015, 6, 5, 0",
    "2600, 0.012, 7.8, 7200, 0.015, 6, 5, 0.02",
    "1650, 0.010, 7.8, 5200, 0.020, 10, 0.8, 0",
    "1650, 0.010, 7.8, 5200, 0.020, 10, 5, 0",
    "1650, 0.010, 7.8, 5200, 0.020, 10, 5, 0.02",
    "1400, 0.015, 20, 4200, 0.020, 15, 5, 0",
    "900, 0.020, 30, 2500, 0.015, 20, 5, 0.02"
  })
  void takesTheSensorOffASmallTool(
      double fn1,
      double zeta1,
      double grams1,
      double fn2,
      double zeta2,
      double grams2,
      double sensorGrams,
      double tau)
      throws IOException {
    List<Mode> modes = List.of(byMass(fn1, zeta1, grams1), byMass(fn2, zeta2, grams2));
    double noise = 1e-4;
    double peak = 30;
    double acceleration = peak * modes.stream().mapToDouble(m -> 1 / m.massKg()).sum();
    VirtualRig rig =
        VirtualRig.of(modes.toArray(new Mode[0]))
            .withSensor(ResponseQuantity.ACCELERATION, 1e-3 * sensorGrams)
            .withInputs(
                RigChannel.PERFECT.withNoise(noise * peak),
                RigChannel.PERFECT.withNoise(noise * acceleration));
    BlowPlan plan =
        BlowPlan.of(8, 0.4, peak, 0.2e-3)
            .withSpread(0.1, 0.2, 0.05, 0.0005)
            .withShape(PulseShape.SINE_FOURTH);
    Recording recording =
        MemoryRecording.copyOf(rig.record("tool", 96000, plan.durationS(3), plan.blows(3), 3));
    MeasuredModes measured =
        MeasuredModes.of(
            new Measurement(
                rig.measurement("tool", "x", "tip", List.of(recording)),
                window(tau),
                Optional.empty(),
                1,
                0),
            FitSettings.AUTOMATIC,
            Optional.empty(),
            Progress.NONE);
    assertThat(measured.modes().model().modes()).hasSize(2);
    Mode first = measured.modes().model().modes().get(0);
    assertThat(first.frequencyHz() / fn1).isCloseTo(1, within(5e-4));
    assertThat(first.dampingRatio() / zeta1).isCloseTo(1, within(0.01));
    assertThat(first.stiffnessNPerM() / modes.get(0).stiffnessNPerM()).isCloseTo(1, within(0.01));
    for (int j = 0; j < 2; j++) {
      Mode m = measured.modes().model().modes().get(j);
      Mode t = modes.get(j);
      assertThat(Math.abs(m.frequencyHz() - t.frequencyHz()))
          .isLessThan(3.5 * m.frequencyHzSigma());
      assertThat(Math.abs(m.dampingRatio() - t.dampingRatio()))
          .isLessThan(3.5 * m.dampingRatioSigma());
      assertThat(Math.abs(m.stiffnessNPerM() - t.stiffnessNPerM()))
          .isLessThan(3.5 * m.stiffnessNPerMSigma());
    }
    assertThat(measured.remarks()).anyMatch(r -> r.contains("lowered the mode at"));
  }

  /** Taps that scatter by 2 % move the corrected frequency, and its sigma says so. */
  @Test
  void scatterOfTheGainIsInTheFrequencyOfALoadedTool() throws IOException {
    Mode tip = byMass(2600, 0.012, 7.8);
    int inside = 0;
    for (int seed = 1; seed <= 12; seed++) {
      VirtualRig rig =
          VirtualRig.of(tip)
              .withSensor(ResponseQuantity.ACCELERATION, 0.005)
              .withInputs(RigChannel.PERFECT.withNoise(0.003), RigChannel.PERFECT.withNoise(0.4));
      BlowPlan plan =
          BlowPlan.of(6, 0.3, 30, 0.2e-3)
              .withSpread(0.1, 0.2, 0.05, 0.02)
              .withShape(PulseShape.SINE_FOURTH);
      Recording recording =
          MemoryRecording.copyOf(
              rig.record("tool", 48000, plan.durationS(seed), plan.blows(seed), seed));
      Mode m =
          measured(rig.measurement("tool", "x", "tip", List.of(recording)), Optional.empty())
              .modes()
              .model()
              .modes()
              .get(0);
      // ½ m/M of about 2 %/√6
      assertThat(m.frequencyHzSigma() / 2600).isBetween(0.0005, 0.012);
      inside += Math.abs(m.frequencyHz() - 2600) < 2 * m.frequencyHzSigma() ? 1 : 0;
    }
    assertThat(inside).isGreaterThanOrEqualTo(10);
  }

  @Test
  void aSensorWithoutMassIsAskedFor() throws IOException {
    // a gram on 100 g lowers by half a per cent, on 220 g by a fifth of one
    List<Mode> light = List.of(TWO.get(0), byMass(1300, 0.02, 100));
    assertThat(measured(taps(light, 4, 0, 1e-4, 1), Optional.empty()).remarks())
        .anyMatch(r -> r.contains("Each gram of the sensor lowers the mode at 1300 Hz"));
    assertThat(measured(taps(TWO, 4, 0, 1e-4, 1), Optional.empty()).remarks())
        .noneMatch(r -> r.contains("gram"));
    List<Mode> heavy = List.of(Mode.of(120, 0.02, 2e7));
    assertThat(measured(taps(heavy, 4, 0, 1e-4, 1), Optional.empty()).remarks())
        .noneMatch(r -> r.contains("gram"));
  }

  @Test
  void tapsLeftOutAndACalibrationAreSaidOnce() throws IOException {
    VirtualRig rig = rig(TWO, 1e-4);
    BlowPlan plan = BlowPlan.of(5, 0.5, 200, 0.4e-3).withDoubleHit(2, 0.01, 0.3);
    Recording recording =
        MemoryRecording.copyOf(rig.record("rig", FS, plan.durationS(1), plan.blows(1), 1));
    MeasuredModes measured =
        MeasuredModes.of(
            new Measurement(
                rig.measurement("rig", "x", "tip", List.of(recording)),
                Processing.AUTOMATIC,
                Optional.empty(),
                1.05,
                0),
            FitSettings.AUTOMATIC,
            Optional.empty(),
            Progress.NONE);
    assertThat(measured.remarks())
        .anyMatch(r -> r.startsWith("1 of 5 taps was left out: 1 double hit"))
        .anyMatch(r -> r.contains("divided by 1.05"));
  }

  // ---- helpers

  private static Optional<MeasuredModes.Resampling> draws(int draws) {
    return Optional.of(new MeasuredModes.Resampling(draws, 1));
  }

  private static MeasuredModes measured(
      TapRecording taps, Optional<MeasuredModes.Resampling> resampling) {
    return MeasuredModes.of(
        new Measurement(taps, Processing.AUTOMATIC, Optional.empty(), 1, 0),
        FitSettings.AUTOMATIC,
        resampling,
        Progress.NONE);
  }

  private static VirtualRig rig(List<Mode> modes, double noise) {
    double acceleration = 200 * modes.stream().mapToDouble(m -> 1 / m.massKg()).sum();
    return VirtualRig.of(modes.toArray(new Mode[0]))
        .withInputs(
            RigChannel.PERFECT.withNoise(0.1 * noise * 200),
            RigChannel.PERFECT.withNoise(noise * acceleration));
  }

  private static Recording one(VirtualRig rig, double peak, int seed) throws IOException {
    BlowPlan plan =
        BlowPlan.of(1, 1, peak, 0.4e-3)
            .withSpread(0, 0, 0.05, 0.005)
            .withShape(PulseShape.SINE_FOURTH);
    return MemoryRecording.copyOf(
        rig.recordEach("tap", FS, 0.02, 0.5, plan.blows(seed), seed).get(0));
  }

  private static TapRecording loose(double fall, int seed) throws IOException {
    Random random = new Random(seed);
    List<Recording> all = new ArrayList<>();
    VirtualRig rig = null;
    for (int t = 0; t < 8; t++) {
      double force = 100 * Math.pow(2, 2 * random.nextDouble());
      double doublings = Math.log(force / 200) / Math.log(2);
      double factor = 1 - fall * doublings;
      double zeta = 0.015 * (1 + 4 * fall * doublings);
      rig = rig(List.of(Mode.of(400 * factor, zeta, 4e6 * factor * factor), TWO.get(1)), 2e-4);
      all.add(one(rig, force, 100 * seed + t));
    }
    return rig.measurement("loose", "x", "tip", all);
  }

  private static TapRecording taps(List<Mode> modes, int count, double gain, double noise, int seed)
      throws IOException {
    VirtualRig rig = rig(modes, noise);
    BlowPlan plan =
        BlowPlan.of(count, 0.5, 200, 0.4e-3)
            .withSpread(0.1, 0.1, 0.05, gain)
            .withShape(PulseShape.SINE_FOURTH);
    return rig.measurement(
        "rig",
        "x",
        "tip",
        Arrays.asList(
            MemoryRecording.copyOf(
                rig.record("rig", FS, plan.durationS(seed), plan.blows(seed), seed))));
  }

  private static Mode byMass(double fn, double zeta, double grams) {
    double omega = 2 * Math.PI * fn;
    return Mode.of(fn, zeta, 1e-3 * grams * omega * omega);
  }

  private static Processing window(double tau) {
    return tau == 0
        ? Processing.AUTOMATIC
        : new Processing(
            Optional.empty(),
            Optional.empty(),
            Optional.empty(),
            Optional.empty(),
            Optional.of(tau),
            Optional.empty(),
            Optional.empty(),
            Set.of(),
            Set.of(),
            List.of(),
            Optional.empty(),
            Optional.empty());
  }
}
