package ringtrue.cli;

import ringtrue.dynamics.Progress;
import ringtrue.library.Cut;
import ringtrue.library.ModalWay;
import ringtrue.planning.CutPlan;
import ringtrue.planning.CutPlanner;
import ringtrue.planning.Reserve;
import ringtrue.report.LengthUnit;

/** The plan of a cut in the units that are wanted. */
final class Plans {
  private Plans() {}

  static CutPlan of(Cut cut, LengthUnit unit, Progress progress) {
    return of(cut, unit, Reserve.USUAL, progress);
  }

  static CutPlan of(Cut cut, LengthUnit unit, Reserve reserve, Progress progress) {
    return CutPlanner.plan(
        cut.process(),
        cut.machine(),
        cut.planSettings().withReserve(reserve).withInches(unit == LengthUnit.INCH),
        ModalWay.judge(cut.process(), progress),
        progress);
  }
}
