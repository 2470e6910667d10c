package ringtrue.stability;

import java.util.ArrayList;
import java.util.List;
import ringtrue.dynamics.Progress;
import ringtrue.units.BadInputException;

/**
 * Turning with one direction and one delay: {@code b = −1/(2 Ks Re G(f))} with {@code Ks = cos α
 * (krc cos α + ktc sin α)}, at speeds for which the wave left by the last revolution has the phase
 * that belongs to f (Tobias 1965; Tlusty & Poláček 1963). For one mode the smallest limit is {@code
 * 2 k ζ(1 + ζ)/Ks} at {@code fn √(1 + 2ζ)}.
 *
 * <p>Process damping (Tyler & Schmitz 2013) is a force C b v/V normal to the surface, of which
 * cos²α counts in x. It is linear in b like the cutting force, so the limits stay roots of one
 * equation, {@code 1/b = −G(f) [Ks (1 − e^(−iωT)) + i ω C cos²α/V]}, without iteration on b.
 */
final class TurningLobes implements LobesMethod {
  /** What the method is called in maps. */
  static final String WORD = "single delay";

  @Override
  public StabilityMap compute(CuttingProcess process, LobesRequest request, Progress progress) {
    double largest =
        request.at().stream()
            .mapToDouble(LobesRequest.AtPoint::lengthM)
            .reduce(request.maxM(), Math::max);
    RegenerativeLoop loop = RegenerativeLoop.turning(process);
    SearchBand band = SearchBand.of(process, List.of(loop), largest);
    LobeSearch search = search(process, loop, band, largest);
    List<String> remarks = new ArrayList<>(band.remarks());
    return ZeroOrderLobes.depthMap(search, request, progress, WORD, "spindle turn", band, remarks);
  }

  /** The search for a turning cut up to a depth, m. */
  static LobeSearch search(CuttingProcess process, double largestM) {
    RegenerativeLoop loop = RegenerativeLoop.turning(process);
    return search(process, loop, SearchBand.of(process, List.of(loop), largestM), largestM);
  }

  private static LobeSearch search(
      CuttingProcess process, RegenerativeLoop loop, SearchBand band, double largestM) {
    double damping = dampingNumber(process, loop);
    return new LobeSearch(
        loop, band, largestM, (rpm, depth) -> Regeneration.turning(rpm, damping), false);
  }

  /** β of {@link Regeneration}; 0 where nothing regenerates, since damping alone is stable. */
  private static double dampingNumber(CuttingProcess process, RegenerativeLoop loop) {
    if (process.processDampingNPerM() == 0 || loop.scalePa() == 0) {
      return 0;
    }
    if (Double.isNaN(process.turnedDiameterM())) {
      throw new BadInputException(
          "process damping: needs the cutting speed; give the diameter of the work, like"
              + " \"workDiameter\": \"40 mm\"");
    }
    double cos = Math.cos(process.modeAngleRad());
    return process.processDampingNPerM()
        * cos
        * cos
        / (Math.PI * process.turnedDiameterM() * loop.scalePa());
  }
}
