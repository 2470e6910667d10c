package ringtrue.signal;

/** A tap while it is being judged. */
final class JudgedTap {
  final int number;
  final Planner.Block block;
  Pulse pulse;

  /** Why its block is overloaded; null if it is not. */
  String overload;

  /** Samples of its block that are really there. */
  int there;

  /** Largest force against the direction of the blow, as long as a bounce may follow, N. */
  double pull;

  /** The same afterwards, and at which sample of the block. */
  double latePull;

  int latePullAt;

  double contactS;
  double usableToHz;
  Tap.Verdict verdict;
  String reason;

  /** Response per force in groups of lines: real and imaginary part; null if not compared. */
  double[] signature;

  /** Force energy in the same groups. */
  double[] forceEnergy;

  /**
   * @param number counted from 1
   * @param block where it is
   */
  JudgedTap(int number, Planner.Block block) {
    this.number = number;
    this.block = block;
  }

  boolean isKept() {
    return verdict == Tap.Verdict.KEPT;
  }
}
