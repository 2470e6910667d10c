package ringtrue.ui.cut;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import ringtrue.planning.CutPlan;
import ringtrue.report.LengthUnit;
import ringtrue.report.PlanWords;
import ringtrue.ui.kit.Sign;

/**
 * A limit as it is shown.
 *
 * @param name what it is
 * @param share share of it that is used, above 1 outside; NaN for advice
 * @param sign as a shape
 * @param percent share in words
 * @param numbers what the cut has, and what is allowed
 * @param because why, and how likely where that is known
 */
record LimitBar(
    String name, double share, Sign sign, String percent, String numbers, String because) {

  /** From here on a limit that is kept is said to be close. */
  private static final double CLOSE = 0.9;

  private static final double MOST_PERCENT = 999;

  /** All limits of a plan: those outside first, then the closest; advice last. */
  static List<LimitBar> of(CutPlan plan, LengthUnit unit) {
    List<CutPlan.Limit> limits = new ArrayList<>(plan.limits());
    limits.sort(
        Comparator.comparing(CutPlan.Limit::advice)
            .thenComparing(CutPlan.Limit::ok)
            .thenComparing(
                Comparator.comparingDouble(
                        (CutPlan.Limit l) -> Double.isNaN(l.share()) ? -1 : l.share())
                    .reversed()));
    return limits.stream().map(l -> of(l, unit)).toList();
  }

  private static LimitBar of(CutPlan.Limit l, LengthUnit unit) {
    String allowed = PlanWords.allowed(l, unit);
    String value = PlanWords.number(l.value(), l.unit(), unit);
    boolean judged = !l.advice() && !Double.isNaN(l.share());
    double percent = 100 * l.share();
    return new LimitBar(
        l.name(),
        judged ? l.share() : Double.NaN,
        l.advice() ? Sign.NOTE : !l.ok() ? Sign.BAD : l.share() >= CLOSE ? Sign.CAUTION : Sign.DONE,
        !judged
            ? (l.advice() ? "advice" : l.ok() ? "kept" : "exceeded")
            : percent > MOST_PERCENT ? "> 999 %" : String.format(Locale.ROOT, "%.0f %%", percent),
        allowed.isEmpty() ? value : value + " of " + allowed,
        l.because()
            + (Double.isNaN(l.probability())
                ? ""
                : String.format(
                    Locale.ROOT, " (chance of being inside: %.0f %%)", 100 * l.probability())));
  }

  /** In one line, for people who hear it. */
  String spoken() {
    return name + ": " + sign.words() + ", " + percent + ", " + numbers + ". " + because;
  }

  /** Names of the limits that are exceeded. */
  static List<String> exceeded(CutPlan plan) {
    return plan.limits().stream()
        .filter(l -> !l.ok() && !l.advice())
        .map(CutPlan.Limit::name)
        .toList();
  }
}
