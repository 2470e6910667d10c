package ringtrue.fitting;

import java.util.ArrayList;
import java.util.List;
import org.apache.commons.math3.linear.Array2DRowRealMatrix;
import org.apache.commons.math3.linear.CholeskyDecomposition;
import org.apache.commons.math3.linear.RealMatrix;
import ringtrue.acquisition.Blow;
import ringtrue.dynamics.Mode;
import ringtrue.fitting.ModalParameters.Term;

/**
 * Cramér-Rao bound for the modes of a rig, from what is known of it and nothing that was estimated.
 *
 * <p>Known are the response's spectrum X = G F in white noise and the force's samples in white
 * noise, and that there is no force outside the contact. Unknown are all values of the modes inside
 * the band, the two residual terms, and every force sample of every blow; the force is eliminated
 * (Schur complement of the information matrix). Taps are heard out without a window, so that lines
 * can be placed at will. The sensor's mass is known, and so is a high-pass, which lowers the
 * response but not its noise. A gain that scatters over n taps by v cannot be told from stiffness:
 * its mean adds v²/n to the variance of k.
 *
 * <p>Left out: what an estimate loses by not knowing the noise or the contact, by cutting taps off,
 * by windows, by hum, and by averaging spectra instead of weighing taps.
 */
final class AccuracyBound {
  private final AccuracyRig rig;
  private final List<Blow> blows;

  AccuracyBound(AccuracyRig rig) {
    this.rig = rig;
    this.blows = rig.plan().blows(rig.seed);
  }

  /** Continuous spectrum of a sin² blow, N s: P T/2 · sin(πx)/(πx)/(1 − x²), x = f T. */
  private static double spectrum(Blow blow, double hz) {
    double x = hz * blow.contactS();
    double half = blow.peakForceN() * blow.contactS() / 2;
    if (Math.abs(x - 1) < 1e-9) {
      return half / 2;
    }
    return half * Math.sin(Math.PI * x) / (Math.PI * x) / (1 - x * x);
  }

  private double exact(double hz, double[] into) {
    double[] one = new double[2];
    into[0] = 0;
    into[1] = 0;
    for (Mode mode : rig.modes) {
      mode.at(hz, one);
      into[0] += one[0];
      into[1] += one[1];
    }
    return Math.hypot(into[0], into[1]);
  }

  /**
   * Power E|b|² that the response's noise puts into a line of the displacement's continuous
   * spectrum, (m s)², for lines so far apart.
   */
  private double noisePower(double hz, double resolutionHz) {
    double omega = 2 * Math.PI * hz;
    double passed = hz * hz / (hz * hz + rig.responseHighPassHz * rig.responseHighPassHz);
    double accelerance = rig.responseNoise / (omega * omega);
    return accelerance * accelerance / passed / (rig.sampleRateHz * resolutionHz);
  }

  /**
   * One-sigma noise of real and of imaginary part of the receptance's lines, m/N, as the response's
   * noise makes it.
   */
  double lineSigma(double hz, double resolutionHz) {
    double power = 0;
    for (Blow blow : blows) {
      double f = spectrum(blow, hz);
      power += f * f;
    }
    return Math.sqrt(noisePower(hz, resolutionHz) / power / 2);
  }

  /** Lines that lie close where the response is sharp: distances of a twelfth of a bandwidth. */
  private static double[] grid(List<Term> terms, double lowHz, double highHz) {
    List<Double> lines = new ArrayList<>();
    double hz = lowHz;
    while (hz < highHz) {
      lines.add(hz);
      double nearest = 20 * hz;
      for (Term t : terms) {
        nearest = Math.min(nearest, Math.hypot(hz - t.hz(), t.zeta() * t.hz()));
      }
      hz += Math.min(nearest / 6, (highHz - lowHz) / 200);
    }
    lines.add(highHz);
    return lines.stream().mapToDouble(Double::doubleValue).toArray();
  }

