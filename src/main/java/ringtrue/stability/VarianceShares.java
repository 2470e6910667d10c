package ringtrue.stability;

import java.util.Arrays;
import java.util.List;
import org.apache.commons.math3.linear.Array2DRowRealMatrix;
import org.apache.commons.math3.linear.CholeskyDecomposition;
import org.apache.commons.math3.linear.RealMatrix;
import ringtrue.stability.UncertainInputs.Input;
import ringtrue.stability.UncertainInputs.Shape;

/**
 * Which input moves an output most: first-order shares of the output's variance (Sobol' 1993) from
 * a least-squares polynomial in each input, orthonormal for its distribution (Sudret 2008), so that
 * a share is a sum of squared coefficients. Inputs that matter only together with others show in no
 * share. What chance alone puts into a squared coefficient is taken off.
 */
final class VarianceShares {
  private static final int HIGHEST_DEGREE = 3;
  private static final int SAMPLES_PER_COEFFICIENT = 4;

  private final int inputs;
  private final int degree;
  private final RealMatrix terms;
  private final RealMatrix inverse;
  private final double[] variance;
  private final double[] slope;
  private double total;
  private int outputs;

  /**
   * @param inputs the inputs
   * @param rows standardised values, {@code [sample][input]}; at least {@link #fewestSamples}
   */
  VarianceShares(List<Input> inputs, double[][] rows) {
    this.inputs = inputs.size();
    this.degree =
        Math.max(
            1, Math.min(HIGHEST_DEGREE, rows.length / (SAMPLES_PER_COEFFICIENT * inputs.size())));
    this.variance = new double[this.inputs];
    this.slope = new double[this.inputs];
    double[][] all = new double[rows.length][1 + degree * this.inputs];
    for (int i = 0; i < rows.length; i++) {
      all[i][0] = 1;
      for (int j = 0; j < this.inputs; j++) {
        for (int d = 1; d <= degree; d++) {
          all[i][1 + degree * j + d - 1] = polynomial(inputs.get(j).shape(), d, rows[i][j]);
        }
      }
    }
    this.terms = new Array2DRowRealMatrix(all, false);
    this.inverse =
        new CholeskyDecomposition(terms.transpose().multiply(terms)).getSolver().getInverse();
  }

  /** Samples that so many inputs need. */
  static int fewestSamples(int inputs) {
    return SAMPLES_PER_COEFFICIENT * (inputs + 1);
  }

  /** Hermite polynomials for normal inputs, Legendre for uniform ones, each with variance 1. */
  static double polynomial(Shape shape, int degree, double z) {
    if (degree == 1) {
      return z;
    }
    double square = z * z;
    if (shape == Shape.NORMAL) {
      return degree == 2 ? (square - 1) / Math.sqrt(2) : z * (square - 3) / Math.sqrt(6);
    }
    return degree == 2
        ? Math.sqrt(5) * 0.5 * (square - 1)
        : Math.sqrt(7) * z / Math.sqrt(3) * 0.5 * (5 * square / 3 - 3);
  }

  /** Takes in one output, a value for each sample. */
  void add(double[] output) {
    int n = output.length;
    double[] projected = terms.preMultiply(output);
    double[] coefficients = inverse.operate(projected);
    double[] fitted = terms.operate(coefficients);
    double mean = Arrays.stream(output).average().orElseThrow();
    double left = 0;
    double all = 0;
    for (int i = 0; i < n; i++) {
      left += (output[i] - fitted[i]) * (output[i] - fitted[i]);
      all += (output[i] - mean) * (output[i] - mean);
    }
    double noise = left / (n - coefficients.length);
    total += all / (n - 1);
    outputs++;
    for (int j = 0; j < inputs; j++) {
      for (int d = 0; d < degree; d++) {
        int at = 1 + degree * j + d;
        variance[j] += coefficients[at] * coefficients[at] - noise * inverse.getEntry(at, at);
      }
      slope[j] += coefficients[1 + degree * j];
    }
  }

  /** Share of the variance of all outputs that input j makes by itself, 0 to 1. */
  double share(int j) {
    return total > 0 ? Math.max(0, Math.min(1, variance[j] / total)) : 0;
  }

  /** Mean over the outputs of their average change by one standard deviation of input j. */
  double slope(int j) {
    return outputs > 0 ? slope[j] / outputs : 0;
  }
}
