package ringtrue.report;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import ringtrue.dynamics.Progress;
import ringtrue.library.Catalogue;
import ringtrue.library.Cut;
import ringtrue.library.CutCopy;
import ringtrue.library.CutLobes;
import ringtrue.library.InputFiles;
import ringtrue.library.ModalWay;
import ringtrue.library.SavedFiles;
import ringtrue.library.SavedOutcomes;
import ringtrue.library.SetUpLibrary;
import ringtrue.planning.CutPlan;
import ringtrue.planning.CutPlanner;
import ringtrue.report.ReportItem.Found;
import ringtrue.stability.LobesRequest;
import ringtrue.stability.StabilityMap;
import ringtrue.units.BadInputException;

/**
 * Gathers what a report tells of cuts.
 *
 * @param catalogue materials and machines
 * @param catalogueFiles files of the user's own that went into it
 * @param library where saved set-ups are kept that a cut names
 * @param unit lengths in sentences
 * @param draws sets of inputs to draw for the lobes; empty for none
 */
public record PlannedItems(
    Catalogue catalogue,
    List<Path> catalogueFiles,
    SetUpLibrary library,
    LengthUnit unit,
    Optional<CutLobes.Draws> draws) {

  public PlannedItems {
    catalogueFiles = List.copyOf(catalogueFiles);
  }

  /**
   * Lobes, plan, and what cuts with its saved set-ups did.
   *
   * @param file the cut file
   * @param cut what was read of it
   * @param progress told how far it is, may cancel
   */
  public ReportItem.Planned of(Path file, Cut cut, Progress progress) {
    return of(file, cut, Optional.empty(), progress);
  }

  /**
   * The same with a plan that is there already.
   *
   * @param planned the plan of this very cut, its lengths in the unit of this; empty to make it
   */
  public ReportItem.Planned of(Path file, Cut cut, Optional<CutPlan> planned, Progress progress) {
    List<InputFiles.Source> sources = new ArrayList<>(InputFiles.of(file));
    sources.addAll(SavedFiles.of(CutCopy.savedIn(file), library));
    catalogueFiles.forEach(f -> sources.add(InputFiles.source(f)));
    List<String> remarks = new ArrayList<>(cut.remarks());
    Found<StabilityMap> map;
    Optional<CutOutcomes> outcomes = Optional.empty();
    try {
      LobesRequest request =
          new LobesRequest(
              StabilityMap.Over.DEPTH,
              Optional.empty(),
              CutLobes.speedsRpm(cut, Optional.empty(), draws.isPresent()),
              Double.NaN,
              List.of(
                  new LobesRequest.AtPoint(
                      cut.process().speedRpm(), cut.process().engagement().axialM())));
      CutLobes made = CutLobes.of(cut, request, draws, part(progress, 0, 0.5));
      remarks.addAll(made.remarks());
      if (!CutCopy.savedIn(file).isEmpty()) {
        SavedOutcomes known =
            SavedOutcomes.of(file, cut, library, catalogue, part(progress, 0.5, 0.55));
        remarks.addAll(known.remarks());
        outcomes =
            Optional.of(
                new CutOutcomes(known, known.against(cut.process(), part(progress, 0.55, 0.6))));
      }
      map = Found.of(made.map());
    } catch (BadInputException e) {
      if (draws.isPresent()) {
        throw e; // what was asked for by name is not left out
      }
      map = Found.none(e.getMessage());
    }
    Found<CutPlan> plan;
    try {
      CutPlan made = planned.isPresent() ? planned.get() : plan(cut, part(progress, 0.6, 1));
      remarks.addAll(made.remarks());
      plan = Found.of(made);
    } catch (BadInputException e) {
      plan = Found.none(e.getMessage());
    }
    return new ReportItem.Planned(
        sources, cut, map, plan, outcomes, remarks.stream().distinct().toList());
  }

  private CutPlan plan(Cut cut, Progress progress) {
    return CutPlanner.plan(
        cut.process(),
        cut.machine(),
        cut.planSettings().withInches(unit == LengthUnit.INCH),
        ModalWay.judge(cut.process(), progress),
        progress);
  }

  private static Progress part(Progress progress, double from, double to) {
    return (done, what) -> progress.at(from + done * (to - from), what);
  }
}
