package ringtrue.signal;

import java.util.List;
import org.apache.commons.math3.distribution.BinomialDistribution;
import ringtrue.signal.CutSoundJudge.Candidate;

/** The speed of the spindle from the lines of chatter alone: they lie tooth passing apart. */
final class SideBands {
  private static final double CHANCE = 0.01;
  private static final int MOST = 12;

  private SideBands() {}

  /**
   * Turns per second at which the most lines differ from the strongest by whole multiples of tooth
   * passing, or are such a multiple.
   *
   * @param lines the strongest first
   * @param binHz Hz between lines of the spectrum
   * @return Hz; NaN if chance alone, over all speeds that were tried, would bring so many together
   *     in one case out of a hundred
   */
  static double turnsHz(List<Candidate> lines, StatedCut cut, double binHz) {
    if (lines.size() < 3) {
      return Double.NaN;
    }
    double first = lines.get(0).hz();
    double tolerance = 0.8 * binHz;
    double step = 0.2 * tolerance / cut.period();
    double best = Double.NaN;
    double least = 1;
    double low = CombTrack.SLOWEST * cut.spindleHz();
    double high = CombTrack.FASTEST * cut.spindleHz();
    int some = Math.min(MOST, lines.size());
    for (double turns = low; turns <= high; turns += step) {
      double pattern = cut.period() * turns;
      int fit = 0;
      double with = 0;
      double all = 0;
      for (Candidate c : lines.subList(1, some)) {
        for (double apart : new double[] {c.hz() - first, c.hz() + first, c.hz()}) {
          double k = Math.rint(apart / pattern);
          if (k != 0 && Math.abs(apart - k * pattern) < tolerance) {
            fit++;
            with += k * apart;
            all += k * k;
            break;
          }
        }
      }
      if (fit < 2) {
        continue;
      }
      double share = Math.min(1, 6 * tolerance / pattern);
      double chance =
          1 - new BinomialDistribution(null, some - 1, share).cumulativeProbability(fit - 1);
      if (chance < least) {
        least = chance;
        best = with / all / cut.period();
      }
    }
    // so many speeds are apart by a line at the strongest side band
    double tried = Math.max(1, (high - low) * cut.period() / tolerance);
    return least * tried < CHANCE ? best : Double.NaN;
  }
}
