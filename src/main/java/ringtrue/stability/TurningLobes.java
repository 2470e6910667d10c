package ringtrue.stability;

import java.util.ArrayList;
import java.util.List;
import ringtrue.dynamics.Progress;

/**
 * Turning with one direction and one delay: {@code b = −1/(2 Ks Re G(f))} with {@code Ks = cos α
 * (krc cos α + ktc sin α)}, at speeds for which the wave left by the last revolution has the phase
 * that belongs to f (Tobias 1965; Tlusty & Poláček 1963). For one mode the smallest limit is {@code
 * 2 k ζ(1 + ζ)/Ks} at {@code fn √(1 + 2ζ)}.
 */
final class TurningLobes implements LobesMethod {

  @Override
  public StabilityMap compute(CuttingProcess process, LobesRequest request, Progress progress) {
    double largest =
        request.at().stream()
            .mapToDouble(LobesRequest.AtPoint::lengthM)
            .reduce(request.maxM(), Math::max);
    RegenerativeLoop loop = RegenerativeLoop.turning(process);
    SearchBand band = SearchBand.of(process, List.of(loop), largest);
    LobeSearch search =
        new LobeSearch(loop, band, largest, (rpm, depth) -> Regeneration.turning(rpm), false);
    List<String> remarks = new ArrayList<>(band.remarks());
    return LimitSensitivity.withBands(
        process,
        ZeroOrderLobes.depthMap(
            search, request, progress, "single delay", "spindle turn", band, remarks));
  }
}
