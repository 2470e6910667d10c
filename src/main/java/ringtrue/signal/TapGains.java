package ringtrue.signal;

import java.util.List;

/**
 * How much the taps differ in gain, as when the hammer is not always held alike: a factor that all
 * lines of a tap share.
 *
 * @param variance relative variance of a single tap's gain; 0 where fewer than two taps tell it
 * @param ofMean relative one-sigma error of the gain of the average, NaN for one tap
 */
record TapGains(double variance, double ofMean) {

  static TapGains of(List<JudgedTap> taps) {
    List<JudgedTap> known = taps.stream().filter(t -> t.signature != null).toList();
    int n = known.size();
    if (n < 2) {
      return new TapGains(0, Double.NaN);
    }
    int groups = known.get(0).forceEnergy.length;
    double[] sum = new double[2 * groups];
    double[] energy = new double[groups];
    double[] weight = new double[n];
    for (int t = 0; t < n; t++) {
      JudgedTap tap = known.get(t);
      for (int g = 0; g < groups; g++) {
        sum[2 * g] += tap.forceEnergy[g] * tap.signature[2 * g];
        sum[2 * g + 1] += tap.forceEnergy[g] * tap.signature[2 * g + 1];
        energy[g] += tap.forceEnergy[g];
        weight[t] += tap.forceEnergy[g];
      }
    }
    double[] gain = new double[n];
    for (int t = 0; t < n; t++) {
      double both = 0;
      double own = 0;
      for (int g = 0; g < groups; g++) {
        double re = sum[2 * g];
        double im = sum[2 * g + 1];
        double[] h = known.get(t).signature;
        if (energy[g] > 0) {
          both += re * h[2 * g] + im * h[2 * g + 1];
          own += (re * re + im * im) / energy[g];
        }
      }
      gain[t] = own > 0 ? both / own : 1;
    }
    double mean = 0;
    double all = 0;
    double squares = 0;
    for (int t = 0; t < n; t++) {
      mean += gain[t] / n;
      all += weight[t];
      squares += weight[t] * weight[t];
    }
    double variance = 0;
    for (double g : gain) {
      variance += (g - mean) * (g - mean) / (n - 1);
    }
    return new TapGains(variance, Math.sqrt(variance * squares) / all);
  }
}
