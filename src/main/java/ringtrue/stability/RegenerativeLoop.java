package ringtrue.stability;

import java.util.Arrays;
import java.util.List;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Receptance;
import ringtrue.dynamics.Residual;

/**
 * What one pass of the chip does to the vibration before the delay comes in: the eigenvalues λ of
 * {@code scale · G(f) a}, in 1/m, so that the cut is at its limit where {@code 1 = b λ(f) R(f)}
 * with {@code R} the mean over the flutes of {@code 1 − e^(−iωτ)}.
 *
 * <p>Since R lies in the disc |R − 1| ≤ 1 for every set of delays, no depth below {@code 1/(2 max
 * Re λ)} is ever at a limit; with one delay the limit is exactly {@code b = 1/(2 Re λ)} (for a tool
 * of N even flutes the form of Altintas & Budak 1995, eq. for a_lim).
 */
final class RegenerativeLoop {
  /** Length of the arrays that {@link #at} works in: two eigenvalues and its own scratch space. */
  static final int ROOM = 6;

  private final Receptance[] x;
  private final Receptance[] y;
  private final DirectionalFactors factors;
  private final double scalePa;

  /**
   * @param x compliances along x, which add
   * @param y compliances along y
   * @param factors directional factors, dimensionless
   * @param scalePa what turns them into a force per depth and displacement, Pa
   */
  RegenerativeLoop(
      List<Receptance> x, List<Receptance> y, DirectionalFactors factors, double scalePa) {
    this.x = x.toArray(Receptance[]::new);
    this.y = y.toArray(Receptance[]::new);
    this.factors = factors;
    this.scalePa = scalePa;
  }

  /** Milling with averaged factors: N Ktc/(4π) times the averaged factors. */
  static RegenerativeLoop milling(CuttingProcess process, Engagement engagement) {
    CuttingCoefficients coefficients = process.coefficients();
    return new RegenerativeLoop(
        process.x(),
        process.y(),
        DirectionalFactors.averaged(
            engagement.entryRad(),
            engagement.exitRad(),
            coefficients.krcPa() / coefficients.ktcPa()),
        coefficients.ktcPa() * process.tool().orElseThrow().flutes() / (4 * Math.PI));
  }

  /**
   * Turning: the force that counts is {@code b h cos α (krc cos α + ktc sin α)} against the motion
   * in x (Tlusty & Poláček 1963).
   */
  static RegenerativeLoop turning(CuttingProcess process) {
    double cos = Math.cos(process.modeAngleRad());
    double sin = Math.sin(process.modeAngleRad());
    CuttingCoefficients c = process.coefficients();
    return new RegenerativeLoop(
        process.x(),
        List.of(),
        new DirectionalFactors(-1, 0, 0, 0),
        cos * (c.krcPa() * cos + c.ktcPa() * sin));
  }

  DirectionalFactors factors() {
    return factors;
  }

  double scalePa() {
    return scalePa;
  }

  /**
   * Both eigenvalues at a frequency, the larger one first.
   *
   * @param hz frequency, Hz
   * @param into room for {@link #ROOM} numbers: Re λ₁, Im λ₁, Re λ₂, Im λ₂ in 1/m, scratch
   */
  void at(double hz, double[] into) {
    sum(x, hz, into);
    double xRe = into[0];
    double xIm = into[1];
    sum(y, hz, into);
    eigenvalues(xRe, xIm, into[0], into[1], into);
  }

  /**
   * Room for many frequencies at once. Blocks are kept small so that they stay in the processor's
   * cache: fresh memory costs more than the arithmetic (measured).
   */
  static final class Block {
    static final int SIZE = 512;

    final double[] hz = new double[SIZE];
    final double[] re = new double[SIZE];
    final double[] im = new double[SIZE];
    final double[] otherRe = new double[SIZE];
    final double[] otherIm = new double[SIZE];
    private final double[] xRe = new double[SIZE];
    private final double[] xIm = new double[SIZE];
    private final double[] yRe = new double[SIZE];
    private final double[] yIm = new double[SIZE];
    private final double[] disc = new double[SIZE];
    private final double[] root = new double[SIZE];
    private final double[] rootIm = new double[SIZE];
  }

  /**
   * Both eigenvalues at the frequencies of a block, the larger one in {@code re} and {@code im}.
   * The same as {@link #at} to rounding, but step by step over all frequencies, which the compiler
   * turns into vector code.
   */
  void over(Block block) {
    sum(x, block.hz, block.xRe, block.xIm);
    sum(y, block.hz, block.yRe, block.yIm);
    roots(
        block.xRe,
        block.xIm,
        block.yRe,
        block.yIm,
        block.re,
        block.im,
        block.disc,
        block.root,
        block.rootIm);
    larger(block.disc, block.root, block.rootIm, block.re, block.im);
    smaller(
        block.xRe,
        block.xIm,
        block.yRe,
        block.yIm,
        block.re,
        block.im,
        block.otherRe,
        block.otherIm);
  }

