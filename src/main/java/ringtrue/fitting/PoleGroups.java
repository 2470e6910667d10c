package ringtrue.fitting;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import ringtrue.fitting.VectorFitting.Pole;

/**
 * Sorts the poles of rising model orders into groups of the same pole. Nothing is to be tuned, and
 * the same poles always give the same groups.
 *
 * <p>Two poles p and q are as far apart as {@code |p − q| / |p + q*|}, their distance in the left
 * half plane as a hyperbolic plane: 0 for the same pole, near 1 for poles that are many half-power
 * bandwidths apart. One measure thus judges frequency and damping, at any damping. For poles of
 * equal damping ratio that are one half-power bandwidth apart it is 0.71; for damping ratios of 2:1
 * at one frequency it is 0.33. Decays count as the lines show them, with the window's share and a
 * quarter of the distance of two lines, which is all that lines can tell.
 */
final class PoleGroups {
  /** Farther apart than this, two poles are not the same one. */
  static final double SAME = 0.25;

  /** At fewer orders than this a pole may have come back by chance. */
  private static final int FEWEST_ORDERS = 3;

  private final double lowOmega;
  private final double highOmega;
  private final double seen;
  private final List<Integer> orders = new ArrayList<>();
  private final List<List<Pole>> poles = new ArrayList<>();

  /**
   * @param lines band, window and resolution
   */
  PoleGroups(FitLines lines) {
    lowOmega = lines.omega[0];
    highOmega = lines.omega[lines.size() - 1];
    seen = lines.shift + 0.25 * lines.spacing;
  }

  /** Adds what was found at the next order. Real poles are no structure's and are left out. */
  void add(int order, List<Pole> found) {
    orders.add(order);
    poles.add(
        found.stream()
            .filter(p -> p.im() > 0 && p.re() < 0)
            .sorted(Comparator.comparingDouble(Pole::omega))
            .toList());
  }

  /**
   * What was found and how it belongs together.
   *
   * @param stabilisation poles and groups inside the band
   * @param starts the pole of each group that the fit is to start from; those beyond the band's
   *     ends included
   */
  record Grouped(Stabilisation stabilisation, List<Pole> starts) {}

  /**
   * The groups of all poles added so far.
   *
   * @param upTo how many orders, from the lowest, decide which groups are taken
   */
  Grouped grouped(int upTo) {
    List<Group> groups = new ArrayList<>();
    List<int[]> groupOf = new ArrayList<>();
    for (int k = 0; k < poles.size(); k++) {
      groupOf.add(joined(poles.get(k), k, groups));
    }
    List<Group> lasting = groups.stream().filter(g -> g.members.size() > 1).toList();
    List<Pole> starts = new ArrayList<>();
    List<Group> shown = new ArrayList<>();
    for (Group group : lasting) {
      if (isTaken(group, upTo)) {
        starts.add(group.median());
      }
      if (isInside(group.median())) {
        shown.add(group);
      }
    }
    shown.sort(Comparator.comparingDouble(g -> g.median().omega()));
    List<Stabilisation.Pole> all = new ArrayList<>();
    for (int k = 0; k < poles.size(); k++) {
      for (int i = 0; i < poles.get(k).size(); i++) {
        Pole pole = poles.get(k).get(i);
        if (isInside(pole)) {
          boolean comesBack = k > 0 && nearest(pole, poles.get(k - 1)) < SAME;
          int group = shown.indexOf(groups.get(groupOf.get(k)[i]));
          all.add(
              new Stabilisation.Pole(
                  orders.get(k), pole.omega() / (2 * Math.PI), pole.zeta(), comesBack, group));
        }
      }
    }
    List<Stabilisation.Group> summaries =
        shown.stream().map(g -> g.summary(isTaken(g, upTo))).toList();
    return new Grouped(new Stabilisation(all, summaries), starts);
  }

  private boolean isInside(Pole pole) {
    return pole.omega() >= lowOmega && pole.omega() <= highOmega;
  }

