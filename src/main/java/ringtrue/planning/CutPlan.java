package ringtrue.planning;

import java.util.List;
import java.util.Optional;

/**
 * Every limit that a cut meets, and better cuts.
 *
 * @param verdict the whole in one word
 * @param limits each limit that could be judged
 * @param suggestions better cuts, best first
 * @param cautions plain sentences on safety that belong with this cut
 * @param remarks what could not be judged and why, and what was assumed
 * @param gentlest the least changes that help
 * @param wall where the wall is left; empty where that could not be judged
 * @param reserve what the cuts offered stand
 * @param doubts why the modes behind it may not be those of this cut, sentences; then there is no
 *     go
 */
public record CutPlan(
    Verdict verdict,
    List<Limit> limits,
    List<Suggestion> suggestions,
    List<String> cautions,
    List<String> remarks,
    Gentlest gentlest,
    Optional<Wall> wall,
    Reserve reserve,
    List<String> doubts) {

  /** A plain go needs at least this chance of being stable, where it is known. */
  public static final double LEAST_CHANCE = 0.95;

  /** The whole in one word. */
  public enum Verdict {
    /** Inside every limit that could be judged. */
    GO("go"),
    /** Inside every limit, but too likely to chatter for a plain go; in data a go with care. */
    CARE("go"),
    /** Not to be judged: what it rests on does not belong to this cut. */
    UNKNOWN("unknown"),
    /** Outside a limit, and a better cut is known. */
    CHANGE("change"),
    /** Outside a limit, and no better cut was found. */
    STOP("stop");

    private final String word;

    Verdict(String word) {
      this.word = word;
    }

    /** As data say it: go, change, stop or unknown. */
    public String word() {
      return word;
    }
  }

  /**
   * One limit.
   *
   * @param name chatter, power, peak power, torque, peak torque, feed rate, feed path, chip
   *     thickness, tool bending, deflection, surface location error, workpiece force, engagement
   * @param value what the cut has, in {@code unit}
   * @param limit what is allowed, in {@code unit}; for a chip that is too thin, the least
   * @param unit SI unit of both
   * @param ok whether the cut is inside
   * @param because a plain sentence
   * @param share share of the limit that is used, above 1 outside; NaN for advice
   * @param advice whether it never spoils the verdict
   * @param probability chance of being inside, as drawn from the stated uncertainties; NaN where
   *     unknown
   */
  public record Limit(
      String name,
      double value,
      double limit,
      String unit,
      boolean ok,
      String because,
      double share,
      boolean advice,
      double probability) {

    /** A limit that must not be exceeded, its probability unknown. */
    public Limit(String name, double value, double limit, String unit, boolean ok, String because) {
      this(name, value, limit, unit, ok, because, value / limit, false, Double.NaN);
    }

    /** The same with a chance of being inside. */
    Limit withProbability(double chance) {
      return new Limit(name, value, limit, unit, ok, because, share, advice, chance);
    }
  }

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
   * @param limitedBy name of the limit that it comes closest to, or the length of the flutes; empty
   *     if none could be judged
   * @param share share of that limit that is used
   * @param wallErrorM what it leaves on the wall, m, positive too thick; NaN where not judged
   */
  public record Suggestion(
      double speedRpm,
      double radialM,
      double axialM,
      double feedPerToothM,
      double removalM3PerS,
      double margin,
      String because,
      String limitedBy,
      double share,
      double wallErrorM) {}

  /**
   * Where the wall is left (surface location error).
   *
   * @param errorM at the cut's speed, m: positive too thick (undercut), negative too thin
   * @param lowM least along the height, m
   * @param highM most along the height, m
   * @param side up, down: which wall
   * @param swingLowM least at any speed within the reserve's band, m
   * @param swingHighM most at any speed within that band, m
   * @param quietRpm a speed near by at which it stays small, rpm; NaN where none is better
   */
  public record Wall(
      double errorM,
      double lowM,
      double highM,
      String side,
      double swingLowM,
      double swingHighM,
      double quietRpm) {}

  /**
   * The least change of speed that makes the cut as it is stand the reserve.
   *
   * @param speedRpm spindle speed, rpm
   * @param margin chatter limit there divided by the depth, less 1
   * @param speedBand by which fraction the speed may be off
   * @param because a plain sentence
   */
  public record SpeedStep(double speedRpm, double margin, double speedBand, String because) {}

  /**
   * What one other change does to the chatter limit.
   *
   * @param change width, direction, helix or depth
   * @param to the new value: m for width and depth, rad for helix, NaN for direction
   * @param direction up or down where that is the change, otherwise empty
   * @param limitM depth up to which the changed cut is stable at its speed, m
   * @param helps whether the chatter limit rises by a tenth or more, or the cut gets inside it, and
   *     no other limit is broken that is kept now
   * @param because a plain sentence
   */
  public record Change(
      String change, double to, String direction, double limitM, boolean helps, String because) {}

  /**
   * The gentlest changes.
   *
   * @param slower nearest slower speed
   * @param faster nearest faster speed
   * @param changes other changes, one at a time
   * @param words the whole in plain sentences
   */
  public record Gentlest(
      Optional<SpeedStep> slower,
      Optional<SpeedStep> faster,
      List<Change> changes,
      List<String> words) {

    /** Nothing was looked for. */
    public static final Gentlest NONE =
        new Gentlest(Optional.empty(), Optional.empty(), List.of(), List.of());

    public Gentlest {
      changes = List.copyOf(changes);
      words = List.copyOf(words);
    }
  }

  /** A plan without gentlest changes and wall. */
  public CutPlan(
      Verdict verdict,
      List<Limit> limits,
      List<Suggestion> suggestions,
      List<String> cautions,
      List<String> remarks) {
    this(
        verdict,
        limits,
        suggestions,
        cautions,
        remarks,
        Gentlest.NONE,
        Optional.empty(),
        Reserve.USUAL,
        List.of());
  }

  /**
   * The same where what was measured may not belong to the cut: what looks like a go is not known.
   *
   * @param why sentences; none changes nothing
   */
  public CutPlan doubted(List<String> why) {
    if (why.isEmpty()) {
      return this;
    }
    boolean go = verdict == Verdict.GO || verdict == Verdict.CARE;
    return new CutPlan(
        go ? Verdict.UNKNOWN : verdict,
        limits,
        suggestions,
        cautions,
        remarks,
        gentlest,
        wall,
        reserve,
        why);
  }

  /** Chance that the cut is stable, 0 to 1; NaN where it is unknown. */
  public double chance() {
    return limits.stream()
        .filter(l -> l.name().equals("chatter"))
        .mapToDouble(Limit::probability)
        .findFirst()
        .orElse(Double.NaN);
  }

  public CutPlan {
    limits = List.copyOf(limits);
    suggestions = List.copyOf(suggestions);
    cautions = List.copyOf(cautions);
    remarks = List.copyOf(remarks);
    doubts = List.copyOf(doubts);
  }
}
