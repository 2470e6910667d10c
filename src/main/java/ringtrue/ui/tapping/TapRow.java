package ringtrue.ui.tapping;

import ringtrue.signal.Tap;

/**
 * A tap in the list.
 *
 * @param number counted from 1
 * @param kept whether it counts
 * @param verdict the word for it
 * @param reason why
 * @param peakN largest force, N; NaN if unknown
 * @param contactS contact time, s; NaN if unknown
 * @param usableHz how far its force reaches, Hz; NaN if unknown
 */
record TapRow(
    int number,
    boolean kept,
    String verdict,
    String reason,
    double peakN,
    double contactS,
    double usableHz) {

  static TapRow of(Tap tap) {
    boolean byHand = tap.verdict() == Tap.Verdict.REJECTED_BY_USER;
    return new TapRow(
        tap.number(),
        tap.verdict() == Tap.Verdict.KEPT,
        byHand ? "by hand" : tap.verdict().word(),
        byHand ? "set aside by hand" : tap.reason(),
        tap.peakForceN(),
        tap.contactS(),
        tap.usableToHz());
  }
}
