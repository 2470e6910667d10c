package ringtrue.units;

import java.util.Collection;
import java.util.Locale;
import java.util.Optional;

/** Finds the name that somebody probably meant. */
public final class Names {
  private Names() {}

  /**
   * The known name with the fewest letters to change (Levenshtein 1966), if it is near enough to be
   * a likely slip: at most a third of the longer name's letters, and at least one letter in common.
   *
   * @param given what was written
   * @param known the names to choose from
   */
  public static Optional<String> closest(String given, Collection<String> known) {
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

  private static int distance(String a, String b) {
    if (Math.abs(a.length() - b.length()) > 20 || a.length() > 200) {
      return Integer.MAX_VALUE;
    }
    int[] row = new int[b.length() + 1];
    for (int j = 0; j <= b.length(); j++) {
      row[j] = j;
    }
    for (int i = 1; i <= a.length(); i++) {
      int diagonal = row[0];
      row[0] = i;
      for (int j = 1; j <= b.length(); j++) {
        int change = diagonal + (a.charAt(i - 1) == b.charAt(j - 1) ? 0 : 1);
        diagonal = row[j];
        row[j] = Math.min(change, 1 + Math.min(row[j], row[j - 1]));
      }
    }
    return row[b.length()];
  }
}
