package ringtrue.fitting;

import java.util.Optional;
import org.apache.commons.math3.linear.Array2DRowRealMatrix;
import org.apache.commons.math3.linear.CholeskyDecomposition;
import org.apache.commons.math3.linear.NonPositiveDefiniteMatrixException;
import ringtrue.fitting.ModalParameters.Term;

/**
 * Whether the two inputs treat their signals differently, as a fitted response shows it.
 *
 * <p>High-pass corners of ff in the force's and fx in the response's input multiply the response by
 * {@code (s + 2πff)/(s + 2πfx)}, nearly {@code 1 + 2π(ff − fx)/s}; a response sampled later by Δt
 * multiplies it by nearly {@code 1 + s Δt}. Each is one more unknown of the fit, whose best value
 * and worth in chi-square follow from the normal equations at the fitted modes.
 *
 * @param cornersHz ff − fx, Hz, if that explains the response better; otherwise 0
 * @param laterS Δt, s, if that does; otherwise 0
 */
record InputMismatch(double cornersHz, double laterS) {

  /** Chi-square that an explanation has to save. */
  private static final double GAIN = 40;

  /** How many times more it has to save than the other. */
  private static final double BETTER = 1.5;

  /** Part of the misfit that it has to explain. */
  private static final double PART = 0.5;

  /** Less than these changes nothing that matters. */
  private static final double SMALLEST_HZ = 0.5;

  /** Modes outside the band bend the response as a smaller difference does. */
  private static final double LARGE_HZ = 3;

  private static final double SMALLEST_S = 0.5e-6;

  static Optional<InputMismatch> of(FitLines lines, ModalParameters fitted) {
    if (fitted.terms().isEmpty()) {
      return Optional.empty();
    }
    // a term without compliance keeps the groups short near frequency 0, where 1/s bends most
    Term nothing = new Term(0.5 * lines.spacing, 0.5, 0, 0);
    FitLines few = LineGroups.of(lines, null, fitted.with(nothing));
    ModalRefinement refinement = new ModalRefinement(few);
    ModalRefinement.Fit real = refinement.from(fitted, 25, 1e-9);
    double[] corner = oneMore(few, refinement, real.parameters(), true);
    double[] later = oneMore(few, refinement, real.parameters(), false);
    double unexplained = real.chiSquare() - Math.max(corner[1], later[1]);
    double scale = Math.max(1, unexplained / (2 * lines.size()));
    boolean byCorner = corner[1] > later[1];
    double gain = Math.max(corner[1], later[1]);
    double other = Math.min(corner[1], later[1]);
    double saved = real.chiSquare() - 2 * lines.size();
    if (gain < GAIN * scale || gain < BETTER * other || gain < PART * saved) {
      return Optional.empty();
    }
    double hz = corner[0] / (2 * Math.PI);
    if (byCorner ? Math.abs(hz) < SMALLEST_HZ : Math.abs(later[0]) < SMALLEST_S) {
      return Optional.empty();
    }
    return Optional.of(new InputMismatch(byCorner ? hz : 0, byCorner ? 0 : later[0]));
  }

  /**
   * One more unknown beside all others.
   *
   * @return its value and what it saves in chi-square
   */
  private static double[] oneMore(
      FitLines lines, ModalRefinement refinement, ModalParameters p, boolean corner) {
    int n = 3 * p.terms().size() + 2;
    double[] re = new double[n + 1];
    double[] im = new double[n + 1];
    double[] misfitRe = new double[lines.size()];
    double[] misfitIm = new double[lines.size()];
    double[] unit = new double[2];
    p.misfit(lines, misfitRe, misfitIm);
    double[][] normal = new double[n + 1][n + 1];
    double[] gradient = new double[n + 1];
    double a = lines.shift;
    for (int i = 0; i < lines.size(); i++) {
      double w = lines.omega[i];
      refinement.derivatives(p, w, re, im, unit);
      double gr = lines.re[i] - misfitRe[i];
      double gi = lines.im[i] - misfitIm[i];
      double q = corner ? a * a + w * w : 1;
      double fr = a / q;
      double fi = corner ? -w / q : w;
      re[n] = gr * fr - gi * fi;
      im[n] = gr * fi + gi * fr;
      double weight = 1 / (lines.sigma[i] * lines.sigma[i]);
      for (int r = 0; r <= n; r++) {
        gradient[r] += weight * (re[r] * misfitRe[i] + im[r] * misfitIm[i]);
        for (int c = 0; c <= n; c++) {
          normal[r][c] += weight * (re[r] * re[c] + im[r] * im[c]);
        }
      }
    }
    double[] scale = new double[n + 1];
    for (int r = 0; r <= n; r++) {
      scale[r] = normal[r][r] > 0 ? 1 / Math.sqrt(normal[r][r]) : 0;
    }
    for (int r = 0; r <= n; r++) {
      gradient[r] *= scale[r];
      for (int c = 0; c <= n; c++) {
        normal[r][c] = r == c ? 1 : normal[r][c] * scale[r] * scale[c];
      }
    }
    try {
      double[][] inverse =
          new CholeskyDecomposition(new Array2DRowRealMatrix(normal, false), 1e-10, 1e-12)
              .getSolver()
              .getInverse()
              .getData();
      double value = 0;
      for (int c = 0; c <= n; c++) {
        value += inverse[n][c] * gradient[c];
      }
      return new double[] {value * scale[n], value * value / inverse[n][n]};
    } catch (NonPositiveDefiniteMatrixException tooAlike) {
      return new double[] {0, 0};
    }
  }

  /** A response sampled so much later, s. */
  static InputMismatch late(double laterS) {
    return new InputMismatch(0, laterS);
  }

  /** Whether it is more than what modes outside the band look like. */
  boolean isLarge() {
    return laterS != 0 || Math.abs(cornersHz) > LARGE_HZ;
  }

  /** What a reader should know, and do. */
  String remark() {
    if (laterS != 0) {
      return "The phases of the response look as if the response's channel were sampled "
          + Sentence.digits(1e6 * Math.abs(laterS), 2)
          + " us "
          + (laterS > 0 ? "later" : "earlier")
          + " than the force's: check the time shift between the channels; \"channelSkew\": \""
          + Sentence.digits(1e6 * laterS, 2)
          + " us\" in the measurement file would take it out (added to one that is there).";
    }
    return "The phases at low frequencies look as if the "
        + (cornersHz < 0 ? "response's" : "force's")
        + " input had a high-pass whose corner is "
        + Sentence.digits(Math.abs(cornersHz), 2)
        + " Hz above that of the "
        + (cornersHz < 0 ? "force's" : "response's")
        + ", as AC-coupled inputs have; low modes come out a little wrong in frequency and phase:"
        + " give highPass for each channel, or couple both alike.";
  }
}
