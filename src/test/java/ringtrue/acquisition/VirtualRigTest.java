package ringtrue.acquisition;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import org.apache.commons.math3.complex.Complex;
import org.apache.commons.math3.stat.correlation.PearsonsCorrelation;
import org.apache.commons.math3.stat.descriptive.moment.StandardDeviation;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Receptance;

class VirtualRigTest {
  private static final Mode[] THREE = {
    Mode.of(310, 0.02, 4e6), Mode.of(1450, 0.015, 9e6), Mode.of(2200, 0.35, 2e7)
  };
  private static final double SENSOR = 0.005;

  /** Against SciPy's integration of the equations of motion, fixtures/rig/make_rig.py. */
  @ParameterizedTest
  @EnumSource
  void answersAsIntegrationSays(PulseShape shape) throws IOException {
    List<Blow> blows =
        List.of(
            new Blow(1, 0.00123456, 300, 0.37e-3, shape, 1),
            new Blow(2, 0.00913, 120, 0.41e-3, shape, 1));
    RigChannel coupled = RigChannel.PERFECT.withHighPass(40);
    VirtualRig rig = VirtualRig.of(THREE);
    double[][] ours = {
      response(rig.withSensor(ResponseQuantity.DISPLACEMENT, SENSOR), blows),
      response(rig.withSensor(ResponseQuantity.VELOCITY, SENSOR), blows),
      response(rig.withSensor(ResponseQuantity.ACCELERATION, SENSOR), blows),
      response(
          rig.withSensor(ResponseQuantity.ACCELERATION, SENSOR).withInputs(coupled, coupled),
          blows),
      MemoryRecording.copyOf(rig.withInputs(coupled, coupled).record("rig", 20_000, 0.03, blows, 1))
          .channel(1)
    };
    double[][] theirs = new double[5][600];
    for (String line : Files.readAllLines(Path.of("fixtures/rig/answers.csv"))) {
      String[] cells = line.split(",");
      if (cells[0].equals(shape.name())) {
        for (int c = 0; c < 5; c++) {
          theirs[c][Integer.parseInt(cells[1])] = Double.parseDouble(cells[2 + c]);
        }
      }
    }
    for (int c = 0; c < 5; c++) {
      assertThat(ours[c]).hasSize(600);
      double peak = Arrays.stream(theirs[c]).map(Math::abs).max().orElseThrow();
      assertThat(peak).isPositive();
      for (int i = 0; i < 600; i++) {
        assertThat(ours[c][i] / peak).isCloseTo(theirs[c][i] / peak, within(2e-10));
      }
    }
  }

  private static double[] response(VirtualRig rig, List<Blow> blows) throws IOException {
    return MemoryRecording.copyOf(rig.record("rig", 20_000, 0.03, blows, 1)).channel(2);
  }

  /** The number check of the sensor mass formula A = Am/(1 − m Am): 0.1 kg, 1000 Hz, 2 %, 2 g. */
  @Test
  void carriesTheSensorsMass() {
    double k = 0.1 * Math.pow(2 * Math.PI * 1000, 2);
    VirtualRig rig =
        VirtualRig.of(Mode.of(1000, 0.02, k)).withSensor(ResponseQuantity.ACCELERATION, 0.002);
    Complex am = accelerance(rig.truthWithSensor(), 950);
    assertThat(am.getReal()).isCloseTo(-92.4456, within(5e-5));
    assertThat(am.getImaginary()).isCloseTo(44.2157, within(5e-5));
    Complex a = accelerance(rig.truth(), 950);
    assertThat(a.getReal()).isCloseTo(-80.3578, within(5e-5));
    assertThat(a.getImaginary()).isCloseTo(31.3189, within(5e-5));
  }

