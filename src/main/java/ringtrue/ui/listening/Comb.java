package ringtrue.ui.listening;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import ringtrue.signal.StatedCut;

/**
 * Lines at which a cut sounds anyway: multiples of the turns of the spindle, every so many of them
 * a multiple of tooth passing, f = n z.
 *
 * @param hz frequencies, Hz, rising
 * @param labels a word for each
 */
record Comb(List<Double> hz, List<String> labels) {
  private static final int MOST_TURNS = 12;
  private static final int MOST = 40;

  Comb {
    hz = List.copyOf(hz);
    labels = List.copyOf(labels);
  }

  /** Multiples of tooth passing; none in turning. */
  static Comb teeth(StatedCut cut, double spindleHz, double topHz) {
    List<Double> at = new ArrayList<>();
    List<String> words = new ArrayList<>();
    if (cut.milling()) {
      double pass = cut.flutes() * spindleHz;
      for (int k = 1; k <= MOST && k * pass <= topHz; k++) {
        at.add(k * pass);
        words.add(
            k == 1
                ? String.format(Locale.ROOT, "tooth passing %.0f Hz", pass)
                : k + " \u00d7 teeth");
      }
    }
    return new Comb(at, words);
  }

  /** The turns of the spindle and their low multiples that are none of tooth passing. */
  static Comb turns(StatedCut cut, double spindleHz, double topHz) {
    List<Double> at = new ArrayList<>();
    List<String> words = new ArrayList<>();
    for (int k = 1; k <= MOST_TURNS && k * spindleHz <= topHz; k++) {
      if (cut.milling() && k % cut.flutes() == 0) {
        continue;
      }
      at.add(k * spindleHz);
      words.add(
          k == 1
              ? String.format(Locale.ROOT, "spindle %.0f Hz", spindleHz)
              : k == 2 ? "run-out, 2 \u00d7 spindle" : "");
    }
    return new Comb(at, words);
  }

  double[] places() {
    return hz.stream().mapToDouble(Double::doubleValue).toArray();
  }
}
