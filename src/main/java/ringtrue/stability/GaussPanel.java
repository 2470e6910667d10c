package ringtrue.stability;

import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.ConcurrentMap;
import org.apache.commons.math3.analysis.integration.gauss.GaussIntegrator;
import org.apache.commons.math3.analysis.integration.gauss.GaussIntegratorFactory;
import org.apache.commons.math3.linear.Array2DRowRealMatrix;
import org.apache.commons.math3.linear.EigenDecomposition;
import org.apache.commons.math3.linear.LUDecomposition;
import org.apache.commons.math3.linear.RealMatrix;

/**
 * Collocation at the Gauss–Legendre nodes of a stretch of time of length one.
 *
 * <p>The matrix S integrates from the start of the stretch to each node, exactly for polynomials of
 * degree below the number of nodes. Differentiation with a start from rest is its inverse, so that
 * a receptance G(s) turns the forces at the nodes into displacements there by the matrix function
 * {@code G(S⁻¹/h)} (Gauss collocation, Butcher 1964; as a function of the transform: Lubich &
 * Ostermann 1993). With the eigenvalues of S this takes one value of G for each pair of nodes.
 */
final class GaussPanel {
  /**
   * Most nodes of a stretch; the condition of the eigenvectors of S, and with it the rounding
   * error, grows tenfold with every two nodes.
   */
  static final int MOST_NODES = 14;

  private static final ConcurrentMap<Integer, GaussPanel> MADE = new ConcurrentHashMap<>();

  private final double[] node;
  private final double[] weight;
  private final double[] barycentric;
  private final double[] eigenRe;
  private final double[] eigenIm;
  private final double[][] even;
  private final double[][] odd;

  private GaussPanel(int p) {
    GaussIntegrator rule = new GaussIntegratorFactory().legendre(p, 0, 1);
    node = new double[p];
    weight = new double[p];
    for (int i = 0; i < p; i++) {
      node[i] = rule.getPoint(i);
      weight[i] = rule.getWeight(i);
    }
    barycentric = new double[p];
    for (int j = 0; j < p; j++) {
      barycentric[j] = 1;
      for (int i = 0; i < p; i++) {
        if (i != j) {
          barycentric[j] /= 4 * (node[j] - node[i]);
        }
      }
    }
    EigenDecomposition eigen = new EigenDecomposition(integration(p));
    RealMatrix v = eigen.getV();
    RealMatrix inverse = new LUDecomposition(v).getSolver().getInverse();
    int kept = 0;
    double[] re = new double[p];
    double[] im = new double[p];
    double[][] a = new double[p][];
    double[][] b = new double[p][];
    for (int i = 0; i < p; i++) {
      re[kept] = eigen.getRealEigenvalue(i);
      im[kept] = eigen.getImagEigenvalue(i);
      boolean pair = im[kept] != 0;
      a[kept] = new double[p * p];
      b[kept] = new double[p * p];
      for (int r = 0; r < p; r++) {
        for (int c = 0; c < p; c++) {
          a[kept][r * p + c] = v.getEntry(r, i) * inverse.getEntry(i, c);
          if (pair) {
            a[kept][r * p + c] += v.getEntry(r, i + 1) * inverse.getEntry(i + 1, c);
            b[kept][r * p + c] =
                v.getEntry(r, i) * inverse.getEntry(i + 1, c)
                    - v.getEntry(r, i + 1) * inverse.getEntry(i, c);
          }
        }
      }
      kept++;
      if (pair) {
        i++;
      }
    }
    eigenRe = java.util.Arrays.copyOf(re, kept);
    eigenIm = java.util.Arrays.copyOf(im, kept);
    even = java.util.Arrays.copyOf(a, kept);
    odd = java.util.Arrays.copyOf(b, kept);
  }

  /** The panel with p nodes, 2 to {@link #MOST_NODES}. */
  static GaussPanel of(int p) {
    return MADE.computeIfAbsent(p, GaussPanel::new);
  }

  /** Integrals from 0 to each node of the polynomials that are 1 at one node, 0 at the others. */
  private RealMatrix integration(int p) {
    GaussIntegratorFactory factory = new GaussIntegratorFactory();
    RealMatrix s = new Array2DRowRealMatrix(p, p);
    for (int i = 0; i < p; i++) {
      GaussIntegrator upTo = factory.legendre(p, 0, node[i]);
      for (int j = 0; j < p; j++) {
        int of = j;
        s.setEntry(i, j, upTo.integrate(x -> lagrange(of, x)));
      }
    }
    return s;
  }

  private double lagrange(int j, double x) {
    double value = 1;
    for (int i = 0; i < node.length; i++) {
      if (i != j) {
        value *= (x - node[i]) / (node[j] - node[i]);
      }
    }
    return value;
  }

  int nodes() {
    return node.length;
  }

  /** Place of node i between 0 and 1. */
  double node(int i) {
    return node[i];
  }

  /** Gauss weight of node i; the weights sum to 1. */
  double weight(int i) {
    return weight[i];
  }

  /** How many values of a transform {@link #matrix} takes. */
  int values() {
    return eigenRe.length;
  }

  /** Real part of the eigenvalue of S that value number v belongs to. */
  double eigenRe(int v) {
    return eigenRe[v];
  }

  /** Its imaginary part. */
  double eigenIm(int v) {
    return eigenIm[v];
  }

  /**
   * The matrix function whose values at the eigenvalues of S are given: adds it to {@code into}.
   *
   * @param re real part of the function at each eigenvalue
   * @param im its imaginary part
   * @param into nodes × nodes, by rows
   */
  void matrix(double[] re, double[] im, double[] into) {
    for (int v = 0; v < eigenRe.length; v++) {
      double[] a = even[v];
      double[] b = odd[v];
      double x = re[v];
      double y = im[v];
      for (int i = 0; i < into.length; i++) {
        into[i] += x * a[i] + y * b[i];
      }
    }
  }

  /**
   * Weights that interpolate between the nodes (barycentric formula, Berrut & Trefethen 2004).
   *
   * @param x place between 0 and 1
   * @param into room for one weight for each node
   */
  void interpolate(double x, double[] into) {
    double sum = 0;
    for (int i = 0; i < node.length; i++) {
      double away = x - node[i];
      if (Math.abs(away) < 1e-12) {
        java.util.Arrays.fill(into, 0, node.length, 0);
        into[i] = 1;
        return;
      }
      into[i] = barycentric[i] / away;
      sum += into[i];
    }
    for (int i = 0; i < node.length; i++) {
      into[i] /= sum;
    }
  }
}
