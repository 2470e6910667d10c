package ringtrue.report;

import java.util.Locale;
import ringtrue.planning.CutPlan;

/** A plan's verdict and numbers as people read them, on the terminal, in pictures and on pages. */
public final class PlanWords {
  private PlanWords() {}

  /** The verdict as a sentence without its full stop. */
  public static String verdict(CutPlan plan) {
    return switch (plan.verdict()) {
      case GO -> "GO, inside every limit that could be judged";
      case CARE -> "GO WITH CARE, " + chatters(plan.chance());
      case UNKNOWN -> "NOT KNOWN, " + plan.doubts().get(0);
      case CHANGE -> "CHANGE, outside a limit; better cuts are below";
      case STOP -> "STOP, outside a limit, and no better cut was found";
    };
  }

  /** A chance of being stable as what a machinist meets, as "1 in 6 such cuts chatters". */
  static String chatters(double chance) {
    if (chance < 0.5) {
      return String.format(Locale.ROOT, "%.0f of 100 such cuts chatter", 100 * (1 - chance));
    }
    return String.format(Locale.ROOT, "1 in %.0f such cuts chatters", 1 / (1 - chance));
  }

  /**
   * A limit's number in the unit people use for it; empty where there is none.
   *
   * @param si SI unit of the value
   */
  public static String number(double value, String si, LengthUnit unit) {
    if (Double.isNaN(value)) {
      return "";
    }
    return switch (si) {
      case "m" -> Math.abs(value) < 2e-4 ? unit.small(value) : unit.length(value);
      case "m/s" -> unit.feed(value);
      case "teeth" ->
          value == 1
              ? "1 tooth"
              : String.format(
                  Locale.ROOT, value == Math.rint(value) ? "%.0f teeth" : "%.1f teeth", value);
      case "Pa" -> String.format(Locale.ROOT, "%.3g MPa", value / 1e6);
      case "W" ->
          value >= 1000
              ? String.format(Locale.ROOT, "%.3g kW", value / 1e3)
              : String.format(Locale.ROOT, "%.3g W", value);
      default -> String.format(Locale.ROOT, "%.3g %s", value, si).trim();
    };
  }

  /** What a limit allows; empty where it is advice without a number. */
  public static String allowed(CutPlan.Limit limit, LengthUnit unit) {
    return limit.advice() && limit.limit() == 0 ? "" : number(limit.limit(), limit.unit(), unit);
  }
}
