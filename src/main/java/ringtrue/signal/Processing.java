package ringtrue.signal;

import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;

/**
 * What the user wants of the processing. Whatever is empty is chosen from the data and reported.
 *
 * @param blockLengthS length of a tap's block, s; infinite means the whole file is the block
 * @param preTriggerS how long before the onset a block begins, s
 * @param triggerFraction trigger level as a fraction of the largest peak, 0 to 1
 * @param forceWindow none, or length and taper
 * @param responseTimeConstantS exponential window: time constant in s; infinite for an explicit
 *     {@code "none"}
 * @param responseEndValue exponential window given by what is left at the block's end, 0 to 1
 * @param estimator H1, H2 or Hv
 * @param rejected taps to leave out, numbered from 1 in the order found
 * @param kept taps to keep whatever their verdict would be, numbered from 1
 * @param blockStartsS times from the start of the (first) recording at which blocks begin, instead
 *     of the trigger
 * @param minCoherence coherence below which a line is not usable (0.8 unless said)
 * @param forceDropDb how far the force spectrum may drop below its low-frequency level in the
 *     usable band (20 dB unless said)
 */
public record Processing(
    Optional<Double> blockLengthS,
    Optional<Double> preTriggerS,
    Optional<Double> triggerFraction,
    Optional<ForceWindow> forceWindow,
    Optional<Double> responseTimeConstantS,
    Optional<Double> responseEndValue,
    Optional<Estimator> estimator,
    Set<Integer> rejected,
    Set<Integer> kept,
    List<Double> blockStartsS,
    Optional<Double> minCoherence,
    Optional<Double> forceDropDb) {

  /**
   * Force window: 1 from the block's start to {@code lengthS} after the trigger, a half cosine down
   * over {@code taperS}, then 0. Infinite length means none.
   */
  public record ForceWindow(double lengthS, double taperS) {
    public static final ForceWindow NONE = new ForceWindow(Double.POSITIVE_INFINITY, 0);

    public boolean isNone() {
      return Double.isInfinite(lengthS);
    }
  }

  /** Everything chosen from the data. */
  public static final Processing AUTOMATIC =
      new Processing(
          Optional.empty(),
          Optional.empty(),
          Optional.empty(),
          Optional.empty(),
          Optional.empty(),
          Optional.empty(),
          Optional.empty(),
          Set.of(),
          Set.of(),
          List.of(),
          Optional.empty(),
          Optional.empty());

  /** The same for other recordings, where taps and blocks have other numbers and places. */
  public Processing forOthers(Set<Integer> rejectedThere) {
    return new Processing(
        blockLengthS,
        preTriggerS,
        triggerFraction,
        forceWindow,
        responseTimeConstantS,
        responseEndValue,
        estimator,
        rejectedThere,
        Set.of(),
        List.of(),
        minCoherence,
        forceDropDb);
  }

  /**
   * The same with what somebody decided about taps; that counts before what was said of them.
   *
   * @param aside taps to leave out, numbers from 1
   * @param held taps to keep against their verdict
   */
  public Processing decided(Set<Integer> aside, Set<Integer> held) {
    Set<Integer> out = new TreeSet<>(rejected);
    out.addAll(aside);
    out.removeAll(held);
    Set<Integer> in = new TreeSet<>(kept);
    in.addAll(held);
    in.removeAll(aside);
    return new Processing(
        blockLengthS,
        preTriggerS,
        triggerFraction,
        forceWindow,
        responseTimeConstantS,
        responseEndValue,
        estimator,
        out,
        in,
        blockStartsS,
        minCoherence,
        forceDropDb);
  }

  public Processing {
    rejected = Set.copyOf(rejected);
    kept = Set.copyOf(kept);
    blockStartsS = List.copyOf(blockStartsS);
  }
}
