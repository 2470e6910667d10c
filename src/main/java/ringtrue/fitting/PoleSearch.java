package ringtrue.fitting;

import java.util.ArrayList;
import java.util.List;
import ringtrue.dynamics.Progress;
import ringtrue.fitting.VectorFitting.Pole;

/**
 * Poles by {@link VectorFitting} over rising model orders up to {@link #HIGHEST_ORDER}, on thinned
 * lines. Each order starts from the poles of the one before and one more where its misfit is
 * largest.
 *
 * <p>Orders that are higher than the data support show what comes back and what does not, but also
 * hold poles for noise that settle down; so a group is taken as a start only if it has come back by
 * the order at which the misfit stopped falling.
 */
final class PoleSearch {
  /** Highest number of poles, conjugate ones counted. */
  static final int HIGHEST_ORDER = 40;

  private static final int LOWEST_ORDER = 4;

  /** Fall of chi-square that another pole must bring; chance alone reaches about 25. */
  private static final double GAIN = 45;

  /** So many orders in a row without such a fall, and higher ones only fit noise. */
  private static final int IDLE = 4;

  private static final int FIRST_ROUNDS = 6;
  private static final int ROUNDS = 2;

  private PoleSearch() {}

  /**
   * Looks for poles.
   *
   * @param progress told how far it is, 0 to 0.4
   */
  static PoleGroups.Grouped of(FitLines lines, Progress progress) {
    double relation = relation(lines);
    FitLines few = LineThinning.of(lines);
    VectorFitting fitting = new VectorFitting(few);
    PoleGroups groups = new PoleGroups(lines);
    List<Pole> poles = start(lines);
    int most = Math.min(HIGHEST_ORDER, few.size() / 3);
    double best = Double.POSITIVE_INFINITY;
    int idle = 0;
    int busy = 0;
    for (int order = LOWEST_ORDER; order <= most; order += 2) {
      progress.at(0.4 * order / HIGHEST_ORDER, "model order " + order);
      poles = fitting.relocate(poles, rounds(order, idle));
      groups.add(order, poles);
      VectorFitting.Misfit misfit = fitting.misfit(poles);
      if (idle < IDLE) {
        busy++;
        double freedom = Math.max(1, 2.0 * few.size() - 2.0 * order);
        double needed = GAIN * relation * Math.max(1, misfit.chiSquare() / freedom);
        idle = misfit.chiSquare() > best - needed ? idle + 1 : 0;
        best = Math.min(best, misfit.chiSquare());
      }
      poles = new ArrayList<>(poles);
      poles.addAll(misfit.worstPlaces(1));
    }
    return groups.grouped(busy);
  }

  private static List<Pole> start(FitLines lines) {
    List<Pole> poles = new ArrayList<>();
    double low = lines.omega[0];
    double high = lines.omega[lines.size() - 1];
    for (int j = 0; j < LOWEST_ORDER / 2; j++) {
      double omega = low + (high - low) * (0.25 + 0.5 * j);
      poles.add(new Pole(-0.02 * omega, omega));
    }
    return poles;
  }

  /** By how much noise under an exponential window mimics a pole more easily than white noise. */
  private static double relation(FitLines lines) {
    return Math.max(1, 2 * Math.PI / lines.spacing * lines.shift);
  }

  private static int rounds(int order, int idle) {
    if (order == LOWEST_ORDER) {
      return FIRST_ROUNDS;
    }
    return idle < IDLE ? ROUNDS : 1;
  }
}
