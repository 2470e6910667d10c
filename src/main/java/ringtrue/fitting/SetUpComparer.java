package ringtrue.fitting;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import org.apache.commons.math3.distribution.NormalDistribution;
import org.apache.commons.math3.distribution.TDistribution;
import org.apache.commons.math3.special.Erf;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Residual;
import ringtrue.fitting.SetUpComparison.Agreement;
import ringtrue.fitting.SetUpComparison.Change;
import ringtrue.fitting.SetUpComparison.Lone;
import ringtrue.fitting.SetUpComparison.Pair;
import ringtrue.fitting.SetUpComparison.Standing;
import ringtrue.fitting.SetUpComparison.Verdict;

/**
 * Compares two measurements of the same set-up: the responses line by line, and each mode's values
 * with what both measurements know of them. Many values are compared at once; they are judged so
 * that all of them together cry wolf once in a hundred comparisons of an unchanged set-up (Holm
 * 1979, Scand. J. Stat. 6, 65-70, with Šidák's bound).
 */
public final class SetUpComparer {
  /** Chance that an unchanged set-up is called changed, all values together. */
  static final double FALSE_ALARM = 0.01;

  /**
   * One-sided normal quantile of 99 %. What is "findable" is found in 95 % of cases, since the
   * sigmas themselves differ from one measurement to the next.
   */
  private static final double FOUND = 2.3263;

  /** Two-sided normal quantile of 95 %, for which sigmas from few taps are made. */
  private static final double TWO_SIDED = 1.96;

  /** Relative scatter of a single tap's gain, which it cannot show itself; by experience. */
  private static final double SINGLE_TAP = 0.05;

  /** Sigmas and part from which on a lone mode is in the difference of the responses. */
  private static final double STANDS_OUT = 6;

  private static final double PART = 0.3;

  /** Lines of a stretch, and how far it has to stand out, over the noise and over the largest. */
  private static final int STRETCH = 25;

  private static final double OVER_NOISE = 4;
  private static final double OF_LARGEST = 0.01;

  /** A comparison that would overlook a shift as large as this says nothing. */
  private static final double USEFUL = 0.05;

  private SetUpComparer() {}

  /** Compares what was not taken apart in between. */
  public static SetUpComparison compare(FittedResponse before, FittedResponse now) {
    return compare(before, now, SetUpScatter.NONE);
  }

  /**
   * @param before the earlier measurement
   * @param now the later one
   * @param scatter what clamping again does by itself, where that is known
   */
  public static SetUpComparison compare(
      FittedResponse before, FittedResponse now, SetUpScatter scatter) {
    List<String> remarks = new ArrayList<>();
    CommonLines lines = CommonLines.of(before, now);
    Optional<String> obstacle = obstacle(before, now, lines);
    if (obstacle.isPresent()) {
      return new SetUpComparison(
          Verdict.CANNOT_TELL,
          "Cannot tell: " + obstacle.get(),
          List.of(),
          remarks,
          lines.lowHz(),
          lines.highHz(),
          lines.size(),
          Agreement.NONE,
          List.of(),
          List.of(),
          List.of(),
          0,
          1);
    }
    List<Mode> old = before.fitted().model().modes();
    List<Mode> fresh = now.fitted().model().modes();
    int[] partner = ModeMatching.match(old, fresh);
    List<Pair> pairs = pairs(old, fresh, partner, before, now, scatter);
    List<Lone> gone = new ArrayList<>();
    List<Lone> added = new ArrayList<>();
    boolean[] taken = new boolean[fresh.size()];
    for (int i = 0; i < partner.length; i++) {
      if (partner[i] < 0) {
        gone.add(lone(old.get(i), lines, -1));
      } else {
        taken[partner[i]] = true;
      }
    }
    for (int i = 0; i < taken.length; i++) {
      if (!taken[i]) {
        added.add(lone(fresh.get(i), lines, 1));
      }
    }
    return judged(before, now, lines, pairs, gone, added, scatter);
  }

