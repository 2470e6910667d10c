package ringtrue.fitting;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.function.ToDoubleFunction;
import org.apache.commons.math3.distribution.TDistribution;
import ringtrue.dynamics.Mode;

/**
 * What several clampings of one set-up tell about the next one. Each value of a mode is taken as
 * normally scattered in its logarithm from clamping to clamping. The mean of n clampings is off the
 * next one's value by a variance of S²(1 + 1/n), and since S itself is known from n clampings only,
 * Student's factor makes 1.96 sigma hold the next one in 95 of 100 cases (prediction interval of a
 * normal sample, for example Hahn and Meeker 1991, from memory): 7.9 times S for two clampings, 2.5
 * for three, 1.3 for ten. S holds the uncertainty of each measurement as well, which errs on the
 * safe side.
 */
public final class ClampingSpread {
  /** Two-sided normal quantile of 95 %, for which the sigmas are made. */
  private static final double TWO_SIDED = 1.96;

  /** Wider than this nothing is said any more by a number: a factor of e either way. */
  private static final double WIDEST = 1;

  /** Draws of a natural frequency must stay positive. */
  private static final double WIDEST_FREQUENCY = 0.15;

  private ClampingSpread() {}

  /**
   * A mode over several clampings.
   *
   * @param mode geometric means, with the sigmas of the next clamping
   * @param clampings in how many it was found
   * @param frequency scatter S of the natural frequency, a fraction; NaN for one clamping
   * @param damping scatter S of the logarithm of the damping ratio; NaN for one clamping
   * @param stiffness scatter S of the logarithm of the stiffness; NaN for one clamping
   * @param track the mode in each clamping
   */
  public record Spread(
      Mode mode,
      int clampings,
      double frequency,
      double damping,
      double stiffness,
      ModeTracks.Track track) {}

  /**
   * @param spreads modes of the next clamping, by rising frequency
   * @param clampings number of clampings
   * @param remarks what a reader should know
   */
  public record Result(List<Spread> spreads, int clampings, List<String> remarks) {
    public Result {
      spreads = List.copyOf(spreads);
      remarks = List.copyOf(remarks);
    }

    /** The modes. */
    public List<Mode> modes() {
      return spreads.stream().map(Spread::mode).toList();
    }
  }

  /**
   * The factor from S to a sigma for the next clamping.
   *
   * @param n number of clampings, at least 2
   */
  public static double factor(int n) {
    return new TDistribution(n - 1.0).inverseCumulativeProbability(0.975)
        / TWO_SIDED
        * Math.sqrt(1 + 1.0 / n);
  }

  /**
   * Modes of the latest clamping and those that most had; means and sigmas over all of them.
   *
   * @param clampings modes of each clamping, the oldest first, at least one
   */
  public static Result of(List<List<Mode>> clampings) {
    int n = clampings.size();
    if (n == 0) {
      throw new IllegalArgumentException("no clamping");
    }
    if (n == 1) {
      List<Spread> alone =
          ModeTracks.of(clampings).stream().map(t -> spread(t, new ArrayList<>())).toList();
      return new Result(alone, 1, List.of());
    }
    List<Spread> spreads = new ArrayList<>();
    List<String> remarks = new ArrayList<>();
    for (ModeTracks.Track track : ModeTracks.of(clampings)) {
      int found = track.found().size();
      boolean latest = track.modes().get(n - 1) != null;
      if (latest || 2 * found > n) {
        spreads.add(spread(track, remarks));
      }
      if (found < n) {
        remarks.add(
            String.format(
                Locale.ROOT,
                "the mode near %.4g Hz was found in %d of %d clampings%s",
                track.latest().frequencyHz(),
                found,
                n,
                latest
                    ? found == 1 ? "; its sigmas know nothing of clamping" : ""
                    : 2 * found > n
                        ? ", not in the latest; it is kept"
                        : ", not in the latest; it is left out"));
      }
    }
    return new Result(spreads, n, remarks);
  }

