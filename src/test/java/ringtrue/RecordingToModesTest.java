package ringtrue;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import ringtrue.acquisition.Blow;
import ringtrue.acquisition.BlowPlan;
import ringtrue.acquisition.MemoryRecording;
import ringtrue.acquisition.Recording;
import ringtrue.acquisition.ResponseQuantity;
import ringtrue.acquisition.RigChannel;
import ringtrue.acquisition.VirtualRig;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.fitting.FitSettings;
import ringtrue.fitting.FittedModes;
import ringtrue.fitting.ModeFitter;
import ringtrue.signal.AveragedResponse;
import ringtrue.signal.Processing;
import ringtrue.signal.ResponseEstimator;

/**
 * All the way from recordings of the virtual rig, whose modes are known exactly, to fitted modes,
 * with nothing told: neither the processing nor the number of modes.
 */
class RecordingToModesTest {
  private static final double SAMPLE_RATE_HZ = 48_000;

  /** One to four modes, well apart; 80 dB from the force's and the sensor's peak to their noise. */
  @ParameterizedTest
  @ValueSource(ints = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16})
  void findsOneToFourModes(int seed) throws IOException {
    Random random = new Random(seed);
    List<Mode> modes = new ArrayList<>();
    double fn = 120 * Math.exp(1.2 * random.nextDouble());
    for (int j = 0; j <= seed % 4; j++) {
      double zeta = 0.006 * Math.exp(1.6 * random.nextDouble());
      modes.add(Mode.of(fn, zeta, 2e6 * Math.exp(1.8 * random.nextDouble())));
      fn *= 1.3 + 6 * zeta + 0.7 * random.nextDouble();
    }
    assertModes(measured(modes, 1e-4, 0.0005, 0, seed), modes, 5e-4, 0.01, 0.01);
  }

  /** Two modes two half-power bandwidths apart. */
  @ParameterizedTest
  @ValueSource(ints = {21, 22, 23, 24, 25, 26})
  void tellsCloseModesApart(int seed) throws IOException {
    Random random = new Random(seed);
    double zeta = 0.006 + 0.02 * random.nextDouble();
    double fn = 250 + 800 * random.nextDouble();
    List<Mode> modes =
        List.of(
            Mode.of(fn, zeta, 5e6),
            Mode.of(fn * (1 + 4 * zeta), zeta, 4e6 + 4e6 * random.nextDouble()));
    assertModes(measured(modes, 1e-4, 0.0005, 0, seed), modes, 1e-3, 0.03, 0.04);
  }

  @ParameterizedTest
  @ValueSource(ints = {31, 32, 33, 34})
  void measuresHighDamping(int seed) throws IOException {
    Random random = new Random(seed);
    double fn = 200 + 500 * random.nextDouble();
    List<Mode> modes =
        List.of(Mode.of(fn, 0.08, 3e6), Mode.of(fn * (2 + 0.5 * random.nextDouble()), 0.03, 9e6));
    assertModes(measured(modes, 1e-4, 0.0005, 0, seed), modes, 1e-3, 0.03, 0.04);
  }

  /** A sensor of 2 g on a light tool; its mass is taken off before the fit. */
  @ParameterizedTest
  @ValueSource(ints = {41, 42, 43, 44})
  void takesTheSensorsMassOff(int seed) throws IOException {
    Random random = new Random(seed);
    List<Mode> modes =
        List.of(
            Mode.of(700 + 300 * random.nextDouble(), 0.02, 4e6),
            Mode.of(1700 + 300 * random.nextDouble(), 0.03, 2e7));
    assertModes(measured(modes, 1e-4, 0.0005, 0.002, seed), modes, 5e-4, 0.01, 0.01);
  }

  /** Five times the noise: within three sigmas, still the right number. */
  @ParameterizedTest
  @ValueSource(ints = {51, 52, 53, 54, 55, 56, 57})
  void keepsItsPromisesInNoise(int seed) throws IOException {
    Random random = new Random(seed);
    List<Mode> modes =
        List.of(
            Mode.of(300 + 100 * random.nextDouble(), 0.015, 3e6),
            Mode.of(900 + 200 * random.nextDouble(), 0.03, 9e6));
    FittedModes fitted = measured(modes, 5e-4, 0.01, 0, seed);
    assertThat(fitted.model().modes()).hasSize(2);
    for (int j = 0; j < 2; j++) {
      Mode m = fitted.model().modes().get(j);
      Mode t = modes.get(j);
      assertThat(m.frequencyHz()).isCloseTo(t.frequencyHz(), within(3 * m.frequencyHzSigma()));
      assertThat(m.dampingRatio()).isCloseTo(t.dampingRatio(), within(3 * m.dampingRatioSigma()));
      assertThat(m.stiffnessNPerM())
          .isCloseTo(t.stiffnessNPerM(), within(3 * m.stiffnessNPerMSigma()));
    }
  }

  private static FittedModes measured(
      List<Mode> modes, double noise, double gainSpread, double sensorMassKg, int seed)
      throws IOException {
    double peakN = 200;
    double inverseMass = modes.stream().mapToDouble(m -> 1 / m.massKg()).sum();
    double acceleration = peakN * inverseMass;
    VirtualRig rig =
        VirtualRig.of(modes.toArray(new Mode[0]))
            .withSensor(ResponseQuantity.ACCELERATION, sensorMassKg)
            .withInputs(
                RigChannel.PERFECT.withNoise(noise * peakN),
                RigChannel.PERFECT
                    .withNoise(noise * acceleration)
                    .withHum(50, noise * acceleration));
    double slowest =
        modes.stream()
            .mapToDouble(m -> 1 / (2 * Math.PI * m.frequencyHz() * m.dampingRatio()))
            .max()
            .orElseThrow();
    double interval = Math.max(0.5, 8 * slowest);
    BlowPlan plan = BlowPlan.of(6, interval, peakN, 0.25e-3).withSpread(0.1, 0.2, 0.05, gainSpread);
    List<Blow> blows = plan.blows(seed);
    Recording recording =
        MemoryRecording.copyOf(
            rig.record("rig", SAMPLE_RATE_HZ, plan.durationS(seed), blows, seed));
    AveragedResponse response =
        ResponseEstimator.estimate(
            rig.measurement("rig", "x", "tool tip", List.of(recording)),
            Processing.AUTOMATIC,
            Progress.NONE);
    return ModeFitter.fit(response.response(), FitSettings.AUTOMATIC, Progress.NONE);
  }

  private static void assertModes(
      FittedModes fitted, List<Mode> truth, double fn, double zeta, double k) {
    List<Mode> modes = fitted.model().modes();
    assertThat(modes).as(() -> modes + " for " + truth).hasSameSizeAs(truth);
    for (int j = 0; j < truth.size(); j++) {
      Mode m = modes.get(j);
      Mode t = truth.get(j);
      assertThat(m.frequencyHz() / t.frequencyHz()).as("fn of " + t).isCloseTo(1, within(fn));
      assertThat(m.dampingRatio() / t.dampingRatio()).as("ζ of " + t).isCloseTo(1, within(zeta));
      assertThat(m.stiffnessNPerM() / t.stiffnessNPerM()).as("k of " + t).isCloseTo(1, within(k));
    }
  }
}
