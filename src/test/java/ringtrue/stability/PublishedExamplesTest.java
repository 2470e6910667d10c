package ringtrue.stability;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import org.apache.commons.math3.complex.Complex;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Receptance;
import ringtrue.stability.Engagement.Direction;

/**
 * Worked examples of the literature, followed by the equations printed there, which share no code
 * and no algorithm with the solver.
 *
 * <p>How far the sources were read: inputs and equations are from memory, none of the pages that
 * carry them was at hand. No printed result is claimed; the numbers expected here come from the
 * printed equations by hand or by an independent script, and hold to the digits given.
 */
class PublishedExamplesTest {

  /** Half a unit in the last of four printed digits, with a little room for a tie. */
  private static final double FOURTH_DIGIT = 0.51e-4;

  private static final double TURN = 2 * Math.PI;

  // ---------------------------------------------------------------------------------------------
  // Schmitz, T. L. and Smith, K. S. (2009), Machining Dynamics: Frequency Response to Improved
  // Productivity, Springer, ch. 4, milling by the average tooth angle (Tlusty). Example with equal
  // modes in x and y: k = 8e6 N/m, ζ = 0.02, fn = 500 Hz; Ks = 750 N/mm², β = 68°, four teeth.
  // Inputs and equations from memory.
  // ---------------------------------------------------------------------------------------------

  private static final Mode EXAMPLE_MODE = Mode.of(500, 0.02, 8e6);
  private static final double KS = 750e6;
  private static final double BETA = Math.toRadians(68);
  private static final int TEETH = 4;

  /**
   * μx = (Ft′ cos φa + Fn′ sin φa) sin φa and μy = −(Ft′ sin φa − Fn′ cos φa) cos φa with Ft′ = sin
   * β, Fn′ = cos β; Nt* = (φe − φs) Nt/360°; b = −1/(2 Ks Nt* Re[μx Gx + μy Gy]).
   */
  @ParameterizedTest
  @CsvSource({
    "SLOT, 1, 0, 180, 0.3746, 0, 0.5809",
    "UP, 0.5, 0, 90, 0.6509, -0.2763, 1.1618",
    "DOWN, 0.5, 90, 180, -0.2763, 0.6509, 1.1618",
    "UP, 0.25, 0, 60, 0.4951, -0.1205, 1.7426",
    "DOWN, 0.25, 120, 180, -0.3078, 0.6824, 1.7426"
  })
  void averageToothAngle(
      Direction direction,
      double radialFraction,
      double entryDeg,
      double exitDeg,
      double expectedMuX,
      double expectedMuY,
      double expectedLimitMm) {
    double middle = Math.toRadians((entryDeg + exitDeg) / 2);
    double muX =
        (Math.sin(BETA) * Math.cos(middle) + Math.cos(BETA) * Math.sin(middle)) * Math.sin(middle);
    double muY =
        -(Math.sin(BETA) * Math.sin(middle) - Math.cos(BETA) * Math.cos(middle)) * Math.cos(middle);
    double meanTeeth = (exitDeg - entryDeg) * TEETH / 360;
    assertThat(muX).isCloseTo(expectedMuX, within(FOURTH_DIGIT));
    assertThat(muY).isCloseTo(expectedMuY, within(FOURTH_DIGIT));

    Engagement engagement = Engagement.of(direction, radialFraction * 0.01, 1e-3, 0.01);
    assertThat(engagement.entryRad()).isCloseTo(Math.toRadians(entryDeg), within(1e-12));
    assertThat(engagement.exitRad()).isCloseTo(Math.toRadians(exitDeg), within(1e-12));

    // The factors of one tooth in the middle of the cut are the published directional factors.
    double ktc = KS * Math.sin(BETA);
    DirectionalFactors factors = DirectionalFactors.at(middle, 1 / Math.tan(BETA));
    assertThat(-factors.axx() * Math.sin(BETA) / 2).isCloseTo(muX, within(1e-12));
    assertThat(-factors.ayy() * Math.sin(BETA) / 2).isCloseTo(muY, within(1e-12));

    // With two different modes the loop's eigenvalue is −Ks Nt* (μx Gx + μy Gy), its other one 0.
    Mode other = Mode.of(640, 0.03, 1.1e7);
    RegenerativeLoop loop =
        new RegenerativeLoop(List.of(EXAMPLE_MODE), List.of(other), factors, ktc * meanTeeth / 2);
    double[] room = new double[RegenerativeLoop.ROOM];
    for (double hz : new double[] {420, 495, 509.9, 560, 655, 800}) {
      Complex oriented = receptance(EXAMPLE_MODE, hz).multiply(muX);
      oriented = oriented.add(receptance(other, hz).multiply(muY)).multiply(-KS * meanTeeth);
      loop.at(hz, room);
      assertThat(room[0]).isCloseTo(oriented.getReal(), within(1e-9 * oriented.abs()));
      assertThat(room[1]).isCloseTo(oriented.getImaginary(), within(1e-9 * oriented.abs()));
      assertThat(Math.hypot(room[2], room[3])).isLessThan(1e-9 * oriented.abs());
    }

    // Equal modes: one oriented mode, through the solver with one delay, the tooth period.
    Mode oriented = Mode.of(500, 0.02, 8e6 / (muX + muY));
    CuttingProcess process = Cuts.turning(1, KS * meanTeeth, 0, oriented);
    assertThat(1e3 * Lobes.certainDepthM(process, 0.05))
        .isCloseTo(expectedLimitMm, within(FOURTH_DIGIT));
    // Lowest point of the third lobe: fc/(Ω N) = j + ε/2π, ε = 2π − 2 atan|Re G/Im G|, j = 2.
    double chatterHz = 500 * Math.sqrt(1.04);
    Complex lowest = receptance(oriented, chatterHz);
    double epsilon = TURN - 2 * Math.atan(Math.abs(lowest.getReal() / lowest.getImaginary()));
    double spindleRpm = 60 * chatterHz / (TEETH * (2 + epsilon / TURN));
    StabilityMap.Line line = Cuts.depth(process, 0.05, TEETH * spindleRpm).lines().get(0);
    assertThat(1e3 * line.limitM()).isCloseTo(expectedLimitMm, within(FOURTH_DIGIT));
    assertThat(line.chatterHz()).isCloseTo(509.902, within(1e-3));
    assertThat(line.lobe()).isEqualTo(2);
  }

