package ringtrue.fitting;

import java.util.List;
import java.util.Random;
import org.jtransforms.fft.DoubleFFT_1D;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Residual;

/**
 * Frequency responses as a hammer, an acceleration sensor and an H1 average would give them: force
 * spectrum of a sin² pulse, white sensor noise (so that the receptance's noise grows as 1/ω²),
 * noise on the force channel, taps of unequal strength, and coherence from the simulated spectra of
 * the single taps.
 */
final class SyntheticTaps {
  List<Mode> modes = List.of();

  /** Modes of the structure that lie outside what the fit is meant to find. */
  List<Mode> hidden = List.of();

  Residual residual = Residual.NONE;
  double sampleRateHz = 16384;
  int blockLength = 16384;
  int averages = 6;
  double contactS = 0.4e-3;

  /** Ratio of a single tap's largest acceleration line to the sensor's noise, dB. */
  double snrDb = 70;

  /** The same for the force channel. */
  double forceSnrDb = 80;

  double windowTimeConstantS = Double.POSITIVE_INFINITY;

  /** Spread of the gain from tap to tap, a fraction. */
  double gainScatter = 0;

  /** Amplitude of 50 Hz hum in the sensor, as a fraction of the largest line. */
  double hum = 0;

  boolean reversed;
  boolean coherenceKnown = true;
  double lowestHz = 10;

  SyntheticTaps(Mode... modes) {
    this.modes = List.of(modes);
  }

  FrequencyResponse measure(long seed) {
    Random random = new Random(seed);
    double df = sampleRateHz / blockLength;
    int n = blockLength / 2 - 1;
    double shift = 1 / windowTimeConstantS;
    double[] hz = new double[n];
    double[] gr = new double[n];
    double[] gi = new double[n];
    double[] force = new double[n];
    double largest = 0;
    for (int i = 0; i < n; i++) {
      hz[i] = df * (i + 1);
      force[i] = Math.abs(pulse(hz[i] * contactS));
      double[] g = exact(shift, 2 * Math.PI * hz[i]);
      gr[i] = reversed ? -g[0] : g[0];
      gi[i] = reversed ? -g[1] : g[1];
      if (hz[i] > lowestHz) {
        double w = 2 * Math.PI * hz[i];
        largest = Math.max(largest, Math.hypot(gr[i], gi[i]) * w * w * force[i]);
      }
    }
    double[] sff = new double[n];
    double[] sxx = new double[n];
    double[] sr = new double[n];
    double[] si = new double[n];
    for (int tap = 0; tap < averages; tap++) {
      double strength = Math.exp(0.2 * random.nextGaussian());
      double gain = 1 + gainScatter * random.nextGaussian();
      double[] sensor = noise(random, shift);
      double[] hammer = noise(random, shift);
      double humPhase = 2 * Math.PI * random.nextDouble();
      for (int i = 0; i < n; i++) {
        double w = 2 * Math.PI * hz[i];
        double noiseX = largest * Math.pow(10, -snrDb / 20);
        double noiseF = Math.pow(10, -forceSnrDb / 20);
        double fr = strength * force[i];
        // s² = (a + iw)², so that 1/s² is q
        double qr = (shift * shift - w * w);
        double qi = 2 * shift * w;
        double q = qr * qr + qi * qi;
        double nr = noiseX * sensor[2 * (i + 1)];
        double ni = noiseX * sensor[2 * (i + 1) + 1];
        if (hum > 0 && Math.abs(hz[i] % 50) < 1e-6 && hz[i] < 400) {
          nr += hum * largest * Math.cos(humPhase);
          ni += hum * largest * Math.sin(humPhase);
        }
        double xr = gain * gr[i] * fr + (nr * qr + ni * qi) / q;
        double xi = gain * gi[i] * fr + (ni * qr - nr * qi) / q;
        double mr = fr + noiseF * hammer[2 * (i + 1)];
        double mi = noiseF * hammer[2 * (i + 1) + 1];
        sff[i] += mr * mr + mi * mi;
        sxx[i] += xr * xr + xi * xi;
        sr[i] += mr * xr + mi * xi;
        si[i] += mr * xi - mi * xr;
      }
    }
    double[] re = new double[n];
    double[] im = new double[n];
    double[] coherence = new double[n];
    double[] error = new double[n];
    double high = hz[n - 1];
    for (int i = n - 1; i >= 0; i--) {
      re[i] = sr[i] / sff[i];
      im[i] = si[i] / sff[i];
      double g2 = Math.min(1, (sr[i] * sr[i] + si[i] * si[i]) / (sff[i] * sxx[i]));
      boolean known = coherenceKnown && averages > 1;
      coherence[i] = known ? g2 : Double.NaN;
      error[i] = known ? Math.sqrt((1 - g2) / (2 * averages * g2)) : Double.NaN;
      if (hz[i] * contactS > 0.5 && force[i] < 0.1) {
        high = hz[i];
      }
    }
    return new FrequencyResponse(
        hz,
        re,
        im,
        coherence,
        error,
        new FrequencyResponse.Origin(
            "x", "tip", averages, windowTimeConstantS, lowestHz, high, "simulated", List.of()));
  }

  /** G at s = shift + iω from its definition, with plain complex arithmetic. */
  double[] exact(double shift, double w) {
    double s2r = shift * shift - w * w;
    double s2i = 2 * shift * w;
    double q = s2r * s2r + s2i * s2i;
    double re = residual.upperMPerN() + residual.lowerPerKg() * s2r / q;
    double im = -residual.lowerPerKg() * s2i / q;
    for (List<Mode> some : List.of(modes, hidden)) {
      for (Mode mode : some) {
        double wn = 2 * Math.PI * mode.frequencyHz();
        double dr = s2r + 2 * mode.dampingRatio() * wn * shift + wn * wn;
        double di = s2i + 2 * mode.dampingRatio() * wn * w;
        double a = wn * wn / mode.stiffnessNPerM() / (dr * dr + di * di);
        re += a * dr;
        im -= a * di;
      }
    }
    return new double[] {re, im};
  }

  /** Spectrum of sin²(πt/T) over its value at 0: sin(πx)/(πx)/(1 − x²), x = f T. */
  private static double pulse(double x) {
    if (Math.abs(x - 1) < 1e-9) {
      return 0.5;
    }
    return Math.sin(Math.PI * x) / (Math.PI * x) / (1 - x * x);
  }

  /** Spectrum of windowed white noise with variance 1 of real and imaginary part each. */
  private double[] noise(Random random, double shift) {
    double[] x = new double[2 * blockLength];
    double power = 0;
    for (int i = 0; i < blockLength; i++) {
      double window = Math.exp(-shift * i / sampleRateHz);
      x[2 * i] = window * random.nextGaussian();
      power += window * window;
    }
    new DoubleFFT_1D(blockLength).complexForward(x);
    double scale = Math.sqrt(2 / power);
    for (int i = 0; i < x.length; i++) {
      x[i] *= scale;
    }
    return x;
  }
}
