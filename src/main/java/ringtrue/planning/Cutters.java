package ringtrue.planning;

import java.util.Optional;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.Tool;

/** Cuts with another cutter on the same structure. */
final class Cutters {
  private Cutters() {}

  static CuttingProcess with(CuttingProcess cut, Tool tool) {
    return new CuttingProcess(
        cut.operation(),
        Optional.of(tool),
        cut.engagement(),
        cut.coefficients(),
        cut.x(),
        cut.y(),
        cut.speedRpm(),
        cut.feedPerToothM(),
        cut.modeAngleRad(),
        cut.xy(),
        cut.processDampingNPerM(),
        cut.turnedDiameterM());
  }
}