  /**
   * Least possible relative one-sigma errors.
   *
   * @param inside modes to be found
   * @param lowHz lower end of the band
   * @param highHz upper end
   * @return for each mode those of fn, ζ and k
   */
  double[][] sigmas(List<Mode> inside, double lowHz, double highHz) {
    List<Term> terms = new ArrayList<>();
    for (Mode m : inside) {
      terms.add(
          new Term(2 * Math.PI * m.frequencyHz(), m.dampingRatio(), 1 / m.stiffnessNPerM(), 0));
    }
    double[] hz = grid(terms, lowHz, highHz);
    int unknowns = 3 * terms.size() + 2;
    int samples = (int) Math.ceil(blows.get(0).contactS() * rig.sampleRateHz);
    double[][] information = new double[unknowns][unknowns];
    double[] forces = new double[samples];
    double[][][] mixed = new double[blows.size()][unknowns][samples];
    double[] re = new double[unknowns];
    double[] im = new double[unknowns];
    double[] g = new double[2];
    FitLines nothing = new FitLines(hz, hz, hz, hz, 0, 1);
    ModalRefinement model = new ModalRefinement(nothing);
    ModalParameters truth = new ModalParameters(terms, 0, 0);
    for (int i = 0; i < hz.length; i++) {
      double omega = 2 * Math.PI * hz[i];
      double width = (hz[Math.min(i + 1, hz.length - 1)] - hz[Math.max(i - 1, 0)]) / 2;
      double weight = 2 / noisePower(hz[i], width);
      model.derivatives(truth, omega, re, im, new double[2]);
      exact(hz[i], g);
      loaded(omega, g, re, im);
      double power = 0;
      for (int k = 0; k < blows.size(); k++) {
        double f = spectrum(blows.get(k), hz[i]);
        power += f * f;
        // f is real about the middle of the contact, from where samples are counted
        for (int j = 0; j < samples; j++) {
          double phase = omega * (j - (samples - 1) / 2.0) / rig.sampleRateHz;
          double cos = Math.cos(phase);
          double sin = Math.sin(phase);
          double xr = (g[0] * cos + g[1] * sin) / rig.sampleRateHz;
          double xi = (g[1] * cos - g[0] * sin) / rig.sampleRateHz;
          for (int u = 0; u < unknowns; u++) {
            mixed[k][u][j] += weight * f * (re[u] * xr + im[u] * xi);
          }
        }
      }
      for (int u = 0; u < unknowns; u++) {
        for (int v = 0; v < unknowns; v++) {
          information[u][v] += weight * power * (re[u] * re[v] + im[u] * im[v]);
        }
      }
      double size = (g[0] * g[0] + g[1] * g[1]) / (rig.sampleRateHz * rig.sampleRateHz);
      for (int lag = 0; lag < samples; lag++) {
        forces[lag] += weight * size * Math.cos(omega * lag / rig.sampleRateHz);
      }
    }
    eliminateForces(information, forces, mixed);
    return relative(terms, information);
  }

  /** The response and its derivatives as they are with the sensor's mass: G/(1 + m s² G). */
  private void loaded(double omega, double[] g, double[] re, double[] im) {
    double q = -rig.sensorMassKg * omega * omega;
    double dr = 1 + q * g[0];
    double di = q * g[1];
    double d = dr * dr + di * di;
    double ir = dr / d;
    double ii = -di / d;
    double x = g[0] * ir - g[1] * ii;
    g[1] = g[0] * ii + g[1] * ir;
    g[0] = x;
    double sr = ir * ir - ii * ii;
    double si = 2 * ir * ii;
    for (int u = 0; u < re.length; u++) {
      double r = re[u] * sr - im[u] * si;
      im[u] = re[u] * si + im[u] * sr;
      re[u] = r;
    }
  }

  private void eliminateForces(double[][] information, double[] forces, double[][][] mixed) {
    int samples = forces.length;
    double[][] all = new double[samples][samples];
    for (int i = 0; i < samples; i++) {
      for (int j = 0; j < samples; j++) {
        all[i][j] = forces[Math.abs(i - j)];
      }
      all[i][i] += 1 / (rig.forceNoise * rig.forceNoise);
    }
    RealMatrix known = inverse(all);
    for (double[][] one : mixed) {
      RealMatrix cross = new Array2DRowRealMatrix(one, false);
      double[][] lost = cross.multiply(known).multiply(cross.transpose()).getData();
      for (int u = 0; u < lost.length; u++) {
        for (int v = 0; v < lost.length; v++) {
          information[u][v] -= lost[u][v];
        }
      }
    }
  }

  private double[][] relative(List<Term> terms, double[][] information) {
    RealMatrix covariance = inverse(information);
    double[][] bounds = new double[terms.size()][3];
    double gain = rig.gainSpread / Math.sqrt(rig.taps);
    for (int j = 0; j < bounds.length; j++) {
      for (int q = 0; q < 3; q++) {
        bounds[j][q] = Math.sqrt(covariance.getEntry(3 * j + q, 3 * j + q));
      }
      bounds[j][2] = Math.hypot(bounds[j][2] / terms.get(j).compliance(), gain);
    }
    return bounds;
  }

  private static RealMatrix inverse(double[][] matrix) {
    int n = matrix.length;
    double[] scale = new double[n];
    for (int r = 0; r < n; r++) {
      scale[r] = 1 / Math.sqrt(matrix[r][r]);
    }
    double[][] scaled = new double[n][n];
    for (int r = 0; r < n; r++) {
      for (int c = 0; c < n; c++) {
        scaled[r][c] = (matrix[r][c] + matrix[c][r]) / 2 * scale[r] * scale[c];
      }
    }
    RealMatrix inverse =
        new CholeskyDecomposition(new Array2DRowRealMatrix(scaled, false), 1e-9, 1e-14)
            .getSolver()
            .getInverse();
    for (int r = 0; r < n; r++) {
      for (int c = 0; c < n; c++) {
        inverse.multiplyEntry(r, c, scale[r] * scale[c]);
      }
    }
    return inverse;
  }
}