  /**
   * Several measurements of one clamping as one: means, and the sigma of a single measurement,
   * since what their errors share is not known.
   */
  public static List<Mode> together(List<List<Mode>> measurements) {
    if (measurements.size() == 1) {
      return measurements.get(0);
    }
    List<Mode> modes = new ArrayList<>();
    for (ModeTracks.Track track : ModeTracks.of(measurements)) {
      List<Mode> found = track.found();
      if (2 * found.size() > measurements.size()) {
        modes.add(
            new Mode(
                mean(found, Mode::frequencyHz),
                mean(found, Mode::dampingRatio),
                mean(found, Mode::stiffnessNPerM),
                rms(found, Mode::frequencyHzSigma),
                rms(found, Mode::dampingRatioSigma),
                rms(found, Mode::stiffnessNPerMSigma),
                track.latest().phaseDeg()));
      }
    }
    return modes;
  }

  private static Spread spread(ModeTracks.Track track, List<String> remarks) {
    List<Mode> found = track.found();
    if (found.size() == 1) {
      return new Spread(found.get(0), 1, Double.NaN, Double.NaN, Double.NaN, track);
    }
    double frequency = mean(found, Mode::frequencyHz);
    double damping = mean(found, Mode::dampingRatio);
    double stiffness = mean(found, Mode::stiffnessNPerM);
    double ofFrequency = scatter(found, Mode::frequencyHz);
    double ofDamping = scatter(found, Mode::dampingRatio);
    double ofStiffness = scatter(found, Mode::stiffnessNPerM);
    double factor = factor(found.size());
    double widest =
        factor * Math.max(ofFrequency / WIDEST_FREQUENCY, Math.max(ofDamping, ofStiffness));
    if (widest > WIDEST) {
      remarks.add(
          String.format(
              Locale.ROOT,
              "%d clampings leave the mode near %.4g Hz so uncertain that its sigmas were cut at"
                  + " %.0f %% in frequency and a factor of %.1f in damping and stiffness; clamp and"
                  + " measure it again",
              found.size(),
              frequency,
              100 * WIDEST_FREQUENCY,
              Math.E));
    }
    double n = found.size();
    Mode mode =
        new Mode(
            frequency,
            damping,
            stiffness,
            frequency
                * Math.max(
                    Math.min(WIDEST_FREQUENCY, factor * ofFrequency),
                    own(found, Mode::frequencyHz, Mode::frequencyHzSigma) / Math.sqrt(n)),
            damping
                * Math.max(
                    part(factor * ofDamping),
                    own(found, Mode::dampingRatio, Mode::dampingRatioSigma) / Math.sqrt(n)),
            stiffness
                * Math.max(
                    part(factor * ofStiffness),
                    own(found, Mode::stiffnessNPerM, Mode::stiffnessNPerMSigma) / Math.sqrt(n)),
            track.latest().phaseDeg());
    return new Spread(mode, found.size(), ofFrequency, ofDamping, ofStiffness, track);
  }

  /** Standard deviation of a lognormal value as a part of its median. */
  private static double part(double logSigma) {
    double square = Math.min(WIDEST, logSigma) * Math.min(WIDEST, logSigma);
    return Math.sqrt(Math.exp(square) * Math.expm1(square));
  }

  private static double mean(List<Mode> modes, ToDoubleFunction<Mode> value) {
    return Math.exp(
        modes.stream().mapToDouble(m -> Math.log(value.applyAsDouble(m))).average().orElseThrow());
  }

  /** Standard deviation of the logarithms, for one less than their number. */
  private static double scatter(List<Mode> modes, ToDoubleFunction<Mode> value) {
    double mean = Math.log(mean(modes, value));
    double sum = 0;
    for (Mode m : modes) {
      double off = Math.log(value.applyAsDouble(m)) - mean;
      sum += off * off;
    }
    return Math.sqrt(sum / (modes.size() - 1));
  }

  /** What a measurement by itself does not know, relative; 0 where nobody says. */
  private static double own(
      List<Mode> modes, ToDoubleFunction<Mode> value, ToDoubleFunction<Mode> sigma) {
    double sum = 0;
    int known = 0;
    for (Mode m : modes) {
      double relative = sigma.applyAsDouble(m) / value.applyAsDouble(m);
      if (!Double.isNaN(relative)) {
        sum += relative * relative;
        known++;
      }
    }
    return known == 0 ? 0 : Math.sqrt(sum / known);
  }

  private static double rms(List<Mode> modes, ToDoubleFunction<Mode> sigma) {
    double sum = 0;
    for (Mode m : modes) {
      sum += sigma.applyAsDouble(m) * sigma.applyAsDouble(m);
    }
    return Math.sqrt(sum / modes.size()); // NaN where one is unknown
  }
}
