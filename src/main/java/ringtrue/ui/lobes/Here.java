package ringtrue.ui.lobes;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import ringtrue.dynamics.Progress;
import ringtrue.library.Cut;
import ringtrue.library.CutLobes;
import ringtrue.planning.CutPlan;
import ringtrue.planning.CutPlanner;
import ringtrue.planning.WhatHappens;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.StabilityMap;
import ringtrue.units.BadInputException;

/**
 * What is known of the cut where it is now.
 *
 * @param cut the cut
 * @param happens whether it is stable, and why; empty where that cannot be said
 * @param problem why it cannot be said; empty otherwise
 * @param limits every limit, chatter first
 */
record Here(Cut cut, Optional<WhatHappens> happens, String problem, List<CutPlan.Limit> limits) {

  /** Name of the limit that the map shows. */
  static final String CHATTER = "chatter";

  /** Whether anything gives, so that a map can be made. */
  static boolean gives(CuttingProcess cut) {
    return !(cut.x().isEmpty() && cut.y().isEmpty());
  }

  /** Looks; away from the event thread. */
  static Here look(Cut cut, Wanted wanted, boolean inches, Progress progress) {
    List<CutPlan.Limit> limits = new ArrayList<>();
    Optional<WhatHappens> happens = Optional.empty();
    String problem = "";
    CuttingProcess process = cut.process();
    if (gives(process)) {
      try {
        WhatHappens what =
            WhatHappens.at(
                CutLobes.process(process, wanted.method(), progress),
                wanted.over(),
                wanted.method(),
                wanted.maxM(),
                inches,
                progress);
        happens = Optional.of(what);
        double length = what.limitM() / (1 + what.margin());
        boolean found = what.loss() != StabilityMap.Loss.NONE;
        limits.add(
            new CutPlan.Limit(
                CHATTER,
                length,
                found ? what.limitM() : Double.NaN,
                "m",
                what.stable(),
                what.words()));
      } catch (BadInputException e) {
        problem = e.getMessage();
      }
    }
    limits.addAll(
        CutPlanner.limitsBesideChatter(
            process, cut.machine(), cut.planSettings().withInches(inches)));
    return new Here(cut, happens, problem, limits);
  }
}
