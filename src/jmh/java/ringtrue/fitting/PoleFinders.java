package ringtrue.fitting;

import java.util.List;
import java.util.Locale;
import java.util.function.Function;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.fitting.VectorFitting.Pole;

/**
 * Vector fitting and the least-squares complex-frequency estimator on the same random structures
 * with the same grouping: how many of the modes that stand out of the noise have a start near them,
 * and how many starts there are that belong to none.
 *
 * <pre>mvn -q -Pbench test-compile exec:java -Dexec.classpathScope=test \
 *   -Dexec.mainClass=ringtrue.fitting.PoleFinders -Dexec.args=40</pre>
 */
public final class PoleFinders {
  private PoleFinders() {}

  public static void main(String[] args) {
    int rigs = args.length > 0 ? Integer.parseInt(args[0]) : 40;
    for (RandomRigs.Kind kind : RandomRigs.Kind.values()) {
      report(kind, rigs, "vector fitting", lines -> PoleSearch.of(lines, Progress.NONE).starts());
      report(
          kind,
          rigs,
          "complex frequency",
          lines ->
              ComplexFrequency.grouped(LineThinning.of(lines), PoleSearch.HIGHEST_ORDER).starts());
    }
  }

  private static void report(
      RandomRigs.Kind kind, int rigs, String name, Function<FitLines, List<Pole>> finder) {
    int clear = 0;
    int found = 0;
    int others = 0;
    double seconds = 0;
    for (int seed = 0; seed < rigs; seed++) {
      SyntheticTaps taps = RandomRigs.rig(kind, seed);
      FitLines lines = FitLines.of(taps.measure(seed), FitSettings.AUTOMATIC);
      long start = System.nanoTime();
      List<Pole> starts = finder.apply(lines);
      seconds += 1e-9 * (System.nanoTime() - start);
      for (Mode mode : taps.modes) {
        if (RandomRigs.isClear(mode, lines)) {
          clear++;
          found += starts.stream().anyMatch(p -> RandomRigs.isNear(p, mode, lines)) ? 1 : 0;
        }
      }
      for (Pole pole : starts) {
        boolean real = taps.modes.stream().anyMatch(m -> RandomRigs.isNear(pole, m, lines));
        others += RandomRigs.isInside(pole, lines) && !real ? 1 : 0;
      }
    }
    System.out.printf(
        Locale.ROOT,
        "%-15s %-18s %4d of %4d modes, %4d other starts, %.1f ms each%n",
        kind,
        name,
        found,
        clear,
        others,
        1e3 * seconds / rigs);
  }
}
