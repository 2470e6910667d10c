package ringtrue.fitting;

import java.util.List;
import ringtrue.dynamics.Mode;

/**
 * What two measurements of the same set-up say about whether it has changed in between.
 *
 * @param verdict the answer
 * @param sentence the answer in words, with the numbers that carry it
 * @param meaning what it means for cutting, and which change would have been found
 * @param remarks what a reader should know besides
 * @param bandLowHz lowest frequency compared, Hz; NaN where nothing could be
 * @param bandHighHz highest frequency compared, Hz; NaN where nothing could be
 * @param lines at how many frequencies the responses were compared
 * @param agreement how alike the two responses are as a whole
 * @param pairs modes found in both, by rising frequency
 * @param gone modes of the earlier measurement without a partner
 * @param added modes of the later measurement without a partner
 * @param compared number of values of modes that were judged
 * @param chance chance that so many equal values would show a difference as significant as the most
 *     significant one here; 1 where none was judged
 */
public record SetUpComparison(
    Verdict verdict,
    String sentence,
    List<String> meaning,
    List<String> remarks,
    double bandLowHz,
    double bandHighHz,
    int lines,
    Agreement agreement,
    List<Pair> pairs,
    List<Lone> gone,
    List<Lone> added,
    int compared,
    double chance) {

  /** Whether the set-up has changed. */
  public enum Verdict {
    UNCHANGED("nothing changed"),
    CHANGED("changed"),
    CANNOT_TELL("cannot tell");

    private final String word;

    Verdict(String word) {
      this.word = word;
    }

    /** For people and files. */
    public String word() {
      return word;
    }
  }

  /**
   * How alike two responses are over the lines that both have.
   *
   * @param shape frequency response assurance criterion |Σ G₁ G₂*|²/(Σ|G₁|² Σ|G₂|²): 1 if one is a
   *     multiple of the other (Heylen and Lammens 1996, from memory)
   * @param shapeByNoise what it would be on average if only noise differed
   * @param amplitude 2|Σ G₁ G₂*|/(Σ|G₁|² + Σ|G₂|²): 1 only if they are equal but for a common
   *     phase; 2c/(1 + c²) if one is c times the other (frequency amplitude assurance criterion,
   *     Grafe 1998, from memory)
   * @param scale later over earlier response, the factor that fits best over the noise
   * @param overNoise root mean square of their difference, that factor taken out, over their noise
   * @param throughModels whether different exponential windows were taken out by the fitted modes
   */
  public record Agreement(
      double shape,
      double shapeByNoise,
      double amplitude,
      double scale,
      double overNoise,
      boolean throughModels) {

    /** Nothing was compared. */
    static final Agreement NONE =
        new Agreement(Double.NaN, Double.NaN, Double.NaN, Double.NaN, Double.NaN, false);
  }

  /**
   * A mode found in both.
   *
   * @param before as it was
   * @param now as it is
   * @param frequency change of its natural frequency
   * @param damping change of its damping ratio
   * @param stiffness change of its stiffness
   */
  public record Pair(Mode before, Mode now, Change frequency, Change damping, Change stiffness) {

    /** Change of the natural frequency, Hz. */
    public double shiftHz() {
      return now.frequencyHz() - before.frequencyHz();
    }

    /**
     * Factor on the depth of cut that is free of chatter at every speed, as far as this mode limits
     * it: k ζ (1 + ζ), later over earlier (Tlusty and Poláček 1963).
     */
    public double depthFactor() {
      return now.stiffnessNPerM()
          * now.dampingRatio()
          * (1 + now.dampingRatio())
          / (before.stiffnessNPerM() * before.dampingRatio() * (1 + before.dampingRatio()));
    }

    /** Whether one of the three changed. */
    public boolean isSignificant() {
      return frequency.significant() || damping.significant() || stiffness.significant();
    }
  }

  /**
   * How a value changed. All are fractions of the earlier value but significance and chance.
   *
   * @param relative later less earlier
   * @param sigma one sigma of that; NaN where unknown
   * @param significance difference over its sigma; NaN where unknown
   * @param chance chance of a difference as large without any change, this value alone
   * @param findable smallest change that would have been found with a chance of 95 %
   * @param significant whether it changed, all values that were compared taken into account
   */
  public record Change(
      double relative,
      double sigma,
      double significance,
      double chance,
      double findable,
      boolean significant) {}

  /** What is known of a mode that only one measurement has. */
  public enum Standing {
    /** The difference of the two responses shows it. */
    CHANGED,
    /** The other response has it as well, only its fit has not. */
    IN_BOTH_RESPONSES,
    /** Too small for the other measurement's noise. */
    TOO_WEAK,
    /** It lies where only one measurement reaches. */
    OUTSIDE
  }

  /**
   * A mode that only one of the two has.
   *
   * @param mode the mode
   * @param standing what is known of it
   */
  public record Lone(Mode mode, Standing standing) {}

  public SetUpComparison {
    meaning = List.copyOf(meaning);
    remarks = List.copyOf(remarks);
    pairs = List.copyOf(pairs);
    gone = List.copyOf(gone);
    added = List.copyOf(added);
  }
}
