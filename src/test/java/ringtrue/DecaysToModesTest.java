package ringtrue;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;
import static org.assertj.core.api.Assumptions.assumeThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import ringtrue.acquisition.BlowPlan;
import ringtrue.acquisition.Channel;
import ringtrue.acquisition.MemoryRecording;
import ringtrue.acquisition.Recording;
import ringtrue.acquisition.ResponseQuantity;
import ringtrue.acquisition.RigChannel;
import ringtrue.acquisition.TapRecording;
import ringtrue.acquisition.TextRecording;
import ringtrue.acquisition.VirtualRig;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.fitting.AddedMass;
import ringtrue.fitting.DecayFitter;
import ringtrue.fitting.DecayMode;
import ringtrue.fitting.DecayModes;
import ringtrue.fitting.FitSettings;
import ringtrue.signal.DecayFinder;
import ringtrue.signal.DecayTap;
import ringtrue.signal.FoundDecays;
import ringtrue.signal.Processing;
import ringtrue.signal.Tap;

/** From recordings of the response alone to frequency and damping, nothing told. */
class DecaysToModesTest {

  /**
   * Forty rigs (a hundred with {@code -Dringtrue.rigs=100}) with 1 to 8 modes from 20 Hz to 10 kHz:
   * every mode found, none invented, errors small, and the truth within two sigma as often as it
   * should be.
   */
  @Test
  void theFamily() throws IOException {
    List<Double> inSigmas = new ArrayList<>();
    List<Double> frequency = new ArrayList<>();
    List<Double> damping = new ArrayList<>();
    for (int seed = 1; seed <= Integer.getInteger("ringtrue.rigs", 40); seed++) {
      DecayFamily one = DecayFamily.of(seed);
      List<DecayMode> found = one.fitted().modes();
      assertThat(found).as("seed %d: %s", seed, one.modes()).hasSameSizeAs(one.modes());
      for (int j = 0; j < found.size(); j++) {
        Mode truth = one.modes().get(j);
        DecayMode m = found.get(j);
        inSigmas.add((m.frequencyHz() - truth.frequencyHz()) / m.frequencyHzSigma());
        inSigmas.add((m.dampingRatio() - truth.dampingRatio()) / m.dampingRatioSigma());
        frequency.add(Math.abs(m.frequencyHz() / truth.frequencyHz() - 1));
        damping.add(Math.abs(m.dampingRatio() / truth.dampingRatio() - 1));
      }
    }
    double covered =
        (double) inSigmas.stream().filter(z -> Math.abs(z) < 2).count() / inSigmas.size();
    assertThat(covered).isBetween(0.90, 0.98);
    assertThat(part(frequency, 0.5)).isLessThan(2e-6);
    assertThat(part(frequency, 0.95)).isLessThan(1e-4);
    assertThat(part(damping, 0.5)).isLessThan(3e-4);
    assertThat(part(damping, 0.95)).isLessThan(5e-3);
  }

  private static double part(List<Double> values, double part) {
    double[] sorted = values.stream().mapToDouble(Double::doubleValue).sorted().toArray();
    return sorted[(int) (part * (sorted.length - 1))];
  }

  private static final Mode[] MODES = {
    Mode.of(410, 0.012, 2e6), Mode.of(530, 0.02, 6e6), Mode.of(1240, 0.015, 1.2e7)
  };

  private static TapRecording taps(double sensorKg, ResponseQuantity quantity, long seed)
      throws IOException {
    VirtualRig rig =
        VirtualRig.of(MODES)
            .withSensor(quantity, sensorKg)
            .withInputs(RigChannel.PERFECT, RigChannel.PERFECT.withNoise(0.05));
    BlowPlan plan =
        BlowPlan.of(6, 0.7, 100, 0.0004).withFirstOnset(0.3).withSpread(0.1, 0.2, 0.05, 0);
    Recording recording =
        MemoryRecording.copyOf(
            rig.record("rig", 24_000, plan.durationS(seed), plan.blows(seed), seed));
    return DecayFamily.withoutForce(rig.measurement("rig", "x", "tip", List.of(recording)));
  }

  private static DecayModes fitted(TapRecording recording, Processing processing) {
    FoundDecays found = DecayFinder.find(recording, processing, Progress.NONE);
    return DecayFitter.fit(found.decays(), FitSettings.AUTOMATIC, Progress.NONE);
  }

  /** The rig carries its sensor's mass exactly: 2 g of sensor, then 2 g with 20 g beside them. */
  @Test
  void anAddedMassTellsMassesOfAllModes() throws IOException {
    DecayModes plain = fitted(taps(0.002, ResponseQuantity.ACCELERATION, 5), Processing.AUTOMATIC);
    DecayModes loaded = fitted(taps(0.022, ResponseQuantity.ACCELERATION, 6), Processing.AUTOMATIC);
    AddedMass.Result result = AddedMass.of(plain.modes(), loaded.modes(), 0.020, 0, 0.002);
    assertThat(result.modes()).hasSize(3);
    for (int j = 0; j < 3; j++) {
      DecayMode m = result.modes().get(j);
      assertThat(m.frequencyHz())
          .isCloseTo(MODES[j].frequencyHz(), within(4e-4 * MODES[j].frequencyHz()));
      assertThat(m.dampingRatio())
          .isCloseTo(MODES[j].dampingRatio(), within(0.01 * MODES[j].dampingRatio()));
      assertThat(m.stiffnessNPerM() / MODES[j].stiffnessNPerM()).isCloseTo(1, within(0.01));
      assertThat(m.stiffnessNPerM())
          .isCloseTo(MODES[j].stiffnessNPerM(), within(4 * m.stiffnessNPerMSigma()));
    }
  }