  /** Poles and residues must add up to G/(1 − m ω² G) whatever modes and mass, real poles too. */
  @ParameterizedTest
  @CsvSource({"1e-6", "0.0006", "0.02", "0.3", "5"})
  void polesAndResiduesMakeTheLoadedReceptance(double sensor) {
    Mode[][] structures = {
      THREE,
      {Mode.of(400, 0.3, 1e6), Mode.of(420, 0.95, 2e6), Mode.of(450, 0.99, 1e5)},
      {Mode.of(800, 0.01, 5e6), Mode.of(800, 0.01, 5e6), Mode.of(800.01, 0.01, 3e6)},
      {Mode.of(30, 0.001, 1e5), Mode.of(9000, 0.002, 4e7), Mode.of(1200, 0.02, 3e6)},
      {Mode.of(1500, 0.01, 2e6)},
    };
    for (Mode[] modes : structures) {
      VirtualRig rig = VirtualRig.of(modes).withSensor(ResponseQuantity.ACCELERATION, sensor);
      for (double f = 1; f < 20_000; f *= 1.01) {
        Complex g = receptance(rig.truth(), f);
        double omega2 = Math.pow(2 * Math.PI * f, 2);
        Complex expected = g.divide(g.multiply(-sensor * omega2).add(1));
        Complex got = receptance(rig.truthWithSensor(), f);
        assertThat(got.subtract(expected).abs() / expected.abs()).isLessThan(1e-10);
      }
    }
  }

  @Test
  void aHeavySensorCanMakeRealPoles() {
    TransferFunction loaded =
        TransferFunction.receptance(
            List.of(Mode.of(400, 0.9, 1e6), Mode.of(900, 0.95, 2e6), Mode.of(410, 0.95, 2e6)), 0);
    assertThat(loaded.poles()).allMatch(p -> p.getImaginary() > 0);
    TransferFunction real =
        TransferFunction.receptance(
            List.of(Mode.of(100, 0.99, 1e4), Mode.of(3000, 0.99, 4e7)), 0.01);
    assertThat(real.poles()).allMatch(p -> p.getReal() < 0);
    assertThat(real.poles().stream().filter(p -> p.getImaginary() == 0).count()).isEven();
    double order = real.poles().stream().mapToDouble(p -> p.getImaginary() > 0 ? 2 : 1).sum();
    assertThat(order).isEqualTo(4);
  }

  /** What the samples say by a plain Fourier sum is what the structure is. */
  @ParameterizedTest
  @EnumSource(
      value = ResponseQuantity.class,
      names = {"DISPLACEMENT", "VELOCITY", "ACCELERATION"})
  void samplesHoldTheReceptance(ResponseQuantity quantity) throws IOException {
    VirtualRig rig =
        VirtualRig.of(Mode.of(420, 0.03, 6e6), Mode.of(1810, 0.02, 1.1e7))
            .withSensor(quantity, 0.0006);
    BlowPlan plan = BlowPlan.of(1, 1, 200, 0.5e-3).withShape(PulseShape.SINE_FOURTH);
    double rate = 96_000;
    MemoryRecording taken = MemoryRecording.copyOf(rig.record("rig", rate, 1, plan.blows(1), 1));
    for (double f : new double[] {100, 400, 420, 1000, 1810, 2500}) {
      Complex ratio =
          fourier(taken.channel(2), f / rate).divide(fourier(taken.channel(1), f / rate));
      Complex s = new Complex(0, 2 * Math.PI * f);
      for (int d = 0; d < quantity.derivatives(); d++) {
        ratio = ratio.divide(s);
      }
      Complex truth = receptance(rig.truthWithSensor(), f);
      assertThat(ratio.subtract(truth).abs() / truth.abs()).isLessThan(2e-5);
    }
  }

  /** The block's momentum afterwards is the hammer's impulse. */
  @ParameterizedTest
  @EnumSource
  void aFreeMassTakesUpTheImpulse(PulseShape shape) throws IOException {
    VirtualRig rig = VirtualRig.freeMass(0.75).withSensor(ResponseQuantity.ACCELERATION, 0.01);
    Blow blow = new Blow(1, 0.01, 80, 0.4e-3, shape, 1);
    MemoryRecording taken = MemoryRecording.copyOf(rig.record("mass", 1e6, 0.02, List.of(blow), 1));
    double[] force = taken.channel(1);
    double[] acceleration = taken.channel(2);
    double velocity = 0;
    for (int i = 0; i < force.length; i++) {
      assertThat(acceleration[i]).isCloseTo(force[i] / 0.76, within(1e-12));
      velocity += acceleration[i] / 1e6;
    }
    // the trapezoidal sum of half a sine over n steps is short by π²/(12 n²)
    assertThat(0.76 * velocity).isCloseTo(blow.impulseNs(), within(1e-5 * blow.impulseNs()));
    Complex a = accelerance(rig.truth(), 500);
    assertThat(a.getReal()).isCloseTo(1 / 0.75, within(1e-12));
  }

