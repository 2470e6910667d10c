package ringtrue.units;

import java.util.Collection;
import java.util.Locale;
import java.util.Optional;

/** Finds the name that somebody probably meant. */
public final class Names {
  private static final int LONGEST = 200;

  private Names() {}

  /**
   * The known name with the fewest letters to change, if it is near enough to be a likely slip: at
   * most two fifths of the longer name's letters.
   *
   * @param given what was written
   * @param known the names to choose from
   */
  public static Optional<String> closest(String given, Collection<String> known) {
    if (given.length() > LONGEST) {
      return Optional.empty();
    }
    String best = null;
    double bestDistance = Double.POSITIVE_INFINITY;
    for (String name : known) {
      double distance =
          distance(given.toLowerCase(Locale.ROOT), name.toLowerCase(Locale.ROOT))
              + (given.equals(name) ? 0 : 0.01);
      boolean near = distance <= Math.max(1.1, Math.max(given.length(), name.length()) * 0.4);
      if (near && distance < bestDistance) {
        best = name;
        bestDistance = distance;
      }
    }
    return Optional.ofNullable(best);
  }

  /** Letters to insert, remove, change or swap with their neighbour (Damerau 1964). */
  private static int distance(String a, String b) {
    if (Math.abs(a.length() - b.length()) > 20) {
      return Integer.MAX_VALUE;
    }
    int[][] steps = new int[a.length() + 1][b.length() + 1];
    for (int i = 0; i <= a.length(); i++) {
      for (int j = 0; j <= b.length(); j++) {
        if (i == 0 || j == 0) {
          steps[i][j] = i + j;
          continue;
        }
        boolean same = a.charAt(i - 1) == b.charAt(j - 1);
        int best = steps[i - 1][j - 1] + (same ? 0 : 1);
        best = Math.min(best, 1 + Math.min(steps[i - 1][j], steps[i][j - 1]));
        if (i > 1
            && j > 1
            && a.charAt(i - 1) == b.charAt(j - 2)
            && a.charAt(i - 2) == b.charAt(j - 1)) {
          best = Math.min(best, 1 + steps[i - 2][j - 2]);
        }
        steps[i][j] = best;
      }
    }
    return steps[a.length()][b.length()];
  }
}
