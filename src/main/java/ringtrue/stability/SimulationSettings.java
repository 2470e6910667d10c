package ringtrue.stability;

import java.util.Objects;
import java.util.Optional;

/**
 * How a cut is simulated in time ({@link CutInTime}).
 *
 * @param turns spindle turns to simulate; 0 lets the cut say when it has settled
 * @param mostTurns where the number is left to the cut: turns after which it is given up, 1 or more
 * @param tracedTurns turns at the end that are kept step by step, 1 or more
 * @param stepsPerCycle time steps in a cycle of the fastest mode, 16 or more
 * @param disturbance displacement that a small blow at the start makes, as a part of the feed per
 *     tooth; without it a cut of even pitch would stay in its periodic motion, stable or not
 * @param edge what the unmachined edge of the stock does
 * @param sound what is to be heard once the cut has settled, if anything
 */
public record SimulationSettings(
    int turns,
    int mostTurns,
    int tracedTurns,
    double stepsPerCycle,
    double disturbance,
    StockEdge edge,
    Optional<SoundRequest> sound) {

  /** Largest number of turns of one simulation. */
  public static final int MOST_TURNS = 100_000;

  /** What decides where a tooth meets the unmachined side of the stock. */
  public enum StockEdge {
    /** The edge is a place in the stock: a tool that moves across the feed meets it elsewhere. */
    IN_PLACE,
    /** Entry and exit angles are fixed, as linear theory has them. */
    FIXED_ANGLES
  }

  /** What is listened to. */
  public enum Sound {
    /** Velocity of the tool relative to the workpiece, m/s. */
    VELOCITY("velocity", "m/s"),
    /** Cutting force, N. */
    FORCE("force", "N");

    private final String word;
    private final String unit;

    Sound(String word, String unit) {
      this.word = word;
      this.unit = unit;
    }

    /** Name as in the commands. */
    public String word() {
      return word;
    }

    /** SI unit of its samples. */
    public String unit() {
      return unit;
    }
  }

  /**
   * A sound that is asked for.
   *
   * @param quantity what its samples are
   * @param seconds how long, s
   * @param rateHz samples per second
   */
  public record SoundRequest(Sound quantity, double seconds, int rateHz) {
    public SoundRequest {
      Objects.requireNonNull(quantity, "quantity");
      if (!(seconds > 0 && seconds <= 600)) {
        throw new IllegalArgumentException("sound must last up to 600 s, was " + seconds + " s");
      }
      if (rateHz < 1000 || rateHz > 384_000) {
        throw new IllegalArgumentException(
            "sound must have 1000 to 384000 samples per second, was " + rateHz);
      }
    }
  }

  /** As many turns as it takes, up to 600; the last twenty kept; no sound. */
  public static final SimulationSettings USUAL =
      new SimulationSettings(0, 600, 20, 40, 0.02, StockEdge.IN_PLACE, Optional.empty());

  public SimulationSettings {
    Objects.requireNonNull(edge, "edge");
    Objects.requireNonNull(sound, "sound");
    if (turns < 0 || turns > MOST_TURNS || mostTurns < 1 || mostTurns > MOST_TURNS) {
      throw new IllegalArgumentException(
          "turns must lie between 1 and " + MOST_TURNS + ", were " + turns + ", " + mostTurns);
    }
    if (tracedTurns < 1) {
      throw new IllegalArgumentException("at least one turn is kept, was " + tracedTurns);
    }
    if (!(stepsPerCycle >= 16 && stepsPerCycle <= 10_000)) {
      throw new IllegalArgumentException(
          "steps in a cycle of the fastest mode must be 16 to 10000, were " + stepsPerCycle);
    }
    if (!(disturbance >= 0 && disturbance <= 10)) {
      throw new IllegalArgumentException(
          "disturbance must be up to 10 feeds per tooth, was " + disturbance);
    }
  }

  /** The same for a given number of turns; 0 lets the cut say. */
  public SimulationSettings withTurns(int newTurns) {
    return new SimulationSettings(
        newTurns, mostTurns, tracedTurns, stepsPerCycle, disturbance, edge, sound);
  }

  /** The same given up after other turns. */
  public SimulationSettings withMostTurns(int newMost) {
    return new SimulationSettings(
        turns, newMost, tracedTurns, stepsPerCycle, disturbance, edge, sound);
  }

  /** The same with more or fewer turns kept. */
  public SimulationSettings withTracedTurns(int newTraced) {
    return new SimulationSettings(
        turns, mostTurns, newTraced, stepsPerCycle, disturbance, edge, sound);
  }

  /** The same with other steps. */
  public SimulationSettings withStepsPerCycle(double newSteps) {
    return new SimulationSettings(
        turns, mostTurns, tracedTurns, newSteps, disturbance, edge, sound);
  }

  /** The same with another blow at the start, a part of the feed per tooth. */
  public SimulationSettings withDisturbance(double newDisturbance) {
    return new SimulationSettings(
        turns, mostTurns, tracedTurns, stepsPerCycle, newDisturbance, edge, sound);
  }

  /** The same with another rule for the edge of the stock. */
  public SimulationSettings with(StockEdge newEdge) {
    return new SimulationSettings(
        turns, mostTurns, tracedTurns, stepsPerCycle, disturbance, newEdge, sound);
  }

  /** The same with a sound of the settled cut. */
  public SimulationSettings withSound(Sound quantity, double seconds, int rateHz) {
    return new SimulationSettings(
        turns,
        mostTurns,
        tracedTurns,
        stepsPerCycle,
        disturbance,
        edge,
        Optional.of(new SoundRequest(quantity, seconds, rateHz)));
  }
}
