package ringtrue.fitting;

import java.util.ArrayList;
import java.util.List;
import java.util.function.Function;
import java.util.stream.IntStream;
import org.apache.commons.math3.distribution.ChiSquaredDistribution;
import org.apache.commons.math3.random.RandomGenerator;
import org.apache.commons.math3.random.Well19937c;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.units.BadInputException;

/**
 * Uncertainty of modes by a bootstrap over the taps: as many taps as there were are drawn from them
 * with replacement, averaged and fitted, again and again; the spread of the results is what a
 * repeated measurement would show, whatever the taps differ by (Efron 1979, Ann. Stat. 7, 1-26).
 *
 * <p>A sample drawn from n taps scatters about its own mean by √((n − 1)/n) too little, which is
 * made up for. And n taps know their own scatter poorly: to about 1/√(2(n − 1)) of it.
 *
 * @param taps taps drawn from
 * @param draws fits that the spreads are made of
 * @param lost draws in which a mode was lost, left out of the spreads
 * @param modes one for each fitted mode
 * @param remarks what it says of the fit's uncertainties, in plain sentences
 */
public record TapScatter(int taps, int draws, int lost, List<Spread> modes, List<String> remarks) {

  /** Fewest taps to draw from: two have only three different averages. */
  public static final int FEWEST_TAPS = 3;

  /** Chance that the taps' scatter is called too large although the fit's sigma is right. */
  private static final double CHANCE = 0.005;

  /** Sigmas that are too small by less than this are no matter. */
  private static final double AGREES = 1.5;

  /**
   * One-sigma spreads of a mode.
   *
   * @param frequencyHz of the natural frequency, Hz
   * @param dampingRatio of the damping ratio, a fraction
   * @param stiffnessNPerM of the stiffness, N/m
   * @param frequencyOverFit spread of the frequency over the fit's sigma; NaN where that is unknown
   * @param dampingOverFit the same for damping
   * @param stiffnessOverFit the same for stiffness
   */
  public record Spread(
      double frequencyHz,
      double dampingRatio,
      double stiffnessNPerM,
      double frequencyOverFit,
      double dampingOverFit,
      double stiffnessOverFit) {

    double largest() {
      return Math.max(frequencyOverFit, Math.max(dampingOverFit, stiffnessOverFit));
    }
  }

  public TapScatter {
    modes = List.copyOf(modes);
    remarks = List.copyOf(remarks);
  }

  /**
   * Draws taps, averages and fits.
   *
   * @param fitted modes of the average over all taps
   * @param all the response that they were fitted to, or the part of it in the fitted band
   * @param taps number of taps
   * @param average response of the same lines from taps that count so many times each; called from
   *     several threads
   * @param draws how many times to draw, some hundred
   * @param seed of the draws; the same seed gives the same result
   * @param progress told how far it is
   * @throws BadInputException if there are fewer than three taps, fewer than ten draws or no modes
   */
  public static TapScatter of(
      FittedModes fitted,
      FrequencyResponse all,
      int taps,
      Function<int[], FrequencyResponse> average,
      int draws,
      long seed,
      Progress progress) {
    if (taps < FEWEST_TAPS) {
      throw new BadInputException(
          "resample: needs three taps or more, there "
              + (taps == 1 ? "is 1" : "are " + taps)
              + "; tap more often");
    }
    if (draws < 10) {
      throw new BadInputException("resample: takes 10 draws or more, was " + draws);
    }
    if (fitted.model().modes().isEmpty()) {
      return new TapScatter(taps, 0, 0, List.of(), List.of());
    }
    TapRefit refit = new TapRefit(fitted, all);
    List<int[]> drawn = drawn(taps, draws, seed);
    List<List<Mode>> results = new ArrayList<>();
    int part = 16;
    for (int from = 0; from < draws; from += part) {
      int to = Math.min(draws, from + part);
      results.addAll(
          IntStream.range(from, to)
              .parallel()
              .mapToObj(i -> refit.of(average.apply(drawn.get(i))))
              .toList());
      progress.at((double) to / draws, "drawing taps, " + to + " of " + draws);
    }
    List<List<Mode>> good = results.stream().filter(r -> !r.isEmpty()).toList();
    int lost = draws - good.size();
    if (good.size() < 2) {
      return new TapScatter(
          taps,
          good.size(),
          lost,
          List.of(),
          List.of("Drawn from the taps at random, the modes are lost: they do not repeat."));
    }
    List<Spread> spreads = new ArrayList<>();
    for (int j = 0; j < fitted.model().modes().size(); j++) {
      spreads.add(spread(good, j, taps, fitted.model().modes().get(j)));
    }
    return new TapScatter(
        taps, good.size(), lost, spreads, remarks(fitted.model().modes(), spreads, taps, lost));
  }