  @Test
  void rejectedTapsAreLeftOutAndToldBlocksAreTaken() throws IOException {
    TapRecording recording = taps(0, ResponseQuantity.SOUND, 7);
    FoundDecays all = DecayFinder.find(recording, Processing.AUTOMATIC, Progress.NONE);
    assertThat(all.taps()).hasSize(6).allMatch(t -> t.verdict() == Tap.Verdict.KEPT);
    FoundDecays less =
        DecayFinder.find(
            recording, Processing.AUTOMATIC.forOthers(java.util.Set.of(2, 3)), Progress.NONE);
    assertThat(less.decays().taps()).hasSize(4);
    assertThat(less.taps().get(1).verdict()).isEqualTo(Tap.Verdict.REJECTED_BY_USER);
  }

  @Test
  void aBounceIsSeenWhereItIsLarge() throws IOException {
    VirtualRig rig =
        VirtualRig.of(Mode.of(800, 0.03, 5e6))
            .withInputs(RigChannel.PERFECT, RigChannel.PERFECT.withNoise(0.05));
    BlowPlan plan =
        BlowPlan.of(4, 0.7, 100, 0.0004).withFirstOnset(0.3).withDoubleHit(2, 0.06, 0.7);
    Recording recording =
        MemoryRecording.copyOf(rig.record("rig", 24_000, plan.durationS(1), plan.blows(1), 1));
    List<DecayTap> taps =
        DecayFinder.find(
                DecayFamily.withoutForce(rig.measurement("rig", "", "", List.of(recording))),
                Processing.AUTOMATIC,
                Progress.NONE)
            .taps();
    assertThat(taps).hasSize(4);
    assertThat(taps.get(1).verdict()).isEqualTo(Tap.Verdict.DOUBLE_HIT);
  }

  /** Sixty frames of film, 240 a second, one tap. */
  @Test
  void sixtyFramesOfFilmAreEnough() throws IOException {
    VirtualRig rig =
        VirtualRig.of(Mode.of(31, 0.02, 1e5))
            .withSensor(ResponseQuantity.DISPLACEMENT, 0)
            .withInputs(RigChannel.PERFECT, RigChannel.PERFECT.withNoise(2e-6));
    BlowPlan plan = BlowPlan.of(1, 1, 200, 0.002).withFirstOnset(0.03);
    Recording recording =
        MemoryRecording.copyOf(rig.record("film", 240, 60 / 240.0, plan.blows(3), 3));
    FoundDecays found =
        DecayFinder.find(
            DecayFamily.withoutForce(rig.measurement("film", "", "", List.of(recording))),
            Processing.AUTOMATIC,
            Progress.NONE);
    assertThat(found.remarks()).anyMatch(r -> r.contains("nothing above 120 Hz"));
    DecayModes modes = DecayFitter.fit(found.decays(), FitSettings.AUTOMATIC, Progress.NONE);
    assertThat(modes.modes()).hasSize(1);
    DecayMode mode = modes.modes().get(0);
    assertThat(mode.frequencyHz()).isCloseTo(31, within(4 * mode.frequencyHzSigma()));
    assertThat(mode.frequencyHz()).isCloseTo(31, within(0.3));
    assertThat(mode.dampingRatio()).isCloseTo(0.02, within(0.008));
  }

  /**
   * A bolted beam, where the record lies beside the project: its joint makes frequencies rise and
   * damping fall while it dies out (Chen et al. and Jin et al. 2022, Mechanical Systems and Signal
   * Processing 166, 108401 and 108402).
   */
  @Test
  void theBoltedBeamShowsItsJoint() throws IOException {
    Path file =
        Path.of("..", "shared", "real-measurements", "brake_reuss_beam", "hammer_impact_1s.csv");
    assumeThat(Files.exists(file)).isTrue();
    Recording recording = TextRecording.open(file, "beam", TextRecording.Layout.timeIn(1));
    DecayModes found =
        fitted(
            new TapRecording(
                "beam",
                "",
                "",
                List.of(recording),
                java.util.Optional.empty(),
                new Channel(2, 1, Double.POSITIVE_INFINITY, 1, 0),
                ResponseQuantity.ACCELERATION,
                0,
                0),
            Processing.AUTOMATIC);
    assertThat(found.modes()).hasSizeGreaterThan(3);
    assertThat(found.remarks()).anyMatch(r -> r.contains("changes while it dies out"));
  }
}
