package ringtrue.cli;

import ringtrue.dynamics.Progress;
import ringtrue.library.Cut;
import ringtrue.library.ModalWay;
import ringtrue.planning.CutPlan;
import ringtrue.planning.CutPlanner;
import ringtrue.report.LengthUnit;

/** The plan of a cut in the units that are wanted. */
final class Plans {
  private Plans() {}

  static CutPlan of(Cut cut, LengthUnit unit, Progress progress) {
    return CutPlanner.plan(
        cut.process(),
        cut.machine(),
        cut.planSettings().withInches(unit == LengthUnit.INCH),
        ModalWay.judge(cut.process(), progress),
        progress);
  }
}