  private static SetUpComparison judged(
      FittedResponse before,
      FittedResponse now,
      CommonLines lines,
      List<Pair> pairs,
      List<Lone> gone,
      List<Lone> added,
      SetUpScatter scatter) {
    double[] chances = chances(pairs);
    double chance = chances.length == 0 ? 1 : familyChance(chances[0], chances.length);
    CommonLines.Difference difference =
        lines.largestDifference(
            model(pairs.stream().map(Pair::before), gone),
            model(pairs.stream().map(Pair::now), added),
            STRETCH);
    boolean elsewhere =
        !lines.throughModels()
            && difference.overNoise() > OVER_NOISE
            && difference.ofLargest() > OF_LARGEST;
    boolean changed =
        pairs.stream().anyMatch(Pair::isSignificant)
            || gone.stream().anyMatch(l -> l.standing() == Standing.CHANGED)
            || added.stream().anyMatch(l -> l.standing() == Standing.CHANGED);
    Optional<Pair> main = ComparisonWords.mostFlexible(pairs);
    // NaN, where no sigma is known, finds nothing either
    boolean blind = main.isEmpty() || !(main.get().frequency().findable() < USEFUL);
    Verdict verdict =
        changed || elsewhere ? Verdict.CHANGED : blind ? Verdict.CANNOT_TELL : Verdict.UNCHANGED;
    ComparisonWords words =
        new ComparisonWords(
            verdict,
            pairs,
            gone,
            added,
            chances.length,
            chance,
            elsewhere ? Optional.of(difference) : Optional.empty());
    return new SetUpComparison(
        verdict,
        words.sentence(),
        words.meaning(),
        words.remarks(before, now, lines, scatter),
        lines.lowHz(),
        lines.highHz(),
        lines.size(),
        lines.agreement(),
        pairs,
        gone,
        added,
        chances.length,
        chance);
  }

  /** Modes whose changes are known: those that both have, and those that came or went. */
  private static ModalModel model(Stream<Mode> both, List<Lone> lone) {
    Stream<Mode> changed =
        lone.stream().filter(l -> l.standing() == Standing.CHANGED).map(Lone::mode);
    return new ModalModel(Stream.concat(both, changed).toList(), Residual.NONE);
  }

  /** Why the two cannot be compared at all. */
  private static Optional<String> obstacle(
      FittedResponse before, FittedResponse now, CommonLines lines) {
    FrequencyResponse.Origin a = before.response().origin();
    FrequencyResponse.Origin b = now.response().origin();
    if (!a.axis().isEmpty() && !b.axis().isEmpty() && !a.axis().equals(b.axis())) {
      return Optional.of(
          "the earlier measurement was taken in direction "
              + a.axis()
              + ", the later one in "
              + b.axis()
              + ".");
    }
    if (lines.size() < FitLines.FEWEST) {
      return Optional.of(
          "the bands of the two, "
              + band(before.fitted())
              + " and "
              + band(now.fitted())
              + ", share "
              + lines.size()
              + " lines; "
              + FitLines.FEWEST
              + " or more are needed.");
    }
    boolean noneBefore = before.fitted().model().modes().isEmpty();
    boolean noneNow = now.fitted().model().modes().isEmpty();
    if (noneBefore && noneNow) {
      return Optional.of("neither measurement shows a mode.");
    }
    if (noneBefore || noneNow) {
      boolean reversed =
          (noneBefore ? before : now)
              .fitted().remarks().stream().anyMatch(r -> r.contains("against the blow"));
      if (reversed || lines.throughModels()) {
        return Optional.of(
            "no mode was fitted to the " + (noneBefore ? "earlier" : "later") + " measurement.");
      }
    }
    return Optional.empty();
  }

  private static String band(FittedModes fitted) {
    return Sentence.digits(fitted.bandLowHz(), 4)
        + " to "
        + Sentence.digits(fitted.bandHighHz(), 4)
        + " Hz";
  }

  private static Lone lone(Mode mode, CommonLines lines, int sign) {
    if (!lines.reaches(mode.frequencyHz())) {
      return new Lone(mode, Standing.OUTSIDE);
    }
    CommonLines.Presence presence = lines.inDifference(ModalModel.of(mode));
    if (1 < STANDS_OUT * presence.sigma()) {
      return new Lone(mode, Standing.TOO_WEAK);
    }
    double part = sign * presence.part();
    boolean there = part > PART && part > STANDS_OUT * presence.sigma();
    return new Lone(mode, there ? Standing.CHANGED : Standing.IN_BOTH_RESPONSES);
  }

  /** A difference with its sigma; how often chance makes one as large. */
  private record Raw(double before, double difference, double sigma, double freedom) {

    boolean isKnown() {
      return Double.isFinite(sigma) && sigma > 0;
    }

    /** Sigmas from few taps are wide enough at 95 %; farther out, Student's tails are longer. */
    private double student() {
      return TWO_SIDED / new TDistribution(freedom).inverseCumulativeProbability(0.975);
    }

    double chance() {
      double z = Math.abs(difference) / sigma;
      return Double.isInfinite(freedom)
          ? Erf.erfc(z / Math.sqrt(2))
          : 2 * new TDistribution(freedom).cumulativeProbability(-z / student());
    }

    double critical(double chance) {
      return Double.isInfinite(freedom)
          ? new NormalDistribution().inverseCumulativeProbability(1 - chance / 2)
          : new TDistribution(freedom).inverseCumulativeProbability(1 - chance / 2) * student();
    }

