package ringtrue.library;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import ringtrue.fitting.ModeDrift;
import ringtrue.fitting.SetUpScatter;

/** How a mode moved through the history of a set-up, in sentences. */
public final class DriftWords {
  private static final double DAYS_A_MONTH = 30.44;

  private DriftWords() {}

  /**
   * @param drift of one mode
   * @param scatter what clamping again does to one value
   * @return none where the mode was found only once
   */
  public static List<String> of(ModeDrift drift, SetUpScatter scatter) {
    List<String> all = new ArrayList<>();
    if (drift.track().found().size() < 2) {
      return all;
    }
    ModeDrift.Change f = drift.frequency();
    all.add(
        String.format(
            Locale.ROOT,
            "since the first: frequency %s, damping %s, stiffness %s (sigmas of %s)",
            since(f, scatter.frequency()),
            since(drift.damping(), scatter.damping()),
            since(drift.stiffness(), scatter.stiffness()),
            scatter.equals(SetUpScatter.NONE)
                ? "the taps alone; what clamping again does is not known yet"
                : "the taps and of clamping again"));
    if (Double.isNaN(f.perDay())) {
      return all;
    }
    List<String> trends = new ArrayList<>();
    trend("frequency", f).ifPresent(trends::add);
    trend("damping", drift.damping()).ifPresent(trends::add);
    trend("stiffness", drift.stiffness()).ifPresent(trends::add);
    all.add(
        trends.isEmpty()
            ? "no steady drift stands out of the scatter"
            : "steady drift: " + String.join(", ", trends));
    return all;
  }

  private static Optional<String> trend(String what, ModeDrift.Change c) {
    return c.isTrend()
        ? Optional.of(
            String.format(
                Locale.ROOT,
                "%s %+.3g %% a month (chance of that without a drift %.2g)",
                what,
                100 * DAYS_A_MONTH * c.perDay(),
                c.chance()))
        : Optional.empty();
  }

  /**
   * @param scatter what clamping again does to one value, a fraction; it counts for both
   */
  private static String since(ModeDrift.Change c, double scatter) {
    double sigma = Math.sqrt(c.sigma() * c.sigma() + 2 * scatter * scatter);
    return String.format(
        Locale.ROOT,
        "%+.3g %%%s",
        100 * c.sinceFirst(),
        Double.isNaN(sigma)
            ? ""
            : Math.abs(c.sinceFirst()) > 100 * sigma
                ? " (over 100 sigma)"
                : String.format(Locale.ROOT, " (%.2g sigma)", Math.abs(c.sinceFirst()) / sigma));
  }
}