  /** Work done by the hammer is energy stored plus energy lost in the damper. */
  @Test
  void energyIsAccountedFor() throws IOException {
    double k = 3e6;
    double omega = 2 * Math.PI * 700;
    double mass = k / (omega * omega);
    double damper = 2 * 0.04 * omega * mass;
    VirtualRig rig = VirtualRig.of(Mode.of(700, 0.04, k));
    List<Blow> blows = List.of(Blow.of(1, 0.001, 150, 0.6e-3), Blow.of(1, 0.0021, 90, 0.5e-3));
    double rate = 4e6;
    MemoryRecording v =
        MemoryRecording.copyOf(
            rig.withSensor(ResponseQuantity.VELOCITY, 0).record("v", rate, 0.004, blows, 1));
    MemoryRecording x =
        MemoryRecording.copyOf(
            rig.withSensor(ResponseQuantity.DISPLACEMENT, 0).record("x", rate, 0.004, blows, 1));
    double[] force = v.channel(1);
    double[] velocity = v.channel(2);
    double work = 0;
    double lost = 0;
    int last = force.length - 1;
    for (int i = 0; i <= last; i++) {
      double weight = i == 0 || i == last ? 0.5 : 1;
      work += weight * force[i] * velocity[i] / rate;
      lost += weight * damper * velocity[i] * velocity[i] / rate;
    }
    double end = x.channel(2)[last];
    double stored = 0.5 * mass * velocity[last] * velocity[last] + 0.5 * k * end * end;
    assertThat(work).isPositive();
    assertThat(stored + lost).isCloseTo(work, within(1e-7 * work));
  }

  @Test
  void ratesAgreeAtCommonInstants() throws IOException {
    VirtualRig rig =
        VirtualRig.of(THREE)
            .withSensor(ResponseQuantity.ACCELERATION, SENSOR)
            .withInputs(RigChannel.PERFECT, RigChannel.PERFECT.withHighPass(8));
    List<Blow> blows = BlowPlan.of(3, 0.2, 100, 0.3e-3).withSpread(0.2, 0.2, 0.1, 0.02).blows(9);
    MemoryRecording slow = MemoryRecording.copyOf(rig.record("a", 48_000, 0.7, blows, 1));
    MemoryRecording fast = MemoryRecording.copyOf(rig.record("b", 144_000, 0.7, blows, 2));
    for (int c = 1; c <= 2; c++) {
      double[] a = slow.channel(c);
      double[] b = fast.channel(c);
      double peak = Arrays.stream(a).map(Math::abs).max().orElseThrow();
      for (int i = 0; i < a.length; i++) {
        assertThat(b[3 * i] / peak).isCloseTo(a[i] / peak, within(1e-11));
      }
    }
  }

  /**
   * The same blow, later by a number of samples that is no multiple of the block: what differs is
   * what the recursion loses. The rate is a power of two, so that onsets are exact.
   */
  @Test
  void ringingDoesNotDrift() throws IOException {
    VirtualRig rig = VirtualRig.of(Mode.of(5000, 1e-4, 1e7));
    double rate = 65_536;
    double[] a =
        MemoryRecording.copyOf(
                rig.record("a", rate, 1, List.of(Blow.of(1, 64 / rate, 10, 2e-4)), 1))
            .channel(2);
    double[] b =
        MemoryRecording.copyOf(
                rig.record("b", rate, 1.5, List.of(Blow.of(1, 577 / rate, 10, 2e-4)), 1))
            .channel(2);
    double tau = 1 / (1e-4 * 2 * Math.PI * 5000);
    double peak = Arrays.stream(a).map(Math::abs).max().orElseThrow();
    double worst = 0;
    for (int i = 100; i < a.length; i++) {
      double envelope = peak * Math.exp(-i / rate / tau);
      double difference = Math.abs(a[i] - b[i + 513]) / envelope;
      // a phase of so many radians is itself known to no more digits than a double has
      double phase = Math.ulp(2 * Math.PI * 5000 * i / rate);
      assertThat(difference).isLessThan(1e-12 + phase);
      worst = Math.max(worst, difference);
    }
    assertThat(worst).isPositive();
  }