    Change change(int compared, boolean significant) {
      double z = isKnown() ? difference / sigma : Double.NaN;
      double findable =
          isKnown()
              ? (critical(1 - Math.pow(1 - FALSE_ALARM, 1.0 / compared)) + FOUND) * sigma
              : Double.NaN;
      return new Change(
          difference / before,
          sigma / before,
          z,
          isKnown() ? chance() : Double.NaN,
          findable / before,
          significant);
    }
  }

  private static List<Pair> pairs(
      List<Mode> old,
      List<Mode> fresh,
      int[] partner,
      FittedResponse before,
      FittedResponse now,
      SetUpScatter scatter) {
    int tapsBefore = before.response().origin().averages();
    int tapsNow = now.response().origin().averages();
    List<Mode[]> both = new ArrayList<>();
    List<Raw> raws = new ArrayList<>();
    for (int i = 0; i < partner.length; i++) {
      if (partner[i] >= 0) {
        Mode a = old.get(i);
        Mode b = fresh.get(partner[i]);
        both.add(new Mode[] {a, b});
        raws.add(
            raw(
                a.frequencyHz(),
                b.frequencyHz(),
                a.frequencyHzSigma(),
                b.frequencyHzSigma(),
                scatter.frequency(),
                Double.POSITIVE_INFINITY));
        raws.add(
            raw(
                a.dampingRatio(),
                b.dampingRatio(),
                a.dampingRatioSigma(),
                b.dampingRatioSigma(),
                scatter.damping(),
                Double.POSITIVE_INFINITY));
        double sigmaA = stiffnessSigma(a, tapsBefore);
        double sigmaB = stiffnessSigma(b, tapsNow);
        raws.add(
            raw(
                a.stiffnessNPerM(),
                b.stiffnessNPerM(),
                sigmaA,
                sigmaB,
                scatter.stiffness(),
                freedom(sigmaA, tapsBefore, sigmaB, tapsNow)));
      }
    }
    boolean[] significant = significant(raws);
    int compared = (int) raws.stream().filter(Raw::isKnown).count();
    List<Pair> pairs = new ArrayList<>();
    for (int p = 0; p < both.size(); p++) {
      Change[] three = new Change[3];
      for (int v = 0; v < 3; v++) {
        three[v] = raws.get(3 * p + v).change(compared, significant[3 * p + v]);
      }
      pairs.add(new Pair(both.get(p)[0], both.get(p)[1], three[0], three[1], three[2]));
    }
    return pairs;
  }

  private static Raw raw(
      double before, double now, double sigmaA, double sigmaB, double scatter, double freedom) {
    double own = Math.hypot(sigmaA, sigmaB);
    double sigma = Math.hypot(own, Math.sqrt(2) * scatter * before);
    return new Raw(before, now - before, sigma, freedom);
  }

  /** The direction of a single tap is not known to its sigma. */
  private static double stiffnessSigma(Mode mode, int taps) {
    double sigma = mode.stiffnessNPerMSigma();
    return taps > 1 ? sigma : Math.hypot(sigma, SINGLE_TAP * mode.stiffnessNPerM());
  }

  /** Welch and Satterthwaite's degrees of freedom, for gains known from so many taps. */
  private static double freedom(double sigmaA, int tapsA, double sigmaB, int tapsB) {
    double a = sigmaA * sigmaA;
    double b = sigmaB * sigmaB;
    double sum = (tapsA > 1 ? a * a / (tapsA - 1) : 0) + (tapsB > 1 ? b * b / (tapsB - 1) : 0);
    double freedom = (a + b) * (a + b) / sum;
    return freedom >= 1 && freedom < 1e6 ? freedom : Double.POSITIVE_INFINITY;
  }

  /** Holm's way down: the least likely first, each against those that are left. */
  private static boolean[] significant(List<Raw> raws) {
    Integer[] order =
        IntStream.range(0, raws.size())
            .filter(i -> raws.get(i).isKnown())
            .boxed()
            .toArray(Integer[]::new);
    Arrays.sort(order, (i, j) -> Double.compare(raws.get(i).chance(), raws.get(j).chance()));
    boolean[] significant = new boolean[raws.size()];
    for (int i = 0; i < order.length; i++) {
      if (familyChance(raws.get(order[i]).chance(), order.length - i) > FALSE_ALARM) {
        break;
      }
      significant[order[i]] = true;
    }
    return significant;
  }

  /** Chance that the least of so many independent ones is as small as this. */
  private static double familyChance(double least, int values) {
    return -Math.expm1(values * Math.log1p(-Math.min(least, 1 - 1e-16)));
  }

  private static double[] chances(List<Pair> pairs) {
    return pairs.stream()
        .flatMap(p -> Stream.of(p.frequency(), p.damping(), p.stiffness()))
        .mapToDouble(Change::chance)
        .filter(Double::isFinite)
        .sorted()
        .toArray();
  }
}
