package ringtrue.stability;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.Stream;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.stability.Engagement.Direction;

/**
 * How the first limit settles with more nodes for each stretch than the rule asks for. The table in
 * DEVELOPERS.md comes from {@link #main}:
 *
 * <pre>mvn -q test-compile exec:java -Dexec.classpathScope=test \
 *   -Dexec.mainClass=ringtrue.stability.PeriodicConvergenceTest</pre>
 */
class PeriodicConvergenceTest {
  private static final int FEWEST = -2;
  private static final int MOST = 7;

  /** A cut at one speed. */
  record Case(String name, CuttingProcess process, double rpm, double maxM) {
    @Override
    public String toString() {
      return name;
    }
  }

  static Stream<Case> cases() {
    return Stream.of(
        new Case("5 % down, 4,000 rpm", cut(Direction.DOWN, 0.05, 2, 0), 4000, 0.02),
        new Case("5 % down, 18,000 rpm", cut(Direction.DOWN, 0.05, 2, 0), 18_000, 0.05),
        new Case("half, down, 4,000 rpm", cut(Direction.DOWN, 0.5, 2, 0), 4000, 0.02),
        new Case("half, up, 18,000 rpm", cut(Direction.UP, 0.5, 2, 0), 18_000, 0.02),
        new Case("slot, 4,000 rpm", cut(Direction.SLOT, 1, 2, 0), 4000, 0.02),
        new Case("slot, 18,000 rpm", cut(Direction.SLOT, 1, 2, 0), 18_000, 0.02),
        new Case("20 % down, helix, 4,000 rpm", cut(Direction.DOWN, 0.2, 3, 35), 4000, 0.02),
        new Case("20 % down, helix, 18,000 rpm", cut(Direction.DOWN, 0.2, 3, 35), 18_000, 0.02));
  }

  /** Two modes in each direction. */
  private static CuttingProcess cut(Direction direction, double part, int flutes, double helixDeg) {
    Tool tool =
        new Tool(
            0.01,
            Collections.nCopies(flutes, Math.toRadians(helixDeg)),
            Collections.nCopies(flutes, 2 * Math.PI / flutes),
            Double.NaN,
            Double.NaN,
            0,
            Double.NaN);
    return Cuts.milling(
        tool,
        direction,
        part,
        1e-3,
        700e6,
        210e6,
        List.of(Mode.of(700, 0.03, 8e6), Mode.of(1500, 0.02, 2e7)),
        List.of(Mode.of(760, 0.025, 9e6), Mode.of(1620, 0.02, 1.8e7)));
  }

  /** Relative errors of the limit from the fewest to the most nodes but one, against the most. */
  private static List<Double> errors(Case one) {
    List<Double> limits = new ArrayList<>();
    for (int more = FEWEST; more <= MOST + 1; more++) {
      LobesRequest request =
          new LobesRequest(
              StabilityMap.Over.DEPTH,
              Optional.of(Method.PERIODIC),
              List.of(one.rpm),
              one.maxM,
              List.of());
      limits.add(
          new PeriodicMap(one.process, request, PeriodicLobes.Reach.FIRST_LIMIT)
              .withMoreNodes(more + 1) // the map starts one below the rule
              .lines(List.of(one.rpm), PeriodicMap.FINE, Progress.NONE)
              .get(0)
              .limitM());
    }
    double last = limits.get(limits.size() - 1);
    assertThat(last).isLessThan(one.maxM);
    return limits.subList(0, limits.size() - 1).stream()
        .map(limit -> Math.abs(limit / last - 1))
        .toList();
  }

  /** Three more nodes leave less than a hundredth of the error, until 1e-8. */
  @ParameterizedTest
  @MethodSource("cases")
  void errorFallsWithEveryNode(Case one) {
    List<Double> errors = errors(one);
    for (int i = 0; i + 3 < errors.size(); i++) {
      if (errors.get(i) < 0.1) {
        assertThat(errors.get(i + 3))
            .as("%s: %s", one, errors)
            .isLessThan(Math.max(1e-8, errors.get(i) / 100));
      }
    }
    assertThat(errors.get(-FEWEST)).as("with the rule: %s", errors).isLessThan(1e-3);
  }

  public static void main(String[] args) {
    StringBuilder head = new StringBuilder("| nodes beyond the rule |");
    for (int more = FEWEST; more <= MOST; more++) {
      head.append(String.format(Locale.ROOT, " %+d |", more));
    }
    System.out.println(head);
    System.out.println("|---".repeat(MOST - FEWEST + 2) + "|");
    cases()
        .forEach(
            one -> {
              StringBuilder row = new StringBuilder("| " + one + " |");
              errors(one)
                  .forEach(
                      e ->
                          row.append(
                              e < 1e-9 ? " < 1e-9 |" : String.format(Locale.ROOT, " %.0e |", e)));
              System.out.println(row);
            });
  }
}
