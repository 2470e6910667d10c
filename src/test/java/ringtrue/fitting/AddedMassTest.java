package ringtrue.fitting;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import org.junit.jupiter.api.Test;

/** Modal masses from shifted frequencies, against closed forms. */
class AddedMassTest {

  /** One mode without damping: m = Δm/((fn/fn')² − 1); sigma by the derivative. */
  @Test
  void oneModeIsTheTextbookFormula() {
    double mass = 0.3;
    double added = 0.03;
    double fn = 500;
    double loaded = fn * Math.sqrt(mass / (mass + added));
    AddedMass.Result result =
        AddedMass.of(
            List.of(DecayMode.of(fn, 0.05, 1e-9, 1e-10)),
            List.of(DecayMode.of(loaded, 0.05, 1e-9, 1e-10)),
            added,
            0,
            0);
    DecayMode mode = result.modes().get(0);
    assertThat(mode.massKg()).isCloseTo(mass, within(1e-9));
    assertThat(mode.stiffnessNPerM()).isCloseTo(mass * Math.pow(2 * Math.PI * fn, 2), within(1e-2));
    double ratio = fn / loaded;
    double by = added / Math.pow(ratio * ratio - 1, 2) * 2 * ratio;
    double sigma = by * Math.hypot(0.05 / loaded, ratio * 0.05 / loaded);
    assertThat(mode.massKgSigma()).isCloseTo(sigma, within(0.01 * sigma));
    assertThat(result.remarks()).anyMatch(r -> r.contains("a good size"));
  }

  /** With damper c: fn' and ζ' of m + Δm exactly, c unchanged. */
  @Test
  void oneDampedModeWithASensorOnIt() {
    double mass = 0.2;
    double sensor = 0.01;
    double added = 0.02;
    double k = 3e6;
    double c = 2 * 0.04 * Math.sqrt(k * mass);
    AddedMass.Result result =
        AddedMass.of(
            List.of(mode(k, c, mass + sensor)),
            List.of(mode(k, c, mass + sensor + added)),
            added,
            0.0001,
            sensor);
    DecayMode mode = result.modes().get(0);
    assertThat(mode.massKg()).isCloseTo(mass, within(1e-7));
    assertThat(mode.stiffnessNPerM()).isCloseTo(k, within(1.0));
    assertThat(mode.frequencyHz()).isCloseTo(Math.sqrt(k / mass) / (2 * Math.PI), within(1e-5));
    assertThat(mode.dampingRatio()).isCloseTo(0.04, within(1e-7));
    assertThat(mode.massKgSigma()).isGreaterThan(0.004 * mass);
    assertThat(result.remarks()).anyMatch(r -> r.contains("which agrees"));
  }

  private static DecayMode mode(double k, double c, double mass) {
    return DecayMode.of(
        Math.sqrt(k / mass) / (2 * Math.PI), 0.001, c / (2 * Math.sqrt(k * mass)), 1e-5);
  }

  @Test
  void aShiftWithinItsSigmaGivesNoStiffness() {
    AddedMass.Result result =
        AddedMass.of(
            List.of(DecayMode.of(500, 0.5, 0.01, 0.001)),
            List.of(DecayMode.of(499.6, 0.5, 0.01, 0.001)),
            0.001,
            0,
            0);
    assertThat(result.modes().get(0).hasStiffness()).isFalse();
    assertThat(result.remarks()).anyMatch(r -> r.contains("no stiffness for it"));
  }

  @Test
  void saysThatTheDampingDoesNotFit() {
    double k = 3e6;
    DecayMode loaded = mode(k, 20, 0.22);
    AddedMass.Result result =
        AddedMass.of(
            List.of(mode(k, 20, 0.2)),
            List.of(DecayMode.of(loaded.frequencyHz(), 0.001, 3 * loaded.dampingRatio(), 1e-5)),
            0.02,
            0,
            0);
    assertThat(result.remarks()).anyMatch(r -> r.contains("may sit loosely"));
  }
}