  // ---------------------------------------------------------------------------------------------
  // Altintas, Y. and Budak, E. (1995), Analytical prediction of stability lobes in milling, CIRP
  // Annals 44(1), 357–362, doi 10.1016/S0007-8506(07)62342-7; Budak, E. and Altintas, Y. (1998),
  // Analytical prediction of chatter stability in milling, J. Dyn. Sys. Meas. Control 120, 22–36.
  // Equations from memory; the first page of neither was at hand. Examples: the tool of the first
  // paper (three flutes, Kt = 600 MPa, Kr = 0.07, x 603 Hz 3.9 % 5.59e6 N/m, y 666 Hz 3.5 %
  // 5.715e6 N/m; inputs from memory) and the textbook example above.
  // ---------------------------------------------------------------------------------------------

  /** One example of averaged directional factors. */
  private record Example(Mode x, Mode y, int teeth, double ktPa, double kr) {
    static Example named(String name) {
      return switch (name) {
        case "paper" ->
            new Example(Mode.of(603, 0.039, 5.59e6), Mode.of(666, 0.035, 5.715e6), 3, 600e6, 0.07);
        case "textbook" ->
            new Example(EXAMPLE_MODE, EXAMPLE_MODE, TEETH, KS * Math.sin(BETA), 1 / Math.tan(BETA));
        default -> throw new IllegalArgumentException(name);
      };
    }

    CuttingProcess process(Direction direction, double radialFraction) {
      List<Receptance> alongX = List.of(x);
      List<Receptance> alongY = List.of(y);
      return Cuts.milling(
          Cuts.tool(teeth, 0.03), direction, radialFraction, 1e-3, ktPa, kr * ktPa, alongX, alongY);
    }
  }

  /** A point of a lobe, as the papers compute it from an assumed chatter frequency. */
  private record Point(double depthM, double epsilonRad) {
    /** n = 60/(N T), T = (ε + 2kπ)/ωc. */
    double speedRpm(double hz, int waves, int teeth) {
      return 60 * TURN * hz / (teeth * (epsilonRad + waves * TURN));
    }
  }

  /**
   * The papers' steps: a0 Λ² + a1 Λ + 1 = 0 with a0 = Gx Gy (αxx αyy − αxy αyx) and a1 = αxx Gx +
   * αyy Gy; κ = Im Λ/Re Λ; a_lim = −2π Re Λ (1 + κ²)/(N Kt); ε = π − 2 atan κ. The α are
   * antiderivatives of their own, taken between the angles of entry and exit.
   */
  private static Point published(
      Example e, double entry, double exit, double hz, boolean secondRoot) {
    double[] from = antiderivatives(entry, e.kr());
    double[] to = antiderivatives(exit, e.kr());
    double xx = to[0] - from[0];
    double xy = to[1] - from[1];
    double yx = to[2] - from[2];
    double yy = to[3] - from[3];
    Complex gx = receptance(e.x(), hz);
    Complex gy = receptance(e.y(), hz);
    Complex a0 = gx.multiply(gy).multiply(xx * yy - xy * yx);
    Complex a1 = gx.multiply(xx).add(gy.multiply(yy));
    Complex root = a1.multiply(a1).subtract(a0.multiply(4)).sqrt();
    Complex lambda = a1.add(secondRoot ? root.negate() : root).divide(a0.multiply(-2));
    double kappa = lambda.getImaginary() / lambda.getReal();
    return new Point(
        -TURN * lambda.getReal() * (1 + kappa * kappa) / (e.teeth() * e.ktPa()),
        Math.PI - 2 * Math.atan(kappa));
  }

