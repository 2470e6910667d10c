package ringtrue.stability;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Optional;
import java.util.stream.DoubleStream;
import org.apache.commons.math3.linear.Array2DRowRealMatrix;
import org.apache.commons.math3.linear.EigenDecomposition;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.ValueSource;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.dynamics.Receptance;
import ringtrue.stability.Engagement.Direction;
import ringtrue.stability.LinearCutInTime.Fineness;
import ringtrue.stability.LobesRequest.AtPoint;
import ringtrue.stability.StabilityMap.Interval;
import ringtrue.stability.StabilityMap.Line;
import ringtrue.stability.StabilityMap.Loss;
import ringtrue.stability.StabilityMap.Over;

/**
 * The periodic method at the edges of what can be asked: nothing moves, all the same, thin cuts.
 */
class PeriodicEdgesTest {
  private static final Mode X = Mode.of(700, 0.03, 8e6);
  private static final Mode Y = Mode.of(860, 0.025, 9e6);
  private static final List<Double> SPEEDS = List.of(3100.0, 5200.0, 9700.0, 16_000.0);

  private static CuttingProcess cut(
      Direction direction, double part, double helixDeg, List<Receptance> x, List<Receptance> y) {
    return cut(2, direction, part, helixDeg, x, y);
  }

  private static CuttingProcess cut(
      int flutes,
      Direction direction,
      double part,
      double helixDeg,
      List<Receptance> x,
      List<Receptance> y) {
    Tool tool =
        new Tool(
            0.01,
            Collections.nCopies(flutes, Math.toRadians(helixDeg)),
            Collections.nCopies(flutes, 2 * Math.PI / flutes),
            Double.NaN,
            Double.NaN,
            0,
            Double.NaN);
    return Cuts.milling(tool, direction, part, 1e-3, 800e6, 240e6, x, y);
  }

  private static StabilityMap compute(
      CuttingProcess process, Over over, double maxM, List<Double> speeds, List<AtPoint> at) {
    return Lobes.compute(
        process,
        new LobesRequest(over, Optional.of(Method.PERIODIC), speeds, maxM, at),
        Progress.NONE);
  }

  private static List<Line> lines(CuttingProcess process) {
    return compute(process, Over.DEPTH, 0.03, SPEEDS, List.of()).lines();
  }

  private static void sameLimits(List<Line> here, List<Line> there, double relative) {
    for (int i = 0; i < here.size(); i++) {
      double limit = there.get(i).limitM();
      assertThat(here.get(i).limitM()).isCloseTo(limit, within(relative * limit));
      assertThat(here.get(i).loss()).isEqualTo(there.get(i).loss());
      assertThat(here.get(i).stable()).hasSameSizeAs(there.get(i).stable());
    }
  }

  @ParameterizedTest
  @EnumSource(Over.class)
  void nothingMoves(Over over) {
    CuttingProcess rigid = cut(Direction.DOWN, 0.2, 30, List.of(), List.of(Receptance.RIGID));
    StabilityMap map = compute(rigid, over, 0.008, SPEEDS, List.of(new AtPoint(9000, 0.004)));
    for (Line line : map.lines()) {
      assertThat(line.loss()).isEqualTo(Loss.NONE);
      assertThat(line.limitM()).isEqualTo(0.008);
      assertThat(line.stable()).containsExactly(new Interval(0, 0.008));
    }
    assertThat(map.at().get(0).stable()).isTrue();
    assertThat(map.at().get(0).growth()).isZero();
  }

  /** Rigid is what a direction becomes as its stiffness grows. */
  @ParameterizedTest
  @ValueSource(doubles = {0, 30})
  void aRigidDirectionIsTheEndOfStiffer(double helixDeg) {
    List<Line> rigid = lines(cut(Direction.UP, 0.1, helixDeg, List.of(X), List.of()));
    List<Line> stiff =
        lines(cut(Direction.UP, 0.1, helixDeg, List.of(X), List.of(Mode.of(860, 0.025, 9e12))));
    sameLimits(stiff, rigid, 1e-3);
    List<Line> rigidX = lines(cut(Direction.UP, 0.1, helixDeg, List.of(), List.of(Y)));
    List<Line> stiffX =
        lines(cut(Direction.UP, 0.1, helixDeg, List.of(Mode.of(700, 0.03, 8e12)), List.of(Y)));
    sameLimits(stiffX, rigidX, 1e-3);
  }

