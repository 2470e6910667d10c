package ringtrue.fitting;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import ringtrue.dynamics.FreeDecays;
import ringtrue.dynamics.FreeDecays.Stretch;
import ringtrue.dynamics.Progress;
import ringtrue.units.BadInputException;

/** Fits to sums of damped exponentials that are known exactly. */
class DecayFitterTest {
  private static final double FS = 8000;

  /** A e^(−ζωt) cos(ωd t + φ). */
  private static void add(double[] x, double fn, double zeta, double amplitude, double phase) {
    double omega = 2 * Math.PI * fn;
    for (int i = 0; i < x.length; i++) {
      double t = i / FS;
      x[i] +=
          amplitude
              * Math.exp(-zeta * omega * t)
              * Math.cos(omega * Math.sqrt(1 - zeta * zeta) * t + phase);
    }
  }

  private static double[] noise(int n, double sigma, Random random) {
    return random.doubles(n).map(u -> sigma * random.nextGaussian()).toArray();
  }

  private static FreeDecays decays(double[] quiet, double[]... taps) {
    return new FreeDecays(
        FS,
        Arrays.stream(taps).map(Stretch::new).toList(),
        new Stretch(quiet),
        List.of(),
        Optional.of(0.0),
        List.of());
  }

  private static DecayModes fit(FreeDecays decays) {
    return DecayFitter.fit(decays, FitSettings.AUTOMATIC, Progress.NONE);
  }

  /**
   * The closed form of a cut-off decay has no leakage: 60 % of the slow mode are left at the end.
   */
  @Test
  void decaysThatAreCutOffComeOutExactly() {
    double[][] taps = new double[2][2000];
    for (int t = 0; t < 2; t++) {
      add(taps[t], 110, 0.003, 1, 0.3 + t);
      add(taps[t], 430, 0.02, 0.7, 1 - t);
      double[] little = noise(2000, 1e-7, new Random(t));
      for (int i = 0; i < 2000; i++) {
        taps[t][i] += little[i];
      }
    }
    DecayModes found = fit(decays(new double[0], taps));
    assertThat(found.modes()).hasSize(2);
    assertThat(found.modes().get(0).frequencyHz()).isCloseTo(110, within(1e-5));
    assertThat(found.modes().get(0).dampingRatio()).isCloseTo(0.003, within(1e-7));
    assertThat(found.modes().get(1).frequencyHz()).isCloseTo(430, within(1e-4));
    assertThat(found.modes().get(1).dampingRatio()).isCloseTo(0.02, within(1e-7));
    assertThat(found.taps().get(0).amplitude().get(1)).isCloseTo(0.7, within(1e-5));
    assertThat(found.taps().get(1).phaseRad().get(0)).isCloseTo(1.3, within(1e-5));
    assertThat(found.remarks()).anyMatch(r -> r.contains("rests on little"));
  }

  /** fixtures/decay/make_decays.py: SciPy's optimum in the time domain and its covariance. */
  @Test
  void findsTheOptimumThatSciPyFinds() throws IOException {
    Path folder = Path.of("fixtures", "decay");
    List<double[]> rows = rows(folder.resolve("decays.csv"));
    double[][] taps = new double[2][rows.size()];
    for (int i = 0; i < rows.size(); i++) {
      taps[0][i] = rows.get(i)[0];
      taps[1][i] = rows.get(i)[1];
    }
    FreeDecays decays =
        new FreeDecays(
            4000,
            List.of(new Stretch(taps[0]), new Stretch(taps[1])),
            new Stretch(new double[0]),
            List.of(),
            Optional.of(0.0),
            List.of());
    List<DecayMode> modes = fit(decays).modes();
    double[] optimum = rows(folder.resolve("optimum.csv")).get(0);
    double[] sigma = rows(folder.resolve("optimum.csv")).get(1);
    assertThat(modes).hasSize(2);
    for (int j = 0; j < 2; j++) {
      DecayMode m = modes.get(j);
      // The program gives away the first two samples and a jump of each tap: a part of sigma.
      assertThat(m.frequencyHz()).isCloseTo(optimum[2 * j], within(0.3 * sigma[2 * j]));
      assertThat(m.dampingRatio()).isCloseTo(optimum[2 * j + 1], within(0.3 * sigma[2 * j + 1]));
      assertThat(m.frequencyHzSigma() / sigma[2 * j]).isBetween(0.8, 1.25);
      assertThat(m.dampingRatioSigma() / sigma[2 * j + 1]).isBetween(0.8, 1.25);
    }
  }

  private static List<double[]> rows(Path file) throws IOException {
    return Files.readAllLines(file).stream()
        .filter(line -> !line.startsWith("#"))
        .map(line -> Arrays.stream(line.split(",")).mapToDouble(Double::parseDouble).toArray())
        .toList();
  }