  private static double[] antiderivatives(double phi, double kr) {
    double sin = Math.sin(2 * phi);
    double cos = Math.cos(2 * phi);
    return new double[] {
      0.5 * (cos - 2 * kr * phi + kr * sin),
      0.5 * (-sin - 2 * phi + kr * cos),
      0.5 * (-sin + 2 * phi + kr * cos),
      0.5 * (-cos - 2 * kr * phi - kr * sin)
    };
  }

  /** Absolute limits: three or four digits of an independent script from the same equations. */
  @ParameterizedTest
  @CsvSource({
    "textbook, SLOT, 1, 0, 180, 0.2222, 5e-5",
    "textbook, UP, 0.5, 0, 90, 0.5934, 5e-5",
    "textbook, DOWN, 0.5, 90, 180, 0.5934, 5e-5",
    "textbook, UP, 0.25, 0, 60, 1.3141, 5e-5",
    "textbook, DOWN, 0.25, 120, 180, 1.3141, 5e-5",
    "paper, SLOT, 1, 0, 180, 0.777, 5e-4",
    "paper, UP, 0.5, 0, 90, 1.087, 5e-4",
    "paper, DOWN, 0.5, 90, 180, 3.519, 5e-4"
  })
  void absoluteLimitOfAveragedFactors(
      String name,
      Direction direction,
      double radialFraction,
      double entryDeg,
      double exitDeg,
      double expectedMm,
      double halfDigitMm) {
    Example e = Example.named(name);
    double least = Double.POSITIVE_INFINITY;
    for (double hz = 300; hz < 1200; hz += 0.01) {
      for (boolean second : new boolean[] {false, true}) {
        Point p = published(e, Math.toRadians(entryDeg), Math.toRadians(exitDeg), hz, second);
        if (p.depthM() > 0) {
          least = Math.min(least, p.depthM());
        }
      }
    }
    assertThat(1e3 * least).isCloseTo(expectedMm, within(1.02 * halfDigitMm));
    // The scan in steps of 0.01 Hz misses the lowest point by less than 1e-6 of it.
    assertThat(Lobes.certainDepthM(e.process(direction, radialFraction), 0.05))
        .isCloseTo(least, within(1e-6 * least));
  }

  /**
   * The lower envelope of the published lobes at a speed is the solver's limit at that speed. Both
   * are refined to rounding, so that the tolerance is that of the refining, not of a print.
   */
  @ParameterizedTest
  @CsvSource({
    "textbook, SLOT, 1, 0, 180",
    "textbook, UP, 0.5, 0, 90",
    "textbook, DOWN, 0.25, 120, 180",
    "paper, SLOT, 1, 0, 180",
    "paper, UP, 0.5, 0, 90",
    "paper, DOWN, 0.5, 90, 180"
  })
  void envelopeOfThePublishedLobes(
      String name, Direction direction, double radialFraction, double entryDeg, double exitDeg) {
    Example e = Example.named(name);
    double entry = Math.toRadians(entryDeg);
    double exit = Math.toRadians(exitDeg);
    CuttingProcess process = e.process(direction, radialFraction);
    for (double rpm : new double[] {3300, 5000, 6000, 8000, 10000, 12000, 14000}) {
      double depth = Double.POSITIVE_INFINITY;
      double chatterHz = Double.NaN;
      for (double hz = 200; hz < 2500; hz += 0.25) {
        for (boolean second : new boolean[] {false, true}) {
          for (int waves = 0; waves < 15; waves++) {
            double at = lobeFrequency(e, entry, exit, hz, hz + 0.25, second, waves, rpm);
            double candidate =
                Double.isNaN(at) ? -1 : published(e, entry, exit, at, second).depthM();
            if (candidate > 0 && candidate < depth) {
              depth = candidate;
              chatterHz = at;
            }
          }
        }
      }
      assertThat(depth).as("%s rpm", rpm).isLessThan(0.09);
      StabilityMap.Line line = Cuts.depth(process, 0.09, rpm).lines().get(0);
      assertThat(line.limitM()).as("%s rpm", rpm).isCloseTo(depth, within(1e-8 * depth));
      assertThat(line.chatterHz()).as("%s rpm", rpm).isCloseTo(chatterHz, within(1e-5));
    }
  }

