package ringtrue.stability;

import java.util.List;
import java.util.Optional;

/**
 * What a simulation in time shows of a cut.
 *
 * @param verdict whether a small disturbance of the periodic motion dies out, or how it grows
 * @param turns spindle turns simulated
 * @param growth growth of the disturbance over one growth period; NaN where it could not be seen
 * @param growthPeriod {@code "tooth passing"} or {@code "spindle turn"}
 * @param chatterHz strongest line of the settled motion's velocity away from the comb of the teeth
 *     (a flip's odd halves count as away), Hz; that of the growing motion where it did not settle
 *     or was not followed; NaN if there is none
 * @param growingHz frequency of the chatter while it is small and grows, that of linear theory, Hz;
 *     NaN if there is none or it was never small. Teeth that leave the cut shift it, often by a per
 *     cent
 * @param peakDisplacementM largest displacement of the tool against the workpiece in the traced
 *     turns, m
 * @param peakForceN largest force in the plane of the cut in those turns, N
 * @param meanXN mean force on the tool along the feed, N
 * @param meanYN mean force on the tool across the feed, N
 * @param meanPowerW mean power at the cutter, W; NaN where the turned diameter is unknown
 * @param peakTorqueNm largest torque, N m; NaN where the turned diameter is unknown
 * @param missedTeethFraction part of the teeth that pass their arc without touching; in turning the
 *     part of the time out of the cut
 * @param oncePerToothSpreadM spread of the displacement looked at once per tooth (once per turn for
 *     the same tooth where teeth differ) over the traced turns, m: nothing in a settled stable cut
 * @param surface the surface left; empty where there is none or too few turns were traced
 * @param samples displacements looked at once per tooth, all through the simulation
 * @param trace the last turns, step by step
 * @param slices axial slices
 * @param sound the sound, where it was asked for
 * @param stopped whether the displacement became absurd
 * @param rigid whether nothing could vibrate, so that there was no chatter to judge
 * @param remarks sentences that a reader of the result should know
 */
public record SimulatedCut(
    Verdict verdict,
    int turns,
    double growth,
    String growthPeriod,
    double chatterHz,
    double growingHz,
    double peakDisplacementM,
    double peakForceN,
    double meanXN,
    double meanYN,
    double meanPowerW,
    double peakTorqueNm,
    double missedTeethFraction,
    double oncePerToothSpreadM,
    Optional<CutSurface> surface,
    List<ToothSample> samples,
    CutTrace trace,
    int slices,
    Optional<CutSound> sound,
    boolean stopped,
    boolean rigid,
    List<String> remarks) {

  /** Kind of motion. */
  public enum Verdict {
    /** A disturbance dies out. */
    STABLE("stable"),
    /** Period doubling: every second tooth (or turn) alike. */
    FLIP("flip"),
    /** Chatter at a frequency of its own. */
    HOPF("hopf"),
    /** Neither growth nor decay is plain in the turns simulated. */
    CANNOT_TELL("cannot tell");

    private final String word;

    Verdict(String word) {
      this.word = word;
    }

    /** Name as in the commands. */
    public String word() {
      return word;
    }
  }

  /**
   * Displacement as one tooth passes.
   *
   * @param timeS time since the beginning, s
   * @param flute which flute passes
   * @param xM displacement along the feed, m
   * @param yM displacement across it, m
   */
  public record ToothSample(double timeS, int flute, double xM, double yM) {}

  public SimulatedCut {
    samples = List.copyOf(samples);
    remarks = List.copyOf(remarks);
  }
}
