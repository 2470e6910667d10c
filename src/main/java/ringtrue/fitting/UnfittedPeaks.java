package ringtrue.fitting;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Receptance;

/**
 * Peaks of a measured receptance that stand clearly above the fitted modes, with no mode near them:
 * whoever computes limits from these modes takes the structure for stiffer there than it is.
 */
public final class UnfittedPeaks {
  /** A peak counts from this share of the largest magnitude in the band on. */
  private static final double SHARE = 0.1;

  /** A peak counts where it is this many times what the modes give. */
  private static final double ABOVE = 2;

  /** The same, in sigmas of the line's noise. */
  private static final double SIGMAS = 5;

  /** Lines on either side that have to stand above the modes as well: hum is one line wide. */
  private static final int BESIDE = 2;

  /** A mode so near, as a part of the frequency, is the peak's own. */
  private static final double NEAR = 0.04;

  /** Relative one-sigma error of a line of which nothing is known. */
  private static final double UNKNOWN = 0.1;

  /** So many times what is around it a peak has to be: less is a ripple. */
  private static final double PROMINENT = 1.4;

  /** How far around, as a part of the frequency. */
  private static final double AROUND = 0.1;

  /** Peaks so near the ends of the band, as a part of the frequency, are not judged. */
  private static final double EDGE = 0.02;

  private UnfittedPeaks() {}

  /**
   * A peak.
   *
   * @param hz where it stands, Hz
   * @param times how many times the magnitude of the modes it is
   */
  public record Peak(double hz, double times) {}

  /**
   * Peaks in the usable band of a response that its modes leave out.
   *
   * @param response receptance with the errors of its lines
   * @param model modes of it, with their residual terms
   * @return the most prominent one first
   */
  public static List<Peak> of(FrequencyResponse response, ModalModel model) {
    double low = response.origin().bandLowHz() * (1 + EDGE);
    double high = response.origin().bandHighHz() * (1 - EDGE);
    int from = response.firstLineAtOrAbove(low);
    int to = response.firstLineAtOrAbove(high);
    Receptance seen = model.throughWindow(response.windowTimeConstantS());
    double most = 0;
    for (int i = from; i < to; i++) {
      most = Math.max(most, response.magnitude(i));
    }
    List<Peak> all = new ArrayList<>();
    for (int i = from + BESIDE; i < to - BESIDE; i++) {
      double here = response.magnitude(i);
      if (here < SHARE * most || !isTop(response, i) || hasMode(model, response.frequencyHz(i))) {
        continue;
      }
      boolean above = true;
      for (int k = i - BESIDE; k <= i + BESIDE; k++) {
        above &= isAbove(response, seen, k);
      }
      if (above) {
        all.add(new Peak(response.frequencyHz(i), here / magnitude(seen, response, i)));
      }
    }
    all.sort(Comparator.comparingDouble((Peak p) -> -p.times));
    return all;
  }

  /** What a peak means, in one sentence without its full stop. */
  public static String words(Peak peak) {
    return String.format(
        Locale.ROOT, "a peak at %.0f Hz is not fitted: lobes would be too hopeful", peak.hz);
  }

  /** The highest of what is around it, with a slope on either side. */
  private static boolean isTop(FrequencyResponse response, int i) {
    double here = response.magnitude(i);
    return falls(response, i, -1, here) && falls(response, i, 1, here);
  }

  private static boolean falls(FrequencyResponse response, int i, int step, double here) {
    double reach = AROUND * response.frequencyHz(i);
    double least = here;
    for (int k = i + step; k >= 0 && k < response.lines(); k += step) {
      if (Math.abs(response.frequencyHz(k) - response.frequencyHz(i)) > reach) {
        break;
      }
      if (response.magnitude(k) > here && Math.abs(k - i) <= BESIDE) {
        return false;
      }
      least = Math.min(least, response.magnitude(k));
    }
    return here >= PROMINENT * least;
  }

  private static boolean hasMode(ModalModel model, double hz) {
    for (Mode mode : model.modes()) {
      double reach = Math.max(mode.halfPowerBandwidthHz(), NEAR * hz);
      if (Math.abs(mode.frequencyHz() - hz) <= reach) {
        return true;
      }
    }
    return false;
  }

  private static boolean isAbove(FrequencyResponse response, Receptance seen, int i) {
    double here = response.magnitude(i);
    double fitted = magnitude(seen, response, i);
    double error = response.relativeError(i);
    double sigma = here * (Double.isNaN(error) ? UNKNOWN : error);
    return here > ABOVE * fitted && here - fitted > SIGMAS * sigma;
  }

  private static double magnitude(Receptance seen, FrequencyResponse response, int i) {
    double[] at = new double[2];
    seen.at(response.frequencyHz(i), at);
    return Math.hypot(at[0], at[1]);
  }
}
