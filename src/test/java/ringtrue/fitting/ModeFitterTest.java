package ringtrue.fitting;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.concurrent.CancellationException;
import org.apache.commons.math3.complex.Complex;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.dynamics.Residual;
import ringtrue.units.BadInputException;

class ModeFitterTest {

  private static FittedModes fit(FrequencyResponse response) {
    return ModeFitter.fit(response, FitSettings.AUTOMATIC, Progress.NONE);
  }

  private static FittedModes fit(FrequencyResponse response, double low, double high) {
    return ModeFitter.fit(response, FitSettings.AUTOMATIC.withBand(low, high), Progress.NONE);
  }

  private static FittedModes fit(FrequencyResponse response, int count) {
    return ModeFitter.fit(response, FitSettings.AUTOMATIC.withCount(count), Progress.NONE);
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

  /**
   * Three equal masses in a row between four equal springs: ωj² = 2(κ/m)(1 − cos(jπ/4)), shapes
   * sin(ijπ/4), with damping proportional to stiffness ζj = βωj/2. At mass 1 the compliance of mode
   * j is sin²(jπ/4)/(2 m ωj²). The data come from the equations of motion themselves, solved line
   * by line, without any mode.
   */
  @ParameterizedTest
  @ValueSource(doubles = {0, 6, 25})
  void findsTheModesOfAChainOfMassesExactly(double shift) {
    double mass = 0.7;
    double spring = 4e6;
    double beta = 1.2e-5;
    int n = 1200;
    double[] hz = new double[n];
    double[] re = new double[n];
    double[] im = new double[n];
    for (int i = 0; i < n; i++) {
      hz[i] = 60 + 0.75 * i;
      Complex s = new Complex(shift, 2 * Math.PI * hz[i]);
      Complex elastic = s.multiply(beta).add(1).multiply(spring);
      Complex own = s.multiply(s).multiply(mass).add(elastic.multiply(2));
      // [own −e 0; −e own −e; 0 −e own] x = (1, 0, 0): x1 = (own² − e²)/(own (own² − 2e²))
      Complex own2 = own.multiply(own);
      Complex e2 = elastic.multiply(elastic);
      Complex x = own2.subtract(e2).divide(own.multiply(own2.subtract(e2.multiply(2))));
      re[i] = x.getReal();
      im[i] = x.getImaginary();
    }
    FittedModes fitted = fit(response(hz, re, im, 1, 1 / shift));

    List<Mode> truth = new ArrayList<>();
    for (int j = 1; j <= 3; j++) {
      double omega = Math.sqrt(2 * spring / mass * (1 - Math.cos(j * Math.PI / 4)));
      double shape = Math.sin(j * Math.PI / 4);
      truth.add(
          Mode.of(
              omega / (2 * Math.PI), beta * omega / 2, 2 * mass * omega * omega / (shape * shape)));
    }
    assertModes(fitted, truth, 1e-7, 1e-5, 1e-5);
    assertThat(fitted.fitErrorRelative()).isLessThan(1e-5);
    for (Mode mode : fitted.model().modes()) {
      assertThat(mode.phaseDeg()).isCloseTo(-90, within(0.01));
    }
  }

  private static FrequencyResponse response(
      double[] hz, double[] re, double[] im, int averages, double tau) {
    return new FrequencyResponse(
        hz,
        re,
        im,
        null,
        null,
        new FrequencyResponse.Origin(
            "", "", averages, tau, hz[0], hz[hz.length - 1], "", List.of()));
  }

  /**
   * Closed forms of a single mode: extremes of the real part at fn√(1 ∓ 2ζ) with 1/(4kζ(1 ∓ ζ)),
   * and the circle of the mobility with diameter ωn/(2ζk) (Kennedy and Pancu 1947).
   */
  @Test
  void agreesWithPeakPickingAndTheCircleOnASingleMode() {
    double fn = 500;
    double zeta = 0.02;
    double k = 8e6;
    int n = 3000;
    double[] hz = new double[n];
    double[] re = new double[n];
    double[] im = new double[n];
    for (int i = 0; i < n; i++) {
      hz[i] = 400 + 0.0625 * i;
      double r = hz[i] / fn;
      Complex g = new Complex(1 - r * r, 2 * zeta * r).multiply(k).reciprocal();
      re[i] = g.getReal();
      im[i] = g.getImaginary();
    }
    Mode mode = fit(response(hz, re, im, 1, Double.POSITIVE_INFINITY)).model().modes().get(0);
    int highest = 0;
    int lowest = 0;
    double diameter = 0;
    for (int i = 0; i < n; i++) {
      highest = re[i] > re[highest] ? i : highest;
      lowest = re[i] < re[lowest] ? i : lowest;
      diameter = Math.max(diameter, 2 * Math.PI * hz[i] * Math.hypot(re[i], im[i]));
    }
    double f = mode.frequencyHz();
    double z = mode.dampingRatio();
    assertThat(f * Math.sqrt(1 - 2 * z)).isCloseTo(hz[highest], within(0.05));
    assertThat(f * Math.sqrt(1 + 2 * z)).isCloseTo(hz[lowest], within(0.05));
    assertThat((hz[lowest] * hz[lowest] - hz[highest] * hz[highest]) / (4 * f * f))
        .isCloseTo(z, within(1e-4));
    assertThat(1 / (4 * mode.stiffnessNPerM() * z * (1 - z)) / re[highest])
        .isCloseTo(1, within(1e-5));
    assertThat(-1 / (4 * mode.stiffnessNPerM() * z * (1 + z)) / re[lowest])
        .isCloseTo(1, within(1e-5));
    assertThat(2 * Math.PI * f / (2 * z * mode.stiffnessNPerM()) / diameter)
        .isCloseTo(1, within(1e-5));
  }

  /** One to four modes, number not told; residuals, windows, averages and noise vary. */
  @ParameterizedTest
  @ValueSource(ints = {0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19})
  void findsModesWithoutBeingToldHowMany(int seed) {
    Random random = new Random(700 + seed);
    int count = 1 + seed % 4;
    List<Mode> modes = new ArrayList<>();
    double fn = 150 * Math.exp(0.8 * random.nextDouble());
    for (int j = 0; j < count; j++) {
      double zeta = 0.006 * Math.exp(1.8 * random.nextDouble());
      modes.add(Mode.of(fn, zeta, 2e6 * Math.exp(1.6 * random.nextDouble())));
      fn *= 1.3 + 6 * zeta + 0.4 * random.nextDouble();
    }
    SyntheticTaps taps = smaller(modes);
    taps.averages = 5 + seed % 4;
    taps.snrDb = 72 + 2 * (seed % 5);
    if (seed % 3 == 1) {
      taps.windowTimeConstantS = 0.3;
    }
    if (seed % 3 == 2) {
      taps.residual = new Residual(1e-8, 0.1);
      taps.hidden = List.of(Mode.of(3300, 0.03, 3e7));
    }
    FittedModes fitted = fit(taps.measure(seed), 80, 1800);
    assertModes(fitted, modes, 5e-4, 0.01, 0.01);
  }

  private static SyntheticTaps smaller(List<Mode> modes) {
    SyntheticTaps taps = new SyntheticTaps(modes.toArray(new Mode[0]));
    taps.sampleRateHz = 8192;
    taps.blockLength = 8192;
    return taps;
  }

  /** Two modes two half-power bandwidths apart. */
  @ParameterizedTest
  @ValueSource(ints = {1, 2, 3, 4, 5})
  void tellsCloseModesApart(int seed) {
    double zeta = 0.006 + 0.004 * seed;
    List<Mode> modes =
        List.of(Mode.of(500, zeta, 5e6), Mode.of(500 * (1 + 4 * zeta), 0.9 * zeta, 7e6));
    assertModes(fit(smaller(modes).measure(seed)), modes, 1e-3, 0.03, 0.04);
  }

  @ParameterizedTest
  @ValueSource(ints = {1, 2, 3, 4, 5})
  void measuresHighDamping(int seed) {
    List<Mode> modes = List.of(Mode.of(330, 0.08, 3e6), Mode.of(760, 0.1, 6e6));
    assertModes(fit(smaller(modes).measure(seed)), modes, 1e-3, 0.03, 0.04);
  }

  @Test
  void measuresLowDampingBesideAThousandfoldStifferMode() {
    SyntheticTaps taps = new SyntheticTaps(Mode.of(400, 0.02, 1e6), Mode.of(1700, 0.001, 1e9));
    taps.snrDb = 80;
    assertModes(fit(taps.measure(6)), taps.modes, 5e-4, 0.05, 0.05);
  }

  @Test
  void findsTwelveModesOverAWideBand() {
    List<Mode> modes = new ArrayList<>();
    for (int j = 0; j < 12; j++) {
      double fn = 80 * Math.pow(1.42, j);
      modes.add(Mode.of(fn, 0.02 - 0.001 * j, 3e6 * (1 + j % 3) * Math.pow(1.2, j)));
    }
    SyntheticTaps taps = new SyntheticTaps(modes.toArray(new Mode[0]));
    taps.sampleRateHz = 32768;
    taps.blockLength = 32768;
    taps.contactS = 0.15e-3;
    taps.averages = 8;
    taps.snrDb = 85;
    assertModes(fit(taps.measure(2)), modes, 1e-3, 0.05, 0.05);
  }

  /** Over 120 responses with two modes each: 95 % of a normal error is within two sigmas. */
  @ParameterizedTest
  @CsvSource({
    "6, Infinity, 0, 99.5",
    "6, 0.15, 0, 99.5",
    "1, Infinity, 0, 99.5",
    // the shared error may be one of phase, which here it is not: wider than needed for fn
    "5, Infinity, 0.02, 100"
  })
  void promisesHonestUncertainties(int averages, double tau, double gainScatter, double most) {
    int[] within = new int[3];
    int total = 0;
    for (int seed = 0; seed < 120; seed++) {
      Random random = new Random(seed);
      double f = 200 + 250 * random.nextDouble();
      SyntheticTaps taps =
          new SyntheticTaps(
              Mode.of(f, 0.01 + 0.03 * random.nextDouble(), 4e6),
              Mode.of(1.7 * f, 0.01 + 0.02 * random.nextDouble(), 9e6));
      taps.sampleRateHz = 4096;
      taps.blockLength = 2048;
      taps.averages = averages;
      taps.windowTimeConstantS = tau;
      taps.gainScatter = gainScatter;
      taps.snrDb = 50;
      FittedModes fitted = fit(taps.measure(seed), 60, 1500);
      assertThat(fitted.model().modes()).as("seed " + seed).hasSize(2);
      for (int j = 0; j < 2; j++) {
        Mode m = fitted.model().modes().get(j);
        Mode t = taps.modes.get(j);
        total++;
        within[0] += Math.abs(m.frequencyHz() - t.frequencyHz()) < 2 * m.frequencyHzSigma() ? 1 : 0;
        within[1] +=
            Math.abs(m.dampingRatio() - t.dampingRatio()) < 2 * m.dampingRatioSigma() ? 1 : 0;
        within[2] +=
            Math.abs(m.stiffnessNPerM() - t.stiffnessNPerM()) < 2 * m.stiffnessNPerMSigma() ? 1 : 0;
      }
    }
    for (int part : within) {
      assertThat(100.0 * part / total).isBetween(90.0, most);
    }
  }

  @ParameterizedTest
  @ValueSource(ints = {1, 2, 5, 8})
  void inventsNoModesInNoise(int averages) {
    for (int seed = 0; seed < 10; seed++) {
      SyntheticTaps taps = smaller(List.of(Mode.of(300, 0.02, 5e6)));
      taps.averages = averages;
      taps.snrDb = -30;
      FittedModes fitted = fit(taps.measure(seed));
      assertThat(fitted.model().modes()).as("seed " + seed).isEmpty();
      assertThat(fitted.remarks()).anyMatch(r -> r.startsWith("No mode stands out of the noise"));
    }
  }

  @Test
  void inventsNoModesInAFreeMass() {
    SyntheticTaps taps = new SyntheticTaps();
    taps.residual = new Residual(0, 1 / 0.75);
    FittedModes fitted = fit(taps.measure(1));
    assertThat(fitted.model().modes()).isEmpty();
    assertThat(1 / fitted.model().residual().lowerPerKg()).isCloseTo(0.75, within(1e-3));
  }

  @Test
  void makesNoModeOfHum() {
    for (int averages : new int[] {1, 6}) {
      SyntheticTaps taps = smaller(List.of(Mode.of(330, 0.03, 5e6), Mode.of(800, 0.02, 9e6)));
      taps.hum = 0.03;
      taps.averages = averages;
      assertModes(fit(taps.measure(9), 40, 3000), taps.modes, 1e-3, 0.02, 0.02);
    }
  }

  @Test
  void refusesNegativeStiffness() {
    SyntheticTaps taps = smaller(List.of(Mode.of(330, 0.03, 5e6), Mode.of(800, 0.02, 9e6)));
    taps.reversed = true;
    FittedModes fitted = fit(taps.measure(1), 40, 3000);
    assertThat(fitted.model().modes()).isEmpty();
    assertThat(fitted.remarks()).singleElement().asString().contains("polarity");
  }

  /** A structure whose second mode has the wrong sign, as a sensor at another point would show. */
  @Test
  void leavesOutAModeWithTheWrongSignAndSaysSo() {
    int n = 1000;
    double[] hz = new double[n];
    double[] re = new double[n];
    double[] im = new double[n];
    Random random = new Random(5);
    double[] a = new double[2];
    double[] b = new double[2];
    for (int i = 0; i < n; i++) {
      hz[i] = 100 + i;
      Mode.of(300, 0.03, 3e6).at(hz[i], a);
      Mode.of(700, 0.02, 9e6).at(hz[i], b);
      re[i] = a[0] - b[0] + 1e-9 * random.nextGaussian();
      im[i] = a[1] - b[1] + 1e-9 * random.nextGaussian();
    }
    FittedModes fitted = fit(response(hz, re, im, 1, Double.POSITIVE_INFINITY));
    assertThat(fitted.model().modes())
        .singleElement()
        .satisfies(m -> assertThat(m.frequencyHz()).isCloseTo(300, within(3.0)));
    assertThat(fitted.remarks())
        .anyMatch(r -> r.matches("A peak near (69|70)\\d.*") && r.contains("negative stiffness"));
  }

  @ParameterizedTest
  @ValueSource(ints = {1, 2, 3, 4, 5})
  void fitsAsManyModesAsAskedFor(int count) {
    SyntheticTaps taps =
        smaller(List.of(Mode.of(280, 0.03, 5e6), Mode.of(500, 0.02, 9e6), Mode.of(900, 0.02, 7e6)));
    FittedModes fitted = fit(taps.measure(1), count);
    assertThat(fitted.model().modes()).hasSize(count);
    if (count >= 3) {
      for (Mode truth : taps.modes) {
        assertThat(fitted.model().modes())
            .anyMatch(m -> Math.abs(m.frequencyHz() / truth.frequencyHz() - 1) < 1e-3);
      }
    }
  }

  /** With the band's modes outside taken as helpers, the one inside stays right. */
  @Test
  void countsModesOutsideTheBandInTheResidualOnly() {
    SyntheticTaps taps =
        smaller(List.of(Mode.of(280, 0.03, 5e6), Mode.of(500, 0.02, 9e6), Mode.of(900, 0.02, 7e6)));
    FittedModes fitted = fit(taps.measure(1), 320, 800);
    assertModes(fitted, List.of(taps.modes.get(1)), 5e-4, 0.01, 0.01);
    assertThat(fitted.remarks()).anyMatch(r -> r.contains("outside the band"));
    assertThat(fitted.model().residual().upperMPerN()).isGreaterThan(1 / 7e6);
    assertThat(fitted.bandLowHz()).isEqualTo(320);
    assertThat(fitted.bandHighHz()).isEqualTo(800);
  }

  @Test
  void remarksOnWhatMakesAFitDoubtful() {
    SyntheticTaps taps = smaller(List.of(Mode.of(400, 0.002, 5e6), Mode.of(1000, 0.02, 9e6)));
    taps.averages = 1;
    taps.windowTimeConstantS = 0.1;
    List<String> remarks = fit(taps.measure(1), 100, 1030).remarks();
    assertThat(remarks)
        .anyMatch(r -> r.contains("that the exponential window added"))
        .anyMatch(r -> r.contains("from the edge of the band"))
        .anyMatch(r -> r.startsWith("One tap alone"));
    taps.windowTimeConstantS = Double.POSITIVE_INFINITY;
    assertThat(fit(taps.measure(1)).remarks())
        .anyMatch(r -> r.contains("lines in its half-power bandwidth"));
    SyntheticTaps close = smaller(List.of(Mode.of(400, 0.02, 5e6), Mode.of(412, 0.02, 5e6)));
    assertThat(fit(close.measure(1)).remarks())
        .anyMatch(r -> r.contains("closer than one half-power bandwidth"));
  }

  /**
   * A response sampled late by δ turns the phase at fn by 360° fn δ. The modes stay the same ones;
   * k follows from the size of the residue.
   */
  @ParameterizedTest
  @ValueSource(doubles = {10e-6, 40e-6, 100e-6})
  void showsATimeShiftAsPhaseAndInventsNoModeForIt(double late) {
    int n = 1600;
    double[] hz = new double[n];
    double[] re = new double[n];
    double[] im = new double[n];
    Random random = new Random(8);
    double[] a = new double[2];
    double[] b = new double[2];
    for (int i = 0; i < n; i++) {
      hz[i] = 200 + 0.5 * i;
      Mode.of(500, 0.01, 5e6).at(hz[i], a);
      Mode.of(760, 0.02, 4e6).at(hz[i], b);
      Complex turned =
          new Complex(a[0] + b[0], a[1] + b[1])
              .multiply(new Complex(0, -2 * Math.PI * hz[i] * late).exp());
      re[i] = turned.getReal() + 1e-9 * random.nextGaussian();
      im[i] = turned.getImaginary() + 1e-9 * random.nextGaussian();
    }
    FittedModes fitted = fit(response(hz, re, im, 1, Double.POSITIVE_INFINITY));
    assertModes(
        fitted, List.of(Mode.of(500, 0.01, 5e6), Mode.of(760, 0.02, 4e6)), 5e-4, 0.01, 0.02);
    for (Mode mode : fitted.model().modes()) {
      assertThat(mode.phaseDeg()).isCloseTo(-90 - 360 * mode.frequencyHz() * late, within(0.4));
    }
    if (late > 30e-6) {
      assertThat(fitted.remarks()).anyMatch(r -> r.contains("time shift between the channels"));
    }
  }

  @ParameterizedTest
  @CsvSource({
    "500, 400, lower end",
    "-3, 400, 0 Hz or more",
    "9000, 9500, holds no data",
    "100, 105, fit needs 12"
  })
  void refusesABandThatCannotBeFitted(double low, double high, String why) {
    FrequencyResponse response = smaller(List.of(Mode.of(400, 0.02, 5e6))).measure(1);
    assertThatThrownBy(() -> fit(response, low, high))
        .isInstanceOf(BadInputException.class)
        .hasMessageContaining(why);
  }

  @Test
  void refusesACountThatCannotBeMeant() {
    FrequencyResponse response = smaller(List.of(Mode.of(400, 0.02, 5e6))).measure(1);
    assertThatThrownBy(() -> fit(response, 0)).isInstanceOf(BadInputException.class);
    assertThatThrownBy(() -> fit(response, 31)).isInstanceOf(BadInputException.class);
  }

  @Test
  void canBeCancelled() {
    FrequencyResponse response = smaller(List.of(Mode.of(400, 0.02, 5e6))).measure(1);
    Progress impatient =
        (done, what) -> {
          if (done > 0.3) {
            throw new CancellationException();
          }
        };
    assertThatThrownBy(() -> ModeFitter.fit(response, FitSettings.AUTOMATIC, impatient))
        .isInstanceOf(CancellationException.class);
  }
}
