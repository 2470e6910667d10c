package ringtrue.stability;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.Optional;
import org.apache.commons.math3.complex.Complex;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.stability.Engagement.Direction;
import ringtrue.stability.StabilityMap.Line;
import ringtrue.stability.StabilityMap.Loss;

/**
 * Cuts whose equation has a stability border in closed form: straight evenly spaced teeth that cut
 * all round, with one mode along the feed.
 *
 * <p>Three teeth or more make the factor of x − x(t − T) constant, −N Krc/2: the delayed oscillator
 * of Hsu & Bhatt (1966). Two teeth leave −Krc (1 − cos 2φ) − Ktc sin 2φ, one harmonic: a delayed
 * Mathieu equation in which the delayed term is modulated like the stiffness. (In the delayed
 * Mathieu equation of Insperger & Stépán 2002 the delayed term is not modulated; no cut has that
 * equation.) On its border x(t − T) = x/μ, so that a Mathieu equation is left, whose multiplier has
 * to be μ; its infinite Hill determinant is tridiagonal. For a flip it is the classical Mathieu
 * equation with the borders of the Ince–Strutt diagram.
 */
class DelayedMathieuTest {
  private static final double HZ = 800;
  private static final double K = 5e6;
  private static final double KTC = 700e6;
  private static final double TURN = 2 * Math.PI;
  private static final int HARMONICS = 200;

  private static CuttingProcess allRound(int teeth, double zeta, double krcPa) {
    CuttingProcess process =
        Cuts.milling(
            Cuts.tool(teeth, 0.01),
            Direction.SLOT,
            1,
            1e-3,
            KTC,
            krcPa,
            List.of(Mode.of(HZ, zeta, K)),
            List.of());
    return process.with(new Engagement(Direction.ANGLES, Double.NaN, 1e-3, 0, TURN));
  }

  /**
   * The line with seven nodes more in every stretch; the usual one is within its own promise of it.
   */
  private static Line line(CuttingProcess process, double rpm, double maxM) {
    LobesRequest request =
        new LobesRequest(
            StabilityMap.Over.DEPTH, Optional.of(Method.PERIODIC), List.of(rpm), maxM, List.of());
    Line exact =
        new PeriodicMap(process, request, PeriodicLobes.Reach.WHOLE)
            .withMoreNodes(7)
            .lines(List.of(rpm), PeriodicMap.FINE, Progress.NONE)
            .get(0);
    Line usual = Lobes.compute(process, request, Progress.NONE).lines().get(0);
    assertThat(usual.limitM())
        .isCloseTo(exact.limitM(), within(PeriodicMap.TOLERANCE * exact.limitM()));
    return exact;
  }

  /**
   * x″ + 2ζω x′ + ω² x = −p (x − x(t − T)) with p = ω² b N Krc/(2k): with g = 1/(1 − r² + 2iζr) the
   * border at the frequency rω is p/ω² = −1/(2 Re g), rωT = 2πj + 3π + 2 arg g (Tlusty & Poláček
   * 1963), on the lower part of a lobe the first loss.
   */
  @ParameterizedTest
  @CsvSource({
    "3, 0.03, 1.02, 1", "3, 0.03, 1.03, 2", "4, 0.03, 1.05, 1", "5, 0.02, 1.02, 3",
    "7, 0.01, 1.01, 2", "3, 0.03, 1.2, 0", "4, 0.05, 1.08, 0", "6, 0.002, 1.002, 1"
  })
  void constantFactors(int teeth, double zeta, double ratio, int lobe) {
    double re = (1 - ratio * ratio);
    double im = 2 * zeta * ratio;
    double realPart = re / (re * re + im * im);
    double phase = -Math.atan2(im, re); // of g, between −π and −π/2 here
    double depth = -K / (realPart * teeth * 250e6);
    double waves = lobe + 1.5 + phase / Math.PI;
    double rpm = 60 * HZ * ratio / (waves * teeth);
    Line line = line(allRound(teeth, zeta, 250e6), rpm, 3 * depth);
    assertThat(line.limitM()).isCloseTo(depth, within(1e-6 * depth));
    assertThat(line.loss()).isEqualTo(Loss.HOPF);
    assertThat(line.chatterHz()).isCloseTo(ratio * HZ, within(1e-5 * HZ));
  }

