package ringtrue.planning;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import ringtrue.stability.CuttingProcess;

/** Plain sentences on safety that belong with a cut. None of them says that a cut is safe. */
final class Cautions {
  private Cautions() {}

  static List<String> of(
      CuttingProcess cut,
      List<CutPlan.Limit> limits,
      List<CutPlan.Suggestion> suggestions,
      PlanSettings settings) {
    List<String> all = new ArrayList<>();
    boolean milling = cut.operation() == CuttingProcess.Operation.MILLING;
    all.add(
        "These numbers are estimates: measured at standstill, at one point, in one posture and one"
            + " clamping. Check draw bar, collet, vise and clamps before the cut.");
    all.add(
        "Run the programme in air first, then start at half the depth, in small steps, with a hand at"
            + " the stop; stop at the first sign of chatter.");
    all.add(
        "Keep guards and enclosure closed, wear eye protection, and hearing protection where a cut"
            + " may chatter.");
    double range = cut.coefficients().relativeRange();
    if (range >= 0.1) {
      all.add(
          "The cutting forces of this material may be off by up to "
              + Words.percent(range)
              + ": then the chatter limit is only "
              + Words.percent(1 / (1 + range))
              + " of what is shown, and power, bending and deflection are more. The reserve of the"
              + " cuts offered does not cover all of that; a trial cut does.");
    }
    all.add(
        "A spindle that stalls or faults while the feed goes on breaks the tool and throws pieces:"
            + " the drive's own fault signal and its at-speed signal must stop the feed at once. Have"
            + " that wiring checked by a qualified person, and by a trial in air.");
    if (milling) {
      if (settings.toolMaterial().name().toLowerCase(Locale.ROOT).contains("carbide")) {
        all.add(
            "Carbide is brittle: it breaks without bending first and its splinters fly. Handle the"
                + " cutter by its shank.");
      }
    }
    if (use("power", limits) > 0.8 || use("torque", limits) > 0.8) {
      all.add(
          "The cut needs most of what the spindle gives: a dull edge or a hard spot can stall it"
              + " while the feed goes on.");
    }
    boolean faster = suggestions.stream().anyMatch(s -> s.speedRpm() > cut.speedRpm() * 1.001);
    if (faster) {
      all.add(
          "A faster speed that the plan offers is no permission: never go above the speed marked on"
              + " cutter, holder and spindle, and mind the balance.");
    }
    all.add(
        "Follow local codes and the maker's instructions; electrical and guarding work is for"
            + " licensed or qualified people.");
    return all;
  }

  private static double use(String name, List<CutPlan.Limit> limits) {
    return limits.stream()
        .filter(l -> l.name().equals(name) && l.limit() > 0)
        .mapToDouble(l -> l.value() / l.limit())
        .findFirst()
        .orElse(0);
  }
}
