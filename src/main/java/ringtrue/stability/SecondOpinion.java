package ringtrue.stability;

import java.util.List;
import java.util.Locale;
import java.util.Optional;
import ringtrue.dynamics.Progress;
import ringtrue.stability.LobesRequest.AtPoint;
import ringtrue.stability.SimulatedCut.Verdict;
import ringtrue.stability.SimulationSettings.StockEdge;
import ringtrue.units.BadInputException;

/**
 * What linear theory says of a cut that was simulated, where it says otherwise, and the likeliest
 * reason: each thing that the simulation knows and linear theory does not is left out in turn.
 */
public final class SecondOpinion {
  /** Depth by which a border is moved to see whether it is near. */
  private static final double NEAR = 0.05;

  private SecondOpinion() {}

  /**
   * Holds a simulated cut against the lobes of its own speed and depth.
   *
   * @param process the cut, with modes
   * @param settings how it was simulated
   * @param simulated what came of it
   * @param progress may cancel
   * @return one sentence where they differ, with the likely reason; empty where they agree, the
   *     simulation cannot tell, or the lobes cannot be had
   */
  public static Optional<String> on(
      CuttingProcess process,
      SimulationSettings settings,
      SimulatedCut simulated,
      Progress progress) {
    if (simulated.verdict() == Verdict.CANNOT_TELL) {
      return Optional.empty();
    }
    boolean quiet = simulated.verdict() == Verdict.STABLE;
    CuttingProcess cut = process.resolvedAt(process.speedRpm());
    boolean differ;
    try {
      differ = linear(cut, 1, progress) != quiet;
    } catch (BadInputException e) {
      return Optional.empty(); // the simulation has said what there is to say
    }
    if (!differ) {
      return Optional.empty();
    }
    return Optional.of(
        String.format(
            Locale.ROOT,
            "lobes call this cut %s: %s; %s",
            quiet ? "unstable" : "stable",
            reason(cut, settings, simulated, quiet, progress),
            quiet
                ? "take the lobes for it until a careful trial has shown otherwise"
                : "take the simulation for it until a careful trial has shown otherwise: lobes may be"
                    + " right for a vibration that stays small, but go to less depth first"));
  }

  private static boolean linear(CuttingProcess cut, double part, Progress progress) {
    double depth = part * cut.engagement().axialM();
    LobesRequest request =
        new LobesRequest(
            StabilityMap.Over.DEPTH,
            Optional.empty(),
            List.of(),
            1.01 * depth,
            List.of(new AtPoint(cut.speedRpm(), depth)));
    return Lobes.compute(cut, request, progress).at().get(0).stable();
  }

  private static String reason(
      CuttingProcess cut,
      SimulationSettings settings,
      SimulatedCut simulated,
      boolean quiet,
      Progress progress) {
    SimulationSettings plain =
        SimulationSettings.USUAL
            .withStepsPerCycle(settings.stepsPerCycle())
            .withTracedTurns(1)
            .with(settings.edge());
    CuttingCoefficients all = cut.coefficients();
    boolean edges = all.kteNPerM() != 0 || all.kreNPerM() != 0;
    CuttingProcess sharp =
        cut.with(new CuttingCoefficients(all.ktcPa(), all.krcPa(), 0, 0, Double.NaN));
    if (edges && turns(sharp, plain, quiet, progress)) {
      return "without its edge forces the simulation says so too; in a simulation they end where the"
          + " chip does, which "
          + (quiet ? "can take" : "can bring")
          + " energy "
          + (quiet ? "out of" : "into")
          + " the vibration, and linear theory leaves them out";
    }
    SimulationSettings fixed = plain.with(StockEdge.FIXED_ANGLES);
    if (settings.edge() == StockEdge.IN_PLACE && turns(cut, fixed, quiet, progress)) {
      return "with entry and exit at fixed angles the simulation says so too; here the edge of the"
          + " stock stays in its place while the tool moves";
    }
    if (edges && settings.edge() == StockEdge.IN_PLACE && turns(sharp, fixed, quiet, progress)) {
      return "without edge forces, and with entry and exit at fixed angles, the simulation says so"
          + " too; linear theory knows neither";
    }
    if (simulated.missedTeethFraction() > 0.005 || leaves(simulated)) {
      return "the motion takes teeth out of the work, while linear theory takes it that they stay in";
    }
    if (linear(cut, 1 - NEAR, progress) == quiet || linear(cut, 1 + NEAR, progress) == quiet) {
      return "the border is within 5 % of the depth, where either may be right";
    }
    return "no single reason was found; keep away from this cut";
  }

  private static boolean turns(
      CuttingProcess cut, SimulationSettings settings, boolean quiet, Progress progress) {
    Verdict verdict = CutInTime.run(cut, settings, progress).verdict();
    return verdict != Verdict.CANNOT_TELL && (verdict == Verdict.STABLE) != quiet;
  }

  private static boolean leaves(SimulatedCut simulated) {
    return simulated.remarks().stream().anyMatch(r -> r.contains("out of the work for"));
  }
}