  /**
   * Without damping, in time units of T = 2π: x″ + d x = b x(t − 2π) with d = ω² + p, b = p; its
   * borders are the lines b = ±(d − j²/4) (Hsu & Bhatt 1966, ASME J. Appl. Mech. 33, 113–124;
   * Insperger & Stépán 2002, Proc. R. Soc. A 458, 1989–1998; from memory). A cut moves along d − b
   * = ω², stable from p = 0 on if p sin 2πω > 0, to the line b = j²/4 − d with odd j: p = (j²/4 −
   * ω²)/2. The damping ratio of 1e-8 shifts that by less than 1e-7.
   */
  @ParameterizedTest
  @CsvSource({"1.1, 3", "1.3, 3", "1.45, 3", "2.2, 5", "3.4, 7", "0.7, 1", "1.6, 3", "2.9, 5"})
  void linesOfHsuAndBhatt(double omega, int j) {
    double p = 0.5 * (0.25 * j * j - omega * omega);
    int teeth = 4;
    double krc = Math.signum(p) * 250e6;
    double depth = p / (omega * omega) * 2 * K / (teeth * krc);
    double rpm = 60 * HZ / (omega * teeth);
    Line line = line(allRound(teeth, 1e-8, krc), rpm, 2 * depth);
    // 1e-6 in the plane of d and b; b itself is small where ω is near j/2.
    double perB = Math.abs(depth / p);
    assertThat(line.limitM()).isCloseTo(depth, within(1e-6 * perB * (omega * omega + p)));
    double chatter = 0.5 * j / omega * HZ;
    assertThat(line.chatterHz()).isCloseTo(chatter, within(1e-4 * chatter));
  }

  /** Border of the modulated equation by its tridiagonal Hill determinant, flip and Hopf. */
  @ParameterizedTest
  @CsvSource({
    "0.02, 0.3, 12000", "0.02, 0.3, 16000", "0.02, 0.3, 20000", "0.02, 0.3, 27000",
    "0.005, 0.1, 17000", "0.005, 0.6, 30000", "0.05, 0.4, 9000", "0.02, 0.2, 40000"
  })
  void modulatedFactors(double zeta, double kr, double rpm) {
    CuttingProcess process = allRound(2, zeta, kr * KTC);
    double period = 30 / rpm;
    double max = 0.012;
    Line line = line(process, rpm, max);
    assertThat(line.loss()).isNotEqualTo(Loss.NONE);
    Border border = Border.near(zeta, kr, period, line.limitM(), line.chatterHz());
    assertThat(border.residual()).isLessThan(1e-10);
    assertThat(line.limitM()).isCloseTo(border.depthM(), within(1e-6 * border.depthM()));
    double half = 0.5 / period;
    double wavesOfHalf = border.hz() / half;
    boolean flip = Math.abs(wavesOfHalf - Math.rint(wavesOfHalf)) < 1e-6;
    assertThat(line.loss()).isEqualTo(flip ? Loss.FLIP : Loss.HOPF);
  }

  /** A point of the border: depth and chatter frequency at which the determinant is 0. */
  private record Border(double depthM, double hz, double residual) {

    /** Newton's method in depth and frequency from a guess, on the determinant's two parts. */
    static Border near(double zeta, double kr, double period, double depthM, double hz) {
      double b = depthM * 1.002; // a start that is not the answer
      double f = hz;
      boolean flip = Math.abs(2 * period * hz - Math.rint(2 * period * hz)) < 1e-6;
      for (int i = 0; i < 40; i++) {
        double db = 1e-7 * b;
        double df = 1e-7 * f;
        Complex d = determinant(zeta, kr, period, b, f);
        Complex byB =
            determinant(zeta, kr, period, b + db, f)
                .subtract(determinant(zeta, kr, period, b - db, f))
                .divide(2 * db);
        if (flip) {
          b -= d.divide(byB).getReal();
          continue;
        }
        Complex byF =
            determinant(zeta, kr, period, b, f + df)
                .subtract(determinant(zeta, kr, period, b, f - df))
                .divide(2 * df);
        double size = byB.getReal() * byF.getImaginary() - byB.getImaginary() * byF.getReal();
        b -= (d.getReal() * byF.getImaginary() - d.getImaginary() * byF.getReal()) / size;
        f -= (byB.getReal() * d.getImaginary() - byB.getImaginary() * d.getReal()) / size;
      }
      return new Border(b, f, determinant(zeta, kr, period, b, f).abs());
    }

    /**
     * x = Σ X_n e^{i(ω + 2πn/T)t}, s = 1 − e^{−iωT}: (1 − r² + 2iζr + s Krc b/k) X_n + s b/k
     * [(−Krc/2 − i Ktc/2) X_{n−1} + (−Krc/2 + i Ktc/2) X_{n+1}] = 0, r = (ω + 2πn/T)/ω₀. Rows are
     * divided by −(1 + r²), so that the recurrence for the determinant converges.
     */
    static Complex determinant(double zeta, double kr, double period, double b, double hz) {
      Complex s = Complex.ONE.subtract(new Complex(0, -TURN * hz * period).exp());
      double strength = b * KTC / K;
      Complex middle = s.multiply(strength * kr);
      Complex beside = s.multiply(s).multiply(strength * strength * 0.25 * (kr * kr + 1));
      Complex before = Complex.ZERO;
      Complex now = Complex.ONE;
      double unitBefore = 0;
      for (int n = -HARMONICS; n <= HARMONICS; n++) {
        double r = (hz + n / period) / HZ;
        double unit = -1 / (1 + r * r);
        Complex diagonal = new Complex(1 - r * r, 2 * zeta * r).add(middle).multiply(unit);
        Complex next =
            diagonal.multiply(now).subtract(beside.multiply(unit * unitBefore).multiply(before));
        before = now;
        now = next;
        unitBefore = unit;
      }
      return now;
    }
  }
}