  /** Whether it came back at most orders since it was first seen, and at enough of them. */
  private static boolean isTaken(Group group, int upTo) {
    int found = group.foundUpTo(upTo);
    int since = upTo - group.orders.get(0);
    return found >= Math.min(FEWEST_ORDERS, upTo) && (2 * found > since || 2 * found >= upTo);
  }

  /** Distance of two poles, 0 to 1. */
  double distance(Pole p, Pole q) {
    double a = seen - p.re();
    double b = seen - q.re();
    double apart = p.im() - q.im();
    return Math.hypot(apart, a - b) / Math.hypot(apart, a + b);
  }

  private double nearest(Pole pole, List<Pole> among) {
    double least = 1;
    for (Pole other : among) {
      least = Math.min(least, distance(pole, other));
    }
    return least;
  }

  private record Pair(double distance, int pole, int group) {}

  /** Puts each pole of an order into the nearest group, closest pairs first, or into a new one. */
  private int[] joined(List<Pole> found, int order, List<Group> groups) {
    List<Pair> pairs = new ArrayList<>();
    for (int g = 0; g < groups.size(); g++) {
      Pole centre = groups.get(g).latest();
      for (int i = 0; i < found.size(); i++) {
        double distance = distance(found.get(i), centre);
        if (distance < SAME) {
          pairs.add(new Pair(distance, i, g));
        }
      }
    }
    pairs.sort(Comparator.comparingDouble(Pair::distance));
    int[] group = new int[found.size()];
    Arrays.fill(group, -1);
    boolean[] full = new boolean[groups.size()];
    for (Pair pair : pairs) {
      if (group[pair.pole] < 0 && !full[pair.group]) {
        group[pair.pole] = pair.group;
        full[pair.group] = true;
        groups.get(pair.group).add(order, found.get(pair.pole));
      }
    }
    for (int i = 0; i < group.length; i++) {
      if (group[i] < 0) {
        group[i] = groups.size();
        groups.add(new Group(order, found.get(i)));
      }
    }
    return group;
  }

  /** One pole of the structure, perhaps, as different orders see it. */
  private static final class Group {
    final List<Integer> orders = new ArrayList<>();
    final List<Pole> members = new ArrayList<>();

    Group(int order, Pole first) {
      add(order, first);
    }

    void add(int order, Pole pole) {
      orders.add(order);
      members.add(pole);
    }

    int foundUpTo(int limit) {
      return (int) orders.stream().filter(k -> k < limit).count();
    }

    /** Median of the latest members: early orders have it only roughly. */
    Pole latest() {
      return middle(members.subList(Math.max(0, members.size() - 3), members.size()));
    }

    Pole median() {
      return middle(members);
    }

    private static Pole middle(List<Pole> some) {
      double omega = quantile(some.stream().mapToDouble(Pole::omega).toArray(), 0.5);
      double zeta = quantile(some.stream().mapToDouble(Pole::zeta).toArray(), 0.5);
      return new Pole(-zeta * omega, omega * Math.sqrt(Math.max(0, 1 - zeta * zeta)));
    }

    Stabilisation.Group summary(boolean taken) {
      double[] hz = members.stream().mapToDouble(p -> p.omega() / (2 * Math.PI)).toArray();
      double[] zeta = members.stream().mapToDouble(Pole::zeta).toArray();
      return new Stabilisation.Group(
          quantile(hz, 0.5),
          (quantile(hz, 0.75) - quantile(hz, 0.25)) / 2,
          quantile(zeta, 0.5),
          (quantile(zeta, 0.75) - quantile(zeta, 0.25)) / 2,
          members.size(),
          taken);
    }

    /** Quantile with linear interpolation between the sorted values. */
    private static double quantile(double[] values, double part) {
      double[] sorted = values.clone();
      Arrays.sort(sorted);
      double at = part * (sorted.length - 1);
      int below = (int) at;
      int above = Math.min(sorted.length - 1, below + 1);
      return sorted[below] + (at - below) * (sorted[above] - sorted[below]);
    }
  }
}
