package ringtrue.signal;

import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Set;

/** Finds taps whose response does not go with that of the others. */
final class PoorMatch {

  /** One minus the amplitude assurance that is never held against a tap: 22 % of the amplitude. */
  private static final double POOR_SHAPE = 0.05;

  /** Difference in gain that is never held against a tap. */
  private static final double POOR_GAIN = 0.3;

  /** A tap has to be this many times further from the middle than is usual. */
  private static final double FAR = 6;

  private PoorMatch() {}

  /**
   * Compares each kept tap with the median of all. The shape counts by the amplitude assurance
   * {@code |Σ w H* M|²/(Σ w |H|² Σ w |M|²)}, which a plain difference in gain leaves at 1, and the
   * gain by itself; either has to stand out from the scatter of the others. Fewer than three taps
   * cannot tell which of them is odd.
   *
   * @param all every tap; those marked lose their verdict {@code KEPT}
   * @param keepAnyway numbers of taps that are to be kept whatever is found
   */
  static void mark(List<JudgedTap> all, Set<Integer> keepAnyway) {
    List<JudgedTap> kept = all.stream().filter(j -> j.isKept() && j.signature != null).toList();
    int n = kept.size();
    if (n < 3) {
      return;
    }
    int groups = kept.get(0).forceEnergy.length;
    double[] middle = new double[2 * groups];
    double[] weight = new double[groups];
    double[] column = new double[n];
    for (int v = 0; v < 2 * groups; v++) {
      for (int t = 0; t < n; t++) {
        column[t] = kept.get(t).signature[v];
      }
      middle[v] = Medians.of(column);
    }
    for (int g = 0; g < groups; g++) {
      for (int t = 0; t < n; t++) {
        column[t] = kept.get(t).forceEnergy[g];
      }
      weight[g] = Medians.of(column);
    }
    double[] misfit = new double[n];
    double[] gain = new double[n];
    for (int t = 0; t < n; t++) {
      double[] h = kept.get(t).signature;
      double hh = 0;
      double mm = 0;
      double re = 0;
      double im = 0;
      for (int g = 0; g < groups; g++) {
        double hr = h[2 * g];
        double hi = h[2 * g + 1];
        double mr = middle[2 * g];
        double mi = middle[2 * g + 1];
        hh += weight[g] * (hr * hr + hi * hi);
        mm += weight[g] * (mr * mr + mi * mi);
        re += weight[g] * (hr * mr + hi * mi);
        im += weight[g] * (hi * mr - hr * mi);
      }
      if (!(hh > 0 && mm > 0)) {
        return;
      }
      misfit[t] = Math.max(0, 1 - (re * re + im * im) / (hh * mm));
      gain[t] = Math.copySign(Math.hypot(re, im), re) / mm;
    }
    double usualMisfit = Medians.of(misfit);
    double usualGain = Medians.of(gain);
    double[] spread = Arrays.stream(gain).map(g -> Math.abs(g - usualGain)).toArray();
    double usualSpread = 1.4826 * Medians.of(spread);
    for (int t = 0; t < n; t++) {
      JudgedTap judged = kept.get(t);
      boolean shape = misfit[t] > Math.max(POOR_SHAPE, FAR * usualMisfit);
      boolean size = spread[t] > Math.max(POOR_GAIN * Math.abs(usualGain), FAR * usualSpread);
      if (!shape && !size) {
        continue;
      }
      String reason =
          shape
              ? String.format(
                  Locale.ROOT,
                  "its response differs in shape from the others: amplitude assurance %.3f, the"
                      + " others %.3f; tapped elsewhere or at another angle?",
                  1 - misfit[t],
                  1 - usualMisfit)
              : String.format(
                  Locale.ROOT,
                  "its response is %.0f %% of the others', which agree within %.3g %%; tapped at"
                      + " another angle?",
                  100 * gain[t] / usualGain,
                  100 * usualSpread / Math.abs(usualGain));
      if (keepAnyway.contains(judged.number)) {
        judged.reason = "kept as asked, although: " + reason;
      } else {
        judged.verdict = Tap.Verdict.POOR_MATCH;
        judged.reason = reason;
      }
    }
  }
}
