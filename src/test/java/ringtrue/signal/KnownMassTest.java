package ringtrue.signal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import ringtrue.acquisition.Blow;
import ringtrue.acquisition.BlowPlan;
import ringtrue.acquisition.MemoryRecording;
import ringtrue.acquisition.Recording;
import ringtrue.acquisition.ResponseQuantity;
import ringtrue.acquisition.RigChannel;
import ringtrue.acquisition.TapRecording;
import ringtrue.acquisition.VirtualRig;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.Progress;
import ringtrue.units.BadInputException;

/**
 * A freely hanging mass has the accelerance 1/M at every frequency (Newton's second law), so that
 * the factor that hammer and sensor read too much is known exactly.
 */
class KnownMassTest {
  private static final double FORCE_V_PER_N = 2.25e-3;
  private static final double RESPONSE_V_PER_M_S2 = 1.04e-3;

  @ParameterizedTest
  @ValueSource(doubles = {0.85, 0.967, 1, 1.1, 2.4})
  void findsTheFactorOfThePair(double factor) throws IOException {
    KnownMass found = hung(factor, 0, 0, 0.002, 1, 7);
    assertThat(found.factor() / factor).isCloseTo(1, within(2e-3));
    assertThat(found.factor()).isCloseTo(factor, within(4 * found.factorSigma()));
    assertThat(found.factorSigma() / factor).isLessThan(0.005);
    assertThat(found.reversed()).isFalse();
    assertThat(found.largestDeviation()).isLessThan(0.01);
    assertThat(found.flatHighHz() / found.flatLowHz()).isGreaterThan(4);
  }

  /** 100 series of six blows with 1 % of scatter in their direction and noise. */
  @Test
  void keepsItsPromiseOnUncertainty() throws IOException {
    int within = 0;
    int runs = 100;
    for (int seed = 0; seed < runs; seed++) {
      Random random = new Random(seed);
      double factor = 0.8 + 0.4 * random.nextDouble();
      KnownMass found = hung(factor, 0, 0.01, 0.002, 1, seed);
      within += Math.abs(found.factor() - factor) < 2 * found.factorSigma() ? 1 : 0;
    }
    assertThat(within).isBetween(90, 100);
  }

  @ParameterizedTest
  @ValueSource(doubles = {-30e-6, -3e-6, 4e-6, 20.8e-6})
  void findsAShiftBetweenTheChannels(double skew) throws IOException {
    KnownMass found = hung(1.05, skew, 0, 0.002, 1, 3);
    assertThat(found.skewS()).isCloseTo(skew, within(0.2e-6));
    assertThat(found.factor() / 1.05).isCloseTo(1, within(2e-3));
    assertThat(found.remarks()).anyMatch(r -> r.contains("channelSkew"));
  }

  @Test
  void saysThatTheSensorFacesTheOtherWay() throws IOException {
    KnownMass found = hung(1.05, 0, 0, 0.002, -1, 3);
    assertThat(found.reversed()).isTrue();
    assertThat(found.factor() / 1.05).isCloseTo(1, within(2e-3));
    assertThat(found.remarks()).anyMatch(r -> r.contains("polarity"));
  }

  @Test
  void takesAFactorOfGravityForASlip() throws IOException {
    assertThat(hung(9.80665, 0, 0, 0.002, 1, 3).remarks()).anyMatch(r -> r.contains("g for m/s^2"));
    assertThat(hung(1.03, 0, 0, 0.002, 1, 3).remarks()).isEmpty();
  }

  /**
   * A block that hangs on a cord and bends: pendulum of 1.5 Hz, first bending mode at 5200 Hz with
   * as much receptance as the rigid body. A = (1/M) (1/(1 − (1.5/f)²) + 1/(1 − (f/5200)²) − 1).
   */
  @Test
  void looksPastTheCordAndTheBlocksOwnResonance() {
    int n = 4000;
    double mass = 0.6;
    double[] hz = new double[n];
    double[] re = new double[n];
    double[] im = new double[n];
    for (int i = 0; i < n; i++) {
      hz[i] = 1 + i;
      double w = 2 * Math.PI * hz[i];
      double pendulum = 1.5 / hz[i];
      double bending = hz[i] / 5200;
      double body = 1 / (1 - pendulum * pendulum) + 1 / (1 - bending * bending) - 1;
      re[i] = -1.08 * body / (mass * w * w);
    }
    KnownMass found =
        KnownMass.of(
            new FrequencyResponse(
                hz, re, im, null, null, FrequencyResponse.Origin.unknown(4, 4000)),
            mass);
    assertThat(found.factor() / 1.08).isCloseTo(1, within(1e-3));
    assertThat(found.flatHighHz()).isLessThan(2500);
    assertThat(found.remarks()).anyMatch(r -> r.startsWith("above"));
  }

  @Test
  void refusesABandThatIsTooNarrowAndAMassThatIsNone() {
    int n = 100;
    double[] hz = new double[n];
    double[] re = new double[n];
    for (int i = 0; i < n; i++) {
      hz[i] = 100 + i;
      re[i] = -1e-6;
    }
    FrequencyResponse narrow =
        new FrequencyResponse(
            hz, re, new double[n], null, null, FrequencyResponse.Origin.unknown(100, 200));
    assertThatThrownBy(() -> KnownMass.of(narrow, 1))
        .isInstanceOf(BadInputException.class)
        .hasMessageContaining("two octaves");
    assertThatThrownBy(() -> KnownMass.of(narrow, 0)).isInstanceOf(BadInputException.class);
  }

  private static KnownMass hung(
      double factor, double skewS, double gainSpread, double sensorKg, int polarity, int seed)
      throws IOException {
    double mass = 0.75;
    RigChannel sensor =
        RigChannel.of(RESPONSE_V_PER_M_S2 * factor, 2).withNoise(2e-5).withSkew(skewS);
    VirtualRig rig =
        VirtualRig.freeMass(mass)
            .withSensor(ResponseQuantity.ACCELERATION, sensorKg)
            .withInputs(
                RigChannel.of(FORCE_V_PER_N, 1).withNoise(1e-5),
                polarity < 0 ? sensor.reversed() : sensor);
    BlowPlan plan = BlowPlan.of(6, 0.3, 150, 0.3e-3).withSpread(0.1, 0.2, 0.05, gainSpread);
    List<Blow> blows = plan.blows(seed);
    Recording recording =
        MemoryRecording.copyOf(rig.record("block", 48_000, plan.durationS(seed), blows, seed));
    TapRecording exact = rig.measurement("block", "x", "", List.of(recording));
    TapRecording entered =
        new TapRecording(
            "block",
            "x",
            "",
            List.of(recording),
            exact.force(),
            new ringtrue.acquisition.Channel(2, 2 / RESPONSE_V_PER_M_S2, 1, 1, 0),
            ResponseQuantity.ACCELERATION,
            0,
            0);
    return KnownMass.of(
        ResponseEstimator.estimate(entered, Processing.AUTOMATIC, Progress.NONE).response(),
        mass + sensorKg);
  }
}
