package ringtrue.stability;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import ringtrue.units.BadInputException;

/**
 * How the turning cutter couples the harmonics of a vibration: the Fourier coefficients of the
 * directional matrix per depth, {@code F_k = b Σ_l Σ_g A^g_(k−l) (1 − e^(−i ω_l τ_g)) R_l} with
 * {@code ω_l = ω + lΩ}, for every group g of flutes with the same delay (Budak & Altintas 1998;
 * Merdol & Altintas 2004; uneven pitch: Sims, Mann & Huyanan 2008).
 *
 * <p>Ω is the tooth passing frequency with even pitch, and the spindle's times the number of times
 * that the pitch pattern repeats otherwise. With equal helices the coefficient of order m is
 * multiplied by {@code sin(u)/u}, {@code u = m P b tan β/D}, P being Ω over the spindle's
 * frequency; a shift of the cutter's angle, which changes no eigenvalue, is left out. A tooth that
 * cuts a small part of its period couples the harmonics through few numbers: each group is kept as
 * a product of two narrow matrices.
 */
final class HarmonicCoupling {
  /** Tolerance of narrow factors that nobody will notice. */
  static final double RANK_TOLERANCE = 1e-9;

  private static final double WORTH_IT = 0.7;

  private final int lowest;
  private final int count;
  private final int perTurn;
  private final boolean[] channels;
  private final double[] delayTurns;
  private final ComplexMatrix.Factors[] groups;

  private HarmonicCoupling(
      int lowest,
      int count,
      int perTurn,
      boolean[] channels,
      double[] delayTurns,
      ComplexMatrix.Factors[] groups) {
    this.lowest = lowest;
    this.count = count;
    this.perTurn = perTurn;
    this.channels = channels;
    this.delayTurns = delayTurns;
    this.groups = groups;
  }

  /**
   * @param process the cut
   * @param engagement where teeth cut; its axial depth counts with helix only
   * @param givesX whether x gives at all; a rigid direction is left out
   * @param givesY whether y gives
   * @param harmonics harmonics −h−1 … h, so that the set is its own mirror image at half Ω
   * @param narrow relative tolerance of narrow factors, which pay for many frequencies; 0 for the
   *     whole matrix
   * @throws BadInputException if helices differ
   */
  static HarmonicCoupling of(
      CuttingProcess process,
      Engagement engagement,
      boolean givesX,
      boolean givesY,
      int harmonics,
      double narrow) {
    return of(process, engagement, givesX, givesY, -harmonics - 1, 2 * harmonics + 2, narrow);
  }

  /**
   * The average alone, for one frequency without aliases: zero-order milling with equal helices, or
   * turning.
   */
  static HarmonicCoupling averaged(CuttingProcess process, boolean givesX, boolean givesY) {
    if (process.operation() == CuttingProcess.Operation.TURNING) {
      ComplexMatrix one = new ComplexMatrix(1);
      one.re[0] = -RegenerativeLoop.turning(process).scalePa();
      return new HarmonicCoupling(
          0,
          1,
          1,
          new boolean[] {true, false},
          new double[] {1},
          new ComplexMatrix.Factors[] {factors(one, 0, true)});
    }
    return of(process, process.engagement(), givesX, givesY, 0, 1, 0);
  }

  private static HarmonicCoupling of(
      CuttingProcess process,
      Engagement engagement,
      boolean givesX,
      boolean givesY,
      int lowest,
      int count,
      double narrow) {
    Tool tool = process.tool().orElseThrow();
    if (!tool.equalHelix()) {
      throw new BadInputException(
          "method: multi-frequency needs the same helix on every flute; use periodic or zero-order"
              + " for a cutter with different ones");
    }
    boolean[] channels = {givesX, givesY};
    int flutes = tool.flutes();
    int repeat = repeatingFlutes(tool.pitchRad());
    int perTurn = flutes / repeat;
    List<Double> delays = new ArrayList<>();
    List<List<Double>> angles = new ArrayList<>();
    double angle = 0;
    for (int j = 0; j < repeat; j++) {
      double pitch = tool.pitchRad().get((j + flutes - 1) % flutes); // since the flute before
      int g = 0;
      while (g < delays.size() && Math.abs(delays.get(g) - pitch) > 1e-9) {
        g++;
      }
      if (g == delays.size()) {
        delays.add(pitch);
        angles.add(new ArrayList<>());
      }
      angles.get(g).add(angle);
      angle += tool.pitchRad().get(j);
    }
    CuttingCoefficients c = process.coefficients();
    double kr = c.krcPa() / c.ktcPa();
    double lag = Math.tan(tool.helixRad().get(0)) * engagement.axialM() / tool.diameterM();
    double scale = c.ktcPa() * perTurn / (4 * Math.PI);
    double[][] one = new double[count][];
    for (int m = 0; m < count; m++) {
      one[m] = coefficient(engagement, kr, m * perTurn);
      double held = scale * sinc(m * perTurn * lag);
      for (int i = 0; i < one[m].length; i++) {
        one[m][i] *= held;
      }
    }
    ComplexMatrix.Factors[] groups = new ComplexMatrix.Factors[delays.size()];
    for (int g = 0; g < groups.length; g++) {
      groups[g] =
          factors(matrix(one, angles.get(g), perTurn, channels, count), narrow, groups.length == 1);
    }
    double turn = tool.pitchRad().stream().mapToDouble(p -> p).sum();
    return new HarmonicCoupling(
        lowest,
        count,
        perTurn,
        channels,
        delays.stream().mapToDouble(d -> d / turn).toArray(),
        groups);
  }

