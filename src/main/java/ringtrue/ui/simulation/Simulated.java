package ringtrue.ui.simulation;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import ringtrue.dynamics.Progress;
import ringtrue.library.Cut;
import ringtrue.library.ModalWay;
import ringtrue.report.LengthUnit;
import ringtrue.report.SimulationPicture;
import ringtrue.stability.CutInTime;
import ringtrue.stability.CutSound;
import ringtrue.stability.CutSurface;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.SecondOpinion;
import ringtrue.stability.SimulatedCut;
import ringtrue.stability.SimulationSettings;
import ringtrue.stability.SimulationSettings.Sound;
import ringtrue.stability.SimulationSettings.StockEdge;
import ringtrue.units.BadInputException;

/**
 * A cut simulated in time, ready to be shown.
 *
 * @param cut what was simulated
 * @param process the same with modes
 * @param result what came of it
 * @param remarks what a reader should know
 */
record Simulated(Cut cut, CuttingProcess process, SimulatedCut result, List<String> remarks) {
  private static final int KEPT_TURNS = 12;
  private static final double SOUND_S = 3;
  private static final int SOUND_HZ = 48_000;

  /** As plan and lobes have it: entry and exit at fixed angles. */
  private static final SimulationSettings SETTINGS =
      SimulationSettings.USUAL.with(StockEdge.FIXED_ANGLES).withTracedTurns(KEPT_TURNS);

  private static final String MODEL =
      "A model at one speed, with forces that may be off by a third: cut in air first, then start at"
          + " half the depth, guards closed, eyes protected.";

  Simulated {
    remarks = List.copyOf(remarks);
  }

  /** Simulates a cut; away from the event thread. */
  static Simulated of(Cut cut, Progress progress) {
    List<String> remarks = new ArrayList<>();
    CuttingProcess process = cut.process();
    if (ModalWay.measured(process)) {
      remarks.add("modes were fitted to the measured responses: a simulation in time needs modes");
      process = ModalWay.modal(process, progress);
    }
    SimulatedCut result = CutInTime.run(process, SETTINGS, progress);
    remarks.addAll(result.remarks());
    SecondOpinion.on(process, SETTINGS, result, progress).ifPresent(remarks::add);
    return new Simulated(cut, process, result, remarks);
  }

  /**
   * Its sound; takes about as long as it sounds.
   *
   * @throws BadInputException if there is none
   */
  CutSound sound(Progress progress) {
    return CutInTime.run(process, SETTINGS.withSound(Sound.VELOCITY, SOUND_S, SOUND_HZ), progress)
        .sound()
        .filter(s -> s.size() > 0)
        .orElseThrow(
            () ->
                new BadInputException("there is no sound: the displacement became absurd before"));
  }

  /** What became of it, in a sentence. */
  String sentence() {
    return SimulationPicture.sentence(result);
  }

  /** Whether it chatters. */
  boolean chatters() {
    return result.verdict() == SimulatedCut.Verdict.FLIP
        || result.verdict() == SimulatedCut.Verdict.HOPF
        || result.stopped();
  }

  /** The numbers of it, in a line. */
  String figures(LengthUnit unit) {
    List<String> all = new ArrayList<>();
    all.add("largest displacement " + unit.small(result.peakDisplacementM()));
    all.add(String.format(Locale.ROOT, "largest force %.3g N", result.peakForceN()));
    if (Double.isFinite(result.meanPowerW())) {
      all.add(String.format(Locale.ROOT, "mean power at the cutter %.3g W", result.meanPowerW()));
    }
    if (result.missedTeethFraction() > 0) {
      all.add(
          String.format(
              Locale.ROOT,
              process.tool().isPresent() ? "%.1f %% of the teeth miss" : "%.1f %% out of the cut",
              100 * result.missedTeethFraction()));
    }
    result
        .surface()
        .ifPresent(
            s ->
                all.add(
                    s.name() + " " + side(s, unit) + ", waves " + unit.small(s.peakToValleyM())));
    return String.join("  \u00b7  ", all);
  }

  private static String side(CutSurface s, LengthUnit unit) {
    return unit.small(Math.abs(s.meanM())) + (s.meanM() >= 0 ? " left standing" : " too deep");
  }

  /** What should be kept in mind, cautions first. */
  List<String> words() {
    List<String> all = new ArrayList<>();
    if (chatters()) {
      all.add(
          "A cut that chatters loads tool and workpiece far above the quiet cut: do not run it to"
              + " see. Go to less depth or another speed.");
    } else if (result.rigid()) {
      all.add("Nothing here says whether the cut chatters: tap tool and workpiece first.");
    } else if (result.verdict() == SimulatedCut.Verdict.CANNOT_TELL) {
      all.add("So close to the border the real cut may go either way: keep away from it.");
    }
    all.add(MODEL);
    all.addAll(remarks);
    return all;
  }
}