  @Test
  void readingMayBeginAnywhere() throws IOException {
    RigChannel noisy = RigChannel.PERFECT.withNoise(0.01).withHum(50, 0.1, 0.02);
    VirtualRig rig = VirtualRig.of(THREE).withInputs(noisy, noisy);
    Recording recording = rig.record("rig", 48_000, 0.5, BlowPlan.of(2, 0.2, 50, 3e-4).blows(1), 5);
    MemoryRecording all = MemoryRecording.copyOf(recording);
    double[][] part = new double[2][5000];
    try (Recording.Cursor cursor = recording.from(12_345)) {
      assertThat(cursor.read(part, 0, 777)).isEqualTo(777);
      assertThat(cursor.read(part, 777, 4223)).isEqualTo(4223);
    }
    for (int c = 0; c < 2; c++) {
      assertThat(part[c]).containsExactly(Arrays.copyOfRange(all.channel(c + 1), 12_345, 17_345));
    }
  }

  @Test
  void seedsRepeat() throws IOException {
    VirtualRig rig =
        VirtualRig.of(THREE)
            .withInputs(RigChannel.PERFECT.withNoise(1), RigChannel.PERFECT.withNoise(1));
    BlowPlan plan = BlowPlan.of(4, 0.1, 50, 3e-4).withSpread(0.2, 0.2, 0.1, 0.05);
    assertThat(plan.blows(3)).isEqualTo(plan.blows(3)).isNotEqualTo(plan.blows(4));
    double[] a = noise(rig, plan.blows(3), 7);
    assertThat(noise(rig, plan.blows(3), 7)).containsExactly(a);
    assertThat(noise(rig, plan.blows(3), 8)).isNotEqualTo(a);
  }

  private static double[] noise(VirtualRig rig, List<Blow> blows, long seed) throws IOException {
    return MemoryRecording.copyOf(rig.record("r", 48_000, 0.2, blows, seed)).channel(2);
  }

  @Test
  void noiseIsWhiteAndOfTheStatedSize() throws IOException {
    RigChannel noisy = RigChannel.of(1, 1).withNoise(1e-3).withOffset(0.02);
    VirtualRig rig = VirtualRig.of(THREE).withInputs(noisy, noisy);
    MemoryRecording quiet = MemoryRecording.copyOf(rig.record("r", 48_000, 4, List.of(), 12));
    double[] a = quiet.channel(1);
    double[] b = quiet.channel(2);
    // five standard errors: 1/√(2n) of the size, 1/√n of a correlation
    int n = a.length;
    assertThat(new StandardDeviation().evaluate(a))
        .isCloseTo(1e-3, within(5e-3 / Math.sqrt(2 * n)));
    assertThat(Arrays.stream(a).average().orElseThrow())
        .isCloseTo(0.02, within(5e-3 / Math.sqrt(n)));
    PearsonsCorrelation correlation = new PearsonsCorrelation();
    assertThat(correlation.correlation(a, b)).isCloseTo(0, within(5 / Math.sqrt(n)));
    for (int lag : new int[] {1, 2, 1024}) {
      double with =
          correlation.correlation(Arrays.copyOf(a, n - lag), Arrays.copyOfRange(a, lag, n));
      assertThat(with).isCloseTo(0, within(5 / Math.sqrt(n)));
    }
  }

