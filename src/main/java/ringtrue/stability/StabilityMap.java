package ringtrue.stability;

import java.util.List;
import java.util.Objects;
import java.util.Optional;

/**
 * Stability over spindle speed.
 *
 * @param over what the limit is: axial depth or radial width
 * @param method name of the method that made it, as in the commands: {@code "zero-order"}, …
 * @param lines one entry for each speed, in the order asked for
 * @param at single points that were asked for
 * @param growthPeriod what period the growth in {@code at} belongs to: {@code "tooth passing"} or
 *     {@code "spindle turn"}; empty where growth is not known
 * @param maxM upper end of what was searched, m
 * @param remarks sentences that a reader of the map should know
 * @param probability how sure the map is, where it was asked for
 */
public record StabilityMap(
    Over over,
    String method,
    List<Line> lines,
    List<Point> at,
    String growthPeriod,
    double maxM,
    List<String> remarks,
    Optional<StabilityProbability> probability) {

  /** What is varied beside the speed. */
  public enum Over {
    DEPTH("depth"),
    WIDTH("width");

    private final String word;

    Over(String word) {
      this.word = word;
    }

    public String word() {
      return word;
    }
  }

  /** How stability is lost at the limit. */
  public enum Loss {
    /** A complex pair: chatter at a frequency of its own. */
    HOPF("hopf"),
    /** Period doubling. */
    FLIP("flip"),
    /** No loss up to the largest depth searched. */
    NONE("none");

    private final String word;

    Loss(String word) {
      this.word = word;
    }

    public String word() {
      return word;
    }
  }

  /** A stretch of depth or width, m. */
  public record Interval(double fromM, double toM) {}

  /**
   * What happens at one speed.
   *
   * @param speedRpm spindle speed
   * @param limitM first loss of stability going up from zero, m; {@code maxM} if there is none
   * @param stable every stable stretch up to {@code maxM}, rising
   * @param loss how stability is lost at the limit
   * @param chatterHz chatter frequency at the limit, Hz; NaN if there is no loss
   * @param lobe number of whole waves between cuts at the limit (0 is the rightmost lobe); −1 where
   *     there is none or it does not apply
   * @param limitLowM lower end of the 95 % band of the limit that the random error of measured
   *     responses leaves, m; NaN where not known
   * @param limitHighM upper end of that band, m; NaN where not known
   */
  public record Line(
      double speedRpm,
      double limitM,
      List<Interval> stable,
      Loss loss,
      double chatterHz,
      int lobe,
      double limitLowM,
      double limitHighM) {
    public Line {
      stable = List.copyOf(stable);
    }

    /** A line without an error band. */
    public Line(
        double speedRpm,
        double limitM,
        List<Interval> stable,
        Loss loss,
        double chatterHz,
        int lobe) {
      this(speedRpm, limitM, stable, loss, chatterHz, lobe, Double.NaN, Double.NaN);
    }

    /** The same with a 95 % band of the limit, m. */
    public Line withBand(double lowM, double highM) {
      return new Line(speedRpm, limitM, stable, loss, chatterHz, lobe, lowM, highM);
    }
  }

  /**
   * One judged point.
   *
   * @param speedRpm spindle speed
   * @param lengthM depth or width, m
   * @param stable whether the linear solution decays
   * @param growth spectral radius over one growth period; NaN where the method does not give it
   * @param probabilityStable probability of being stable; NaN where not computed
   * @param chatterHz strongest line of the motion that grows fastest, Hz; NaN where the point is
   *     stable or the method does not give it
   */
  public record Point(
      double speedRpm,
      double lengthM,
      boolean stable,
      double growth,
      double probabilityStable,
      double chatterHz) {

    /** A point without the frequency of its chatter. */
    public Point(
        double speedRpm, double lengthM, boolean stable, double growth, double probabilityStable) {
      this(speedRpm, lengthM, stable, growth, probabilityStable, Double.NaN);
    }
  }

  public StabilityMap {
    Objects.requireNonNull(over, "over");
    lines = List.copyOf(lines);
    at = List.copyOf(at);
    remarks = List.copyOf(remarks);
    Objects.requireNonNull(probability, "probability");
  }

  /** A map without probabilities. */
  public StabilityMap(
      Over over,
      String method,
      List<Line> lines,
      List<Point> at,
      String growthPeriod,
      double maxM,
      List<String> remarks) {
    this(over, method, lines, at, growthPeriod, maxM, remarks, Optional.empty());
  }

  /** The same with other remarks. */
  public StabilityMap withRemarks(List<String> other) {
    return new StabilityMap(over, method, lines, at, growthPeriod, maxM, other, probability);
  }
}
