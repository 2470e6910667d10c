package ringtrue.fitting;

import java.util.ArrayList;
import java.util.List;
import ringtrue.fitting.VectorFitting.Pole;

/**
 * Poles over rising model orders. A pole of the structure comes back at every order that is high
 * enough; a pole that stands for noise wanders (Van der Auweraer and Peeters 2004, Structural
 * Health Monitoring 3, on how to read such diagrams).
 */
final class StabilisationDiagram {
  /** How close a pole must come back, as a part of its frequency or of its bandwidth. */
  private static final double FREQUENCY = 0.01;

  private static final double OF_BANDWIDTH = 0.5;
  private static final double DAMPING = 0.4;

  private final List<List<Pole>> orders = new ArrayList<>();

  void add(List<Pole> poles) {
    orders.add(poles);
  }

  /** Poles, latest value each, that were found at two orders or more. */
  List<Pole> stable() {
    List<Pole> stable = new ArrayList<>();
    for (int order = orders.size() - 1; order >= 0; order--) {
      for (Pole pole : orders.get(order)) {
        if (isPresent(pole, stable)) {
          continue;
        }
        int found = 0;
        for (List<Pole> other : orders) {
          found += isPresent(pole, other) ? 1 : 0;
        }
        if (found >= Math.min(2, orders.size())) {
          stable.add(pole);
        }
      }
    }
    return stable;
  }

  private static boolean isPresent(Pole pole, List<Pole> among) {
    for (Pole other : among) {
      double apart = Math.abs(other.omega() - pole.omega());
      double near =
          Math.min(FREQUENCY * pole.omega(), OF_BANDWIDTH * 2 * pole.zeta() * pole.omega());
      double ratio = Math.abs(Math.log(other.zeta() / pole.zeta()));
      if (apart <= near && ratio <= DAMPING) {
        return true;
      }
    }
    return false;
  }
}