  @Test
  void humHasItsFrequencyAndSize() throws IOException {
    RigChannel humming = RigChannel.PERFECT.withHum(60, 0.3, 0, 0.05);
    MemoryRecording taken =
        MemoryRecording.copyOf(
            VirtualRig.of(THREE).withInputs(humming, humming).record("r", 48_000, 1, List.of(), 3));
    double[] hum = taken.channel(2);
    assertThat(2 * fourier(hum, 60 / 48_000.0).abs() / 48_000).isCloseTo(0.3, within(1e-9));
    assertThat(2 * fourier(hum, 120 / 48_000.0).abs() / 48_000).isCloseTo(0, within(1e-9));
    assertThat(2 * fourier(hum, 180 / 48_000.0).abs() / 48_000).isCloseTo(0.05, within(1e-9));
  }

  @ParameterizedTest
  @CsvSource({"16", "24"})
  void theConverterStepsAndClips(int bits) throws IOException {
    // 0.02 V/N on 1 V: 50 N is full scale, the second blow is far beyond; the sensor faces away
    RigChannel hammer = RigChannel.of(0.02, 1).withBits(bits);
    RigChannel sensor = RigChannel.of(1e-4, 1).withBits(bits).reversed();
    BlowPlan plan = BlowPlan.of(2, 0.1, 30, 1e-3).withStrength(2, 5);
    VirtualRig rig = VirtualRig.of(THREE).withInputs(hammer, sensor);
    MemoryRecording taken = MemoryRecording.copyOf(rig.record("r", 48_000, 0.3, plan.blows(1), 1));
    MemoryRecording ideal =
        MemoryRecording.copyOf(
            rig.withInputs(hammer.withBits(0), sensor.withBits(0))
                .record("r", 48_000, 0.3, plan.blows(1), 1));
    double step = Math.scalb(1.0, 1 - bits);
    int clipped = 0;
    for (int c = 1; c <= 2; c++) {
      double[] got = taken.channel(c);
      double[] wanted = ideal.channel(c);
      for (int i = 0; i < got.length; i++) {
        assertThat(got[i] / step).isEqualTo(Math.rint(got[i] / step));
        if (wanted[i] > 1 - step) {
          assertThat(got[i]).isEqualTo(1 - step);
          clipped++;
        } else {
          assertThat(got[i]).isCloseTo(wanted[i], within(step / 2));
        }
      }
    }
    assertThat(clipped).isGreaterThan(10);
    double[] force = taken.channel(1);
    assertThat(Arrays.stream(force, 0, 9000).max().orElseThrow()).isCloseTo(0.6, within(0.01));
    assertThat(Arrays.stream(force).min().orElseThrow()).isZero();
    TapRecording described = rig.measurement("m", "x", "tip", List.of(taken));
    assertThat(described.force().orElseThrow()).isEqualTo(new Channel(1, 50, 1, 1, 0));
    assertThat(described.response().scale()).isCloseTo(-1e4, within(1e-9));
  }

  @Test
  void skewMovesTheResponseOnly() throws IOException {
    double skew = 4.4e-6;
    VirtualRig straight = VirtualRig.of(THREE);
    VirtualRig skewed = straight.withInputs(RigChannel.PERFECT, RigChannel.PERFECT.withSkew(skew));
    List<Blow> now = List.of(Blow.of(1, 0.01, 10, 3e-4));
    List<Blow> earlier = List.of(Blow.of(1, 0.01 - skew, 10, 3e-4));
    MemoryRecording a = MemoryRecording.copyOf(skewed.record("a", 48_000, 0.05, now, 1));
    MemoryRecording b = MemoryRecording.copyOf(straight.record("b", 48_000, 0.05, earlier, 1));
    MemoryRecording c = MemoryRecording.copyOf(straight.record("c", 48_000, 0.05, now, 1));
    assertThat(a.channel(1)).containsExactly(c.channel(1));
    double[] moved = a.channel(2);
    double[] expected = b.channel(2);
    for (int i = 0; i < moved.length; i++) {
      assertThat(moved[i]).isCloseTo(expected[i], within(1e-9));
    }
    assertThat(skewed.measurement("m", "x", "tip", List.of(a)).skewS()).isEqualTo(skew);
  }