  @Test
  void twoEqualModesAreOneOfHalfTheStiffness() {
    Mode twice = Mode.of(700, 0.03, 1.6e7);
    sameLimits(
        lines(cut(Direction.DOWN, 0.1, 0, List.of(twice, twice), List.of(Y))),
        lines(cut(Direction.DOWN, 0.1, 0, List.of(X), List.of(Y))),
        2e-4);
    Mode third = Mode.of(700, 0.03, 2.4e7);
    sameLimits(
        lines(cut(Direction.DOWN, 0.3, 25, List.of(third, third, third), List.of(Y))),
        lines(cut(Direction.DOWN, 0.3, 25, List.of(X), List.of(Y))),
        2e-4);
  }

  @ParameterizedTest
  @CsvSource({"3000, 1e13", "60000, 1e13", "60000, 1e11", "500000, 1e12"})
  void aVeryStiffModeChangesNothing(double hz, double stiffness) {
    Mode stiff = Mode.of(hz, 0.02, stiffness);
    sameLimits(
        lines(cut(Direction.DOWN, 0.1, 20, List.of(X, stiff), List.of(Y, stiff))),
        lines(cut(Direction.DOWN, 0.1, 20, List.of(X), List.of(Y))),
        1e-3);
  }

  /** A soft mode of little mass chatters at once, one of great mass does not; the judge knows. */
  @ParameterizedTest
  @CsvSource({"40, 3e4, 0.05", "40, 3e6, 0.3", "12, 2e5, 0.6"})
  void aVerySoftMode(double hz, double stiffness, double zeta) {
    CuttingProcess soft =
        cut(Direction.DOWN, 0.1, 20, List.of(X, Mode.of(hz, zeta, stiffness)), List.of(Y));
    for (Line line : lines(soft)) {
      assertThat(line.limitM()).isLessThan(0.03);
      for (double off : new double[] {-5e-3, 5e-3}) {
        double growth =
            new LinearCutInTime(
                    soft, line.speedRpm(), line.limitM() * (1 + off), new Fineness(60, 1))
                .growth();
        assertThat(growth < 1).as("%s off, growth %s: %s", off, growth, line).isEqualTo(off < 0);
      }
    }
  }

  @ParameterizedTest
  @ValueSource(doubles = {0, 35})
  void fullWidthIsTheSlot(double helixDeg) {
    List<Line> slot = lines(cut(Direction.SLOT, 1, helixDeg, List.of(X), List.of(Y)));
    sameLimits(lines(cut(Direction.UP, 1, helixDeg, List.of(X), List.of(Y))), slot, 1e-9);
    sameLimits(lines(cut(Direction.DOWN, 1, helixDeg, List.of(X), List.of(Y))), slot, 1e-9);
  }

  /**
   * As the width goes to zero each tooth becomes a blow (Davies, Pratt, Dutterer & Burns 2002):
   * position and velocity fly freely for a tooth period, then the velocity changes by b/m times the
   * directional factor integrated over the cut times the change of position since the last blow.
   * With the mode in y the integral is about Krc φ, with the mode in x about Ktc φ²/2: limits grow
   * as one over the square root of the width, or as one over the width.
   */
  @ParameterizedTest
  @CsvSource({"x, UP", "x, DOWN", "y, UP", "y, DOWN"})
  void thinCutsAreBlows(String axis, Direction direction) {
    boolean alongX = axis.equals("x");
    Mode mode = Mode.of(800, 0.02, alongX ? 2e3 : 8e6);
    double part = 1e-7;
    CuttingProcess process =
        cut(
            direction,
            part,
            0,
            alongX ? List.of(mode) : List.of(),
            alongX ? List.of() : List.of(mode));
    double before = Double.NaN;
    int compared = 0;
    for (double rpm : new double[] {5000, 11_000, 17_000, 23_300}) {
      double swept = process.engagement().exitRad() - process.engagement().entryRad();
      double perDepth = blowPerDepth(alongX, direction, swept, rpm) / mode.massKg();
      double blow = limitOfBlows(mode, rpm, perDepth);
      double maxM = 3 * blow;
      if (!(maxM < 150)) {
        continue;
      }
      Line line = compute(process, Over.DEPTH, maxM, List.of(rpm), List.of()).lines().get(0);
      assertThat(line.limitM()).as("%s", line).isCloseTo(blow, within(4e-3 * blow));
      compared++;
      before = line.limitM();
      CuttingProcess thinner =
          cut(
              direction,
              part / 4,
              0,
              alongX ? List.of(mode) : List.of(),
              alongX ? List.of() : List.of(mode));
      double four =
          compute(thinner, Over.DEPTH, 6 * maxM, List.of(rpm), List.of()).lines().get(0).limitM();
      assertThat(four / before).isCloseTo(alongX ? 4 : 2, within(0.01));
    }
    assertThat(compared).isGreaterThanOrEqualTo(2);
  }

