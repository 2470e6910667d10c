package ringtrue.planning;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.List;
import java.util.Optional;
import ringtrue.dynamics.Receptance;
import ringtrue.stability.CuttingCoefficients;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.Engagement;
import ringtrue.stability.Engagement.Direction;
import ringtrue.stability.Tool;

/** Cuts for tests, in the shop's units. */
final class Cuts {
  static final double MM = 1e-3;

  private Cuts() {}

  /** Coefficients in N/mm² and N/mm. */
  static CuttingCoefficients coefficients(double ktc, double krc, double kte, double kre) {
    return new CuttingCoefficients(ktc * 1e6, krc * 1e6, kte * 1e3, kre * 1e3, Double.NaN);
  }

  static Tool tool(double diameterMm, int flutes, double helixDeg, double runoutUm) {
    return tool(
        diameterMm,
        Collections.nCopies(flutes, helixDeg),
        Collections.nCopies(flutes, 360.0 / flutes),
        runoutUm);
  }

  static Tool tool(
      double diameterMm, List<Double> helixDeg, List<Double> pitchDeg, double runoutUm) {
    return new Tool(
        diameterMm * MM,
        helixDeg.stream().map(Math::toRadians).toList(),
        pitchDeg.stream().map(Math::toRadians).toList(),
        22 * MM,
        16 * MM,
        runoutUm * 1e-6,
        5e-6);
  }

  static List<Double> list(double... values) {
    return new ArrayList<>(Arrays.stream(values).boxed().toList());
  }

  static CuttingProcess milling(
      Tool tool,
      Direction direction,
      double aeMm,
      double apMm,
      CuttingCoefficients coefficients,
      double rpm,
      double fzMm) {
    return milling(
        tool,
        Engagement.of(direction, aeMm * MM, apMm * MM, tool.diameterM()),
        coefficients,
        List.of(),
        List.of(),
        rpm,
        fzMm);
  }

  static CuttingProcess milling(
      Tool tool,
      Engagement engagement,
      CuttingCoefficients coefficients,
      List<Receptance> x,
      List<Receptance> y,
      double rpm,
      double fzMm) {
    return new CuttingProcess(
        CuttingProcess.Operation.MILLING,
        Optional.of(tool),
        engagement,
        coefficients,
        x,
        y,
        rpm,
        fzMm * MM,
        0);
  }
}