  /** Narrow factors, or the matrix and the unit matrix where that saves nothing. */
  private static ComplexMatrix.Factors factors(ComplexMatrix m, double narrow, boolean alone) {
    if (narrow > 0 || !alone) {
      ComplexMatrix.Factors factors = m.factors(narrow > 0 ? narrow : RANK_TOLERANCE);
      if (!alone || factors.rank() < WORTH_IT * m.n) {
        return factors;
      }
    }
    double[] unit = new double[m.n * m.n];
    for (int i = 0; i < m.n; i++) {
      unit[i * m.n + i] = 1;
    }
    return new ComplexMatrix.Factors(m.n, m.re, m.im, unit, new double[m.n * m.n]);
  }

  /** Flutes after which the pitch pattern repeats: 1 with even pitch. */
  static int repeatingFlutes(List<Double> pitchRad) {
    int n = pitchRad.size();
    for (int s = 1; s < n; s++) {
      boolean repeats = n % s == 0;
      for (int j = 0; repeats && j < n; j++) {
        repeats = Math.abs(pitchRad.get(j) - pitchRad.get((j + s) % n)) < 1e-9;
      }
      if (repeats) {
        return s;
      }
    }
    return n;
  }

  /**
   * {@code ∫ a(φ) e^(−iν(φ − middle)) dφ} over the arc for one tooth; a as in {@link
   * DirectionalFactors#at}.
   *
   * @return xx, xy, yx, yy, each real and imaginary part
   */
  static double[] coefficient(Engagement engagement, double kr, int order) {
    double half = 0.5 * (engagement.exitRad() - engagement.entryRad());
    double twiceMiddle = engagement.exitRad() + engagement.entryRad();
    double cos = Math.cos(twiceMiddle);
    double sin = Math.sin(twiceMiddle);
    double flat = 2 * half * sinc(order * half);
    double below = half * sinc((order - 2) * half);
    double above = half * sinc((order + 2) * half);
    double cosRe = (below + above) * cos; // of cos 2φ
    double cosIm = (below - above) * sin;
    double sinRe = (below + above) * sin; // of sin 2φ
    double sinIm = -(below - above) * cos;
    return new double[] {
      -sinRe - kr * (flat - cosRe),
      -sinIm + kr * cosIm,
      -(flat + cosRe) - kr * sinRe,
      -cosIm - kr * sinIm,
      flat - cosRe - kr * sinRe,
      -cosIm - kr * sinIm,
      sinRe - kr * (flat + cosRe),
      sinIm - kr * cosIm
    };
  }

  private static double sinc(double u) {
    return Math.abs(u) < 1e-4 ? 1 - u * u / 6 : Math.sin(u) / u;
  }

  /** The block Toeplitz matrix of the flutes at some angles. */
  private static ComplexMatrix matrix(
      double[][] one, List<Double> angles, int perTurn, boolean[] channels, int count) {
    int[] axes = axes(channels);
    int c = axes.length;
    int n = c * count;
    ComplexMatrix m = new ComplexMatrix(n);
    for (int order = 1 - count; order < count; order++) {
      double turnRe = 0;
      double turnIm = 0;
      for (double angle : angles) {
        turnRe += Math.cos(order * perTurn * angle);
        turnIm -= Math.sin(order * perTurn * angle);
      }
      double[] value = one[Math.abs(order)];
      for (int a = 0; a < c; a++) {
        for (int b = 0; b < c; b++) {
          int at = 2 * (2 * axes[a] + axes[b]);
          double re = value[at];
          double im = order < 0 ? -value[at + 1] : value[at + 1]; // a real matrix in time
          for (int k = Math.max(0, order); k < count && k - order < count; k++) {
            int entry = (c * k + a) * n + c * (k - order) + b;
            m.re[entry] = re * turnRe - im * turnIm;
            m.im[entry] = re * turnIm + im * turnRe;
          }
        }
      }
    }
    return m;
  }

  private static int[] axes(boolean[] channels) {
    if (channels[0] && channels[1]) {
      return new int[] {0, 1};
    }
    return channels[0] ? new int[] {0} : channels[1] ? new int[] {1} : new int[0];
  }

  /** Directions that give: 0 for x, 1 for y. */
  int[] axes() {
    return axes(channels);
  }

  /** Lowest harmonic. */
  int lowest() {
    return lowest;
  }

  /** Number of harmonics. */
  int count() {
    return count;
  }

  /** Ω over the spindle's frequency. */
  int perTurn() {
    return perTurn;
  }

  /** Whether all flutes have the same delay. */
  boolean oneDelay() {
    return groups.length == 1;
  }

  int groupCount() {
    return groups.length;
  }

  ComplexMatrix.Factors group(int g) {
    return groups[g];
  }

  /** Delay of a group as a part of a spindle turn. */
  double delayTurns(int g) {
    return delayTurns[g];
  }

  /** Size of the reduced matrix. */
  int rank() {
    return Arrays.stream(groups).mapToInt(ComplexMatrix.Factors::rank).sum();
  }
}
