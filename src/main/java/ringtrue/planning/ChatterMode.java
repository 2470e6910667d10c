package ringtrue.planning;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Receptance;
import ringtrue.planning.SoundAdvice.NearestMode;
import ringtrue.stability.CuttingProcess;

/** The mode that chatter at a frequency comes from. */
final class ChatterMode {
  /** Chatter farther below its mode, as a part of the mode's frequency, belongs to another. */
  private static final double NEAR_BELOW = 0.88;

  private static final double NEAR_ABOVE = 1.2;

  private record At(String axis, Mode mode) {}

  private ChatterMode() {}

  /**
   * The mode that is nearest, of those that can be meant. Chatter sings somewhat above its mode:
   * where the real part of the receptance is negative; in milling it may be a little below.
   *
   * @param rpm spindle speed at which the modes count, rpm
   * @param chatterHz the chatter, Hz
   */
  static Optional<NearestMode> nearest(CuttingProcess cut, double rpm, double chatterHz) {
    NearestMode best = null;
    for (At at : modes(cut.resolvedAt(rpm))) {
      double over = chatterHz / at.mode.frequencyHz() - 1;
      boolean possible = over > NEAR_BELOW - 1 && over < NEAR_ABOVE - 1;
      // a little above is where it should be; equally far below is less likely
      double cost = over < 0 ? -2 * over : over;
      double bestCost =
          best == null
              ? Double.POSITIVE_INFINITY
              : best.chatterOver() < 0 ? -2 * best.chatterOver() : best.chatterOver();
      if (possible && cost < bestCost) {
        best = new NearestMode(at.axis, at.mode.frequencyHz(), over);
      }
    }
    return Optional.ofNullable(best);
  }

  private static List<At> modes(CuttingProcess now) {
    List<At> all = new ArrayList<>();
    modes("x", now.x(), all);
    modes("y", now.y(), all);
    return all;
  }

  private static void modes(String axis, List<Receptance> direction, List<At> into) {
    for (Receptance r : direction) {
      if (r instanceof ModalModel model) {
        model.modes().forEach(m -> into.add(new At(axis, m)));
      } else if (r instanceof Mode m) {
        into.add(new At(axis, m));
      }
    }
  }
}
