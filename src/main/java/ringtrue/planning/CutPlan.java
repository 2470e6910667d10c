package ringtrue.planning;

import java.util.List;

/**
 * Every limit that a cut meets, and better cuts.
 *
 * @param verdict the whole in one word
 * @param limits each limit that could be judged
 * @param suggestions better cuts, best first
 * @param cautions plain sentences on safety that belong with this cut
 * @param remarks what could not be judged and why, and what was assumed
 */
public record CutPlan(
    Verdict verdict,
    List<Limit> limits,
    List<Suggestion> suggestions,
    List<String> cautions,
    List<String> remarks) {

  /** The whole in one word. */
  public enum Verdict {
    /** Inside every limit that could be judged. */
    GO("go"),
    /** Outside a limit, and a better cut is known. */
    CHANGE("change"),
    /** Outside a limit, and no better cut was found. */
    STOP("stop");

    private final String word;

    Verdict(String word) {
      this.word = word;
    }

    public String word() {
      return word;
    }
  }

  /**
   * One limit.
   *
   * @param name chatter, power, torque, feed rate, chip thickness, tool bending, deflection,
   *     engagement
   * @param value what the cut has, in {@code unit}
   * @param limit what is allowed, in {@code unit}
   * @param unit SI unit of both
   * @param ok whether the cut is inside
   * @param because a plain sentence
   */
  public record Limit(
      String name, double value, double limit, String unit, boolean ok, String because) {}

  /**
   * A better cut.
   *
   * @param speedRpm spindle speed
   * @param radialM radial width, m
   * @param axialM axial depth, m
   * @param feedPerToothM feed per tooth, m
   * @param removalM3PerS removal rate, m³/s
   * @param margin chatter limit at exactly this speed divided by the depth, less 1: 0.25 means that
   *     the limit is 25 % above the depth. The least limit a few per cent of speed away is lower;
   *     {@code because} tells how much of that one is used.
   * @param because what limits it, in plain words
   */
  public record Suggestion(
      double speedRpm,
      double radialM,
      double axialM,
      double feedPerToothM,
      double removalM3PerS,
      double margin,
      String because) {}

  public CutPlan {
    limits = List.copyOf(limits);
    suggestions = List.copyOf(suggestions);
    cautions = List.copyOf(cautions);
    remarks = List.copyOf(remarks);
  }
}