  @Test
  void plansDoubleAndWeakTaps() {
    BlowPlan plan =
        BlowPlan.of(5, 0.5, 100, 3e-4)
            .withFirstOnset(0.2)
            .withSpread(0.1, 0.2, 0.1, 0.03)
            .withDoubleHit(3, 0.006, 0.4)
            .withStrength(5, 0.02);
    List<Blow> blows = plan.blows(77);
    assertThat(blows.stream().map(Blow::tap)).containsExactly(1, 2, 3, 3, 4, 5);
    assertThat(blows.get(0).onsetS()).isEqualTo(0.2);
    assertThat(blows.get(3).onsetS() - blows.get(2).onsetS()).isCloseTo(0.006, within(1e-12));
    assertThat(blows.get(3).peakForceN()).isCloseTo(0.4 * blows.get(2).peakForceN(), within(1e-9));
    assertThat(blows.get(5).peakForceN()).isBetween(1.0, 3.0);
    assertThat(blows.stream().map(Blow::gain).distinct().count()).isEqualTo(5);
  }

  @Test
  void recordsEachTapForItself() throws IOException {
    VirtualRig rig = VirtualRig.of(THREE);
    List<Blow> blows = BlowPlan.of(3, 0.2, 100, 3e-4).withDoubleHit(2, 0.005, 0.5).blows(1);
    List<Recording> each = rig.recordEach("tap", 48_000, 0.01, 0.1, blows, 1);
    assertThat(each).hasSize(3);
    assertThat(each.get(1).name()).isEqualTo("tap 2 (simulated)");
    for (Recording one : each) {
      double[] force = MemoryRecording.copyOf(one).channel(1);
      assertThat(Arrays.stream(force, 0, 480).max().orElseThrow()).isZero();
      assertThat(Arrays.stream(force, 480, 500).max().orElseThrow()).isGreaterThan(95);
    }
  }

  /** Half an hour at 192 kHz is a formula, not an array. */
  @Test
  void longRecordingsNeedNoMemory() throws IOException {
    VirtualRig rig = VirtualRig.of(THREE);
    Recording hours =
        rig.record("long", 192_000, 1800, BlowPlan.of(3000, 0.6, 100, 3e-4).blows(1), 1);
    assertThat(hours.frames()).isEqualTo(345_600_000);
    double[][] end = new double[2][1000];
    try (Recording.Cursor cursor = hours.from(hours.frames() - 500)) {
      assertThat(cursor.read(end, 0, 1000)).isEqualTo(500);
    }
    assertThat(end[0]).containsOnly(0);
  }

  @Test
  void workpieceIsMeasuredByItself() {
    Mode part = Mode.of(310, 0.01, 8e5);
    VirtualRig rig =
        VirtualRig.of(THREE).withWorkpiece(part).withTapped(VirtualRig.Tapped.WORKPIECE);
    double[] got = new double[2];
    double[] wanted = new double[2];
    rig.truth().at(250, got);
    part.at(250, wanted);
    assertThat(got).containsExactly(wanted);
    assertThatThrownBy(() -> VirtualRig.of(THREE).withTapped(VirtualRig.Tapped.WORKPIECE))
        .isInstanceOf(IllegalArgumentException.class);
    assertThatThrownBy(() -> VirtualRig.freeMass(1).withSensor(ResponseQuantity.VELOCITY, 0))
        .isInstanceOf(IllegalArgumentException.class);
  }

  private static Complex receptance(Receptance of, double frequencyHz) {
    double[] into = new double[2];
    of.at(frequencyHz, into);
    return new Complex(into[0], into[1]);
  }

  private static Complex accelerance(Receptance of, double frequencyHz) {
    return receptance(of, frequencyHz).multiply(-Math.pow(2 * Math.PI * frequencyHz, 2));
  }

  private static Complex fourier(double[] samples, double cyclesPerSample) {
    double re = 0;
    double im = 0;
    for (int n = 0; n < samples.length; n++) {
      double angle = 2 * Math.PI * cyclesPerSample * n;
      re += samples[n] * Math.cos(angle);
      im -= samples[n] * Math.sin(angle);
    }
    return new Complex(re, im);
  }
}
