package ringtrue.ui.lobes;

import java.util.List;
import java.util.Objects;
import java.util.Optional;
import ringtrue.library.Cut;
import ringtrue.library.CutLobes;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.Engagement;
import ringtrue.stability.Method;
import ringtrue.stability.StabilityMap.Over;

/**
 * What the map should show.
 *
 * @param over depth or width
 * @param method how; empty for the best there is
 * @param fromRpm lowest speed, rpm; NaN for the machine's
 * @param toRpm highest speed, rpm; NaN for the machine's
 * @param maxM how far limits are looked for, m; NaN for as far as makes sense
 */
record Wanted(Over over, Optional<Method> method, double fromRpm, double toRpm, double maxM) {
  private static final double ANY_M = 1e-3;
  private static final double ANY_RPM = 1e4;

  Wanted {
    Objects.requireNonNull(over, "over");
    Objects.requireNonNull(method, "method");
  }

  /** The speeds of the map. */
  List<Double> speedsRpm(Cut cut, boolean drawn) {
    List<Double> all = CutLobes.speedsRpm(cut, method, drawn);
    double from = Double.isNaN(fromRpm) ? all.get(0) : fromRpm;
    double to = Double.isNaN(toRpm) ? all.get(all.size() - 1) : toRpm;
    return CutLobes.speedsRpm(cut, Math.min(from, to), Math.max(from, to), method, drawn);
  }

  /** The cut without what the map does not depend on: the same for cuts that share a map. */
  CuttingProcess onlyWhatCounts(CuttingProcess cut) {
    Engagement e = cut.engagement();
    boolean width = over == Over.WIDTH && cut.tool().isPresent() && !Double.isNaN(e.radialM());
    Engagement same =
        over == Over.DEPTH
            ? e.withAxial(ANY_M)
            : width ? e.withRadial(ANY_M / 10, cut.tool().get().diameterM()) : e;
    return cut.with(same).atSpeed(ANY_RPM).withFeedPerTooth(ANY_M);
  }
}