  @ParameterizedTest
  @ValueSource(ints = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10})
  void noiseHasNoModes(int seed) {
    Random random = new Random(seed);
    double[] quiet = seed % 2 == 0 ? new double[0] : noise(4000, 1, random);
    assertThat(
            fit(decays(
                    quiet, noise(4000, 1, random), noise(3600, 1, random), noise(4000, 1, random)))
                .modes())
        .isEmpty();
  }

  @ParameterizedTest
  @ValueSource(ints = {1, 2, 3, 4, 5, 6})
  void humIsNoMode(int seed) {
    Random random = new Random(seed);
    List<double[]> all = new ArrayList<>();
    for (int t = 0; t < 4; t++) {
      double[] x = noise(4000, 0.05, random);
      add(x, 50, 0, 1, 6 * random.nextDouble());
      add(x, 150, 0, 0.4, 6 * random.nextDouble());
      all.add(x);
    }
    double[] quiet = seed % 2 == 0 ? new double[0] : all.get(3);
    DecayModes found = fit(decays(quiet, all.get(0), all.get(1), all.get(2)));
    assertThat(found.modes()).isEmpty();
    assertThat(found.remarks()).anyMatch(r -> r.contains("mains hum"));
  }

  /** What an AC-coupled input of 8 Hz leaves behind, undeclared, and an offset. */
  @Test
  void slowTailsAreNoModes() {
    double[][] taps = new double[3][4000];
    for (int t = 0; t < 3; t++) {
      Random random = new Random(t);
      taps[t] = noise(4000, 1e-3, random);
      add(taps[t], 140, 0.012, 1, random.nextDouble());
      for (int i = 0; i < 4000; i++) {
        taps[t][i] += 0.02 - 0.1 * Math.exp(-2 * Math.PI * 8 * i / FS);
      }
    }
    List<DecayMode> modes = fit(decays(noise(4000, 1e-3, new Random(9)), taps)).modes();
    assertThat(modes).hasSize(1);
    assertThat(modes.get(0).frequencyHz()).isCloseTo(140, within(0.02));
    assertThat(modes.get(0).dampingRatio()).isCloseTo(0.012, within(0.0002));
  }

  /** A joint: frequency and damping follow the amplitude; the phase is its integral. */
  @Test
  void saysWhenAModeChangesWithAmplitude() {
    double[][] taps = new double[3][8000];
    for (int t = 0; t < 3; t++) {
      double[] noise = noise(8000, 1e-4, new Random(t));
      double amplitude = 1;
      double phase = t;
      for (int i = 0; i < 8000; i++) {
        taps[t][i] = amplitude * Math.cos(phase) + noise[i];
        double omega = 2 * Math.PI * (200 - 2 * amplitude);
        phase += omega / FS;
        amplitude *= Math.exp(-(0.005 + 0.01 * amplitude) * omega / FS);
      }
    }
    assertThat(fit(decays(new double[0], taps)).remarks())
        .anyMatch(r -> r.contains("changes while it dies out"));
  }

  @Test
  void aTapThatIsNoFreeDecayIsLeftOut() {
    double[][] taps = new double[5][4000];
    for (int t = 0; t < 5; t++) {
      taps[t] = noise(4000, 1e-3, new Random(t));
      add(taps[t], 300, 0.01, 1, t);
    }
    double[] again = new double[3200];
    add(again, 300, 0.01, 0.8, 1);
    for (int i = 0; i < again.length; i++) {
      taps[3][800 + i] += again[i];
    }
    DecayModes found = fit(decays(noise(4000, 1e-3, new Random(9)), taps));
    assertThat(found.taps().get(3).complaint()).contains("not one free decay");
    assertThat(found.modes()).hasSize(1);
    DecayMode mode = found.modes().get(0);
    assertThat(mode.dampingRatio()).isCloseTo(0.01, within(4 * mode.dampingRatioSigma()));
  }

  @Test
  void countAndBandAreKept() {
    double[][] taps = new double[2][4000];
    for (int t = 0; t < 2; t++) {
      taps[t] = noise(4000, 1e-3, new Random(t));
      add(taps[t], 300, 0.01, 1, t);
      add(taps[t], 900, 0.01, 0.5, t);
    }
    FreeDecays decays = decays(new double[0], taps);
    assertThat(DecayFitter.fit(decays, FitSettings.AUTOMATIC.withCount(1), Progress.NONE).modes())
        .hasSize(1);
    assertThat(
            DecayFitter.fit(decays, FitSettings.AUTOMATIC.withBand(600, 1500), Progress.NONE)
                .modes())
        .singleElement()
        .satisfies(m -> assertThat(m.frequencyHz()).isCloseTo(900, within(0.1)));
    assertThatThrownBy(
            () ->
                DecayFitter.fit(decays, FitSettings.AUTOMATIC.withBand(5000, 6000), Progress.NONE))
        .isInstanceOf(BadInputException.class)
        .hasMessageContaining("the band asked for lies outside");
  }
}
