package ringtrue.library;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import ringtrue.dynamics.Progress;
import ringtrue.planning.OutcomeCheck;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.Engagement;
import ringtrue.stability.StabilityMap;
import ringtrue.units.BadInputException;

/**
 * What cuts with the set-ups of a cut did, as far as it can be held against that cut's map.
 *
 * @param known outcomes of cuts in the same material with the same set-ups, the oldest first
 * @param remarks which outcomes were left aside and why
 */
public record SavedOutcomes(List<Known> known, List<String> remarks) {

  /**
   * An outcome with its cut.
   *
   * @param setUp id of the set-up
   * @param outcome what the cut did
   * @param process the cut as it was made
   */
  public record Known(String setUp, Outcome outcome, CuttingProcess process) {

    /** The cut as it is held against a map. */
    public OutcomeCheck.Trial trial() {
      return new OutcomeCheck.Trial(
          outcome.id(), process, outcome.result() == Outcome.Result.CHATTERED, outcome.chatterHz());
    }

    /** Whether it is a point of another cut's map: the same engagement but for what is varied. */
    public boolean isOn(StabilityMap.Over over, CuttingProcess other) {
      Engagement a = process.engagement();
      Engagement b = other.engagement();
      if (process.operation() != other.operation()) {
        return false;
      }
      return over == StabilityMap.Over.DEPTH
          ? Math.abs(a.entryRad() - b.entryRad()) < 0.01
              && Math.abs(a.exitRad() - b.exitRad()) < 0.01
          : a.direction() == b.direction()
              && Math.abs(a.axialM() - b.axialM()) <= 0.01 * b.axialM();
    }
  }

  public SavedOutcomes {
    known = List.copyOf(known);
    remarks = List.copyOf(remarks);
  }

  /**
   * @param file a cut file
   * @param cut what was read of it
   * @param library where the set-ups that it names are kept
   * @param catalogue materials and machines that saved cuts may name
   */
  public static SavedOutcomes of(
      Path file, Cut cut, SetUpLibrary library, Catalogue catalogue, Progress progress) {
    return of(CutCopy.savedIn(file), cut, library, catalogue, progress);
  }

  /**
   * The same for a cut that need not be in a file.
   *
   * @param named ids of the saved set-ups that it names
   */
  public static SavedOutcomes of(
      Set<String> named, Cut cut, SetUpLibrary library, Catalogue catalogue, Progress progress) {
    List<Known> known = new ArrayList<>();
    List<String> remarks = new ArrayList<>();
    Set<String> seen = new java.util.HashSet<>();
    for (String id : named) {
      SavedSetUp saved = library.read(id);
      Map<String, Cut> cuts = new HashMap<>();
      int others = 0;
      int simulated = 0;
      for (Outcome outcome : saved.outcomes()) {
        if (outcome.simulated()) {
          simulated++;
          continue;
        }
        try {
          Path cutFile = saved.cutFile(outcome.cut());
          String place = id + "/" + SetUpFolder.CUTS + "/" + outcome.cut() + "/" + SetUpFolder.CUT;
          NamesInside.require(cutFile, place);
          Cut made =
              cuts.computeIfAbsent(
                  outcome.cut(), c -> CutFile.read(cutFile, catalogue, library, progress));
          boolean same =
              made.material()
                      .toLowerCase(Locale.ROOT)
                      .equals(cut.material().toLowerCase(Locale.ROOT))
                  && made.process().operation() == cut.process().operation()
                  && CutCopy.savedIn(cutFile).equals(named);
          if (!same) {
            others++;
          } else if (seen.add(outcome.cut() + " " + outcome.date() + " " + outcome.result())) {
            known.add(new Known(id, outcome, made.process()));
          }
        } catch (BadInputException e) {
          remarks.add(
              "outcome " + outcome.id() + " of " + id + " was left aside: " + e.getMessage());
        }
      }
      if (simulated > 0) {
        remarks.add(
            simulated
                + (simulated == 1 ? " outcome of " : " outcomes of ")
                + id
                + (simulated == 1 ? " was" : " were")
                + " left aside: simulated, not a cut that was made");
      }
      if (others > 0) {
        remarks.add(
            others
                + (others == 1 ? " outcome of " : " outcomes of ")
                + id
                + " in another material or with another partner "
                + (others == 1 ? "was" : "were")
                + " left aside");
      }
    }
    known.sort(java.util.Comparator.comparing(k -> k.outcome().date()));
    return new SavedOutcomes(known, remarks);
  }

  /** Holds them against the map of a cut. */
  public OutcomeCheck.Result against(CuttingProcess process, Progress progress) {
    CuttingProcess modal = ModalWay.measured(process) ? ModalWay.modal(process, progress) : process;
    return OutcomeCheck.of(modal, known.stream().map(Known::trial).toList(), progress);
  }
}