  /** Half the trace, and the larger and the smaller part of the root of the discriminant. */
  private void roots(
      double[] xRe,
      double[] xIm,
      double[] yRe,
      double[] yIm,
      double[] half,
      double[] halfIm,
      double[] disc,
      double[] root,
      double[] rootIm) {
    double ax = 0.5 * scalePa * factors.axx();
    double ay = 0.5 * scalePa * factors.ayy();
    double d = scalePa * scalePa * factors.determinant();
    for (int i = 0; i < half.length; i++) {
      double re = ax * xRe[i] + ay * yRe[i];
      double im = ax * xIm[i] + ay * yIm[i];
      double discRe = re * re - im * im - d * (xRe[i] * yRe[i] - xIm[i] * yIm[i]);
      double discIm = 2 * re * im - d * (xRe[i] * yIm[i] + xIm[i] * yRe[i]);
      double size = Math.sqrt(discRe * discRe + discIm * discIm);
      double large = Math.sqrt(0.5 * (size + Math.abs(discRe)));
      half[i] = re;
      halfIm[i] = im;
      disc[i] = discRe;
      root[i] = large;
      rootIm[i] = 0.5 * discIm / (large + Double.MIN_NORMAL);
    }
  }

  /** Adds the root to half the trace with the sign that makes the sum the larger one. */
  private static void larger(
      double[] disc, double[] root, double[] rootIm, double[] re, double[] im) {
    for (int i = 0; i < re.length; i++) {
      // With a negative discriminant the parts change places, up to a sign that does not matter.
      boolean swap = disc[i] < 0;
      double partRe = swap ? rootIm[i] : root[i];
      double partIm = swap ? root[i] : rootIm[i];
      double sign = re[i] * partRe + im[i] * partIm < 0 ? -1 : 1;
      re[i] += sign * partRe;
      im[i] += sign * partIm;
    }
  }

  private void smaller(
      double[] xRe,
      double[] xIm,
      double[] yRe,
      double[] yIm,
      double[] re,
      double[] im,
      double[] otherRe,
      double[] otherIm) {
    double d = scalePa * scalePa * factors.determinant();
    for (int i = 0; i < re.length; i++) {
      double detRe = d * (xRe[i] * yRe[i] - xIm[i] * yIm[i]);
      double detIm = d * (xRe[i] * yIm[i] + xIm[i] * yRe[i]);
      double over = 1 / (re[i] * re[i] + im[i] * im[i] + Double.MIN_NORMAL);
      otherRe[i] = (detRe * re[i] + detIm * im[i]) * over;
      otherIm[i] = (detIm * re[i] - detRe * im[i]) * over;
    }
  }

  private static void sum(Receptance[] all, double[] hz, double[] re, double[] im) {
    Arrays.fill(re, 0);
    Arrays.fill(im, 0);
    for (Receptance one : all) {
      if (one instanceof Mode mode) {
        add(mode, hz, re, im);
      } else if (one instanceof ModalModel model) {
        model.modes().forEach(mode -> add(mode, hz, re, im));
        addOther(model.residual(), hz, re, im);
      } else {
        addOther(one, hz, re, im);
      }
    }
  }

  private static void add(Mode mode, double[] hz, double[] re, double[] im) {
    double scale = 1 / mode.frequencyHz();
    double twiceZeta = 2 * mode.dampingRatio();
    double compliance = 1 / mode.stiffnessNPerM();
    for (int i = 0; i < hz.length; i++) {
      double r = hz[i] * scale;
      double a = 1 - r * r;
      double b = twiceZeta * r;
      double size = compliance / (a * a + b * b);
      re[i] += a * size;
      im[i] -= b * size;
    }
  }

  private static void addOther(Receptance one, double[] hz, double[] re, double[] im) {
    if (one == Receptance.RIGID || one.equals(Residual.NONE)) {
      return;
    }
    double[] into = new double[2];
    for (int i = 0; i < hz.length; i++) {
      one.at(hz[i], into);
      re[i] += into[0];
      im[i] += into[1];
    }
  }

  private static void sum(Receptance[] all, double hz, double[] into) {
    double re = 0;
    double im = 0;
    for (Receptance one : all) {
      one.at(hz, into);
      re += into[0];
      im += into[1];
    }
    into[0] = re;
    into[1] = im;
  }

  /** Eigenvalues of scale·G·a from the receptances, the larger first. */
  void eigenvalues(double xRe, double xIm, double yRe, double yIm, double[] into) {
    double halfRe = 0.5 * scalePa * (factors.axx() * xRe + factors.ayy() * yRe);
    double halfIm = 0.5 * scalePa * (factors.axx() * xIm + factors.ayy() * yIm);
    double d = scalePa * scalePa * factors.determinant();
    double detRe = d * (xRe * yRe - xIm * yIm);
    double detIm = d * (xRe * yIm + xIm * yRe);
    double discRe = halfRe * halfRe - halfIm * halfIm - detRe;
    double discIm = 2 * halfRe * halfIm - detIm;
    double size = Math.sqrt(discRe * discRe + discIm * discIm);
    double rootRe = Math.sqrt(0.5 * (size + Math.abs(discRe)));
    double rootIm = rootRe == 0 ? 0 : 0.5 * discIm / rootRe;
    if (discRe < 0) {
      double swap = rootRe;
      rootRe = Math.abs(rootIm);
      rootIm = Math.copySign(swap, discIm);
    }
    if (halfRe * rootRe + halfIm * rootIm < 0) {
      rootRe = -rootRe;
      rootIm = -rootIm;
    }
    // The larger eigenvalue adds without cancelling; the smaller one is the determinant over it.
    double re = halfRe + rootRe;
    double im = halfIm + rootIm;
    double square = re * re + im * im;
    into[0] = re;
    into[1] = im;
    into[2] = square == 0 ? 0 : (detRe * re + detIm * im) / square;
    into[3] = square == 0 ? 0 : (detIm * re - detRe * im) / square;
  }
}
