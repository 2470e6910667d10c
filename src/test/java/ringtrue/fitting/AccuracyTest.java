package ringtrue.fitting;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;
import ringtrue.fitting.AccuracyRig.Kind;
import ringtrue.fitting.AccuracyStudy.Outcome;
import ringtrue.fitting.AccuracyStudy.Result;
import ringtrue.fitting.AccuracyTable.Summary;

/**
 * A part of the family of rigs of {@link AccuracyTable}, all the way from recordings, with nothing
 * told. The limits are what is asked of the fit; for the whole family the page says how it does.
 */
class AccuracyTest {
  private static final List<Result> RESULTS = new ArrayList<>();

  @BeforeAll
  static void measure() {
    for (Kind kind : Kind.values()) {
      int rigs = kind == Kind.MANY ? 1 : kind.rigs / 10 + 1;
      for (AccuracyRig rig : AccuracyRig.of(kind, 1, rigs)) {
        RESULTS.add(AccuracyStudy.of(rig));
      }
    }
  }

  private static Summary all() {
    return new Summary(RESULTS);
  }

  @Test
  void missesNoModeThatStandsOut() {
    assertThat(all().standingOut()).hasSizeGreaterThan(80);
    assertThat(all().missed()).isZero();
  }

  @Test
  void inventsNoMode() {
    assertThat(all().falseAbove(0.01)).isZero();
  }

  /** Both modes at one and at two half-power bandwidths. */
  @ParameterizedTest
  @EnumSource(names = {"PAIR_ONE", "PAIR_TWO"})
  void tellsPairsApart(Kind kind) {
    assertThat(new Summary(RESULTS.stream().filter(r -> r.rig().kind == kind).toList()).complete())
        .isEqualTo(1);
  }

  /**
   * Median, and what 95 % of the modes stay under: the aim or, where the noise lets no fit come
   * that close, three times the least possible. Taps that scatter by some per cent are left out:
   * their mean gain cannot be told from stiffness.
   */
  @ParameterizedTest
  @CsvSource({"0, 2e-5, 2e-4", "1, 6e-4, 6e-3", "2, 5e-4, 5e-3"})
  void isAccurate(int quantity, double median, double most) {
    Summary steady =
        new Summary(RESULTS.stream().filter(r -> r.rig().kind != Kind.SCATTER).toList());
    assertThat(steady.errors(Outcome::found, quantity, 0.5)).isLessThan(median);
    double least = steady.bound(quantity, 0.95);
    assertThat(steady.errors(Outcome::found, quantity, 0.95)).isLessThan(Math.max(most, 3 * least));
  }

  @ParameterizedTest
  @CsvSource({"0", "1", "2"})
  void isNearlyAsGoodAsAToldFit(int quantity) {
    assertThat(all().errors(Outcome::found, quantity, 0.5))
        .isLessThan(1.5 * all().errors(Outcome::told, quantity, 0.5));
  }

  /** Two sigmas hold the true value for about 95 of 100; the limits leave room for chance. */
  @ParameterizedTest
  @CsvSource({"0", "1", "2"})
  void knowsItsUncertainty(int quantity) {
    assertThat(all().coverage(Outcome::found, quantity)).isBetween(0.88, 0.995);
  }

  /** Slow modes so weak that noise hides their decay over the whole time between taps. */
  @ParameterizedTest
  @CsvSource({"NOISY, 19", "OUTSIDE, 13"})
  void findsModesThatHardlyRingLouderThanTheNoise(Kind kind, long seed) {
    Summary one = new Summary(List.of(AccuracyStudy.of(new AccuracyRig(kind, seed))));
    assertThat(one.standingOut()).isNotEmpty();
    assertThat(one.missedOfAll()).isZero();
  }
}
