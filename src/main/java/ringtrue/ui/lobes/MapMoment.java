package ringtrue.ui.lobes;

import java.util.List;
import java.util.Optional;
import ringtrue.library.Cut;
import ringtrue.report.OutcomeMark;
import ringtrue.stability.StabilityMap;

/**
 * All that the plot shows at a moment.
 *
 * @param cut the cut
 * @param map its map, as far as it has come
 * @param complete whether the map will not become finer
 * @param powerM where the spindle's power ends, m for each line of the map; NaN where it does not
 * @param zeroOrder the map by averaged factors, for comparison
 * @param drawn the map with probabilities
 * @param outcomes cuts that were made
 */
record MapMoment(
    Cut cut,
    StabilityMap map,
    boolean complete,
    double[] powerM,
    Optional<StabilityMap> zeroOrder,
    Optional<StabilityMap> drawn,
    List<OutcomeMark> outcomes) {

  /** The same for another cut of the same map. */
  MapMoment of(Cut other) {
    return new MapMoment(other, map, complete, powerM, zeroOrder, drawn, outcomes);
  }

  /** The same with a map at more speeds. */
  MapMoment withMap(StabilityMap other, double[] itsPowerM) {
    return new MapMoment(cut, other, complete, itsPowerM, zeroOrder, drawn, outcomes);
  }

  MapMoment withZeroOrder(Optional<StabilityMap> other) {
    return new MapMoment(cut, map, complete, powerM, other, drawn, outcomes);
  }

  MapMoment withDrawn(Optional<StabilityMap> other) {
    return new MapMoment(cut, map, complete, powerM, zeroOrder, other, outcomes);
  }

  MapMoment withOutcomes(List<OutcomeMark> other) {
    return new MapMoment(cut, map, complete, powerM, zeroOrder, drawn, other);
  }

  /** Depth or width of the cut, m; NaN where it has none. */
  double lengthM() {
    return map.over() == StabilityMap.Over.DEPTH
        ? cut.process().engagement().axialM()
        : cut.process().engagement().radialM();
  }
}
