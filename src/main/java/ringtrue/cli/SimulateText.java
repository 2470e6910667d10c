package ringtrue.cli;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import ringtrue.library.Cut;
import ringtrue.report.LengthUnit;
import ringtrue.report.SimulationPicture;
import ringtrue.stability.CutSurface;
import ringtrue.stability.SimulatedCut;
import ringtrue.stability.SimulatedCut.Verdict;

/** A simulated cut, to read. */
final class SimulateText {
  private SimulateText() {}

  static List<String> of(SimulatedCut cut, Cut file, LengthUnit unit) {
    List<String> lines = new ArrayList<>();
    lines.add(file.name() + ": " + SimulationPicture.sentence(cut));
    lines.add(
        String.format(
            Locale.ROOT,
            "simulated %d turns at %.0f rpm; what follows is of the last %s",
            cut.turns(),
            file.process().speedRpm(),
            turns(cut)));
    lines.add("");
    row(lines, "largest displacement", unit.small(cut.peakDisplacementM()));
    row(lines, "spread, once per tooth", unit.small(cut.oncePerToothSpreadM()));
    row(lines, "largest force", newton(cut.peakForceN()));
    row(
        lines,
        "mean force, along and across the feed",
        newton(cut.meanXN()) + ", " + newton(cut.meanYN()));
    if (Double.isFinite(cut.meanPowerW())) {
      row(lines, "mean power at the cutter", watt(cut.meanPowerW()));
      row(lines, "largest torque", String.format(Locale.ROOT, "%.3g N m", cut.peakTorqueNm()));
    }
    row(
        lines,
        file.process().tool().isPresent() ? "teeth that missed" : "time out of the cut",
        String.format(Locale.ROOT, "%.1f %%", 100 * cut.missedTeethFraction()));
    cut.surface().ifPresent(s -> surface(lines, s, unit));
    lines.add("");
    lines.add("Cautions");
    if (cut.verdict() == Verdict.FLIP || cut.verdict() == Verdict.HOPF || cut.stopped()) {
      lines.add(
          "  - A cut that chatters loads tool and workpiece far above the quiet cut: do not run it to"
              + " see. Go to less depth or another speed (lobes, plan).");
    }
    if (cut.rigid()) {
      lines.add("  - Nothing here says whether the cut chatters: tap tool and workpiece first.");
    } else if (cut.verdict() == Verdict.CANNOT_TELL) {
      lines.add("  - So close to the border the real cut may go either way: keep away from it.");
    }
    lines.add(
        "  - This is a model at one speed with forces that may be off by a third. Cut in air first,"
            + " then start at half the depth, with guards closed and eyes protected.");
    return lines;
  }

  private static String turns(SimulatedCut cut) {
    double n = (double) cut.trace().size() / cut.trace().stepsPerTurn();
    return n > 1.5 ? String.format(Locale.ROOT, "%.0f of them", n) : "turn";
  }

  private static void surface(List<String> lines, CutSurface s, LengthUnit unit) {
    row(lines, s.name() + ", mean error", side(s.meanM(), unit));
    if (s.errorM().size() > 1) {
      row(
          lines,
          "  at the tip and at the top",
          unit.small(s.errorM().get(0)) + ", " + unit.small(s.errorM().get(s.errorM().size() - 1)));
    }
    row(
        lines,
        "  waves and feed marks",
        unit.small(s.roughnessM()) + " mean, " + unit.small(s.peakToValleyM()) + " peak to valley");
  }

  private static String side(double leftM, LengthUnit unit) {
    return unit.small(Math.abs(leftM)) + (leftM >= 0 ? " left standing" : " too deep");
  }

  private static void row(List<String> lines, String what, String value) {
    lines.add(String.format(Locale.ROOT, "%-42s %s", what, value));
  }

  private static String newton(double force) {
    return String.format(Locale.ROOT, "%.3g N", force);
  }

  private static String watt(double power) {
    return power >= 1000
        ? String.format(Locale.ROOT, "%.3g kW", power / 1e3)
        : String.format(Locale.ROOT, "%.3g W", power);
  }
}