  /** Where a lobe has the speed between two frequencies, by bisection; NaN if it has not. */
  private static double lobeFrequency(
      Example e,
      double entry,
      double exit,
      double lowHz,
      double highHz,
      boolean second,
      int waves,
      double rpm) {
    double low = lowHz;
    double high = highHz;
    double atLow = published(e, entry, exit, low, second).speedRpm(low, waves, e.teeth()) - rpm;
    double atHigh = published(e, entry, exit, high, second).speedRpm(high, waves, e.teeth()) - rpm;
    if (atLow * atHigh > 0) {
      return Double.NaN;
    }
    for (int i = 0; i < 45; i++) {
      double middle = 0.5 * (low + high);
      double at =
          published(e, entry, exit, middle, second).speedRpm(middle, waves, e.teeth()) - rpm;
      if (at * atLow > 0) {
        low = middle;
      } else {
        high = middle;
      }
    }
    // A jump of atan κ or a change of the square root's branch is no crossing.
    double left = published(e, entry, exit, low, second).speedRpm(low, waves, e.teeth()) - rpm;
    return Math.abs(left) < 1e-6 * rpm ? low : Double.NaN;
  }

  // ---------------------------------------------------------------------------------------------
  // Turning.
  // ---------------------------------------------------------------------------------------------

  /**
   * Kalmár-Nagy, T., Stépán, G. and Moon, F. C. (2001), Subcritical Hopf bifurcation in the delay
   * equation model for machine tool vibrations, Nonlinear Dynamics 26, 121–142: the lobes of x″ +
   * 2ζ x′ + x = −p (x − x(t − τ)) are lowest at p = 2ζ(1 + ζ), ω = √(1 + 2ζ), ωτ = 2(jπ −
   * atan(1/√(1 + 2ζ))), j = 1, 2, … (formulas from memory; of the paper only parts of pp. 121, 128
   * and 132 were read, which do not print them). Inputs of Gilsinn, D. E. (2002), Nonlinear
   * Dynamics 30, 103–154, from memory: m = 10 kg, c = 156 kg/s, k = 3.35 MN/m. Both sides are
   * closed forms: the tolerance is rounding.
   */
  @Test
  void lowestPointsOfTheDelayEquation() {
    double naturalRadPerS = Math.sqrt(3.35e6 / 10);
    double zeta = 156 / (2 * Math.sqrt(3.35e6 * 10));
    Mode mode = Mode.of(naturalRadPerS / TURN, zeta, 3.35e6);
    assertThat(mode.massKg()).isCloseTo(10, within(1e-12));
    double ks = 1.4e9; // any: only p = Ks b/k counts
    CuttingProcess process = Cuts.turning(1, ks, 0, mode);
    double omega = Math.sqrt(1 + 2 * zeta);
    double limit = 2 * zeta * (1 + zeta) * 3.35e6 / ks;
    for (int j = 1; j <= 6; j++) {
      double tau = 2 * (j * Math.PI - Math.atan(1 / omega)) / omega;
      double rpm = 60 * naturalRadPerS / tau;
      StabilityMap.Line line = Cuts.depth(process, 0.01, rpm).lines().get(0);
      assertThat(line.limitM()).isCloseTo(limit, within(1e-9 * limit));
      assertThat(line.chatterHz()).isCloseTo(omega * mode.frequencyHz(), within(1e-5));
      assertThat(line.lobe()).isEqualTo(j - 1);
    }
  }

  /**
   * Schmitz & Smith 2009, ch. 3: a mode at the angle α from the surface normal, force at β from it,
   * takes μ = cos(β − α) cos α of Ks, so that b = −1/(2 Ks μ Re G) (from memory). By hand for α =
   * 30°, β = 70°: μ = 0.7660 · 0.8660 = 0.6634, and with k = 2e7 N/m, ζ = 0.03, Ks = 2000 N/mm² the
   * smallest b is 0.618 mm/0.6634 = 0.9315 mm.
   */
  @Test
  void turnedModeAtAnAngle() {
    double ks = 2000e6;
    double beta = Math.toRadians(70);
    CuttingProcess process =
        Cuts.turning(
            ks * Math.sin(beta), ks * Math.cos(beta), Math.toRadians(30), Mode.of(250, 0.03, 2e7));
    assertThat(1e3 * Lobes.certainDepthM(process, 0.05)).isCloseTo(0.9315, within(1e-4));
  }

  private static Complex receptance(Mode mode, double hz) {
    double r = hz / mode.frequencyHz();
    return new Complex(1 - r * r, 2 * mode.dampingRatio() * r)
        .multiply(mode.stiffnessNPerM())
        .reciprocal();
  }
}