  private static List<int[]> drawn(int taps, int draws, long seed) {
    RandomGenerator random = new Well19937c(seed);
    List<int[]> all = new ArrayList<>();
    for (int i = 0; i < draws; i++) {
      int[] times = new int[taps];
      for (int t = 0; t < taps; t++) {
        times[random.nextInt(taps)]++;
      }
      all.add(times);
    }
    return all;
  }

  private static Spread spread(List<List<Mode>> results, int j, int taps, Mode fitted) {
    double up = Math.sqrt(taps / (taps - 1.0));
    double fn = up * deviation(results.stream().mapToDouble(r -> r.get(j).frequencyHz()).toArray());
    double zeta =
        up * deviation(results.stream().mapToDouble(r -> r.get(j).dampingRatio()).toArray());
    double k =
        up * deviation(results.stream().mapToDouble(r -> r.get(j).stiffnessNPerM()).toArray());
    return new Spread(
        fn,
        zeta,
        k,
        fn / fitted.frequencyHzSigma(),
        zeta / fitted.dampingRatioSigma(),
        k / fitted.stiffnessNPerMSigma());
  }

  private static double deviation(double[] values) {
    double mean = 0;
    for (double v : values) {
      mean += v / values.length;
    }
    double sum = 0;
    for (double v : values) {
      sum += (v - mean) * (v - mean);
    }
    return Math.sqrt(sum / (values.length - 1));
  }

  private static List<String> remarks(List<Mode> modes, List<Spread> spreads, int taps, int lost) {
    List<String> remarks = new ArrayList<>();
    double chance =
        Math.sqrt(
            new ChiSquaredDistribution(taps - 1).inverseCumulativeProbability(1 - CHANCE)
                / (taps - 1));
    double limit = Math.max(AGREES, chance);
    for (int j = 0; j < modes.size(); j++) {
      Spread s = spreads.get(j);
      if (s.largest() > limit) {
        remarks.add(
            "The mode at "
                + Sentence.hertz(modes.get(j).frequencyHz())
                + " scatters from tap to tap more than its uncertainties say: "
                + over(s, limit)
                + ". Take the spread over the taps instead: "
                + Sentence.digits(s.frequencyHz, 2)
                + " Hz, "
                + Sentence.digits(100 * s.dampingRatio, 2)
                + " % damping, "
                + Sentence.digits(s.stiffnessNPerM / 1e6, 2)
                + " N/um (one sigma).");
      }
    }
    if (remarks.isEmpty()) {
      remarks.add(
          "The scatter of the "
              + taps
              + " taps agrees with the uncertainties; "
              + taps
              + " taps know their own scatter to about "
              + Sentence.digits(100 / Math.sqrt(2.0 * (taps - 1)), 2)
              + " %.");
    }
    if (lost > 0) {
      remarks.add(
          "In "
              + lost
              + (lost == 1 ? " draw" : " draws")
              + " of the taps a mode was lost; the spreads leave them out and are too small.");
    }
    return remarks;
  }

  private static String over(Spread s, double limit) {
    List<String> parts = new ArrayList<>();
    String[] names = {"frequency", "damping", "stiffness"};
    double[] ratios = {s.frequencyOverFit, s.dampingOverFit, s.stiffnessOverFit};
    for (int i = 0; i < names.length; i++) {
      if (ratios[i] > limit) {
        parts.add(names[i] + " by a factor of " + Sentence.digits(ratios[i], 2));
      }
    }
    return String.join(", ", parts);
  }
}
