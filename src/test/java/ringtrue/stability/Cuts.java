package ringtrue.stability;

import java.util.Collections;
import java.util.List;
import java.util.Optional;
import ringtrue.dynamics.Progress;
import ringtrue.dynamics.Receptance;
import ringtrue.stability.Engagement.Direction;

/** Cuts for tests. */
final class Cuts {
  private Cuts() {}

  static Tool tool(int flutes, double diameterM) {
    return tool(diameterM, Collections.nCopies(flutes, 2 * Math.PI / flutes));
  }

  static Tool tool(double diameterM, List<Double> pitchRad) {
    return new Tool(
        diameterM,
        Collections.nCopies(pitchRad.size(), 0.0),
        pitchRad,
        Double.NaN,
        Double.NaN,
        0,
        Double.NaN);
  }

  static Tool pitched(double diameterM, double... pitchDeg) {
    return tool(diameterM, java.util.Arrays.stream(pitchDeg).mapToObj(Math::toRadians).toList());
  }

  static CuttingProcess milling(
      Tool tool,
      Direction direction,
      double radialFraction,
      double axialM,
      double ktcPa,
      double krcPa,
      List<Receptance> x,
      List<Receptance> y) {
    return new CuttingProcess(
        CuttingProcess.Operation.MILLING,
        Optional.of(tool),
        Engagement.of(direction, radialFraction * tool.diameterM(), axialM, tool.diameterM()),
        new CuttingCoefficients(ktcPa, krcPa, 0, 0, Double.NaN),
        x,
        y,
        10_000,
        1e-4,
        0);
  }

  static CuttingProcess turning(double ktcPa, double krcPa, double modeAngleRad, Receptance... x) {
    return new CuttingProcess(
        CuttingProcess.Operation.TURNING,
        Optional.empty(),
        new Engagement(Direction.ANGLES, Double.NaN, 1e-3, 0, 1),
        new CuttingCoefficients(ktcPa, krcPa, 0, 0, Double.NaN),
        List.of(x),
        List.of(),
        1000,
        1e-4,
        modeAngleRad);
  }

  /** The zero-order map over depth; in turning the exact one. */
  static StabilityMap depth(CuttingProcess process, double maxM, Double... speedsRpm) {
    return Lobes.compute(
        process,
        new LobesRequest(
            StabilityMap.Over.DEPTH,
            Optional.of(Method.ZERO_ORDER),
            List.of(speedsRpm),
            maxM,
            List.of()),
        Progress.NONE);
  }

  static double limit(CuttingProcess process, double maxM, double speedRpm) {
    return depth(process, maxM, speedRpm).lines().get(0).limitM();
  }
}
