package ringtrue.stability;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import ringtrue.dynamics.Progress;
import ringtrue.stability.LobesRequest.AtPoint;
import ringtrue.units.BadInputException;

/**
 * Milling with averaged directional factors (zeroth-order approximation, Altintas & Budak 1995;
 * Budak & Altintas 1998), any mixture of modes and measured responses in two directions, even or
 * uneven pitch.
 *
 * <p>The cut is at its limit where {@code det(I − b Ktc/(4π) Σ_j (1 − e^(−iωτ_j)) G(iω) a) = 0}
 * with the factors a of {@link DirectionalFactors#averaged}. At each speed every such depth is
 * found by bracketing and refined to rounding; nothing is read off a drawn curve.
 */
public final class ZeroOrderLobes implements LobesMethod {

  /** How far to trust this method. */
  static final String QUICK_LOOK =
      "averaged directional factors: thin radial cuts can differ by up to a factor of two, and flip"
          + " lobes are not in it";

  /** What the method is called in maps. */
  static final String WORD = Method.ZERO_ORDER.word();

  /** What averaging does to cutters with different helices. */
  static final String HELICES_DIFFER =
      "helices differ: averaged factors smear the delays along the edges and can promise several"
          + " times the depth that is possible; trust the periodic method on modes";

  ZeroOrderLobes() {}

  @Override
  public StabilityMap compute(CuttingProcess process, LobesRequest request, Progress progress) {
    return request.over() == StabilityMap.Over.WIDTH
        ? new WidthSearch(process, request).map(progress)
        : overDepth(process, request, progress);
  }

  private static StabilityMap overDepth(
      CuttingProcess process, LobesRequest request, Progress progress) {
    Tool tool = process.tool().orElseThrow();
    List<String> remarks = new ArrayList<>(List.of(QUICK_LOOK));
    remarks.addAll(leftOut(process));
    double deepest = Regeneration.deepest(tool);
    double maxM = request.maxM();
    if (maxM >= deepest) {
      maxM = 0.999 * deepest;
      remarks.add(
          String.format(
              Locale.ROOT,
              "searched to %s only: flutes of different helix meet at %s",
              Plain.mm(maxM),
              Plain.mm(deepest)));
    }
    if (!tool.equalHelix()) {
      remarks.add(HELICES_DIFFER);
    }
    LobesRequest clipped = request.upTo(maxM);
    double largest = request.at().stream().mapToDouble(AtPoint::lengthM).reduce(maxM, Math::max);
    RegenerativeLoop loop = RegenerativeLoop.milling(process, process.engagement());
    SearchBand band = SearchBand.of(process, List.of(loop), largest);
    remarks.addAll(band.remarks());
    LobeSearch search = search(tool, loop, band, largest);
    return LimitSensitivity.withBands(
        process, depthMap(search, clipped, progress, WORD, growthPeriod(tool), band, remarks));
  }

  /** The search over axial depth for a milling cut up to a depth, m. */
  static LobeSearch search(CuttingProcess process, double largestM) {
    RegenerativeLoop loop = RegenerativeLoop.milling(process, process.engagement());
    SearchBand band = SearchBand.of(process, List.of(loop), largestM);
    return search(process.tool().orElseThrow(), loop, band, largestM);
  }

  private static LobeSearch search(
      Tool tool, RegenerativeLoop loop, SearchBand band, double largestM) {
    return new LobeSearch(
        loop,
        band,
        largestM,
        (rpm, depth) -> Regeneration.milling(tool, depth, rpm),
        !tool.equalHelix());
  }

  /** Says what is given but not in this method. */
  static List<String> leftOut(CuttingProcess process) {
    List<String> all = new ArrayList<>();
    if (process.processDampingNPerM() > 0) {
      all.add(
          "process damping is not in the averaged directional factors: at low cutting speeds the"
              + " real limit is higher");
    }
    if (!process.xy().isEmpty()) {
      all.add(
          "the cross receptance is not in the averaged directional factors: the periodic and the"
              + " multi-frequency method have it");
    }
    return all;
  }

  static String growthPeriod(Tool tool) {
    return tool.evenPitch() && tool.equalHelix() ? "tooth passing" : "spindle turn";
  }

  static StabilityMap depthMap(
      LobeSearch search,
      LobesRequest request,
      Progress progress,
      String word,
      String period,
      SearchBand band,
      List<String> remarks) {
    double maxM = request.maxM();
    List<StabilityMap.Line> lines =
        LobeSearch.lines(request.speedsRpm(), rpm -> search.line(rpm, maxM), progress);
    request.speedsRpm().stream()
        .filter(rpm -> search.beyondLobes(rpm, maxM))
        .mapToDouble(rpm -> rpm)
        .max()
        .ifPresent(rpm -> remarks.add(LobeSearch.lowSpeedRemark(rpm)));
    List<StabilityMap.Point> points = new ArrayList<>();
    for (AtPoint point : request.at()) {
      progress.at(1, "single points");
      points.add(
          new StabilityMap.Point(
              point.speedRpm(),
              point.lengthM(),
              search.stable(point.speedRpm(), point.lengthM()),
              search.growth(point.speedRpm(), point.lengthM()),
              Double.NaN));
    }
    String known = growthRemark(band, points, remarks) ? period : "";
    return new StabilityMap(StabilityMap.Over.DEPTH, word, lines, points, known, maxM, remarks);
  }

  /** Says why growth is missing where it is; whether it is known. */
  static boolean growthRemark(
      SearchBand band, List<StabilityMap.Point> points, List<String> remarks) {
    if (band.modes() == null && !points.isEmpty()) {
      remarks.add(
          "growth is not given: it needs modes without residual terms in every direction, not"
              + " measured responses");
    }
    return band.modes() != null;
  }

  /**
   * Lobes as curves, for drawing. Both curves and all lobes are given for every frequency; the
   * limit at a speed is {@link Lobes#compute}'s business.
   *
   * @param process a milling cut with even pitch, or a turning cut
   * @param frequencyHz chatter frequencies, Hz
   * @param lobes number of lobes, from no whole wave between cuts upwards
   * @throws BadInputException if the cutter has several delays: then there are no such curves
   */
  public static LobeCurves curves(CuttingProcess process, double[] frequencyHz, int lobes) {
    return LobeCurves.of(process, frequencyHz, lobes);
  }
}
