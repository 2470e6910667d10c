package ringtrue.fitting;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import ringtrue.dynamics.Mode;

class ModeMatchingTest {

  /** Against trying all orders. */
  @ParameterizedTest
  @ValueSource(ints = {1, 2, 3, 4, 5, 6, 7})
  void theAssignmentIsTheCheapest(int n) {
    Random random = new Random(n);
    for (int trial = 0; trial < 20; trial++) {
      double[][] cost = new double[n][n];
      for (double[] row : cost) {
        for (int c = 0; c < n; c++) {
          row[c] = trial % 3 == 0 ? random.nextInt(4) : 10 * random.nextGaussian();
        }
      }
      int[] columns = Assignment.cheapest(cost);
      assertThat(columns).doesNotHaveDuplicates().hasSize(n);
      double sum = 0;
      for (int r = 0; r < n; r++) {
        sum += cost[r][columns[r]];
      }
      assertThat(sum).isCloseTo(cheapest(cost, 0, new boolean[n]), within(1e-9));
    }
  }

  private static double cheapest(double[][] cost, int row, boolean[] used) {
    if (row == cost.length) {
      return 0;
    }
    double least = Double.POSITIVE_INFINITY;
    for (int c = 0; c < cost.length; c++) {
      if (!used[c]) {
        used[c] = true;
        least = Math.min(least, cost[row][c] + cheapest(cost, row + 1, used));
        used[c] = false;
      }
    }
    return least;
  }

  private static List<Mode> comb(int count, double spacing, double factor) {
    List<Mode> modes = new ArrayList<>();
    for (int i = 0; i < count; i++) {
      modes.add(Mode.of(800 * Math.pow(1 + spacing, i) * factor, 0.01, 5e6));
    }
    return modes;
  }

  /** Modes as like as two peas, all moved by more than their spacing. */
  @ParameterizedTest
  @ValueSource(doubles = {1.0, 1.02, 0.97, 1.05, 0.94})
  void aCombThatMovesBeyondItsSpacingKeepsItsPartners(double factor) {
    for (int count = 2; count <= 12; count++) {
      int[] partner = ModeMatching.match(comb(count, 0.03, 1), comb(count, 0.03, factor));
      for (int i = 0; i < count; i++) {
        assertThat(partner[i]).as("mode %d of %d", i, count).isEqualTo(i);
      }
    }
  }

  @Test
  void oneMissingAndOneAdded() {
    List<Mode> before =
        List.of(Mode.of(300, 0.03, 9e6), Mode.of(900, 0.02, 5e6), Mode.of(1500, 0.01, 2e7));
    List<Mode> now =
        List.of(Mode.of(305, 0.03, 9e6), Mode.of(1510, 0.011, 2.1e7), Mode.of(2100, 0.02, 3e7));
    assertThat(ModeMatching.match(before, now)).containsExactly(0, -1, 1);
    assertThat(ModeMatching.match(now, before)).containsExactly(0, 2, -1);
    assertThat(ModeMatching.match(before, List.of())).containsExactly(-1, -1, -1);
    assertThat(ModeMatching.match(List.of(), now)).isEmpty();
  }

  /** A weak mode overtaken by a strong one. */
  @Test
  void modesMayCross() {
    List<Mode> before = List.of(Mode.of(1000, 0.01, 1e6), Mode.of(1030, 0.02, 2.5e7));
    List<Mode> now = List.of(Mode.of(985, 0.02, 2.5e7), Mode.of(1001, 0.01, 1e6));
    assertThat(ModeMatching.match(before, now)).containsExactly(1, 0);
  }

  /** Of a close pair the one that is left keeps its identity by frequency, damping, stiffness. */
  @Test
  void oneOfACloseLeaves() {
    List<Mode> before = List.of(Mode.of(1000, 0.01, 4e6), Mode.of(1030, 0.01, 6e6));
    assertThat(ModeMatching.match(before, List.of(Mode.of(1031, 0.01, 6e6))))
        .containsExactly(-1, 0);
    assertThat(ModeMatching.match(before, List.of(Mode.of(999, 0.01, 4e6)))).containsExactly(0, -1);
  }

  @Test
  void whatIsFarAwayIsAnotherMode() {
    assertThat(
            ModeMatching.match(List.of(Mode.of(500, 0.02, 5e6)), List.of(Mode.of(900, 0.02, 5e6))))
        .containsExactly(-1);
  }
}