  /** Integral of the force per displacement and depth over the time of one cut, N s/m². */
  private static double blowPerDepth(boolean x, Direction direction, double swept, double rpm) {
    double sign = direction == Direction.UP ? 1 : -1;
    // sin cos, sin² and cos² integrated from 0; seen from 180° sin cos has the other sign
    double sc = sign * 0.5 * Math.pow(Math.sin(swept), 2);
    double ss = 0.5 * (swept - Math.sin(swept) * Math.cos(swept));
    double cc = swept - ss;
    double force = x ? -800e6 * sc - 240e6 * ss : 800e6 * sc - 240e6 * cc;
    return force / (2 * Math.PI * rpm / 60);
  }

  private static double limitOfBlows(Mode mode, double rpm, double perDepth) {
    double stable = 0;
    for (double b = 1e-3; b < 1e6; b *= 1.002) {
      if (radius(mode, rpm, b * perDepth) > 1) {
        double unstable = b;
        while (unstable - stable > 1e-9 * unstable) {
          double middle = 0.5 * (stable + unstable);
          if (radius(mode, rpm, middle * perDepth) > 1) {
            unstable = middle;
          } else {
            stable = middle;
          }
        }
        return stable;
      }
      stable = b;
    }
    return Double.NaN;
  }

  /** State: position and velocity after a blow, position at that blow is the past of the next. */
  private static double radius(Mode mode, double rpm, double kick) {
    double omega = 2 * Math.PI * mode.frequencyHz();
    double zeta = mode.dampingRatio();
    double damped = omega * Math.sqrt(1 - zeta * zeta);
    double t = 30 / rpm; // two teeth
    double e = Math.exp(-zeta * omega * t);
    double cos = e * Math.cos(damped * t);
    double sin = e * Math.sin(damped * t) / damped;
    double a11 = cos + zeta * omega * sin;
    double a12 = sin;
    double a21 = -omega * omega * sin;
    double a22 = cos - zeta * omega * sin;
    double[] values =
        eigenvalueSizes(
            new double[][] {
              {a11, a12}, {a21 + kick * (a11 - 1), a22 + kick * a12},
            });
    return Math.max(values[0], values[1]);
  }

  private static double[] eigenvalueSizes(double[][] m) {
    EigenDecomposition eigen = new EigenDecomposition(new Array2DRowRealMatrix(m));
    double[] sizes = new double[m.length];
    for (int i = 0; i < sizes.length; i++) {
      sizes[i] = Math.hypot(eigen.getRealEigenvalue(i), eigen.getImagEigenvalue(i));
    }
    return sizes;
  }

  /** One flute cuts against itself, a whole turn before. */
  @ParameterizedTest
  @CsvSource({"DOWN, 0.1, 0", "UP, 0.3, 40", "SLOT, 1, 0"})
  void oneFlute(Direction direction, double part, double helixDeg) {
    CuttingProcess process = cut(1, direction, part, helixDeg, List.of(X), List.of(Y));
    for (Line line :
        compute(process, Over.DEPTH, 0.06, List.of(7000.0, 13_500.0), List.of()).lines()) {
      assertThat(line.limitM()).isLessThan(0.06);
      for (double off : new double[] {-5e-3, 5e-3}) {
        double growth =
            new LinearCutInTime(
                    process, line.speedRpm(), line.limitM() * (1 + off), new Fineness(60, 1))
                .growth();
        assertThat(growth < 1).as("%s off, growth %s: %s", off, growth, line).isEqualTo(off < 0);
      }
    }
  }

