package ringtrue.fitting;

import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Receptance;
import ringtrue.fitting.SetUpComparison.Agreement;

/**
 * Two responses at the same frequencies. Between lines it is the misfit that is interpolated, with
 * the model exact, so that peaks narrower than a few lines stay what they are. Where the
 * exponential windows differ, the modes without any window take the place of those with it.
 */
final class CommonLines {
  private final double[] hz;
  private final double[][] before;
  private final double[][] now;
  private final double[] noiseBefore;
  private final double[] noiseNow;
  private final double timeConstantS;
  private final boolean throughModels;

  private CommonLines(FittedResponse before, FittedResponse now, double[] hz) {
    double rateBefore = 1 / before.response().windowTimeConstantS();
    double rateNow = 1 / now.response().windowTimeConstantS();
    throughModels = Math.abs(rateBefore - rateNow) > 1e-6 * Math.max(Math.abs(rateBefore), rateNow);
    timeConstantS =
        throughModels ? Double.POSITIVE_INFINITY : before.response().windowTimeConstantS();
    this.hz = hz;
    this.before = values(before, hz, timeConstantS);
    this.now = values(now, hz, timeConstantS);
    noiseBefore = noise(before.fitted().noise(), hz);
    noiseNow = noise(now.fitted().noise(), hz);
  }

  /** The lines of the coarser response within both fitted bands; may be none. */
  static CommonLines of(FittedResponse before, FittedResponse now) {
    double low = Math.max(before.fitted().bandLowHz(), now.fitted().bandLowHz());
    double high = Math.min(before.fitted().bandHighHz(), now.fitted().bandHighHz());
    FrequencyResponse coarse =
        before.response().resolutionHz() > now.response().resolutionHz()
            ? before.response()
            : now.response();
    int from = coarse.firstLineAtOrAbove(low * (1 - 1e-9));
    int to = coarse.firstLineAtOrAbove(Math.nextUp(high * (1 + 1e-9)));
    double[] hz = new double[Math.max(0, to - from)];
    for (int i = 0; i < hz.length; i++) {
      hz[i] = coarse.frequencyHz(from + i);
    }
    return new CommonLines(before, now, hz);
  }

  private static double[][] values(FittedResponse side, double[] hz, double timeConstantS) {
    FrequencyResponse measured = side.response();
    ModalModel model = side.fitted().model();
    Receptance seen = model.throughWindow(measured.windowTimeConstantS());
    Receptance wanted = model.throughWindow(timeConstantS);
    double[][] values = new double[2][hz.length];
    double[] g = new double[2];
    double[] m = new double[2];
    for (int i = 0; i < hz.length; i++) {
      misfit(measured, seen, hz[i], g, m);
      wanted.at(hz[i], m);
      values[0][i] = g[0] + m[0];
      values[1][i] = g[1] + m[1];
    }
    return values;
  }

  /** Measured less model, straight lines between the measured frequencies. */
  private static void misfit(
      FrequencyResponse measured, Receptance model, double hz, double[] into, double[] spare) {
    int above = Math.min(measured.firstLineAtOrAbove(hz), measured.lines() - 1);
    int below = measured.frequencyHz(above) == hz ? above : Math.max(0, above - 1);
    double span = measured.frequencyHz(above) - measured.frequencyHz(below);
    double part =
        span == 0 ? 0 : Math.min(1, Math.max(0, (hz - measured.frequencyHz(below)) / span));
    model.at(measured.frequencyHz(above), spare);
    double re = part * (measured.real(above) - spare[0]);
    double im = part * (measured.imag(above) - spare[1]);
    model.at(measured.frequencyHz(below), spare);
    into[0] = re + (1 - part) * (measured.real(below) - spare[0]);
    into[1] = im + (1 - part) * (measured.imag(below) - spare[1]);
  }

  private static double[] noise(LineNoise noise, double[] hz) {
    double[] sigma = new double[hz.length];
    int at = 0;
    for (int i = 0; i < hz.length && noise.lines() > 0; i++) {
      while (at + 1 < noise.lines()
          && Math.abs(noise.frequencyHz(at + 1) - hz[i])
              <= Math.abs(noise.frequencyHz(at) - hz[i])) {
        at++;
      }
      sigma[i] = noise.noiseMPerN(at);
    }
    return sigma;
  }

  int size() {
    return hz.length;
  }

  double lowHz() {
    return size() == 0 ? Double.NaN : hz[0];
  }

  double highHz() {
    return size() == 0 ? Double.NaN : hz[size() - 1];
  }

  boolean throughModels() {
    return throughModels;
  }

  boolean reaches(double frequencyHz) {
    return size() > 0 && frequencyHz >= lowHz() && frequencyHz <= highHz();
  }

  private double variance(int i) {
    return noiseBefore[i] * noiseBefore[i] + noiseNow[i] * noiseNow[i];
  }