  /**
   * Over two decades of speed: the lowest limits stay where they are, since a whole number of waves
   * more or less between two teeth tells less and less; where a period holds too many vibrations
   * the averaged factors take over, and the map says so.
   */
  @Test
  void lowSpeedsEndInAveragedFactors() {
    CuttingProcess process = cut(3, Direction.SLOT, 1, 0, List.of(X), List.of(Y));
    List<Double> speeds = DoubleStream.iterate(15, rpm -> rpm * 1.9).limit(11).boxed().toList();
    StabilityMap map = compute(process, Over.DEPTH, 0.02, speeds, List.of(new AtPoint(15, 1e-4)));
    assertThat(map.remarks())
        .anyMatch(r -> r.contains("rpm and below") && r.contains("averaged directional factors"));
    assertThat(map.at().get(0).stable()).isTrue();
    assertThat(map.remarks()).noneMatch(r -> r.contains("process damping"));
    StabilityMap damped =
        compute(process.withProcessDamping(1e5), Over.DEPTH, 0.02, List.of(15.0), List.of());
    assertThat(damped.remarks())
        .anyMatch(r -> r.contains("process damping is not in the averaged directional factors"));
    List<Double> averaged = new ArrayList<>();
    for (double rpm : speeds) {
      averaged.add(Cuts.limit(process, 0.02, rpm));
    }
    double least = Lobes.certainDepthM(process, 1);
    int same = 0;
    for (int i = 0; i < speeds.size(); i++) {
      double limit = map.lines().get(i).limitM();
      assertThat(limit).as("%s rpm", speeds.get(i)).isGreaterThan(0.7 * least);
      if (Math.abs(limit / averaged.get(i) - 1) < 1e-6) {
        same++;
      }
    }
    assertThat(same).isBetween(1, 6);
    StabilityMap high = compute(process, Over.DEPTH, 0.02, SPEEDS, List.of());
    assertThat(high.remarks()).noneMatch(r -> r.contains("averaged directional factors"));
  }

  @Test
  void searchEndsAtTheFlutes() {
    Tool shortFlutes =
        new Tool(
            0.01, List.of(0.0, 0.0), List.of(Math.PI, Math.PI), Double.NaN, 4e-3, 0, Double.NaN);
    CuttingProcess process =
        Cuts.milling(
            shortFlutes,
            Direction.DOWN,
            0.05,
            1e-3,
            800e6,
            240e6,
            List.of(Mode.of(700, 0.03, 8e7)),
            List.of(Mode.of(860, 0.025, 9e7)));
    StabilityMap map = compute(process, Over.DEPTH, 0.03, SPEEDS, List.of());
    assertThat(map.maxM()).isEqualTo(4e-3);
    assertThat(map.remarks()).anyMatch(r -> r.contains("flute length of 4 mm"));
    for (Line line : map.lines()) {
      assertThat(line.limitM()).isLessThanOrEqualTo(4e-3);
      assertThat(line.stable().get(line.stable().size() - 1).toM()).isLessThanOrEqualTo(4e-3);
    }
  }

  /** A border over width just below the diameter: no width beyond it is tried. */
  @Test
  void bordersUpToTheDiameter() {
    double rpm = 9700;
    CuttingProcess up = cut(Direction.UP, 1, 0, List.of(X), List.of(Y));
    double slot = compute(up, Over.DEPTH, 0.03, List.of(rpm), List.of()).lines().get(0).limitM();
    int near = 0;
    for (double off : new double[] {-1e-3, -3e-4, -1e-4, -3e-5, 3e-5, 1e-4, 3e-4, 1e-3}) {
      CuttingProcess cut = up.with(up.engagement().withAxial(slot * (1 + off)));
      Line line = compute(cut, Over.WIDTH, 0.01, List.of(rpm), List.of()).lines().get(0);
      for (Interval stretch : line.stable()) {
        for (double border : new double[] {stretch.fromM(), stretch.toM()}) {
          near += border > 0.01 * (1 - 1e-4) && border < 0.01 ? 1 : 0;
        }
      }
    }
    assertThat(near).isPositive();
  }
}