  Agreement agreement() {
    double crossRe = 0;
    double crossIm = 0;
    double powerBefore = 0;
    double powerNow = 0;
    double lostBefore = 0;
    double lostNow = 0;
    for (int i = 0; i < size(); i++) {
      crossRe += before[0][i] * now[0][i] + before[1][i] * now[1][i];
      crossIm += before[0][i] * now[1][i] - before[1][i] * now[0][i];
      powerBefore += before[0][i] * before[0][i] + before[1][i] * before[1][i];
      powerNow += now[0][i] * now[0][i] + now[1][i] * now[1][i];
      lostBefore += 2 * noiseBefore[i] * noiseBefore[i];
      lostNow += 2 * noiseNow[i] * noiseNow[i];
    }
    double cross = Math.hypot(crossRe, crossIm);
    double[] factor = factor();
    double off = off(factor);
    return new Agreement(
        cross / powerBefore * (cross / powerNow),
        Math.max(0, 1 - lostBefore / powerBefore) * Math.max(0, 1 - lostNow / powerNow),
        2 * cross / (powerBefore + powerNow),
        Math.hypot(factor[0], factor[1]),
        Math.sqrt(off),
        throughModels);
  }

  /** The complex factor on the earlier response that comes closest to the later one. */
  private double[] factor() {
    double re = 0;
    double im = 0;
    double power = 0;
    for (int i = 0; i < size(); i++) {
      double w = 1 / variance(i);
      re += w * (before[0][i] * now[0][i] + before[1][i] * now[1][i]);
      im += w * (before[0][i] * now[1][i] - before[1][i] * now[0][i]);
      power += w * (before[0][i] * before[0][i] + before[1][i] * before[1][i]);
    }
    return new double[] {re / power, im / power};
  }

  /** Mean square of the difference over the noise's, a common factor taken out; 1 by noise. */
  private double off(double[] factor) {
    double size2 = factor[0] * factor[0] + factor[1] * factor[1];
    double sum = 0;
    for (int i = 0; i < size(); i++) {
      double re = now[0][i] - factor[0] * before[0][i] + factor[1] * before[1][i];
      double im = now[1][i] - factor[0] * before[1][i] - factor[1] * before[0][i];
      double noise = noiseNow[i] * noiseNow[i] + size2 * noiseBefore[i] * noiseBefore[i];
      sum += (re * re + im * im) / (2 * noise);
    }
    return sum / size();
  }

  /**
   * Where the responses differ by far more than noise and by enough to matter.
   *
   * @param atHz middle of the stretch
   * @param overNoise root mean square of the difference over that of the noise
   * @param ofLargest root mean square of the difference over the earlier response's largest value
   */
  record Difference(double atHz, double overNoise, double ofLargest) {}

  /**
   * The stretch of so many lines where the responses differ most apart from the modes that both
   * have.
   *
   * @param modesBefore what is taken off the earlier response
   * @param modesNow what is taken off the later one
   */
  Difference largestDifference(ModalModel modesBefore, ModalModel modesNow, int stretch) {
    Receptance explainedBefore = modesBefore.throughWindow(timeConstantS);
    Receptance explainedNow = modesNow.throughWindow(timeConstantS);
    double[] a = new double[2];
    double[] b = new double[2];
    double[] square = new double[size()];
    double largest = 0;
    for (int i = 0; i < size(); i++) {
      explainedBefore.at(hz[i], a);
      explainedNow.at(hz[i], b);
      double re = now[0][i] - b[0] - before[0][i] + a[0];
      double im = now[1][i] - b[1] - before[1][i] + a[1];
      square[i] = re * re + im * im;
      largest = Math.max(largest, Math.hypot(before[0][i], before[1][i]));
    }
    int width = Math.min(stretch, size());
    Difference most = new Difference(Double.NaN, 0, 0);
    for (int i = 0; i + width <= size(); i++) {
      double over = 0;
      double sum = 0;
      for (int j = i; j < i + width; j++) {
        over += square[j] / (2 * variance(j)) / width;
        sum += square[j] / width;
      }
      if (Math.sqrt(over) > most.overNoise) {
        most = new Difference(hz[i + width / 2], Math.sqrt(over), Math.sqrt(sum) / largest);
      }
    }
    return most;
  }

  /**
   * How much of a mode is in the difference of the responses, near its natural frequency: a matched
   * filter.
   *
   * @param part 1 if the later response has the whole mode and the earlier one nothing of it
   * @param sigma one sigma of that by the noise of the lines
   */
  record Presence(double part, double sigma) {}

  Presence inDifference(ModalModel mode) {
    double fn = mode.modes().get(0).frequencyHz();
    double loss = mode.modes().get(0).dampingRatio() * fn + 1 / (2 * Math.PI * timeConstantS);
    double spacing = (highHz() - lowHz()) / Math.max(1, size() - 1);
    double reach = Math.max(3 * loss, 3 * spacing);
    Receptance shape = mode.throughWindow(timeConstantS);
    double[] h = new double[2];
    double match = 0;
    double energy = 0;
    for (int i = 0; i < size(); i++) {
      if (Math.abs(hz[i] - fn) <= reach) {
        shape.at(hz[i], h);
        double w = 1 / variance(i);
        match += w * (h[0] * (now[0][i] - before[0][i]) + h[1] * (now[1][i] - before[1][i]));
        energy += w * (h[0] * h[0] + h[1] * h[1]);
      }
    }
    return energy == 0
        ? new Presence(0, Double.POSITIVE_INFINITY)
        : new Presence(match / energy, 1 / Math.sqrt(energy));
  }
}
